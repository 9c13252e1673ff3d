// F of a fraction of a millimetre a minute.
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
    .documentation =
        "The feed mode is by the minute and F is so small (below 3 mm or 0.12 in a minute; common "
        "practice, no source) that the tool stands and rubs: 0.2 mm a minute takes five minutes for a "
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
