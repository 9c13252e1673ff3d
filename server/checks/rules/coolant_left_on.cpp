// A sequence that leaves the coolant on, where the others switch it off.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::coolant_left_on {

namespace {

bool counts(const Span& span) {
    if (!span.sequence || span.program->is_subprogram || span.facts->ends_program) return false;
    const machine::Modal& end = span.facts->at_exit[static_cast<std::size_t>(Group::coolant)];
    return span.facts->cuts && end.known();
}
bool is_off(const Span& span) {
    return span.facts->at_exit[static_cast<std::size_t>(Group::coolant)].is(Meaning::coolant_off);
}
/// Sequences that never had it on say nothing about the habit.
bool had_on(const Span& span) {
    std::uint16_t seen = span.facts->seen[static_cast<std::size_t>(Group::coolant)];
    return (seen & ~(1u << codes::member_of(Meaning::coolant_off))) != 0;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span) || !had_on(span)) continue;
        ++total;
        if (is_off(span)) ++with;
    }
    if (!keeps_habit(shop::Rule::unset, with, total)) return;
    for (const Span& span : context.spans()) {
        if (!counts(span) || !had_on(span) || is_off(span) || !span.facts->last_code) continue;
        report.at(span.place(*span.facts->last_code))
            .message(said("{} leaves the coolant on: {} of {} sequences switch it off before the next tool. "
                          "Write M09 in the retract.",
                          name_of(*span.sequence), with, total));
    }
}

} // namespace

extern const Check check{
    .id = "coolant_left_on",
    .family = Family::coolant,
    .severity = Severity::information,
    .title = "Coolant left on at the tool change",
    .documentation =
        "Most sequences of this program switch the coolant off before the next tool comes in, and "
        "this one leaves it running. Whoever opens the door at the optional stop gets it in the face, "
        "and the next tool may be one that is meant to run dry. The habit is learned when two of "
        "three sequences keep it.",
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
M01
N2 T0202
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
M01
N3 T0303
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M01
;^^ information: coolant_left_on
N4 T0404
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
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M01
;^^ information: coolant_left_on
N3 T0303
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
N4 T0404
G97 S500 M03
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
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M01
N3 T0303
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09 M01
N4 T0404
G97 S500 M03
M08
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
M08
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
N4 T0404
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
M30
)"},
            {System::B, R"(
G20 G90 G95
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
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::coolant_left_on
