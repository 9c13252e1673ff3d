// A letter that stands twice where it can count only once.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

bool may_repeat(char letter, const machine::Reading& reading) {
    if (letter == 'G' || letter == 'M') return true;
    // Argument list II of a macro call repeats I, J and K.
    return reading.code(Meaning::macro_call) || reading.code(Meaning::modal_call);
}

void block(const BlockView& view, Report& report) {
    const auto& words = view.reading.words;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i].after_comma || may_repeat(words[i].letter, view.reading)) continue;
        for (std::size_t j = 0; j < i; ++j) {
            if (words[j].letter != words[i].letter || words[j].after_comma) continue;
            report.at(view, *words[i].item)
                .message(fmt::format(
                    "{} stands twice in this block, as {} and {}: the control alarms or obeys the "
                    "last one. Should this be two blocks?",
                    words[i].letter, text_of(view, *words[j].item), text_of(view, *words[i].item)));
            break;
        }
    }
}

} // namespace

extern const Check word_twice{
    .id = "word_twice",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Same letter twice in a block",
    .documentation =
        "A block holds the same letter twice, such as two X. Some controls alarm, most take the last "
        "one, and the first says something that is not done. Mostly two blocks have run together. G "
        "and M codes may stand several times.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X50. Z2. X40.
;            ^^^ warning: word_twice
M30
)"},
            {System::B, R"(
G20 T0101
G01 Z-1. F.008 F.01
;              ^^^ warning: word_twice
M30
)"},
            {System::A, R"(
G65 P9010 I1. J2. I3. J4.
G00 X5. ,R2. (R1)
M08 M03 G97 G21
M30
)"},
            {System::A, R"(
G21 G01 X20. R2. ,C1.
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
