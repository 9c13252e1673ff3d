// A feed move whose X goes well below zero.
#include "checks/works.h"
#include "language/said.h"

namespace turnwright::checks::rules::x_far_below_centre {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    bool feeds = reading.motion == MotionKind::feed || reading.motion == MotionKind::arc;
    // With the spindle stopped a live tool goes through.
    if (view.after.part_stands() && !reading.code(Meaning::spindle_stop)) return;
    if (!feeds || !reading.moves_x || reading.moves_other || reading.in_contour) return;
    const machine::Value &from = view.before.x_radius, &to = reading.target_x_radius;
    if (!from.known() || !to.known() || from.number <= 0) return;
    auto mm = at_least_mm(to.number, view.after);
    if (!mm || *mm >= -3.0) return;
    const machine::Word* word = reading.word(reading.has('X') ? 'X' : 'U');
    report.at(view, *word->item)
        .message(
            said("{} feeds across the centre to {}: so far past it the edge is met from behind. Is the sign "
                 "right?",
                 text_of(view, *word->item), spoken_x(to.number, view.settings)));
}

/// The last move in X of the turn that it belongs to: what brings the next one to where it begins.
const Leg& last_in_x(const WorksContext& context, const Work& work, const Leg& from) {
    const Leg* last = &from;
    const Leg* before = &from;
    for (const Leg* leg = next_of(work, from); leg && leg->run_at; leg = next_of(work, *leg)) {
        if (!(context.place(work, *before) < context.place(work, *leg))) break;
        if (leg->dx() != 0) last = leg;
        before = leg;
    }
    return *last;
}

/// In called programs, whose blocks begin elsewhere at each call: where the call leads.
void works(const WorksContext& context, Report& report) {
    constexpr double least_mm = 3;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            for (const Leg& leg : work->legs) {
                if (!leg.run_at || !leg.by_letters || !leg.known || leg.kind != Leg::Kind::feed ||
                    leg.in_contour)
                    continue;
                const double x = leg.to.x_radius_mm;
                if (x * work->unit_mm >= -least_mm) continue;
                context.at(report, *work, last_in_x(context, *work, leg), "UXW")
                    .message(said(
                        "One of the turns through here feeds on to {}, across the centre: so far past it the "
                        "edge is met from behind. Do the ways of this program add up to one step?",
                        context.x(x)));
                return;
            }
        }
}

} // namespace

extern const Check check{
    .id = "x_far_below_centre",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Cut far past the centreline",
    .documentation =
        "The move feeds across the centreline and ends more than 6 mm (0.24 in) in diameter on the "
        "other side. Facing and parting a little past the centre, by the nose of the tool, is right "
        "practice; so far past it the cutting edge meets the part from behind, which breaks it, and "
        "the sign of X is mostly wrong. So is a called program in U and W whose ways add up to more than one "
        "step in X, so that the last of its calls come below the centre.",
    .block = block,
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z0.
G01 X-24. F0.2
;   ^^^^ warning: x_far_below_centre
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z0
G01 X-.5 F.008
;   ^^^^ warning: x_far_below_centre
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z0.
G01 X-1.6 F0.2
G00 X-40.
G01 X-38. F0.1
X-52.
M30
)"},
            // Eight calls, each to end one step of 4 deeper.
            {System::A, R"(
G50 S2800
T0303
G96 S180 M03
G00 X36. Z1.
M98 P80502
G00 X100. Z100.
M30
O0502
G00 U-4.
G01 W-31. F.15
G00 U8.
W31.
U-17.
;^^^^ warning: x_far_below_centre
M99
)"},
            {System::A, R"(
G50 S2800
T0303
G96 S180 M03
G00 X36. Z1.
M98 P80502
G00 X100. Z100.
M30
O0502
G00 U-4.
G01 W-31. F.15
G00 U8.
W31.
U-8.
M99
)"},
            {System::A, R"(
G21 G98
T1111
G00 X30. Z2. C0.
G01 X-30. C0. F100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::x_far_below_centre
