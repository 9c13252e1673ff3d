// G28, G30 or G53 while G41 or G42 is in force.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::compensation_on_at_return {

namespace {

void block(const BlockView& view, Report& report) {
    MotionKind motion = view.reading.motion;
    if (!is_return(motion)) return;
    bool left = view.after.is(Meaning::compensation_left), right = view.after.is(Meaning::compensation_right);
    if (!left && !right) return;
    const machine::Word* word = view.reading.code(view.reading.motion_meaning);
    auto entry = word ? report.at(view, *word->item) : report.at(view);
    entry
        .message(
            said("{} is still in force on the way home: the control alarms, or ends a nose radius beside "
                 "the position. Write {} in the retract before.",
                 code(view, left ? Meaning::compensation_left : Meaning::compensation_right),
                 code(view, Meaning::compensation_off)))
        .origin(part(Group::nose_compensation));
}

} // namespace

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_on_at_return
