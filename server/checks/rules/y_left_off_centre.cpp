// A turning cut with Y away from the centre.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::y_left_off_centre {

namespace {

/// A return of Y, or a way home in the machine datum: it may bring Y along.
bool sends_y(const ToolOfSpan& tool, const Act& act) {
    return tool.work->word(act, 'Y') || tool.work->word(act, 'V');
}

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    const ToolOfSpan* tool_off = nullptr;
    const Act* off = nullptr; // That has left Y off the centre
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (sends_y(tool, act)) {
                const bool away = !is_return(act.motion) && known(act.to_y) && act.to_y != 0;
                off = away && !act.deleted ? &act : nullptr;
                tool_off = &tool;
                continue;
            }
            // A program that is called may send it.
            if (act.calls_program) off = nullptr;
            if (!off || tool_off == &tool) continue;
            const bool turns = act.turns() && !act.part_stands && act.spindle != machine::Spindle::live &&
                               act.spindle.has_value();
            if (!turns || !(act.cuts() || act.threads())) continue;
            report.at(tool.place(act))
                .message(said("This turning cut is made with Y at {}, where {} has left it: the edge "
                              "stands so far beside the centre, cuts another diameter and may break. Send "
                              "Y home (G28 V0, or Y0) before the tool is changed.",
                              written(off->to_y),
                              tool_off->station > 0 ? fmt::format("T{:02}", tool_off->station)
                                                    : std::string(said("the tool before"))))
                .related(tool_off->place(*off), said("moved off the centre here"));
            return;
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
}

} // namespace

extern const Check check{
    .id = "y_left_off_centre",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Turning cut with Y off the centre",
    .documentation = "A tool has moved Y away from the centre, nothing has brought it back, and another tool "
                     "turns the part: "
                     "its edge stands beside the centre by that much. Diameters come out wrong, a part-off "
                     "blade breaks, and "
                     "many lathes alarm when the turret is indexed so. Send Y home before the tool change.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98
M05
T0808
G97 S1600 M13
G00 X60. Z-20. Y-24.
G01 X38. F400.
Y24. F200.
G00 X60.
G28 U0
G28 W0
T1212
G99 G97 S800 M03
G00 X50. Z-40.
G01 X-.4 F.05
;^^^^^^^^^^^^ warning: y_left_off_centre
M30
)"},
            {System::C, R"(
G70 G90 G94
M05
T0606
G97 S800 M60
G00 X1. Y.3
Z.2
G01 Z-.5 F4.
G00 Z.2
G91 G28 Z0
G28 X0
G90 T0909
G95 G97 S1100 M03
G00 X1.8 Z-1.4
G01 X.7 F.003
;^^^^^^^^^^^^ warning: y_left_off_centre
M30
)"},
            {System::A, R"(
G21 G98
M05
T0808
G97 S1600 M13
G00 X60. Z-20. Y-24.
G01 X38. F400.
Y24. F200.
G00 X60.
G28 U0
G28 V0 W0
T1212
G99 G97 S800 M03
G00 X50. Z-40.
G01 X-.4 F.05
M30
)"},
            {System::B, R"(
G21 G90 G94
M05
T0606
G97 S800 M60
G00 X40. Y8.
Z2.
G01 Z-5. F100.
G00 Z2.
G00 Y0
T0909
G95 G97 S1100 M03
G00 X50. Z-40.
G01 X10. F.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0909
G97 S1100 M03
G00 X50. Z-40.
G01 X10. F.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::y_left_off_centre
