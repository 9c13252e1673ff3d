// A letter outside the plain set in a note.
#include "checks/rule.h"

#include <algorithm>

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.text.has_note) return;
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note && item.kind != syntax::ItemKind::unclosed_note) continue;
        std::string text = text_of(view, item);
        bool plain = std::none_of(text.begin(), text.end(), [](unsigned char c) { return c >= 128; });
        if (!plain)
            report.at(view, item)
                .message("This note holds characters many controls cannot: they may be lost or alarm at "
                         "the transfer. Keep to plain letters.");
    }
}

} // namespace

extern const Check character_not_held{
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
