// X and U, or Z and W, in one block.
#include "checks/rule.h"
#include "language/said.h"

#include <utility>

namespace turnwright::checks::rules::x_and_u_together {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    if (reading.motion == MotionKind::none || reading.motion == MotionKind::contour_cycle) return;
    if (reading.code(Meaning::macro_call)) return;
    for (auto [to, by] : {std::pair('X', 'U'), std::pair('Z', 'W')}) {
        if (!reading.has(to) || !reading.has(by)) continue;
        report.at(view, *reading.word(by)->item)
            .message(said("{} and {} both move the {} axis: the control alarms, or obeys the last one.",
                          text_of(view, *reading.word(to)->item), text_of(view, *reading.word(by)->item),
                          to));
    }
}

} // namespace

extern const Check check{
    .id = "x_and_u_together",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Place and distance for one axis in a block",
    .documentation =
        "X and U both move the X axis, one to a place and one by a distance; so do Z and W. In one "
        "block they contradict each other: some controls alarm, others obey the last. In cycles where "
        "U and W are allowances they stand without X and Z.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X50. Z2.
G01 X40. U-2. F0.2
;        ^^^^ warning: x_and_u_together
M30
)"},
            {System::C, R"(
G70 G90 G95
G00 X2. Z1.
G01 W-.1 Z-.5 F.01
;   ^^^ warning: x_and_u_together
M30
)"},
            {System::A, R"(
G21 G99
G00 X50. Z2.
G01 X40. W-2. F0.2
G71 U2. R1.
G71 P10 Q20 U0.4 W0.1 F0.3
N10 G00 X20.
N20 G01 Z-10.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::x_and_u_together
