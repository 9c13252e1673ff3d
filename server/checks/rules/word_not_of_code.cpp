// A cycle with a word it does not take, or a code with the words of another system's cycle.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::word_not_of_code {

namespace {

bool is_asked(Meaning meaning) {
    switch (meaning) {
    case Meaning::finish_cycle:
    case Meaning::rough_turning:
    case Meaning::rough_facing:
    case Meaning::pattern_repeat:
    case Meaning::peck_face:
    case Meaning::groove_side:
    case Meaning::single_turning:
    case Meaning::single_threading:
    case Meaning::single_facing:
    case Meaning::thread_cycle:
    case Meaning::inch:
    case Meaning::millimetre:
    case Meaning::work_shift:
    case Meaning::speed_limit:
        return true;
    default:
        return false;
    }
}
bool is_unit(Meaning meaning) {
    return codes::group_of(meaning) == Group::units;
}
/// Letters that only a cycle has beside a unit code; a move may stand in the same block.
bool is_letter_asked(Meaning meaning, char letter, const BlockView& view) {
    // Its forms differ from control to control; none turns the part.
    if (meaning == Meaning::thread_cycle) return letter == 'C';
    switch (letter) {
    case 'C':
        return !is_unit(meaning) && meaning != Meaning::work_shift && meaning != Meaning::speed_limit;
    case 'P':
    case 'Q':
    case 'D':
        return true;
    case 'F':
        return meaning == Meaning::work_shift;
    case 'X':
    case 'Z':
        return !is_unit(meaning) && meaning != Meaning::work_shift && meaning != Meaning::speed_limit;
    case 'R':
        return !is_unit(meaning) || view.reading.motion != MotionKind::arc;
    default:
        return false;
    }
}

/// "In system A G70 is: ..." of a system whose code takes the word.
std::string elsewhere(const codes::Code& code, char letter, const BlockView& view) {
    std::vector<char> letters;
    for (const machine::Word& word : view.reading.words) letters.push_back(word.letter);
    for (System other : {System::A, System::B, System::C}) {
        if (other == view.settings.system) continue;
        const codes::Code* row = codes::find_with_words(other, 'G', code.number_tenths / 10.0, letters);
        if (!row || row->meaning == code.meaning || !codes::word_use(row, letter)) continue;
        const std::string here = codes::written_as(view.settings.system, row->meaning);
        return said(" In system {} it is: {}. Here that is {}.", codes::system_letter(other), row->title,
                    here.empty() ? said("not to be had") : here);
    }
    return {};
}

/// The first line of a roughing cycle with the allowance of the line that calls the contour in place of its
/// depth: that word.
const machine::Word* depth_by_wrong_letter(const BlockView& view, Meaning meaning) {
    if (meaning != Meaning::rough_turning && meaning != Meaning::rough_facing) return nullptr;
    const char depth = meaning == Meaning::rough_turning ? 'U' : 'W';
    const char allowance = depth == 'U' ? 'W' : 'U';
    const machine::Word* wrong = nullptr;
    for (const machine::Word& word : view.reading.words) {
        if (word.letter == depth || word.letter == 'P' || word.letter == 'Q' || word.letter == 'D')
            return nullptr;
        if (word.letter == allowance) wrong = &word;
    }
    return wrong;
}

/// U and W of a finishing cycle, as the roughing of the same contour has them: the block of that.
std::optional<BlockPlace> roughing_with_same(const BlockView& view, const machine::Reader& reader) {
    constexpr int as_far = 200;
    const machine::Word *p = view.reading.word('P'), *q = view.reading.word('Q');
    if (!p || !q || !(view.reading.word('U') || view.reading.word('W'))) return std::nullopt;
    std::optional<BlockPlace> at = reader.neighbour({view.run_index, view.block}, false);
    for (int i = 0; i < as_far && at; ++i, at = reader.neighbour(*at, false)) {
        const auto same = [&](const machine::Word* word, char letter) {
            const syntax::Item* item = find_letter(reader, *at, letter);
            return word && item && item->value == word->item->value;
        };
        if (!same(p, 'P') || !same(q, 'Q')) continue;
        for (char letter : {'U', 'W'}) {
            const machine::Word* word = view.reading.word(letter);
            if (word && (word->item->value == 0 || !same(word, letter))) return std::nullopt;
        }
        return at;
    }
    return std::nullopt;
}
bool finishes_with_allowance(const BlockView& view, const machine::Word& asked, Report& report) {
    if (asked.code->meaning != Meaning::finish_cycle) return false;
    if (!view.reading.word('U') && !view.reading.word('W')) return false;
    const auto rough = roughing_with_same(view, report.reader());
    if (!rough) return false;
    report.at(view, *asked.item)
        .message(
            said("{0} stands with the allowance of the roughing cycle: a control that takes it leaves the "
                 "same again on the part, others alarm or pass it over. Leave U and W out of {0}.",
                 text_of(view, *asked.item)))
        .related(*rough, said("the roughing"));
    return true;
}

void block(const BlockView& view, Report& report) {
    const machine::Word* asked = nullptr;
    for (const machine::Word& word : view.reading.words) {
        if (word.letter != 'G' || !word.code) continue;
        if (is_asked(word.code->meaning))
            asked = &word;
        else if (word.code->group() == Group::motion || word.code->group() == Group::drill_cycle ||
                 view.reading.flow != machine::FlowKind::none || word.code->meaning == Meaning::dwell ||
                 word.code->meaning == Meaning::macro_call || word.code->meaning == Meaning::data_setting)
            return; // The words may be that code's
    }
    if (!asked || view.reading.flow != machine::FlowKind::none) return;
    const codes::Code& code = *asked->code;
    if (const machine::Word* wrong = depth_by_wrong_letter(view, code.meaning)) {
        report.at(view, *wrong->item)
            .message(said("The first line of {} takes its depth of cut as {}; {} is the allowance of "
                          "the line that calls the contour. The control alarms, or cuts as deep as in "
                          "the last job. Write {} here.",
                          text_of(view, *asked->item), wrong->letter == 'W' ? 'U' : 'W', wrong->letter,
                          wrong->letter == 'W' ? 'U' : 'W'));
        return;
    }
    if (finishes_with_allowance(view, *asked, report)) return;
    std::string letters;
    const machine::Word* first = nullptr;
    for (const machine::Word& word : view.reading.words) {
        if (word.after_comma || !is_letter_asked(code.meaning, word.letter, view) ||
            codes::word_use(&code, word.letter))
            continue;
        if (!first) first = &word;
        letters += (letters.empty() ? "" : ", ") + text_of(view, *word.item);
    }
    if (!first) return;
    // A unit code, then a move of a drilling cycle that stays on: its Q and R.
    if (is_unit(code.meaning) && view.reading.motion == MotionKind::drill_cycle) return;
    report.at(view, *asked->item)
        .message(said("{} is: {}, and takes no {}: what is meant is not done, or the control alarms.{}",
                      text_of(view, *asked->item), code.title, letters,
                      elsewhere(code, first->letter, view)));
}

} // namespace

