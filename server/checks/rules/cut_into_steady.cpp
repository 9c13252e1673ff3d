// A move into the steady rest.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::cut_into_steady {

namespace {

std::string text(const StockEvent& found) {
    return said(
        "The tool runs into the steady rest at {}, {} deep. Stop before it, or work on one side of it "
        "and move the steady.",
        found.where, found.length(found.event.amount));
}

} // namespace

extern const Check check{
    .id = "cut_into_steady",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Move into the steady rest",
    .documentation = "The tool meets the steady rest where the shop file or the stock note says it stands: "
                     "its middle, its width "
                     "and how far it reaches toward the tools. Between its rollers the stock runs as it is "
                     "there. Only where the "
                     "stock is known and as far as the tools are described; prove the program out.",
    .stock = report_stock_events<stock::EventKind::steady, text>,
    .examples =
        {
            {System::A, R"(
(STOCK D50 L300 FACE 1 TAIL Z-3. D12 STEADY Z-120. W20. D140.)
G21 G99
T0101
G97 S800 M03
G00 X75. Z12.
G00 X48. Z2.
G01 Z-115. F0.25
;^^^^^^^^^^^^^^^ warning: cut_into_steady
G00 X75.
M30
)",
             example_tools_only},
            {System::B, R"(
(STOCK D2. L12. FACE 0.04 STEADY Z-5. W.75 D6.)
G20 G90 G95
T0303
G97 S800 M03
G00 X4. Z.5
G00 Z-5.
;^^^^^^^ warning: cut_into_steady
G00 Z.5
M30
)",
             example_tools_only},
            {System::A, R"(
(STOCK D50 L300 FACE 1 TAIL Z-3. D12 STEADY Z-120. W20. D140.)
G21 G99
T0101
G97 S800 M03
G00 X75. Z12.
G00 X48. Z2.
(UP TO THE STEADY)
G01 Z-105. F0.25
G00 X75.
M30
)",
             example_tools_only},
            {System::C, R"(
(STOCK D50 L300 FACE 1 STEADY Z-120. W20. D140.)
G71 G90 G95
T0101
G97 S800 M03
G00 X150. Z12.
(ROUND IT, FURTHER OUT)
G00 Z-140.
G00 X52.
G01 X47. F0.2
G00 X150.
G00 Z12.
M30
)",
             example_tools_only},
            {System::A, R"(
(STOCK D50 L300 FACE 1)
G21 G99
T0101
G97 S800 M03
G00 X75. Z12.
G00 X48. Z2.
G01 Z-115. F0.25
G00 X75.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::cut_into_steady
