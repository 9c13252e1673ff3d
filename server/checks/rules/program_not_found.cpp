// A call of a program that is neither in the file nor in the workspace.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::program_not_found {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("O{:04.0f} is not in this file or the folder: unless the control holds it, the "
                "machine stops here. What it leaves in force is not known after this call.",
                number);
}

std::string text_of_more(double number, const machine::Settings&) {
    return said("O{:04.0f} is not in this file, and there are more programs in the folder than are read: "
                "whether it is among them is not known, nor what it leaves in force after this call.",
                number);
}

void block(const BlockView& view, Report& report) {
    report_problems<machine::ProblemKind::program_not_found, text>(view, report);
    report_problems<machine::ProblemKind::program_not_looked_for, text_of_more>(view, report);
}

void file(const FileContext& context, Report& report) {
    report_flow_problems<machine::ProblemKind::program_not_found, text>(context, report);
    report_flow_problems<machine::ProblemKind::program_not_looked_for, text_of_more>(context, report);
}

} // namespace

extern const Check check{
    .id = "program_not_found",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Called program is not to be found",
    .documentation =
        "M98 or G65 calls a program number that is neither in this file nor in a file of the "
        "workspace. If it is stored in the control all is well, but nothing here can follow it: what "
        "it leaves in force and where it leaves the tool is not known after the call. If it is not, "
        "the control alarms. Numbers from 9000 on are mostly kept in the control, so they are only noted; so "
        "is a number that was not found in a folder with more programs than are read.",
    .block = block,
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 T0101
M98 P0171
;^^ warning: program_not_found
M30
)"},
            {System::B, R"(
G65 P9010 A1. B2.
;^^ information: program_not_found
M30
)"},
            {System::A, R"(
O0001
G21 T0101
M98 P0171 L4
M30
O0171
G00 W-13.
M99
)"},
            {System::B, R"(
O0001
G65 P9010 A1.
M30
O9010
G00 U#1
M99
)"},
            {System::C, R"(
O0001
M98 P#100
M30
)"},
        },
};

} // namespace turnwright::checks::rules::program_not_found
