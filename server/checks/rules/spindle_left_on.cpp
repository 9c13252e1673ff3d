// A sequence that leaves the spindle on, where the others switch it off.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::spindle_left_on {

namespace {

bool counts(const Span& span) {
    if (!span.sequence || span.program->is_subprogram || span.facts->ends_program) return false;
    const machine::Modal& end = span.facts->at_exit[static_cast<std::size_t>(Group::spindle_direction)];
    // Of the spindle that turns the part.
    const auto spoken_to = static_cast<std::size_t>(Group::spoken_to);
    if (span.facts->seen[spoken_to] != 0 ||
        machine::spoken_to(span.facts->at_exit[spoken_to]) != machine::Spindle::main)
        return false;
    return span.facts->cuts && end.known();
}
bool is_off(const Span& span) {
    return span.facts->at_exit[static_cast<std::size_t>(Group::spindle_direction)].is(Meaning::spindle_stop);
}
/// Sequences that never had it on say nothing about the habit.
bool had_on(const Span& span) {
    std::uint16_t seen = span.facts->seen[static_cast<std::size_t>(Group::spindle_direction)];
    return (seen & ~(1u << codes::member_of(Meaning::spindle_stop))) != 0;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span) || !had_on(span)) continue;
        ++total;
        if (is_off(span)) ++with;
    }
    if (with < 3 || !keeps_habit(shop::Rule::unset, with, total)) return;
    for (const Span& span : context.spans()) {
        if (!counts(span) || !had_on(span) || is_off(span) || !span.facts->last_code) continue;
        report.at(span.place(*span.facts->last_code))
            .message(said("{} leaves the spindle on: {} of {} sequences switch it off before the next tool. "
                          "Write M05 in the retract.",
                          name_of(*span.sequence), with, total));
    }
}

} // namespace

extern const Check check{
    .id = "spindle_left_on",
    .family = Family::spindle,
    .severity = Severity::information,
    .title = "Spindle left turning at the tool change",
    .documentation =
        "Most sequences of this program stop the spindle before the next tool comes in, and this one "
        "leaves it turning. The turret turns beside a running chuck, and at the optional stop the "
        "part still turns when the door is opened. Leaving it on in every sequence to save time is a "
        "habit too, and stays quiet.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 T0101
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
M01
N9 T0909
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
M01
N3 T0303
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M01
;^^ information: spindle_left_on
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
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
N9 T0909
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M09
;^^ information: spindle_left_on
N3 T0303
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
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
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
N2 T0202
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
N3 T0303
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05 M01
N4 T0404
G97 S500 M03
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
N4 T0404
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S500 M03
G00 X2. Z.5
G01 Z-.5 F.01
G00 X4. Z2.
M05
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

} // namespace turnwright::checks::rules::spindle_left_on
