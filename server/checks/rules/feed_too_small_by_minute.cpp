// F of a fraction of a millimetre a minute.
//
// The bound: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <utility>

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
        if (is_return(act.motion)) break;
    }
    return end;
}

bool states_revolution(const ToolOfSpan& tool) {
    return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                       [](const Act& act) { return act.states(Group::feed_mode) && act.per_rev(); });
}
/// The tool states the mode itself, and all its feeds are as small: two or more, or another tool states the
/// revolution.
bool is_meant_by_the_revolution(std::span<const ToolOfSpan> tools, const ToolOfSpan& tool, const Act& first,
                                const ToolOfSpan* stated_in, const Act* stated, double per_unit) {
    if (stated_in != &tool || !stated || stated == &first) return false;
    int feeds = 0;
    for (const Act& act : tool.work->acts) {
        if (&act > &first && act.states(Group::feed_mode)) break;
        if (&act < &first || !is_asked(act)) continue;
        if (act.feed * per_unit >= least_mm_per_minute) return false;
        ++feeds;
    }
    return feeds >= 2 || std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& other) {
               return &other != &tool && states_revolution(other);
           });
}
/// Codes by the minute under which several tools feed, all as for one revolution.
std::vector<const Act*> wrong_everywhere(std::span<const ToolOfSpan> tools, std::optional<double> of_file) {
    struct Under {
        const Act* stated = nullptr;
        std::size_t small = 0, in_tools = 0;
        const ToolOfSpan* last = nullptr;
        bool right = false;
    };
    std::vector<Under> found;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::feed_mode)) found.push_back({&act});
            if (found.empty() || !is_asked(act)) continue;
            Under& under = found.back();
            const auto per_unit = mm_of(act, of_file);
            under.right = under.right || !per_unit || act.feed * *per_unit >= least_mm_per_minute;
            ++under.small;
            if (under.last != &tool) ++under.in_tools;
            under.last = &tool;
        }
    std::vector<const Act*> codes;
    for (const Under& under : found)
        if (!under.right && under.in_tools >= 2 && under.small >= 3) codes.push_back(under.stated);
    return codes;
}
/// The only called program that ends by the minute, and what it feeds by last; without an act: there is none,
/// or more than one.
Place left_on_by_called(std::span<const ToolOfSpan> tools) {
    Place left;
    bool several = false;
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (!program[0].span->program->is_subprogram) return;
        Place stated, fed;
        for (const ToolOfSpan& tool : program)
            for (const Act& act : tool.work->acts) {
                if (act.states(Group::feed_mode)) stated = {&tool, &act};
                if (is_asked(act)) fed = {&tool, &act};
            }
        if (!stated.act || !stated.act->per_minute() || !fed.act) return;
        several = several || left.act;
        left = fed;
    });
    return several ? Place{} : left;
}
/// It is called several times, or a main program that goes round.
bool is_run_again(std::span<const ToolOfSpan> tools, std::span<const ToolOfSpan> program) {
    const machine::ProgramPart& part = *program[0].span->program;
    if (!part.is_subprogram)
        return std::any_of(program.begin(), program.end(), [](const ToolOfSpan& tool) {
            return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                               [](const Act& act) { return act.returns; });
        });
    constexpr int digits_of_number = 10000; // "P120304" is 0304 twelve times
    int times = 0;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (number_called(*tool.work, act) != part.number) continue;
            const ActWord *p = tool.work->word(act, 'P'), *l = tool.work->word(act, 'L');
            times += machine::whole_number(l ? l->number : std::max(1.0, p->number / digits_of_number));
        }
    return times > 1;
}

