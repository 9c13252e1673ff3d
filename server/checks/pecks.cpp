#include "checks/pecks.h"

#include <cmath>

namespace turnwright::checks {

using codes::Meaning;
using machine::MotionKind;

std::optional<Peck> peck_of(const Acts& work, const Act& act, double mm_per_unit, bool shift) {
    const bool hole = act.motion == MotionKind::drill_cycle, side = act.meaning == Meaning::groove_side;
    if ((!hole && act.motion != MotionKind::peck_cycle) || act.taps() || (hole && shift)) return std::nullopt;
    const bool along_x = (side || act.meaning == Meaning::drill_side) != shift;
    const double from = along_x ? act.from_x : act.from_z, to = along_x ? act.to_x : act.to_z;
    if (!known(static_cast<float>(from)) || !known(static_cast<float>(to))) return std::nullopt;
    Peck peck;
    peck.whole_mm = std::abs(from - to) * mm_per_unit;
    const ActWord* one_line = work.word(act, along_x ? 'I' : 'K');
    const ActWord* stored = work.word(act, along_x && !hole ? 'P' : 'Q');
    if (!hole && one_line) {
        peck.letter = one_line->letter;
        peck.mm = std::abs(one_line->number) * mm_per_unit;
    } else if (stored) {
        peck.letter = stored->letter;
        peck.mm = stored->number * mm_per_unit;
    }
    if (peck.letter == 0 || peck.mm <= 0) return std::nullopt;
    return peck;
}

} // namespace turnwright::checks
