// A silencing note with the word of older programs.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cctype>

namespace turnwright::checks::rules::older_note_word {

namespace {

constexpr std::string_view older = "ALLOW", present = "ACCEPT";

void block(const BlockView& view, Report& report) {
    if (!view.text.has_note) return;
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note) continue;
        std::string note(view.run.text_of(item));
        std::transform(note.begin(), note.end(), note.begin(),
                       [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
        const std::size_t name = note.find_first_not_of("( \t");
        if (name == note.npos || note.compare(name, 10, "TURNWRIGHT") != 0) continue;
        const std::size_t word = note.find_first_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ", name + 10);
        if (word == note.npos || note.compare(word, older.size(), older) != 0) continue;
        const auto begin = item.begin - view.text.begin + static_cast<std::uint32_t>(word);
        report.at(view, item)
            .message(said("ACCEPT is the word for this now; ALLOW goes on working."))
            .fix([&] {
                return Fix{said("Write ACCEPT"),
                           {{BlockPlace{view.run_index, view.block}, begin,
                             begin + static_cast<std::uint32_t>(older.size()), std::string(present)}},
                           true,
                           true};
            });
    }
}

} // namespace

extern const Check check{
    .id = "older_note_word",
    .family = Family::file,
    .severity = Severity::hint,
    .title = "Silencing note with the older word",
    .documentation = "Notes that silence a warning once were written (TURNWRIGHT: ALLOW ...). They go on "
                     "working; (TURNWRIGHT: ACCEPT ...) is what is written now.",
    .block = block,
    .examples =
        {
            {System::A, R"(
T0101
G00 X50. Z1. (TURNWRIGHT: ALLOW units_missing)
;            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ hint: older_note_word
M30
)"},
            {System::B, R"(
(turnwright: allow in file program_end_missing, units_missing)
;^^^^^^^^^^^ hint: older_note_word
T0101
G00 X50. Z1.
)"},
            {System::A, R"(
T0101
G00 X50. Z1. (TURNWRIGHT: ACCEPT units_missing)
M30
)"},
            {System::B, R"(
G20
(ALLOW 0.2 FOR GRINDING)
T0101
M30
)"},
            {System::C, R"(
G71
(MADE BY TURNWRIGHT, ALLOW TIME)
T0101
M30
)"},
        },
};

} // namespace turnwright::checks::rules::older_note_word
