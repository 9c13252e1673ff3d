// Blocks behind a jump that nothing jumps to.
#include "checks/rule.h"

namespace turnwright::checks::rules::unreachable_blocks {

namespace {

void file(const FileContext& context, Report& report) {
    for (const Span& span : context.spans()) {
        if (!span.facts->first_unreachable) continue;
        BlockPlace place = span.place(*span.facts->first_unreachable);
        if (is_named_by_jump(context.reader(), place)) continue;
        report.at(place)
            .message(
                "No way leads here: the block above jumps away, and nothing jumps to this one. The control "
                "never runs it.")
            .tag(Tag::unnecessary);
    }
}

} // namespace

extern const Check check{
    .id = "unreachable_blocks",
    .family = Family::flow,
    .severity = Severity::hint,
    .title = "Blocks that no way leads to",
    .documentation = "The blocks after an unconditional GOTO carry no N number that anything jumps to: the "
                     "control never runs them. Blocks after the program end are another matter and are not "
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unreachable_blocks
