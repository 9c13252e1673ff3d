// Two loops of which neither holds the other.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::loops_cross {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("The loop with number {:.0f} crosses another: the control alarms here. Close the "
                "inner loop before the outer one.",
                number);
}

} // namespace

extern const Check check{
    .id = "loops_cross",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Loops that cross",
    .documentation =
        "A loop begins inside another and ends outside of it, or begins again with the number of a "
        "loop that is still open. The control alarms. Close the inner loop first, with a number of "
        "its own.",
    .block = report_problems<machine::ProblemKind::loops_cross, text>,
    .file = report_flow_problems<machine::ProblemKind::loops_cross, text>,
    .examples =
        {
            {System::A, R"(
#1=1
WHILE [#1 LT 5] DO 1
WHILE [#1 LT 3] DO 2
#1=#1+1
END 1
;^^ error: loops_cross
END 2
M30
)"},
            {System::B, R"(
#1=1
WHILE [#1 LT 5] DO 1
WHILE [#1 LT 3] DO 1
;               ^^ error: loops_cross
#1=#1+1
END 1
END 1
M30
)"},
            {System::A, R"(
#1=1
WHILE [#1 LT 5] DO 1
#2=1
WHILE [#2 LT 3] DO 2
#2=#2+1
END 2
#1=#1+1
END 1
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

} // namespace turnwright::checks::rules::loops_cross
