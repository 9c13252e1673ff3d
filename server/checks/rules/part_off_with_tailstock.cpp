// A part is cut off while the tailstock holds it.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::part_off_with_tailstock {

namespace {

std::string text(const StockEvent& found) {
    return said("This cuts {} of the part off while the tailstock holds it: it jams and is thrown "
                "out. Draw the tailstock back first, or leave a neck.",
                found.length(found.event.amount));
}

} // namespace

extern const Check check{
    .id = "part_off_with_tailstock",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Part-off with the tailstock in the part",
    .documentation =
        "The parting tool cuts the part off while the tailstock's centre stands in it, as the "
        "shop file or the stock note says. The part jams between the centre and the tool: it is "
        "thrown out or the tool breaks. Leave a neck and break it off, or draw the tailstock back "
        "and catch the part.",
    .stock = report_stock_events<stock::EventKind::parted_with_tailstock, text>,
    .examples =
        {
            {System::A, R"(
(STOCK D50 L140 FACE 0 JAW Z-92 TAIL Z-4 D10)
G21 G99
T0909
G97 S800 M03
G00 X75. Z12.
G00 Z-60.
G00 X52.
G01 X0 F0.06
;^^^^^^^^^^ warning: part_off_with_tailstock
G00 X75.
M30
)",
             example_tools_only},
            {System::C, R"(
(STOCK D50 L140 FACE 0 JAW Z-92 TAIL Z-4 D10)
G71 G90 G95
T0909
G97 S800 M03
G00 X75. Z12.
G00 Z-60.
G01 X52. F0.5
X-0.4 F0.06
;^^^^^^^^^^ warning: part_off_with_tailstock
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
            {System::A, R"(
(STOCK D50 L140 FACE 0 JAW Z-92 TAIL Z-4 D10)
G21 G99
T0909
G97 S800 M03
G00 X75. Z12.
G00 Z-60.
G00 X52.
G01 X4. F0.06
G00 X75.
M30
)",
             example_tools_only},
            {System::A, R"(
G21 G99
T0909
G97 S800 M03
G00 X75. Z12.
G00 Z-60.
G00 X52.
G01 X-0.4 F0.06
G00 X75.
M30
)",
             example_tools},
        },
};

} // namespace turnwright::checks::rules::part_off_with_tailstock
