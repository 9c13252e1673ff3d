// Hover on a cut: depth, power, torque and surface, or what is missing to tell them.
#include "features/open.h"

#include <catch2/catch.hpp>

using namespace turnwright::features;
using Catch::Contains;
using turnwright::features::test::Open;
using turnwright::features::test::shop_of;

namespace {

std::string load_at(std::string_view program, std::string_view steel_turner) {
    const Open open(program, shop_of(steel_turner));
    const std::optional<Hover> found = hover(open.document, open.cursor());
    return found ? found->markdown : std::string{};
}

constexpr std::string_view steel_turner = R"(
units = "mm"
[machine]
system = "A"
max_power_kw = 11
max_torque_nm = 140
power_efficiency = 0.8
[stock]
diameter = 45.0
bore = 0
front_z = 0.0
back_z = -90.0
material = "C45"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 90
back_angle = 5
[[tool]]
station = 2
kind = "drill"
diameter = 20
point_angle = 118
)";

constexpr std::string_view head = "G21 G18 G40 G99 G54\nT0101\nG97 S1000 M03\nG00 X40. Z2.\n";

} // namespace

TEST_CASE("a cut tells its loads with their source") {
    const std::string text = load_at(std::string(head) + "$0G01 Z-48. F0.2\n", steel_turner);
    // By hand: pi 40 1000 / 1000 = 125.66 m/min; 2.5 deep, 0.2 a turn: 62.8 cm3/min (Kyocera, page R28);
    // kc = 2220 x 0.2^-0.14 = 2781 N/mm2 (Kienzle's rule, from memory); 2.91 kW (Mitsubishi Materials), 3.64
    // over 0.8; force 1390 N at radius 20: 27.8 Nm; 0.2^2 / (8 x 0.8) = 6.25 um.
    CHECK_THAT(text, Contains("depth 2.5 mm"));
    CHECK_THAT(text, Contains("removes 63 cm\u00b3/min"));
    CHECK_THAT(text, Contains("2.9 kW at the spindle, 3.6 of the motor's 11 kW"));
    CHECK_THAT(text, Contains("28 Nm of 140"));
    CHECK_THAT(text, Contains("6.3 \u00b5m from peak to valley, Ra about 1.6 \u00b5m"));
    CHECK_THAT(text, Contains("2781 N/mm\u00b2 for C45"));
    CHECK_THAT(text, Contains("Estimate"));
}

TEST_CASE("an inch program is told in inch") {
    const std::string program = "G20 G18 G40 G99 G54\nT0101\nG97 S1000 M03\nG00 X1.5 Z.1\n$0G01 Z-1. F.008\n";
    const std::string text = load_at(program, steel_turner);
    // (45 mm - 1.5 in) / 2 = 3.45 mm = 0.136 in; .008 in = 0.2032 mm: 6.45 um = 254 microinch.
    CHECK_THAT(text, Contains("0.136 in"));
    CHECK_THAT(text, Contains("in\u00b3/min"));
    CHECK_THAT(text, Contains("254 \u00b5in"));
}

TEST_CASE("a move through air says so, and one that does not cut says nothing") {
    const std::string cut = std::string(head) + "G01 Z-48. F0.2\nG00 X46.\nG00 Z2.\nG00 X40.\n";
    CHECK_THAT(load_at(cut + "$0G01 Z-48. F0.2\n", steel_turner), Contains("Takes nothing off the stock."));
    const std::string rapid = load_at(std::string(head) + "$0G00 Z1.\n", steel_turner);
    CHECK_THAT(rapid, !Contains("Estimate"));
    CHECK_THAT(rapid, !Contains("power"));
}

TEST_CASE("what is missing for an estimate is said in plain words") {
    const std::string cut = std::string(head) + "$0G01 Z-48. F0.2\n";
    // What nothing in the program gives is said at its first block, and at no other.
    const std::string said = "No estimate of power: no stock is given; the material is not given.";
    CHECK_THAT(load_at(cut, ""), !Contains("No estimate"));
    CHECK_THAT(load_at("$0" + std::string(head) + "G01 Z-48. F0.2\n", ""), Contains(said));
    CHECK_THAT(load_at("$0" + std::string(head) + "G01 Z-48. F0.2\n", steel_turner), !Contains(said));
    CHECK_THAT(load_at(cut, "units = \"mm\"\n[stock]\ndiameter = 45\nmaterial = \"OAK\"\n"),
               Contains("[stock] of the shop file lacks bore and front_z") &&
                   Contains("no cutting force is known for \"OAK\""));
    // The nose radius alone tells the surface.
    const std::string tool_only =
        "units = \"mm\"\n[[tool]]\nstation = 1\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = 3\n";
    CHECK_THAT(load_at(cut, tool_only), Contains("6.3 \u00b5m") && Contains("No estimate of power"));
    const std::string stock_only =
        "units = \"mm\"\n[stock]\ndiameter = 45\nbore = 0\nfront_z = 0\nmaterial = \"P\"\n";
    CHECK_THAT(load_at(cut, stock_only), Contains("T01 is not in the shop file"));
}

TEST_CASE("a drill's load comes from the whole of its circle") {
    const std::string text =
        load_at("G21 G18 G40 G99 G54\nT0202\nG97 S500 M03\nG00 X0 Z2.\n$0G01 Z-40. F0.2\n", steel_turner);
    // pi / 4 x 2^2 cm2 x 0.02 cm x 500 = 31.4 cm3/min: the circle's area times the feed.
    CHECK_THAT(text, Contains("removes 31 cm\u00b3/min"));
    CHECK_THAT(text, !Contains("peak to valley"));
}
