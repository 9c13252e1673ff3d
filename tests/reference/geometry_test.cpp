// Geometry of tools and arcs: exact values, each derivable on paper.
#include "motion/geometry.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace turnwright::motion;

TEST_CASE("Drill points") {
    // D / (2 tan(angle / 2)), exact.
    CHECK(std::abs(drill_point_mm(1, 118) - 0.3004) < 0.5e-4);
    CHECK(std::abs(drill_point_mm(1, 135) - 0.2071) < 0.5e-4);
    CHECK(drill_point_mm(1, 90) == Approx(0.5));
    CHECK(drill_point_mm(20, 118) == Approx(20 * drill_point_mm(1, 118)));
}

TEST_CASE("What a nose radius leaves on a taper") {
    // In Z r (1 - tan(a/2)), in X on radius r (1 - tan((90 - a)/2)), exact, r 0.8.
    struct Row {
        double angle, z, x, normal;
    };
    for (const Row& row : {Row{30, .585641, .338120, .292820}, Row{15, .694678, .186138, .179796},
                           Row{45, .468629, .468629, .331371}}) {
        NoseShift shift = nose_shift(0.8, row.angle);
        CHECK(std::abs(shift.z_mm - row.z) < 0.5e-6 + 1e-9);
        CHECK(std::abs(shift.x_radius_mm - row.x) < 0.5e-6 + 1e-9);
        CHECK(std::abs(shift.normal_mm - row.normal) < 0.5e-6 + 1e-9);
    }
}

TEST_CASE("An arc by its radius") {
    // From (0,0) to (10,0), R 10, exact: centres 8.660254 to either side, sweep 60 or 300 degrees.
    Point from{0, 0}, to{0, 10};
    for (bool clockwise : {true, false}) {
        Arc near = arc_by_radius(from, to, 10, clockwise, 0),
            far = arc_by_radius(from, to, -10, clockwise, 0);
        CHECK(std::abs(near.centre.x_radius_mm) == Approx(8.660254));
        CHECK(near.centre.x_radius_mm == Approx(-far.centre.x_radius_mm));
        CHECK(near.centre.z_mm == Approx(5));
        CHECK(std::abs(near.sweep) * 180 / pi == Approx(60));
        CHECK(std::abs(far.sweep) * 180 / pi == Approx(300));
        CHECK((near.sweep < 0) == clockwise);
        CHECK(std::abs(near.sweep) * 10 == Approx(10.471976));
        CHECK(std::abs(far.sweep) * 10 == Approx(52.359878));
    }
    CHECK(arc_by_radius(from, to, 4.9, true, 0).trouble == Trouble::arc_radius_too_small);
    Arc half = arc_by_radius(from, to, 5, true, 0);
    CHECK_FALSE(half.trouble);
    CHECK(std::abs(half.sweep) * 5 == Approx(15.707963));
}

TEST_CASE("Half angle of a taper") {
    // Exact: 1 in 16 on diameter is half of 1/16 on radius.
    CHECK(taper_half_angle_deg(1, 0, 16) == Approx(std::atan(1.0 / 32) * 180 / pi));
    CHECK(taper_half_angle_deg(20, 10, 5) == Approx(45));
}

TEST_CASE("A sharp corner stands back when the nose radius changes") {
    // Kyocera turning technical information 2016, page R28, read: shift for each mm of r - r'. Printed to
    // three places.
    struct Row {
        double insert, approach, x, z;
    };
    for (const Row& row : {Row{80, 95, 0.100, 0.100}, Row{55, 93, 0.866, 0.099}, Row{35, 95, 2.072, 0.273}}) {
        NoseShift more = corner_setback(1.8, row.insert, row.approach);
        NoseShift less = corner_setback(0.8, row.insert, row.approach);
        CHECK(std::abs(more.x_radius_mm - less.x_radius_mm - row.x) < 1e-3);
        CHECK(std::abs(more.z_mm - less.z_mm - row.z) < 1e-3);
    }
}
