// Outlines out of drawings. What paths mean: W3C, Scalable Vector Graphics 1.1, chapters 7 and 8. Areas by
// the formulas of circle and rectangle.
#include "shop/outline_file.h"
#include "temporary_folder.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <fmt/format.h>
#include <fstream>

using namespace turnwright::shop;

namespace {

std::vector<OutlinePoint> outline(const std::string& svg, double mm_per_unit = 1) {
    std::string wrong;
    const auto points = outline_of_svg(svg, mm_per_unit, wrong);
    INFO(wrong);
    CHECK(wrong.empty());
    return points;
}
std::vector<OutlinePoint> of_path(const std::string& data, const std::string& around = "") {
    return outline("<svg " + around + "><path d=\"" + data + "\"/></svg>");
}
std::string why_not(const std::string& svg) {
    std::string wrong;
    CHECK(outline_of_svg(svg, 1, wrong).empty());
    return wrong;
}
double area(const std::vector<OutlinePoint>& points) {
    double twice = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const OutlinePoint &a = points[i], &b = points[(i + 1) % points.size()];
        twice += a.z_mm * b.x_mm - b.z_mm * a.x_mm;
    }
    return std::abs(twice) / 2;
}

} // namespace

TEST_CASE("An outline's origin is the programmed point, right is away from the chuck, up is outward") {
    const std::vector<OutlinePoint> points = of_path("M 3 -1 L 20 -1 20 -40 3 -40 Z");
    CHECK(points == std::vector<OutlinePoint>{{1, 3}, {1, 20}, {40, 20}, {40, 3}});
}

TEST_CASE("The same path in every way of writing it") {
    const std::vector<OutlinePoint> wanted = of_path("M3,-1 L20,-1 L20,-40 L3,-40 Z");
    for (const char* data : {"m3-1 17 0 0-39-17 0z", "M3-1H20V-40H3Z", "M3-1h17v-39h-17z",
                             "M 3e0 -1.0 L 2.0e1 -1 L 20,-40 3,-40 3,-1 Z M 100 100 l 5 5 5 -5 z"}) {
        INFO(data);
        CHECK(of_path(data) == wanted);
    }
}

TEST_CASE("Curves are cut into chords that keep their area") {
    constexpr double pi = 3.14159265358979323846;
    // A half circle of radius 20 by one arc; a chord off by 0.05 takes at most that much along the arc away.
    CHECK(area(of_path("M0 0A20 20 0 0 1 40 0Z")) == Approx(pi * 200).margin(0.05 * pi * 20));
    CHECK(area(of_path("M0 0a20,20 0 1,0 0 40 20 20 0 10 0-40z")) == Approx(pi * 400).margin(0.05 * pi * 40));
    // An ellipse of half axes 20 and 10, turned by 30 degrees, in two halves.
    CHECK(area(of_path("M17.320508 10A20 10 30 1 1 -17.320508 -10A20 10 30 1 1 17.320508 10Z")) ==
          Approx(pi * 200).margin(5));
    // A cubic quarter of a circle (handles of 0.5522847 of the radius: off by 3e-4 of the radius) on its
    // square.
    CHECK(area(of_path("M20 0C20 11.045695 11.045695 20 0 20L0 0Z")) == Approx(pi * 100).margin(2.5));
    // A parabola under its chord: two thirds of height times width; Q with handle 2h has height h.
    CHECK(area(of_path("M0 0Q15 20 30 0Z")) == Approx(2.0 / 3 * 10 * 30).margin(2));
    CHECK(area(of_path("M0 0Q15 20 30 0T60 0L60 -30 0 -30Z")) == Approx(60 * 30).margin(4));
    for (const OutlinePoint point : of_path("M0 0A20 20 0 0 1 40 0Z"))
        CHECK(std::hypot(point.z_mm - 20, point.x_mm) == Approx(20).margin(1e-6));
}

TEST_CASE("Groups and transforms move the outline as they say") {
    const std::vector<OutlinePoint> wanted{{1, 3}, {1, 20}, {40, 20}, {40, 3}};
    const auto near = [&](const std::vector<OutlinePoint>& found) {
        REQUIRE(found.size() == wanted.size());
        for (std::size_t i = 0; i < found.size(); ++i) {
            CHECK(found[i].x_mm == Approx(wanted[i].x_mm).margin(1e-9));
            CHECK(found[i].z_mm == Approx(wanted[i].z_mm).margin(1e-9));
        }
    };
    near(outline("<svg><g transform='translate(3,-1)'><g/><path d='M0 0H17V-39H0Z'/></g></svg>"));
    near(outline("<svg><g transform='translate(3 -1) scale(0.5)'><path d='M0 0H34V-78H0Z'/></g></svg>"));
    near(outline("<svg><g transform='scale(2)'><defs></defs></g><path transform='rotate(90)' "
                 "d='M-1 -3V-20H-40V-3Z'/></svg>"));
    near(outline("<svg><path transform='matrix(1 0 0 1 3 -1)' d='M0 0H17V-39H0Z'/></svg>"));
}

