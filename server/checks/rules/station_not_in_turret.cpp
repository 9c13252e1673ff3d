// A tool call for a station above the number the turret has.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::station_not_in_turret {

namespace {

void block(const BlockView& view, Report& report) {
    auto stations = view.settings.machine.stations;
    if (!stations || !is_tool_call(view) || !view.after.tool.known()) return;
    if (view.after.tool.number <= *stations) return;
    report.at(view, *view.reading.word('T')->item)
        .message(said("{} asks for station {:.0f}, the turret has {}: the control alarms.",
                      text_of(view, *view.reading.word('T')->item), view.after.tool.number, *stations));
}

} // namespace

extern const Check check{
    .id = "station_not_in_turret",
    .family = Family::tools,
    .severity = Severity::error,
    .title = "Station the turret does not have",
    .documentation =
        "The shop file says how many stations the turret has, and this call asks for a higher one. "
        "The control alarms at the call.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 T1313
;   ^^^^^ error: station_not_in_turret
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nstations = 12\n"},
            {System::B, R"(
G20
T0900
;^^^^ error: station_not_in_turret
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nstations = 8\n"},
            {System::C, R"(
G71 T1212
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nstations = 12\n"},
            {System::A, R"(
G21 T3030
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::station_not_in_turret
