// Inside the report room: a restart head tried before it is shown.
#pragma once

#include "report/restart_head.h"
#include "stock/follow.h"

namespace turnwright::report {

/// What is there when a block begins. `most` holds at least all that is left: what was followed, or where
/// that ends, what was left above.
struct StockAt {
    const stock::ProgramCourse* course = nullptr;
    stock::RegionPointer most;
    std::string note; ///< What it is, or why nothing is known
};
StockAt stock_at(const features::Document& document, machine::BlockPlace place);

/// A head in front of its block. `own_approach`: the block itself brings the tool there.
struct HeadTried {
    machine::BlockPlace place;
    std::vector<std::string> head;
    std::string block;
    bool own_approach = false;
};
/// Why the head must not be used: its moves hit, or what follows it is not what follows in the program.
/// Empty: neither was found.
std::string why_head_fails(const features::Document& document, const HeadTried& tried, const StockAt& stock);

} // namespace turnwright::report
