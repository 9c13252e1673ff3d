// A sequence whose first move on an axis goes by a distance, not to a place.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::restart_moves_by {

namespace {

void entry(const EntryContext& context, Report& report) {
    if (!context.span.sequence || context.span.program->is_subprogram) return;
    if (!context.facts.moves_by_from_unknown) return;
    BlockPlace place = context.span.place(*context.facts.moves_by_from_unknown);
    report.at(place).message(
        said("The first move of {} on this axis goes by a distance: where it ends depends "
             "on where the tool stands. Started in the middle it goes somewhere else. "
             "Move to a place (X, Z) first.",
             name_of(*context.span.sequence)));
}

} // namespace

extern const Check check{
    .id = "restart_moves_by",
    .family = Family::restart,
    .severity = Severity::warning,
    .title = "First move of a sequence is an incremental one",
    .documentation =
        "The first move of the sequence on an axis is incremental (U or W, or under G91), before the "
        "axis has been sent to a place. Where it ends depends on where the tool stands when the "
        "sequence begins: started in the middle it goes somewhere else, into the chuck at worst. "
        "Begin each sequence with a move to a place. The return home by U0 and W0 is no such move.",
    .entry = entry,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 T0101
G97 S800 M03
G00 U-20. W-50.
;^^^ warning: restart_moves_by
G01 Z-10. F0.2
M30
)"},
            {System::B, R"(
G20 G91 G95
N1 T0101
G97 S800 M03
G00 X-1. Z-2.
;^^^ warning: restart_moves_by
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G97 S800 M03
G00 X50.
G00 W-5.
;^^^ warning: restart_moves_by
M30
)"},
            {System::A, R"(
G21 G99
N1 G28 U0 W0
T0101
G97 S800 M03
G00 X50. Z2.
G01 U-1. W-1. F0.2
G28 U0. W0.
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G97 S800 M03
G00 X1. Z.1
G91 G01 X.1 Z-.1 F.01
G90 G00 X3.
M30
)"},
            // The slide of a second spindle.
            {System::B, R"(
G21 G90 G95
N90 T0909
G97 S1200 M3
G0 W-300.
G94 G1 W-326. F500
G95
G0 W0
M30
)"},
            {System::C, R"(
O0001
G71 G90 G95
N1 T0101
G00 X50. Z2.
M98 P0002 L4
M30
O0002
G00 W-13.
G01 X40. F0.1
G00 X50.
M99
)"},
        },
};

} // namespace turnwright::checks::rules::restart_moves_by
