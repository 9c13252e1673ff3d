// A call that names no program.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::call_without_program {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    if (!machine::calls_program(reading.flow) || view.text.has_error) return;
    const machine::Word* call = nullptr;
    const machine::Word* number = nullptr; ///< A program's, by another letter
    for (const machine::Word& word : reading.words) {
        if (word.implied || word.letter == 'P') return;
        if (word.code &&
            (word.code->meaning == Meaning::subprogram_call || word.code->meaning == Meaning::macro_call ||
             word.code->meaning == Meaning::modal_call))
            call = &word;
        if (word.letter == 'Q' && word.value.known() && word.value.number >= 1) number = &word;
    }
    // A name in place of a number is no word.
    const auto items = view.run.items_of(view.text);
    const bool names = std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
        return item.kind != syntax::ItemKind::word && item.kind != syntax::ItemKind::computed_word &&
               item.kind != syntax::ItemKind::note;
    });
    if (!call || names) return;
    report.at(view, *call->item)
        .message(said("{} calls a program, and no P says which: the control alarms here.{}",
                      text_of(view, *call->item),
                      number ? said(" Is P{} meant?", text_of(view, *number->item).substr(1)) : ""));
}

} // namespace

extern const Check check{
    .id = "call_without_program",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Call that names no program",
    .documentation =
        "M98, G65 or G66 stands without P, so nothing says which program is called: the letter is lost "
        "or another one. The control alarms, and what the program would have done is left out.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 T0101
M98 Q8100
;^^ error: call_without_program
M30
)"},
            {System::B, R"(
G20 T0101
G65 A1. B2.
;^^ error: call_without_program
M30
)"},
            {System::C, R"(
O0001
G71 T0101
M98 P0100
M30
O0100
G00 U1.
M99
)"},
            {System::A, R"(
O0001
G21 T0101
M98 P#100
G65 P0100 A1.
M30
O0100
G00 U#1
M99
)"},
            {System::B, R"(
O0001
G21 T0101
G66 P0100 A1.
G00 X50.
G67
M30
O0100
G00 W#1
M99
)"},
        },
};

} // namespace turnwright::checks::rules::call_without_program
