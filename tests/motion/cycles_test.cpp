#include "motion/program.h"

#include <algorithm>
#include <cmath>

using namespace turnwright;
using namespace turnwright::motion;

namespace {

/// Least and greatest X of the passes' level cuts, to see where they run.
std::vector<double> levels(const BlockPath& path) {
    std::vector<double> out;
    for (const Segment& pass : with_role(path, SegmentRole::cycle_pass))
        if (pass.from.x_radius_mm == pass.to.x_radius_mm) out.push_back(pass.from.x_radius_mm);
    return out;
}

bool is_chain(const BlockPath& path) {
    for (std::size_t i = 1; i < path.segments.size(); ++i)
        if (!near(path.segments[i - 1].to, path.segments[i].from, 1e-4)) return false;
    return true;
}

const std::string stepped = "N10 G00 X20.\n"
                            "G01 Z-20. F0.1\n"
                            "X30. Z-30.\n"
                            "Z-40.\n"
                            "N20 X42.\n";

} // namespace

TEST_CASE("Rough turning steps down by the depth and stops at the contour with its allowance") {
    Program program(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n" + stepped +
                    "G70 P10 Q20\n");
    CHECK(program.line(3).segments.empty()); // the first line only stores
    const BlockPath& path = program.line(4);
    REQUIRE(path.complete);
    REQUIRE(path.troubles.empty());
    CHECK(is_chain(path));
    CHECK(near(path.segments.front().from, at(21, 2)));
    CHECK(near(path.segments.back().to, at(21, 2)));
    // Steps of 2 from X 21, moved by the allowance of 0.2 on radius; the contour's smallest radius is 10.
    auto cut = levels(path);
    REQUIRE(cut.size() >= 5);
    CHECK(cut[0] == Approx(19.2));
    CHECK(cut[1] == Approx(17.2));
    CHECK(cut[4] == Approx(11.2));
    // At X 17.2 the shoulder at Z-40 stops it, 0.1 in front; at 13.2 the taper (X 13 at Z-26) does.
    auto passes = with_role(path, SegmentRole::cycle_pass);
    CHECK(passes[1].to.z_mm == Approx(-39.9));
    CHECK(passes[3].to.z_mm == Approx(-25.9));
    // Retract at 45 degrees by R.
    auto retracts = with_role(path, SegmentRole::cycle_retract);
    CHECK(near(retracts[1].to, at(17.7, -39.4)));
    // The last cut follows the contour, shifted.
    CHECK(near(passes.back().to, at(21.2, -39.9)));
    for (const Segment& pass : passes) CHECK(*pass.feed.mm == 0.25);
    CHECK(path.monotonic_x);
    CHECK(path.monotonic_z);
    SECTION("and the finish follows the contour itself at the contour's feed") {
        const BlockPath& finish = program.line(10);
        auto cuts = with_role(finish, SegmentRole::finish);
        REQUIRE(cuts.size() == 4);
        CHECK(near(cuts[0].from, at(10, 2)));
        CHECK(near(cuts[0].to, at(10, -20)));
        CHECK(near(cuts[3].to, at(21, -40)));
        CHECK(*cuts[0].feed.mm == 0.1);
        CHECK(near(finish.segments.back().to, at(21, 2)));
    }
    SECTION("blocks of the contour take no time in passing") {
        CHECK(program.totals(6).cut_seconds == 0);
        CHECK(program.totals(4).cut_seconds > 0);
    }
}

