#include "motion/program.h"

#include <cmath>

using namespace turnwright;
using namespace turnwright::motion;

namespace {
constexpr double pi = std::numbers::pi;
} // namespace

TEST_CASE("A feed move has its length and its time") {
    // T = L / (f n): Tungaloy General Catalogue 2020-2021, page L030.
    Program program(head + "G00 X40. Z2.\nG01 Z-98. F0.2\n");
    const BlockPath& path = program.line(3);
    REQUIRE(path.complete);
    REQUIRE(path.segments.size() == 1);
    CHECK(path.segments[0].length_mm() == Approx(100));
    CHECK(near(path.segments[0].from, at(20, 2)));
    CHECK(program.totals(3).cut_seconds == Approx(100 / (0.2 * 1000) * 60));
}

TEST_CASE("Both axes of a rapid move at once, each at its own rate") {
    Program program(head + "G00 X100. Z100.\nX40. Z80.\nX20.\n");
    // 30 mm in X at 6000 takes 0.3 s, 20 mm in Z at 12000 takes 0.1 s: the longer counts.
    CHECK(program.totals(3).rapid_seconds == Approx(0.3));
    CHECK(program.totals(4).rapid_seconds == Approx(0.1));
    SECTION("only the rate of an axis that moves is needed") {
        shop::Shop shop = test_shop();
        shop.machines.front().rapid_z_mm_per_min.reset();
        Program without(head + "G00 X100. Z100.\nX40. Z80.\nX20.\n", shop);
        CHECK(without.totals(3).blocks_without_time == 1);
        CHECK(without.totals(4).blocks_without_time == 0);
    }
}

TEST_CASE("Inch programs come out in millimetres") {
    Program program("G20 G97 G99 S1000 M03\nG00 X1. Z.1\nG01 Z-.9 F.01\n");
    REQUIRE(program.line(3).segments.size() == 1);
    CHECK(program.line(3).segments[0].length_mm() == Approx(25.4));
    CHECK(program.totals(3).cut_seconds == Approx(1 / (0.01 * 1000) * 60));
}

TEST_CASE("Without a unit nothing is measured") {
    Program program("G97 G99 S1000 M03\nG00 X40. Z2.\nG01 Z-98. F0.2\n");
    CHECK_FALSE(program.line(3).complete);
    CHECK(program.line(3).why == machine::Why::units_unknown);
    CHECK(program.line(3).segments.empty());
    CHECK(program.totals(3).blocks_without_time == 1);
}

TEST_CASE("A move from an unknown place has no segment") {
    Program program(head + "G01 Z-10. F0.2\n");
    CHECK_FALSE(program.line(2).complete);
    CHECK(program.line(2).why == machine::Why::never_set);
}

TEST_CASE("G02 turns clockwise seen with Z to the right and X up") {
    // A ball end turned from the centre outward is G03, a fillet running up to a shoulder is G02.
    Program program(head + "G00 X0 Z0\nG03 X20. Z-10. I0 K-10. F0.1\nG01 Z-20.\n"
                           "G02 X30. Z-25. R5.\n");
    const Segment& ball = program.line(3).segments.at(0);
    CHECK(ball.is_arc);
    CHECK(near(ball.centre, at(0, -10)));
    CHECK(ball.sweep == Approx(pi / 2));
    const Segment& fillet = program.line(5).segments.at(0);
    CHECK(near(fillet.centre, at(15, -20)));
    CHECK(fillet.sweep == Approx(-pi / 2));
}

TEST_CASE("A radius word chooses the short way when positive and the long way when negative") {
    Program program(head + "G00 X0 Z0\nG02 X0 Z10. R10. F0.1\nG00 X0 Z0\nG02 X0 Z10. R-10.\n"
                           "G00 X0 Z0\nG02 X0 Z10. R4.\nG00 X0 Z0\nG02 X0 Z10. R5.\n"
                           "G00 X0 Z0\nG02 X0 Z10. R0\n");
    // Exact; the arc of facts of the trade: from (0,0) to (10,0), R 10.
    CHECK(program.line(3).segments.at(0).sweep == Approx(-pi / 3));
    CHECK(program.line(3).segments.at(0).length_mm() == Approx(10.471976));
    CHECK(program.line(5).segments.at(0).sweep == Approx(-5 * pi / 3));
    CHECK(program.line(5).segments.at(0).length_mm() == Approx(52.359878));
    CHECK(program.has(7, Trouble::arc_radius_too_small));
    CHECK(program.line(9).troubles.empty());
    CHECK(program.line(9).segments.at(0).length_mm() == Approx(15.707963));
    CHECK(program.has(11, Trouble::zero_radius));
}

