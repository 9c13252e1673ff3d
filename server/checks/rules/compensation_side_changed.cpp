// G41 to G42, or back, without G40.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    auto changes = [&](Meaning before, Meaning now) {
        return view.before.is(before) && view.after.is(now) && view.reading.code(now);
    };
    bool to_right = changes(Meaning::compensation_left, Meaning::compensation_right);
    if (!to_right && !changes(Meaning::compensation_right, Meaning::compensation_left)) return;
    Meaning now = to_right ? Meaning::compensation_right : Meaning::compensation_left;
    report.at(view, *view.reading.code(now)->item)
        .message(fmt::format(
            "{} while {} is in force: the tool swings across the path by twice its nose radius. Write "
            "{} in between, away from the part.",
            code(view, now), code(view, to_right ? Meaning::compensation_left : Meaning::compensation_right),
            code(view, Meaning::compensation_off)))
        .origin(part(Group::nose_compensation));
}

} // namespace

extern const Check compensation_side_changed{
    .id = "compensation_side_changed",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Compensation changed from one side to the other",
    .documentation =
        "The compensation goes from one side of the path to the other without being switched off. The "
        "control swings the tool across the path by twice the nose radius in the next move: it marks "
        "the part. Write G40 in a move away from the part and switch on the other side from there.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X50. Z2.
G01 Z-10. F0.1
G41 X60.
;^^ warning: compensation_side_changed
M30
)"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S800 M03
G41 G00 X1. Z.1
G01 Z-.5 F.006
G00 G42 Z.1
;   ^^^ warning: compensation_side_changed
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S800 M03
G42 G00 X50. Z2.
G01 Z-10. F0.1
G40 X60.
G41 G00 X20. Z2.
G41 G01 Z-5.
G40 X10.
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
