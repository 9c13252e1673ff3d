// G96 or G97 without a new S.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::speed_from_other_mode {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const Step* changed = nullptr;
    for (const Step& step : context.steps) {
        if (step.gives(Meaning::surface_speed) || step.gives(Meaning::constant_rpm)) changed = &step;
        // A bar is drawn out with the spindle stopped.
        if (!cuts(step) || step.after->speed.why != Why::mode_changed || step.is(Meaning::spindle_stop))
            continue;
        const Step& at = changed ? *changed : step;
        Meaning mode = step.is(Meaning::surface_speed) ? Meaning::surface_speed : Meaning::constant_rpm;
        report_at_code(report, context, at, mode)
            .message(
                said("{} comes without a speed of its own, and the S above was meant for the other mode. "
                     "Write S here.",
                     code(context.settings(), mode)))
            .origin(part(Part::speed));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "speed_from_other_mode",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Speed set under another spindle mode",
    .documentation =
        "The spindle mode has changed and S was not given again: S1150 rpm is read as 1150 m/min, or "
        "180 m/min as 180 rpm. Some controls keep the speed the spindle has at that moment; whatever "
        "they do, it is not written here. Give S with G96 and with G97.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99 G50 S2500
T0101
G97 S1150 M03
G00 X50. Z2.
G96
;^^ warning: speed_from_other_mode
G01 Z-5. F0.2
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2000
T0101
G96 S400 M03
G00 X2. Z.1
G97
;^^ warning: speed_from_other_mode
G01 Z-.5 F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
G92 S2000
T0101
G96 M03
S180
G00 X50. Z2.
G01 Z-5. F0.2
G97
G00 X80.
M30
)"},
            // The bar is drawn out with the spindle stopped.
            {System::A, R"(
G20 G99 G50 S2500
T0505
G96 S350 M03
G00 X.85 Z-1.118
G01 X.2 F.002
G00 X1.
G30 U0 W0
T0606
G97 M05
G00 X0 Z.3
G98 G01 Z-1.4 F40.
M69
Z0
M68
G30 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::speed_from_other_mode
