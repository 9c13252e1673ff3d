// A rapid through material that is still there.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::rapid_through_stock {

namespace {

/// A tool that is not described is followed by its bare tip, which meets nothing of any thickness.
constexpr double no_thickness_mm = 0.05;

std::string way_in_stock(const StockEvent& found) {
    if (found.event.way <= 0) return {};
    if (found.event.amount < no_thickness_mm)
        return said(": {} of its way lies in material", found.length(found.event.way));
    return said(": {} of its way lies in material, up to {} thick", found.length(found.event.way),
                found.length(found.event.amount));
}

std::string text(const StockEvent& found) {
    return said("This rapid runs into stock at {}{}. Go round it, or feed.", found.where,
                way_in_stock(found));
}

} // namespace

extern const Check check{
    .id = "rapid_through_stock",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Rapid through stock",
    .documentation =
        "The rapid moves the tool through material that no cut above has taken off: the tool is "
        "driven into the part at full rate, which breaks it, throws the part or injures people. "
        "Rapids are looked at as straight lines; a shaving thinner than 0.2 mm (0.5 mm straight "
        "out of a cut) is let pass. Go round the material, or feed. Only where the stock is known "
        "(shop file or stock note) and as far as the tools are described. Holder, turret and "
        "deflection are not looked at: prove the program out.",
    .stock = report_stock_events<stock::EventKind::rapid_through, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X75. Z12.
G00 X40. Z-20.
;^^^^^^^^^^^^^ warning: rapid_through_stock
G01 Z-30. F0.2
G00 X75.
G00 Z12.
M30
)",
             example_tools},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04 JAW Z-2.5)
G20 G90 G95
T0101
G97 S800 M03
G00 X3. Z.5
G00 X1.6 Z.1
G01 Z-1. F.008
G00 X1.2
;^^^^^^^ warning: rapid_through_stock
G00 X3.
G00 Z.5
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

} // namespace turnwright::checks::rules::rapid_through_stock