extern const Check check{
    .id = "word_not_of_code",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Words that the code does not take",
    .documentation = "A cycle, a unit code or a datum shift stands with words that belong to another code: "
                     "the finishing cycle "
                     "with U, W and D, or the number of a cycle in another G-code system, such as G70 P Q in "
                     "system C, where "
                     "G70 is inches, or G92 X Z F in B and C, where it shifts the datum. The words are left "
                     "aside or alarm, and "
                     "the cycle that was meant is not run. The message names what the number is in the other "
                     "system, and its "
                     "number here.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G71 U2. R.5
G71 P10 Q20 U.4 W.1 F.3
N10 G00 X30.
G01 Z-20. F.1
N20 X50.
G70 P10 Q20 U.4 W.1
;^^ warning: word_not_of_code
M30
)"},
            // The depth of facing by the letter of turning, and the reverse.
            {System::B, R"(
G20 G90 G95
T0202
G96 S500 M03
G00 X6.2 Z.1
G72 U.08 R.02
;   ^^^^ warning: word_not_of_code
G72 P100 Q130 U.02 W.01 F.012
N100 G00 Z-.75
G01 X3.2 F.008
N130 Z.1
M30
)"},
            {System::A, R"(
G21 G99
T0202
G96 S200 M03
G00 X62. Z2.
G71 W2. R.5
;   ^^^ warning: word_not_of_code
G71 P100 Q130 U.4 W.1 F.25
N100 G00 X20.
G01 Z-30. F.15
N130 X62.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G00 X47. Z2.
G70 P100 Q200
;^^ warning: word_not_of_code
M30
)"},
            {System::C, R"(
G70 G90 G95
T0404
G97 S900 M03
G00 X1. Z.25
G92 X.605 Z-1.19 F.090909
;^^ warning: word_not_of_code
X.59
M30
)"},
            {System::A, R"(
G21 G99
T0303
G00 X47. Z2.
G70 P100 Q200 D2000
;^^ warning: word_not_of_code
M30
)"},
            // The retract by the letter of the spindle's angle.
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2.1 Z.1
G71 U.08 C.02
;^^ warning: word_not_of_code
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-1. F.006
N20 X2.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S900 M03
G00 X30. Z-20.
G77 X24. Z-50. P2000 Q10000 F0.1
;^^ warning: word_not_of_code
M30
)"},
            {System::A, R"(
G21 G99
G50 S2500
T0303
G00 X47. Z2.
G71 U2. R.5
G71 P100 Q200 U.5 W.1 F.3
G70 P100 Q200 F.1
G90 X40. Z-10. R-1. F.2
G50 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2500
G92 X4. Z6.
T0101
G20 G00 X2. Z.1
G77 X1.8 Z-1. R-.05 F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
G92 X200. Z100.
T0101
G71 G01 X20. Z-5. F.1
G73 U2. R.5
G73 P100 Q200 U.5 W.1 F.3
G76 R.5
G76 Z-30. Q5000 F.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::word_not_of_code
