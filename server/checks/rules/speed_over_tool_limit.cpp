// A cut at a speed above the tool's highest.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const shop::Tool* tool = context.sequence.tool >= 0 ? context.shop.tool(context.sequence.tool) : nullptr;
    if (!tool || !tool->max_rpm) return;
    for (const Step& step : context.steps) {
        if (!cuts(step) || !step.is(Meaning::constant_rpm) || !step.speed.known() ||
            step.speed.number <= *tool->max_rpm)
            continue;
        report_at_code(report, context, step, step.meaning)
            .message(fmt::format("T{:02} cuts at {} rpm here, its limit is {:.0f}: lower S.",
                                 context.sequence.tool, spoken(step.speed.number), *tool->max_rpm))
            .origin(part(Part::speed));
        return;
    }
}

} // namespace

extern const Check speed_over_tool_limit{
    .id = "speed_over_tool_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Speed above what the tool allows",
    .documentation =
        "The shop file gives this tool a highest speed, and the cut runs above it. A long drill or a "
        "bar whips and breaks. Lower S, or the speed limit of the sequence.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S2500 M03
G00 X0. Z2.
G01 Z-20. F0.1
;^^ warning: speed_over_tool_limit
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 2\nmax_rpm = 1800\n"},
            {System::C, R"(
G70 G90 G95
T0202
G97 S2000 M03
G00 X0. Z.1
G83 Z-1. R.1 F.006
;^^ warning: speed_over_tool_limit
G80
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 2\nmax_rpm = 1800\n"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S1800 M03
G00 X0 Z.1
G01 Z-1. F.006
T0303
S3000
G01 Z-1.2
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 2\nmax_rpm = 1800\n[[tool]]\nstation = 3\n"},
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"},
            {System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules
