// A rapid that carries a feed: G00 written where G01 is meant.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::rapid_with_feed {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    if (reading.motion != MotionKind::rapid || reading.in_contour) return;
    const machine::Word* rapid = reading.code(Meaning::rapid);
    const machine::Word* feed = reading.word('F');
    if (!rapid || !feed || !(reading.moves_x || reading.moves_z)) return;
    if (reading.code(Meaning::feed_line)) return; // Two codes of one group: another rule tells that
    report.at(view, *rapid->item)
        .message(said("{} moves at full rate and leaves {} for later moves: a cut written so drives the "
                      "tool into the metal. Write {}, or put the feed with the first cut.",
                      code(view, Meaning::rapid), text_of(view, *feed->item),
                      code(view, Meaning::feed_line)));
}

} // namespace

extern const Check check{
    .id = "rapid_with_feed",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid with a feed in its block",
    .documentation =
        "A block with G00 states a feed. The rapid does not use it; the F word stays for the next "
        "cut. Where the block was meant to cut, the tool is driven into the metal at full rate. Write "
        "G01, or put the F word into the block that cuts. Contours of cycles are not looked at: "
        "their feed is one for the finish.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z0.
G00 X-1.6 F0.2
;^^ warning: rapid_with_feed
Z2.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S800 M03
G0 X2. Z-.5
G0 X1.2 F.003
;^ warning: rapid_with_feed
X2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z0.
X50. F0.2
G01 X-1.6 F0.2
G00 Z2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_with_feed
