// Another S between two passes with the same lead.
//
// Common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

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

/// Passes or cycles of one thread: by lead and where they end.
struct Thread {
    float lead = 0, end = not_known, speed = not_known;
    const Act* act = nullptr;
    std::vector<float> begins;
    bool is_plain = true; ///< One lead, one end, one speed
};
Thread thread_in(const ToolOfSpan& tool) {
    Thread thread;
    for (const Act& act : tool.work->acts) {
        if (act.cuts()) return {}; // More than this thread
        if (!act.threads() || !act.moves()) continue;
        if (!act.rpm() || !known(act.speed) || !known(act.to_z) || !known(act.from_z) || act.feed <= 0)
            return {};
        if (!thread.act) thread = {act.feed, act.to_z, act.speed, &act, {}, true};
        thread.is_plain =
            thread.is_plain && act.feed == thread.lead && act.to_z == thread.end && act.speed == thread.speed;
        thread.begins.push_back(act.from_z);
    }
    return thread;
}

/// The tool is called once more, and nothing else between, to go over the thread that it has cut.
void look_at_again(const ToolOfSpan& before, const ToolOfSpan& again, Report& report) {
    if (before.station <= 0 || before.station != again.station || before.span->program != again.span->program)
        return;
    const Thread one = thread_in(before), other = thread_in(again);
    if (!one.act || !other.act || !one.is_plain || !other.is_plain || one.lead != other.lead ||
        one.end != other.end)
        return;
    if (one.speed != other.speed) {
        const Act* giver = other.act;
        while (giver != again.work->acts.data() && !giver->gives_speed) --giver;
        report.at_letter(again.place(*giver), 'S')
            .message(
                said("S was {} where the tool cut this thread, and is {} where it goes over it again: it "
                     "runs in otherwise and comes beside the groove. Keep one speed.",
                     spoken(one.speed), spoken(other.speed)))
            .related(before.place(*one.act), said("cut before"));
        return;
    }
    // With starts, or a flank widened on purpose, there is more than one begin.
    constexpr float hardly = 0.01F, opens_flank = 0.2F;
    const auto same_begin = [](const Thread& thread) {
        return std::all_of(thread.begins.begin(), thread.begins.end(),
                           [&](float z) { return z == thread.begins.front(); });
    };
    if (!same_begin(one) || !same_begin(other)) return;
    const float leads = (other.begins.front() - one.begins.front()) / one.lead,
                beside = std::abs(leads - std::round(leads));
    if (beside < hardly || (std::abs(leads) < opens_flank) || std::abs(beside - 0.5F) < hardly) return;
    report.at(again.place(*other.act))
        .message(
            said("This thread began at Z{}, and where the tool goes over it again it begins at Z{}: that is "
                 "no whole number of leads ({}) away, so it comes beside the groove and cuts the crests off. "
                 "Begin at the same Z.",
                 written(one.begins.front()), written(other.begins.front()), spoken(one.lead)))
        .related(before.place(*one.act), said("cut before"));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const ToolOfSpan* before = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (before && tool.work->has_threads && before->work->has_threads)
            look_at_again(*before, tool, report);
        before = &tool;
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
        "first pass to the last. The same holds where the tool is called once more to go over the thread "
        "that "
        "it has cut: another S, or a begin that is no whole number of leads away, brings it beside the "
        "groove.",
    .sequence = sequence,
    .file = file,
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
            // Gone over again behind a stop for the gauge.
            {System::A, R"(
G21 G99
T0707
G97 S700 M03
G00 X46. Z2.
G76 P020060 Q50 R0.02
G76 X40.16 Z-26. P920 Q200 F1.5
G00 X150. Z100.
M05
M00
T0707
G97 S500 M03
;   ^^^^ warning: thread_speed_changed
G00 X46. Z2.
G76 P030060 Q30 R0.02
G76 X40.16 Z-26. P920 Q600 F1.5
G00 X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S600 M03
G00 X1.2 Z.3
G78 X.98 Z-1. F.1
X.93
X.9
G00 X4. Z2.
M00
T0707
G97 S600 M03
G00 X1.2 Z.37
G78 X.9 Z-1. F.1
;^^^^^^^^^^^^^^^ warning: thread_speed_changed
G00 X4. Z2.
M30
)"},
            // Two leads farther on; and half a lead, where there are two starts.
            {System::C, R"(
G71 G90 G95
T0707
G97 S600 M03
G00 X30. Z6.
G21 X26. Z-30. F4.
X25.
G00 X80. Z50.
T0707
G97 S600 M03
G00 X30. Z14.
G21 X25. Z-30. F4.
G00 X80. Z50.
T0707
G97 S600 M03
G00 X30. Z16.
G21 X26. Z-30. F4.
X25.
G00 X80. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_speed_changed
