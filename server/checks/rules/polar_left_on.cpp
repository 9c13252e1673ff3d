// X and C are still a plane where the program goes on with something else.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::polar_left_on {

namespace {

std::string_view what_follows(const Step& step) {
    if (step.calls_tool) return said("A tool is called");
    switch (step.motion) {
    case MotionKind::rapid:
        return said("A rapid comes");
    case MotionKind::reference:
    case MotionKind::machine_rapid:
        return said("The way home comes");
    case MotionKind::thread:
    case MotionKind::single_cycle:
    case MotionKind::drill_cycle:
    case MotionKind::contour_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return said("A cycle comes");
    default:
        return {};
    }
}

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        if (!step.is(Meaning::polar_on) || step.gives(Meaning::polar_on)) continue;
        const std::string_view follows = what_follows(step);
        if (follows.empty()) continue;
        report.at(step.place)
            .message(said("{} while X and C are still worked as a plane: the control alarms, or moves "
                          "C along. Write {} "
                          "behind the last cut in the plane.",
                          follows, code(context.settings(), Meaning::polar_off)))
            .origin(part(Group::polar));
        return;
    }
}

/// A program that begins the plane and goes back with it: who called it goes on in it.
void look_at_return(std::span<const ToolOfSpan> program, const FileContext& context, Report& report) {
    bool was_off = false, begun_here = false, cut = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (!act.polar || act.deleted) {
                begun_here = cut = false;
                was_off = true;
            } else {
                begun_here = begun_here || was_off || act.states(Group::polar);
                cut = cut || act.motion == MotionKind::feed || act.motion == MotionKind::arc;
            }
            if (!act.returns || !begun_here || !cut) continue;
            report.at(tool.place(act))
                .message(said("The program returns while X and C are still worked as a plane: the control "
                              "alarms at the next rapid or cycle, or moves C along. Write {} behind the last "
                              "cut in the plane.",
                              code(context.settings(), Meaning::polar_off)));
            return;
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (program[0].span->program->is_subprogram) look_at_return(program, context, report);
    });
}

} // namespace

extern const Check check{
    .id = "polar_left_on",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Plane of X and C left on",
    .documentation =
        "X and C are still joined to a flat plane on the face, and a rapid, a tool call, a cycle or the way "
        "home comes: most controls stop with an alarm there, and others would move C along with X. The code "
        "that ends the plane belongs behind the last cut in it, before anything else moves. A called program "
        "that begins the plane ends it, too.",
    .sequence = sequence,
    .file = file,
    .examples =
        {
            {System::C, R"(
G70 G90 G94 G97
T0707
S2400 M63
G00 Z-.2 C0
X2.4
M98 P6010
G113
G00 Z.5
M30
O6010
G112
G42 G01 X1. C-.7 F12.
C.2887
G40 X2.4 C0
M99
;^^ warning: polar_left_on
)"},
            {System::B, R"(
G21 G90 G94 G97
T0707
S2400 M63
G00 Z-5. C0
X60.
G112
M98 P6010
G113
G00 Z20.
M30
O6010
G01 X26. C-18. F120.
C7.5
X60. C0
M99
)"},
            {System::A, R"(
G21 G40 G98 G97
T1111
S1400 M03
G00 X80. Z2. C0.
Z-12.
G12.1
G41 G01 X36. C0. F120
C-10.392
G40 G01 X80. F400
G00 Z2.
;^^^^^^ warning: polar_left_on
X220. Z160.
G13.1
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T1111
S1400 M03
G00 X80. Z2. C0.
G112
G01 X36. C0. F120
C-10.392
T0202
;^^^^ warning: polar_left_on
G95 G96 S200 M03
G00 X80. Z2.
M30
)"},
            {System::A, R"(
G21 G40 G98 G97
T1111
S1400 M03
G00 X80. Z2. C0.
Z-12.
G12.1
G41 G01 X36. C0. F120
C-10.392
G40 G01 X80. F400
G13.1
G00 Z2.
X220. Z160.
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T1111
S1400 M03
G00 X3. Z.1 C0.
G112
G01 X1.5 C0. F8.
G02 X-1.5 C0. R.75
G04 P500
G01 X3.
G113
G28 X3. Z.1
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T1111
S1400 M03
G00 X80. Z2. C0.
C60.
G00 Z2.
T0202
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::polar_left_on
