// A letter outside the plain set in a note.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::character_not_held {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.text.has_note) return;
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note && item.kind != syntax::ItemKind::unclosed_note) continue;
        std::string text = text_of(view, item);
        bool plain = std::none_of(text.begin(), text.end(), [](unsigned char c) { return c >= 128; });
        if (!plain)
            report.at(view, item)
                .message(said("This note holds characters many controls cannot: they may be lost or alarm at "
                              "the transfer. Keep to plain letters."));
    }
}

} // namespace

extern const Check check{
    .id = "character_not_held",
    .family = Family::file,
    .severity = Severity::hint,
    .title = "Character many controls cannot hold",
    .documentation =
        "The note holds characters outside plain ASCII, such as umlauts, a degree or diameter sign. "
        "Many controls show them as something else, drop them, or alarm at the transfer. Write AE for "
        "an umlaut, DIA for the diameter sign.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 (DURCHMESSER ÜBER ALLES)
;   ^^^^^ hint: character_not_held
M30
)"},
            {System::B, R"(
(Ø 1.5)
;^ hint: character_not_held
G20
M30
)"},
            {System::C, R"(
(DIA 40 +0.02/-0, 60 DEG, R0.8; 100% "A" & B_C)
G71
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::character_not_held
