// S above the highest or below the lowest speed of the spindle.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    const shop::Machine& machine = view.settings.machine;
    const machine::Word* speed = view.reading.word('S');
    if (!speed || !speed->value.known() || view.reading.code(Meaning::macro_call)) return;
    if (view.reading.code(Meaning::speed_limit) || !view.after.is(Meaning::constant_rpm)) return;
    double rpm = speed->value.number;
    bool over = machine.max_rpm && rpm > *machine.max_rpm;
    bool under = machine.min_rpm && rpm < *machine.min_rpm && rpm > 0;
    if (!over && !under) return;
    report.at(view, *speed->item)
        .message(fmt::format(
            "{} is {} this spindle's {} speed of {:.0f} rpm: the control alarms or holds it there.",
            text_of(view, *speed->item), over ? "above" : "below", over ? "highest" : "lowest",
            over ? *machine.max_rpm : *machine.min_rpm));
}

} // namespace

extern const Check speed_over_machine_limit{
    .id = "speed_over_machine_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Speed the machine does not have",
    .documentation =
        "The spindle cannot turn as S asks: above its highest speed the control alarms or holds it "
        "there, below its lowest it may not turn at all. The cut then has another surface speed than "
        "it was meant to have.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G97 S6000 M03
;       ^^^^^ warning: speed_over_machine_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_rpm = 4500\nmin_rpm = 40\n"},
            {System::B, R"(
G20 G97 S20 M03
;       ^^^ warning: speed_over_machine_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_rpm = 4500\nmin_rpm = 40\n"},
            {System::C, R"(
G71 G97 S4500 M03
S40
G92 S6000
G96 S20
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_rpm = 4500\nmin_rpm = 40\n"},
            {System::A, R"(
G97 S9000 M03
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
