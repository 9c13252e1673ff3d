// A file with an opening % and no closing one, or the other way.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::tape_mark_missing {

namespace {

void file(const FileContext& context, Report& report) {
    std::size_t count = 0;
    BlockPlace mark;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::Landmark& landmark : context.shape(run).landmarks)
            if (landmark.kind == machine::Landmark::Kind::tape_mark) {
                ++count;
                mark = {run, landmark.block};
            }
    if (count != 1) return;
    auto first = first_code_block(context.reader(), {0, 0}, mark);
    report.at(mark).message(
        first ? said("The file ends with % but does not begin with one: a control that reads it over a "
                     "line skips all of it.")
              : said("The file begins with % but does not end with one: the control waits for more."));
}

} // namespace

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tape_mark_missing
