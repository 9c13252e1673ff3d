// F above the tool's highest feed by the revolution.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::feed_over_tool_limit {

namespace {

/// Away from the centreline or from the chuck.
bool leaves_part(const BlockView& view) {
    const machine::Value &x = view.before.x_radius, &z = view.before.z;
    const machine::Value &to_x = view.reading.target_x_radius, &to_z = view.reading.target_z;
    bool out = view.reading.moves_x && x.known() && to_x.known() && to_x.number > x.number;
    bool back = view.reading.moves_z && z.known() && to_z.known() && to_z.number > z.number;
    return (out || !view.reading.moves_x) && (back || !view.reading.moves_z);
}

void block(const BlockView& view, Report& report) {
    const machine::Word* feed = view.reading.word('F');
    const shop::Tool* tool = feed ? tool_in(view.after, report.shop()) : nullptr;
    if (!tool || !tool->max_feed_mm_per_rev || feed->quantity != Quantity::feed || !feed->value.known())
        return;
    if (!view.after.is(Meaning::feed_per_rev) || view.reading.motion != MotionKind::feed || !cuts_in(view))
        return;
    auto mm = to_mm(feed->value.number, view.after);
    if (!mm || *mm <= *tool->max_feed_mm_per_rev * 1.0001) return;
    // The feed out of the cut may be as fast as one likes.
    if (leaves_part(view)) return;
    double limit = view.after.is(Meaning::inch) ? *tool->max_feed_mm_per_rev / motion::mm_per_inch
                                                : *tool->max_feed_mm_per_rev;
    report.at(view, *feed->item)
        .message(said("{} is above this tool's limit of {} {} a revolution.", text_of(view, *feed->item),
                      spoken(limit), length_unit(view.after)));
}

} // namespace

extern const Check check{
    .id = "feed_over_tool_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Feed above what the tool allows",
    .documentation =
        "The shop file gives this tool a highest feed, and F is above it. The insert chips or the "
        "cutting force moves the part in the chuck.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.6
;        ^^^^ warning: feed_over_tool_limit
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 1\nmax_feed = 0.45\n"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 X1. F.02
;       ^^^^ warning: feed_over_tool_limit
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 1\nmax_feed = 0.45\n"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.45
X54. F1.
Z5. F1.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 1\nmax_feed = 0.45\n"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_over_tool_limit