/// A program that is run more than once, begins in the mode of the revolution and ends in the other.
void look_at_next_pass(const FileContext& context, std::span<const ToolOfSpan> tools,
                       std::optional<double> of_file, Report& report) {
    Place small, stated;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return;
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::feed_mode)) stated = {&tool, &act};
            const auto per_unit = mm_of(act, of_file);
            if (small.act || stated.act || goes_by_minute(act, context.settings()) || !per_unit ||
                !act.cuts() || !act.gives_feed)
                continue;
            if (act.feed > 0 && act.feed * *per_unit < least_mm_per_minute) small = {&tool, &act};
        }
    }
    if (!small.act || !stated.act || !stated.act->per_minute()) return;
    const Place end = end_of_work(stated);
    const std::string per_rev = code(context.settings(), Meaning::feed_per_rev);
    report.at(end.tool->place(*end.act))
        .message(said("{0} is missing here: {1} stays on, and when the program runs the next time F{2} "
                      "above is {2} a minute, where the tool stands and rubs. Write {0} before the end.",
                      per_rev, code(context.settings(), Meaning::feed_per_minute), written(small.act->feed)))
        .related(small.tool->place(*small.act), said("the first feed meant by the revolution"))
        .related(stated.tool->place(*stated.act), said("by the minute from here"));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    const auto of_file = unit_of_file(context, tools);
    if (std::any_of(tools.begin(), tools.end(), [](const ToolOfSpan& tool) { return tool.work->by_minute; }))
        for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
            if (is_run_again(tools, program)) look_at_next_pass(context, program, of_file, report);
        });
    Place last_right, stated; // Under the mode that stands
    bool left_over_told = false;
    std::vector<const Act*> everywhere;
    const Act* told_of = nullptr;
    bool sought = false;
    const ToolOfSpan* behind = tools.data(); ///< The first that is not gone through
    for (const ToolOfSpan& tool : tools) {
        // The mode may be taken back in any; feeds by the minute stand in few.
        if (!last_right.act && !tool.work->by_minute) continue;
        context.reader().whole(machine::Whole::text);
        if (!std::exchange(sought, true)) everywhere = wrong_everywhere(tools, of_file);
        for (; behind < &tool; ++behind) // What was passed by may state the mode
            for (const Act& act : behind->work->acts)
                if (act.states(Group::feed_mode)) stated = {behind, &act};
        behind = &tool + 1;
        bool told_here = false;
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::feed_mode)) {
                stated = {&tool, &act};
                last_right = {};
                left_over_told = false;
            }
            const auto per_unit = mm_of(act, of_file);
            // A tap by the minute is right by it, and stands behind the others.
            if (per_unit && last_right.act && act.taps() && act.per_minute() &&
                act.feed * *per_unit >= least_mm_per_minute)
                last_right = {&tool, &act};
            if (!is_asked(act) || !per_unit) continue;
            if (act.feed * *per_unit >= least_mm_per_minute) {
                last_right = {&tool, &act};
                continue;
            }
            const std::string per_rev = code(context.settings(), Meaning::feed_per_rev);
            // A called program has changed it.
            if (!last_right.act && stated.act && stated.act->per_rev() && !tool.span->program->is_subprogram)
                last_right = left_on_by_called(tools);
            const bool left_over = last_right.act && last_right.tool != &tool;
            if (left_over && !left_over_told) {
                const Place end = end_of_work(last_right);
                auto entry =
                    report.at(end.tool->place(*end.act))
                        .message(said(
                            "{} is missing here: {} stays on after F{}, and F{} below is {} {} a minute, "
                            "where the tool stands and rubs. Write {} before the next tool.",
                            per_rev, code(context.settings(), Meaning::feed_per_minute),
                            written(last_right.act->feed), written(act.feed), spoken(act.feed),
                            *per_unit > 1 ? "in" : "mm", per_rev))
                        .related(tool.place(act), said("the first feed meant by the revolution"));
                if (stated.act)
                    entry.related(stated.tool->place(*stated.act), said("by the minute from here"));
                left_over_told = true;
            }
            if (left_over || told_here) continue; // Once a tool
            told_here = true;
            if (std::find(everywhere.begin(), everywhere.end(), stated.act) != everywhere.end()) {
                if (std::exchange(told_of, stated.act) == stated.act) continue;
                report_at_code(report, context.reader(), stated.tool->place(*stated.act),
                               Meaning::feed_per_minute)
                    .message(
                        said("{} makes all feeds from here on feeds by the minute, and all are of a size "
                             "for one revolution: F{} is {} {} a minute, where the tool stands and rubs. "
                             "Write {}.",
                             code(context.settings(), Meaning::feed_per_minute), written(act.feed),
                             spoken(act.feed), *per_unit > 1 ? "in" : "mm", per_rev))
                    .related(tool.place(act), said("the first such feed"));
                continue;
            }
            // Behind one that is right by the minute, as of a slide, the mode was to be taken back.
            if (!last_right.act &&
                is_meant_by_the_revolution(tools, tool, act, stated.tool, stated.act, *per_unit)) {
                const std::string per_minute = code(context.settings(), Meaning::feed_per_minute);
                report_at_code(report, context.reader(), stated.tool->place(*stated.act),
                               Meaning::feed_per_minute)
                    .message(said(
                        "{} makes the feeds of this tool feeds by the minute, and all are of a size for one "
                        "revolution: F{} is {} {} a minute, where the tool stands and rubs. Write {}.",
                        per_minute, written(act.feed), spoken(act.feed), *per_unit > 1 ? "in" : "mm",
                        per_rev))
                    .related(tool.place(act), said("the first such feed"));
                continue;
            }
            report.at_letter(tool.place(act), 'F')
                .message(
                    said("F{} is {} {} a minute: the tool stands and rubs. By the revolution it needs {}.",
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
        "it is told there, where the mode was to be taken back. Where the tool states the mode itself and "
        "all its "
        "feeds are as small, or where all feeds of several tools are, the code is told.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G95 G97
T0404
S1500 M03
G00 B5.
G94 G01 B-20. F800
M268
G01 B31.5 F2000
G00 X36. Z3.3
G01 X12. F0.1
;       ^^^^ warning: feed_too_small_by_minute
X-0.6 F0.04
G00 X40.
M30
)"},
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
            // A called program leaves it on.
            {System::A, R"(
O0319
G21 G99
M98 P1950
T0202
G97 S2800 M03
G00 X22. Z0 M08
G01 X-1. F0.12
G00 X150. Z100.
M30
O1950
M05
T1010
G00 X0 Z10.
G98 G01 Z0.5 F2000
G00 Z50.
X150. Z100.
M99
;^^ warning: feed_too_small_by_minute
)"},
            // All tools under one code.
            {System::B, R"(
G20 G40
G90 G94
;   ^^^ warning: feed_too_small_by_minute
T0101
G97 S800 M03
G00 X3.2 Z0
G01 X-.06 F.01
G00 X3.1 Z.1
G01 Z-1. F.012
T0202
G97 S800 M03
G00 X0 Z.2
G01 Z-1.75 F.005
G00 Z.2
M30
)"},
            {System::B, R"(
N2 (FINISH)
G21 G90 G94
;       ^^^ warning: feed_too_small_by_minute
T0202
G96 S240 M03
G00 X32. Z2.
G01 Z0. F0.1
X-.8
G00 Z2.
X40.
G01 Z-30. F.15
M30
)"},
            {System::C, R"(
N1 (ROUGH)
G71 G90 G95
T0101
G97 S800 M03
G00 X42. Z2.
G01 Z-30. F.3
N2 (FINISH)
G90 G94
;   ^^^ warning: feed_too_small_by_minute
T0202
G96 S240 M03
G00 X40. Z2.
G01 Z-30. F.15
M30
)"},
            {System::A, R"(
G20 G98
T0202
G97 S800 M03
G00 X1. Z.1
G01 Z-.5 F6.
X1.2 F.008
;    ^^^^^ warning: feed_too_small_by_minute
Z-.7 F.008
M30
)"},
            {System::A, R"(
O0300
G20 G99
M98 P120304
M30
O0304
T0101
G97 S800 M03
G00 X1.9 Z.1
G01 X-.04 F.008
G00 X3. Z2.
G28 U0 W0
T0909
M05
G00 X0 Z.5
G98 G01 Z-.5 F50.
G04 U1.
G01 W1.6 F100.
G28 U0 W0
;^^^^^^^^^ warning: feed_too_small_by_minute
M99
)"},
            {System::A, R"(
O0300
G20 G99
M98 P120304
M30
O0304
T0101
G97 S800 M03
G00 X1.9 Z.1
G01 X-.04 F.008
G00 X3. Z2.
G28 U0 W0
T0909
M05
G00 X0 Z.5
G98 G01 Z-.5 F50.
G04 U1.
G01 W1.6 F100.
G28 U0 W0
G99
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_too_small_by_minute
