// A tool call for a station above the number the turret has.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    auto stations = view.settings.machine.stations;
    if (!stations || !is_tool_call(view) || !view.after.tool.known()) return;
    if (view.after.tool.number <= *stations) return;
    report.at(view, *view.reading.word('T')->item)
        .message(fmt::format("{} asks for station {:.0f}, the turret has {}: the control alarms.",
                             text_of(view, *view.reading.word('T')->item), view.after.tool.number,
                             *stations));
}

} // namespace

extern const Check station_not_in_turret{
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
