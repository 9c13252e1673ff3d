// Nose compensation that comes on in the first cut, and not on the way to it.
//
// That it is switched on in the air in front of the part: common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::compensation_begun_in_cut {

namespace {

/// A feed along Z from in front of the part into it: nothing cut there before can have left room.
bool cuts_in_from_front(const Step& step) {
    constexpr double least_behind = 1e-3; // Program units
    return step.motion == MotionKind::feed && step.moves_z && !step.moves_other &&
           !step.is(Meaning::spindle_stop) && step.from_z.known() && step.to_z.known() &&
           step.from_z.number >= 0 && step.to_z.number < -least_behind;
}

void sequence(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        // Alone in its block it has the tool swing round before the move, on some controls.
        const bool left = step.gives(Meaning::compensation_left);
        if ((!left && !step.gives(Meaning::compensation_right)) || !cuts_in_from_front(step) || step.deleted)
            continue;
        const Meaning side = left ? Meaning::compensation_left : Meaning::compensation_right;
        report_at_code(report, context, step, side)
            .message(said(
                "{0} comes on in the block that cuts from Z{1} into the part: the nose is on its side only "
                "at "
                "the end of it, and this first edge comes out off by as much as the radius. Write {0} in "
                "the move before, in the air.",
                code(context.settings(), side), written(step.from_z.number)));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "compensation_begun_in_cut",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Compensation switched on in the first cut",
    .documentation =
        "In the block with G41 or G42 the control brings the nose to its side of the path, and it is there "
        "at the end of "
        "the block. Where that block is the first cut itself, from in front of the face into the part, the "
        "chamfer "
        "or diameter that it cuts is off by as much as the nose radius at its beginning. The code belongs "
        "to the way there, in the air. Blocks that begin behind the face, in a groove or a bore that is "
        "there, are left alone.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G96 S200 M03
G00 X22. Z2.
G42 G01 X28. Z-1. F.12
;^^ warning: compensation_begun_in_cut
Z-30.
X34.
G40 G00 X60. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G96 S400 M03
G00 X1.2 Z.1
G41 G01 X1. Z-.05 F.004
;^^ warning: compensation_begun_in_cut
Z-1.
X.96
G40 G00 Z.2
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G96 S200 M03
G00 X22. Z2.
G01 Z0 F.2
G42 X28. Z-3.
;^^ warning: compensation_begun_in_cut
Z-30.
X34.
G40 G00 X60. Z50.
M30
)"},
            // In the air, by rapid or feed; alone in its block; behind a shoulder.
            {System::C, R"(
G71 G90 G95
T0606
G96 S180 M03
G00 X69. Z2.
G42
G01 X75. Z-1. F.12
Z-28.
X82.
G40 G00 X90.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G96 S200 M03
G00 X60. Z3.
G42 X22. Z2.
G01 X28. Z-1. F.12
Z-30.
X34.
G40 G00 X60. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G96 S400 M03
G00 X1.2 Z.2
G42 G01 Z0 F.02
X1.3 Z-.05 F.004
Z-1.
X1.5
G40 G00 X3. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G96 S180 M03
G00 X50. Z2.
Z-61.
G41 G01 X46.5 F.3
X36. Z-50. F.1
Z-20.
G40 G00 X60. Z50.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::compensation_begun_in_cut
