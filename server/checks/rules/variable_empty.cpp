// A word whose value is a variable that no block has set.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.text.has_statement) return;
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::computed_word) continue;
        const syntax::Expression& value = view.run.expressions[item.expression];
        if (value.operation != syntax::Operation::variable || value.left < 0) continue;
        const syntax::Expression& index = view.run.expressions[static_cast<std::size_t>(value.left)];
        if (index.operation != syntax::Operation::number) continue;
        int number = static_cast<int>(index.number);
        if (number <= 0 || number >= 500 || !view.before.variable(number).surely_unset()) continue;
        report.at(view, item)
            .message(fmt::format(
                "#{} is empty here: the control acts as if {} were not written. Give it a value above.",
                number, text_of(view, item)))
            .origin(part(Part::variables));
    }
}

} // namespace

extern const Check variable_empty{
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
