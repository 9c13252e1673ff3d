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
    int p = -1;                         ///< Its P, "M15 P2 COLLET OPEN"; -1: none stands behind it
};
/// `alone`: the M code of the note's own block, for a note that names none, and `alone_p` the P beside it;
/// -1: none.
std::vector<NotedCode> codes_named(std::string_view note, int alone, int alone_p = -1);

} // namespace turnwright::machine
