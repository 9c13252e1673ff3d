// The slide of the second spindle goes home while the other path parts off.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::slide_home_while_parting {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "slide_home_while_parting");
}

} // namespace

extern const Check check{
    .id = "slide_home_while_parting",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Second slide goes home while the other path parts off",
    .documentation =
        "The second spindle holds the end of the part and its slide goes home in the same stretch "
        "between two waits in which the other path parts off: it pulls at a part that still hangs on "
        "the bar. Let it wait until the other path has parted. Which programs belong together is read "
        "from `path_numbers`, `path_marks`, `path_endings` or `path_folders` in the shop file, which "
        "codes wait from `m_codes` (`does = \"wait\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012
G21 G99
G97 S800 M03
M101
G00 X52. Z-30.
G01 X-1. F.1
G00 X60.
M102
M30
O1012
G21 G99
M101
B0
;^ warning: slide_home_while_parting
M102
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
G97 S800 M03
M101
G00 X2.2 Z-1.3
G01 X-.04 F.004
M102
M30
O1012
G20 G90 G95
M101
G00 B0.
;^^^^^^ warning: slide_home_while_parting
M102
M30
)",
             shop_of_paths},
            {System::C, R"(
O0012
G71 G90 G95
G97 S800 M03
M101
G00 X52. Z-30.
G01 X-1. F.1
G00 X60.
M102
M30
O1012
G71 G90 G95
M101
M102
B0
M30
)",
             shop_of_paths},
            right_paths_a,
            right_paths_b,
            right_paths_c,
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::slide_home_while_parting
