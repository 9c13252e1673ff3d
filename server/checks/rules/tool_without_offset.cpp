// A cut with offset 00 in force.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::tool_without_offset {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        if (!cuts(step) || !step.after->offset.is(0) || !step.after->tool.known()) continue;
        report_at_code(report, context, step, step.meaning)
            .message(
                said("T{:02.0f} cuts with no offset in force: its tip is not where the program has it. Call "
                     "it with its offset before the approach.",
                     step.after->tool.number))
            .origin(part(Part::offset));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "tool_without_offset",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Tool cuts without an offset",
    .documentation =
        "The tool was called with offset 00, or its offset was cancelled, and it cuts: the control "
        "moves as if the tool had no length, and the tip is centimetres away from where the program "
        "has it. Call the tool with its offset before the approach, such as T0101. Calling the "
        "station with 00 first and the offset in a later block before the approach is right.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0100
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
;^^ warning: tool_without_offset
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.01
T0100
X2.2
;^^^^ warning: tool_without_offset
M30
)"},
            {System::A, R"(
G21 G99
T0100
G97 S800 M03
T0101
G00 X50. Z2.
G01 Z-5. F0.2
G00 X80. Z20. T0100
M30
)"},
            {System::C, R"(
G71 G90 G95
T1
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tool_without_offset
