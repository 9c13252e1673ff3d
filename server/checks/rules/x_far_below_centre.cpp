// A feed move whose X goes well below zero.
#include "checks/rule.h"

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
    auto mm = to_mm(to.number, view.after);
    if (!mm || *mm >= -3.0) return;
    const machine::Word* word = reading.word(reading.has('X') ? 'X' : 'U');
    report.at(view, *word->item)
        .message(fmt::format(
            "{} feeds across the centre to {}: so far past it the edge is met from behind. Is the sign "
            "right?",
            text_of(view, *word->item), spoken_x(to.number, view.settings)));
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
        "the sign of X is mostly wrong.",
    .block = block,
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
