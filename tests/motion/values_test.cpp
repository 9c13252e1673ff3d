// Moves whose numbers a person can work out beside the program.
#include "motion/program.h"

#include <algorithm>
#include <numbers>

using namespace turnwright;
using namespace turnwright::motion;

TEST_CASE("An arc by its centre alone is a full circle") {
    // 2 pi r, exact: 62.83 mm for a radius of 10.
    Program program(head + "G00 X40. Z0\nG02 I-10. F0.1\nG03 K-10. F0.1\n");
    CHECK(program.line(3).segments.at(0).length_mm() == Approx(2 * std::numbers::pi * 10));
    CHECK(program.line(4).segments.at(0).length_mm() == Approx(2 * std::numbers::pi * 10));
}

TEST_CASE("Two lines by their angles meet where both hold") {
    // From X20. along Z, and up to X60. Z-40. at 120 degrees: 20 on radius is 20 / tan 60 = 11.547 in Z.
    Program program(head + "G00 X20. Z2.\nG01 A180. F0.2\nX60. Z-40. A120.\n");
    const double corner = -40 + 20 / std::tan(std::numbers::pi / 3);
    REQUIRE(program.line(3).segments.size() == 1);
    CHECK(program.line(3).complete);
    CHECK(near(program.line(3).segments[0].from, at(10, 2)));
    CHECK(near(program.line(3).segments[0].to, at(10, corner)));
    REQUIRE(program.line(4).segments.size() == 1);
    CHECK(near(program.line(4).segments[0].from, at(10, corner)));
    CHECK(near(program.line(4).segments[0].to, at(30, -40)));
    // Lines along each other never meet.
    CHECK(Program(head + "G00 X20. Z2.\nG01 A180. F0.2\nX60. Z-40. A0.\n").line(3).segments.empty());
}

TEST_CASE("Passes are counted as a machinist counts them") {
    Program pattern(head + "G00 X42. Z2.\nG73 U3. W1. R4\nG73 P10 Q20 U0.4 W0.1 F0.25\nN10 G00 X20.\n"
                           "G01 Z-20. F0.1\nX30. Z-30.\nN20 X42.\nG70 P10 Q20\n");
    CHECK(pattern.line(4).passes == 4);
    // From radius 15 in steps of 3 to 12 and to 10: one level and the cut along the contour.
    Program rough(head + "G00 X30. Z2.\nG71 U3. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\nN10 G00 X20.\n"
                         "G01 Z-10. F0.1\nX24.\nZ-20.\nX26.\nN20 X30.\nG70 P10 Q20\n");
    CHECK(rough.line(4).passes == 2);
    CHECK(Program(head + "G00 X42. Z2.\nG90 X40. Z-20. F0.2\n").line(3).passes == 1);
}

TEST_CASE("A count of holes is drilled that many times") {
    Program program("G21 G97 G98 S1000 M03\nG00 X60. Z-10.\nG87 X30. W-10. R-4. K3 F80.\n");
    auto holes = with_role(program.line(3), SegmentRole::cycle_pass);
    REQUIRE(holes.size() == 3);
    CHECK(holes[0].to.z_mm == Approx(-20));
    CHECK(holes[2].to.z_mm == Approx(-40));
    CHECK(holes[2].to.x_radius_mm == Approx(15));
    CHECK(near(program.line(3).segments.back().to, at(30, -40)));
}

TEST_CASE("A stop in the block of a move acts behind it") {
    // ISO 6983-1:1982, from memory: M05 and M09 come into force behind the block's motion.
    Program program(head + "G00 X40. Z2.\nG01 Z-18. F0.1 M05\nZ-20.\n");
    CHECK(program.totals(3).seconds() == Approx(20 / 0.1 / 1000 * 60));
    CHECK(program.totals(3).blocks_without_time == 0);
    CHECK(program.totals(4).blocks_without_time == 1);
}

TEST_CASE("A finish allowance with the wrong sign is told as it is written") {
    // U-0.4 on diameter is -0.2 on radius; facing steps along Z, and its W is told as W.
    Program turning(head +
                    "G00 X52. Z1.\nG71 U2. R0.5\nG71 P10 Q20 U-0.4 W0.1 F0.28\nN10 G00 X20.\nG01 Z-25.\n"
                    "N20 X52.\n");
    REQUIRE(turning.line(4).troubles.size() == 1);
    CHECK(turning.line(4).troubles[0].letter == 'U');
    CHECK(turning.line(4).troubles[0].found == Approx(-0.2));
    CHECK(turning.line(4).troubles[0].wanted == Approx(0.2));
    Program boring(head + "G00 X20. Z1.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.28\nN10 G00 X40.\nG01 Z-25.\n"
                          "N20 X20.\n");
    REQUIRE(boring.line(4).troubles.size() == 1);
    CHECK(boring.line(4).troubles[0].found == Approx(0.2));
    CHECK(boring.line(4).troubles[0].wanted == Approx(-0.2));
    Program facing(head +
                   "G00 X52. Z1.\nG72 W2. R0.5\nG72 P10 Q20 U0.4 W-0.1 F0.28\nN10 G00 Z-20.\nG01 X30.\n"
                   "N20 Z1.\n");
    REQUIRE(facing.line(4).troubles.size() == 1);
    CHECK(facing.line(4).troubles[0].letter == 'W');
    CHECK(facing.line(4).troubles[0].found == Approx(-0.1));
}
