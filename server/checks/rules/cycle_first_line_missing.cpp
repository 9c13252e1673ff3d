// A cycle of two lines whose first line stands nowhere above.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::cycle_first_line_missing {

namespace {

bool is_call(const Acts& work, const Act& act) {
    if (act.motion == MotionKind::contour_cycle)
        return act.meaning != Meaning::finish_cycle && work.has_letter(act, "P") && work.has_letter(act, "Q");
    return act.meaning == Meaning::thread_cycle && act.motion == MotionKind::thread_cycle && act.moves();
}
bool is_one_line(const Acts& work, const Act& act) {
    return work.has_letter(act, "DKI");
}
std::string_view what_is_missing(Meaning meaning) {
    switch (meaning) {
    case Meaning::pattern_repeat:
        return said("how many cuts there are and how far they stand off");
    case Meaning::thread_cycle:
        return said("finish passes, angle and least depth");
    default:
        return said("the depth of each cut and the retract");
    }
}

bool is_of_two_lines(const Act& act) {
    return act.motion == MotionKind::contour_cycle || act.motion == MotionKind::thread_cycle ||
           act.motion == MotionKind::peck_cycle;
}
/// It stores what the next line runs with.
bool is_first_line(const Acts& work, const Act& act) {
    if (!is_of_two_lines(act) || act.meaning == Meaning::finish_cycle || act.moves()) return false;
    return act.motion == MotionKind::thread_cycle || !work.has_letter(act, "PQ");
}

/// Behind the first line of one cycle stands the second of another.
void look_at_pairs(const FileContext& context, const ToolOfSpan& tool, std::set<const Act*>& told,
                   Report& report) {
    const auto& acts = tool.work->acts;
    for (std::size_t i = 1; i < acts.size(); ++i) {
        const Act &first = acts[i - 1], &second = acts[i];
        if (!is_first_line(*tool.work, first) || !is_of_two_lines(second) ||
            first.meaning == second.meaning || is_first_line(*tool.work, second) ||
            is_one_line(*tool.work, second))
            continue;
        told.insert(&second);
        const std::string one = code(context.settings(), first.meaning),
                          other = code(context.settings(), second.meaning);
        report_at_code(report, context, tool, second)
            .message(said("The line above is the first of {}, and here {} begins: {} is not run, and {} runs "
                          "with what the control has kept from another job. One of the two codes is wrong.",
                          one, other, one, other));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    std::set<Meaning> stored, told;
    const machine::ProgramPart* program = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != program) {
            stored.clear();
            told.clear();
        }
        program = tool.span->program;
        std::set<const Act*> of_pairs;
        look_at_pairs(context, tool, of_pairs, report);
        for (const Act& act : tool.work->acts) {
            if (of_pairs.contains(&act)) continue;
            if (act.motion != MotionKind::contour_cycle && act.motion != MotionKind::thread_cycle) continue;
            if (!is_call(*tool.work, act)) {
                stored.insert(act.meaning);
                continue;
            }
            if (is_one_line(*tool.work, act)) {
                stored.insert(act.meaning); // The one-line form: its words stay for the next
                continue;
            }
            if (stored.contains(act.meaning) || !told.insert(act.meaning).second) continue;
            report_at_code(report, context, tool, act)
                .message(said("The first line of {} stands nowhere above: {} are those the control has kept "
                              "from another job. Write it, or the one-line form with D.",
                              code(context.settings(), act.meaning), what_is_missing(act.meaning)));
        }
    }
}

} // namespace

extern const Check check{
    .id = "cycle_first_line_missing",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Cycle in two lines without its first",
    .documentation =
        "The line that calls a contour or a thread stands without the first line of the cycle, "
        "and no such line is "
        "above it in the program: depth of cut, number of cuts, relief, angle are the values "
        "the control has kept "
        "from the last job. One cut at full depth breaks the tool. The one-line form, with D, I "
        "or K, needs no "
        "first line; one first line serves all calls after it. Where the line above is the first of another "
        "cycle, that is told: one of the two codes is wrong.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0202
G96 S170 M03
G00 X130. Z8.
G73 P40 Q60 U.6 W.1
;^^ warning: cycle_first_line_missing
N40 G00 X56. Z2.
G01 Z-30. F.2
N60 X122.
M30
)"},
            {System::A, R"(
G21 G99
T0606
G97 S900 M03
G00 X28. Z6.
G76 X21.546 Z-25.5 P1227 Q350 F2.
;^^ warning: cycle_first_line_missing
M30
)"},
            // The lines of a pair by two codes.
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X0. Z5.
G74 R1.
G75 Z-50. Q12000 F.2
;^^ warning: cycle_first_line_missing
G00 Z10.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z.1
G72 W.08 R.02
G71 P10 Q20 U.02 W.004 F.01
;^^ warning: cycle_first_line_missing
N10 G00 X1.
G01 Z-1. F.006
N20 X2.1
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S170 M03
G00 X60. Z2.
G71 U2. R.5
G71 P40 Q60 U.6 W.1 F.3
N40 G00 X20.
G01 Z-30. F.2
N60 X60.
T0303
G00 X60. Z2.
G71 P70 Q80 U.6 W.1 F.3
N70 G00 X20.
G01 Z-30. F.2
N80 X60.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S900 M03
G00 X1.2 Z.3
G76 X.8978 Z-1.04 K.0511 D0130 F.083333 A60
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G00 X60. Z2.
G73 P40 Q60 U.6 W.1 D2000 F.3
N40 G00 X20.
G01 Z-30. F.2
N60 X60.
G72 P40 Q60
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_first_line_missing