TEST_CASE("A full circle has its centre and comes back") {
    Program program(head + "G00 X40. Z0\nG02 X40. Z0 I0 K-5. F0.1\n");
    CHECK(program.line(3).segments.at(0).length_mm() == Approx(2 * pi * 5));
}

TEST_CASE("An arc whose end is off its circle is told with both radii") {
    std::string text = head + "G00 X0 Z0\nG03 X20.1 Z-10. I0 K-10. F0.1\n";
    Program program(text);
    REQUIRE(program.has(3, Trouble::arc_radius_mismatch));
    CHECK(program.line(3).troubles[0].found == Approx(10.05));
    CHECK(program.line(3).troubles[0].wanted == Approx(10));
    SECTION("the shop file says what the control lets pass") {
        shop::Shop shop = test_shop();
        shop.machines.front().arc_tolerance_mm = 0.1;
        CHECK(Program(text, shop).line(3).troubles.empty());
    }
    SECTION("rounding to three places is no trouble") {
        // 33.333 on diameter at 15 degrees: X and Z cut off at 0.001.
        Program rounded(head + "G00 X0 Z0\nG03 X5.176 Z-0.340 I0 K-9.998 F0.1\n");
        CHECK(rounded.line(3).troubles.empty());
    }
}

TEST_CASE("An arc with no centre and no radius is told, and the next move goes on") {
    Program program(head + "G00 X0 Z0\nG02 X10. Z-5. F0.1\nG01 Z-10.\n");
    CHECK(program.has(3, Trouble::arc_without_centre));
    CHECK(program.line(4).complete);
    CHECK(program.line(4).segments.at(0).length_mm() == Approx(5));
}

TEST_CASE("An arc outside the turning plane is not drawn as if it were in it") {
    Program program(std::string("G17 ") + head + "G00 X0 Z0\nG02 X10. Y5. I5. J0 F0.1\n");
    CHECK_FALSE(program.line(3).complete);
}

TEST_CASE("Dwell is P in milliseconds and X or U in seconds") {
    Program program(head + "G04 P1500\nG04 X2.\nG04 U.5\nG04\n");
    CHECK(program.totals(2).dwell_seconds == Approx(1.5));
    CHECK(program.totals(3).dwell_seconds == Approx(2));
    CHECK(program.totals(4).dwell_seconds == Approx(0.5));
    CHECK(program.has(5, Trouble::missing_word));
}

TEST_CASE("An angle word gives the other coordinate") {
    // 30 degrees up from plus Z toward minus Z is 150; from X20 to X40 that is 10 / tan 30 back in Z.
    Program program(head + "G00 X20. Z0\nG01 X40. A150. F0.1\nG00 X20. Z0\nG01 Z-10. ,A150.\n");
    CHECK(near(program.line(3).segments.at(0).to, at(20, -10 / std::tan(pi / 6))));
    CHECK(near(program.line(5).segments.at(0).to, at(10 + 10 * std::tan(pi / 6), -10)));
}

TEST_CASE("A chamfer and a rounding are cut off the two moves beside them") {
    Program program(head + "G00 X20. Z0\nG01 Z-10. ,C1. F0.1\nX40. ,R2.\nZ-30.\n");
    const BlockPath& along = program.line(3);
    REQUIRE(along.segments.size() == 2);
    CHECK(near(along.segments[0].to, at(10, -9)));
    CHECK(near(along.segments[1].to, at(11, -10)));
    const BlockPath& up = program.line(4);
    REQUIRE(up.segments.size() == 2);
    CHECK(near(up.segments[0].from, at(11, -10)));
    CHECK(near(up.segments[0].to, at(18, -10)));
    REQUIRE(up.segments[1].is_arc);
    CHECK(near(up.segments[1].centre, at(18, -12)));
    CHECK(std::abs(up.segments[1].sweep) == Approx(pi / 2));
    CHECK(up.segments[1].sweep > 0); // an outer corner on the way out and back is counter-clockwise
    CHECK(near(program.line(5).segments.at(0).from, at(20, -12)));
}

