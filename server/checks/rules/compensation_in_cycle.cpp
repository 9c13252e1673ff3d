// A drilling or threading cycle while G41 or G42 is in force.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::compensation_in_cycle {

namespace {

void block(const BlockView& view, Report& report) {
    bool left = view.after.is(Meaning::compensation_left), right = view.after.is(Meaning::compensation_right);
    if (!left && !right) return;
    bool drills = view.reading.motion == MotionKind::drill_cycle && cuts_in(view);
    if (!drills && !threads_in(view)) return;
    if (!view.reading.code(view.reading.motion_meaning)) return; // Once for the cycle
    report.at(view, *view.reading.code(view.reading.motion_meaning)->item)
        .message(
            said("{} is in force in this {}: the control alarms, or shifts it by the nose radius. Write {} "
                 "before.",
                 code(view, left ? Meaning::compensation_left : Meaning::compensation_right),
                 drills ? said("drilling cycle") : said("thread"), code(view, Meaning::compensation_off)))
        .origin(part(Group::nose_compensation));
}

} // namespace

extern const Check check{
    .id = "compensation_in_cycle",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Nose radius compensation on in a drilling or threading cycle",
    .documentation =
        "Drilling, tapping and threading are done without nose radius compensation: with it the "
        "control alarms, or shifts the hole or the thread by the radius in the offset. Write G40 "
        "before.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G42 G00 X28. Z6.
G92 X23.4 Z-20. F1.5
;^^ warning: compensation_in_cycle
X22.9
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G41
G00 X0 Z.1
G83 Z-1. R.1 F.006
;^^ warning: compensation_in_cycle
G80
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X50. Z2.
G01 Z-10. F0.1
G40 X60.
G92 X23.4 Z-20. F1.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_in_cycle
