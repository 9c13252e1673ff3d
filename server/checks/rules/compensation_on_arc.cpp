// G41, G42 or G40 takes effect in an arc.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::compensation_on_arc {

namespace {

std::string text(const motion::TroubleAt&, const Step&) {
    return said("Compensation begins or ends in this arc: the control alarms. Switch it in a straight move.");
}

constexpr auto sequence = report_nose_troubles<motion::Trouble::compensation_on_arc, text>;

} // namespace

extern const Check check{
    .id = "compensation_on_arc",
    .family = Family::compensation,
    .severity = Severity::error,
    .title = "Compensation switched on or off in an arc",
    .documentation =
        "Compensation is switched on and off in a straight move. In an arc the control alarms. Write "
        "a line in front of the arc, or after it, that is longer than the nose radius.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.1
G42 G02 X30. Z-15. R5.
;^^^ error: compensation_on_arc
G01 X40.
G40 X50.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = "
             "3\n"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G42 G00 X20. Z2.
G01 Z-10. F0.1
G40 G02 X30. Z-15. R5.
;^^^ error: compensation_on_arc
G01 X40.
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

} // namespace turnwright::checks::rules::compensation_on_arc
