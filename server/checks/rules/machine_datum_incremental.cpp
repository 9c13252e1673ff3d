// U or W beside a move in the machine datum: that place is absolute.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::machine_datum_incremental {

namespace {

void block(const BlockView& view, Report& report) {
    if (!view.reading.code(Meaning::machine_datum)) return;
    for (const char letter : {'U', 'W'}) {
        const char axis = letter == 'U' ? 'X' : 'Z';
        const machine::Word* word = view.reading.word(letter);
        if (!word || view.reading.has(axis)) continue;
        const std::string right = axis + text_of(view, *word->item).substr(1);
        report.at(view, *word->item)
            .message(said(
                "{} beside {}: a place in the machine datum is absolute, by {}. Controls leave {} out, and "
                "the turret stays where it is, or they alarm. Write {}.",
                text_of(view, *word->item), code(view.settings, Meaning::machine_datum), axis, letter, right))
            .fix([&] {
                return Fix{said("Write {}", right), {replace(view, *word->item, right)}, true, false};
            });
    }
}

} // namespace

extern const Check check{
    .id = "machine_datum_incremental",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Incremental word beside a place in the machine datum",
    .documentation =
        "A move in the machine datum goes to an absolute place of the machine, by X and Z. Controls leave an "
        "incremental word beside it out, so that the turret stays where it is and is indexed there, or they "
        "alarm; "
        "the machine's book says which. Write X or Z.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G00 X52. Z2.
G53 U0
;   ^^ warning: machine_datum_incremental
G53 Z0
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G00 X2. Z.1
G53 G00 X0
G53 G00 W-10.
;       ^^^^^ warning: machine_datum_incremental
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G00 X52. Z2.
G53 G00 X0 Z0
G00 U-2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::machine_datum_incremental
