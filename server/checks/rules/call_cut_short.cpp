// A call whose program runs for longer than is followed here.
#include "checks/problem_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::call_cut_short {

namespace {

std::string text(double number, const machine::Settings&) {
    return said("O{:04.0f} was not followed to its end: with its loops and calls it runs more blocks "
                "than are gone through here. What it leaves in force and where the tool stands "
                "after this call is taken as not known, and calls below may be left out as well.",
                number);
}

} // namespace

extern const Check check{
    .id = "call_cut_short",
    .family = Family::flow,
    .severity = Severity::information,
    .title = "Called program is not followed to its end",
    .documentation =
        "A called program is followed block by block, as often as it is called. So that no program can hold "
        "up the editor, the blocks that it runs are counted: one call may run a hundred thousand of them, "
        "all "
        "calls of a file together a million. After a call that asks for more nothing is known, and what "
        "depends on it is not checked.",
    .block = report_problems<machine::ProblemKind::call_cut_short, text>,
    .examples =
        {
            {System::A, R"(
O0001
#100=0
M98 P0002 L9999
;^^ information: call_cut_short
M30
O0002
M98 P0003 L9999
M99
O0003
#100=#100+1
M99
)"},
            {System::B, R"(
O0001
G65 P0002 A1.
;^^ information: call_cut_short
M30
O0002
DO1
#100=#100+1
END1
M99
)"},
            {System::A, R"(
O0001
M98 P0002 L9999
M30
O0002
G00 W-1.
M99
)"},
            {System::C, R"(
O0001
M98 P0002
M30
O0002
#1=0
WHILE [#1 LT 40] DO1
#1=#1+1
END1
M99
)"},
            {System::B, R"(
O0001
M98 P0002
M30
O0002
WHILE [#500 LT 40] DO1
#501=#501+1
END1
M99
)"},
        },
};

} // namespace turnwright::checks::rules::call_cut_short
