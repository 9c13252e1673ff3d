// A word whose value is a variable that no block has set.
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

namespace turnwright::checks::rules::variable_empty {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.text.has_statement) return;
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::computed_word) continue;
        const syntax::Expression& value = view.run.expressions[item.expression];
        if (value.operation != syntax::Operation::variable || value.left < 0) continue;
        const syntax::Expression& index = view.run.expressions[static_cast<std::size_t>(value.left)];
        if (index.operation != syntax::Operation::number) continue;
        int number = machine::whole_number(index.number);
        if (number <= 0 || number >= 500 || !view.before.variable(number).surely_unset()) continue;
        report.at(view, item)
            .message(
                said("#{} is empty here: the control acts as if {} were not written. Give it a value above.",
                     number, text_of(view, item)))
            .origin(part(Part::variables));
    }
}

} // namespace

extern const Check check{
    .id = "variable_empty",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Variable that holds nothing",
    .documentation =
        "The word takes its value from a variable that nothing in the program has given one. The "
        "control then acts as if the word were not written: an X with an empty variable does not move "
        "X at all. Variables the operator sets by hand (500 and up keep their value) are taken as "
        "set.",
    .block = block,
    .examples =
        {
            {System::A, R"(
#101=24.
G21 T0101
G00 X#102 Z2.
;   ^^^^^ warning: variable_empty
M30
)"},
            {System::B, R"(
G20 T0101
G97 S#110 M03
;   ^^^^^ warning: variable_empty
M30
)"},
            {System::A, R"(
#101=24.
G21 T0101
G00 X#101 Z#501
M30
)"},
            {System::B, R"(
O0001
G65 P9010 A1.
M30
O9010
G00 X#1
M99
)"},
            {System::C, R"(
IF [#500 EQ 1] THEN #101=5.
G71 G00 X#101
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::variable_empty
