// Published speeds, feeds and times. "read": seen in the named source; "exact": the source's problem,
// computed from the definition.
#include "motion/motion.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace turnwright::motion;

namespace {

Segment cut(double from_diameter, double from_z, double to_diameter, double to_z, double feed) {
    Segment segment;
    segment.kind = SegmentKind::feed;
    segment.from = {from_diameter / 2, from_z};
    segment.to = {to_diameter / 2, to_z};
    segment.feed = {Feed::Mode::per_rev, feed};
    return segment;
}

Spindle constant_rpm(double rpm) {
    Spindle spindle;
    spindle.surface_speed = false;
    spindle.rpm = rpm;
    spindle.turning = true;
    return spindle;
}

Spindle surface_speed(double metres, std::optional<double> limit = std::nullopt) {
    Spindle spindle;
    spindle.surface_speed = true;
    spindle.surface_m_per_min = metres;
    spindle.limit_rpm = limit;
    spindle.limit_surely_missing = !limit;
    spindle.turning = true;
    return spindle;
}

double minutes(const Segment& segment, const Spindle& spindle) {
    return seconds_of(segment, spindle, {}).value() / 60;
}

constexpr double inch = mm_per_inch;
double feet_per_minute(double feet) {
    return feet * 12 * inch / 1000;
}

} // namespace

TEST_CASE("Cutting speed of 150 mm at 250 rpm") {
    // Tungaloy General Catalogue 2020-2021, technical reference, page L030, worked example, read: printed
    // 117 m/min, with pi as 3.14 and the rest cut off.
    CHECK(surface_for(250, 150) == Approx(117.81).epsilon(1e-5));
    CHECK(std::floor(surface_for(250, 150)) == 117);
    CHECK(rpm_for(surface_for(250, 150), 150) == Approx(250));
}

TEST_CASE("Cutting time by feed and speed") {
    // Mitsubishi Materials online course, turning formulas, read: 100 mm at 20 mm a minute is 5 min; 100 mm
    // in 1 min at 1000 rpm is 0.1 mm a turn.
    Segment by_minute = cut(50, 0, 50, -100, 0);
    by_minute.feed = {Feed::Mode::per_minute, 20};
    CHECK(minutes(by_minute, constant_rpm(1000)) == Approx(5));
    CHECK(minutes(cut(50, 0, 50, -100, 0.1), constant_rpm(1000)) == Approx(1));
}

TEST_CASE("Speed in feet a minute and inches") {
    // n = 12 V / (pi D), shortened to 3.82 V / D: DGI Supply catalogue, page 68, read.
    CHECK(rpm_for(feet_per_minute(1000), 6.5 * inch) == Approx(587.65).epsilon(1e-5));
    CHECK(rpm_for(feet_per_minute(1000), 6.5 * inch) == Approx(3.82 * 1000 / 6.5).epsilon(2e-4));
    // V = 0.262 D n, the same page.
    CHECK(surface_for(500, 2 * inch) / feet_per_minute(1) == Approx(0.262 * 2 * 500).epsilon(1e-3));
}

TEST_CASE("Facing a disk at constant rpm and at constant surface speed") {
    // Textbook, ISBN 9781466577022, problems 5.1 and 5.2: statement read, answers exact.
    Segment face = cut(450, 0, 150, 0, 0.3);
    CHECK(minutes(face, constant_rpm(50)) == Approx(10.0));
    Spindle spindle = surface_speed(60);
    CHECK(*rpm_at(spindle, 225) == Approx(42.4413));
    CHECK(*rpm_at(spindle, 75) == Approx(127.3240));
    CHECK(minutes(face, spindle) == Approx(7.853982));
    // The form T = pi (a^2 - b^2) / (4000 vc f): Tungaloy page L030, read.
    CHECK(facing_minutes(450, 150, 60, 0.3) == Approx(7.853982));
}

