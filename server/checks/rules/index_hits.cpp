// The turret turns to another tool where one of them swings into something.
#include "checks/stock_rule.h"
#include "checks/turret_tools.h"
#include "language/said.h"

namespace turnwright::checks::rules::index_hits {

namespace {

std::string text(const StockEvent& found) {
    if (found.event.station == 0)
        return said("The turret turns to {} where it stands: its own body swings into the {}, {} deep, with "
                    "the point of the tool before at {}. Go further away before the tool is called.",
                    tool_name(found.sequence), title(found.event.body), found.length(found.event.amount),
                    found.where);
    const bool arrives = found.event.station == found.sequence.station;
    return said(
        "The turret turns to {} where it stands: T{:02}{} swings into the {}, {} deep, with the point of "
        "the tool before at {}. Go further away before the tool is called.",
        tool_name(found.sequence), found.event.station, arrives ? said(", the tool that comes,") : "",
        title(found.event.body), found.length(found.event.amount), found.where);
}

} // namespace

extern const Check check{
    .id = "index_hits",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Turret swings a tool into something",
    .documentation =
        "A tool is called while the turret stands where the point of the tool before is known. "
        "Where the shop file gives "
        "turret_form = \"disc\" or \"post\", stations and, of each tool, turret_x and turret_z, "
        "of a post next_station too, the turret is turned to the tool that is called, the way "
        "that turret_turns tells (else a disc the shorter way, a post forward), and every tool on "
        "it, of a post its own body too, is looked at in every place that it passes: against the "
        "part as it is left by then, the jaws, the tailstock and the steady rest. Less than 0.2 "
        "mm is let pass. Behind a way home the place is not known in the program's coordinates "
        "and nothing is told. Gang tools do not turn.",
    .stock = report_stock_events<stock::EventKind::index_hits, text>,
    .examples =
        {
            {System::A, R"(
N1 (FACE)
(STOCK D50. L140. FACE 1. JAW Z-100. D160.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 X60. Z5.
T0202
;^^^^ warning: index_hits
S600 M03
G00 X0. Z60.
M30
)",
             turret_tools},
            {System::B, R"(
N1 (CALLED WITH THE DRILL STILL IN ITS HOLE)
(STOCK D2. L6. FACE 0.04 JAW Z-4. D6.)
G20 G90 G95 G97
T0202
S600 M03
G00 X0. Z.2
G01 Z-.5 F.006
T0101
;^^^^ warning: index_hits
S800 M03
G00 X3. Z.5
M30
)",
             turret_tools},
            {System::A, R"(
N1 (FACE)
(STOCK D50. L140. FACE 1. JAW Z-100. D160.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 X200. Z150.
T0202
S600 M03
G00 X0. Z20.
M30
)",
             turret_tools},
            {System::C, R"(
N1 (HOME FIRST)
(STOCK D50. L140. FACE 1. JAW Z-100. D160.)
G71 G90 G95 G97
T0101
S800 M03
G00 X80. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 X60. Z5.
G28 U0. W0.
T0202
S600 M03
G00 X0. Z20.
M30
)",
             turret_tools},
            {System::A, R"(
N1 (THE BORING BAR OF THE SIDE TOWARD THE TAILSTOCK COMES)
(STOCK D50. L200. FACE 1. JAW Z-180. D160.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X52. Z0.
G01 X-1.6 F0.2
G00 X60. Z20.
T0202
;^^^^ warning: index_hits
S600 M03
G00 X0. Z150.
M30
)",
             post_tools},
            {System::B, R"(
N1 (FAR ENOUGH FOR A WHOLE TURN OF THE POST)
(STOCK D2. L4. FACE 0.04 JAW Z-3. D6.)
G20 G90 G95 G97
T0101
S800 M03
G00 X3. Z.5
G00 X2.1 Z0.
G01 X-.06 F.008
G00 X12. Z8.
T0202
S600 M03
G00 X0. Z8.
M30
)",
             post_tools},
            {System::A, R"(
N1 (GANG TOOLS DO NOT TURN)
(STOCK D50. L140. FACE 1. JAW Z-100. D160.)
G21 G99 G97
T0101
S800 M03
G00 X120. Z60.
G00 X120. Z65.
T0202
S600 M03
G00 X120. Z70.
M30
)",
             gang_tools},
        },
};

} // namespace turnwright::checks::rules::index_hits
