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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
