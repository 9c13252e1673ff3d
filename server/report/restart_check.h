// Inside the report room: a restart head tried before it is shown.
#pragma once

#include "report/picture.h"
#include "report/restart_head.h"
#include "report/restart_target.h"
#include "stock/follow.h"

namespace turnwright::report {

/// What is there when a block begins. `most` holds at least all that is left: what was followed, or where
/// that ends, what was left above.
struct StockAt {
    const stock::ProgramCourse* course = nullptr;
    const shop::Shop* shop = nullptr; ///< Whose tools and stock it is followed with
    stock::RegionPointer most;
    std::string note;   ///< What it is, or why nothing is known
    DrawnStock assumed; ///< Holds course and shop where nobody told the stock and the program shows it
};
/// `moves`: behind so many moves of the block.
StockAt stock_at(const features::Document& document, machine::BlockPlace place, std::size_t moves = 0);

/// A head in front of its block. `own_approach`: the block itself brings the tool there.
struct HeadTried {
    machine::BlockPlace place;
    std::vector<std::string> head;
    std::string block;
    bool own_approach = false;
    std::optional<RestartLoop> loop{}; ///< Of which one turn is run to its end
};
/// Why the head must not be used: its moves hit, or what follows it is not what follows in the program.
/// Empty: neither was found.
std::string why_head_fails(const features::Document& document, const HeadTried& tried, const StockAt& stock);

/// A head and moves of a cycle as blocks instead of the cycle; the program goes on at line `behind`, from 0.
struct RemainingTried {
    machine::BlockPlace cycle;
    std::vector<std::string> head, blocks;
    std::span<const motion::Segment> moves; ///< What the blocks are to make
    std::size_t behind = 0;
};
struct RemainingFault {
    std::string why;            ///< Empty: none was found
    bool is_of_the_way = false; ///< Another way in may do
};
RemainingFault why_remaining_fails(const features::Document& document, const RemainingTried& tried,
                                   const StockAt& stock);
/// A head that brings the tool to another start of a cycle, in front of the first of its lines.
struct StartTried {
    machine::BlockPlace first, cycle; ///< The line with words of its own above it, else the cycle; the cycle
    std::vector<std::string> head;
    motion::Point start;                   ///< mm, X as radius
    std::span<const motion::Segment> cuts; ///< What the cycle is to cut from there
    std::size_t behind = 0;                ///< The line that the program goes on at, from 0
};
/// As above; from there the control may divide the passes otherwise, as in any cycle.
std::string why_start_fails(const features::Document& document, const StartTried& tried,
                            const StockAt& stock);
/// Ways to a point through what may be left, none yet run through it.
std::vector<Approach> approaches_to(const features::Document& document, const machine::State& state,
                                    motion::Point end, const StockAt& stock);

} // namespace turnwright::report
