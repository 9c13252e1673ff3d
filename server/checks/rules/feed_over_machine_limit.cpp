// A cut or thread whose speed in the axis is above the machine's highest cutting feed.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_over_machine_limit {

namespace {

/// Few lathes cut at more: common practice, no source.
constexpr double assumed_most_mm_per_min = 15'000;

void block(const BlockView& view, Report& report) {
    const auto stated = view.settings.machine.max_feed_mm_per_min;
    // Without one it is told where F stands alone.
    if ((!stated && !view.reading.word('F')) || !cuts_in(view) || !view.after.feed.known()) return;
    const std::optional<double> most = stated ? *stated : assumed_most_mm_per_min;
    auto feed = to_mm(view.after.feed.number, view.after);
    if (!feed) return;
    bool by_turn = threads_in(view) || view.after.is(Meaning::feed_per_rev);
    auto rpm = constant_rpm(view.after);
    if (by_turn && !rpm) return;
    if (!by_turn && !view.after.is(Meaning::feed_per_minute)) return;
    double speed = by_turn ? *feed * *rpm : *feed;
    if (speed <= *most * 1.0001) return;
    const machine::Word* word = view.reading.word('F');
    auto entry = word ? report.at(view, *word->item) : report.at(view);
    std::string way = by_turn ? said("at {:.0f} rpm ", *rpm) : "";
    if (!stated)
        entry.message(
            said("The axes would have to feed {:.0f} mm a minute {}here, and few lathes cut at more than "
                 "{:.0f} (assumed: no shop file gives a limit). Is a digit of the speed or of F too many?",
                 speed, way, *most));
    else
        entry.message(
            said("The axes would have to feed {:.0f} mm a minute {}here, their limit is {:.0f}: {}.", speed,
                 way, *most,
                 threads_in(view) ? said("the lead of the thread comes out wrong")
                                  : said("the control alarms or holds the feed down")));
    entry.origin(part(Part::feed) | part(Part::speed));
}

} // namespace

extern const Check check{
    .id = "feed_over_machine_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Feed faster than the axes cut",
    .documentation =
        "Feed by the revolution times the speed of the spindle is more than the axes can do. The "
        "control alarms, or holds the feed down; in a thread the lead is then wrong and the part is "
        "scrap. Lower the speed. Where no shop file gives the limit 15 m a minute is assumed, more than most "
        "lathes cut at.",
    .block = block,
    .examples =
        {
            // No shop file: above what lathes do.
            {System::A, R"(
G21 G99
T0606
G97 S1800 M03
G00 X48. Z6.
G92 X39. Z-79. F14.
;              ^^^^ warning: feed_over_machine_limit
X38.
G00 X60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S180 M03
G00 X48. Z6.
G21 X39. Z-79. F14.
X38.
G00 X60.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S2000 M03
G00 X50. Z5.
G32 Z-20. F4.
;         ^^^ warning: feed_over_machine_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_feed = 5000\n"},
            {System::B, R"(
G20 G90 G94
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F250.
;        ^^^^^ warning: feed_over_machine_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_feed = 5000\n"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S1000 M03
G00 X50. Z5.
G33 Z-20. F4.
G01 Z-30. F0.2
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_feed = 5000\n"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_over_machine_limit
