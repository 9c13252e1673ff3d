// Another S between two passes with the same lead.
//
// Common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::thread_speed_changed {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const Step* last = nullptr;
    for (const Step& step : context.steps) {
        if (!cuts(step) || cuts_at_feed(step)) {
            if (cuts_at_feed(step)) last = nullptr; // Another cut between: another thread
            continue;
        }
        bool same_thread = last && last->meaning == step.meaning && last->after->feed == step.after->feed &&
                           step.after->feed.known() && last->target_z == step.target_z &&
                           step.motion != MotionKind::thread_cycle;
        if (same_thread && step.is(Meaning::constant_rpm) && last->is(Meaning::constant_rpm) &&
            step.after->speed.known() && last->after->speed.known() &&
            step.after->speed.number != last->after->speed.number) {
            report.at(step.place)
                .message(said("S changes from {} to {} between two passes of a thread: this pass is shifted "
                              "along the thread. Keep one speed.",
                              spoken(last->after->speed.number), spoken(step.after->speed.number)));
            return;
        }
        last = &step;
    }
}

} // namespace

extern const Check check{
    .id = "thread_speed_changed",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Speed changed between the passes of a thread",
    .documentation =
        "S changes between two passes of one thread. The control starts each pass at the same mark of "
        "the spindle, but runs in by an amount that depends on the speed: the next pass is shifted "
        "along the thread and cuts a flank away. Keep the speed from the "
        "first pass to the last.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G92 X23.4 Z-20. F1.5
G97 S1000
X22.9
;^^^^ warning: thread_speed_changed
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S800 M03
G00 X1. Z.2
G33 Z-1. F.0625
G00 X1.2
Z.2
S900
G00 X.98
G33 Z-1. F.0625
;^^ warning: thread_speed_changed
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G92 X23.4 Z-20. F1.5
X22.9
G00 X40.
S600
G00 X40. Z-30.
G92 X33.4 Z-50. F2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_speed_changed
