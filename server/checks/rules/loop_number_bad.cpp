// DO with a number other than 1 to 3.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::loop_number_bad {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("DO {:.0f}: loops are numbered 1, 2 or 3, any other number alarms.", number);
}

} // namespace

extern const Check check{
    .id = "loop_number_bad",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Loop number that is not 1, 2 or 3",
    .documentation = "The number after DO marks the pair of DO and END; controls take 1, 2 and 3 only. Loops "
                     "one after the other may use the same number.",
    .block = report_problems<machine::ProblemKind::loop_number_bad, text>,
    .file = report_flow_problems<machine::ProblemKind::loop_number_bad, text>,
    .examples =
        {
            {System::A, R"(
#1=1
WHILE [#1 LT 5] DO 4
;               ^^ error: loop_number_bad
#1=#1+1
END 4
M30
)"},
            {System::B, R"(
DO 0
;^^ error: loop_number_bad
END 0
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

} // namespace turnwright::checks::rules::loop_number_bad
