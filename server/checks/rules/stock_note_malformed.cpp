// A stock note that cannot be read.
#include "checks/stock_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::stock_note_malformed {

namespace {

void stock(const StockContext& context, Report& report) {
    for (const stock::ProgramCourse& program : context.programs()) {
        if (program.stop != stock::Stop::bad_note || !program.note) continue;
        report.at(*program.note)
            .message(
                said("This stock note cannot be read: {}. The stock is not followed. Write such as (STOCK "
                     "D60. L120. FACE 1.5 BORE 20. JAW Z-80.)",
                     program.wrong));
    }
}

} // namespace

extern const Check check{
    .id = "stock_note_malformed",
    .family = Family::stock,
    .severity = Severity::information,
    .title = "Stock note that cannot be read",
    .documentation =
        "A note of our own form, (STOCK D60. L120. FACE 1.5 BORE 20. JAW Z-80. D180. TAIL Z2. "
        "D12. MATERIAL P), tells what the program starts from, in the program's unit. D and L, "
        "diameter and length, must be there; FACE is how far the raw stock stands in front of Z0, "
        "BORE its bore, JAW the front and the diameter of the jaws, TAIL the point and the "
        "diameter of the tailstock centre. This one cannot be read, so nothing is said about "
        "collisions.",
    .stock = stock,
    .examples =
        {
            {System::A, R"(
(STOCK D50)
;^^^^^^^^^ information: stock_note_malformed
G21 G99
T0101
M30
)",
             example_tools_only},
            {System::B, R"(
(STOCK D2. L4. FACE X)
;^^^^^^^^^ information: stock_note_malformed
G20 G90
T0101
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
(STOCK 60 DIA BAR FROM RACK 4)
G21 G99
T0101
M30
)",
             example_tools_only},
        },
};

} // namespace turnwright::checks::rules::stock_note_malformed
