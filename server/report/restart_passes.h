// Inside the report room: the passes of a cycle, and which of them remain after a break.
#pragma once

#include "report/restart_check.h"

namespace turnwright::report {

/// mm, X as radius.
struct CyclePass {
    machine::BlockPlace block;      ///< That cuts it
    std::size_t first_move = 0;     ///< Of it and all that follows, in the moves of a cycle of one block
    motion::Point reach;            ///< As far as it goes into the stock
    std::optional<double> depth_mm; ///< Deeper than the pass before; nullopt: not known
};
/// A cycle of one block, or single cycles or threading moves that follow each other, one pass a block.
struct CyclePasses {
    std::string code;          ///< "G71"
    machine::BlockPlace block; ///< The first one of its blocks that cuts
    bool is_one_block = false, is_thread = false, is_peck = false;
    bool steps_in_x = true;             ///< Else in Z
    double into = -1;                   ///< Sign of the steps
    std::vector<motion::Segment> moves; ///< Of a cycle of one block
    std::vector<CyclePass> passes;
    std::size_t behind = 0; ///< The line that the program goes on at, from 0
    std::string unknown;    ///< Why its moves are not known
};
/// nullopt: no cycle of more than one pass is there.
std::optional<CyclePasses> passes_at(const features::Document& document, machine::BlockPlace place);

/// How many passes are done when the tool had got as far as this; nullopt when that does not tell, and why.
std::optional<std::size_t> passes_reached(const CyclePasses& cycle, const motion::Point& reached, bool in_x,
                                          std::string& why);

/// A move that cuts as part of a pass: no infeed, no way back.
bool is_cut_of_pass(const motion::Segment& move);

/// The moves that remain as blocks, and the way to where they begin; `stock`: as it is then. Tried before
/// they are kept.
void write_remaining(const features::Document& document, const CyclePasses& cycle, std::size_t done,
                     const StockAt& stock, Restart& restart);

} // namespace turnwright::report
