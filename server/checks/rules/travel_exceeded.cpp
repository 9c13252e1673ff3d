// A machine-datum move to a place outside the travel.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    if (view.reading.motion != MotionKind::machine_rapid) return;
    const shop::Machine& machine = view.settings.machine;
    auto look = [&](char axis, const machine::Value& place, std::optional<double> least,
                    std::optional<double> most) {
        const machine::Word* word = view.reading.word(axis);
        if (!word || !place.known()) return;
        auto mm = to_mm(place.number, view.after);
        if (!mm) return;
        bool under = least && *mm < *least - 1e-6, over = most && *mm > *most + 1e-6;
        if (!under && !over) return;
        report.at(view, *word->item)
            .message(fmt::format("{} lies {} mm beyond the travel of the {} axis: the control alarms.",
                                 text_of(view, *word->item), spoken(under ? *least - *mm : *mm - *most),
                                 axis));
    };
    look('X', view.after.machine_x_radius, machine.travel_x_min_mm, machine.travel_x_max_mm);
    look('Z', view.after.machine_z, machine.travel_z_min_mm, machine.travel_z_max_mm);
}

} // namespace

extern const Check travel_exceeded{
    .id = "travel_exceeded",
    .family = Family::limits,
    .severity = Severity::error,
    .title = "Move beyond the travel of the machine",
    .documentation =
        "The move in the machine datum (G53) goes beyond the travel the shop file gives. The control "
        "alarms before the move, or the axis runs onto its limit switch.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21
T0101
G00 G53 X0. Z10.
;           ^^^^ error: travel_exceeded
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\n"},
            {System::B, R"(
G20 G90
T0101
G00 G53 X-20. Z0
;       ^^^^^ error: travel_exceeded
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_x_max = 0\ntravel_x_min = -210\n"},
            {System::C, R"(
G71 G90
T0101
G00 G53 X0 Z-480.
G00 X50. Z10.
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ntravel_z_max = 0\ntravel_z_min = -480\ntravel_x_min "
             "= -210\n"},
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
