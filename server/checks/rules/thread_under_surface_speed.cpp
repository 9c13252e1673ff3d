// A threading move while G96 is in force.
//
// Common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::thread_under_surface_speed {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        if (!cuts(step) || cuts_at_feed(step) || !step.is(Meaning::surface_speed)) continue;
        report_at_code(report, context, step, step.meaning)
            .message(said("Thread under {}: the speed changes from pass to pass and the passes do not meet. "
                          "Write {} with a fixed speed before the first pass.",
                          code(context.settings(), Meaning::surface_speed),
                          code(context.settings(), Meaning::constant_rpm)))
            .origin(part(Group::spindle_mode));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "thread_under_surface_speed",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread cut under constant surface speed",
    .documentation =
        "Under G96 the speed changes with X, from pass to pass and on a taper within the pass. The "
        "lead follows the spindle, but the start of the thread wanders with the speed and the flanks "
        "of the passes do not meet. Cut threads under G97.",
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_under_surface_speed
