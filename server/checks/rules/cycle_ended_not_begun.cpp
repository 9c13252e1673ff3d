// G80 behind an approach and turns of C, and no cycle has begun: its block is lost.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::cycle_ended_not_begun {

namespace {

struct End {
    const ToolOfSpan* tool = nullptr;
    const Act* first = nullptr; ///< Behind the last way of X or Z
};

/// G80 and nothing else that a line for safety states.
bool ends_alone(const Act& act) {
    if (!act.states(Group::drill_cycle) || act.motion != MotionKind::none || act.moves() || act.deleted)
        return false;
    for (const Group other : {Group::motion, Group::plane, Group::distance, Group::units, Group::feed_mode,
                              Group::nose_compensation, Group::spindle_mode, Group::datum})
        if (act.states(other)) return false;
    return !act.calls_tool;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    std::size_t right = 0;
    std::vector<End> odd;
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) return;
        bool called = false, cycle = false, works = false, comes = false;
        const Act* first = nullptr;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program) return; // It may run there
            if (act.calls_tool) called = true, cycle = works = comes = false, first = nullptr;
            if (act.motion == MotionKind::drill_cycle || act.in_contour || act.threads()) cycle = true;
            if (act.cuts()) works = true;
            if (ends_alone(act)) {
                if (cycle) ++right;
                if (called && !cycle && !works && comes) odd.push_back({&tool, first ? first : &act});
                cycle = false, comes = false, first = nullptr;
                continue;
            }
            if (act.motion == MotionKind::rapid && act.moves())
                comes = true, first = nullptr;
            else if (comes && !first)
                first = &act;
        }
    }
    // Where it stands so at several tools, it is their habit.
    if (odd.size() != 1 || right == 0) return;
    report.at(odd.front().tool->place(*odd.front().first))
        .message(said(
            "{0} ends a cycle below, and none has begun with this tool: it comes to its place, and leaves "
            "without a hole. The other tools begin theirs in a block before {0}. Is that block lost here?",
            code(context.settings(), Meaning::drill_cycle_off)));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "cycle_ended_not_begun",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Cycle ended that has not begun",
    .documentation = "A tool comes to its place, turns the part by C perhaps, and ends a drilling cycle with "
                     "a block of its own, "
                     "and no cycle and no cut stands before it: the block that begins the cycle is lost, and "
                     "nothing is drilled "
                     "or tapped. Told where other tools of the program begin and end a cycle so, and only "
                     "where it stands once. A "
                     "safety line that states G80 among others is none of these.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 Z-20. Q5000 F180.
C120.
C240.
G80
G00 Z100.
T0606
S300 M73
G00 X90. Z5. C0
C120.
;^^^^ warning: cycle_ended_not_begun
C240.
G80
G00 Z100.
M75
M72
M30
)"},
            {System::B, R"(
G20 G90 G95 G97
T0505
S900 M03
G00 X0 Z.2
G83 Z-.6 R.1 Q.1 F.005
G80
G00 X6. Z4.
T0606
S400 M03
G00 X0 Z.2
G80
;^^ warning: cycle_ended_not_begun
G00 X6. Z4.
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 Z-20. Q5000 F180.
C120.
C240.
G80
G00 Z100.
T0606
S300 M73
G00 X90. Z5. C0
G84 Z-16. F375.
C120.
C240.
G80
G00 Z100.
M75
M72
M30
)"},
            // Stated by each tool for safety.
            {System::C, R"(
G71 G90 G95 G97
T0505
S900 M03
G00 X0 Z5.
G83 Z-20. R2. Q4000 F0.1
G80
G00 X100. Z80.
T0101
G80
G00 X40. Z2.
G80
G01 Z-20. F0.2
G00 X100. Z80.
T0303
G00 X38. Z2.
G80
G01 Z-20. F0.2
G00 X100. Z80.
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::cycle_ended_not_begun
