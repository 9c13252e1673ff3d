// An approach that begins with one axis while the other stands wherever it was left.
#include "checks/restart.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::first_move_of_one_axis {

namespace {

/// Where the axis that does not move stands at the tool call: at home, or in front of the part (Z above
/// nought) or where the block above has brought X on purpose, as with a tailstock; there the offset may have
/// been cancelled since.
bool is_clear(const machine::Value& stands, bool x_moves) {
    if (stands.why == Why::at_reference || stands.surely_unset()) return true;
    if (!x_moves && stands.why == Why::datum_changed) return true;
    return stands.known() && (!x_moves || stands.number > 0);
}

void entry(const EntryContext& context, Report& report) {
    const SequenceFacts& facts = context.facts;
    if (!context.span.sequence || context.span.program->is_subprogram || !facts.first_move) return;
    // Nothing above has left the tool anywhere: it stands where the machine was set up, or the last part
    // ended.
    if (is_first_of_program(context.span)) return;
    if (facts.first_move_x == facts.first_move_z || facts.home_before_first_move) return;
    if (is_clear(facts.first_move_x ? facts.call_from_z : facts.call_from_x_radius, facts.first_move_x))
        return;
    const char* moves = facts.first_move_x ? "X" : "Z";
    const char* stands = facts.first_move_x ? "Z" : "X";
    report.at(context.span.place(*facts.first_move))
        .message(said(
            "{} begins with {} alone, along wherever {} stands, which is not in front of the part and not "
            "home: it "
            "may go through the part. Go to X and Z of a clear place first, or go home before the tool call.",
            name_of(*context.span.sequence), moves, stands));
}

} // namespace

extern const Check check{
    .id = "first_move_of_one_axis",
    .family = Family::restart,
    .severity = Severity::information,
    .title = "Approach begins with one axis alone",
    .documentation =
        "The first move of the sequence names one axis, and the other stands neither at home nor at a place "
        "in "
        "front of the part: wherever the sequence above has left it, in a bore at worst. From home, or with "
        "a "
        "tailstock from a known place, one axis first is right and nothing is said. Name both axes in the "
        "first move, at "
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
G00 X80.
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
G00 X2. Z.1
G01 Z-.5 F.01
G00 X3. Z#500
N2 T0202
G00 X1.
;^^^^^^^ information: first_move_of_one_axis
Z.1
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
            {System::A, R"(
G21 G99 G97 S500 M03
N1 T0101
G00 X75. Z12.
G01 Z-5. F0.2
G28 U0.
G28 W0.
N2 T0202
G00 Z-12.
X40.
G01 X30. F0.1
G28 U0.
G28 W0.
N3 T0303
G00 X0.
Z2.
M30
)"},
            // The offset is cancelled where the tool is changed.
            {System::A, R"(
G21 G40 G97 G99
T0202
S800 M03
G00 Z1.
X28.
G01 Z-20. F.2
G00 X200.
Z150. T0200
T0404
G00 Z-18.
X30.
G01 X15. F.05
G00 X30.
X200.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::first_move_of_one_axis
