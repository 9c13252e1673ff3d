// Inside the stock room: one sequence followed through the stock.
#pragma once

#include "stock/passes.h"

namespace turnwright::stock {

/// What a sequence takes over from the one above.
struct Entering {
    RegionPointer profile;
    machine::Modal datum;   ///< The one the stock lies in; nothing possible: no cut yet
    bool bar_moved = false; ///< The stock is not where it was; only where it is drawn
    bool operator==(const Entering&) const = default;
};

/// With the part turned round, where it is in front of the sequence that begins at `first`.
Entering turned_round_at(Entering entering, const Setup& setup, BlockPlace first);

struct Followed {
    SequenceCourse course; ///< Places are lines from the sequence's first: runs 0, block the line
    machine::Modal datum;
    bool bar_moved = false;
    std::size_t moves = 0;
};
/// A line counted from a sequence's first as a place.
BlockPlace placed(const machine::Analysis& analysis, BlockPlace first, Near near);
/// Follows the blocks from first to last (both in), with the loops in them turn by turn and the programs that
/// they call, as far as it is known which way those go. At most `moves_left` moves. `onlooker` may be
/// nullptr.
Followed follow_sequence(const machine::Reader& reader, const shop::Shop& shop, const Setup& setup,
                         const Entering& entering, BlockPlace first, BlockPlace last, std::size_t moves_left,
                         Onlooker* onlooker = nullptr);

} // namespace turnwright::stock
