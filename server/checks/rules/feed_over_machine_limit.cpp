// A cut or thread whose speed in the axis is above the machine's highest cutting feed.
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::feed_over_machine_limit {

namespace {

/// Few lathes cut at more: common practice, no source.
constexpr double assumed_most_mm_per_min = 15'000;

/// Threads with the same F around this one, under the same S: the lead is right by them.
struct Around {
    std::optional<BlockPlace> speed; ///< Of the S in force
    const syntax::Item* speed_word = nullptr;
    bool before = false, behind = false; ///< Another block with the same F
};
Around around(const machine::Reader& reader, BlockPlace here, double lead) {
    constexpr int as_far = 80;
    const auto same = [&](BlockPlace at) {
        const syntax::Item* f = find_letter(reader, at, 'F');
        return f && std::abs(f->value - lead) < 1e-9;
    };
    Around found;
    std::optional<BlockPlace> at = here;
    for (int i = 0; i < as_far && at && !found.speed; ++i) {
        if (i > 0) found.before = found.before || same(*at);
        if ((found.speed_word = find_letter(reader, *at, 'S'))) found.speed = at;
        at = reader.neighbour(*at, false);
    }
    at = reader.neighbour(here, true);
    for (int i = 0; i < as_far && at && !found.behind; ++i) {
        if (find_letter(reader, *at, 'S') || find_letter(reader, *at, 'T')) break;
        found.behind = same(*at);
        at = reader.neighbour(*at, true);
    }
    return found;
}

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
    if (!stated && threads_in(view)) {
        const Around by = around(report.reader(), {view.run_index, view.block}, view.after.feed.number);
        if (by.speed && by.before) return; // It is told at the S
        if (by.speed && by.behind) {
            report.at(*by.speed, *by.speed_word)
                .message(
                    said("{0} at the lead F{1} below asks the axes for {2:.0f} mm a minute, and few lathes "
                         "cut at more than {3:.0f} (assumed: no shop file gives a limit). All passes have "
                         "this lead: is a digit of S too many?",
                         text_of(report.reader(), *by.speed, *by.speed_word), written(view.after.feed.number),
                         speed, *most));
            return;
        }
    }
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
        "lathes cut at. Where several threading blocks under one S have the same lead, the S is told.",
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
            {System::B, R"(
G21 G90 G95
T0606
G97 S1800 M03
;   ^^^^^ warning: feed_over_machine_limit
G00 X48. Z6.
G78 X39. Z-79. F14.
G00 Z13.
G78 X39. Z-79. F14.
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
