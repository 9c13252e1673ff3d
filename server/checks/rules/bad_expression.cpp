// An expression or statement the control cannot read.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::bad_expression {

namespace {

std::string text(double, const machine::Settings&) {
    return said("This expression cannot be read: the control alarms here. Check brackets and operators; "
                "parentheses are notes, not brackets.");
}

} // namespace

extern const Check check{
    .id = "bad_expression",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Expression that cannot be read",
    .documentation =
        "A bracket is missing, an operator has nothing after it, or a function is none the control "
        "has. The control alarms at this block before any of it is done. Expressions stand in square "
        "brackets; parentheses are notes.",
    .block = report_problems<machine::ProblemKind::bad_expression, text>,
    .file = report_flow_problems<machine::ProblemKind::bad_expression, text>,
    .examples =
        {
            {System::A, R"(
#1=[2.+
;  ^^ error: bad_expression
M30
)"},
            {System::B, R"(
IF [#1 LT ] GOTO 10
;   ^^^^ error: bad_expression
N10 M30
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

} // namespace turnwright::checks::rules::bad_expression
