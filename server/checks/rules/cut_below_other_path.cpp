// A cut of one path takes away what the other finishes later.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::cut_below_other_path {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "cut_below_other_path");
}

} // namespace

extern const Check check{
    .id = "cut_below_other_path",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Cut deeper than the other path finishes to",
    .documentation =
        "One path turns a length to a diameter, and behind a later wait the other path turns the same "
        "length to a larger one: the metal of the second cut is gone by then, and the part is too "
        "small. Mostly a digit of X is wrong. Which programs belong together is read from "
        "`path_numbers`, `path_marks`, `path_endings` or `path_folders` in the shop file, which codes "
        "wait from `m_codes` (`does = \"wait\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012
G21 G99
G97 S1000 M03
G00 X14. Z2.
G01 Z-40. F.2
;^^^^^^^^^^^^ warning: cut_below_other_path
G00 X60.
M101
M30
O1012
G21 G99
T0202
G97 S1000 M03
G00 X60. Z2.
M101
G00 X41. Z2.
G01 Z-40. F.1
G00 X60.
M30
)",
             shop_of_paths},
            {System::C, R"(
O0012
G71 G90 G95
T0202
G97 S1000 M03
G00 X60. Z2.
M101
G00 X41. Z2.
G01 Z-40. F.1
G00 X60.
M30
O1012
G71 G90 G95
G97 S1000 M03
G00 X31. Z2.
G01 Z-40. F.2
;^^^^^^^^^^^^ warning: cut_below_other_path
G00 X60.
M101
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
G97 S1000 M03
G00 X1.65 Z.1
G01 Z-1.6 F.008
G00 X2.4
M101
M30
O1012
G20 G90 G95
T0202
G97 S1000 M03
G00 X2.4 Z.1
M101
G00 X1.6 Z.1
G01 Z-1.6 F.004
G00 X2.4
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

} // namespace turnwright::checks::rules::cut_below_other_path