TEST_CASE("The one-line form roughs as the form of two lines does") {
    Program two(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n" + stepped);
    Program one(head + "G00 X42. Z2.\n(one line)\nG71 P10 Q20 U0.4 W0.1 D2000 R0.5 F0.25\n" + stepped);
    REQUIRE(one.line(4).segments.size() == two.line(4).segments.size());
    for (std::size_t i = 0; i < one.line(4).segments.size(); ++i)
        CHECK(near(one.line(4).segments[i].to, two.line(4).segments[i].to));
}

TEST_CASE("The first line of a cycle holds for the cycles of other tools below") {
    const std::string both = "G71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n",
                      second = "G71 P10 Q20 U0.4 W0.1 F0.25\n";
    const std::string way = "G00 X100. Z50.\nT0505\n" + std::string(30, '\n') + "G00 X42. Z2.\n";
    Program program(head + "G00 X42. Z2.\n" + both + stepped + way + second);
    const std::string text = head + "G00 X42. Z2.\n" + both + stepped + way;
    const auto line = 1 + static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
    REQUIRE(program.line(line).complete);
    CHECK(program.line(line).segments.size() == program.line(4).segments.size());
    // Where none stands above, the depth is what the control holds; nor does the line of another cycle tell
    // it.
    CHECK_FALSE(Program(head + "G00 X42. Z2.\n(alone)\n" + second + stepped).line(4).complete);
    CHECK_FALSE(Program(head + "G00 X42. Z2.\nG72 W2. R0.5\n" + second + stepped).line(4).complete);
}

TEST_CASE("Systems A, B and C rough alike by their own numbers") {
    Program a(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n" + stepped);
    Program b("G21 G97 G95 G90 S1000 M03\nG00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n" +
                  stepped,
              test_shop(codes::System::B));
    Program c("G71 G97 G95 G90 S1000 M03\nG00 X42. Z2.\nG73 U2. R0.5\nG73 P10 Q20 U0.4 W0.1 F0.25\n" +
                  stepped,
              test_shop(codes::System::C));
    for (const Program* other : {&b, &c}) {
        REQUIRE(other->line(4).segments.size() == a.line(4).segments.size());
        for (std::size_t i = 0; i < a.line(4).segments.size(); ++i)
            CHECK(near(other->line(4).segments[i].to, a.line(4).segments[i].to));
    }
}

TEST_CASE("A bore is roughed outward, with a negative allowance in X") {
    const std::string bore = "N10 G00 X40.\nG01 Z-20. F0.1\nX30.\nZ-40.\nN20 X20.\n";
    Program program(head + "G00 X20. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U-0.4 W0.1 F0.25\n" + bore);
    const BlockPath& path = program.line(4);
    REQUIRE(path.troubles.empty());
    auto cut = levels(path);
    CHECK(cut[0] == Approx(11.8));
    CHECK(cut[1] == Approx(13.8));
    CHECK(*std::max_element(cut.begin(), cut.end()) == Approx(19.8)); // the contour's own, with allowance
    auto retracts = with_role(path, SegmentRole::cycle_retract);
    CHECK(retracts[0].to.x_radius_mm == Approx(11.3)); // toward the centre
    SECTION("the sign of a shaft would cut into the finished bore") {
        Program wrong(head + "G00 X20. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n" + bore);
        CHECK(wrong.has(4, Trouble::allowance_sign));
    }
}

TEST_CASE("Rough facing is rough turning with the axes changed over") {
    const std::string contour = "N10 G00 Z-20.\nG01 X40. F0.1\nX30. Z-10.\nX20.\nN20 Z2.\n";
    Program program(head + "G00 X62. Z2.\nG72 W2. R0.5\nG72 P10 Q20 U0.4 W0.2 F0.25\n" + contour);
    const BlockPath& path = program.line(4);
    REQUIRE(path.troubles.empty());
    CHECK(is_chain(path));
    auto passes = with_role(path, SegmentRole::cycle_pass);
    CHECK(passes[0].from.z_mm == Approx(0.2));
    CHECK(passes[0].to.z_mm == Approx(0.2));
    CHECK(passes[0].to.x_radius_mm == Approx(10.2));
    // Level Z-12 meets the taper from (X 15, Z-10) to (X 20, Z-20) at X 16.
    CHECK(passes[6].from.z_mm == Approx(-11.8));
    CHECK(passes[6].to.x_radius_mm == Approx(16.2));
}

TEST_CASE("A contour that falls back needs both axes in its first block") {
    const std::string pocket = "G01 Z-10. F0.1\nX20. Z-15.\nZ-25.\nX30. Z-30.\nN20 Z-40.\n";
    Program wrong(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\nN10 G00 X30.\n" + pocket);
    CHECK(wrong.has(4, Trouble::contour_not_monotonic));
    CHECK_FALSE(wrong.line(4).monotonic_x);
    CHECK(wrong.line(4).monotonic_z);
    Program right(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0. F0.25\nN10 G00 X30. Z2.\n" +
                  pocket);
    REQUIRE(right.line(4).troubles.empty());
    CHECK(is_chain(right.line(4)));
    // Levels go down into the pocket, between its walls.
    bool in_pocket = false;
    for (const Segment& pass : with_role(right.line(4), SegmentRole::cycle_pass)) {
        if (pass.from.x_radius_mm != pass.to.x_radius_mm || pass.from.x_radius_mm > 14) continue;
        in_pocket = true;
        CHECK(pass.from.z_mm <= -10);
        CHECK(pass.to.z_mm >= -30);
    }
    CHECK(in_pocket);
}

TEST_CASE("No roughing pass goes below the contour with its allowance") {
    const std::string curved =
        "N10 G00 X10.\nG01 Z-5. F0.1\nG02 X20. Z-10. R5.\nG01 X26.\nG03 X36. Z-15. R5.\n"
        "G01 Z-30.\nN20 X50.\n";
    Program program(head + "G00 X50. Z2.\nG71 U1.5 R0.5\nG71 P10 Q20 U0.6 W0. F0.25\n" + curved);
    REQUIRE(program.line(4).troubles.empty());
    for (const Segment& pass : with_role(program.line(4), SegmentRole::cycle_pass)) {
        if (pass.from.x_radius_mm != pass.to.x_radius_mm) continue;
        double x = pass.to.x_radius_mm - 0.3, z = pass.to.z_mm;
        // The fillet: a circle about X 10, Z-5 shifted: points on it are 5 from (X 10, Z-5).
        if (x > 5.01 && x < 9.99) CHECK(std::hypot(x - 10, z + 5) == Approx(5));
        if (x > 13.01 && x < 17.99) CHECK(std::hypot(x - 13, z + 15) == Approx(5));
    }
}

TEST_CASE("A repeated contour comes nearer in equal steps") {
    Program program(head + "G00 X60. Z5.\nG73 U4. W3. R3\nG73 P10 Q20 U0.6 W0.2 F0.3\n" + stepped);
    const BlockPath& path = program.line(4);
    REQUIRE(path.troubles.empty());
    auto passes = with_role(path, SegmentRole::cycle_pass);
    REQUIRE(passes.size() == 12);
    CHECK(near(passes[0].to, at(10 + 0.3 + 4, -20 + 0.2 + 3)));
    CHECK(near(passes[4].to, at(10 + 0.3 + 2, -20 + 0.2 + 1.5)));
    CHECK(near(passes[8].to, at(10 + 0.3, -20 + 0.2)));
    CHECK(near(path.segments.back().to, at(30, 5)));
    Program one(head + "G00 X60. Z5.\n(one line)\nG73 P10 Q20 I4. K3. U0.6 W0.2 D3 F0.3\n" + stepped);
    CHECK(one.line(4).segments.size() == path.segments.size());
}

TEST_CASE("a cycle of more moves than can be kept is cut short and says so") {
    std::string contour = "N10 G00 X20.\n";
    for (int i = 1; i <= 4000; ++i)
        contour += "G01 X" + std::to_string(20 + i % 2) + ". Z-" + std::to_string(i) + ". F0.1\n";
    contour += "N20 X42.\n";
    Program program(head + "G00 X60. Z5.\nG73 U4. W3. R9999\nG73 P10 Q20 U0.6 W0.2 F0.3\n" + contour);
    const BlockPath& path = program.line(4);
    CHECK_FALSE(path.complete);
    CHECK(path.why == machine::Why::cut_short);
    CHECK(path.segments.size() > 50'000);
    CHECK(path.segments.size() < 110'000);
    Program short_one(head + "G00 X60. Z5.\nG73 U4. W3. R20\nG73 P10 Q20 U0.6 W0.2 F0.3\n" + contour);
    CHECK(short_one.line(4).complete);
}

TEST_CASE("Trouble with a contour is told at the cycle, and the program goes on") {
    const std::string call = head + "G00 X42. Z2.\nG71 U2. R0.5\n";
    CHECK(Program(call + "G71 P10 Q20 U0.4 F0.25\nG00 X50.\n").has(4, Trouble::contour_missing));
    CHECK(Program(call + "G71 P20 Q10 U0.4 F0.25\n" + stepped).has(4, Trouble::contour_missing));
    CHECK(Program(call + "G71 P10 U0.4 F0.25\n" + stepped).has(4, Trouble::missing_word));
    CHECK(Program(call + "G71 P10 Q20 U0.4 F0.25\nN10 G01 Z-5.\nN20 M08\n")
              .has(4, Trouble::contour_starts_wrong));
    CHECK(Program(call + "G71 P10 Q20 U0.4 F0.25\nN10 G00 X20. Z2.\nG01 Z-20.\nX30.\nZ-10.\nN20 X10.\n")
              .has(4, Trouble::contour_crosses_itself));
    CHECK(Program(head + "G00 X42. Z2.\nG71 U0. R0.5\nG71 P10 Q20 U0.4 F0.25\n" + stepped)
              .has(4, Trouble::zero_depth));
    Program many(head + "G00 X42. Z2.\nG71 U.001 R0.5\nG71 P10 Q20 U0.4 F0.25\n" + stepped);
    CHECK(many.has(4, Trouble::too_many_passes));
    Program missing(call + "G71 P10 Q20 U0.4 F0.25\nG00 X50.\n");
    CHECK(missing.line(5).complete);
}

TEST_CASE("Without its first line a roughing cycle's depth is not known") {
    Program program(head + "G00 X42. Z2.\nG71 P10 Q20 U0.4 W0.1 F0.25\n" + stepped);
    CHECK_FALSE(program.line(3).complete);
    CHECK(program.line(3).troubles.empty());
}

TEST_CASE("Thread passes grow shallower with the root of their number") {
    Program program(head + "G00 X34. Z5.\nG76 P021060 Q100 R0.05\nG76 X27.4 Z-30. P1300 Q400 F2.\n");
    const BlockPath& path = program.line(4);
    REQUIRE(path.troubles.empty());
    REQUIRE(path.complete);
    CHECK(is_chain(path));
    auto passes = with_role(path, SegmentRole::cycle_pass);
    std::vector<double> depths;
    for (const Segment& pass : passes) depths.push_back(13.7 + 1.3 - pass.from.x_radius_mm);
    REQUIRE(depths.size() > 5);
    CHECK(depths[0] == Approx(0.4));
    CHECK(depths[1] == Approx(0.4 * std::sqrt(2.0)));
    CHECK(depths[3] == Approx(0.8));
    // 0.4 sqrt(n): the step falls below 0.1 at n = 5 (0.0944), so from there it is 0.1.
    CHECK(depths[4] == Approx(0.9));
    CHECK(depths[5] == Approx(1.0));
    // Rough down to 1.25, then two passes at full depth.
    REQUIRE(depths.size() == 11);
    CHECK(depths[8] == Approx(1.25));
    CHECK(depths[9] == Approx(1.3));
    CHECK(depths[10] == Approx(1.3));
    // Run-out: one lead at 45 degrees; infeed along a flank of 60 degrees.
    CHECK(passes[0].to.z_mm == Approx(-28));
    CHECK(passes[0].from.z_mm == Approx(5 - 0.4 * std::tan(30 * std::numbers::pi / 180)));
    CHECK(passes[0].kind == SegmentKind::thread);
    CHECK(passes[0].lead_mm == 2);
}

TEST_CASE("The one-line threading cycle needs height, depth and lead") {
    Program program(head + "G00 X34. Z5.\nG76 X27.4 Z-30. K1.3 D400 A60. F2.\nG76 X27.4 Z-30. K1.3 F2.\n");
    auto passes = with_role(program.line(3), SegmentRole::cycle_pass);
    // 0.4 sqrt(n) reaches 1.3 at n = 11.
    CHECK(passes.size() == 11);
    CHECK(passes.back().from.x_radius_mm == Approx(13.7));
    CHECK(program.has(4, Trouble::missing_word));
}

TEST_CASE("A taper thread starts nearer the axis, and a lead is needed") {
    Program program(head + "G00 X34. Z5.\nG76 P010060 Q100 R0.05\nG76 X27.4 Z-30. R-1. P1300 Q400 F2.\n"
                           "G76 X27.4 Z-30. P1300 Q400 F0\n");
    auto passes = with_role(program.line(4), SegmentRole::cycle_pass);
    CHECK(passes.back().from.x_radius_mm == Approx(12.7));
    CHECK(passes.back().to.x_radius_mm == Approx(13.7));
    CHECK(program.has(5, Trouble::zero_lead));
}

TEST_CASE("A thread tool that starts below the crest is told") {
    Program program(head + "G00 X28. Z5.\nG76 P010060 Q100 R0.05\nG76 X27.4 Z-30. P1300 Q400 F2.\n");
    CHECK(program.has(4, Trouble::pass_outside_contour));
}

TEST_CASE("Single cycles go in, cut, come out and return, and repeat with what they had") {
    Program program(
        head + "G00 X52. Z2.\nG90 X48. Z-30. F0.2\nX44.\nG94 X20. Z-1. F0.15\nG92 X40. Z-20. R-1. F1.5\n");
    const BlockPath& turning = program.line(3);
    REQUIRE(turning.segments.size() == 4);
    CHECK(near(turning.segments[0].to, at(24, 2)));
    CHECK(near(turning.segments[1].to, at(24, -30)));
    CHECK(near(turning.segments[2].to, at(26, -30)));
    CHECK(near(turning.segments[3].to, at(26, 2)));
    CHECK(turning.segments[2].kind == SegmentKind::feed);
    CHECK(near(program.line(4).segments.at(1).to, at(22, -30)));
    const BlockPath& facing = program.line(5);
    CHECK(near(facing.segments.at(0).to, at(26, -1)));
    CHECK(near(facing.segments.at(1).to, at(10, -1)));
    CHECK(near(facing.segments.at(2).to, at(10, 2)));
    const BlockPath& threading = program.line(6);
    CHECK(near(threading.segments.at(0).to, at(19, 2)));
    CHECK(near(threading.segments.at(1).to, at(20, -20)));
    CHECK(threading.segments.at(1).lead_mm == 1.5);
    SECTION("system C writes them with other numbers") {
        Program c("G71 G97 G95 G90 S1000 M03\nG00 X52. Z2.\nG20 X48. Z-30. F0.2\nX44.\nG24 X20. Z-1. F0.15\n"
                  "G21 X40. Z-20. R-1. F1.5\n",
                  test_shop(codes::System::C));
        for (std::size_t number = 3; number <= 6; ++number) {
            REQUIRE(c.line(number).segments.size() == program.line(number).segments.size());
            for (std::size_t i = 0; i < c.line(number).segments.size(); ++i)
                CHECK(near(c.line(number).segments[i].to, program.line(number).segments[i].to));
        }
    }
}

TEST_CASE("Face pecks go down by Q with a retract, column by column") {
    Program program(head + "G00 X0 Z2.\nG74 R0.5\nG74 Z-20. Q5000 F0.1\nG00 X40.\nG74 R0.5\n"
                           "G74 X30. Z-3. P2000 Q1000 F0.08\n");
    const BlockPath& hole = program.line(4);
    auto pecks = with_role(hole, SegmentRole::cycle_pass);
    REQUIRE(pecks.size() == 5);
    CHECK(pecks[0].to.z_mm == Approx(-3));
    CHECK(pecks[1].from.z_mm == Approx(-2.5));
    CHECK(pecks[4].to.z_mm == Approx(-20));
    CHECK(near(hole.segments.back().to, at(0, 2)));
    const BlockPath& groove = program.line(7);
    auto cuts = with_role(groove, SegmentRole::cycle_pass);
    REQUIRE(cuts.size() == 20); // four columns at X 40, 36, 32, 30, five pecks each
    CHECK(cuts[0].to.x_radius_mm == Approx(20));
    CHECK(cuts[19].to.x_radius_mm == Approx(15));
    CHECK(is_chain(groove));
}

TEST_CASE("Side pecks step in Z, and a step must be written where there is a width") {
    Program program(head +
                    "G00 X42. Z-10.\nG75 R0.3\nG75 X30. Z-20. P2000 Q3000 F0.08\nG75 X30. Z-20. P2000 F0.08\n"
                    "G75 X30. P0 F0.08\n");
    auto cuts = with_role(program.line(4), SegmentRole::cycle_pass);
    REQUIRE(cuts.size() == 15); // five columns at Z-10 -13 -16 -19 -20, three pecks each
    CHECK(near(cuts[0].to, at(19, -10)));
    CHECK(near(cuts[14].to, at(15, -20)));
    CHECK(program.has(5, Trouble::missing_word));
    CHECK(program.has(6, Trouble::zero_depth));
}

TEST_CASE("Holes are drilled in pecks from the R level and left by rapid or feed") {
    Program program(head + "G00 X0 Z20.\nG83 Z-18. R-18. Q5000 P500 F0.12\nG80\nG84 Z-10. R-15. F1.5\nG80\n");
    const BlockPath& hole = program.line(3);
    REQUIRE(hole.complete);
    CHECK(is_chain(hole));
    auto pecks = with_role(hole, SegmentRole::cycle_pass);
    REQUIRE(pecks.size() == 4);
    CHECK(pecks[0].from.z_mm == Approx(2));
    CHECK(pecks[0].to.z_mm == Approx(-3));
    CHECK(pecks[3].to.z_mm == Approx(-18));
    CHECK(program.totals(3).dwell_seconds == Approx(0.5));
    CHECK(near(hole.segments.back().to, at(0, 20)));
    const BlockPath& tap = program.line(5);
    auto out = with_role(tap, SegmentRole::cycle_retract);
    REQUIRE(out.size() == 1);
    CHECK(out[0].kind == SegmentKind::feed);
    SECTION("in systems B and C the level is a place, and G99 stays there") {
        Program b("G21 G97 G95 G90 S1000 M03\nG00 X0 Z20.\nG99 G83 Z-18. R2. Q5000 F0.12\n",
                  test_shop(codes::System::B));
        auto b_pecks = with_role(b.line(3), SegmentRole::cycle_pass);
        REQUIRE(b_pecks.size() == 4);
        CHECK(b_pecks[0].from.z_mm == Approx(2));
        CHECK(near(b.line(3).segments.back().to, at(0, 2)));
    }
    SECTION("into the side, along X on radius") {
        Program side("G21 G97 G98 M05\nG00 X60. Z-10.\nG87 X20. R-5. Q4000 F100.\n");
        auto side_pecks = with_role(side.line(3), SegmentRole::cycle_pass);
        REQUIRE(side_pecks.size() == 4);
        CHECK(near(side_pecks[0].from, at(25, -10)));
        CHECK(near(side_pecks[3].to, at(10, -10)));
    }
}

TEST_CASE("A cycle from an unknown place is said to be unknown") {
    Program program(head + "G71 U2. R0.5\nG71 P10 Q20 U0.4 F0.25\n" + stepped +
                    "G76 P010060 Q100 R0.05\n"
                    "G76 X27.4 Z-30. P1300 Q400 F2.\n");
    CHECK_FALSE(program.line(3).complete);
    CHECK(program.line(3).segments.empty());
    CHECK_FALSE(program.line(10).complete);
}

TEST_CASE("What the allowances leave for the finish is told square to the contour") {
    // Cylinder 0.2, face 0.1, and on the taper of 26.565 degrees 0.2 cos + 0.1 sin.
    Program program(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\n" + stepped);
    CHECK(*program.line(4).least_left_mm == Approx(0.1));
    CHECK(*program.line(4).most_left_mm == Approx((0.2 * 2 + 0.1 * 1) / std::sqrt(5.0)));
    SECTION("in a bore too") {
        const std::string bore = "N10 G00 X40.\nG01 Z-20. F0.1\nX30.\nZ-40.\nN20 X20.\n";
        Program inside(head + "G00 X20. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U-0.4 W0.1 F0.25\n" + bore);
        CHECK(*inside.line(4).least_left_mm == Approx(0.1));
        CHECK(*inside.line(4).most_left_mm == Approx(0.2));
    }
    SECTION("and in facing") {
        const std::string face = "N10 G00 Z-20.\nG01 X40. F0.1\nZ-10.\nX20.\nN20 Z2.\n";
        Program facing(head + "G00 X62. Z2.\nG72 W2. R0.5\nG72 P10 Q20 U0.4 W0.3 F0.25\n" + face);
        CHECK(*facing.line(4).least_left_mm == Approx(0.2));
        CHECK(*facing.line(4).most_left_mm == Approx(0.3));
    }
    SECTION("an allowance in Z eats into a wall that falls toward the chuck") {
        Program pocket(head + "G00 X42. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.3 F0.25\nN10 G00 X30. Z2.\n"
                              "G01 Z-10. F0.1\nX20.\nZ-20.\nX30.\nN20 Z-40.\n");
        CHECK(*pocket.line(4).least_left_mm == Approx(-0.3));
    }
}

TEST_CASE("Numbers that overflow leave a block open and hang nothing") {
    std::string grow = head + "G00 X42. Z2.\n#1=999999999.\n";
    for (int i = 0; i < 8; ++i) grow += "#1=#1*#1\n"; // past the greatest double, so infinite
    grow += "#2=#1-#1\n";
    Program program(grow + "G71 U#2 R0.5\nG71 P10 Q20 U#1 W#2 F0.25\nN10 G00 X20.\nG01 Z-20.\nN20 X#1\n"
                           "G75 R0.3\nG75 X#1 P#2 Q3000 F0.08\nG83 Z#2 Q#2 F0.1\nG80\nG02 X10. Z-5. R#1\n"
                           "G76 P010060 Q100 R#2\nG76 X#2 Z-30. P#1 Q#2 F#1\nG01 X10. Z5. F0.1\n");
    CHECK(program.paths.size() == 26);
}
