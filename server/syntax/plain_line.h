// Most lines are words and notes. Reading them here takes a twentieth of the time that a tree takes; the
// tests hold this and the grammar to the same result for any text.
#pragma once

#include "syntax/builder.h"

namespace turnwright::syntax {

/// Reads the builder's line, [begin, end) of its text, when it holds only words, notes, tape marks, block
/// deletes, short assignments and a written end; what a block cannot count is cut. Else false, with the line
/// restarted: it is the grammar's.
bool read_plain_line(RunBuilder& builder, std::uint32_t begin, std::uint32_t end);

} // namespace turnwright::syntax
