// Words behind M30 or M02 that are never run.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::code_behind_end {

namespace {

void file(const FileContext& context, Report& report) {
    for (const machine::ProgramPart& program : context.outline().programs) {
        if (!program.end || *program.end >= program.last) continue;
        auto from = context.reader().neighbour(*program.end, true);
        if (!from || *from > program.last) continue;
        auto first = first_code_block(context.reader(), *from, program.last);
        if (!first || (context.outline().closing_tape_mark && *first > *context.outline().closing_tape_mark))
            continue;
        // An N number there may be what a GOTO leads to.
        machine::State before = context.reader().before(*first);
        if (before.reachable && !before.ended) continue;
        if (is_named_by_jump(context.reader(), *first)) continue;
        report.at(*first)
            .message(
                said("This stands after the end of the program: the control never runs it. Take it away, or "
                     "give it an "
                     "O number if it is a subprogram."))
            .tag(Tag::unnecessary);
    }
}

} // namespace

extern const Check check{
    .id = "code_behind_end",
    .family = Family::flow,
    .severity = Severity::hint,
    .title = "Blocks after the program end",
    .documentation =
        "Blocks stand after the end of the program and before the next one. The control never runs "
        "them from there. Left-over blocks mislead whoever reads the program; a subprogram needs its "
        "O number.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0001
G21 T0101
M30
G00 X50. Z2.
;^^^ hint: code_behind_end
)"},
            {System::B, R"(
%
G20
M02
T0202
;^^^^ hint: code_behind_end
M30
%
)"},
            {System::A, R"(
O0001
M98 P0002
M30

O0002
G00 U1.
M99
)"},
            {System::B, R"(
%
G20
M30
%
TEXT BEHIND THE TAPE MARK
)"},
            // Called with a value that is right today, the alarm behind M99 is never reached.
            {System::C, R"(
G71
G65 P0361 A16.
M30

O0361
IF [#1 LE 0] GOTO 90
M99
N90 #3000=2 (A MISSING)
)"},
            {System::C, R"(
G71
IF [#500 EQ 1] GOTO 900
M30
N900 M00 (ALARM)
M30
(NOTES BEHIND THE END)
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::code_behind_end
