// A length with more decimals than the least increment.
//
// The usual increments: from memory.
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::finer_than_increment {

namespace {

void block(const BlockView& view, Report& report) {
    bool metric = view.after.is(Meaning::millimetre), inch = view.after.is(Meaning::inch);
    if (!metric && !inch) return;
    const shop::Machine& machine = view.settings.machine;
    double increment = metric ? machine.least_increment_mm : machine.least_increment_inch;
    if (increment <= 0) return;
    for (const machine::Word& word : view.reading.words) {
        const syntax::Item& item = *word.item;
        bool as_number = item.kind == syntax::ItemKind::word || item.kind == syntax::ItemKind::comma_word;
        if (!as_number || !item.has_point || item.decimals < 4 || !codes::is_length(word.quantity)) continue;
        double counts = item.value / increment;
        if (std::abs(counts - std::round(counts)) < 1e-6) continue;
        report.at(view, item)
            .message(
                said("{} is finer than the {} {} this control counts in: the rest is dropped or rounded. "
                     "Write {}.",
                     text_of(view, item), spoken(increment), metric ? "mm" : "in",
                     item.letter + written(std::round(counts) * increment)));
    }
}

} // namespace

extern const Check check{
    .id = "finer_than_increment",
    .family = Family::words,
    .severity = Severity::information,
    .title = "Value finer than the control counts",
    .documentation =
        "The value has digits below the least increment (0.001 mm or 0.0001 in unless the shop file "
        "says otherwise). The control drops or rounds them, each control "
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::finer_than_increment