TEST_CASE("The plain chamfer and rounding words read like those behind a comma") {
    Program program(head + "G00 X20. Z0\nG01 Z-10. R2. F0.1\nX40. K-1.\nZ-30.\n");
    CHECK(near(program.line(3).segments.at(0).to, at(10, -8)));
    CHECK(near(program.line(4).segments.at(0).from, at(12, -10)));
    REQUIRE(program.line(4).segments.size() == 2);
    CHECK(near(program.line(4).segments[1].to, at(20, -11)));
    SECTION("a sign against the next move is told") {
        Program wrong(head + "G00 X20. Z0\nG01 Z-10. R-2. F0.1\nX40.\n");
        CHECK(wrong.has(3, Trouble::corner_does_not_fit));
    }
    SECTION("C is a chamfer where the spindle turns, and an axis where it does not") {
        Program chamfer(head + "G00 X20. Z0\nG01 Z-10. C1. F0.1\nX40.\n");
        CHECK(chamfer.line(3).complete);
        CHECK(near(chamfer.line(3).segments.at(0).to, at(10, -9)));
        Program axis("G21 G97 G98 M05\nG00 X20. Z0 C0\nG01 Z-10. C90. F100.\n");
        CHECK_FALSE(axis.line(3).complete);
    }
}

TEST_CASE("A corner between a line and an arc touches both") {
    // Z along radius 20, then out on an arc that starts straight up: the rounding's centre is 1 mm from the
    // line and 1 mm off the arc.
    Program program(head + "G00 X40. Z0\nG01 Z-10. ,R1. F0.1\nG03 X60. Z-20. R10.\n");
    const BlockPath& path = program.line(3);
    REQUIRE(path.segments.size() == 2);
    Point centre = path.segments[1].centre;
    CHECK(centre.x_radius_mm == Approx(21));
    const Segment& arc = program.line(4).segments.at(0);
    double from_arc = std::hypot(centre.x_radius_mm - arc.centre.x_radius_mm, centre.z_mm - arc.centre.z_mm);
    CHECK(std::abs(from_arc - 10) == Approx(1));
    CHECK(near(path.segments[1].to, arc.from));
}

TEST_CASE("A corner that does not fit is told with the room there is") {
    Program program(head + "G00 X20. Z0\nG01 Z-10. ,C6. F0.1\nX30.\nG01 Z-20. ,R1.\nG00 X50.\n");
    REQUIRE(program.has(3, Trouble::corner_does_not_fit));
    CHECK(program.line(3).troubles[0].found == Approx(6));
    CHECK(program.line(3).troubles[0].wanted == Approx(5));
    CHECK(program.has(5, Trouble::corner_does_not_fit));
}

TEST_CASE("A threading move takes lead times turns along its longer axis") {
    Program program(head + "G00 X20. Z5.\nG32 Z-25. F1.5\nG32 X24. Z-45. F2.\n");
    const Segment& thread = program.line(3).segments.at(0);
    CHECK(thread.kind == SegmentKind::thread);
    CHECK(thread.lead_mm == Approx(1.5));
    CHECK(program.totals(3).cut_seconds == Approx(30 / 1.5 / 1000 * 60));
    CHECK(program.totals(4).cut_seconds == Approx(20 / 2.0 / 1000 * 60));
    SECTION("no lead, a zero lead") {
        Program none("G21 G97 S1000 M03\nG00 X20. Z5.\nG32 Z-25.\nG32 Z-30. F0\n");
        CHECK(none.has(3, Trouble::no_lead));
        CHECK(none.has(4, Trouble::zero_lead));
    }
    SECTION("by the minute the lead of the thread above goes on, and no feed is one") {
        Program minute(
            "G21 G97 G98 S1000 M03\nG00 X20. Z5.\nG32 Z-25. F1.5\nG00 Z5.\nG32 Z-25.\nG00 X24. Z5.\n"
            "G92 X19. Z-20. R-.5 F1.814\nX18.6\nG01 X30. F150.\nG32 Z-30.\n");
        CHECK(minute.line(5).segments.at(0).lead_mm == Approx(1.5));
        CHECK(minute.line(8).segments.at(1).lead_mm == Approx(1.814));
        CHECK_FALSE(minute.line(10).complete);
    }
    SECTION("a lead that grows every turn") {
        // 10 turns from lead 1, 0.2 more each turn: 10 x 1 + 0.2 x 100 / 2 = 20 mm (common practice, no
        // source).
        Program growing(head + "G00 X20. Z0\nG34 Z-20. F1. K0.2\n");
        CHECK(growing.totals(3).cut_seconds == Approx(10.0 / 1000 * 60));
    }
}

