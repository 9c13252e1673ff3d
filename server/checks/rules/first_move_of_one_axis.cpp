// An approach that begins with one axis while the other stands wherever it was left.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void entry(const EntryContext& context, Report& report) {
    const SequenceFacts& facts = context.facts;
    if (!context.span.sequence || context.span.program->is_subprogram || !facts.first_move) return;
    if (facts.first_move_x == facts.first_move_z || facts.home_before_first_move) return;
    const char* moves = facts.first_move_x ? "X" : "Z";
    const char* stands = facts.first_move_x ? "Z" : "X";
    report.at(context.span.place(*facts.first_move))
        .message(fmt::format(
            "{} begins with {} alone, along wherever {} stands. From the change position that is "
            "clear; started after a stop in a cut or a bore it goes through the part. Go to X and "
            "Z of a clear place first, or go home before the tool call.",
            name_of(*context.span.sequence), moves, stands));
}

} // namespace

extern const Check first_move_of_one_axis{
    .id = "first_move_of_one_axis",
    .family = Family::restart,
    .severity = Severity::information,
    .title = "Approach begins with one axis alone",
    .documentation =
        "The first move of the sequence names one axis. The other stands wherever the block before has left "
        "it: "
        "at the change position when the program runs from above, but anywhere when the sequence is entered "
        "after a stop in the middle of another one, in a bore at worst. Name both axes in the first move, at "
        "a "
        "place that is clear of part, jaws and tailstock, or return home at the start of the sequence.",
    .entry = entry,
    .examples =
        {
            {System::A, R"(
G21 G99 G97 S500 M03
N1 T0101
G00 X75. Z12.
G01 Z-5. F0.2
G28 U0 W0
N2 T0202
G00 X0.
;^^^^^^^ information: first_move_of_one_axis
Z2.
G01 Z-5. F0.2
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S500 M03
N1 T0101
G00 Z.1
;^^^^^^^ information: first_move_of_one_axis
X2.
G01 Z-.5 F.01
M30
)"},
            {System::C, R"(
G71 G90 G95 G97 S500 M03
N1 G53 X0 Z0
T0101
G00 X50.
Z2.
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
N1 G28 U0 W0
T0101
G00 Z2.
X50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
