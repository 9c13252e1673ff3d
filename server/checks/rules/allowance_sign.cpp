// U or W of a roughing cycle leaves material on the wrong side.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::allowance_sign {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    return said(
        "{} {} shifts the roughing into the finished contour: the part is scrap. For this side it must be "
        "{}.",
        trouble.letter,
        spoken_length(trouble.letter == 'U' ? x_as_written(trouble.found, view.settings) : trouble.found,
                      view.after),
        spoken_length(trouble.letter == 'U' ? x_as_written(trouble.wanted, view.settings) : trouble.wanted,
                      view.after));
}

} // namespace

extern const Check check{
    .id = "allowance_sign",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Finish allowance with the wrong sign",
    .documentation =
        "The finish allowance U (on diameter) or W has the sign of the other side: for an outside "
        "contour U is positive, for a bore negative. With the wrong sign the roughing tool cuts into "
        "the finished size, and the part is scrap before the finishing tool comes.",
    .block = report_troubles<motion::Trouble::allowance_sign, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U-0.4 W0.1 F0.28
;           ^^^^^ warning: allowance_sign
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0606
G97 S800 M03
G00 X.8 Z.1
G73 U.08 R.02
G73 P10 Q20 U.02 W.004 F.01
;           ^^^^ warning: allowance_sign
N10 G00 X1.5
G01 Z-1.
N20 X.8
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

} // namespace turnwright::checks::rules::allowance_sign
