// A tool beside the one that works, or the turret itself, runs into something.
#include "checks/stock_rule.h"
#include "checks/turret_tools.h"
#include "language/said.h"

namespace turnwright::checks::rules::neighbour_hits {

namespace {

std::string text(const StockEvent& found) {
    const std::string what = found.event.station == 0 ? said("The turret itself")
                                                      : said("T{:02}, which stands beside {} on the turret,",
                                                             found.event.station, tool_name(found.sequence));
    return said(
        "{} runs into the {} when {} is at {}, {} deep{}. Leave that station empty, put the longer tool "
        "where it is turned away, or let the working tool stand out further.",
        what, title(found.event.body), tool_name(found.sequence), found.where,
        found.length(found.event.amount), found.event.rapid ? said(", in rapid") : "");
}

} // namespace

extern const Check check{
    .id = "neighbour_hits",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Tool beside the working one runs into something",
    .documentation = "Where the shop file gives turret_form, stations and, of each tool, turret_x and "
                     "turret_z, the tools beside the "
                     "one that works are carried along: against the part as it is left by then, the jaws, "
                     "the tailstock and the "
                     "steady rest. On a disc a tool stands as far from the centreline as its station's angle "
                     "and its place on the "
                     "turret tell; gang tools, and tools round a post (next_station), stand in the plane "
                     "itself, and what of them reaches across the centreline meets the part there. Of a tool "
                     "its outline and its edge "
                     "count, of a drill no more "
                     "than its length; its thickness across the drawing is not known and not counted. Less "
                     "than 0.2 mm is let pass. "
                     "Told once for each tool and body in a sequence. The travel of the slides is not looked "
                     "at: prove the program "
                     "out.",
    .stock = report_stock_events<stock::EventKind::neighbour_hits, text>,
    .examples =
        {
            {System::A, R"(
N1 (LONG DRILL BESIDE THE ROUGHER AGAINST THE CHUCK)
(STOCK D50. L140. FACE 1. JAW Z-115. D270.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X44. Z2.
G01 Z-30. F0.25
;^^^^^^^^^^^^^^ warning: neighbour_hits
G00 X80.
G00 Z50.
M30
)",
             turret_tools},
            {System::B, R"(
N1 (GANG: THE DRILL REACHES FURTHER BACK)
(STOCK D2. L5. FACE 0.04 JAW Z-2. D6.)
G20 G90 G95 G97
T0101
S800 M03
G00 X3. Z.5
G00 X1.8 Z.1
G01 Z-1. F.01
;^^^^^^^^^^^^ warning: neighbour_hits
G00 X3.
G00 Z2.
M30
)",
             gang_tools},
            {System::C, R"(
N1 (SQUARE POST: THE BAR BESIDE THE ROUGHER POINTS ACROSS THE AXIS)
(STOCK D50. L200. FACE 1. JAW Z-180. D160.)
G71 G90 G95 G97
T0101
S800 M03
G00 X80. Z12.
G00 X46. Z2.
G01 Z-50. F0.25
G01 Z-60. F0.25
;^^^^^^^^^^^^^^ warning: neighbour_hits
G00 X80.
M30
)",
             post_tools},
            {System::A, R"(
N1 (SHORT OF THE CHUCK)
(STOCK D50. L200. FACE 1. JAW Z-160. D270.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X44. Z2.
G01 Z-30. F0.25
G00 X80.
G00 Z50.
M30
)",
             turret_tools},
            {System::C, R"(
N5 (THE DRILL STANDS TURNED AWAY)
(STOCK D50. L140. FACE 1. JAW Z-60. D180.)
G71 G90 G95 G97
T0505
S800 M03
G00 X80. Z12.
G00 X52. Z-20.
G01 X40. F0.1
G00 X80.
G00 Z50.
M30
)",
             turret_tools},
            {System::A, R"(
N1 (NOTHING SAYS HOW THE TOOLS STAND)
(STOCK D50. L140. FACE 1. JAW Z-115. D270.)
G21 G99 G97
T0101
S800 M03
G00 X80. Z12.
G00 X44. Z2.
G01 Z-30. F0.25
G00 X80.
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::neighbour_hits
