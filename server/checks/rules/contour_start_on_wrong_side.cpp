// A roughing cycle that starts on the wrong side of its contour.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::contour_start_on_wrong_side {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    const auto place = [&](double mm) {
        const double number = view.after.is(Meaning::inch) ? mm / motion::mm_per_inch : mm;
        return trouble.letter == 'X' ? spoken_x(number, view.settings) : "Z" + written(number);
    };
    return said("The contour leads away from the start {} to {}: the roughing would go through the metal "
                "that is to stay, or the control alarms. Start at {} or beyond it, on the side the metal "
                "is cut from.",
                place(trouble.found), place(trouble.wanted), place(trouble.wanted));
}

} // namespace

extern const Check check{
    .id = "contour_start_on_wrong_side",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Roughing cycle started on the wrong side of its contour",
    .documentation =
        "An outside contour grows from its first block to its last, and the cycle starts outside of it; a "
        "bore "
        "shrinks, and the cycle starts within the drilled hole. Here the start lies on the other side, so "
        "that "
        "the contour leads away from it: a bore started outside the part, or an outside started below its "
        "diameter. The cycle steps the wrong way, or the control alarms.",
    .block = report_troubles<motion::Trouble::start_within_contour, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X15. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
;^^ warning: contour_start_on_wrong_side
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S800 M03
G00 X2.5 Z.04
G71 U.05 R.02
G71 P10 Q20 U-.02 W.004 F.01
;^^ warning: contour_start_on_wrong_side
N10 G00 X2.
G01 Z-.5
N20 X1.
M30
)"},
            // A pattern that is repeated comes back to its start at rapid.
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X38. Z8.
G73 U1.7 W1.7 R2
G73 P20 Q30 U0.5 W0.2 F0.3
;^^ warning: contour_start_on_wrong_side
N20 G00 X72. Z2.
G01 X80. Z-2. F0.18
Z-33.
X160.
N30 X172. Z-57.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X176. Z8.
G73 U1.7 W1.7 R2
G73 P20 Q30 U0.5 W0.2 F0.3
N20 G00 X72. Z2.
G01 X80. Z-2. F0.18
Z-33.
X160.
N30 X172. Z-57.
G00 X200. Z100.
T0303
G00 X36. Z5.
G73 U-1.7 W1. R2
G73 P40 Q50 U-0.5 W0.2 F0.2
N40 G00 X60. Z2.
G01 X50. Z-3.
Z-30.
N50 X38.
M30
)"},
            // As wide as the bar, and on to clear it.
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X50. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-25. F.15
N20 X54.
M30
)"},
            // A bore from within, and a turned part from without.
            {System::A, R"(
G21 G99
T0606
G97 S800 M03
G00 X20. Z1.
G71 U1. R0.5
G71 P10 Q20 U-0.4 W0.1 F0.2
N10 G00 X40.
G01 Z-25.
N20 X20.
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::contour_start_on_wrong_side
