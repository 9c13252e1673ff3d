// An arc whose radius is zero, or that ends where it begins.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::zero_radius {

namespace {

std::string text(const motion::TroubleAt&, const BlockView&) {
    return said("An arc of radius zero: the control alarms here. Write the radius, or G01.");
}

} // namespace

extern const Check check{
    .id = "zero_radius",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Arc of radius zero",
    .documentation =
        "R0, or I and K of zero, give no circle. The control alarms. With R an arc that ends where it "
        "begins has no one centre either.",
    .block = report_troubles<motion::Trouble::zero_radius, text>,
    .examples =
        {
            {System::A, R"(
G21 G99 G18
T0101
G97 S800 M03
G00 X20. Z-10.
G02 X30. Z-15. R0. F0.2
;^^ error: zero_radius
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z0
G03 X1.5 Z-.25 I0 K0 F.01
;^^ error: zero_radius
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

} // namespace turnwright::checks::rules::zero_radius
