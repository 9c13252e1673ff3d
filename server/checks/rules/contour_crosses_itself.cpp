// A contour with two lines that cut each other.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::contour_crosses_itself {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    return said(
        "The contour crosses itself near {} Z{}: part of it is cut away. Check the signs and digits of the "
        "coordinates there.",
        spoken_x(trouble.found / (view.after.is(Meaning::inch) ? motion::mm_per_inch : 1), view.settings),
        written(trouble.wanted / (view.after.is(Meaning::inch) ? motion::mm_per_inch : 1)));
}

} // namespace

extern const Check check{
    .id = "contour_crosses_itself",
    .family = Family::cycles,
    .severity = Severity::error,
    .title = "Contour that crosses itself",
    .documentation =
        "Two moves of the contour cross. No tool can leave such a shape; the cycle removes what one "
        "of them should have kept. Mostly a sign or a digit of one coordinate is wrong.",
    .block = report_troubles<motion::Trouble::contour_crosses_itself, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X80. Z5.
G73 U5. W1. R3
G73 P10 Q20 U0.4 W0.1 F0.28
;^^ error: contour_crosses_itself
N10 G00 X20. Z1.
G01 Z-20. F0.12
X60.
Z-10.
X10. Z-15.
N20 X80. Z-30.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X3. Z.2
G73 U.2 W.04 R3
G73 P10 Q20 U.02 W.004 F.01
;^^ error: contour_crosses_itself
N10 G00 X1. Z.1
G01 Z-1. F.006
X2.
Z-.5
X.5 Z-.75
N20 X3. Z-1.2
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X18.
G01 X24. Z-2. F0.12
Z-25.
X30.
G02 X34. Z-27. R2.
N20 G01 X52.
G70 P10 Q20
G00 X60. Z10.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S800 M03
G00 X.9 Z.04
G72 W.05 R.02
G72 P10 Q20 U-.02 W.004 F.01
N10 G00 Z-.4
G01 X1. F.006
Z-.2
N20 X1.5 Z.04
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G73 U2. R0.5
G73 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0606
G97 S800 M03
G00 X18. Z1.
G71 U1.5 R0.5
G71 P10 Q20 U-0.4 W0.1 F0.2
N10 G00 X30.
G01 Z-10. F0.1
X24. Z-14.
Z-30.
N20 X18.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::contour_crosses_itself
