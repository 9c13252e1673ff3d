// A sequence that cuts without coolant, where most others switch it on.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

bool counts(const Span& span) {
    return span.sequence && !span.program->is_subprogram && span.facts->cuts_turning;
}
bool is_wet(const Span& span) {
    std::uint16_t seen = span.facts->seen[static_cast<std::size_t>(Group::coolant)];
    return (seen & ~(1u << codes::member_of(Meaning::coolant_off))) != 0;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span)) continue;
        ++total;
        if (is_wet(span)) ++with;
    }
    if (!keeps_habit(shop::Rule::unset, with, total)) return;
    for (const Span& span : context.spans()) {
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
    .landmarks = landmarks,
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
