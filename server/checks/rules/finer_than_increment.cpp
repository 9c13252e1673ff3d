// A length with more decimals than the least increment.
#include "checks/rule.h"

#include <cmath>

namespace turnwright::checks::rules {

namespace {

bool is_length(Quantity quantity) {
    switch (quantity) {
    case Quantity::length_x:
    case Quantity::length_z:
    case Quantity::increment_x:
    case Quantity::increment_z:
    case Quantity::radius_x:
    case Quantity::length:
        return true;
    default:
        return false;
    }
}

void block(const BlockView& view, Report& report) {
    bool metric = view.after.is(Meaning::millimetre), inch = view.after.is(Meaning::inch);
    if (!metric && !inch) return;
    const shop::Machine& machine = view.settings.machine;
    double increment = metric ? machine.least_increment_mm : machine.least_increment_inch;
    if (increment <= 0) return;
    for (const machine::Word& word : view.reading.words) {
        const syntax::Item& item = *word.item;
        bool as_number = item.kind == syntax::ItemKind::word || item.kind == syntax::ItemKind::comma_word;
        if (!as_number || !item.has_point || item.decimals < 4 || !is_length(word.quantity)) continue;
        double counts = item.value / increment;
        if (std::abs(counts - std::round(counts)) < 1e-6) continue;
        report.at(view, item)
            .message(fmt::format(
                "{} is finer than the {} {} this control counts in: the rest is dropped or rounded. "
                "Write {}.",
                text_of(view, item), spoken(increment), metric ? "mm" : "in",
                item.letter + written(std::round(counts) * increment)));
    }
}

} // namespace

extern const Check finer_than_increment{
    .id = "finer_than_increment",
    .family = Family::words,
    .severity = Severity::information,
    .title = "Value finer than the control counts",
    .documentation =
        "The value has digits below the least increment (0.001 mm or 0.0001 in unless the shop file "
        "says otherwise; usual values, from memory). The control drops or rounds them, each control "
        "in its own way; in a chain of incremental moves the rests add up. Write the rounded value.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X50.0005 Z2.
;   ^^^^^^^^ information: finer_than_increment
M30
)"},
            {System::B, R"(
G20 G90
G00 X1.23456 Z.1
;   ^^^^ information: finer_than_increment
M30
)"},
            {System::A, R"(
G21 G99
G00 X50.1000 Z2.
G01 Z-1. F0.00015
M30
)"},
            {System::B, R"(
G20 G90
G00 X1.2345 Z-.0625
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
