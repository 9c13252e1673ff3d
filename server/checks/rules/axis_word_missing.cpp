// A way home that names no axis, or several holes with no way from one to the next in the block.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <string_view>

namespace turnwright::checks::rules::axis_word_missing {

namespace {

bool has_any(const BlockView& view, std::string_view letters) {
    return std::any_of(view.reading.words.begin(), view.reading.words.end(), [&](const machine::Word& word) {
        return !word.after_comma && letters.find(word.letter) != std::string_view::npos;
    });
}

void look_at_return(const BlockView& view, Report& report) {
    for (const machine::Word& word : view.reading.words) {
        if (!word.code || word.implied || !word.item || word.letter != 'G') continue;
        if (word.code->meaning != Meaning::reference_return &&
            word.code->meaning != Meaning::reference_return_second)
            continue;
        report.at(view, *word.item)
            .message(
                said("{0} names no axis here: nothing goes home, or the control alarms, or all axes go at "
                     "once. Write the one that is meant, as {0} U0, {0} W0 or, to set C, {0} H0.",
                     view.run.text_of(*word.item)));
        return;
    }
}

void look_at_count(const BlockView& view, Report& report) {
    constexpr double least = 2;
    if (!view.before.of(Group::drill_cycle).known() ||
        view.before.of(Group::drill_cycle).is(Meaning::drill_cycle_off) || view.reading.words.empty())
        return;
    const machine::Word* count = nullptr;
    for (const machine::Word& word : view.reading.words) {
        if (word.letter == 'G') return;
        if (word.letter == 'K' || word.letter == 'L') count = &word;
    }
    if (!count || !count->item || !count->value.known() || count->value.number < least) return;
    report.at(view, *count->item)
        .message(said("{} counts holes of the cycle above, and the block has no place or turn for them: none "
                      "is made. Write the way from hole to hole before it, as H with the angle.",
                      view.run.text_of(*count->item)));
}

void block(const BlockView& view, Report& report) {
    if (view.text.has_error || has_any(view, "XYZUVWCHABEPR#")) return;
    look_at_return(view, report);
    look_at_count(view, report);
}

} // namespace

extern const Check check{
    .id = "axis_word_missing",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Way home or count of holes without an axis",
    .documentation =
        "G28 or G30 stands without a letter of an axis: what it sends home is left to the control, and "
        "mostly "
        "it is nothing, as where the H0 that sets C is lost. Or a block in a drilling cycle counts holes (K) "
        "and has no X, Z, C or H: a cycle runs only in blocks that name a place, so no hole is made.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
M54
G28
;^^ warning: axis_word_missing
G98 G97 S1200 M63
G00 X60. Z5. C0
G83 Z-12. R-3. F120
C90.
G80
G28 U0
G28 W0
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0505
S2800 M33
G00 Z.2
X.75 C45. M08
G83 Z-.6 R-.1 Q800 F6. M88
K3 M88
;^ warning: axis_word_missing
G80 M89
G00 Z1. M09
M30
)"},
            {System::A, R"(
G21 G99
T0707
M54
G28 H0
G98 G97 S1200 M63
G00 X60. Z5. C0
G83 Z-12. R-3. F120
H90. K3
G80
G28 U0
G28 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X40. Z2.
G01 Z-20. F0.2
G91 G28 X0 Z0
G90
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0505
S2800 M33
G00 Z.2
X.75 C45. M08
G83 Z-.6 R-.1 Q800 F6. M88
H90. Q800 K3 M88
G80 M89
G00 Z1. M09
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::axis_word_missing
