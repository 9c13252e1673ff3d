// A contour whose first block is no straight approach.
#include "checks/trouble_rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::contour_starts_wrong {

namespace {

std::string text(const motion::TroubleAt&, const BlockView&) {
    return said("The contour must begin with a straight move (G00 or G01) to its start and hold at least one "
                "more: the control alarms here.");
}

/// The first block goes to a place in both axes, and the cut behind it goes to the same X, or Z, again.
void sequence(const SequenceContext& context, Report& report) {
    const auto same = [](const machine::Value& a, const machine::Value& b) {
        return a.known() && b.known() && std::abs(a.number - b.number) < 1e-9;
    };
    for (std::size_t i = 0; i + 1 < context.steps.size(); ++i) {
        const Step &first = context.steps[i], &next = context.steps[i + 1];
        if (!first.in_contour || !next.in_contour || (i > 0 && context.steps[i - 1].in_contour)) continue;
        if (first.motion != MotionKind::rapid || !first.moves_x || !first.moves_z) continue;
        if (next.motion != MotionKind::feed || next.moves_x == next.moves_z) continue;
        const bool by_x = next.moves_x;
        if (!(by_x ? same(first.target_x, next.target_x) : same(first.target_z, next.target_z))) continue;
        report.at_letter(first.place, by_x ? 'X' : 'Z')
            .severity(Severity::warning)
            .message(said(
                "The first block of the contour is at this {0} already, and the cut to it in the next block "
                "goes nowhere: the rapid goes slanting through what is to be roughed, or the control "
                "alarms. Leave {0} out of this block.",
                by_x ? 'X' : 'Z'));
    }
}

} // namespace

extern const Check check{
    .id = "contour_starts_wrong",
    .family = Family::cycles,
    .severity = Severity::error,
    .title = "Contour that starts in the wrong way",
    .documentation =
        "The first block of a contour brings the tool to its start in a straight line, by G00 or G01. "
        "An arc there, or a contour of a single block, alarms on most controls. A first block in X and Z, "
        "with a cut to the same X or Z behind it that goes nowhere, is told, too.",
    .block = report_troubles<motion::Trouble::contour_starts_wrong, text>,
    .sequence = sequence,
    .examples =
        {
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X5.2 Z.1
G74 W.07 R.02
G74 P10 Q20 U.02 W.006 F.012
N10 G00 X2.7 Z-.375
;       ^^^^ warning: contour_starts_wrong
G01 X2.7 F.006
Z-.05
X2.4 Z0
N20 X-.065
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
;   ^^^ error: contour_starts_wrong
N10 G02 X40. Z-6. R8.
G01 Z-25. F0.12
N20 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G71 U.1 R.02
G71 P10 Q10 U.02 W.004 F.01
;   ^^^ error: contour_starts_wrong
N10 G00 X1.
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

} // namespace turnwright::checks::rules::contour_starts_wrong
