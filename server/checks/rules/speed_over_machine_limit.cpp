// S above the highest or below the lowest speed of the spindle.
#include "checks/rule.h"

namespace turnwright::checks::rules::speed_over_machine_limit {

namespace {

void block(const BlockView& view, Report& report) {
    const shop::Machine& machine = view.settings.machine;
    const machine::Word* speed = view.reading.word('S');
    if (!speed || !speed->value.known() || view.reading.code(Meaning::macro_call)) return;
    if (!view.after.speaks_to_main()) return; // The shop file tells of no other
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

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::speed_over_machine_limit
