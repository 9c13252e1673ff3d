// Z and C are still laid out on a cylinder where the program goes on with something else.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::cylinder_left_on {

namespace {

std::string_view what_comes(const Act& act) {
    if (act.calls_tool) return said("A tool is called");
    if (act.returns) return said("The program returns");
    switch (act.motion) {
    case MotionKind::rapid:
        return said("A rapid comes");
    case MotionKind::reference:
    case MotionKind::machine_rapid:
        return said("The way home comes");
    case MotionKind::drill_cycle:
    case MotionKind::single_cycle:
        return said("A cycle comes");
    default:
        return {};
    }
}

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    bool cut = false;
    bool stated_here = false; // Else who called the program ends it
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (!act.cylinder || act.deleted) {
                cut = false;
                stated_here = true;
                continue;
            }
            if (act.returns && !stated_here) break;
            const bool feeds = act.motion == MotionKind::feed || act.motion == MotionKind::arc;
            const std::string_view comes = what_comes(act);
            if (cut && !comes.empty()) {
                report.at(tool.place(act))
                    .message(said("{} while Z and C are still laid out on the cylinder: the control "
                                  "alarms, or moves C along by another measure. Write G07.1 C0 behind "
                                  "the last cut on it.",
                                  comes));
                cut = false;
                break;
            }
            cut = cut || (feeds && act.turns_part);
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
}

} // namespace

extern const Check check{
    .id = "cylinder_left_on",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Cylinder of Z and C left on",
    .documentation = "Z and C are laid out on a cylinder by its radius, cuts were made on it, and a rapid, a "
                     "cycle, a tool "
                     "call or the way home comes: most controls stop with an alarm there. The code with the "
                     "radius 0 (G07.1 "
                     "C0) belongs behind the last cut on the cylinder.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98
T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G01 X50. F60.
G07.1 C25.
G01 C40. F120.
G01 Z-40.
G18
G00 X60.
;^^^^^^^ warning: cylinder_left_on
G28 U0
M30
)"},
            {System::A, R"(
G21 G98
N7 T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G01 X50. F60.
G07.1 C25.
G01 C40. F120.
G01 Z-40.
N5 T0505
;^^^^^^^^ warning: cylinder_left_on
M30
)"},
            {System::B, R"(
G21 G90 G94
T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G01 X50. F60.
M98 P1771
G00 X80.
M30
O1771
G19 G90
G07.1 C25.
G01 C40. F120.
G01 C60. Z-30.
G18
M99
;^^ warning: cylinder_left_on
)"},
            {System::C, R"(
G71 G90 G94
T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G01 X50. F60.
G07.1 C25.
M98 P1771
G07.1 C0
G00 X80.
M30
O1771
G01 C40. F120.
G01 C60. Z-30.
M99
)"},
            {System::B, R"(
G20 G90 G94
T0707
G97 S3200 M63
G00 Z-1.
X2.5 C0
G01 X2. F4.
G107 C1.
G01 C40. F6.
G53 X0
;^^^^^ warning: cylinder_left_on
G107 C0
M30
)"},
            {System::A, R"(
G21 G98
T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G01 X50. F60.
G07.1 C25.
G01 C40. F120.
G01 Z-40.
G07.1 C0
G18
G00 X60.
G28 U0
M30
)"},
            {System::C, R"(
G71 G90 G94
T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G107 C25.
G00 X52.
G01 X50. F60.
C40. F120.
G107 C0
G00 X60.
M30
)"},
            {System::B, R"(
G21 G90 G94
T0707
G97 S3200 M63
G00 Z-20.
X60. C0
G01 X50. F60.
C40. F120.
G00 X60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cylinder_left_on
