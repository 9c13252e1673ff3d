// Findings that a program has only because its end is not written yet.
#pragma once

#include <span>
#include <string_view>

namespace turnwright::checks {

/// What may still be written that ends a finding: the next block, more of its sequence, of its program, of
/// the file.
enum class OpenEnd { none, block, sequence, program, file };

struct OpenEndRow {
    std::string_view id; ///< Of a check
    OpenEnd end;
};
std::span<const OpenEndRow> ids_of_open_ends();

/// A whole program is told all of them; who types one is told when he pauses.
OpenEnd open_end(std::string_view id);

} // namespace turnwright::checks
