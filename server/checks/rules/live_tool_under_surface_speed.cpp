// G96 while S speaks to a live tool.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::live_tool_under_surface_speed {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const Step* switched_on = nullptr;
    for (const Step& step : context.steps) {
        if (step.gives(Meaning::surface_speed)) switched_on = &step;
        if (step.after->spoken_to() != machine::Spindle::live || !step.is(Meaning::surface_speed) ||
            !step.moves())
            continue;
        const Step& at = switched_on ? *switched_on : step;
        report_at_code(report, context, at, Meaning::surface_speed)
            .message(said(
                "{} holds while S speaks to the live tool: S would be read as surface speed, and the tool "
                "would turn slower or faster with every X. Write {} with its S in turns a minute.",
                code(context.settings(), Meaning::surface_speed),
                code(context.settings(), Meaning::constant_rpm)))
            .origin(part(Group::spindle_mode));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "live_tool_under_surface_speed",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Live tool under constant surface speed",
    .documentation =
        "Constant surface speed holds while S speaks to a live tool. The speed of a mill or drill hangs on "
        "its own diameter and not on X: its S would be read as metres or feet a minute, and it would turn "
        "slower or faster with every X. Which spindle S speaks to is read from the codes for C axis and live "
        "tool, by `m_codes` in the shop file (`does = \"live tool on\"`, `\"C axis on\"`), else by notes "
        "(M13 LIVE TOOL ON); without either nothing is said.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G20 G40 G99
T1212 (FLATS)
M51
G28 H0
G98 G96 S1800 M13
;   ^^^ warning: live_tool_under_surface_speed
G00 X3. Z.1 C0.
G01 Z-.5 F8.
M15
M50
M30
)"},
            {System::B, R"(
(M45 C AXIS ON, M46 C AXIS OFF)
(M63 LIVE TOOL ON, M65 LIVE TOOL OFF)
G21 G90 G95
T0101
G92 S2000
G96 S180 M03
G00 X50. Z2.
G01 Z-10. F.2
G00 X100. M05
T0505
M45
G96 S1200 M63
;^^ warning: live_tool_under_surface_speed
G94 G00 X30. Z5. C0.
G01 Z-2. F80.
M65
M46
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
M45
G94 G97 S1800
G00 X80. Z5. C0.
G01 Z-2. F80.
M46
T0202
G92 S2400
G95 G96 S260 M04
G00 X116. Z0.
G01 X-1.6 F.2
M30
)",
             shop_with_c},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0101
G50 S2000
G96 S180 M03
G00 X50. Z2.
G01 Z-10. F.2
G00 X100. M05
T0505
M51
G97 S1200 M13
G98 G00 X30. Z5. C0.
G01 Z-2. F80.
M15
M50
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G92 S2000
G96 S180 M03
G00 X50. Z2. C0.
G01 Z-10. F.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::live_tool_under_surface_speed
