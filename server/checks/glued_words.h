// Inside the checks room: words of notes that are written without blanks.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace turnwright::checks {

/// Adds a word of a note, in upper case, to the others: as it is, or in its parts where it is a tool and its
/// size with no blank between: "DRILL4.2", "T02DRILL8.5", "M6TAP", "BORBAR16", "3WIDE". A number that may as
/// well count the tools ("GROOVE2") comes behind a ",".
void add_unglued(std::string_view word, std::vector<std::string>& words);

} // namespace turnwright::checks
