// An inside corner or step the nose cannot enter.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::inside_corner_too_tight {

namespace {

std::string text(const motion::TroubleAt& trouble, const Step& step) {
    return said("The nose does not fit: this move is {} long and it takes {}. The control alarms or "
                "cuts into the wall.",
                spoken_length(trouble.found, step), spoken_length(trouble.wanted, step));
}

constexpr auto sequence = report_nose_troubles<motion::Trouble::inside_corner_too_tight, text>;

} // namespace

extern const Check check{
    .id = "inside_corner_too_tight",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Step too small for the nose radius",
    .documentation =
        "The move is too short for the nose radius in this inside corner: the control alarms, or cuts "
        "into the wall next to it. Use a smaller radius, or leave the step out.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G42 G00 X20. Z2.
G01 Z-10. F0.1
X20.4
;^^^ warning: inside_corner_too_tight
Z-9.
X30.
G40 X50.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S800 M03
G42 G00 X1. Z.1
G01 Z-.5 F.006
X1.01
;^^^ warning: inside_corner_too_tight
Z-.4
X2.
G40 X3.
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

} // namespace turnwright::checks::rules::inside_corner_too_tight
