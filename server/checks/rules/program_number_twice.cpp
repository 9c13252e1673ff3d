// Two programs of one file with the same O number.
#include "checks/rule.h"

#include <map>

namespace turnwright::checks::rules {

namespace {

void file(const FileContext& context, Report& report) {
    std::map<std::int32_t, BlockPlace> seen;
    for (const machine::ProgramPart& program : context.outline.programs) {
        if (program.number <= 0) continue;
        auto place = first_code_block(context.analysis, program.first, program.last);
        if (!place) continue;
        auto [first, fresh] = seen.emplace(program.number, *place);
        if (fresh) continue;
        report_at_letter(report, context.analysis, *place, 'O')
            .message(
                fmt::format("O{:04} stands twice in this file: the control keeps one of them only. Give this "
                            "program a number of its own.",
                            program.number))
            .related(first->second, fmt::format("the first O{:04}", program.number));
    }
}

} // namespace

extern const Check program_number_twice{
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
