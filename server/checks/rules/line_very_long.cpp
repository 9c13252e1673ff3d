// A line longer than controls hold.
//
// The lengths: from memory.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::line_very_long {

namespace {

constexpr std::uint32_t most = 256;

void block(const BlockView& view, Report& report) {
    if (view.text.length <= most) return;
    report.at(view).message(
        said("This block is {} characters long: controls hold {} at most and cut off or alarm. "
             "Split it.",
             view.text.length, most));
}

} // namespace

extern const Check check{
    .id = "line_very_long",
    .family = Family::file,
    .severity = Severity::hint,
    .title = "Very long block",
    .documentation =
        "The line has more than 256 characters. Controls hold blocks of a limited length, many of "
        "them 128 or 256 characters, and alarm or cut the rest off. Split it.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 (AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA)
;^^ hint: line_very_long
M30
)"},
            {System::B, R"(
G20 X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. X1. 
;^^ hint: line_very_long
M30
)"},
            {System::C, R"(
G71 (AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA)
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::line_very_long
