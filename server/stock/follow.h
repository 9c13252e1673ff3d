// Inside the stock room: one sequence followed through the stock.
#pragma once

#include "stock/passes.h"

#include <array>

namespace turnwright::stock {

/// Where the program has put the datum by itself, mm, in the order of `DatumShift::Way`, X in front of Z.
struct DatumShift {
    enum class Way : std::uint8_t { by_distance, work_shift, own_table, local };
    std::array<double, 8> mm{};
    int unknown = 0; ///< How often by values that are not known
    bool operator==(const DatumShift&) const = default;
};
/// What a sequence hands on beside the stock.
struct Held {
    machine::Modal datum;   ///< The one the stock lies in; nothing possible: none was stated at a cut
    bool bar_moved = false; ///< The stock is not where it was; only where it is drawn
    bool has_cut = false;
    DatumShift shift{}, at_cut{}; ///< Now, and where the stock lies
    std::size_t lines_run = 0;    ///< Of what comes behind it a loop has run so many lines
    bool in_second = false;       ///< The part is in a second spindle
    bool to_plus = false;         ///< Where Z grows into it
    bool operator==(const Held&) const = default;
};
/// What a sequence takes over from the one above.
struct Entering {
    RegionPointer profile;
    Held held;
    bool operator==(const Entering&) const = default;
};

/// What the sequence that begins at `first` finds where the part lies otherwise from there on, else
/// `entering`. `fallen`: what has been cut off the bar above.
Entering turned_round_at(Entering entering, const Setup& setup, BlockPlace first,
                         const RegionPointer& fallen);

struct Followed {
    SequenceCourse course; ///< Places are lines from the sequence's first: runs 0, block the line
    Held held;
    std::size_t moves = 0;
};
/// A line counted from a sequence's first as a place.
BlockPlace placed(const machine::Analysis& analysis, BlockPlace first, Near near);
std::size_t lines_between(const machine::Analysis& analysis, BlockPlace first, BlockPlace last);
/// Follows the blocks from first to last (both in), with the loops that begin in them turn by turn and the
/// programs that they call, as far as it is known which way those go. What such a loop does behind `last` is
/// told with it, and `lines_run` says how far it got. At most `moves_left` moves. `onlooker` may be
/// nullptr.
Followed follow_sequence(const machine::Reader& reader, const shop::Shop& shop, const Setup& setup,
                         const Entering& entering, BlockPlace first, BlockPlace last, std::size_t moves_left,
                         Onlooker* onlooker = nullptr);

} // namespace turnwright::stock
