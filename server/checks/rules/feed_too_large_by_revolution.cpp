// F of many millimetres a revolution.
//
// The bound: common practice, no source.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Word* feed = view.reading.word('F');
    if (!feed || feed->quantity != Quantity::feed || !feed->value.known()) return;
    if (!view.after.is(Meaning::feed_per_rev) || view.reading.code(Meaning::dwell)) return;
    MotionKind motion = view.reading.motion;
    if (threads_in(view) || motion == MotionKind::thread_cycle) return;
    if (view.reading.motion_meaning == Meaning::tap_face || view.reading.motion_meaning == Meaning::tap_side)
        return;
    auto mm = to_mm(feed->value.number, view.after);
    if (!mm || *mm <= 3.06) return;
    bool inch = view.after.is(Meaning::inch);
    std::string guess = inch && feed->value.number <= 1.0
                            ? fmt::format(" In millimetres it would be {} in.",
                                          spoken(feed->value.number / motion::mm_per_inch))
                            : fmt::format(" By the minute it is {} with {}.", text_of(view, *feed->item),
                                          code(view, Meaning::feed_per_minute));
    report.at(view, *feed->item)
        .message(fmt::format("{} is {} {} a revolution: the tool is torn off at the first touch.{}",
                             text_of(view, *feed->item), spoken(feed->value.number), inch ? "in" : "mm",
                             guess));
}

} // namespace

extern const Check feed_too_large_by_revolution{
    .id = "feed_too_large_by_revolution",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed by the revolution that looks like one by the minute",
    .documentation =
        "The feed mode is by the revolution and F is larger than any turning tool takes (above 3 mm "
        "or 0.12 in). Mostly it is a value by the minute, or a metric one "
        "in an inch program. The tool is torn off at the first touch. The lead of a thread is no feed "
        "and is not asked.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F200.
;        ^^^^^ warning: feed_too_large_by_revolution
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.25
;        ^^^^ warning: feed_too_large_by_revolution
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S300 M03
G00 X50. Z5.
G32 Z-20. F6.
G84 Z-20. F4.
G98 G01 Z-5. F200.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S300 M03
G00 X2. Z.5
G21 X1.8 Z-1. F.25
G00 X3.
G01 Z-2. F.02
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
