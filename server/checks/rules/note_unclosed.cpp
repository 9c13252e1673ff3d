// A note whose closing parenthesis is missing. Notes do not nest: NISTIR 6556, appendix E.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::note_unclosed {

namespace {

void block(const BlockView& view, Report& report) {
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::unclosed_note) continue;
        report.at(view, item)
            .message(said(
                "This note is not closed: some controls alarm, others skip everything up to the next ) they "
                "find, with all the moves in between. Write ) where the note ends."))
            .fix([&] {
                return Fix{said("Close the note"), {insert_after(view, item, ")")}, true, true};
            });
    }
}

} // namespace

extern const Check check{
    .id = "note_unclosed",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Note not closed",
    .documentation =
        "A note begins with ( and has no ) in its block. A note ends with its block on some controls; others "
        "alarm, or take all the blocks up to the next ) for a note and leave out their moves. Close it. "
        "Notes do not nest: a second ( inside a note is only a letter of it.",
    .block = block,
    .examples =
        {
            {System::A, R"(
N7 (T07 THREAD M24X1.5
;  ^^^ warning: note_unclosed
G21 T0707
M30
)"},
            {System::B, R"(
G20 (INCH
;   ^^^^^ warning: note_unclosed
T0101
M30
)"},
            {System::C, R"(
O0001 (A (B) C (D
;              ^^ warning: note_unclosed
M30
)"},
            {System::A, R"(
O0001 (BAR 50 - STICKS OUT 92, Z0 = FACE; 100% "OK")
N1 (T01 (ROUGH)
G00 X1. (APPROACH) Z2. (TWO NOTES)
()
M30
)"},
            {System::B, R"(
(G01 Z-5. WITHOUT F: A NOTE)
M30
(BEHIND THE END
)"},
            {System::C, R"(
%
O0002
(N5 ONLY A NOTE)
M30
%
)"},
        },
};

} // namespace turnwright::checks::rules::note_unclosed
