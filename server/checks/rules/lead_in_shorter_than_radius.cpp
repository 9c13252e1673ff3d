// A lead-in too short for the tool to swing to its side of the path.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::lead_in_shorter_than_radius {

namespace {

std::string text(const motion::TroubleAt& trouble, const Step& step) {
    return said(
        "This move is {} long, the nose radius is {}: compensation cannot come in on it. Begin further away.",
        spoken_length(trouble.found, step), spoken_length(trouble.wanted, step));
}

constexpr auto sequence = report_nose_troubles<motion::Trouble::lead_in_shorter_than_radius, text>;

} // namespace

extern const Check check{
    .id = "lead_in_shorter_than_radius",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Move that switches compensation on is shorter than the nose radius",
    .documentation =
        "In the move that switches compensation on, the tool swings sideways by its nose radius. The "
        "move is shorter than that: some controls alarm, others mark the part where the contour "
        "begins. Begin further away.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z0.5
G42 G01 Z0. F0.1
;^^^ warning: lead_in_shorter_than_radius
Z-10.
G40 X50.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X1. Z.02
G42 G01 Z0 F.005
;^^^ warning: lead_in_shorter_than_radius
Z-.5
G40 X2.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
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

} // namespace turnwright::checks::rules::lead_in_shorter_than_radius
