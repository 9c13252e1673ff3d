// A file with an opening % and no closing one, or the other way.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void file(const FileContext& context, Report& report) {
    std::size_t count = 0;
    BlockPlace mark;
    for (std::size_t run = 0; run < context.analysis.size(); ++run)
        for (const machine::Landmark& landmark : context.analysis.result(run)->shape->landmarks)
            if (landmark.kind == machine::Landmark::Kind::tape_mark) {
                ++count;
                mark = {run, landmark.block};
            }
    if (count != 1) return;
    auto first = first_code_block(context.analysis, {0, 0}, mark);
    report.at(mark).message(
        first ? "The file ends with % but does not begin with one: a control that reads it over a "
                "line skips all of it."
              : "The file begins with % but does not end with one: the control waits for more.");
}

} // namespace

extern const Check tape_mark_missing{
    .id = "tape_mark_missing",
    .family = Family::file,
    .severity = Severity::hint,
    .title = "One of the two tape marks is missing",
    .documentation =
        "A program sent to the control over a line begins and ends with %. One of them is there and "
        "the other is not: the control waits for more, or takes the last block for incomplete.",
    .file = file,
    .examples =
        {
            {System::A, R"(
%  (MARK)
;^ hint: tape_mark_missing
O0001
G21
M30
)"},
            {System::B, R"(
O0001
G20
M30
%  (MARK)
;^ hint: tape_mark_missing
)"},
            {System::A, R"(
%
O0001
G21
M30
%
)"},
            {System::C, R"(
O0001
G71
M30
)"},
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"},
            {System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules
