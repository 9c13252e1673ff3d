// An expression that divides by zero.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::division_by_zero {

namespace {

std::string text(double, const machine::Settings&) {
    return said(
        "This divides by zero: the control stops here with an alarm. Give the divisor a value above, or "
        "jump over this block when it is 0.");
}

} // namespace

extern const Check check{
    .id = "division_by_zero",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Division by zero",
    .documentation =
        "An expression divides by a value that is zero here. The control stops with an alarm in the "
        "middle of the program, mostly with the tool at the part. Look for the variable that should "
        "hold the number: an empty variable counts as zero.",
    .block = report_problems<machine::ProblemKind::division_by_zero, text>,
    .file = report_flow_problems<machine::ProblemKind::division_by_zero, text>,
    .examples =
        {
            {System::A, R"(
#1=0
#2=10./#1
;  ^^^^^^ error: division_by_zero
G21 G00 X#2
M30
)"},
            {System::B, R"(
#2=0
G20 G00 X[5./[#2*3.]]
;       ^^^^^^^^^^^^^ error: division_by_zero
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
            {System::C, R"(
#2=10./#500
G71 G00 X#2
M30
)"},
        },
};

} // namespace turnwright::checks::rules::division_by_zero
