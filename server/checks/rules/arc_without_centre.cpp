// G02 or G03 with neither R nor I and K.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::arc_without_centre {

namespace {

std::string text(const motion::TroubleAt&, const BlockView&) {
    return said("This arc has neither R nor I and K: the control alarms or cuts a straight line. Write the "
                "radius, or G01 if a line is meant.");
}

} // namespace

extern const Check check{
    .id = "arc_without_centre",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Arc without radius or centre",
    .documentation = "An arc needs R, or I and K to its centre. Without them the control alarms, or makes a "
                     "straight line. A block after an arc that only names X and Z is still an arc: write G01 "
                     "where the straight part begins.",
    .block = report_troubles<motion::Trouble::arc_without_centre, text>,
    .examples =
        {
            {System::A, R"(
G21 G99 G18
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.2
G02 X30. Z-15. R5.
X40. Z-20.
;^^^ error: arc_without_centre
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z0
G03 X1.5 Z-.25 F.01
;^^ error: arc_without_centre
M30
)"},
            {System::A, R"(
G21 G99 G18
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.2
G02 X30. Z-15. R5.
G03 X40. Z-20. I0. K-5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-.5 F.01
G02 X1.25 Z-.625 R.125
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X20. Z0.
G01 Z-10. F0.2
G02 X[#500] Z-15. R5.
G03 U10. W-5. R#501
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X0 Z.05
G01 Z0 F.01
G03 X1. Z-.5 K-.5
M30
)"},
        },
};

} // namespace turnwright::checks::rules::arc_without_centre
