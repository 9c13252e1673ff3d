// A tool call for a station that the shop file has no tool at.
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

namespace turnwright::checks::rules::tool_not_in_shop_file {

namespace {

void block(const BlockView& view, Report& report) {
    if (report.shop().tools.empty() || !is_tool_call(view) || !view.after.tool.known()) return;
    if (view.after.tool.number <= 0 || view.after.tool == view.before.tool) return;
    if (tool_in(view.after, report.shop())) return;
    // Of two turrets it is not known whose program this is.
    if (!report.shop().own_path && report.shop().has_tool(machine::whole_number(view.after.tool.number)))
        return;
    report.at(view, *view.reading.word('T')->item)
        .message(said("The shop file has no tool at station {:.0f}: is the number right, and does the setter "
                      "know?",
                      view.after.tool.number));
}

} // namespace

extern const Check check{
    .id = "tool_not_in_shop_file",
    .family = Family::tools,
    .severity = Severity::information,
    .title = "Tool the shop file does not know",
    .documentation =
        "The shop file lists the tools of the turret, and this station is not among them. Either the "
        "setter has to put one in, or the number is wrong; nothing that depends on the tool can be "
        "checked.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 T0303
;   ^^^^^ information: tool_not_in_shop_file
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 1\n[[tool]]\nstation = 2\n"},
            {System::B, R"(
G20
T0100
T0101
T0500
;^^^^ information: tool_not_in_shop_file
T0505
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 1\n"},
            {System::C, R"(
G71 T0101
T0202
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 1\n[[tool]]\nstation = 2\n"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tool_not_in_shop_file
