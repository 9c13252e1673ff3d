// A feed move whose X goes well below zero.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    bool feeds = reading.motion == MotionKind::feed || reading.motion == MotionKind::arc;
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

extern const Check x_far_below_centre{
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
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"},
            {System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules
