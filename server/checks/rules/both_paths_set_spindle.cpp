// Two turrets on one spindle with different speed demands.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::both_paths_set_spindle {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "both_paths_set_spindle");
}

} // namespace

extern const Check check{
    .id = "both_paths_set_spindle",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Both paths set the main spindle",
    .documentation =
        "Between the same two waits both programs speak to the main spindle, and not with one speed: "
        "the later of the two holds, and which one that is changes with every feed override. One tool "
        "then cuts at the speed of the other. Let one path alone set the spindle while both cut, or "
        "put a wait between. Which programs belong together is read from `path_numbers`, "
        "`path_marks`, `path_endings` or `path_folders` in the shop file, which codes wait from "
        "`m_codes` (`does = \"wait\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012
G21 G99
M101
G97 S1200 M03
;^^^^^^^^^^^^^ warning: both_paths_set_spindle
G00 X52. Z2.
G01 Z-40. F.2
M102
M30
O1012
G21 G99
M101
G96 S150 M03
;^^^^^^^^^^^^ warning: both_paths_set_spindle
G00 X60. Z2.
G01 Z-40. F.2
M102
M30
)",
             shop_of_paths},
            {System::C, R"(
O0012
G71 G90 G95
G97 S800 M03
;^^^^^^^^^^^^ warning: both_paths_set_spindle
G00 X52. Z2.
G01 Z-40. F.2
M101
M30
O1012
G71 G90 G95
G97 S1500 M03
;^^^^^^^^^^^^^ warning: both_paths_set_spindle
G00 X0 Z2.
G01 Z-40. F.1
M101
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
G97 S800 M03
G00 X2.2 Z.1
G01 Z-1.5 F.008
M101
M30
O1012
G20 G90 G95
M101
G97 S1500 M03
G00 X0 Z.1
G01 Z-1. F.004
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

} // namespace turnwright::checks::rules::both_paths_set_spindle
