// A drill, boring bar or blade sent deeper than it stands out of its holder.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::deeper_than_reach {

namespace {

std::string text(const StockEvent& found) {
    return said("{} reaches {} and stands {} deep here: its holder runs into the part. Let it stand out "
                "further, take a longer one, or stay shallower.",
                tool_name(found.sequence), found.length(found.event.limit), found.length(found.event.amount));
}

constexpr std::string_view short_blade = R"(units = "mm"
[[machine]]
name = "m"
[[tool]]
station = 5
kind = "grooving"
width = 3
nose_radius = 0.2
tip_direction = 3
length = 8
)";

} // namespace

extern const Check check{
    .id = "deeper_than_reach",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Deeper than the tool reaches",
    .documentation = "The shop file's length is how far a drill or boring bar reaches in Z, or a grooving or "
                     "parting blade "
                     "stands out of its holder. Here it goes deeper into the part than that: the holder, "
                     "which is wider than "
                     "the tool, runs into it. Let the tool stand out further, take a longer one, or stay "
                     "shallower. Only where "
                     "the stock is known (shop file or stock note) and the length is given. A counterbore "
                     "that takes the holder "
                     "in is seen; a blade is told of only with metal beside the groove on both sides, since "
                     "its holder may be "
                     "flush with one. Prove the program out.",
    .stock = report_stock_events<stock::EventKind::beyond_reach, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S600 M03
G00 X0. Z5.
G01 Z-75. F0.15
;^^^^^^^^^^^^^^ warning: deeper_than_reach
G00 Z5.
M30
)",
             example_tools},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04 BORE 1. JAW Z-2.5)
G20 G90 G95
T0404
G97 S800 M03
G00 X3. Z.5
G00 X1.04 Z.1
G01 Z-2.2 F.004
;^^^^^^^^^^^^^^ warning: deeper_than_reach
G00 X1.
G00 Z.5
M30
)",
             example_tools_only},
            {System::C, R"(
(STOCK D50. L140. FACE 1.)
G71 G90 G95 G97
T0505
S800 M03
G00 X60. Z-20.
G01 X30. F0.05
;^^^^^^^^^^^^^ warning: deeper_than_reach
G00 X60.
M30
)",
             short_blade},
            {System::A, R"(
(STOCK D50. L140. FACE 1.)
G21 G99 G97
T0505
S800 M03
G00 X60. Z-20.
G01 X36. F0.05
G00 X60.
M30
)",
             short_blade},
            {System::A, R"(
N2 (DRILL TO THE LAST MILLIMETRE OF REACH)
G21 G99 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-68.5 F0.15
G00 Z5.
M30
)",
             example_tools},
            {System::C, R"(
N1 (COUNTERBORE THAT TAKES THE HOLDER IN)
(STOCK D50. L140. FACE 1. BORE 30. JAW Z-92.)
G71 G90 G95 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-90. F0.15
G00 Z5.
M30
)",
             example_tools_only},
            {System::B, R"(
(NO STOCK IS GIVEN)
G21 G90 G95 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-90. F0.15
G00 Z5.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::deeper_than_reach
