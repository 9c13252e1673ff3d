// More than three loops inside each other.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::nesting_too_deep {

namespace {

std::string text(double, const machine::Settings&) {
    return said("More than three loops are open here: the control alarms. Move the innermost loop to a "
                "subprogram.");
}

} // namespace

extern const Check check{
    .id = "nesting_too_deep",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Loops nested too deep",
    .documentation =
        "Controls hold three open loops at a time. A fourth DO inside three open ones alarms. Move "
        "the innermost loop to a subprogram, which may have loops of its own.",
    .block = report_problems<machine::ProblemKind::nesting_too_deep, text>,
    .file = report_flow_problems<machine::ProblemKind::nesting_too_deep, text>,
    .examples =
        {
            {System::A, R"(
WHILE [#500 LT 5] DO 1
WHILE [#501 LT 5] DO 2
WHILE [#502 LT 5] DO 3
WHILE [#503 LT 5] DO 1
;                 ^^ error: nesting_too_deep
END 1
END 3
END 2
END 1
M30
)"},
            {System::B, R"(
DO 1
DO 2
DO 3
DO 2
;^^ error: nesting_too_deep
END 2
END 3
END 2
END 1
M30
)"},
            {System::A, R"(
WHILE [#500 LT 5] DO 1
WHILE [#501 LT 5] DO 2
WHILE [#502 LT 5] DO 3
#502=#502+1
END 3
END 2
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

} // namespace turnwright::checks::rules::nesting_too_deep
