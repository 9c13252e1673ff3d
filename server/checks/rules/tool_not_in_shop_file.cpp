// A tool call for a station that the shop file has no tool at.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    if (report.shop().tools.empty() || !is_tool_call(view) || !view.after.tool.known()) return;
    if (view.after.tool.number <= 0 || view.after.tool == view.before.tool) return;
    if (tool_in(view.after, report.shop())) return;
    report.at(view, *view.reading.word('T')->item)
        .message(fmt::format(
            "The shop file has no tool at station {:.0f}: is the number right, and does the setter "
            "know?",
            view.after.tool.number));
}

} // namespace

extern const Check tool_not_in_shop_file{
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
