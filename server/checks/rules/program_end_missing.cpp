// A program without M30, M02 or M99.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::program_end_missing {

namespace {

void file(const FileContext& context, Report& report) {
    for (const machine::ProgramPart& program : context.outline().programs) {
        if (program.end) continue;
        auto last = last_code_block(context.reader(), program.first, program.last);
        if (!last) continue;
        machine::State state = context.reader().after(*last);
        if (!state.reachable || state.ended) continue; // A jump back, or an end the outline does not count
        bool only_number = true;
        for (const syntax::Item& item : context.reader().items(*last))
            if (item.is_word() && item.letter != 'O') only_number = false;
        if (only_number) continue; // A program number alone: still being written
        const bool turns = state.is(Meaning::spindle_forward) || state.is(Meaning::spindle_reverse);
        const bool flows = state.is(Meaning::coolant_on) || state.is(Meaning::coolant_mist);
        report.at(*last)
            .message(said(
                "The program stops here without an end: the control alarms or runs on into what is stored "
                "after it{}. Write M30 (M99 in a subprogram or a bar loop).",
                turns && flows ? said(", with spindle and coolant on")
                : turns        ? said(", with the spindle turning")
                : flows        ? said(", with the coolant on")
                               : ""))
            .fix([&](const machine::Reader& reader) {
                return Fix{said("Write M30 below"), {insert_block_after(reader, *last, "M30")}, true, true};
            });
    }
}

} // namespace

extern const Check check{
    .id = "program_end_missing",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Program end missing",
    .documentation = "The last block of the program is not M30, M02 or M99. Controls alarm at the end of the "
                     "tape, or run on "
                     "into the next program in memory. M30 stops spindle and coolant and goes back to the "
                     "start; M99 ends a "
                     "subprogram and, in a main program, starts it again for the next part from the bar. A "
                     "GOTO that leads "
                     "back is an end too.",
    .file = file,
    .examples =
        {
            {System::A, R"(
%
O0001
G21 T0101
G00 X50. Z10.
M05
;^^ warning: program_end_missing
%
)"},
            {System::B, R"(
O0001
G20
G00 X2. Z1.
;^^ warning: program_end_missing
O0002
G20
M30
)"},
            {System::C, R"(
G71 T0101
G00 X50. Z10.
M09
;^^ warning: program_end_missing

(END OF JOB)
)"},
            {System::A, R"(
%
O0001
G21 T0101
M02
%
)"},
            {System::B, R"(
O0104 (BAR LOOP)
G21
N1 T0101
M99
)"},
            {System::C, R"(
G71
N10 T0101
G00 X50.
GOTO 10
)"},
            {System::A, R"(
O0001
M98 P0002
M30
O0002
G00 U1.
M99
)"},
            {System::A, R"(
%
O0003 (NOTHING YET)
%
)"},
            {System::B, R"(
(ONLY NOTES)
)"},
        },
};

} // namespace turnwright::checks::rules::program_end_missing
