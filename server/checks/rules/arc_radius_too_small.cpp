// R is less than half the distance from start to end.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::arc_radius_too_small {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    return said("R {} cannot reach the end point: it must be {} at least. The control alarms here.",
                spoken_length(trouble.found, view.after), spoken_length(trouble.wanted, view.after));
}

} // namespace

extern const Check check{
    .id = "arc_radius_too_small",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Arc radius too small for its end point",
    .documentation =
        "No circle of radius R goes through both ends of the arc: R must be at least half the "
        "distance between them. The control alarms. Mostly a diameter was written for a step, or the "
        "end point is that of another arc.",
    .block = report_troubles<motion::Trouble::arc_radius_too_small, text>,
    .examples =
        {
            {System::A, R"(
G21 G99 G18
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.2
G02 X40. Z-20. R5.
;^^ error: arc_radius_too_small
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X1. Z0
G01 Z-.5 F.01
G03 X1.5 Z-.75 R.1
;^^ error: arc_radius_too_small
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

} // namespace turnwright::checks::rules::arc_radius_too_small
