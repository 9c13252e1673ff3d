// The unit changes in the middle of the program.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    for (const machine::Word& word : view.reading.words) {
        if (!word.code || word.code->group() != Group::units) continue;
        const machine::Modal& before = view.before.of(Group::units);
        bool other = before.known() && !before.is(word.code->meaning);
        bool moved = view.before.x_radius.known() || view.before.z.known() || view.before.feed.known() ||
                     view.before.feed.why == Why::mode_changed;
        if (!other || !moved) continue;
        report.at(view, *word.item)
            .message(
                fmt::format("{} changes the unit in the middle of the program: offsets and positions are not "
                            "converted by every control, and a start below reads lengths 25.4 times off.",
                            text_of(view, *word.item)))
            .origin(part(Group::units));
    }
}

} // namespace

extern const Check units_changed{
    .id = "units_changed",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Inch and millimetre in one program",
    .documentation =
        "The program switches between inch and millimetre after moves have been made. Many controls "
        "do not convert offsets and positions then, and a restart between the two reads every length "
        "wrong. Leave a program in one unit.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G00 X50. Z2.
G20
;^^ warning: units_changed
G00 X2. Z.1
M30
)"},
            {System::C, R"(
G71 G90
T0101
G00 X50. Z2.
G01 Z-5. F0.2
G70
;^^ warning: units_changed
M30
)"},
            {System::A, R"(
G20
G21 G99
T0101
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20 G90
G00 X2. Z.1
G20
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
