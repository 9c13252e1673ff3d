// A drill whose flutes are all in the hole: chips cannot leave.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::flutes_all_in_hole {

namespace {

std::string text(const StockEvent& found) {
    return said("{} has flutes {} long and stands {} deep here: they are all in the hole and no chip can "
                "leave. Take a longer drill, or stay shallower.",
                tool_name(found.sequence), found.length(found.event.limit), found.length(found.event.amount));
}

constexpr std::string_view fluted = R"(units = "mm"
[[machine]]
name = "m"
[[tool]]
station = 2
kind = "drill"
diameter = 20
point_angle = 118
length = 110
flute_length = 60
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -140
)";
constexpr std::string_view fluted_only = fluted.substr(0, fluted.find("[stock]"));

} // namespace

extern const Check check{
    .id = "flutes_all_in_hole",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Flutes all in the hole",
    .documentation =
        "A twist drill brings its chips out along its flutes. Where they end below the mouth of the hole the "
        "chips "
        "stay in it and break the drill. Only where the stock is known and the shop file gives the drill's "
        "flute_length, its length from the point; half a millimetre is let pass. A wider hole or counterbore "
        "above "
        "is seen. Pecks no longer than the drill's diameter are let pass where it comes out between them.",
    .stock = report_stock_events<stock::EventKind::flutes_inside, text>,
    .examples =
        {
            {System::A, R"(
G21 G99 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-70. F0.15
;^^^^^^^^^^^^^^ warning: flutes_all_in_hole
G00 Z5.
M30
)",
             fluted},
            {System::B, R"(
(STOCK D2. L4. FACE 0.04)
G20 G90 G95 G97
T0202
S600 M03
G00 X0. Z.2
G01 Z-2.6 F.006
;^^^^^^^^^^^^^^ warning: flutes_all_in_hole
G00 Z.2
M30
)",
             fluted_only},
            {System::C, R"(
G71 G90 G95 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-58. F0.15
G00 Z5.
M30
)",
             fluted},
            {System::A, R"(
(OUT OF THE HOLE BETWEEN SHORT PECKS)
G21 G99 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-52. F0.15
G00 Z5.
G00 Z-51.
G01 Z-60. F0.15
G00 Z5.
G00 Z-59.
G01 Z-68. F0.15
G00 Z5.
M30
)",
             fluted},
            {System::A, R"(
(COUNTERBORE THAT LETS THE CHIPS OUT)
(STOCK D50. L140. FACE 1. BORE 30.)
G21 G99 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-90. F0.15
G00 Z5.
M30
)",
             fluted_only},
            {System::B, R"(
(NO LENGTH OF THE FLUTES IS GIVEN)
(STOCK D50. L140. FACE 1.)
G21 G90 G95 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-65. F0.15
G00 Z5.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::flutes_all_in_hole