TEST_CASE("Facing under surface speed is timed exactly and split at the speed limit") {
    // Facing time form and split: Tungaloy page L030; numbers exact.
    shop::Shop shop = test_shop();
    Program program("G21 G99 M03\nG50 S3000\nG96 S200\nG00 X100. Z0\nG01 X0 F0.2\n", shop);
    CHECK(program.totals(5).cut_seconds == Approx(12.31149).epsilon(1e-6));
    Spindle spindle;
    spindle.surface_speed = true;
    spindle.surface_m_per_min = 200;
    spindle.limit_rpm = 3000;
    CHECK(*rpm_at(spindle, 50) == Approx(636.6198));
    CHECK(*rpm_at(spindle, 1) == Approx(3000));
    CHECK(*rpm_at(spindle, 0) == Approx(3000));
    SECTION("the machine's own limit counts where it is lower") {
        shop.machines.front().max_rpm = 2000;
        Program lower("G21 G99 M03\nG50 S3000\nG96 S200\nG00 X100. Z0\nG01 X0 F0.2\n", shop);
        CHECK(lower.totals(5).cut_seconds > 12.4);
    }
    SECTION("no limit anywhere: the least it can take, and no rpm at the centre") {
        Program none("G21 G99 M03\nG96 S200\nG00 X100. Z0\nG01 X0 F0.2\n", shop);
        CHECK(none.totals(4).cut_seconds == Approx(0.1963495 * 60).epsilon(1e-6));
        spindle.limit_rpm.reset();
        spindle.limit_surely_missing = true;
        CHECK_FALSE(rpm_at(spindle, 0));
        CHECK(rpm_at(spindle, 50));
    }
}

TEST_CASE("Past the centre the spindle is asked for the same speeds again") {
    Program program("G21 G99 M03\nG50 S3000\nG96 S200\nG00 X10. Z0\nG01 X-10. F0.2\nX0\n");
    CHECK(program.totals(5).cut_seconds == Approx(2 * program.totals(6).cut_seconds));
}

TEST_CASE("A feed with the spindle stopped has no time") {
    Program program("G21 G97 G99 S1000 M05\nG00 X40. Z2.\nG01 Z-98. F0.2\n");
    CHECK(program.totals(3).blocks_without_time == 1);
}

TEST_CASE("A reference return shows the way to its point and says that the rest is not known") {
    Program program(head + "G00 X40. Z2.\nG28 U10. W5.\nG00 X10.\n");
    const BlockPath& path = program.line(3);
    CHECK_FALSE(path.complete);
    CHECK(path.why == machine::Why::at_reference);
    CHECK(near(path.segments.at(0).to, at(25, 7)));
    CHECK_FALSE(program.line(4).complete);
}

TEST_CASE("Tool change and spindle ramp come from the shop file") {
    shop::Shop shop = test_shop();
    shop.machines.front().tool_change_seconds = 2;
    shop.machines.front().spindle_ramp_rpm_per_second = 500;
    Program program("G21 G97\nT0101\nS1000 M03\nS1500\nM05\nT0102\n", shop);
    CHECK(program.totals(2).change_seconds == Approx(2));
    CHECK(program.totals(3).change_seconds == Approx(2));
    CHECK(program.totals(4).change_seconds == Approx(1));
    CHECK(program.totals(5).change_seconds == Approx(3));
    CHECK(program.totals(6).change_seconds == Approx(0)); // another offset turns no turret
}

