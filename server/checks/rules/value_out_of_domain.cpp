// A square root of a negative number, an arc sine above one, a logarithm of nothing.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::value_out_of_domain {

namespace {

std::string text(double, const machine::Settings&) {
    return said(
        "This function has no result for such a value: the control stops here with an alarm. Check the "
        "lengths that go into it.");
}

} // namespace

extern const Check check{
    .id = "value_out_of_domain",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Function of a value it has none for",
    .documentation =
        "SQRT of a negative number, ASIN or ACOS of a value outside -1 to 1, or LN of zero or less. "
        "The control alarms here. Mostly two lengths in the formula are the wrong way round, or one "
        "is larger than the geometry allows.",
    .block = report_problems<machine::ProblemKind::value_out_of_domain, text>,
    .file = report_flow_problems<machine::ProblemKind::value_out_of_domain, text>,
    .examples =
        {
            {System::A, R"(
#1=3.
#2=5.
#3=SQRT[#1*#1-#2*#2]
;  ^^^^^ error: value_out_of_domain
M30
)"},
            {System::B, R"(
#1=ASIN[2.]
;  ^^^^ error: value_out_of_domain
M30
)"},
            {System::A, R"(
#1=5.
#3=SQRT[#1*#1-9.]
G21 G00 X#3
M30
)"},
            {System::B, R"(
#3=ASIN[0.5]
#4=ACOS[-1.]
G20 G00 X#3
M30
)"},
            {System::C, R"(
#3=SQRT[#501]
#4=LN[2.]
G71 G00 X#4
M30
)"},
            {System::C, R"(
#3=LN[0]
;  ^^^^^ error: value_out_of_domain
M30
)"},
        },
};

} // namespace turnwright::checks::rules::value_out_of_domain
