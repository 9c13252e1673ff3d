// One way through a program where the analysis joins several: what is drawn and timed. Rules never see it.
#pragma once

#include "machine/machine.h"

#include <cstdint>
#include <map>
#include <set>

namespace turnwright::machine {

/// Blocks with a block delete are read; a jump below whose condition is not known is not made, unless nothing
/// works where it is not; a program that is not at hand leaves the variables as they were; ways by distance
/// go on from where the tool before was sent home. A loop of which it is not known how often it goes is gone
/// through once; others and what stands in them are as the analysis has them.
class PickedWay {
public:
    enum class Turn : std::uint8_t { passed, made, once };
    explicit PickedWay(const Analysis& analysis);

    /// What holds before a block on this way; nullptr: as the analysis has it.
    const State* before(BlockPlace place) const {
        const auto at = before_.find(place);
        return at == before_.end() ? nullptr : &at->second;
    }
    /// A jump that is made leads over it.
    bool passes_over(BlockPlace place) const { return passed_over_.contains(place); }
    /// Jumps of which one way was picked, and what closes a loop that is gone through once.
    const std::map<BlockPlace, Turn>& picked() const { return picked_; }
    /// The block is the first of such a loop, or the one that leads back to it.
    bool begins_once(BlockPlace place) const { return once_.contains(place); }
    bool ends_once(BlockPlace place) const { return ends_once_.contains(place); }

private:
    class Walk;
    std::map<BlockPlace, State> before_;
    std::set<BlockPlace> passed_over_;
    std::set<BlockPlace> once_, ends_once_;
    std::map<BlockPlace, Turn> picked_;
};

} // namespace turnwright::machine
