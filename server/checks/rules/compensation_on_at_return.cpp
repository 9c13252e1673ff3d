// G28, G30 or G53 while G41 or G42 is in force.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    MotionKind motion = view.reading.motion;
    if (motion != MotionKind::reference && motion != MotionKind::machine_rapid) return;
    bool left = view.after.is(Meaning::compensation_left), right = view.after.is(Meaning::compensation_right);
    if (!left && !right) return;
    const machine::Word* word = view.reading.code(view.reading.motion_meaning);
    auto entry = word ? report.at(view, *word->item) : report.at(view);
    entry
        .message(fmt::format(
            "{} is still in force on the way home: the control alarms, or ends a nose radius beside "
            "the position. Write {} in the retract before.",
            code(view, left ? Meaning::compensation_left : Meaning::compensation_right),
            code(view, Meaning::compensation_off)))
        .origin(part(Group::nose_compensation));
}

} // namespace

extern const Check compensation_on_at_return{
    .id = "compensation_on_at_return",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Return home with nose radius compensation on",
    .documentation =
        "The tool is sent home while nose radius compensation is on. Some controls alarm, others "
        "cancel it on the way or end up a nose radius beside the position; and the next tool starts "
        "with it. Write G40 in the retract.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X50. Z2.
G01 Z-10. F0.1
G28 U0 W0
;^^ warning: compensation_on_at_return
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G41 G00 X1. Z.1
G01 Z-.5 F.006
G00 G53 X0 Z0
;   ^^^ warning: compensation_on_at_return
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G42 G00 X50. Z2.
G01 Z-10. F0.1
G00 G40 X60. Z10.
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X50. Z2.
G01 Z-10. F0.1
G40 G28 U0 W0
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
