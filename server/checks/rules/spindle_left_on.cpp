// A sequence that leaves the spindle on, where the others switch it off.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

bool counts(const Span& span) {
    if (!span.sequence || span.program->is_subprogram || span.facts->ends_program) return false;
    const machine::Modal& end = span.facts->at_exit[static_cast<std::size_t>(Group::spindle_direction)];
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

void file(const FileContext& context, Report& report) {
    std::size_t with = 0, total = 0;
    for (const Span& span : context.spans) {
        if (!counts(span) || !had_on(span)) continue;
        ++total;
        if (is_off(span)) ++with;
    }
    if (!keeps_habit(shop::Rule::unset, with, total)) return;
    for (const Span& span : context.spans) {
        if (!counts(span) || !had_on(span) || is_off(span) || !span.facts->last_code) continue;
        report.at(span.place(*span.facts->last_code))
            .message(fmt::format(
                "{} leaves the spindle on: {} of {} sequences switch it off before the next tool. "
                "Write M05 in the retract.",
                name_of(*span.sequence), with, total));
    }
}

} // namespace

extern const Check spindle_left_on{
    .id = "spindle_left_on",
    .family = Family::spindle,
    .severity = Severity::information,
    .title = "Spindle left turning at the tool change",
    .documentation =
        "Most sequences of this program stop the spindle before the next tool comes in, and this one "
        "leaves it turning. The turret turns beside a running chuck, and at the optional stop the "
        "part still turns when the door is opened. Leaving it on in every sequence to save time is a "
        "habit too, and stays quiet.",
    .file = file,
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
