// No block says whether the program is in inches or millimetres.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::units_missing {

namespace {

void file(const FileContext& context, Report& report) {
    if (context.settings().machine.units) return;
    for (const Span& span : context.spans()) {
        if (span.program->is_subprogram || !span.facts->move_without_units) continue;
        BlockPlace place = span.place(*span.facts->move_without_units);
        const syntax::Item* length = nullptr;
        for (char letter : {'X', 'Z', 'U', 'W'})
            if (!length) length = find_letter(context.reader(), place, letter);
        std::string inch = code(context.settings(), Meaning::inch),
                    metric = code(context.settings(), Meaning::millimetre);
        std::string example;
        if (length && length->kind == syntax::ItemKind::word && length->value != 0)
            example =
                said(" {} is {} in or {} mm, as the control was left.",
                     text_of(context.reader(), place, *length), spoken(length->value), spoken(length->value));
        auto entry = length ? report.at(place, *length) : report.at(place);
        // A program without any is run on a machine that is switched on in its units.
        const bool stated_below =
            std::any_of(context.spans().begin(), context.spans().end(),
                        [](const Span& other) { return (other.facts->sets & part(Group::units)) != 0; });
        entry.severity(stated_below ? Severity::warning : Severity::information);
        entry.message(said("This move comes before the units are stated.{} Write {} for inches or {} for "
                           "millimetres in the first block of the program and in every safety line.",
                           example, inch, metric));
        return;
    }
}

} // namespace

extern const Check check{
    .id = "units_missing",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Inch or millimetre never stated",
    .documentation =
        "The first move of the program comes while nothing has said inch or millimetre. The control then "
        "takes "
        "the units it was left in: after a job in the other unit every length is 25.4 times too long or too "
        "short. Write G20 or G21 (G70 or G71 in system C) at the head and in the safety lines. A shop file "
        "that "
        "gives the machine's power-on unit ends this warning; so does being a subprogram. A program that "
        "never states "
        "them, for a machine that is switched on in its units, is only told so.",
    .file = file,
    .examples =
        {
            {System::A, R"(
N1 (FACE)
G54 G18 G97 G80 G40 G99
T0101
G97 S1150 M03
G00 X75. Z12.
;   ^^^^ information: units_missing
G01 Z0. F0.2
M30
)"},
            {System::B, R"(
G90 G95
T0101
G00 X3. Z.5
;   ^^ warning: units_missing
N2 G20
G00 X2.
M30
)"},
            {System::C, R"(
G90 G95 T0101
G97 S500 M03
G00 X3. Z.5
;   ^^ information: units_missing
G74 P10 Q20 U.02 W.01 F.01
N10 G00 X1.
N20 G01 Z-1.
M30
)"},
            {System::A, R"(
%
O0001 (UNITS AT THE HEAD)
G20
N1 T0101
G00 X3. Z.5
M30
%
)"},
            {System::C, R"(
G71 G90 G95
T0101
G00 X30. Z5.
M30
)"},
            // The shop file says what the control starts in.
            {System::A, R"(
T0101
G00 X30. Z5.
M30
)",
             "[[machine]]\npower_on_units = \"mm\"\n"},
            // Return home before the units: a move of no length.
            {System::B, R"(
G28 U0 W0
G21 G90
T0101
G00 X30. Z5.
M30
)"},
            {System::A, R"(
O0002
G21
T0101
M98 P0171
M30
O0171 (A GROOVE)
G00 W-13.
G01 X101. F0.08
M99
)"},
        },
};

} // namespace turnwright::checks::rules::units_missing
