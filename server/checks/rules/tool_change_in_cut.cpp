// A tool call while the last move was a cut and no retract has been made.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::tool_change_in_cut {

namespace {

/// What fed last was no tool: a slide of a second spindle, or the part about its axis.
bool last_fed_another_axis(const machine::Reader& reader, BlockPlace here) {
    for (auto at = reader.neighbour(here, false); at; at = reader.neighbour(*at, false)) {
        bool of_tool = false, of_other = false;
        for (const syntax::Item& item : reader.items(*at)) {
            if (!item.is_word()) continue;
            of_tool = of_tool || std::string_view("XZUWR").find(item.letter) != std::string_view::npos;
            of_other = of_other || std::string_view("ABCHVY").find(item.letter) != std::string_view::npos;
        }
        if (of_tool || of_other) return !of_tool;
    }
    return false;
}

void block(const BlockView& view, Report& report) {
    if (!is_tool_call(view) || !view.before.tool.known() || !view.after.tool.known()) return;
    if (view.before.tool == view.after.tool || view.after.tool.is(0) ||
        view.reading.motion != MotionKind::none)
        return;
    bool feeding = view.before.is(Meaning::feed_line) || view.before.is(Meaning::arc_clockwise) ||
                   view.before.is(Meaning::arc_counterclockwise);
    // A known place in the program's coordinates: not at the reference point, not behind a return home.
    if (!feeding || !view.before.x_radius.known() || !view.before.z.known()) return;
    if (last_fed_another_axis(report.reader(), {view.run_index, view.block})) return;
    report.at(view, *view.reading.word('T')->item)
        .message(
            said("The turret turns at {} Z{}, where the last cut ended: its tools sweep through part and "
                 "chuck. Retract to the change position first.",
                 spoken_x(view.before.x_radius.number, view.settings), written(view.before.z.number)));
}

} // namespace

extern const Check check{
    .id = "tool_change_in_cut",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Turret indexed right after a cut",
    .documentation =
        "The next tool is called right after a cutting move: the turret turns where it stands, with "
        "the tools beside it sweeping through part and chuck. Retract first, and go to the change "
        "position.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
T0202
;^^^^ warning: tool_change_in_cut
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G03 X2.2 Z0 R.1 F.01
M05
N2 T0202
;  ^^^^^ warning: tool_change_in_cut
M30
)"},
            // The slide of a second spindle fed last, with the tool far off.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X100. Z100.
G94
G01 B-400. F300
G95
T0303
G00 X24. Z-43.
G01 X-1. F.06
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
X52.
G28 U0 W0
T0202
G00 X50. Z2.
G01 Z-5.
T0212
G00 X100. Z50.
T0303
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tool_change_in_cut
