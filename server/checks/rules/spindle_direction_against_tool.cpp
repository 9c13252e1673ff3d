// A cut with the spindle turning the wrong way for how the tool is mounted.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::spindle_direction_against_tool {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const shop::Tool* tool = context.tool >= 0 ? context.shop.tool(context.tool) : nullptr;
    if (!tool || !tool->upside_down) return;
    if (tool->kind == shop::ToolKind::tap || tool->kind == shop::ToolKind::live ||
        tool->kind == shop::ToolKind::bar_puller)
        return;
    Meaning wrong = *tool->upside_down ? Meaning::spindle_forward : Meaning::spindle_reverse;
    for (const Step& step : context.steps) {
        if (step.after->spoken_to() == machine::Spindle::live) continue;
        if (!cuts(step) || !step.is(wrong) || !step.after->tool.is(context.tool)) continue;
        report_at_code(report, context, step, step.meaning)
            .message(
                said("T{:02} is mounted {} and the spindle turns by {}: the part comes at the back of its "
                     "edge. It cuts with {}.",
                     context.tool, *tool->upside_down ? said("upside down") : said("edge up"),
                     *tool->upside_down ? "M03" : "M04", *tool->upside_down ? "M04" : "M03"))
            .origin(part(Group::spindle_direction));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "spindle_direction_against_tool",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Spindle turns against the tool",
    .documentation =
        "A tool with its edge up cuts with M03, one mounted upside down with M04 (common practice). "
        "Turning the other way the part comes at the back of the insert: it breaks at once. "
        "The shop file says how each tool is mounted (`upside_down`); without it nothing is said. "
        "Left-hand drills and taps, and a tap on its way out, are left alone.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S500 M03
G00 X50. Z-10.
G01 X40. F0.05
;^^ warning: spindle_direction_against_tool
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 5\nkind = \"grooving\"\nupside_down = "
             "true\n[[tool]]\nstation = 1\nkind = \"turning\"\nupside_down = false\n"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S500 M04
G00 X2. Z.1
G01 Z-1. F.01
;^^ warning: spindle_direction_against_tool
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 5\nkind = \"grooving\"\nupside_down = "
             "true\n[[tool]]\nstation = 1\nkind = \"turning\"\nupside_down = false\n"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S500 M04
G00 X50. Z-10.
G01 X40. F0.05
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 5\nkind = \"grooving\"\nupside_down = "
             "true\n[[tool]]\nstation = 1\nkind = \"turning\"\nupside_down = false\n"},
            {System::A, R"(
G21 G99
T0303
G97 S500 M04
G00 X50. Z-10.
G01 X40. F0.05
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 5\nkind = \"grooving\"\nupside_down = "
             "true\n[[tool]]\nstation = 1\nkind = \"turning\"\nupside_down = false\n"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_direction_against_tool
