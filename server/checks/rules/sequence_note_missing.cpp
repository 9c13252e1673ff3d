// A sequence with no note, where the others have one.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

bool has_note(const Span& span) {
    return span.sequence->note.has_value() || span.facts->has_note;
}

void file(const FileContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans) {
        if (!span.sequence || span.program->is_subprogram) continue;
        ++total;
        if (has_note(span)) ++with;
    }
    if (!keeps_habit(context.shop.house.sequence_note, with, total)) return;
    for (const Span& span : context.spans) {
        if (!span.sequence || span.program->is_subprogram || has_note(span)) continue;
        std::string why = context.shop.house.sequence_note == shop::Rule::yes
                              ? std::string("the shop file asks for one")
                              : fmt::format("{} of {} sequences have one", with, total);
        auto first = first_code_block(context.analysis, span.first, span.last);
        report.at(first.value_or(span.first))
            .message(fmt::format("No note says what {} does: {}.", name_of(*span.sequence), why));
    }
}

} // namespace

extern const Check sequence_note_missing{
    .id = "sequence_note_missing",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Sequence without a note",
    .documentation =
        "Most sequences of this program carry a note that says what they do, and this one does not. "
        "Whoever stands at the machine at night reads the notes. The habit is learned when two of "
        "three sequences keep it (`sequence_note` under `[house]` fixes it or turns it off).",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21
N1 (FACE)
T0101
G00 X50. Z2.
M01
N2 (DRILL)
T0202
G00 X0. Z2.
M01
N3
;^ information: sequence_note_missing
T0303
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20
N1 T0101
;^ information: sequence_note_missing
G00 X2. Z.1
M30
)",
             "[house]\nsequence_note = true\n"},
            {System::A, R"(
G21
N1 T0101
G00 X50. Z2.
N2 T0202
G00 X0. Z2.
N3 T0303 (FINISH)
G00 X50. Z2.
M30
)"},
            {System::C, R"(
G71
(FACE)
T0101
G00 X50. Z2.
M01
(DRILL)
T0202
G00 X50. Z2.
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
