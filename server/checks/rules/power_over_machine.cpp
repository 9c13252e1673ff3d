// A cut that asks for more power than the machine has.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::power_over_machine {

namespace {

std::string text(const StockEvent& found) {
    return said("By estimate this cut asks for {} kW; the machine has {} kW. Take a lower feed, a "
                "lower speed or less depth (now {}).",
                spoken(std::round(found.event.amount * 10) / 10), spoken(found.event.limit),
                found.length(found.event.way));
}

} // namespace

extern const Check check{
    .id = "power_over_machine",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "More power than the machine has",
    .documentation =
        "By depth, feed, surface speed and material the cut asks the spindle for more power than "
        "the shop file's max_power_kw: it stalls, and the tool breaks in the stopped part. An "
        "estimate with new edges and a published specific cutting force, right "
        "within a fifth or so; worn edges need more. Only where the stock, its material, the tool "
        "and the speed are known.",
    .stock = report_stock_events<stock::EventKind::too_much_power, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S2500 M03
G00 X75. Z12.
G00 X43. Z2.
G01 Z-30. F0.5
;^^^^^^^^^^^^^ warning: power_over_machine
G00 X75.
M30
)",
             example_tools},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04 JAW Z-2.5 MATERIAL 42CRMO4)
G20 G90 G95
T0101
G97 S2500 M03
G00 X3. Z.5
G00 X1.7 Z.1
G01 Z-1. F.020
;^^^^^^^^^^^^^ warning: power_over_machine
G00 X3.
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

} // namespace turnwright::checks::rules::power_over_machine
