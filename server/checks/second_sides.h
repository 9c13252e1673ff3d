// What of a program is done to a part that a second spindle has taken over: its second side.
#pragma once

#include "checks/acts.h"

namespace turnwright::checks {

/// Where in one main program the tools work on what the second spindle holds, one behind the other. By the
/// codes of spindle and chuck that the shop file or notes tell, and by the datum.
struct SecondSide {
    BlockPlace first, end;               ///< The last of the program
    bool to_plus = false;                ///< Z grows into the part there
    bool is_made_above = false;          ///< The program has worked on its first side before
    bool cut_off = false;                ///< A blade has cut it off the bar
    std::optional<BlockPlace> next_part; ///< From there the main spindle goes on
};
/// The second slide holds the bar and pulls it out of the open main chuck.
struct BarPull {
    BlockPlace at;
    std::optional<double> mm; ///< nullopt: not known
    BlockPlace slide;         ///< Its last move
};
struct SecondSpindle {
    std::vector<SecondSide> sides;
    std::vector<BarPull> pulls;
    std::vector<std::pair<BlockPlace, BlockPlace>> called; ///< Programs called on second sides alone, both in
    bool holds(BlockPlace place) const;                    ///< The part that is worked on there
    std::size_t pulls_above(BlockPlace place) const;
};
/// In order. Asked at every key: the codes are put together only where something tells of a second spindle.
SecondSpindle second_spindle_of(std::span<const Span> spans, const shop::Shop& shop,
                                const shop::Machine& machine);

/// Puts the places where the part lies otherwise into `places`, which are of parts turned round by hand.
void add_second_spindle(std::vector<stock::Setup::TurnedRound>& places, std::span<const Span> spans,
                        const shop::Shop& shop, const shop::Machine& machine);

} // namespace turnwright::checks
