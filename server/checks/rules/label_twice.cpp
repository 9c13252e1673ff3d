// A GOTO whose N number is on two blocks.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::label_twice {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("N{:.0f} stands on more than one block: which one the control goes to depends on "
                "where it begins to search. Give the block a number of its own.",
                number);
}

} // namespace

extern const Check check{
    .id = "label_twice",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Jump to an N number that stands twice",
    .documentation =
        "The N number of a GOTO is on more than one block. Controls search from the block on or from "
        "the start of the program, and which one they find is luck. Give the block a number that "
        "stands nowhere else.",
    .block = report_problems<machine::ProblemKind::label_twice, text>,
    .file = report_flow_problems<machine::ProblemKind::label_twice, text>,
    .examples =
        {
            {System::A, R"(
#1=#500
IF [#1 EQ 1] GOTO 20
;            ^^^^ error: label_twice
N20 G21 T0101
N20 T0202
M30
)"},
            {System::B, R"(
N10 G20
IF [#500 GT 1] GOTO 10
;              ^^^^ error: label_twice
N10 M30
)"},
            {System::A, R"(
N10 G21
IF [#500 GT 1] GOTO 20
N10 T0101
N20 M30
)"},
            {System::B, R"(
N10 G20
N10 M30
)"},
            {System::C, R"(
N1 G71
GOTO 2
N2 M30
)"},
        },
};

} // namespace turnwright::checks::rules::label_twice
