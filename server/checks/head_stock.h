// What the notes above a program's first tool say that the part is made from.
#pragma once

#include "checks/noted_tool.h"
#include "machine/reader.h"

namespace turnwright::checks {

struct HeadStock {
    NotedStock stock;
    std::string note; ///< The first that tells any of it, as it stands
    /// Nobody has worked on it before, and it is no raw part of a shape of its own, by what the head says.
    bool is_plain_bar = true;
};
/// From `first` to the first tool of the program, or its end where it calls none.
HeadStock head_stock(const machine::Reader& reader, BlockPlace first, const machine::ProgramPart& program,
                     std::optional<double> mm_per_unit);

} // namespace turnwright::checks
