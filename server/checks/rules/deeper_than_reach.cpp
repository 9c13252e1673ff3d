// A drill or boring bar sent deeper than it stands out of its holder.
#include "checks/stock_rule.h"

namespace turnwright::checks::rules::deeper_than_reach {

namespace {

std::string text(const StockEvent& found) {
    return fmt::format(
        "{} reaches {} and stands {} deep here: its holder runs into the part. Let it stand out "
        "further, take a longer one, or stay shallower.",
        tool_name(found.sequence), found.length(found.event.limit), found.length(found.event.amount));
}

} // namespace

extern const Check check{
    .id = "deeper_than_reach",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Deeper than the tool reaches",
    .documentation =
        "The shop file's length of a drill or boring bar is how far it reaches in Z. Here it goes deeper "
        "into the part than that: the holder, which is wider than the tool, runs into the face, or the "
        "flutes "
        "are all in the hole and the chips stay there. Let the tool stand out further, take a longer one, or "
        "stay shallower. Only where the stock is known (shop file or stock note) and the length is given. A "
        "counterbore that takes the holder in is seen. Prove the program out.",
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
