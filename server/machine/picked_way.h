// One way through a program where the analysis joins several: what is drawn and timed. Rules never see it.
#pragma once

#include "machine/machine.h"

#include <map>
#include <set>

namespace turnwright::machine {

/// Blocks with a block delete are read; a jump below whose condition is not known is not made, unless nothing
/// works where it is not; a program that is not at hand leaves the variables as they were. Loops and what
/// stands in them are as the analysis has them.
class PickedWay {
public:
    explicit PickedWay(const Analysis& analysis);

    /// What holds before a block on this way; nullptr: as the analysis has it.
    const State* before(BlockPlace place) const {
        const auto at = before_.find(place);
        return at == before_.end() ? nullptr : &at->second;
    }
    /// A jump that is made leads over it.
    bool passes_over(BlockPlace place) const { return passed_over_.contains(place); }
    /// Jumps of which one way was picked: whether they are made.
    const std::map<BlockPlace, bool>& picked() const { return picked_; }

private:
    class Walk;
    std::map<BlockPlace, State> before_;
    std::set<BlockPlace> passed_over_;
    std::map<BlockPlace, bool> picked_;
};

} // namespace turnwright::machine
