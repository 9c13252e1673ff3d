// X and U, or Z and W, in one block.
#include "checks/rule.h"

#include <utility>

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    if (reading.motion == MotionKind::none || reading.motion == MotionKind::contour_cycle) return;
    if (reading.code(Meaning::macro_call)) return;
    for (auto [to, by] : {std::pair('X', 'U'), std::pair('Z', 'W')}) {
        if (!reading.has(to) || !reading.has(by)) continue;
        report.at(view, *reading.word(by)->item)
            .message(fmt::format(
                "{} and {} both move the {} axis: the control alarms, or obeys the last one.",
                text_of(view, *reading.word(to)->item), text_of(view, *reading.word(by)->item), to));
    }
}

} // namespace

extern const Check x_and_u_together{
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
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"},
            {System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules
