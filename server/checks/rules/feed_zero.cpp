// F0 or a negative feed.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_zero {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Word* feed = view.reading.word('F');
    if (!feed || feed->quantity != Quantity::feed || !feed->value.known() || feed->value.number > 0) return;
    if (threads_in(view) || view.reading.motion == MotionKind::thread_cycle ||
        view.reading.code(Meaning::dwell))
        return;
    report.at(view, *feed->item)
        .message(said("{} gives no feed: the control alarms or the tool stands in the cut.",
                      text_of(view, *feed->item)));
}

} // namespace

extern const Check check{
    .id = "feed_zero",
    .family = Family::feed,
    .severity = Severity::error,
    .title = "Feed of zero or less",
    .documentation =
        "A cutting feed must be above zero. The control alarms, or the axes stand still in the cut "
        "while the spindle turns.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G01 Z-5. F0
;        ^^ error: feed_zero
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G01 Z-.5 F-.008
;        ^^^^^^ error: feed_zero
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_zero
