// G41 to G42, or back, without G40.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::compensation_side_changed {

namespace {

void block(const BlockView& view, Report& report) {
    auto changes = [&](Meaning before, Meaning now) {
        return view.before.is(before) && view.after.is(now) && view.reading.code(now);
    };
    bool to_right = changes(Meaning::compensation_left, Meaning::compensation_right);
    if (!to_right && !changes(Meaning::compensation_right, Meaning::compensation_left)) return;
    Meaning now = to_right ? Meaning::compensation_right : Meaning::compensation_left;
    report.at(view, *view.reading.code(now)->item)
        .message(said(
            "{} while {} is in force: the tool swings across the path by twice its nose radius. Write "
            "{} in between, away from the part.",
            code(view, now), code(view, to_right ? Meaning::compensation_left : Meaning::compensation_right),
            code(view, Meaning::compensation_off)))
        .origin(part(Group::nose_compensation));
}

} // namespace

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_side_changed
