// A G code that is not in the table of this G-code system.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    for (const machine::Word& word : view.reading.words) {
        if (word.letter != 'G' || word.after_comma || word.code || word.item->kind != syntax::ItemKind::word)
            continue;
        double number = word.item->value;
        if (view.settings.machine.g_codes.count(static_cast<int>(number)) &&
            number == static_cast<int>(number))
            continue;
        std::string elsewhere;
        for (System other : {System::A, System::B, System::C})
            if (const codes::Code* row = codes::find(other, 'G', number); row && elsewhere.empty())
                elsewhere = fmt::format(" In system {} it is: {}.", codes::system_letter(other), row->title);
        report.at(view, *word.item)
            .message(fmt::format(
                "{} has no meaning in G-code system {}: the control alarms, unless its builder has "
                "given it one.{}",
                text_of(view, *word.item), codes::system_letter(view.settings.system), elsewhere));
    }
}

} // namespace

extern const Check code_of_another_system{
    .id = "code_of_another_system",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "G code this system does not have",
    .documentation =
        "The G code has no meaning in the G-code system this program is read in. The control alarms, "
        "unless its builder has given the number a meaning; the shop file can name it under "
        "`g_codes`. Where another system has the code, the message says what it is there: the program "
        "may have been written for another machine, or the system may be set wrong in the shop file.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G77 X40. Z-10. F0.2
;   ^^^ warning: code_of_another_system
M30
)"},
            {System::B, R"(
G20 G999
;   ^^^^ warning: code_of_another_system
M30
)"},
            {System::C, R"(
G70 G600
;   ^^^^ warning: code_of_another_system
M30
)"},
            {System::A, R"(
G21 G150
M30
)",
             "[[machine]]\nname = \"own\"\n[machine.g_codes]\nG150 = \"bar feed\"\n"},
            {System::B, R"(
G20 G#1
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
