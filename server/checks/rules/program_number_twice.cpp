// Two programs of one file with the same O number.
#include "checks/rule.h"
#include "language/said.h"

#include <map>

namespace turnwright::checks::rules::program_number_twice {

namespace {

void file(const FileContext& context, Report& report) {
    std::map<std::int32_t, BlockPlace> seen;
    for (const machine::ProgramPart& program : context.outline().programs) {
        if (program.number <= 0) continue;
        auto place = first_code_block(context.reader(), program.first, program.last);
        if (!place) continue;
        auto [first, fresh] = seen.emplace(program.number, *place);
        if (fresh) continue;
        report.at_letter(*place, 'O')
            .message(said("O{:04} stands twice in this file: the control keeps one of them only. Give this "
                          "program a number of its own.",
                          program.number))
            .related(first->second, said("the first O{:04}", program.number));
    }
}

} // namespace

extern const Check check{
    .id = "program_number_twice",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Program number used twice in the file",
    .documentation =
        "Two programs in this file have the same O number. Sent to the control, the second overwrites "
        "the first or is refused, and a call finds one of them only. Give each its own number.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0001
G21
M30
O0001
;^^^^ warning: program_number_twice
G21
M30
)"},
            {System::B, R"(
O0002
G20
M99
O0003
M30
O0002
;^^^^ warning: program_number_twice
M30
)"},
            {System::A, R"(
O0001
G21
M30
O0002
G21
M30
)"},
            {System::C, R"(
G71
M30
G71
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::program_number_twice
