// The way of a tool round the axis. Corners, angles and arcs by plane geometry.
#include "report/opened.h"
#include "report/picture.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace turnwright;

namespace {

constexpr double pi = 3.14159265358979323846;

/// The feeds of a program round the axis, in order.
std::vector<report::RoundMove> feeds(const std::string& text) {
    const report::Picture picture = report::make_picture(*opened(text));
    std::vector<report::RoundMove> all;
    for (const auto& [step, moves] : picture.round)
        for (const report::RoundMove& move : moves)
            if (move.kind == report::RoundMove::Kind::feed) all.push_back(move);
    return all;
}
double across(const report::RoundPoint& point) {
    return point.x_radius_mm * std::cos(point.degrees * pi / 180);
}
double up(const report::RoundPoint& point) {
    return point.x_radius_mm * std::sin(point.degrees * pi / 180);
}

const std::string head = "G21 G98 G18\nT1111\nG97 M05\nG00 X70. Z2. C0.\nZ-8.\n";

} // namespace

TEST_CASE("a hexagon on the polar plane has its corners where a hexagon has them") {
    const auto moves =
        feeds(head + "G12.1\nG01 X50. C0. F300.\nX25. C21.651\nX-25.\nX-50. C0.\nX-25. C-21.651\n"
                     "X25.\nX50. C0.\nG13.1\nG00 X100. Z50.\nM30\n");
    REQUIRE(moves.size() == 7);
    for (std::size_t i = 0; i < moves.size(); ++i) {
        const report::RoundPoint& corner = moves[i].points.back();
        CHECK(corner.x_radius_mm ==
              Approx(25).margin(0.001)); // Its corners are as far out as its sides are long
        CHECK(std::remainder(corner.degrees - 60.0 * static_cast<double>(i), 360) == Approx(0).margin(0.01));
        CHECK(corner.z_mm == Approx(-8));
    }
}

TEST_CASE("arcs on the polar plane keep their radius, either way and by either way of writing") {
    // From (20, 0) to (0, 20) about the axis, counter-clockwise: a quarter at radius 20.
    for (const std::string arc : {"G03 X0. C20. R20.", "G03 X0. C20. I-20. J0."}) {
        INFO(arc);
        const auto moves = feeds(head + "G12.1\nG01 X40. C0. F300.\n" + arc + "\nG13.1\nM30\n");
        REQUIRE(moves.size() == 2);
        REQUIRE(moves[1].points.size() > 10);
        for (const report::RoundPoint& point : moves[1].points) {
            CHECK(std::hypot(across(point), up(point)) == Approx(20).margin(1e-6));
            CHECK(up(point) > -1e-6);
        }
        CHECK(up(moves[1].points.back()) == Approx(20));
    }
    // Clockwise it goes the long way round by R below 0, and bulges the other way by R above 0.
    const auto bulge = feeds(head + "G12.1\nG01 X40. C0. F300.\nG02 X0. C20. R20.\nG13.1\nM30\n");
    REQUIRE(bulge.size() == 2);
    const report::RoundPoint& middle = bulge[1].points[bulge[1].points.size() / 2];
    CHECK(std::hypot(across(middle) - 20, up(middle) - 20) ==
          Approx(20).margin(0.01)); // About the other centre
}

TEST_CASE("on an unrolled cylinder an arc is an arc of its length") {
    // Radius 30: 10 mm round are 10 / 30 radians. A quarter of radius 10 from (0, 0) to (-10, 10) in Z and
    // length.
    const double degrees = 10.0 / 30 * 180 / pi;
    const auto moves = feeds(head + "G18 W0. H0.\nG07.1 C30.\nG01 Z0. C0. F200.\nG03 Z-10. C" +
                             std::to_string(degrees) + " R10.\nG07.1 C0.\nM30\n");
    REQUIRE(moves.size() == 2);
    const auto& arc = moves[1].points;
    CHECK(arc.back().z_mm == Approx(-10));
    CHECK(arc.back().degrees == Approx(degrees));
    for (const report::RoundPoint& point : arc)
        CHECK(std::hypot(point.z_mm + 10, point.degrees * pi / 180 * 30) == Approx(10).margin(1e-6));
}

TEST_CASE("H goes on from where C stands, a reference return sets it to 0") {
    const auto moves =
        feeds("G21 G98\nT1111\nG97 M05\nG28 H0\nG00 X70. Z2. C30.\nG01 X40. F100.\nG01 Z-20. H90.\n"
              "G01 Z-40. C0.\nM30\n");
    REQUIRE(moves.size() == 3);
    CHECK(moves[0].points.back().degrees == Approx(30));
    CHECK(moves[1].points.back().degrees == Approx(120));
    CHECK(moves[1].points.size() > 10);
    CHECK(moves[2].points.back().degrees == Approx(0).margin(1e-9));
}

TEST_CASE("a tool that works round the axis in a sequence makes no turned cut in all of it") {
    const auto document =
        opened("O1\nG21 G99\nN1\nT0101\nG97 S500 M03\nG00 X52. Z0.\nG01 X-1. F0.2\nG00 X48. Z2.\n"
               "G01 Z-30.\nG00 X80. Z50.\nN2 (GROOVE ROUND)\nT0202\nG98 M05\nG00 X52. Z-10. C0.\n"
               "G01 X44. F100.\nG01 C360.\nG00 X80.\nM30\n");
    const report::Picture picture = report::make_picture(*document);
    CHECK(picture.round_stations == std::set<int>{2});
    for (const report::PictureStep& step : picture.steps)
        if (step.segment_count > 0) CHECK(step.live == (step.station == 2));
    // Nothing of the plunge before the turn is taken off as a groove: the part keeps its 48 there.
    const report::PictureParts parts = report::parts_of(*document, report::drawn_stock(*document, picture));
    double at_groove = 0;
    for (const report::Outline& outline : parts.after)
        for (std::size_t i = 0; i < outline.size(); ++i) {
            const motion::Point a = outline[i], b = outline[(i + 1) % outline.size()];
            if (std::min(a.z_mm, b.z_mm) < -10 && std::max(a.z_mm, b.z_mm) > -10)
                at_groove = std::max(at_groove, std::min(a.x_radius_mm, b.x_radius_mm));
        }
    CHECK(at_groove == Approx(24).margin(0.01));
}

TEST_CASE("a chamfer by C on a turned corner is no work round the axis") {
    CHECK(feeds("G21 G99\nT0101\nG97 S500 M03\nG00 X30. Z2.\nG01 Z-20. C2. F0.2\nX50.\nM30\n").empty());
}
