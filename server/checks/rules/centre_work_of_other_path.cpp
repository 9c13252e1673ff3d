// One path works on the centre under the surface speed of the other.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::centre_work_of_other_path {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "centre_work_of_other_path");
}

} // namespace

extern const Check check{
    .id = "centre_work_of_other_path",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Centre work while the other path has surface speed",
    .documentation =
        "A drill on the centre is fed by a path that never set the spindle, and the other path has "
        "constant surface speed (G96) in force: the speed goes by the X of the other turret and up to "
        "the limit as that one goes in. Write G97 with the drill's speed in that path before the "
        "wait. Which programs belong together is read from `path_numbers`, `path_marks`, "
        "`path_endings` or `path_folders` in the shop file, which codes wait from `m_codes` (`does = "
        "\"wait\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012
G21 G99
G50 S3000
G96 S180 M03
;^^^ warning: centre_work_of_other_path
G00 X52. Z2.
M101
G01 X20. F.2
M102
M30
O1012
G21 G99
T0202
M101
G00 X0 Z5.
G01 Z-15. F.1
;^^^^^^^^^^^^ warning: centre_work_of_other_path
G00 Z5.
M102
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
G92 S3000
G96 S500 M03
;^^^ warning: centre_work_of_other_path
G00 X2.2 Z.1
M101
G01 X.8 F.008
M102
M30
O1012
G20 G90 G95
T0202
M101
G00 X0 Z.2
G01 Z-1. F.004
;^^^^^^^^^^^^^ warning: centre_work_of_other_path
G00 Z.2
M102
M30
)",
             shop_of_paths},
            {System::C, R"(
O0012
G71 G90 G95
G92 S3000
G96 S180 M03
G00 X52. Z2.
G97 S900
M101
M102
M30
O1012
G71 G90 G95
T0202
M101
G00 X0 Z5.
G01 Z-15. F.1
G00 Z5.
M102
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

} // namespace turnwright::checks::rules::centre_work_of_other_path
