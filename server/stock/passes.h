// The stock behind every move of a program, for a picture of it.
#pragma once

#include "stock/stock.h"

#include <functional>
#include <map>
#include <tuple>

namespace turnwright::stock {

/// A block as often as the control runs it: `visit` counts from 0 the times it has made moves.
struct RunBlock {
    const syntax::Forest* file = nullptr; ///< nullptr: the program's own file
    BlockPlace place;
    std::size_t visit = 0;
    bool operator==(const RunBlock&) const = default;
    auto operator<=>(const RunBlock&) const = default;
};
/// A move that was followed, by its index in the segments of the block's path.
struct Passed {
    RunBlock block;
    std::optional<std::size_t> move; ///< nullopt: on a way that the path does not hold
};
using SeePass = std::function<void(const Passed&, const Region& left)>;

/// Who looks on while sequences are followed, and what the control has run so far.
struct Onlooker {
    SeePass see;
    std::map<std::pair<const syntax::Forest*, BlockPlace>, std::size_t> visits;
    /// Threads are cut turn by turn with their flanks, as a section shows them: to look at, since what stands
    /// between the turns is no turned profile.
    bool sees_flanks = false;
};

struct PassesEnd {
    Stop stop = Stop::none;
    BlockPlace at; ///< Where it was stopped
    bool exact = true;
};
/// Follows a program through its stock once more and shows what is left behind every move, also where
/// nothing changes. No more than `most` moves. With `sees_flanks` threads have their flanks.
PassesEnd follow_passes(const machine::Analysis& analysis, const shop::Shop& shop,
                        const ProgramCourse& course, std::size_t most, SeePass see, bool sees_flanks = false);

} // namespace turnwright::stock
