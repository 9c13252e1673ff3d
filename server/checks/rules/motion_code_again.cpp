// G00 or G01 written where it is in force, in a program that writes each only where it changes: the other is
// meant.
//
// The least counts: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::motion_code_again {

namespace {

constexpr std::size_t least_omitted = 6;

struct Again {
    const ToolOfSpan* tool;
    const Act* act;
    std::size_t nth; ///< Of the statements of G00 and G01
};

bool is_plain(const Act& act) {
    return act.motion == MotionKind::rapid || act.motion == MotionKind::feed;
}

/// Statements of a code that was in force, and moves that leave it out.
struct Habit {
    std::vector<Again> again;
    std::size_t omitted = 0;
};

Habit habit_of(std::span<const ToolOfSpan> tools) {
    Habit habit;
    std::size_t nth = 0;
    for (const ToolOfSpan& tool : tools) {
        MotionKind in_force = MotionKind::none;
        for (const Act& act : tool.work->acts) {
            if (act.in_contour || act.calls_tool || act.deleted || !act.moves() || !is_plain(act)) {
                // A stop, a cycle, a way home: many write the code anew behind it.
                if (act.motion != MotionKind::none || act.calls_tool || act.states(Group::motion) ||
                    act.words > 0)
                    in_force = MotionKind::none;
                continue;
            }
            if (!act.states(Group::motion)) {
                if (in_force == act.motion) ++habit.omitted;
            } else {
                ++nth;
                if (in_force == act.motion) habit.again.push_back({&tool, &act, nth});
            }
            in_force = act.motion;
        }
    }
    return habit;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const Habit habit = habit_of(tools);
    if (habit.again.empty() || habit.omitted < least_omitted) return;
    // The other code in its place makes one or two, side by side.
    const std::vector<Again>& again = habit.again;
    if (again.size() > 2) return;
    if (again.size() == 2 &&
        (again[1].nth != again[0].nth + 1 || again[0].act->motion != again[1].act->motion))
        return;
    const Act& act = *again[0].act;
    const bool rapid = act.motion == MotionKind::rapid;
    const bool goes_in = (known(act.from_x) && known(act.to_x) && act.to_x < act.from_x) ||
                         (known(act.from_z) && known(act.to_z) && act.to_z < act.from_z);
    // An approach, or the last way out before a tool change, is often written anew.
    if (rapid && again.size() == 1) return;
    // With a feed of its own it is meant as one.
    if (!rapid && act.gives_feed) return;
    report_at_code(report, context, *again[0].tool, act)
        .severity(rapid && goes_in ? Severity::warning : Severity::information)
        .message(
            said("{} is in force already, and {} other moves leave it out where it is: {}",
                 code(context.settings(), act.meaning), habit.omitted,
                 rapid ? said("is this a cut? Then write {}; as it stands the tool goes there at full rate.",
                              code(context.settings(), Meaning::feed_line))
                       : said("is this a way back? Then write {}; as it stands the tool feeds there.",
                              code(context.settings(), Meaning::rapid))));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "motion_code_again",
    .family = Family::words,
    .severity = Severity::information,
    .title = "G00 or G01 stated again against the program's habit",
    .documentation = "The program writes G00 and G01 only where they change, and one block states the code "
                     "that is in force "
                     "already. There the other one was meant, or a block between is lost: with G00 in place "
                     "of G01 the tool "
                     "goes into the metal at full rate, with G01 in place of G00 it creeps back. Programs "
                     "that state the code "
                     "more than once so, or in every block, are let pass.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
X52.
G00 Z1.
X40.
G00 Z-20.
;^^ warning: motion_code_again
X52.
G00 Z1.
X44.
G01 Z-10.
X46.
Z-12.
X52.
G00 Z1.
X60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G0 X52. Z1.
X46.
G1 Z-60. F0.2
X52.
G1 Z1.
;^ information: motion_code_again
X40.
G1 Z-20.
X52.
G0 Z1.
X44.
G1 Z-10.
X46.
Z-12.
X52.
G0 Z1.
X60.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G00 X46.
G01 Z-60. F0.2
G01 X52.
G00 Z1.
G00 X40.
G01 Z-20.
G01 X52.
G00 Z1.
G00 X44.
G01 Z-10.
X46.
Z-12.
X52.
G00 Z1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::motion_code_again
