// A holder, shank or bar whose outline is known runs into the part, the jaws or the tailstock.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::holder_hits {

namespace {

/// How near it gets to what it does not hit, so that one sees where else there is little room.
std::string clearance_text(const StockEvent& found) {
    std::string out;
    for (const stock::Clearance& clearance : found.sequence.clearances)
        if (clearance.body != found.event.body)
            out += said(" From the {} it stays {} away in this sequence.", title(clearance.body),
                        found.length(clearance.mm));
    return out;
}

std::string text(const StockEvent& found) {
    return said("The holder of {} runs into the {} when the tool is at {}, {} deep{}. Keep it away, "
                "let the tool stand "
                "out further, or correct the outline in the shop file.{}",
                tool_name(found.sequence), title(found.event.body), found.where,
                found.length(found.event.amount), found.event.rapid ? said(", in rapid") : "",
                clearance_text(found));
}

/// A turning holder with a shank that stands out to the left (1), a drill in its sleeve (2), a bar 12 thick
/// (4).
constexpr std::string_view holders = R"(units = "mm"
[[machine]]
name = "m"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
edge_length = 12
outline = [[3, 1], [3, 20], [20, 32], [120, 32], [120, -6], [40, -6], [20, 7]]
[[tool]]
station = 2
kind = "drill"
diameter = 20
point_angle = 118
outline = [[-25, 80], [25, 80], [25, 140], [-25, 140]]
[[tool]]
station = 4
kind = "boring"
nose_radius = 0.4
tip_direction = 2
approach_angle = 95
back_angle = 5
edge_length = 6
outline = [[-1, 1], [-13, 1], [-13, 60], [-1, 60]]
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -140
jaw_front_z = -92
jaw_diameter = 160
)";
constexpr std::string_view holders_only = holders.substr(0, holders.find("[stock]"));

} // namespace

extern const Check check{
    .id = "holder_hits",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Holder runs into something",
    .documentation =
        "Where the shop file gives the outline of a tool's holder, shank or bar, every move is looked at "
        "with it, "
        "in rapid and in feed: against the part as it is left by then, the jaws and the tailstock. Less than "
        "0.2 mm is let pass. Told once for each of them in a sequence, where it happens first; \"at\" is "
        "where "
        "the programmed point is then. With edge_length it is known where an insert ends and its holder "
        "begins; "
        "without it a holder is seen in feed only further out than the largest inserts reach. Tools without "
        "an "
        "outline, the turret and tools beside are not looked at: prove the program out.",
    .stock = report_stock_events<stock::EventKind::holder_hits, text>,
    .examples =
        {
            {System::A, R"(
N1 (SHANK BESIDE THE TIP AGAINST THE JAWS)
(STOCK D50. L140. FACE 1. JAW Z-60. D160.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X54.
G00 Z-58.
;^^^^^^^^ warning: holder_hits
G00 X80.
M30
)",
             holders_only},
            {System::A, R"(
N2 (SLEEVE OF THE DRILL AGAINST THE FACE)
G21 G99 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-82. F0.15
;^^^^^^^^^^^^^^ warning: holder_hits
G00 Z5.
M30
)",
             holders},
            {System::B, R"(
N4 (BACK OF THE BAR ON THE WALL OF THE BORE)
(STOCK D2. L4. FACE 0.04 BORE 0.6)
G20 G90 G95 G97
T0404
S800 M03
G00 X0.25 Z0.5
G00 Z-1.
;^^^^^^^ warning: holder_hits
G00 Z0.5
M30
)",
             holders_only},
            {System::C, R"(
N1 (TURNED WITH ROOM FOR THE SHANK)
G71 G90 G95 G97
T0101
S800 M03
G00 X60. Z5.
G00 X44. Z2.
G01 Z-40. F0.25
G00 X60.
G00 Z5.
M30
)",
             holders},
            {System::A, R"(
N2 (DRILLED AS DEEP AS THE SLEEVE ALLOWS)
G21 G99 G97
T0202
S600 M03
G00 X0. Z5.
G01 Z-78.8 F0.15
G00 Z5.
M30
)",
             holders},
            {System::B, R"(
N4 (BAR FREE IN ITS BORE)
(STOCK D2. L4. FACE 0.04 BORE 0.6)
G20 G90 G95 G97
T0404
S800 M03
G00 X0.5 Z0.5
G00 Z-1.
G00 Z0.5
M30
)",
             holders_only},
            {System::A, R"(
N1 (NO OUTLINE IS GIVEN)
(STOCK D50. L140. FACE 1. JAW Z-60. D160.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X54.
G00 Z-58.
G00 X80.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::holder_hits
