// A rapid in X behind a drilling feed along the centre, before Z has come out.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    bool in_hole = false;
    for (const Step& step : context.steps) {
        if (step.in_contour || step.motion == MotionKind::none) continue;
        bool along_centre = step.from_x.is(0) && step.to_x.is(0) && step.moves_z && !step.moves_x;
        bool deeper = step.from_z.known() && step.to_z.known() && step.to_z.number < step.from_z.number;
        if (step.motion == MotionKind::feed && along_centre && deeper && step.to_z.number < 0) {
            in_hole = true;
            continue;
        }
        if (!in_hole || !step.moves()) continue;
        bool still_in = step.from_z.known() && step.from_z.number < 0 && step.from_x.is(0);
        bool moves_x =
            step.motion == MotionKind::rapid && step.moves_x && step.to_x.known() && step.to_x.number != 0;
        if (still_in && moves_x) {
            report.at_letter(step.place, 'X')
                .message(
                    fmt::format("X moves in a rapid while the tool is in the hole at Z{}: it is snapped off. "
                                "Withdraw in Z first.",
                                written(step.from_z.number)));
            return;
        }
        if (!step.to_z.known() || step.to_z.number >= 0 || step.motion != MotionKind::rapid) in_hole = false;
    }
}

} // namespace

extern const Check drill_not_withdrawn{
    .id = "drill_not_withdrawn",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "X moves while the drill is in the hole",
    .documentation =
        "The tool has fed along the centreline into the part and the next rapid moves X while it is "
        "still in the hole: the drill is snapped off against its wall. Withdraw in Z first.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
G00 X80. Z20.
;   ^^^^ warning: drill_not_withdrawn
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X0 Z.1
G01 Z-1. F.006
G00 X3.
;   ^^^ warning: drill_not_withdrawn
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
G00 Z2.
G00 Z-19.
G01 Z-40.
G00 Z10.
G00 X80. Z20.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z-1.
G01 X0. F0.2
G00 X52.
T0202
G00 X0. Z2.
G83 Z-20. R2. F0.1
G80
G00 X50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
