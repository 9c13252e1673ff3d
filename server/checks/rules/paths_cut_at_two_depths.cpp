// Both turrets turn one length at the same time, and one of them cuts nothing.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::paths_cut_at_two_depths {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "paths_cut_at_two_depths");
}

} // namespace

extern const Check check{
    .id = "paths_cut_at_two_depths",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Two turrets cut level with each other at two depths",
    .documentation =
        "Tools of two turrets begin to turn one length at the same moment behind a wait, and one is set "
        "deeper: "
        "level with the other or ahead of it, it takes the whole depth, and the other cuts nothing. Turned "
        "together both take one X, which balances their forces; turned one behind the other, the deeper tool "
        "starts later or farther back. Not told where the deeper one trails, where their starts lie apart, "
        "or "
        "where a time is not known. Told in both programs. Which programs belong together is read from the "
        "shop "
        "file as for the other checks of two turrets.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X46. Z2.
M101
G01 Z-40. F.2
;^^^^^^^^^^^^^ warning: paths_cut_at_two_depths
G00 X60.
M102
M30
O1012
G21 G99
T0202
G00 X44. Z2.
M101
G01 Z-40. F.2
;^^^^^^^^^^^^^ warning: paths_cut_at_two_depths
G00 X60.
M102
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
T0101
G97 S800 M03
G00 X1.8 Z.1
M101
G01 Z-1.5 F.008
;^^^^^^^^^^^^^^^ warning: paths_cut_at_two_depths
G00 X2.6
M102
M30
O1012
G20 G90 G95
T0202
G00 X1.9 Z.1
M101
G01 Z-1.5 F.008
;^^^^^^^^^^^^^^^ warning: paths_cut_at_two_depths
G00 X2.6
M102
M30
)",
             shop_of_paths},
            // One X in both.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X46. Z2.
M101
G01 Z-40. F.2
G00 X60.
M102
M30
O1012
G21 G99
T0202
G00 X46. Z2.
M101
G01 Z-40. F.2
G00 X60.
M102
M30
)",
             shop_of_paths},
            // The deeper tool trails by 5 mm.
            {System::C, R"(
O0012
G71 G90 G95
T0101
G97 S1000 M03
G00 X46. Z2.
M101
G01 Z-40. F.2
G00 X60.
M102
M30
O1012
G71 G90 G95
T0202
G00 X42. Z7.
M101
G01 Z-40. F.2
G00 X60.
M102
M30
)",
             shop_of_paths},
            // Behind each other in time.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X46. Z2.
M101
G01 Z-40. F.2
G00 X60.
M102
M103
M30
O1012
G21 G99
T0202
G00 X42. Z2.
M101
M102
G01 Z-40. F.2
G00 X60.
M103
M30
)",
             shop_of_paths},
            right_paths_a,
            right_paths_b,
            right_paths_c,
        },
};

} // namespace turnwright::checks::rules::paths_cut_at_two_depths
