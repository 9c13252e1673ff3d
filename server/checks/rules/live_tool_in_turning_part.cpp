// One path drills with a live tool into a part that the other has turning.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::live_tool_in_turning_part {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "live_tool_in_turning_part");
}

} // namespace

extern const Check check{
    .id = "live_tool_in_turning_part",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Live tool drills while the other path turns the part",
    .documentation =
        "A path drills with a live tool at an angle of C and the other path has the main spindle "
        "turning since the last wait: the drill meets a part that turns and is torn off. Stop the "
        "spindle there before the wait. Which programs belong together is read from `path_numbers`, "
        "`path_marks`, `path_endings` or `path_folders` in the shop file, which codes wait from "
        "`m_codes` (`does = \"wait\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012
G21 G99
G97 S1000 M03
G00 X52. Z2.
M101
;^^^ warning: live_tool_in_turning_part
M102
M30
O1012
G21 G98
T0202
M13 S1800
M101
G00 X30. Z5. C0.
G83 X30. C0. Z-12. R-3. F120.
;^^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: live_tool_in_turning_part
G80
M102
M30
)",
             shop_of_paths},
            {System::C, R"(
O0012
G71 G90 G95
G97 S700 M04
G00 X52. Z2.
M101
;^^^ warning: live_tool_in_turning_part
G01 Z-30. F.2
M102
M30
O1012
G71 G90 G94
T0202
M13 S1800
M101
G00 X30. Z5. C0.
G83 X30. C0. Z-12. R2. F120.
;^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: live_tool_in_turning_part
G80
M102
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
G97 S1000 M03
G00 X2.2 Z.1
M05
M101
M102
M30
O1012
G20 G90 G94
T0202
M13 S1800
M101
G00 X1.2 Z.2 C0.
G83 X1.2 C0. Z-.5 R.1 F4.
G80
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

} // namespace turnwright::checks::rules::live_tool_in_turning_part
