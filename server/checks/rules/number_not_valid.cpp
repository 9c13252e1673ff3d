// A value with two points, or far too long.
#include "checks/mistyped.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::number_not_valid {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.text.has_error || loose_text_in(view.run, view.text)) return; // That is told at once
    for (const syntax::Item& item : view.run.items_of(view.text))
        if (item.odd_number && item.kind == syntax::ItemKind::word && !is_mistyped(view.run, view.text, item))
            report.at(view, item)
                .message(said("{} is no number the control can hold: it alarms, or reads a "
                              "part of it.",
                              text_of(view, item)));
}

} // namespace

extern const Check check{
    .id = "number_not_valid",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Number no control takes",
    .documentation = "The number has two decimal points or more digits than a control can hold. The control "
                     "alarms, or reads only a part of it.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X50.2.5 Z2.
;   ^^^^ error: number_not_valid
M30
)"},
            {System::B, R"(
G20 T0101
G01 X1. F.0.08
;       ^^^^ error: number_not_valid
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::number_not_valid
