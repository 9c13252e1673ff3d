// A cut at a speed above the tool's highest.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::speed_over_tool_limit {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const shop::Tool* tool = context.tool >= 0 ? context.shop.tool(context.tool) : nullptr;
    if (!tool || !tool->max_rpm) return;
    for (const Step& step : context.steps) {
        if (!cuts(step) || !step.is(Meaning::constant_rpm) || !step.after->speed.known() ||
            step.after->speed.number <= *tool->max_rpm)
            continue;
        report_at_code(report, context, step, step.meaning)
            .message(said("T{:02} cuts at {} rpm here, its limit is {:.0f}: lower S.", context.tool,
                          spoken(step.after->speed.number), *tool->max_rpm))
            .origin(part(Part::speed));
        return;
    }
}

} // namespace

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::speed_over_tool_limit
