// F of a fraction of a millimetre a minute.
//
// The bound: common practice, no source.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Word* feed = view.reading.word('F');
    if (!feed || feed->quantity != Quantity::feed || !feed->value.known()) return;
    if (!view.after.is(Meaning::feed_per_minute) || threads_in(view) || view.reading.code(Meaning::dwell))
        return;
    if (view.reading.motion == MotionKind::thread_cycle) return;
    auto mm = to_mm(feed->value.number, view.after);
    if (!mm || *mm >= 3.0 || *mm <= 0) return;
    report.at(view, *feed->item)
        .message(fmt::format("{} is {} {} a minute: the tool stands and rubs. By the revolution it needs {}.",
                             text_of(view, *feed->item), spoken(feed->value.number),
                             view.after.is(Meaning::inch) ? "in" : "mm", code(view, Meaning::feed_per_rev)))
        .origin(part(Group::feed_mode));
}

} // namespace

extern const Check feed_too_small_by_minute{
    .id = "feed_too_small_by_minute",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed by the minute that looks like one by the revolution",
    .documentation = "The feed mode is by the minute and F is so small (below 3 mm or 0.12 in a minute) "
                     "that the tool stands and rubs: 0.2 mm a minute takes five minutes for a "
                     "millimetre. Mostly it was meant by the revolution.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G98
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
;        ^^^^ warning: feed_too_small_by_minute
M30
)"},
            {System::B, R"(
G20 G90 G94
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.008
;        ^^^^^ warning: feed_too_small_by_minute
M30
)"},
            {System::A, R"(
G21 G98
T1111
G00 X50. Z2.
G01 Z-5. F60.
G99 G01 X40. F0.2
M30
)"},
            {System::C, R"(
G70 G90 G94
T1111
G00 X2. Z.1
G01 Z-.5 F1.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
