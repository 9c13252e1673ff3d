// Compensation with a tool whose tip direction the shop file does not give.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::tip_direction_unknown {

namespace {

std::string text(const motion::TroubleAt&, const Step&) {
    return said(
        "The shop file gives this tool no tip direction: tapers and radii cannot be followed. Is it right "
        "in the offset table?");
}

constexpr auto sequence = report_nose_troubles<motion::Trouble::tip_direction_unknown, text>;

} // namespace

extern const Check check{
    .id = "tip_direction_unknown",
    .family = Family::compensation,
    .severity = Severity::information,
    .title = "Tip direction of a compensated tool is not given",
    .documentation =
        "The shop file gives the nose radius of this tool but not its tip direction. "
        "Without it neither this check nor the control knows on which side of the set point the nose "
        "lies: a wrong direction in the offset table shifts every taper and radius. Add "
        "`tip_direction`.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X20. Z2.
;^^^ information: tip_direction_unknown
G01 Z-10. F0.1
G40 X50.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\n"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S800 M03
G00 X1. Z.1 G41
;^^ information: tip_direction_unknown
G01 Z-.5 F.006
G40 X.8
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\n"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 G42 X52. Z2.
G00 X20.
G01 Z-10. F0.1
G02 X30. Z-15. R5.
G01 X40.
G40 X44. Z-14.
G00 X80. Z10.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G42 G00 X2. Z.1
G00 X1.
G01 Z-.5 F.006
X1.5
G40 X1.7 Z-.4
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G42 G00 X52. Z2.
G01 Z-10. F0.1
G40 X60.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::tip_direction_unknown
