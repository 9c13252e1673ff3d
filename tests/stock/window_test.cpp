// A large area cut with small ones: what is worked out near the cut alone is what clipping all of it gives,
// to the area of a rim one step of the grid wide. Areas of comb and teeth by their formula.
#include "stock/stock.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

using namespace turnwright::stock;

namespace {

/// A bar 40 in diameter with fine teeth along its outside, of so many corners that a cut is looked at nearby.
Region comb(int teeth) {
    std::vector<Point> outline{{0, 0}, {0, -100}};
    for (int i = 0; i < teeth; ++i) {
        outline.push_back({20, -100 + 100.0 * i / teeth});
        outline.push_back({19.5, -100 + 100.0 * (i + 0.5) / teeth});
    }
    outline.push_back({20, 0});
    return polygon(outline);
}
/// The same by halves that are small enough to be clipped whole.
double area_without(const Region& area, const Region& cut) {
    double sum = 0;
    for (int i = 0; i < 50; ++i) {
        const Region strip = intersect(rectangle(-150 + 4.0 * i, -146 + 4.0 * i, -50, 80), area);
        sum += subtract(strip, cut).area_mm2();
    }
    return sum;
}

} // namespace

TEST_CASE("cutting near a stretch of a fine outline takes off what cutting all of it does") {
    std::mt19937 random(20);
    std::uniform_real_distribution<double> z(-110, 10), x(-5, 24), size(0.01, 12);
    Region left = comb(300);
    CHECK(left.area_mm2() == Approx(100 * 20 - 300 * 0.5 * (100.0 / 300) * 0.5).margin(1e-3));
    for (int i = 0; i < 1000; ++i) {
        const double at_z = z(random), at_x = x(random);
        const Point corners[] = {
            {at_x, at_z}, {at_x + size(random), at_z + 0.1}, {at_x + 0.2, at_z + size(random)}};
        const Region cut = i % 3 == 0 ? rectangle(at_z, at_z + size(random), at_x, at_x + 40) : hull(corners);
        const Region taken = intersect(left, cut), rest = subtract(left, cut);
        const double rim = 1e-5 * (80 + 2 * (cut.box().z_max - cut.box().z_min));
        CHECK(taken.area_mm2() + rest.area_mm2() == Approx(left.area_mm2()).margin(rim));
        if (i % 20 == 0) CHECK(rest.area_mm2() == Approx(area_without(left, cut)).margin(1e-3 + 50 * rim));
        CHECK(intersect(rest, cut).area_mm2() == Approx(0).margin(rim));
        if (i % 4 == 0) left = rest;
        if (i % 100 == 99) left = comb(100 + i);
    }
}

TEST_CASE("a cut that does not meet a fine outline leaves it as it is") {
    const Region bar = comb(200);
    CHECK(subtract(bar, rectangle(-60, -50, 20.2, 60)) == bar);
    CHECK(intersect(bar, rectangle(-60, -50, 20.2, 60)).empty());
    // In the middle it makes a hole, across it parts, at an end it shortens.
    CHECK(subtract(bar, rectangle(-60, -50, 5, 10)).area_mm2() == Approx(bar.area_mm2() - 50).margin(1e-3));
    CHECK(pieces(subtract(bar, rectangle(-60, -57, -5, 60))).size() == 2);
    CHECK(subtract(bar, rectangle(-3, 60, -5, 60)).box().z_max == Approx(-3));
    CHECK(subtract(bar, rectangle(-200, 200, -5, 60)).empty());
}

TEST_CASE("three thousand cuts down a taper keep its corners straight") {
    // Each takes a step of 0.01: what is left is the staircase, whose area is that of its treads.
    Region bar = rectangle(-100, 0, 0, 50);
    double expected = 100 * 50;
    for (int i = 0; i < 3000; ++i) {
        const double from = -0.01 * (i + 1), x = 20 + 0.01 * i;
        bar = subtract(bar, rectangle(from, 1, x, 60));
        expected -= 0.01 * (50 - x);
    }
    CHECK(bar.area_mm2() == Approx(expected).margin(1e-3));
    CHECK(bar.loops.size() == 1);
    CHECK(bar.loops.front().size() < 2 * 3000 + 10);
}
