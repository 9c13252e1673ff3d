// A contour that is roughed already, called by the roughing cycle again with no allowance, feed or depth: the
// finishing cycle is meant.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <map>

namespace turnwright::checks::rules::contour_roughed_again {

namespace {

bool roughs(const Act& act) {
    return act.motion == MotionKind::contour_cycle && act.meaning != Meaning::finish_cycle;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    std::map<std::pair<double, double>, BlockPlace> roughed;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            const ActWord *p = tool.work->word(act, 'P'), *q = tool.work->word(act, 'Q');
            if (!roughs(act) || !p || !q) continue;
            const auto [first, is_new] = roughed.insert({{p->number, q->number}, tool.place(act)});
            if (is_new || act.gives_feed || tool.work->has_letter(act, "UWDIKF")) continue;
            report_at_code(report, context, tool, act)
                .message(said(
                    "The contour N{} to N{} is roughed already, and this line has no allowance, feed "
                    "or depth of its own: it would be roughed a second time, in air first and then "
                    "down to the finished size in one pass. Is {} meant, the finish?",
                    spoken(p->number), spoken(q->number), code(context.settings(), Meaning::finish_cycle)))
                .related(first->second, said("roughed here"));
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "contour_roughed_again",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Contour roughed a second time in place of its finish",
    .documentation =
        "A roughing cycle calls a contour that another one above has roughed, and its line has nothing but P "
        "and Q, as the line of the finishing cycle: the code is wrong by a digit. The finishing tool roughs "
        "the whole contour again with the depth that the control has kept, and no finish is cut.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G71 U2. R.5
G71 P10 Q20 U.4 W.1 F.3
N10 G00 X30.
G01 Z-20. F.1
N20 X50.
T0303
G00 X50. Z2.
G71 P10 Q20
;^^ warning: contour_roughed_again
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z.1
G73 U.08 R.02
G73 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-1. F.006
N20 X2.1
G73 P10 Q20
;^^ warning: contour_roughed_again
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G71 U2. R.5
G71 P10 Q20 U1. W.2 F.3
N10 G00 X30.
G01 Z-20. F.1
N20 X50.
T0303
G00 X50. Z2.
G71 P10 Q20 U.4 W.1 F.2
G70 P10 Q20
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G71 U2. R.5
G71 P10 Q20 U.4 W.1 F.3
N10 G00 X30.
G01 Z-20. F.1
N20 X50.
G70 P10 Q20
G71 P30 Q40
N30 G00 X20.
G01 Z-10. F.1
N40 X50.
G70 P30 Q40
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::contour_roughed_again
