// Feeds with C and Y. Lengths in closed form, and again by summing small steps of what the machine's own axes
// do: the radius and the angle of the part. What F counts of a combined move: common practice, no source.
#include "motion/program.h"

#include <cmath>
#include <numbers>

using namespace turnwright;
using namespace turnwright::motion;

namespace {

constexpr double half_turn = std::numbers::pi; ///< As an angle

const TurnedWay& way_of(const Program& program, std::size_t line) {
    REQUIRE(program.line(line).turned);
    return *program.line(line).turned;
}

/// The way over the part of a straight line on the plane of X and C, by radius and angle.
double by_radius_and_angle(double x0, double c0, double x1, double c1) {
    constexpr int steps = 200000;
    double length = 0, r = std::hypot(x0, c0), angle = std::atan2(c0, x0);
    for (int i = 1; i <= steps; ++i) {
        const double t = double(i) / steps, x = x0 + (x1 - x0) * t, c = c0 + (c1 - c0) * t;
        const double next_r = std::hypot(x, c), next = std::atan2(c, x);
        const double turn = std::remainder(next - angle, 2 * half_turn);
        length += std::hypot(next_r - r, (r + next_r) / 2 * turn);
        r = next_r;
        angle = next;
    }
    return length;
}

} // namespace

TEST_CASE("on the plane of X and C a line is as long as the part sees it") {
    // X is a diameter there, too.
    const Program program("G21 G98 G97 S1400 M03\nG00 X80. Z-12. C0.\nG12.1\nG01 X36. C0. F120\nC-10.392\n"
                          "X0. C-20.785\nX-36. C-10.392\nG13.1\n");
    CHECK(way_of(program, 4).length_mm == Approx(22));
    CHECK(way_of(program, 5).length_mm == Approx(10.392));
    CHECK(*way_of(program, 5).seconds == Approx(10.392 / 120 * 60));
    CHECK_FALSE(way_of(program, 5).by_usual_reading);
    const double edge = by_radius_and_angle(18, -10.392, 0, -20.785);
    CHECK(way_of(program, 6).length_mm == Approx(std::hypot(18, 10.393)));
    CHECK(way_of(program, 6).length_mm == Approx(edge).epsilon(1e-6));
    // From one corner of a hexagon to the next the part turns a sixth.
    CHECK(way_of(program, 6).degrees == Approx(60).margin(0.01));
    CHECK(program.totals(6).cut_seconds == Approx(edge / 120 * 60).epsilon(1e-6));
    CHECK(program.totals(6).blocks_without_time == 0);
}

TEST_CASE("on the plane of X and C an arc is as long as its angle") {
    const std::string before = "G21 G98 G97 S1400 M03\nG00 X36. Z-2. C0.\nG12.1\nG01 X36. C0. F90\n";
    const Program half(before + "G03 X-36. C0. R18.\n");
    CHECK(way_of(half, 5).length_mm == Approx(half_turn * 18));
    const Program centre(before + "G03 X-36. C0. I-18. J0.\n");
    CHECK(way_of(centre, 5).length_mm == Approx(half_turn * 18));
    CHECK(*way_of(centre, 5).seconds == Approx(half_turn * 18 / 90 * 60));
    const Program quarter(before + "G03 X0. C18. I-18. J0.\n");
    CHECK(way_of(quarter, 5).length_mm == Approx(half_turn * 9));
    const Program three_quarters(before + "G02 X0. C18. I-18. J0.\n");
    CHECK(way_of(three_quarters, 5).length_mm == Approx(half_turn * 27));
    const Program nowhere(before + "G03 X-36. C0. I-5. J0.\n"); // No circle
    CHECK_FALSE(nowhere.line(5).turned);
}

TEST_CASE("on a cylinder a turn is as long as its arc") {
    const Program program("G21 G98 G97 S2400 M03\nG00 Z-20. X76. C0.\nG07.1 C38.\nG01 C60. F200\n"
                          "Z-35. C150.\nG07.1 C0.\nG01 C200. F200\n");
    CHECK(way_of(program, 4).length_mm == Approx(38 * half_turn / 3));
    CHECK(*way_of(program, 4).seconds == Approx(38 * half_turn / 3 / 200 * 60));
    CHECK(way_of(program, 5).length_mm == Approx(std::hypot(15, 38 * half_turn / 2)));
    // Behind it degrees are counted again.
    CHECK(*way_of(program, 7).seconds == Approx(50.0 / 200 * 60));
}

TEST_CASE("a groove round a bush in inch, by distances") {
    // Two turns on a radius of .94 in over 2 in.
    const Program program("G20 G98 G97 S3500 M03\nG00 Z-.4 X1.88 C0.\nG107 C.94\nG01 W-2. H720. F12.\n");
    const double inches = std::hypot(2, 0.94 * 4 * half_turn);
    CHECK(way_of(program, 4).length_mm == Approx(inches * 25.4));
    CHECK(*way_of(program, 4).seconds == Approx(inches / 12 * 60));
    CHECK(way_of(program, 4).degrees == Approx(720));
}

TEST_CASE("C alone goes by degrees a minute, with Z by both together") {
    const Program program(
        "G21 G98 G97 S2400 M03\nG00 Z-20. X60. C0.\nG01 C90. F360\nZ-30. C180.\nH-90. F90\n");
    CHECK(*way_of(program, 3).seconds == Approx(15));
    CHECK(way_of(program, 3).length_mm == Approx(30 * half_turn / 2));
    CHECK_FALSE(way_of(program, 3).by_usual_reading);
    CHECK(*way_of(program, 4).seconds == Approx(std::hypot(10, 90) / 360 * 60));
    CHECK(way_of(program, 4).by_usual_reading);
    CHECK(program.totals(4).about);
    CHECK(*way_of(program, 5).seconds == Approx(60));
}

TEST_CASE("Y goes straight, and round in its planes") {
    const Program program(
        "G21 G98 G97 S2000 M03\nG28 V0\nG00 X35. Y6. Z-14.\nG19 G03 Y-6. Z-14. J-6. K0. F120\n"
        "G01 Y0. Z-22.\n");
    CHECK(way_of(program, 4).length_mm == Approx(half_turn * 6));
    CHECK(way_of(program, 5).length_mm == Approx(10));
    CHECK(*way_of(program, 5).seconds == Approx(5));
}

TEST_CASE("what is not known is not counted") {
    const Program unknown("G21 G98 G97 S2000 M03\nG01 X30. C90. F100\nG01 H90. Z#1\n");
    CHECK_FALSE(unknown.line(2).turned); // From an unknown place
    const Program chamfer("G21 G99 G97 S2000 M03\nG00 X20. Z2.\nG01 Z-10. C2. F.2\nX30.\n");
    CHECK_FALSE(chamfer.line(3).turned); // The size of a corner
}
