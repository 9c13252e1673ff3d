// Inside the checks room: how many grooves or pieces a note counts.
#pragma once

#include "checks/rule.h"

#include <vector>

namespace turnwright::checks {

struct NotedCount {
    int number = 0;
    bool of_grooves = false;
    std::string text; ///< "4 PINS"
    BlockPlace note;
    std::vector<double> places; ///< "AT 100 200 300": as written, without signs
};
/// The notes of a stretch of the program.
std::vector<NotedCount> noted_counts(const machine::Reader& reader, BlockPlace first, BlockPlace last);

} // namespace turnwright::checks
