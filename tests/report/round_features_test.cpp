// What live tools make, told as features: sizes as the programs give them, those of the hexagon by hand.
#include "report/inspection.h"

#include "opened.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::report;

namespace {

constexpr std::string_view round_tools = R"(
[[tool]]
station = 1
kind = "turning"
hand = "right"
nose_radius = 0.4
tip_direction = 3
approach_angle = 95.0
back_angle = 30.0
[[tool]]
station = 5
kind = "centre drill"
diameter = 3.0
[[tool]]
station = 6
kind = "drill"
diameter = 6.0
point_angle = 118.0
[[tool]]
station = 8
kind = "live"
diameter = 6.0
[[tool]]
station = 9
kind = "live"
diameter = 20.0
)";

std::string round_shop(char system) {
    return fmt::format(R"(units = "mm"
[[machine]]
system = "{}"
[machine.m_codes]
M51 = {{ does = "C axis on" }}
M50 = {{ does = "C axis off" }}
M13 = {{ does = "live tool on" }}
M15 = {{ does = "live tool off" }}
[stock]
diameter = 60
front_z = 1
back_z = -90
jaw_front_z = -70
{})",
                       system, round_tools);
}

/// Faced at Z0 and turned to D56 before the live tool comes.
std::string with_live(char system, const std::string& work) {
    const std::string units = system == 'C' ? "G71" : "G21", by_turn = system == 'A' ? "G99" : "G95",
                      by_minute = system == 'A' ? "G98" : "G94";
    return fmt::format(
        "O12\n{} G18 G40 {}{}\nT0101\nG97 S1000 M03\nG00 X62. Z0.\nG01 X-1. F.2\nG00 X56. Z2.\n"
        "G01 Z-60.\nX62.\nG00 X150. Z100.\nM05\n{} M51\n{}M15\nM50\nM30\n",
        units, system == 'A' ? "" : "G90 ", by_turn, by_minute, work);
}

std::string round_told(const features::Document& document) {
    const Picture picture = make_picture(document);
    const Inspection inspection = inspect(document, picture, drawn_stock(document, picture));
    std::string out;
    for (const Inspected& row : inspection.rows)
        if (row.feature >= Feature::holes)
            out += fmt::format("{} {} at {} by {} {}\n", name_text(row), size_text(row, inspection.unit),
                               place_text(row, inspection.unit), row.tool, row.offset);
    return out;
}

std::string told_of(char system, const std::string& work) {
    return round_told(*opened(with_live(system, work), round_shop(system)));
}

} // namespace

TEST_CASE("inspection: holes of a live drill on the face, centred before they are drilled") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        const auto holes = [&](const char* tool, const char* depth) {
            return fmt::format("{}\nS1800 M13\nG00 X44. Z5. C0.\nG83 X44. C0. Z{} R{} F150.\nC90.\nC180.\n"
                               "C270.\nG80\nG00 X150. Z100.\n",
                               tool, depth, system == 'A' ? "-3." : "2.");
        };
        CHECK(told_of(system, holes("T0505", "-2.") + holes("T0616", "-12.")) ==
              "Holes 4 x D6 on D44, depth 12, each 90\u00b0 at Z0 to Z-12 by T06 16\n");
    }
}

TEST_CASE("inspection: holes of a called program, which turns by itself or its caller") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        std::string work = "T0606\nS1800 M13\nG00 X44. Z5. C0.\n";
        for (const char* angle : {"0.", "90.", "180.", "270."})
            work += fmt::format("G00 C{}\nM98 P100\n", angle);
        const std::string program = with_live(system, work) + "O100\nG01 Z-12. F150.\nG00 Z5.\nM99\n";
        // The part stands as an axis: what is drilled takes nothing of its turned shape, whose face is at Z0.
        CHECK(round_told(*opened(program, round_shop(system))) ==
              "Holes 4 x D6 on D44, depth 12, each 90\u00b0 at Z0 to Z-12 by T06 6\n");
    }
}

