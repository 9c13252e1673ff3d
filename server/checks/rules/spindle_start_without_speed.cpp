// M03 or M04 while no block has given S.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::spindle_start_without_speed {

namespace {

void block(const BlockView& view, Report& report) {
    for (Meaning direction : {Meaning::spindle_forward, Meaning::spindle_reverse}) {
        const machine::Word* word = view.reading.code(direction);
        if (!word || !view.after.speed.surely_unset()) continue;
        report.at(view, *word->item)
            .message(said("{} starts the spindle, but no block down to here gives a speed: it does not turn, "
                          "or turns at the speed of the last job. Write S.",
                          text_of(view, *word->item)));
    }
}

} // namespace

extern const Check check{
    .id = "spindle_start_without_speed",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Spindle started with no speed",
    .documentation =
        "The spindle is started before any block has given S. The control alarms, does not turn, or "
        "takes the speed of the job before. Write S with M03.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 M03
;   ^^^ warning: spindle_start_without_speed
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2000
T0101 M04
;     ^^^ warning: spindle_start_without_speed
M30
)"},
            {System::A, R"(
G21 G99
G97 S500
T0101
M03
M05
M03
M30
)"},
            {System::C, R"(
G71 G97 S#101 M03
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_start_without_speed
