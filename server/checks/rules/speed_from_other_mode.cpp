// G96 or G97 without a new S.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const Step* changed = nullptr;
    for (const Step& step : context.steps) {
        if (step.gives(Meaning::surface_speed) || step.gives(Meaning::constant_rpm)) changed = &step;
        if (!cuts(step) || step.speed.why != Why::mode_changed) continue;
        const Step& at = changed ? *changed : step;
        Meaning mode = step.is(Meaning::surface_speed) ? Meaning::surface_speed : Meaning::constant_rpm;
        report_at_code(report, context, at, mode)
            .message(fmt::format(
                "{} comes without a speed of its own, and the S above was meant for the other mode. "
                "Write S here.",
                code(context.analysis, mode)))
            .origin(part(Part::speed));
        return;
    }
}

} // namespace

extern const Check speed_from_other_mode{
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