TEST_CASE("A dwell counts turns under feed per revolution where the shop file says so") {
    // Exact: 2 turns at 300 rpm take 0.4 s.
    shop::Shop with = test_shop();
    with.machines.front().dwell_in_revolutions = true;
    Program program("G21 G97 G99 S300 M03\nG04 X2.\nG04 P2000\nG98\nG04 X2.\nG99 S0\nG04 X2.\n", with);
    CHECK(program.totals(2).dwell_seconds == Approx(0.4));
    CHECK(program.totals(3).dwell_seconds == Approx(0.4));
    CHECK(program.totals(5).dwell_seconds == Approx(2));
    CHECK_FALSE(program.line(7).complete);
    CHECK(Program("G21 G97 G99 S300 M03\nG04 X2.\n").totals(2).dwell_seconds == Approx(2));
}

TEST_CASE("A thread takes its lead from K or I where no F gives it") {
    // ISO 6983-1: G33 with I, the lead parallel to X, and K, parallel to Z.
    for (const codes::System system : {codes::System::B, codes::System::C}) {
        const shop::Shop shop = test_shop(system);
        const std::string begin =
            std::string(system == codes::System::B ? "G21" : "G71") + " G90 G95 G97 S500 M03\nG00 X20. Z5.\n";
        const auto lead = [&](const std::string& block) {
            Program program(begin + block, shop);
            const BlockPath& path = program.line(3);
            return path.segments.empty() ? 0 : path.segments[0].lead_mm;
        };
        CHECK(lead("G33 Z-20. K1.5\n") == Approx(1.5));
        CHECK(lead("G33 X30. I0.5 K1.5\n") == Approx(0.5));
        CHECK(lead("G33 X22. Z-20. I0.1 K2.\n") == Approx(2));
        CHECK(lead("G33 Z-20. F1.25 K1.5\n") == Approx(1.25));
        CHECK(lead("G33 Z-20. I1.5\n") == 0); // Of the other axis: not known
    }
}

TEST_CASE("A rapid by distances alone takes its time from wherever it begins") {
    const auto sums_of = [](const std::string& text) {
        Program program(text);
        program.settings.assumed_way_home_seconds = 1.2;
        program.analysis.rebuild(program.forest, program.settings, nullptr);
        std::vector<Totals> sums;
        program.analysis.visit(0, [&](const machine::BlockView& view) {
            sums.push_back(totals_of(path_of(view, program.analysis), view));
        });
        return sums;
    };
    // 100 mm at 12 m/min: 0.5 s; 40 mm on diameter at 6 m/min on radius: 0.2 s.
    const std::vector<Totals> by_letters = sums_of(head + "G00 W100.\nU40.\n");
    CHECK(by_letters[1].rapid_seconds == Approx(0.5));
    CHECK(by_letters[1].rapid_mm == Approx(100));
    CHECK_FALSE(by_letters[1].about);
    CHECK(by_letters[2].rapid_seconds == Approx(0.2));
    CHECK(by_letters[2].blocks_without_time == 0);
    // To a place it is a way from home.
    const std::vector<Totals> to_place = sums_of(head + "G00 X40. Z100.\n");
    CHECK(to_place[1].rapid_seconds == Approx(1.2));
    CHECK(to_place[1].about);
}

TEST_CASE("A feed by distances alone has its length and its time from wherever it begins") {
    // T = L / (f n): Tungaloy General Catalogue 2020-2021, page L030. 30 mm at 0.2 and 1000 rpm: 9 s.
    Program by_letters(head + "G01 W-30. F0.2\nU4.\n");
    CHECK_FALSE(by_letters.line(2).complete);
    CHECK(by_letters.totals(2).cut_seconds == Approx(9));
    CHECK(by_letters.totals(2).cut_mm == Approx(30));
    CHECK(by_letters.totals(2).blocks_without_time == 0);
    CHECK(by_letters.totals(3).cut_mm == Approx(2));
    // With one place in it the way is not known, and neither is the time under a surface speed.
    Program to_place(head + "G01 U4. Z-30. F0.2\n");
    CHECK(to_place.totals(2).blocks_without_time == 1);
    CHECK(to_place.totals(2).cut_mm == 0);
    Program by_surface("G21 G96 G99 S200 M03\nG01 W-30. F0.2\n");
    CHECK(by_surface.totals(2).blocks_without_time == 1);
    CHECK(by_surface.totals(2).cut_seconds == 0);
}
