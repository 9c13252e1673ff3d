// An assignment to #0 or another variable that cannot be written.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::write_to_read_only {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("#{} cannot be given a value: the control stops here with an alarm. Use a variable of "
                "your own, such as #100.",
                number);
}

} // namespace

extern const Check check{
    .id = "write_to_read_only",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Value given to something that holds none",
    .documentation =
        "A value is given to #0, which is always empty, or to a variable that the control only lets a "
        "program read. The control alarms, and the value is nowhere.",
    .block = report_problems<machine::ProblemKind::write_to_read_only, text>,
    .file = report_flow_problems<machine::ProblemKind::write_to_read_only, text>,
    .examples =
        {
            {System::A, R"(
#0=5.
;^ error: write_to_read_only
M30
)"},
            {System::B, R"(
#[3-3]=1.
;^ error: write_to_read_only
M30
)"},
            {System::A, R"(
#1=2.
#2=[#1+3.]/#1
G21 G01 X[#1*10.] Z-#2 F0.2
M30
)"},
            {System::B, R"(
#100=0
N10 #100=#100+1
IF [#100 LT 5] GOTO 10
G20 G00 X#100
M30
)"},
            {System::C, R"(
#1=1
WHILE [#1 LE 3] DO 1
G71 G00 X[#1*10.]
#1=#1+1
END 1
M30
)"},
        },
};

} // namespace turnwright::checks::rules::write_to_read_only
