// M03 or M04 while no block has given S.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    for (Meaning direction : {Meaning::spindle_forward, Meaning::spindle_reverse}) {
        const machine::Word* word = view.reading.code(direction);
        if (!word || !view.after.speed.surely_unset()) continue;
        report.at(view, *word->item)
            .message(fmt::format(
                "{} starts the spindle, but no block down to here gives a speed: it does not turn, "
                "or turns at the speed of the last job. Write S.",
                text_of(view, *word->item)));
    }
}

} // namespace

extern const Check spindle_start_without_speed{
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
