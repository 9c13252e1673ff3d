// The first line of a cycle stands alone: the one that runs it is lost.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::cycle_second_line_missing {

namespace {

/// It stores what the next line runs with.
bool is_first_line(const Acts& work, const Act& act) {
    if (act.moves() || work.has_letter(act, "DIK")) return false;
    switch (act.motion) {
    case MotionKind::contour_cycle:
        return act.meaning != Meaning::finish_cycle && !work.has_letter(act, "PQ");
    case MotionKind::peck_cycle:
        return !work.has_letter(act, "PQ") && work.has_letter(act, "R");
    case MotionKind::thread_cycle:
        return work.has_letter(act, "P") && work.has_letter(act, "QR");
    default:
        return false;
    }
}
std::string_view what_is_not_done(MotionKind motion) {
    switch (motion) {
    case MotionKind::contour_cycle:
        return said("no roughing is done, and the tool takes the contour below at its full depth");
    case MotionKind::thread_cycle:
        return said("no thread is cut");
    default:
        return said("nothing is drilled or grooved");
    }
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) {
        const auto& acts = tool.work->acts;
        if (!tool.work->whole) continue;
        for (std::size_t i = 0; i < acts.size(); ++i) {
            const Act& first = acts[i];
            if (!is_first_line(*tool.work, first) || first.deleted) continue;
            // Up to the next that calls it; a way to the start may stand between.
            bool runs = false;
            for (std::size_t k = i + 1; k < acts.size() && !runs; ++k) {
                const bool same = acts[k].motion == first.motion && acts[k].meaning == first.meaning;
                runs = same && !is_first_line(*tool.work, acts[k]);
                const bool other_cycle = is_cycle(acts[k].motion) && !same;
                // Of another code, or deleted at the panel: told otherwise, or not at all.
                runs = runs || other_cycle || acts[k].calls_program;
                if (acts[k].in_contour || acts[k].cuts()) break;
            }
            if (runs) continue;
            report_at_code(report, context, tool, first)
                .message(
                    said("This is the first line of {0}, and no line behind it runs the cycle: {1}. Write "
                         "the second line of {0}.",
                         code(context.settings(), first.meaning), what_is_not_done(first.motion)));
        }
    }
}

} // namespace

extern const Check check{
    .id = "cycle_second_line_missing",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Cycle in two lines without its second",
    .documentation =
        "The first line of a cycle in two lines only stores depth of cut, retract, angle or passes; the "
        "second runs it. It is lost: of a contour the blocks below are run as they stand, at their full "
        "depth; of a thread, a groove or a hole nothing is cut. A first line that another cycle follows is "
        "told by its own rule.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X58. Z2.
G71 U2. R0.5
;^^ warning: cycle_second_line_missing
N100 G00 X40.
G01 Z-20. F0.1
X50.
N200 X58.
G70 P100 Q200
G00 X100. Z80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S800 M03
G00 X0 Z.2
G74 R.05
;^^ warning: cycle_second_line_missing
G00 Z1.
X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S800 M03
G00 X34. Z5.
G78 P020060 Q50 R0.03
;^^ warning: cycle_second_line_missing
G00 X100. Z80.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G71 U2. R0.5
G00 X58. Z2.
G71 P100 Q200 U0.4 W0.1 F0.3
N100 G00 X40.
G01 Z-20. F0.1
N200 X58.
G76 P020060 Q50 R0.03
G76 X37.4 Z-15. P1300 Q300 F2.
G00 X0 Z3.
G74 R.5
G74 Z-30. Q5000 F.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_second_line_missing
