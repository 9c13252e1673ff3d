// A letter that stands twice where it can count only once.
#include "checks/rule.h"
#include "language/said.h"

#include <array>

namespace turnwright::checks::rules::word_twice {

namespace {

/// A line of nothing but repetitions is told by these as well as by thousands.
constexpr int most_told = 20;

void block(const BlockView& view, Report& report) {
    // Argument list II of a macro call repeats I, J and K.
    if (view.reading.code(Meaning::macro_call) || view.reading.code(Meaning::modal_call)) return;
    std::array<const machine::Word*, 26> first{};
    int told = 0;
    for (const machine::Word& word : view.reading.words) {
        if (word.after_comma || word.letter < 'A' || word.letter > 'Z' || word.letter == 'G' ||
            word.letter == 'M')
            continue;
        const machine::Word*& seen = first[static_cast<std::size_t>(word.letter - 'A')];
        if (!seen) {
            seen = &word;
            continue;
        }
        report.at(view, *word.item)
            .message(said("{} stands twice in this block, as {} and {}: the control alarms or obeys the "
                          "last one. Should this be two blocks?",
                          word.letter, text_of(view, *seen->item), text_of(view, *word.item)));
        if (++told == most_told) return;
    }
}

} // namespace

extern const Check check{
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

} // namespace turnwright::checks::rules::word_twice
