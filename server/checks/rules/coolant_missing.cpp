// A sequence that cuts without coolant, where most others switch it on.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

bool counts(const Span& span) {
    return span.sequence && !span.program->is_subprogram && span.facts->cuts;
}
bool is_wet(const Span& span) {
    std::uint16_t seen = span.facts->seen[static_cast<std::size_t>(Group::coolant)];
    return (seen & ~(1u << codes::member_of(Meaning::coolant_off))) != 0;
}

void file(const FileContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans) {
        if (!counts(span)) continue;
        ++total;
        if (is_wet(span)) ++with;
    }
    if (!keeps_habit(shop::Rule::unset, with, total)) return;
    for (const Span& span : context.spans) {
        if (!counts(span) || is_wet(span) || !span.facts->first_move) continue;
        report.at(span.place(*span.facts->first_move))
            .message(fmt::format(
                "{} cuts dry: {} of {} sequences switch the coolant on. Write M08, if it is not meant "
                "so.",
                name_of(*span.sequence), with, total));
    }
}

} // namespace

extern const Check coolant_missing{
    .id = "coolant_missing",
    .family = Family::coolant,
    .severity = Severity::information,
    .title = "Sequence cuts dry, where the others have coolant",
    .documentation =
        "Most sequences of this program switch the coolant on before they cut, and this one does not. "
        "If it is meant to run dry all is well; a drill or a form tool left dry by mistake burns. The "
        "habit is learned when two of three sequences keep it.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N3 T0303
G97 S500 M03
G00 X2. Z.5
;^^^ information: coolant_missing
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
G00 X2. Z.5
;^^^ information: coolant_missing
G01 Z-.5 F.01
G00 X4. Z2.
M01
N3 T0303
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N4 T0404
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N3 T0303
G97 S500 M03
M07
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
N3 T0303
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
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
