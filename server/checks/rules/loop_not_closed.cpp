// WHILE or DO without END.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::loop_not_closed {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("DO {:.0f} has no END {:.0f}: the control alarms here. Write END {:.0f} after the "
                "last block of the loop.",
                number, number, number);
}

} // namespace

extern const Check check{
    .id = "loop_not_closed",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Loop without its end",
    .documentation =
        "WHILE [..] DO m or DO m has no END m below it. The control alarms when it comes to the loop. "
        "Write END with the same number after the last block of the loop.",
    .block = report_problems<machine::ProblemKind::loop_not_closed, text>,
    .file = report_flow_problems<machine::ProblemKind::loop_not_closed, text>,
    .examples =
        {
            {System::A, R"(
#1=1
WHILE [#1 LT 5] DO 1
;               ^^ error: loop_not_closed
#1=#1+1
M30
)"},
            {System::B, R"(
DO 2
;^^ error: loop_not_closed
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

} // namespace turnwright::checks::rules::loop_not_closed
