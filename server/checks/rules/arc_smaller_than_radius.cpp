// An inside arc whose radius the nose is larger than.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::arc_smaller_than_radius {

namespace {

std::string text(const motion::TroubleAt& trouble, const Step& step) {
    return said(
        "An inside arc of {} for a nose of {}: the control alarms or cuts the corner. Take a smaller nose.",
        spoken_length(trouble.found, step), spoken_length(trouble.wanted, step));
}

constexpr auto sequence = report_nose_troubles<motion::Trouble::arc_smaller_than_radius, text>;

} // namespace

extern const Check check{
    .id = "arc_smaller_than_radius",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Inside arc smaller than the nose radius",
    .documentation =
        "The arc is an inside one for this tool and its radius is smaller than the nose: the nose "
        "cannot make it. The control alarms, or cuts the corner. Take an insert with a smaller nose.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X20. Z2.
G01 Z-10. F0.1
G02 X21. Z-10.5 R0.5
;^^ warning: arc_smaller_than_radius
G01 X30.
G40 X50.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G42 G00 X1. Z.1
G01 Z-.5 F.006
G02 X1.04 Z-.52 R.02
;^^ warning: arc_smaller_than_radius
G01 X1.5
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

} // namespace turnwright::checks::rules::arc_smaller_than_radius
