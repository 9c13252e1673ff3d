// A cut deeper than the shop file allows for the tool.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::depth_over_tool_limit {

namespace {

std::string text(const StockEvent& found) {
    return said("This cut is {} deep on radius; {} may take {}. Take it in more passes.",
                found.length(found.event.amount), tool_name(found.sequence), found.length(found.event.limit));
}

} // namespace

extern const Check check{
    .id = "depth_over_tool_limit",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Deeper cut than the tool may take",
    .documentation = "The tool turns along Z with a deeper cut, on radius, than max_depth of the shop file "
                     "allows for it: the edge breaks or the part is pulled from the chuck. Take it in more "
                     "passes, or less at a time. Only where the stock is known (shop file or stock note) and "
                     "as far as the tools are described. Holder, turret and deflection are not looked at: "
                     "prove the program out.",
    .stock = report_stock_events<stock::EventKind::too_deep, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X75. Z12.
G00 X40. Z2.
G01 Z-30. F0.2
;^^^^^^^^^^^^^ warning: depth_over_tool_limit
G00 X75.
M30
)",
             example_tools},
            {System::C, R"(
(STOCK D50 L140 FACE 1 JAW Z-92)
G71 G90 G95
T0101
G97 S800 M03
G00 X75. Z12.
G00 X41. Z2.
G01 Z-30. F0.2
;^^^^^^^^^^^^^ warning: depth_over_tool_limit
X52.
G00 X75.
M30
)",
             example_tools_only},
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z0.
G96 S180
G01 X-1.6 F0.2
Z1. F0.5
G00 X47.
G01 Z-40. F0.25
G00 X52.
G00 Z1.
G00 X44.
G01 Z-20.
G00 X75.
G00 Z12.
M30
)",
             example_tools},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04 JAW Z-2.5)
N1 (FACE AND TURN)
G54 G18 G97 G20 G80 G40 G90 G95
T0101
G92 S2500
G97 S900 M03
G00 X3. Z.5
G00 X2.1 Z0
G01 X-.063 F.008
Z.05 F.02
G00 X1.85
G01 Z-1.5 F.01
G00 X2.1
G00 Z.05
G00 X3. Z.5
M30
)",
             example_tools_only},
            {System::C, R"(
N1 (ROUGH, DRILL, BORE)
G71 G90 G95 G97 G40
T0101
G97 S900 M03
G00 X75. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 Z12.
M01
N2 (DRILL)
T0202
G97 S600 M03
G00 X0. Z5.
G01 Z-50. F0.15
G00 Z5.
M01
N4 (BORE)
T0404
G97 S900 M03
G00 X22. Z2.
G01 Z-30. F0.1
G00 X21.
G00 Z5.
G00 X75. Z12.
M30
)",
             example_tools},
            {System::A, R"(
(STOCK IS IN THE RACK BY THE SAW)
G21 G99
T0101
G97 S800 M03
G00 X20. Z-30.
G01 X10. F0.2
G00 X75.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::depth_over_tool_limit
