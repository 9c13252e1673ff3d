// A cut or thread whose speed in the axis is above the machine's highest cutting feed.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    auto most = view.settings.machine.max_feed_mm_per_min;
    if (!most || !cuts_in(view) || !view.after.feed.known()) return;
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
    std::string way = by_turn ? fmt::format("at {:.0f} rpm ", *rpm) : "";
    entry
        .message(
            fmt::format("The axes would have to feed {:.0f} mm a minute {}here, their limit is {:.0f}: {}.",
                        speed, way, *most,
                        threads_in(view) ? "the lead of the thread comes out wrong"
                                         : "the control alarms or holds the feed down"))
        .origin(part(Part::feed) | part(Part::speed));
}

} // namespace

extern const Check feed_over_machine_limit{
    .id = "feed_over_machine_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Feed faster than the axes cut",
    .documentation =
        "Feed by the revolution times the speed of the spindle is more than the axes can do. The "
        "control alarms, or holds the feed down; in a thread the lead is then wrong and the part is "
        "scrap. Lower the speed.",
    .block = block,
    .examples =
        {
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