// D56 is 28 from the centre: at 20 from it the chord is 2 sqrt(28^2 - 20^2) = 39.19 long. Exact.
TEST_CASE("inspection: flats along Y, with the end of a mill and with its side") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        const std::string end = "T0909\nS1800 M13\nG19\nG00 X70. Z-20. C0. Y-35.\nG01 X40. F200.\nY35.\n"
                                "G00 X70.\n";
        CHECK(told_of(system, end) == "Flat 20 from the centre at Z-10 to Z-30 by T09 9\n");
        CHECK(told_of(system, end + "C180.\nG01 X40. F200.\nY-35.\nG00 X70.\n") ==
              "Flats 2, 40 across flats at Z-10 to Z-30 by T09 9\n");
        // Several passes: the last is the size; side by side they are one flat.
        CHECK(told_of(system, "T0909\nS1800 M13\nG19\nG00 X70. Z-20. C0. Y-35.\nG01 X48. F200.\nY35.\n"
                              "G01 X40.\nY-35.\nG00 Z-35.\nG01 Y35.\nG00 X70.\n") ==
              "Flat 20 from the centre at Z-10 to Z-45 by T09 9\n");
        // Short of the ends of the chord it is no flat; with Z and X as the plane it is not known what mills.
        CHECK(told_of(system, "T0909\nS1800 M13\nG19\nG00 X70. Z-20. C0. Y-5.\nG01 X40. F200.\nY5.\n"
                              "G00 X70.\n")
                  .empty());
        CHECK(told_of(system, "T0909\nS1800 M13\nG00 X70. Z-20. C0. Y-35.\nG01 X40. F200.\nY35.\n"
                              "G00 X70.\n")
                  .empty());
        // Its side goes 30 from the centre, and half of 20 less is left.
        CHECK(told_of(system, "T0909\nS1800 M13\nG17\nG00 X60. Y-45. Z5. C0.\nZ-15.\nG01 Y45. F200.\n"
                              "G00 Z5.\nG18\n") == "Flat 20 from the centre at Z0 to Z-15 by T09 9\n");
    }
}

TEST_CASE("inspection: slots in the face") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        std::string work = "T0808\nS1800 M13\nG00 X44. Z3. C0.\nG01 Z-4. F100.\nX20.\nG00 Z3.\n";
        // From 22 to 10 from the centre, and half a mill of 6 at both ends.
        CHECK(told_of(system, work) ==
              "Slot in the face 6 wide, 18 long over its ends, depth 4 at Z0 to Z-4 by T08 8\n");
        work += "X44. C180.\nG01 Z-4. F100.\nX20.\nG00 Z3.\n";
        CHECK(told_of(system, work) ==
              "Slots in the face 2 x 6 wide, 18 long over its ends, depth 4 at Z0 to Z-4 by T08 8\n");
    }
}

TEST_CASE("inspection: holes from the side, by G01 of a live tool") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        std::string work = "S1800 M13\nG00 X60. Z-20. C0.\n";
        for (const char* angle : {"0.", "120.", "240."})
            work += fmt::format("G00 C{}\nG01 X36. F90.\nG00 X60.\n", angle);
        // From D56 down to D36 are 10 on radius, by a live tool and by a drill that is held as one.
        CHECK(told_of(system, "T0808\n" + work) ==
              "Holes from the side 3 x D6, depth 10, each 120\u00b0 at Z-20 by T08 8\n");
        CHECK(told_of(system, "T0606\n" + work) ==
              "Holes from the side 3 x D6, depth 10, each 120\u00b0 at Z-20 by T06 6\n");
    }
}

