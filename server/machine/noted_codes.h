// What notes say of the M codes of a machine's builder: "M51 C AXIS ON", "M20/M21 MAIN OPEN/CLOSE".
#pragma once

#include "codes/codes.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::machine {

struct NotedCode {
    int number = 0;
    std::optional<codes::Meaning> does; ///< nullopt: none of what is followed here
    std::string words;                  ///< "COLLET OPEN"
};
/// `alone`: the M code of the note's own block, for a note that names none; -1: none.
std::vector<NotedCode> codes_named(std::string_view note, int alone);

} // namespace turnwright::machine
