// Tools of two turrets on the centreline at the same time.
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"

namespace turnwright::checks::rules::tools_of_paths_meet {

namespace {

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "tools_of_paths_meet");
}

} // namespace

extern const Check check{
    .id = "tools_of_paths_meet",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Tools of two turrets run into each other",
    .documentation = "Between two waits tools of two turrets are in one place at one time: "
                     "a tool stands on the "
                     "centreline "
                     "and one of the other turret goes to the centre at a Z that lies in "
                     "it, or whole tools run into each "
                     "other: insert, holder, drill, tools beside in a row and the turret's "
                     "body, as the shop file tells "
                     "them "
                     "(`outline`, `path` of a tool, `turret_outline`); a drill on the "
                     "centreline that the shop file does not "
                     "have is taken by the size that the note in the block of its tool call "
                     "tells. `second_turret` says whether the second turret "
                     "works "
                     "across the centreline or on the side of the first; where it does not, "
                     "a hit is told only if there "
                     "is "
                     "one on either. Told only where both work on one part in one datum, "
                     "every place is known and both "
                     "times "
                     "since the wait are, and where a little sooner or later changes "
                     "nothing; and in both programs. What "
                     "stands out of the plane of the tools, such as the other stations of a "
                     "disc, is not looked at. Which "
                     "programs "
                     "belong together is read from `path_numbers`, `path_marks`, "
                     "`path_endings` or `path_folders` in the "
                     "shop "
                     "file, which codes wait from `m_codes` (`does = \"wait\"`), else from "
                     "notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0012 (UPPER)
G21 G99
T0101
G97 S1000 M03
G00 X52. Z0.
M101
G01 X-1.6 F.2
;^^^^^^^^^^^^^ warning: tools_of_paths_meet
G00 X60.
M102
M30
O1012 (LOWER)
G21 G99
T0202 (DRILL 8)
G00 X0 Z5.
M101
G01 Z-30. F.1
;^^^^^^^^^^^^^ warning: tools_of_paths_meet
G00 Z5.
M102
M30
)",
             shop_of_paths},
            {System::B, R"(
O0012
G20 G90 G95
T0101
G97 S1000 M03
G00 X2. Z-.5
M101
G01 X0 F.004
;^^^^^^^^^^^ warning: tools_of_paths_meet
G00 X2.4
M102
M30
O1012
G20 G90 G95
T0202 (DRILL .5)
G00 X0 Z-.4
M101
G01 Z-2. F.004
;^^^^^^^^^^^^^ warning: tools_of_paths_meet
G00 Z.2
M102
M30
)",
             shop_of_paths},
            // The sleeve of the drill stands where the holder of the other turret comes in.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X60. Z45.
M101
G01 X30. F.2
;^^^^^^^^^^^ warning: tools_of_paths_meet
G04 U20.
G00 X60.
M102
M30
O1012
G21 G99
T0202
G00 X0 Z5.
M101
G01 Z-10. F.1
;^^^^^^^^^^^^^ warning: tools_of_paths_meet
G04 U20.
G00 Z5.
M102
M30
)",
             tools_of_paths},
            // Of the drill the note tells the size, and it drills on the
            // centreline.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X60. Z-2.
M101
G01 X4. F.2
;^^^^^^^^^^ warning: tools_of_paths_meet
G04 U20.
G00 X60.
M102
M30
O1012
G21 G99
T0505 (DRILL 10)
G00 X0 Z5.
M101
G01 Z-10. F.1
;^^^^^^^^^^^^^ warning: tools_of_paths_meet
G04 U20.
G00 Z5.
M102
M30
)",
             tools_of_paths},
            // The same with no size.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X60. Z-2.
M101
G01 X4. F.2
G04 U20.
G00 X60.
M102
M30
O1012
G21 G99
T0505 (DRILL)
G00 X0 Z5.
M101
G01 Z-10. F.1
G04 U20.
G00 Z5.
M102
M30
)",
             tools_of_paths},
            // The sleeve is still far in front of the part then.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X60. Z45.
M101
G01 X30. F.2
G00 X60.
M102
M30
O1012
G21 G99
T0202
G00 X0 Z205.
M101
G01 Z190. F.1
G04 U20.
M102
M30
)",
             tools_of_paths},
            // The face is cut before the drill comes, by the time that both take.
            {System::A, R"(
O0012
G21 G99
T0101
G97 S1000 M03
G00 X4. Z0.
M101
G01 X-1.6 F.3
G00 X60.
M102
M30
O1012
G21 G99
T0202
G00 X0 Z30.
M101
G01 Z10. F.1
Z-30.
G00 Z5.
M102
M30
)",
             shop_of_paths},
            // The other turret turns outside.
            {System::C, R"(
O0012
G71 G90 G95
T0101
G97 S1000 M03
G00 X52. Z2.
M101
G01 Z-20. F.2
G00 X60.
M102
M30
O1012
G71 G90 G95
T0202
G00 X0 Z5.
M101
G01 Z-30. F.1
G00 Z5.
M102
M30
)",
             shop_of_paths},
            right_paths_a,
            right_paths_b,
            right_paths_c,
        },
};

} // namespace turnwright::checks::rules::tools_of_paths_meet
