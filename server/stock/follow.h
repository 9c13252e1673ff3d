// Inside the stock room: one sequence followed through the stock.
#pragma once

#include "stock/stock.h"

namespace turnwright::stock {

/// What a sequence takes over from the one above.
struct Entering {
    RegionPointer profile;
    machine::Modal datum; ///< The one the stock lies in; nothing possible: no cut yet
    bool operator==(const Entering&) const = default;
};

struct Followed {
    SequenceCourse course; ///< Places are lines from the sequence's first: runs 0, block the line
    machine::Modal datum;
    std::size_t moves = 0;
};
/// Follows the blocks from first to last (both in), and programs of the file that M98 calls, at the call's
/// place, as far as there are no jumps or loops in them. At most `moves_left` moves.
Followed follow_sequence(const machine::Reader& reader, const machine::Outline& outline,
                         const shop::Shop& shop, const Setup& setup, const Entering& entering,
                         BlockPlace first, BlockPlace last, std::size_t moves_left);

} // namespace turnwright::stock
