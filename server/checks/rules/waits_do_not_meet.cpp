// A wait of one path that the other path never comes to.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::waits_do_not_meet {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "waits_do_not_meet");
}

} // namespace

extern const Check check{
    .id = "waits_do_not_meet",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Wait that the other path never comes to",
    .documentation =
        "The programs of two turrets run at the same time, and at a wait code each stops until the "
        "other has come to the same code. Where the other has no such code, or has it in another "
        "order, this path stands there for ever, or goes on at the wrong moment with the other tool "
        "in its way. Told in both programs. Which programs belong together is read from "
        "`path_numbers`, `path_marks`, `path_endings` or `path_folders` in the shop file, which codes "
        "wait from `m_codes` (`does = \"wait\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012 (UPPER)
G21 G99
T0101
G97 S1200 M03
G00 X52. Z2.
G01 Z-40. F.2
G00 X60.
M101
M102
;^^^ warning: waits_do_not_meet
G00 X150. Z100.
M30
O1012 (LOWER)
G21 G99
T0202
G00 X60. Z5.
M101
;^^^ warning: waits_do_not_meet
G00 X0
G01 Z-15. F.1
G00 Z5.
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012 (UPPER)
G20 G90 G95
T0101
M101
;^^^ warning: waits_do_not_meet
M102
M30
O1012 (LOWER)
G20 G90 G95
T0202
M103
;^^^ warning: waits_do_not_meet
M102
M30
)",
             shop_of_paths},
            // One written with its digits swapped.
            {System::C, R"(
O0012 (UPPER)
G71 G90 G95
T0101
M101
M102
;^^^ warning: waits_do_not_meet
M103
M30
O1012 (LOWER)
G71 G90 G95
T0202
M101
G00 X80. Z5.
M120
;^^^ warning: waits_do_not_meet
M103
M30
)",
             shop_of_paths},
            {System::C, R"(
O0012 (UPPER)
G71 G90 G95
M101
M102
M30
O1012 (LOWER)
G71 G90 G95
M98 P0077
M102
M30
O0077
G00 X80. Z5.
M101
M99
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

} // namespace turnwright::checks::rules::waits_do_not_meet
