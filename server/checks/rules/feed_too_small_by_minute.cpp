// F of a fraction of a millimetre a minute.
//
// The bound: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"

namespace turnwright::checks::rules::feed_too_small_by_minute {

namespace {

constexpr double least_mm_per_minute = 3.0;

struct Place {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

bool is_asked(const Act& act) {
    return act.gives_feed && act.feed > 0 && act.per_minute() && !act.dwells && !act.threads() &&
           !act.taps() && act.motion != MotionKind::thread_cycle;
}

/// Where the mode was to be taken back: at the way home behind the last feed that is meant by the minute.
Place end_of_work(const Place& last_right) {
    Place end = last_right;
    bool behind = false;
    for (const Act& act : last_right.tool->work->acts) {
        if (&act == last_right.act) behind = true;
        if (!behind) continue;
        end.act = &act;
        if (act.motion == MotionKind::reference || act.motion == MotionKind::machine_rapid) break;
    }
    return end;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    const auto of_file = unit_of_file(tools);
    Place last_right, stated; // Under the mode that stands
    bool left_over_told = false;
    for (const ToolOfSpan& tool : tools) {
        // The mode may be taken back in any; feeds by the minute stand in few.
        if (!last_right.act && !tool.work->by_minute) continue;
        context.reader().whole(machine::Whole::text);
        bool told_here = false;
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::feed_mode)) {
                stated = {&tool, &act};
                last_right = {};
                left_over_told = false;
            }
            const auto per_unit = mm_of(act, of_file);
            if (!is_asked(act) || !per_unit) continue;
            if (act.feed * *per_unit >= least_mm_per_minute) {
                last_right = {&tool, &act};
                continue;
            }
            const std::string per_rev = code(context.settings(), Meaning::feed_per_rev);
            const bool left_over = last_right.act && last_right.tool != &tool;
            if (left_over && !left_over_told) {
                const Place end = end_of_work(last_right);
                auto entry =
                    report.at(end.tool->place(*end.act))
                        .message(fmt::format(
                            "{} is missing here: {} stays on after F{}, and F{} below is {} {} a minute, "
                            "where the tool stands and rubs. Write {} before the next tool.",
                            per_rev, code(context.settings(), Meaning::feed_per_minute),
                            written(last_right.act->feed), written(act.feed), spoken(act.feed),
                            *per_unit > 1 ? "in" : "mm", per_rev))
                        .related(tool.place(act), "the first feed meant by the revolution");
                if (stated.act) entry.related(stated.tool->place(*stated.act), "by the minute from here");
                left_over_told = true;
            }
            if (left_over || told_here) continue; // Once a tool
            told_here = true;
            report.at_letter(tool.place(act), 'F')
                .message(fmt::format(
                    "F{} is {} {} a minute: the tool stands and rubs. By the revolution it needs {}.",
                    written(act.feed), spoken(act.feed), *per_unit > 1 ? "in" : "mm", per_rev))
                .origin(part(Group::feed_mode));
        }
    }
}

} // namespace

extern const Check check{
    .id = "feed_too_small_by_minute",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed by the minute that looks like one by the revolution",
    .documentation =
        "The feed mode is by the minute and F is so small (below 3 mm or 0.12 in a minute) "
        "that the tool stands and rubs: 0.2 mm a minute takes five minutes for a "
        "millimetre. Mostly it was meant by the revolution. Where another tool has worked by the minute "
        "before, "
        "it is told there, where the mode was to be taken back.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
;        ^^^^ warning: feed_too_small_by_minute
M30
)"},
            {System::B, R"(
G20 G90 G94
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.008
;        ^^^^^ warning: feed_too_small_by_minute
M30
)"},
            {System::A, R"(
G21 G98
T1111
G00 X50. Z2.
G01 Z-5. F60.
G99 G01 X40. F0.2
M30
)"},
            {System::C, R"(
G70 G90 G94
T1111
G00 X2. Z.1
G01 Z-.5 F1.5
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G94
G97 S1800
G00 X.7 Z-.5
G01 X-.05 F6.
G00 X.7
G00 G53 X-1. Z-8.
;^^^^^^^^^^^^^^^^ warning: feed_too_small_by_minute
T0303
G96 S180 M03
G00 X.6 Z-1.
G01 X.15 F.002
X-.01 F.0015
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_too_small_by_minute
