// A threading move while G96 is in force.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        if (!cuts(step) || cuts_at_feed(step) || !step.is(Meaning::surface_speed)) continue;
        report_at_code(report, context, step, step.meaning)
            .message(fmt::format(
                "Thread under {}: the speed changes from pass to pass and the passes do not meet. "
                "Write {} with a fixed speed before the first pass.",
                code(context.analysis, Meaning::surface_speed),
                code(context.analysis, Meaning::constant_rpm)))
            .origin(part(Group::spindle_mode));
        return;
    }
}

} // namespace

extern const Check thread_under_surface_speed{
    .id = "thread_under_surface_speed",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread cut under constant surface speed",
    .documentation =
        "Under G96 the speed changes with X, from pass to pass and on a taper within the pass. The "
        "lead follows the spindle, but the start of the thread wanders with the speed and the flanks "
        "of the passes do not meet (common practice, no source). Cut threads under G97.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99 G50 S2000
T0707
G96 S120 M03
G00 X28. Z6.
G92 X23.4 Z-20. F1.5
;^^ warning: thread_under_surface_speed
X22.9
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2000
T0707
G96 S300 M03
G00 X1.2 Z.2
G33 Z-1. F.0625
;^^ warning: thread_under_surface_speed
M30
)"},
            {System::A, R"(
G21 G99 G50 S2000
T0101
G96 S120 M03
G00 X28. Z6.
G01 Z-10. F0.2
G97 S800
G32 Z-20. F1.5
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