TEST_CASE("inspection: a hexagon on the polar plane, with compensation and by the tool's centre") {
    // Corners of a hexagon 24 across flats lie at 24 / sqrt(3) = 13.8564 from the centre; the centre of a
    // tool of 6 goes round one of 30: 17.3205.
    const auto round = [](double corner) {
        std::string way;
        const double half = corner / 2, flat = corner * std::sqrt(3.0) / 2;
        const double corners[][2] = {{flat, -half}, {0, -corner}, {-flat, -half},
                                     {-flat, half}, {0, corner},  {flat, half}};
        for (const auto& [x, c] : corners) way += fmt::format("X{:.4f} C{:.4f}\n", 2 * x, c);
        return way;
    };
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        const std::string head = "T0808\nS1800 M13\nG00 X70. Z2. C0.\nG12.1\n",
                          tail = "G40 G01 X70. C0.\nG13.1\nG00 X150. Z100.\n",
                          hexagon = "Flats hexagon 24 across flats at Z0 to Z-8 by T08 8\n";
        CHECK(told_of(system, head + "G01 Z-8. F400.\nG42 X24. C6.9282 F120.\n" + round(13.8564) + tail) ==
              hexagon);
        CHECK(told_of(system, head + "G01 Z-8. F400.\nX30. C8.6603 F120.\n" + round(17.3205) + tail) ==
              hexagon);
    }
}

TEST_CASE("inspection: a key slot, and a flat by a mill that is wider than it") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        // Two passes to D49 in D56: 3.5 deep; 20 between the middles, 6 more over both ends.
        CHECK(told_of(system,
                      "T0808\nS1800 M13\nG00 X60. Z-20. C0.\nG01 X52. F50.\nZ-40. F120.\nX49. F50.\nZ-20. "
                      "F120.\nG00 X60.\n") ==
              "Slot 6 wide, 26 long over its ends, depth 3.5 at Z-20 to Z-40 by T08 8\n");
        // At 27 from the centre of D56 the chord is 2 sqrt(28^2 - 27^2) = 14.8: less than a mill of 20.
        std::string flats = "T0909\nS1800 M13\n";
        for (const char* angle : {"0.", "180."})
            flats += fmt::format("G00 X60. Z-20. C{}\nG01 X54. F50.\nZ-40. F120.\nG00 X60.\n", angle);
        CHECK(told_of(system, flats) == "Flats 2, 54 across flats at Z-10 to Z-50 by T09 9\n");
    }
}

TEST_CASE("inspection: sizes of live drills and taps from their notes, a spot drill for two rows of holes") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        const std::string r = system == 'A' ? "-3." : "2.", turn = "S1800 M13\nG00 X44. Z5. C0.\n",
                          off = "G80\nG00 X150. Z100.\n";
        const std::string all =
            "T1111 (LIVE SPOT DRILL)\n" + turn + "G83 X44. C0. Z-2. R" + r + " F150.\nC90.\nC180.\nC270.\n" +
            off + "T1212 (LIVE DRILL 6.8)\n" + turn + "G83 X44. C0. Z-16. R" + r + " F150.\nC180.\n" + off +
            "T1313 (LIVE DRILL 5)\n" + turn + "G83 X44. C90. Z-9. R" + r + " F150.\nC270.\n" + off +
            "T1414 (LIVE TAP M8X1.25)\n" + turn + "G84 X44. C0. Z-14. R" + r + " F2250.\nC180.\n" + off;
        const std::string told = told_of(system, all);
        CAPTURE(told);
        CHECK(told.find("T11") == std::string::npos);
        CHECK(told.find("Holes 2 x D6.8 on D44, depth 16, each 180\u00b0 at Z0 to Z-16 by T12 12") !=
              std::string::npos);
        CHECK(told.find("Holes 2 x D5 on D44, depth 9, each 180\u00b0 at Z0 to Z-9 by T13 13") !=
              std::string::npos);
        CHECK(told.find("Holes 2 x M8X1.25 on D44, depth 14, each 180\u00b0 at Z0 to Z-14 by T14 14") !=
              std::string::npos);
    }
}

TEST_CASE("inspection: turned work and work on the centre make no hole, flat or slot") {
    for (const char system : {'A', 'B', 'C'}) {
        CHECK(told_of(system, "").empty());
        CHECK(told_of(system, "T0606\nS900 M03\nG00 X0. Z5.\nG01 Z-12. F90.\nG00 Z5.\n").empty());
    }
}
