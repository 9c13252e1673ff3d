// A sequence with no note, where the others have one.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::sequence_note_missing {

namespace {

bool has_note(const Span& span) {
    return span.sequence->note.has_value() || span.facts->has_note;
}

/// The same tool goes on behind a stop, to measure mostly.
bool goes_on(const Span& span) {
    const machine::Value& tool = span.facts->tool_at_entry;
    return span.sequence->number < 0 && span.sequence->calls_tool && tool.known() &&
           tool.number == span.sequence->tool;
}

void file(const FileContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!span.sequence || span.program->is_subprogram) continue;
        ++total;
        if (has_note(span)) ++with;
    }
    if (!keeps_style(context.shop.house.sequence_note, with, total)) return;
    for (const Span& span : context.spans()) {
        if (!span.sequence || span.program->is_subprogram || has_note(span)) continue;
        // The notes of the head stand above a first sequence that no number begins.
        const bool from_habit = context.shop.house.sequence_note != shop::Rule::yes;
        if (from_habit && goes_on(span)) continue;
        if (from_habit && span.sequence == &span.program->sequences.front() && span.sequence->number < 0)
            continue;
        std::string why = context.shop.house.sequence_note == shop::Rule::yes
                              ? std::string(said("the shop file asks for one"))
                              : said("{} of {} sequences have one", with, total);
        auto first = first_code_block(context.reader(), span.first, span.last);
        report.at(first.value_or(span.first))
            .message(said("No note says what {} does: {}.", name_of(*span.sequence), why));
    }
}

} // namespace

extern const Check check{
    .id = "sequence_note_missing",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Sequence without a note",
    .documentation =
        "Most sequences of this program carry a note that says what they do, and this one does not. "
        "Whoever stands at the machine at night reads the notes. The habit is learned when four or "
        "more sequences keep it and one alone does not (`sequence_note` under `[house]` fixes it or turns it "
        "off).",
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
M01
N4 (GROOVE)
T0404
G00 X50. Z2.
M01
N5 (PART OFF)
T0505
G00 X50. Z2.
M30
)"},
            // Of few nobody knows.
            {System::B, R"(
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::sequence_note_missing
