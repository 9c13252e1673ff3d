// Blocks behind a jump that nothing jumps to.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void file(const FileContext& context, Report& report) {
    for (const Span& span : context.spans) {
        if (!span.facts->first_unreachable) continue;
        BlockPlace place = span.place(*span.facts->first_unreachable);
        if (is_named_by_jump(context.analysis, place)) continue;
        report.at(place)
            .message(
                "No way leads here: the block above jumps away, and nothing jumps to this one. The control "
                "never runs it.")
            .tag(Tag::unnecessary);
    }
}

} // namespace

extern const Check unreachable_blocks{
    .id = "unreachable_blocks",
    .family = Family::flow,
    .severity = Severity::hint,
    .title = "Blocks that no way leads to",
    .documentation = "The blocks behind an unconditional GOTO carry no N number that anything jumps to: the "
                     "control never runs them. Blocks behind the program end are another matter and are not "
                     "reported here.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21
GOTO 100
T0101
;^^^^ hint: unreachable_blocks
G00 X50. Z2.
N100 M30
)"},
            {System::B, R"(
G20
N10 T0101
GOTO 10
G00 X2.
;^^^ hint: unreachable_blocks
M30
)"},
            {System::A, R"(
G21
IF [#500 EQ 1] GOTO 100
T0101
N100 M30
)"},
            {System::B, R"(
G20
M30
(BEHIND THE END)
G00 X1.
)"},
            {System::C, R"(
G71
GOTO #500
N1 T0101
N2 M30
)"},
            // Values that are right today never lead to the alarm: it is there on purpose.
            {System::A, R"(
#101=24.
#102=13.
IF [#102 GE #101] GOTO 900
G21 T0101
GOTO 999
N900 #3000=1 (VALUES DO NOT FIT)
N999 M30
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
