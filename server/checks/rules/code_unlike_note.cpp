// A note in a block names a code, and the block gives another one of its group.
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <array>

namespace turnwright::checks::rules::code_unlike_note {

namespace {

/// Groups of which a note gives its reason beside the code: "(G42 BECAUSE MIRRORED)".
constexpr std::array looked_at{Group::motion, Group::nose_compensation, Group::feed_mode,
                               Group::units,  Group::spindle_mode,      Group::distance,
                               Group::datum,  Group::spindle_direction, Group::coolant};

/// The row that a word of a note names: "G42", "M4".
const codes::Code* named_by(System system, std::string_view word) {
    if (word.size() < 2 || (word[0] != 'G' && word[0] != 'M')) return nullptr;
    const auto number = plain_number(word.substr(1));
    const codes::Code* row = number ? codes::find(system, word[0], *number) : nullptr;
    const bool one_of = row && std::find(looked_at.begin(), looked_at.end(), row->group()) != looked_at.end();
    return one_of ? row : nullptr;
}

/// "NOT G41", "G97 FROM HERE ON": speaks of another code than the block's. Words of five languages: common
/// practice, no source.
bool speaks_of_others(const NotedWords& note) {
    constexpr std::string_view words[] = {
        "NOT",   "NO",  "NEVER", "INSTEAD", "OLD",   "WAS",   "BEFORE",  "AFTER",  "THEN",
        "UNTIL", "OR",  "FROM",  "NICHT",   "KEIN",  "STATT", "FRUEHER", "VORHER", "DANACH",
        "DANN",  "BIS", "ODER",  "AB",      "PAS",   "PLUS",  "AVANT",   "APRES",  "PUIS",
        "OU",    "SIN", "ANTES", "LUEGO",   "HASTA", "O",     "DESPUES", "NON",    "PRIMA",
        "DOPO",  "POI", "FINO",  "SENZA",   "SANS",  "OHNE",  "WITHOUT"};
    return std::any_of(note.words.begin(), note.words.end(), [&](const std::string& word) {
        return std::find(std::begin(words), std::end(words), word) != std::end(words);
    });
}

void block(const BlockView& view, Report& report) {
    const std::span<const syntax::Item> items = view.run.items_of(view.text);
    const System system = view.settings.system;
    for (const syntax::Item& item : items) {
        if (item.kind != syntax::ItemKind::note) continue;
        const NotedWords note = noted_words(syntax::note_text(view.run.text_of(item)));
        const codes::Code* noted = nullptr;
        std::size_t names = 0;
        for (const std::string& word : note.words)
            if (const codes::Code* row = named_by(system, word)) {
                noted = row;
                ++names;
            }
        if (names != 1 || speaks_of_others(note)) continue;
        const syntax::Item* given = nullptr;
        for (const syntax::Item& word : items) {
            if (word.kind != syntax::ItemKind::word || (word.letter != 'G' && word.letter != 'M')) continue;
            const codes::Code* row = codes::find(system, word.letter, word.value);
            if (!row || row->group() != noted->group()) continue;
            if (row->meaning == noted->meaning || given) return; // As noted, or two of them
            given = &word;
        }
        if (!given) continue;
        report.at(view, *given)
            .message(said("This block gives {}, {}, and its note speaks of {}, {}: one of the two is wrong, "
                          "and the machine does what the block says. Which is meant?",
                          codes::find(system, given->letter, given->value)->written(),
                          codes::title(codes::find(system, given->letter, given->value)->meaning),
                          noted->written(), codes::title(noted->meaning)));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "code_unlike_note",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Code unlike the note beside it",
    .documentation =
        "The note in a block names one code, and the block gives another one of the same group: G41 beside a "
        "note that says why it is G42, M03 beside a note that the tool wants M04. A code and its reason are "
        "written together, so one of the two was changed or mistyped. A note that names several codes, or "
        "speaks of another place (not, instead of, until, then), is not looked at.",
    .block = block,
    .examples =
        {
            {System::B, R"(
G20 G90 G95
T0505 (BAR .75 R.016, FRONT SIDE)
G97 S800 M03
G00 X-1.17 Z.1
G41 G01 X-1.3 Z.05 F.02 (G42 BECAUSE MIRRORED)
;^^ warning: code_unlike_note
Z-.9
G40 G00 X-1.
Z.3
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S600 M03 (M04: MEISSEL LIEGT OBEN)
;        ^^^ warning: code_unlike_note
G00 X30. Z5.
G92 X28. Z-20. F1.5
G00 X100. Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S900 M03
G94 G01 X60. Z-2. F200. (G94 POR MINUTO)
G00 X100. Z50. (DESPUES G95)
G95 (NO G94)
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S1200 M03 (G96 FROM X60 ON)
G00 X62. Z2.
G01 Z-30. F0.2 (G01, G02 AND G03 ONLY)
G00 X80.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::code_unlike_note
