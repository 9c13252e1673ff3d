// The first tools of a program cut with an S of which nothing says whether it is rpm or surface speed.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::spindle_mode_missing {

namespace {

bool cuts(const Act& act) {
    return act.cuts() || act.threads() || act.taps() || (act.in_contour && act.motion == MotionKind::feed);
}
bool calls(const Acts& work, const Act& act) {
    return act.motion == MotionKind::none && !act.dwells && work.word(act, 'P');
}

/// One program, from its first block to the first that states the mode.
void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const auto states_surface = [](const ToolOfSpan& tool) {
        return std::any_of(tool.work->acts.begin(), tool.work->acts.end(), [](const Act& act) {
            return act.states(Group::spindle_mode) && act.surface_speed();
        });
    };
    if (std::none_of(tools.begin(), tools.end(), states_surface)) return; // Its S are rpm, all of them
    const ToolOfSpan* giver_tool = nullptr;
    const Act* giver = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.is(NamedTool::Kind::stop) || tool.own->live || tool.listed->live) continue;
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::spindle_mode) || act.spindle_mode != 0 || calls(*tool.work, act)) return;
            if (act.gives_speed) {
                giver = &act;
                giver_tool = &tool;
            }
            if (!giver || !cuts(act) || act.stopped()) continue;
            const std::string surface = code(context.settings(), Meaning::surface_speed),
                              rpm = code(context.settings(), Meaning::constant_rpm);
            const machine::Modal& end =
                tools.back().span->facts->at_exit[static_cast<std::size_t>(Group::spindle_mode)];
            const std::string left =
                end.known()
                    ? said(", from the second part on {}",
                           code(context.settings(), end.is(Meaning::surface_speed) ? Meaning::surface_speed
                                                                                   : Meaning::constant_rpm))
                    : std::string();
            report.at_letter(giver_tool->place(*giver), 'S')
                .message(said("S{} is read as rpm or as surface speed as the control was left{}: nothing "
                              "above states it. Write {} or {} here.",
                              spoken(giver->speed), left, surface, rpm));
            return;
        }
    }
}

void file(const FileContext& context, Report& report) {
    for (Meaning on : context.settings().machine.power_on)
        if (codes::group_of(on) == Group::spindle_mode) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "spindle_mode_missing",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Speed before constant rpm or surface speed is stated",
    .documentation = "The program uses constant surface speed, and its first cuts give S while nothing above "
                     "has said whether "
                     "it is rpm or surface speed. The control reads it as it was left, and for the second "
                     "part as the last "
                     "tool left it: 200 m/min become 200 rpm, or the other way round. Write G96 or G97 with "
                     "the S. A program "
                     "that never uses surface speed is left alone, and the shop file may say what the "
                     "machine is switched on "
                     "in.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
G50 S2500
T0101
S200 M03
;^^^ warning: spindle_mode_missing
G00 X52. Z1.
G01 Z-30. F0.3
M01
T0303
G96 S240 M03
G00 X48. Z1.
G01 Z-30. F0.1
M30
)"},
            {System::C, R"(
G70 G90 G95
G92 S2500
T0101 S800 M03
;     ^^^^ warning: spindle_mode_missing
G00 X2. Z.1
G01 Z-1. F.01
M01
T0202
G97 S900 M03
G00 X0 Z.2
G83 Z-1. R.1 F.006
G80
M01
T0303
G96 S700 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::A, R"(
G21 G99
T0101
S1200 M03
G00 X52. Z1.
G01 Z-30. F0.3
M30
)"},
            {System::B, R"(
G20 G97 G90 G95
G92 S2500
T0101
S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M01
T0303
G96 S700 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
G65 P9015 A1.
G92 S2500
T0101
S800 M03
G00 X42. Z1.
G01 Z-1. F.2
M01
T0303
G96 S170 M03
G00 X42. Z1.
G01 Z-1. F.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_mode_missing