TEST_CASE("A drawing's size is its own where it says one, else the shop file's unit") {
    CHECK(outline("<svg><path d='M0 0H1V-1Z'/></svg>", 25.4)[1].z_mm == Approx(25.4));
    CHECK(outline("<svg width='100mm' viewBox='0 0 1000 500'><path d='M0 0H10V-10Z'/></svg>")[1].z_mm ==
          Approx(1));
    CHECK(outline("<svg viewBox=\"-5 -5 10 10\" width=\"1in\"><path d='M0 0H10V-10Z'/></svg>")[1].z_mm ==
          Approx(25.4));
    CHECK(outline("<svg width='100' viewBox='0 0 1000 500'><path d='M0 0H10V-10Z'/></svg>")[1].z_mm ==
          Approx(10));
}

TEST_CASE("What is no drawing of an outline is told and not used") {
    CHECK(why_not("") == "it holds no path");
    CHECK(why_not("<svg><rect width='5' height='5'/></svg>") == "it holds no path");
    CHECK(why_not("<!-- <path d='M0 0H9V9Z'/> --><svg></svg>") == "it holds no path");
    CHECK(why_not("<svg><path d='M0 0L5 5'/></svg>") == "its path encloses nothing");
    CHECK(why_not("<svg><path d='M0 0L10 10L10 0L0 10Z'/></svg>") == "its path crosses itself");
    CHECK(why_not("<svg><path d='M0 0 B 5 5'/></svg>") == "its path cannot be read");
    CHECK(why_not("<svg><path d='L0 0 5 5 5 0Z'/></svg>") == "its path cannot be read");
    CHECK(why_not("<svg><path d='M0 0H1e9V5Z'/></svg>") == "its path cannot be read");
    CHECK(why_not("<svg><path transform='bend(3)' d='M0 0H9V9Z'/></svg>") ==
          "it is moved or turned in a way that cannot be read");
    std::string many = "M0 0";
    for (int i = 1; i < 1000; ++i) many += fmt::format("L{} {}", i, -i * i * 1e-3);
    CHECK(why_not("<svg><path d='" + many + "Z'/></svg>").find("more than 400 points") != std::string::npos);
}

TEST_CASE("Any prefix of a drawing is read without trouble") {
    const std::string svg =
        "<?xml version='1.0'?><!DOCTYPE svg><svg width='10mm' viewBox='0 0 10 10'><g "
        "transform='rotate(10,2,3)'><path d='M0 0C1 1 2 2 3 0S5 5 6 0Q7 7 8 0T9 9A1 2 3 01 5 5Z'/>"
        "</g></svg>";
    for (std::size_t end = 0; end <= svg.size(); ++end) {
        std::string wrong;
        const auto points = outline_of_svg(svg.substr(0, end), 1, wrong);
        CHECK(points.empty() == !wrong.empty());
    }
}

TEST_CASE("A drawing lies beside its shop file or below it, and nowhere else") {
    const TemporaryFolder folder;
    const std::filesystem::path shop = folder.path / "shop";
    std::filesystem::create_directories(shop / "holders");
    std::ofstream(shop / "holders" / "left.svg") << "<svg><path d='M3 -1H20V-40H3Z'/></svg>";
    std::ofstream(folder.path / "outside.svg") << "<svg><path d='M3 -1H20V-40H3Z'/></svg>";
    const auto read = [&](const std::string& name) {
        return parse_shop("units = \"inch\"\n[[tool]]\nstation = 1\noutline_file = \"" + name + "\"\n",
                          shop / "turnwright.toml");
    };
    const Shop good = read("holders/left.svg");
    CHECK(good.problems.empty());
    REQUIRE(good.tools.at(0).outline.size() == 4);
    CHECK(good.tools[0].outline[2].x_mm == Approx(40 * 25.4));
    for (const auto& [name, why] :
         {std::pair("../outside.svg", "outside the shop file's folder"),
          std::pair("missing.svg", "not found"), std::pair("holders", "not found")}) {
        const Shop bad = read(name);
        CHECK(bad.tools.at(0).outline.empty());
        REQUIRE(bad.problems.size() == 1);
        CHECK(bad.problems[0].line == 3);
        CHECK(bad.problems[0].message.find(why) != std::string::npos);
    }
    const Shop both = parse_shop("units = \"mm\"\n[[tool]]\nstation = 1\noutline = [[1, 1], [1, 9], [9, 9]]\n"
                                 "outline_file = \"holders/left.svg\"\n",
                                 shop / "turnwright.toml");
    CHECK(both.tools.at(0).outline.size() == 3);
    CHECK(both.problems.size() == 1);
}
