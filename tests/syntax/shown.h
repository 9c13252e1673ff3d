// Blocks and expressions as short text for comparison in tests.
#pragma once

#include "syntax/syntax.h"

#include <string>

namespace turnwright::syntax::test {

text::LeafPointer leaf_of(std::string_view bytes);
RunPointer parse_text(std::string_view bytes);

/// One item, X(neg (# 101)), X?, {(= (# 1) 2)}, (note), (note$, %, /2, ;, ;>rest, ,C1, <unknown>; an
/// odd number has a ! behind it.
std::string show(const Run& run, const Item& item);
/// Items with blanks between, and marks of the block: D deleted, S statement, N note, E error, T tape mark.
std::string show(const Run& run, const Block& block);
/// All blocks, a line each.
std::string show(const Run& run);
/// The only block of a line.
std::string show_line(std::string_view line);
std::string show(const Run& run, std::int32_t expression);

/// Empty when alike in every field, else what differs first.
std::string difference(const Run& a, const Run& b);

} // namespace turnwright::syntax::test
