// Another S between two passes with the same lead.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const Step* last = nullptr;
    for (const Step& step : context.steps) {
        if (!cuts(step) || cuts_at_feed(step)) {
            if (cuts_at_feed(step)) last = nullptr; // Another cut between: another thread
            continue;
        }
        bool same_thread = last && last->meaning == step.meaning && last->feed == step.feed &&
                           step.feed.known() && last->target_z == step.target_z &&
                           step.motion != MotionKind::thread_cycle;
        if (same_thread && step.is(Meaning::constant_rpm) && last->is(Meaning::constant_rpm) &&
            step.speed.known() && last->speed.known() && step.speed.number != last->speed.number) {
            report.at(step.place)
                .message(fmt::format(
                    "S changes from {} to {} between two passes of a thread: this pass is shifted "
                    "along the thread. Keep one speed.",
                    spoken(last->speed.number), spoken(step.speed.number)));
            return;
        }
        last = &step;
    }
}

} // namespace

extern const Check thread_speed_changed{
    .id = "thread_speed_changed",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Speed changed between the passes of a thread",
    .documentation =
        "S changes between two passes of one thread. The control starts each pass at the same mark of "
        "the spindle, but runs in by an amount that depends on the speed: the next pass is shifted "
        "along the thread and cuts a flank away (common practice, no source). Keep the speed from the "
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
