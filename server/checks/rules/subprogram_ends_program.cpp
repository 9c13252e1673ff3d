// A called program that ends with M30 or M02.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::subprogram_ends_program {

namespace {

void file(const FileContext& context, Report& report) {
    if (context.outline().programs.size() < 2) return;
    const auto tools = tools_of(context);
    std::set<int> called;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if (const auto number = number_called(*tool.work, act)) called.insert(*number);
    for (const ToolOfSpan& tool : tools) {
        const machine::ProgramPart& program = *tool.span->program;
        if (program.number == 0 || &program == &context.outline().programs.front() ||
            !called.contains(program.number))
            continue;
        for (const Act& act : tool.work->acts) {
            if (!act.ends_program || act.deleted) continue;
            report.at(tool.place(act))
                .message(
                    said("O{:04} is called by M98 and ends the whole program here: what stands after the "
                         "call is never done, and the tool stays in the work. Write M99.",
                         program.number));
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "subprogram_ends_program",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Called program that ends with M30",
    .documentation =
        "A program of this file that M98 calls ends with M30 or M02 where M99 would send it back. The "
        "control ends "
        "everything after the first call, rewinds, and can be started again with the tool at the part.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O2000
G21 G99
T0404
G00 X124. Z-15.
M98 P2100
G00 Z-27.
M98 P2100
M30
O2100
G01 U-20. F.08
G00 U20.
M30
;^^ warning: subprogram_ends_program
)"},
            {System::B, R"(
O0010
G21 G90 G95
T0404
G00 X124. Z-15.
M98 P30020
M30
O0020
G91 G01 X-20. F.08
G90
M02
;^^ warning: subprogram_ends_program
)"},
            {System::C, R"(
O0010
G71 G90 G95
T0404
G00 X124. Z-15.
M98 P0020
M30
O0020
G91 G01 X-20. F.08
G90
M99
)"},
            {System::A, R"(
O0010
G21 G99
T0404
G00 X124. Z-15.
M30
O0020
T0505
G00 X124. Z-15.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::subprogram_ends_program
