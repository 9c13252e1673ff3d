// END without WHILE or DO.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::loop_not_opened {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("END {:.0f} has no DO {:.0f} above it: the control alarms here.", number, number);
}

} // namespace

extern const Check check{
    .id = "loop_not_opened",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Loop end without its start",
    .documentation =
        "END m stands with no WHILE or DO m above it. The control alarms when it comes to this block. "
        "Check the number, or take the block away.",
    .block = report_problems<machine::ProblemKind::loop_not_opened, text>,
    .file = report_flow_problems<machine::ProblemKind::loop_not_opened, text>,
    .examples =
        {
            {System::A, R"(
G21
END 1
;^^ error: loop_not_opened
M30
)"},
            {System::B, R"(
#1=1
WHILE [#1 LT 3] DO 1
#1=#1+1
END 1
END 2
;^^ error: loop_not_opened
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

} // namespace turnwright::checks::rules::loop_not_opened
