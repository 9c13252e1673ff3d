// F of many millimetres a revolution.
//
// The bound: common practice, no source.
#include "checks/rule.h"
#include "checks/unit_evidence.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_too_large_by_revolution {

namespace {

bool is_asked(const Act& act) {
    return act.gives_feed && act.feed > 0 && act.per_rev() && !act.dwells && !act.threads() && !act.taps() &&
           act.motion != MotionKind::thread_cycle;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    if (feeds_as_inch(context, tools).say_millimetres()) return; // Told at the unit code
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->has_large_feed) continue;
        context.reader().whole(machine::Whole::text);
        for (const Act& act : tool.work->acts) {
            if (!is_asked(act) || (!act.inch() && !act.millimetre())) continue;
            const bool inch = act.inch();
            if (act.feed * (inch ? motion::mm_per_inch : 1) <= 3.06) continue;
            const std::string feed = spoken(act.feed);
            const std::string guess =
                inch && act.feed <= 1.0F
                    ? said(" In millimetres it would be {} in.", spoken(act.feed / motion::mm_per_inch))
                    : said(" By the minute it is F{} with {}.", written(act.feed),
                           code(context.settings(), Meaning::feed_per_minute));
            report.at_letter(tool.place(act), 'F')
                .message(said("F{} is {} {} a revolution: the tool is torn off at the first touch.{}",
                              written(act.feed), feed, inch ? "in" : "mm", guess));
        }
    }
}

} // namespace

extern const Check check{
    .id = "feed_too_large_by_revolution",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed by the revolution that looks like one by the minute",
    .documentation =
        "The feed mode is by the revolution and F is larger than any turning tool takes (above 3 mm "
        "or 0.12 in). Mostly it is a value by the minute, or a metric one "
        "in an inch program. The tool is torn off at the first touch. The lead of a thread is no feed "
        "and is not asked.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F200.
;        ^^^^^ warning: feed_too_large_by_revolution
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.25
;        ^^^^ warning: feed_too_large_by_revolution
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S300 M03
G00 X50. Z5.
G32 Z-20. F6.
G84 Z-20. F4.
G98 G01 Z-5. F200.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S300 M03
G00 X2. Z.5
G21 X1.8 Z-1. F.25
G00 X3.
G01 Z-2. F.02
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_too_large_by_revolution
