// An address letter with nothing behind it.
#include "checks/mistyped.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::letter_without_value {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.text.has_error || loose_text_in(view.run, view.text)) return; // That is told at once
    for (const syntax::Item& item : view.run.items_of(view.text))
        if (item.kind == syntax::ItemKind::bare_letter && !is_mistyped(view.run, view.text, item))
            report.at(view, item)
                .message(said("{} has no value: the control alarms, or takes it as 0. Write "
                              "the number, or take the letter away.",
                              item.letter));
}

} // namespace

extern const Check check{
    .id = "letter_without_value",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Letter without a value",
    .documentation =
        "A letter stands without a number. The control alarms, or takes it as zero: an X without a "
        "value sends the tool to the centreline.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X Z2.
;   ^ error: letter_without_value
M30
)"},
            {System::B, R"(
G20 T0101
G01 X1. F
;       ^ error: letter_without_value
M30
)"},
            {System::A, R"(
G21 G99
G01 X Z5. F
;   ^ error: letter_without_value
;         ^ error: letter_without_value
VALVE BODY REV B
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::letter_without_value