TEST_CASE("Turning a bar of 4.5 in down to 4.25 in") {
    // Textbook problem 21.2 (author from memory): statement read, answers exact. 450 ft/min on the greater
    // diameter, f 0.0100 in, 46 in long.
    double rpm = rpm_for(feet_per_minute(450), 4.5 * inch);
    CHECK(rpm == Approx(381.972));
    CHECK(minutes(cut(4.25 * inch, 0, 4.25 * inch, -46 * inch, 0.01 * inch), constant_rpm(rpm)) ==
          Approx(12.0428));
}

TEST_CASE("Facing from 35 in to 20 in at 40 rpm") {
    // The same textbook, problem 21.7: statement read, answers exact.
    CHECK(minutes(cut(35 * inch, 0, 20 * inch, 0, 0.015 * inch), constant_rpm(40)) == Approx(12.5));
    CHECK(surface_for(40, 35 * inch) / feet_per_minute(1) == Approx(366.519));
    CHECK(surface_for(40, 20 * inch) / feet_per_minute(1) == Approx(209.440));
}

TEST_CASE("A speed that finishes 400 mm in five minutes") {
    // Lecture 6, Materials and Manufacturing Processes: statement read, answers exact. L 400, D 150, f 0.30.
    double rpm = 400 / 0.30 / 5;
    CHECK(rpm == Approx(266.667).epsilon(1e-5));
    CHECK(surface_for(rpm, 150) == Approx(125.6637));
    CHECK(minutes(cut(150, 0, 150, -400, 0.30), constant_rpm(rpm)) == Approx(5.0));
}

TEST_CASE("Turning titanium from 75 mm") {
    // Classroom problem, answers read: 400 rpm, 200 mm/min, 200 mm long.
    CHECK(surface_for(400, 75) == Approx(94.2478));
    Segment along = cut(65, 0, 65, -200, 0);
    along.feed = {Feed::Mode::per_minute, 200};
    CHECK(minutes(along, constant_rpm(400)) == Approx(1.0));
}

TEST_CASE("Facing to the centre with a speed limit") {
    // Exact, split as Tungaloy page L030 has it: D 100 to 0, 200 m/min, f 0.2, limit 3000 rpm.
    Segment face = cut(100, 0, 0, 0, 0.2);
    CHECK(limit_diameter_mm(200, 3000) == Approx(21.22066));
    CHECK(minutes(face, surface_speed(200, 3000)) == Approx(0.2051915));
    CHECK(minutes(face, surface_speed(200, 3000)) * 60 == Approx(12.31149));
    CHECK(minutes(face, surface_speed(200)) == Approx(0.1963495));
    CHECK(minutes(cut(100, 0, 21.22066, 0, 0.2), surface_speed(200, 3000)) == Approx(0.1875076));
    CHECK(minutes(cut(21.22066, 0, 0, 0, 0.2), surface_speed(200, 3000)) == Approx(0.0176839).epsilon(1e-5));
}

TEST_CASE("A taper takes as long as its mean diameter says while the limit does not hold") {
    // Exact: the integral of r over a straight line is its mean.
    Segment taper = cut(80, 0, 40, -60, 0.25);
    double mean_rpm = rpm_for(180, 60);
    CHECK(minutes(taper, surface_speed(180, 6000)) == Approx(std::hypot(20, 60) / 0.25 / mean_rpm));
}

TEST_CASE("Theoretical roughness") {
    // f^2 / (8 r): Tungaloy page L030 and Kyocera turning technical information 2016, page R28, read.
    CHECK(roughness_um(0.2, 0.8) == Approx(6.25));
    CHECK(roughness_exact_um(0.2, 0.8) == Approx(6.27461).epsilon(1e-6));
    // Twice the feed, four times as rough; twice the nose, half.
    CHECK(roughness_um(0.4, 0.8) == Approx(4 * roughness_um(0.2, 0.8)));
    CHECK(roughness_um(0.2, 1.6) == Approx(roughness_um(0.2, 0.8) / 2));
}

TEST_CASE("An inch is 25.4 mm") {
    // NBS Circular 572 addendum, 1960, read: the yard is 0.9144 m.
    CHECK(mm_per_inch == 914.4 / 36);
    CHECK(0.040 * mm_per_inch == Approx(1.016)); // the approach distance of the trade
}
