// A drilling cycle whose bottom is where the tool stands.
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::drill_cycle_without_way {

namespace {

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    const ToolOfSpan* told = nullptr;
    for (const Hole& hole : holes_of(program, context.settings())) {
        if (hole.tool == told || !known(hole.start) || hole.bottom != hole.start) continue;
        told = hole.tool;
        const char letter = hole.side ? 'X' : 'Z';
        report.at_letter(hole.tool->place(*hole.act), letter)
            .message(said("The hole would end where the tool stands in front of it, at {}: nothing is "
                          "drilled. Look at the sign of {}.",
                          hole.side ? spoken_x(hole.start, context.settings())
                                    : fmt::format("Z{}", written(hole.start)),
                          letter));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "drill_cycle_without_way",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Drilling cycle that drills nothing",
    .documentation =
        "The bottom of the hole is the very place where the tool stands when the cycle is called: the tool "
        "does not move along the hole, and no hole comes. The sign of X or Z is lost, as a rule: a hole "
        "right "
        "through the axis ends at X below zero.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0808
S1300 M03
G00 Y10. Z-12.
X56.
G87 X56. R-1. Q6000 F150
;   ^^^^ warning: drill_cycle_without_way
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C45.
G83 X44. C45. Z10. R3. F190
;             ^^^^ warning: drill_cycle_without_way
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0808
S1300 M03
G00 Y10. Z-12.
X56.
G87 X-56. R-1. Q6000 F150
G80
M30
)"},
            {System::B, R"(
G20 G90 G95 G97
T0404
S600 M03
G00 X0 Z.5
G83 Z-1.7 R.04 F.008
G80
M30
)"},
            {System::C, R"(
G71 G91 G94 G97
T0505
S2400 M03
G83 X0. Z-10. R-3. F190
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::drill_cycle_without_way
