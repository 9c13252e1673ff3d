// A GOTO whose N number stands nowhere.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::label_not_found {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("There is no N{:.0f}: the control alarms here. Write the number of the block to go on with.",
                number);
}

} // namespace

extern const Check check{
    .id = "label_not_found",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Jump to an N number that is not there",
    .documentation =
        "GOTO, or P of a call, names an N number that no block carries. The control searches the "
        "program, does not find it and alarms. Check the number, mostly after renumbering.",
    .block = report_problems<machine::ProblemKind::label_not_found, text>,
    .file = report_flow_problems<machine::ProblemKind::label_not_found, text>,
    .examples =
        {
            {System::A, R"(
#1=1
IF [#1 EQ 1] GOTO 200
;            ^^^^ error: label_not_found
N100 M30
)"},
            {System::B, R"(
GOTO 50
;^^^^^^ error: label_not_found
N5 M30
)"},
            {System::A, R"(
#1=0
N10 #1=#1+1
IF [#1 LT 4] GOTO 10
M30
)"},
            {System::B, R"(
IF [#500 EQ 1] GOTO 900
G20 T0101
N900 M30
)"},
            {System::C, R"(
GOTO #1
N1 M30
)"},
        },
};

} // namespace turnwright::checks::rules::label_not_found
