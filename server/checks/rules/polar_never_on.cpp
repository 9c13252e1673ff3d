// The plane of X and C is ended and nothing has begun it.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::polar_never_on {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    const Step* first_feed = nullptr; ///< Behind a C
    const Step* before = nullptr;
    bool c_came = false;
    for (const Step& step : context.steps) {
        if (step.gives(Meaning::polar_on)) return;
        if (step.moves_other && step.motion == MotionKind::rapid) c_came = true;
        const bool feeds = step.motion == MotionKind::feed || step.motion == MotionKind::arc;
        if (c_came && !first_feed && feeds) first_feed = &step;
        const bool was_off = before && (before->of(Group::polar).is(Meaning::polar_off) ||
                                        before->of(Group::polar).surely_unset());
        before = &step;
        // In a safety line it stands before any cut.
        if (!step.gives(Meaning::polar_off) || !was_off || !first_feed) continue;
        if (!find_code(context.reader, step.place, Meaning::polar_off)) return; // A called program does both
        report_at_code(report, context, step, Meaning::polar_off)
            .message(said(
                "{} ends the plane of X and C, and {} does not stand above in this sequence: what was cut "
                "before went in the turning plane, C as an angle. The control alarms, or the contour comes "
                "out as another. Write {} behind the approach.",
                code(context.settings(), Meaning::polar_off), code(context.settings(), Meaning::polar_on),
                code(context.settings(), Meaning::polar_on)))
            .related(first_feed->place, said("cut without it from here"));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "polar_never_on",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Plane of X and C ended and never begun",
    .documentation = "A sequence brings C to an angle, cuts, and then ends the plane of X and C, with "
                     "nothing that begins it: the "
                     "code was lost. What was meant for the plane is read in the turning plane, with C in "
                     "degrees. A code that "
                     "ends the plane before anything is cut, as in a safety line, is left alone.",
    .sequence = sequence,
    .examples =
        {
            {System::B, R"(
G21 G90 G94 G97
T0404
S1300 M03
G00 X110. C0
Z3.
G01 Z-10. F600
G01 X80. F500
G02 I-34. J0 F160
G01 X110.
G13.1
;^^^^ warning: polar_never_on
G00 Z10.
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T0404
S1300 M03
G00 X4. C0
Z-.4
G01 X1.5 F20.
C-.4
G01 X4.
G113
;^^^ warning: polar_never_on
G00 Z1.
M30
)"},
            {System::A, R"(
G21 G40 G98 G97
T1111
S1400 M03
G00 X80. Z-12. C0.
G12.1
G01 X36. C0. F120
C-10.392
G01 X80. F400
G13.1
M30
)"},
            {System::A, R"(
G21 G40 G98 G97
T1111
G13.1
S1400 M03
G00 X80. Z5. C0.
G83 X60. C0. Z-12. R-3. F80
C90.
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            {System::B, R"(
G20 G90 G94 G97
T0707
S2400 M03
G00 Z.1
X2.4 C0
G01 Z-.2 F20.
M98 P6010
G01 Z-.4 F20.
M98 P6010
G00 Z.5
M30
O6010
G12.1
G42 G01 X1. C-.7 F12.
C.7
G40 X2.4 C0
G13.1
M99
)"},
        },
};

} // namespace turnwright::checks::rules::polar_never_on
