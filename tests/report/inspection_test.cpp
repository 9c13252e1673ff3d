// What to measure on the first part: the sizes stand in the programs, those that follow from them are
// reckoned by hand.
#include "report/inspection.h"

#include "opened.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::report;

namespace {

constexpr std::string_view tools = R"(
[[tool]]
station = 1
kind = "turning"
hand = "right"
nose_radius = 0.4
tip_direction = 3
approach_angle = 95.0
back_angle = 30.0
[[tool]]
station = 2
kind = "grooving"
width = 3.0
tip_direction = 3
[[tool]]
station = 3
kind = "threading"
[[tool]]
station = 4
kind = "drill"
diameter = 10.0
point_angle = 118.0
[[tool]]
station = 9
kind = "parting"
width = 3.0
tip_direction = 3
)";

std::string shop_file(char system, bool diameter) {
    return fmt::format("units = \"mm\"\n[[machine]]\nsystem = \"{}\"\nx = \"{}\"\n[stock]\ndiameter = 42\n"
                       "front_z = 1\nback_z = -90\njaw_front_z = -60\n{}",
                       system, diameter ? "diameter" : "radius", tools);
}

/// A pin with chamfer, shoulder, groove, thread and hole, parted off, in a unit and by diameter or radius.
std::string pin(char system, bool inch, bool diameter) {
    const auto z = [&](double mm) { return fmt::format("{:.5f}", inch ? mm / 25.4 : mm); };
    const auto x = [&](double mm) { return z(diameter ? mm : mm / 2); };
    const std::string units = inch ? (system == 'C' ? "G70" : "G20") : (system == 'C' ? "G71" : "G21");
    std::string text = fmt::format("O12 (PIN)\n{} G18 G40 {}\n", units, system == 'A' ? "G99" : "G90 G95");
    text += "T0101\nG97 S1000 M03\n";
    text += fmt::format("G00 X{} Z{}\nG01 X{} F{}\n", x(44), z(0), x(-1), z(0.2)); // Face
    // Onto the chamfer's line in front of the part
    text += fmt::format("G00 X{} Z{}\nG42 G00 X{}\nG01 X{} Z{}\n", x(44), z(2), x(12), x(20), z(-2));
    text += fmt::format("Z{}\nX{}\nZ{}\nG40 X{}\n", z(-30), x(41), z(-44), x(46));
    text += fmt::format("G00 X{} Z{}\nT0212\nG97 S800 M03\nG00 X{} Z{}\n", x(150), z(100), x(24), z(-20));
    text += fmt::format("G01 X{} F{}\nG00 X{}\nX{} Z{}\n", x(17), z(0.1), x(24), x(150), z(100));
    text += fmt::format("T0303\nG97 S600 M03\nG00 X{} Z{}\n", x(24), z(5));
    for (const double depth : {19.4, 18.9, 18.4, 18.4})
        text += fmt::format("G00 X{}\n{} Z{} F{}\nG00 X{}\nZ{}\n", x(depth), system == 'A' ? "G32" : "G33",
                            z(-18), z(1.27), x(24), z(5));
    text += fmt::format("G00 X{} Z{}\nT0404\nG97 S900 M03\nG00 X0 Z{}\n", x(150), z(100), z(3));
    text += fmt::format("G01 Z{} F{}\nG00 Z{}\nX{} Z{}\n", z(-15), z(0.1), z(3), x(150), z(100));
    text += fmt::format("T0909\nG97 S500 M03\nG00 X{} Z{}\nG01 X{} F{}\nG00 X{}\nX{} Z{}\nM30\n", x(46),
                        z(-43), x(-1), z(0.05), x(46), x(150), z(100));
    return text;
}

Inspection inspected(const features::Document& document) {
    const Picture picture = make_picture(document);
    return inspect(document, picture, drawn_stock(document, picture));
}

std::string told(const Inspection& inspection) {
    std::string out;
    for (const Inspected& row : inspection.rows)
        out += fmt::format("{} {} at {} by {} {}\n", name_text(row), size_text(row, inspection.unit),
                           place_text(row, inspection.unit), row.tool, row.offset);
    return out;
}

} // namespace

TEST_CASE("inspection: each size of a pin, with the tool and the offset that make it") {
    for (const char system : {'A', 'B', 'C'})
        for (const bool diameter : {true, false}) {
            CAPTURE(system, diameter);
            const auto document = opened(pin(system, false, diameter), shop_file(system, diameter));
            const Inspection inspection = inspected(*document);
            CAPTURE(inspection.why_not);
            // The point of a drill of 10 with 118 degrees is 5 / tan 59 = 3.00 long; parted off at Z-43 by
            // the left corner of a blade 3 wide, the part ends at Z-40.
            CHECK(told(inspection) == "Chamfer 2 x 45\u00b0 at Z0 to Z-2 by T01 1\n"
                                      "Thread 20, lead 1.27, root 18.4 at Z0 to Z-18 by T03 3\n"
                                      "Diameter 20 at Z-2 to Z-17 by T01 1\n"
                                      "Groove 17, width 3 at Z-17 to Z-20 by T02 12\n"
                                      "Diameter 20 at Z-20 to Z-29.6 by T01 1\n"
                                      "Length 30 at Z-30 by T01 1\n"
                                      "Diameter 41 at Z-30 to Z-40 by T01 1\n"
                                      "Length 40 at Z-40 by T09 9\n"
                                      "Bore 10 at Z0 to Z-12 by T04 4\n");
        }
}

TEST_CASE(
    "inspection: what comes behind the parting tool and cuts nothing takes the part away from no list") {
    const std::string alone = pin('A', false, true);
    const std::string behind = "T0101\nG97 S300 M03\nG00 X80. Z20.\nM01\nT0202\nG00 X90. Z30.\nM30\n";
    const std::string followed = alone.substr(0, alone.rfind("M30")) + "M01\n" + behind;
    const std::string shop = shop_file('A', true);
    const std::string wanted = told(inspected(*opened(alone, shop)));
    REQUIRE(wanted.find("Length 40 at Z-40 by T09 9") != std::string::npos);
    CHECK(told(inspected(*opened(followed, shop))) == wanted);
    // A second side in a datum of its own is not followed: what was parted off is, and that is said.
    const std::string second = "O12 (PIN)\nG54\n" + alone.substr(10, alone.rfind("M30") - 10) +
                               "M01\nT0101\nG55\nG97 S800 M03\nG00 X44. Z0.\nG01 X-1. F0.1\nG00 X80.\nM30\n";
    const Inspection first_side = inspected(*opened(second, shop));
    CHECK(told(first_side) == wanted);
    CHECK(std::any_of(first_side.remarks.begin(), first_side.remarks.end(), [](const std::string& remark) {
        return remark.find("not followed beyond line") != std::string::npos;
    }));
    // One that cuts works on what is left in the jaws: no finished part is there to list.
    const std::string next =
        alone.substr(0, alone.rfind("M30")) +
        "M01\nT0101\nG97 S800 M03\nG00 X44. Z-42.\nG00 X38.\nG01 Z-50. F0.2\nX44.\nM30\n";
    CHECK(told(inspected(*opened(next, shop))).find("Length 40 at Z-40") == std::string::npos);
}

TEST_CASE("inspection: a thread in a bore stands with the bore, and its root is the larger size") {
    // A hole of 10 bored through; the thread M12 x 1 is cut outward from it.
    const auto document =
        opened("O1\nG21 G18 G40 G99\nT0404\nG97 S900 M03\nG00 X0. Z3.\nG01 Z-40. F0.1\nG00 Z3.\n"
               "X150. Z100.\nT0303\nG97 S600 M03\nG00 X9. Z5.\nG00 X11.\nG32 Z-20. F1.\nG00 X9.\n"
               "Z5.\nG00 X12.\nG32 Z-20. F1.\nG00 X9.\nZ5.\nX150. Z100.\nM30\n",
               shop_file('A', true));
    const Inspection inspection = inspected(*document);
    CAPTURE(inspection.why_not, told(inspection));
    for (const Inspected& row : inspection.rows) CHECK(row.inside);
    CHECK(told(inspection) == "Thread in the bore 10, lead 1, root 12 at Z1 to Z-20 by T03 3\n"
                              "Bore 10 at Z1 to Z-37 by T04 4\n"); // The point is 5 / tan 59 = 3.00 long
}

TEST_CASE("inspection: compensation that the contour itself switches on holds while it is finished") {
    for (const char system : {'A', 'B', 'C'}) {
        const std::string rough = system == 'C' ? "G73" : "G71", finish = system == 'C' ? "G72" : "G70";
        const auto sizes = [&](const std::string& in_contour, const std::string& at_end,
                               const std::string& before) {
            const std::string text = fmt::format(
                "O1\n{} G40\nT0101\nG97 S800 M03\nG00 X44. Z2.\n{} U2. R0.5\n{} P100 Q150 U0.6 W0.1 "
                "F0.3\nN100 {} X20.\nG01 Z0. F0.1\nX26.\nG03 X30. Z-2. R2.\nG01 Z-20.\nG02 X36. Z-23. "
                "R3.\nX40.\nN150 {} X44.\n{}\n{} P100 Q150\nG40 G00 X150. Z100.\nM30\n",
                system == 'A'   ? "G21 G99"
                : system == 'B' ? "G21 G90 G95"
                                : "G71 G90 G95",
                rough, rough, in_contour, at_end, before, finish);
            return told(inspected(*opened(text, shop_file(system, true))));
        };
        const std::string inside = sizes("G00 G42", "G40", ""),
                          outside = sizes("G00", "", "G42 G00 X44. Z2.");
        CAPTURE(system, inside);
        CHECK(inside == outside);
        CHECK(inside.find("Radius 2 at") != std::string::npos);
        CHECK(inside.find("Radius 3 at") != std::string::npos);
        // Without it the sharp tip runs along the contour: a nose of 0.4 leaves R2 - 0.4.
        CHECK(sizes("G00", "", "").find("Radius 1.6 at") != std::string::npos);
    }
}

TEST_CASE("inspection: what the parting blade cuts before it parts off is listed") {
    // A groove 5 wide by its left corner, the back edge broken by its right one, then off at Z-30.
    const auto document =
        opened("O1\nG21 G99\nT0101\nG97 S500 M03\nG00 X38. Z2.\nG01 Z-40. F0.2\nX44.\nG00 X150. Z100.\n"
               "T0909\nG97 S500 M03\nG00 X44. Z-15.\nG01 X30. F0.05\nG00 X44.\nZ-17.\nG01 X30.\n"
               "G00 X44.\nZ-33.\nG01 X34.\nG00 X44.\nX40. Z-31.\nG01 X36. Z-33.\nX-0.5\nG00 X150. Z100.\n"
               "M30\n",
               shop_file('A', true));
    const std::string rows = told(inspected(*document));
    CAPTURE(rows);
    CHECK(rows.find("Groove 30, width 5 at Z-12 to Z-17 by T09") != std::string::npos);
    CHECK(rows.find("Chamfer 1 x 45\u00b0 at Z-29 to Z-30 by T09") != std::string::npos);
    CHECK(rows.find("Length 31 at Z-30 by T09") != std::string::npos); // The raw face stands at Z1
}

TEST_CASE("inspection: the slope that a tool's edge leaves before a shoulder is no chamfer") {
    // Turned along Z and off again, never faced: an edge of 95 degrees leaves a wall of 85.
    const auto document =
        opened("O1\nG21 G99\nT0101\nG97 S500 M03\nG00 X38. Z2.\nG01 Z-20. F0.2\nG00 X38.6\nZ2.\n"
               "X150. Z100.\nM30\n",
               shop_file('A', true));
    const std::string rows = told(inspected(*document));
    CHECK(rows.find("Diameter 38 ") != std::string::npos);
    CHECK(rows.find("Chamfer") == std::string::npos);
}

TEST_CASE("inspection: in inch the same part has the same sizes") {
    for (const char system : {'A', 'B', 'C'}) {
        CAPTURE(system);
        const Inspection mm = inspected(*opened(pin(system, false, true), shop_file(system, true)));
        const Inspection inch = inspected(*opened(pin(system, true, true), shop_file(system, true)));
        REQUIRE(mm.rows.size() == inch.rows.size());
        for (std::size_t i = 0; i < mm.rows.size(); ++i) {
            CHECK(name_text(mm.rows[i]) == name_text(inch.rows[i]));
            CHECK(inch.rows[i].size_mm == Approx(mm.rows[i].size_mm).margin(0.003));
            CHECK(mm.rows[i].line == inch.rows[i].line);
        }
        CHECK(told(inch).find("lead 0.05 (20 per inch)") != std::string::npos); // 25.4 / 1.27
    }
}

TEST_CASE("inspection: what no cut makes is no size, and with no stock there is a reason") {
    // A thread alone: the bar keeps the size that it has.
    const auto document = opened("O1\nG21 G99\nT0101\nG97 S500 M03\nG00 X44. Z0.\nG01 X-1. F0.2\nG00 Z5.\n"
                                 "X150. Z100.\nM30\n",
                                 shop_file('A', true));
    CHECK(told(inspected(*document)).empty());
    const Inspection nothing = inspected(*opened("O1\nG21\nT0101\nG00 X40. Z2.\nM30\n"));
    CHECK(nothing.rows.empty());
    CHECK(nothing.why_not.find("Stock not drawn") == 0);
}

TEST_CASE("inspection: sheet and sketch carry the same numbers, and what is assumed is said") {
    const std::string bare = pin('A', false, true);
    const auto document = opened(bare);
    const std::string page = sheet_page(*document, "2026-01-02"),
                      markdown = sheet_markdown(*document, "2026-01-02");
    for (const std::string& text : {page, markdown}) {
        CHECK(text.find("As the program shows") != std::string::npos);
        CHECK(text.find("diameter 42.5 mm (41 mm at least, the largest that is turned, and 44 mm at "
                        "most, where facing begins)") != std::string::npos);
        CHECK(text.find("Front face at Z") == std::string::npos);
    }
    CHECK(page.find("<svg class=\"sketch\"") != std::string::npos);
    CHECK(page.find("@bottom-left{content:\"O0012") != std::string::npos);
    CHECK(page.find("printed 2026-01-02") != std::string::npos);
    CHECK(markdown.find("Printed 2026-01-02.") != std::string::npos);
    CHECK(markdown.find("| Length | 30 | Z-30 | T01 | 1 |") != std::string::npos);
    CHECK(markdown.find("Assumed: stock diameter 42.5 mm") != std::string::npos);
    CHECK(markdown.find("Tool change at: X150. Z100.") != std::string::npos);
}

TEST_CASE("inspection: an assumed bar is thicker than the largest that is turned, so that this is a size") {
    // The only rapid past the bar where nothing is turned yet goes by at X62.
    const std::string program =
        "O1\nG21 G99\nT0101 (TURN)\nG97 S800 M03\nG00 X64. Z0.\nG01 X-1.6 F0.2\nG00 X56. Z2.\n"
        "G01 Z-30.\nX62.\nG00 Z-40.\nG01 X50.\nG00 X64.\nX100. Z100.\nM30\n";
    const auto document = opened(program);
    CHECK(told(inspected(*document)).find("Diameter 56 at Z0 to Z-30") != std::string::npos);
    CHECK(sheet_markdown(*document).find(
              "diameter 59 mm (56 mm at least, the largest that is turned, and 62 mm at most, "
              "where tools pass by)") != std::string::npos);
}

TEST_CASE("inspection: a program that calls no tool has one, and its sizes are listed") {
    const auto document =
        opened("G21 G99\nG97 S800 M03\nG00 X42. Z2.\nX38.\nG01 Z-30. F0.2\nX42.\nG00 Z2.\nX35.\n"
               "G01 Z-20.\nX42.\nG00 X60. Z50.\nM30\n");
    const std::string rows = told(inspected(*document));
    CAPTURE(rows);
    CHECK(rows.find("Diameter 35 at Z0 to Z-20") != std::string::npos);
    CHECK(rows.find("Diameter 38 at Z-20 to Z-30") != std::string::npos);
    CHECK(sheet_markdown(*document).find("the tool that no T calls: turning (by its moves)") !=
          std::string::npos);
}

TEST_CASE("inspection: what stands in front of a faced datum of an assumed stock is no size") {
    // A flange with a hole that nothing tells of: roughed by facing down to X30 from Z5, so that a stub would
    // stand at the centre.
    const auto document = opened("O1\n"
                                 "G21 G40 G99 G18 G54\n"
                                 "T0101 (FACE)\n"
                                 "G97 S500 M03\n"
                                 "G00 X124. Z5.\n"
                                 "G72 W1.5 R0.5\n"
                                 "G72 P10 Q20 U0.4 W0.1 F0.25\n"
                                 "N10 G00 Z-12.\n"
                                 "G01 X80. F0.15\n"
                                 "Z-6.\n"
                                 "X60.\n"
                                 "Z0.\n"
                                 "N20 X30.\n"
                                 "G70 P10 Q20\n"
                                 "G00 X200. Z100.\n"
                                 "M30\n");
    const std::string rows = told(inspected(*document));
    CAPTURE(rows);
    CHECK(rows.find("Diameter 60 at Z0 to Z-6") != std::string::npos);
    CHECK(rows.find("Length 6 at Z-6") != std::string::npos);
    CHECK(rows.find("Diameter 30") == std::string::npos);
    CHECK(rows.find("Length 9.6") == std::string::npos);
}

TEST_CASE("inspection: a thread whose root lies outside of the metal is not listed, and that is said") {
    const auto thread = [](double diameter) {
        return fmt::format(
            "O1\nG21 G99\nT0101\nG97 S500 M03\nG00 X{} Z2.\nG01 Z-30. F0.2\nX44.\nG00 X150. Z100.\n"
            "T0303\nG00 X24. Z5.\nX19.4\nG32 Z-18. F1.5\nG00 X24.\nZ5.\nX18.4\nG32 Z-18. F1.5\n"
            "G00 X24.\nX150. Z100.\nM30\n",
            diameter);
    };
    const Inspection right = inspected(*opened(thread(20), shop_file('A', true)));
    CHECK(told(right).find("Thread 20, lead 1.5, root 18.4") != std::string::npos);
    const Inspection in_air = inspected(*opened(thread(18), shop_file('A', true)));
    CHECK(told(in_air).find("Thread") == std::string::npos);
    CHECK(std::any_of(in_air.remarks.begin(), in_air.remarks.end(), [](const std::string& remark) {
        return remark.find("its root lies outside") != std::string::npos;
    }));
}

TEST_CASE("inspection: a part is as long as the set corner of its parting blade makes it") {
    // The left corner stands at Z-43: its 3 mm go off the part. The right corner leaves them with it.
    const auto of_note = [](std::string_view note) {
        return inspected(*opened(
            fmt::format("O1\nG21 G99 G97 S800 M03\nT0101\nG00 X44. Z0.\nG01 X-1. F0.2\nG00 Z2.\nX42.\n"
                        "G01 Z-45.\nX46.\nG00 X90. Z50.\nT0505 ({})\nG00 X46. Z-43.\nG01 X-.4 F0.05\n"
                        "G00 X50.\nX90. Z50.\nM30\n",
                        note)));
    };
    const auto speaks_of_corner = [](const Inspection& of) {
        return std::any_of(of.remarks.begin(), of.remarks.end(), [](const std::string& remark) {
            return remark.find("where its right corner is set, the part is 3 mm longer") != std::string::npos;
        });
    };
    const Inspection left = of_note("PART OFF 3 WIDE LEFT CORNER"),
                     right = of_note("PART OFF 3MM RIGHT CORNER"), open = of_note("PART OFF 3 WIDE");
    CAPTURE(told(left), told(right), told(open));
    CHECK(told(left).find("Length 40 ") != std::string::npos);
    CHECK(told(right).find("Length 43 ") != std::string::npos);
    CHECK(told(open).find("Length 40 ") != std::string::npos);
    CHECK_FALSE(speaks_of_corner(left));
    CHECK_FALSE(speaks_of_corner(right));
    CHECK(speaks_of_corner(open));
}

TEST_CASE("inspection: a part that is turned round has the sizes of both sides, each where it is cut") {
    // Told stock of 60 by 90, its raw face 1 mm in front of Z0. First side 40 down to Z-30 behind a face at
    // Z0, second 50 down to Z-20 with a groove of 3 wide to 44, its face at Z0 too: 1 mm goes off there.
    const Inspection of = inspected(*opened(
        "O1\n(STOCK D60. L90. FACE 1.)\nG21 G99 G97 S800 M03 G54\nT0101\nG00 X64. Z0.\nG01 X-1. F0.2\n"
        "G00 Z2.\nX40.\nG01 Z-30. F0.2\nX64.\nG00 X100. Z50.\nM00 (TURN THE PART ROUND)\nT0101\n"
        "G00 X64. Z0.\nG01 X-1. F0.2\nG00 Z2.\nX50.\nG01 Z-20.\nX64.\nG00 X100. Z50.\nT0202\n"
        "G00 X64. Z-10.\nG01 X44. F0.1\nG00 X64.\nX100. Z50.\nM30\n",
        shop_file('A', true)));
    const std::string all = told(of);
    CAPTURE(all);
    CHECK(all.find("Diameter 40 ") != std::string::npos);
    CHECK(all.find("Diameter 50 ") != std::string::npos);
    CHECK(all.find("Groove 44, width 3 ") != std::string::npos);
    // Of 90 mm the first facing takes 1.
    CHECK(all.find("Length 89 ") != std::string::npos);
    for (const Inspected& row : of.rows) {
        CHECK(row.size_mm > 0.3);
        if (row.feature == Feature::groove) CHECK(row.tool == "T02");
        if (row.feature == Feature::diameter && row.size_mm == Approx(50).margin(0.01)) CHECK(row.line == 18);
        if (row.feature != Feature::diameter || row.size_mm != Approx(40).margin(0.01)) continue;
        CHECK(row.tool == "T01");
        CHECK(row.line == 9);
        // The nose leaves its radius of 0.4 in the corner.
        CHECK(place_text(row, of.unit) == "Z0 to Z-29.6, on the first side");
    }
}

namespace {

struct SecondSide {
    char system = 'A';
    bool inch = false, to_plus = false, pulls = false;
};

/// A bush of 36 by 30 on a bar of 42, taken over and cut off 40 behind its face (left corner of a blade of 3
/// at Z-43); its other side is faced twice and turned to 30, 8 long. Where the bar is pulled 15 before, the
/// blade stands at Z-28.
std::string taken_over(const SecondSide& of) {
    const auto z = [&](double mm) { return fmt::format("{:.5f}", of.inch ? mm / 25.4 : mm); };
    const auto back = [&](double mm) { return z(of.to_plus ? -mm : mm); };
    const std::string units =
        of.inch ? (of.system == 'C' ? "G70" : "G20") : (of.system == 'C' ? "G71" : "G21");
    std::string text = fmt::format("O12 (BUSH)\n(M203 SUB SPINDLE CW, M205 SUB SPINDLE STOP, M210 SUB CHUCK "
                                   "OPEN, M211 SUB CHUCK CLOSE)\n"
                                   "(M10 MAIN CHUCK OPEN, M11 MAIN CHUCK CLOSE)\n{} G18 G40 {}\nG54\n",
                                   units, of.system == 'A' ? "G99" : "G90 G95");
    text += fmt::format("T0101\nG97 S800 M03\nG00 X{} Z{}\nG01 X{} F{}\nG00 Z{}\nX{}\n", z(46), z(0), z(-1),
                        z(0.2), z(2), z(36));
    text += fmt::format("G01 Z{}\nX{}\nG00 X{} Z{}\n", z(-30), z(46), z(100), z(50));
    text += fmt::format("M05\nM210\nG00 B{}\nM211\n", z(-100));
    if (of.pulls) text += fmt::format("M10\nG01 B{} F{}\nM11\n", z(-85), z(2));
    text += fmt::format("T0909 (PART OFF)\nG97 S600 M03\nG00 X{} Z{}\nG01 X{} F{}\nG00 X{}\nZ{}\nM05\n",
                        z(46), z(of.pulls ? -28 : -43), z(-0.4), z(0.08), z(46), z(50));
    text += fmt::format("G00 B0\nG55\nT0101\nG97 S800 M203\nG00 X{} Z{}\nG01 X{} F{}\nG00 Z{}\n", z(46),
                        back(0.5), z(-1), z(0.2), back(2));
    text +=
        fmt::format("X{}\nZ{}\nG01 X{} F{}\nG00 Z{}\nX{}\n", z(46), back(0), z(-1), z(0.2), back(2), z(30));
    text += fmt::format("G01 Z{}\nX{}\nG00 X{} Z{}\nM205\nM30\n", back(-8), z(46), z(100), back(50));
    return text;
}

} // namespace

TEST_CASE("inspection: behind a second spindle the part has the sizes of both sides, each as it is written") {
    const char system = GENERATE('A', 'B', 'C');
    const bool inch = GENERATE(false, true), to_plus = GENERATE(false, true), pulls = GENERATE(false, true);
    const Inspection of =
        inspected(*opened(taken_over({system, inch, to_plus, pulls}), shop_file(system, true)));
    const std::string all = told(of);
    CAPTURE(system, inch, to_plus, pulls, all);
    const auto row_of = [&](Feature feature, double size_mm) {
        const auto row = std::find_if(of.rows.begin(), of.rows.end(), [&](const Inspected& one) {
            return one.feature == feature && one.size_mm == Approx(size_mm).margin(0.01);
        });
        CHECK(row != of.rows.end());
        return row == of.rows.end() ? Inspected{} : *row;
    };
    const auto written = [](const Inspected& row, double z_mm) { return row.as_written.z_mm(z_mm); };
    const Inspected first = row_of(Feature::diameter, 36), second = row_of(Feature::diameter, 30);
    CHECK(first.as_written.on_first_side);
    CHECK_FALSE(second.as_written.on_first_side);
    // The nose leaves its radius of 0.4 in the corner.
    CHECK(written(first, first.back_z_mm) == Approx(0).margin(0.01));
    CHECK(written(first, first.front_z_mm) == Approx(-29.6).margin(0.01));
    CHECK(written(second, second.front_z_mm) == Approx(0).margin(0.01));
    CHECK(written(second, second.back_z_mm) == Approx(to_plus ? 7.6 : -7.6).margin(0.01));
    // 40 are cut off, the second facing takes half a millimetre.
    row_of(Feature::length, 39.5);
    row_of(Feature::length, 8);
    CHECK(row_of(Feature::length, 30).as_written.on_first_side);
    for (const Inspected& row : of.rows) CHECK(row.size_mm > 0.3);
}

TEST_CASE(
    "inspection: of parts made one after the other the first is listed, also where its puller comes last") {
    // Faced, 10 to Z-8, 14 to the part-off at Z-24, blade 2 wide: 22 long.
    const std::string turns =
        "T0101 (R0.4 TURN)\nG97 S1000 M03\nG00 X20. Z2.\nZ0\nG01 X-0.8 F0.1\nG00 Z1.\nX10.\n"
        "G01 Z-8. F0.15\nX14.\nZ-25.\nX17.\nG00 X100. Z50.\n";
    const std::string parts = "T0404 (PART OFF 2 WIDE LEFT CORNER SET)\nG97 S1000 M03\nG00 X20. Z-24.\n"
                              "G01 X4. F0.05\nX-0.4\nG00 X20.\nG00 X100. Z50.\nM05\n";
    const std::string pulls = "T1010 (BAR PULLER)\nG00 X0 Z5.\nG98 G01 Z-34. F1000\nM69\nG04 X0.5\n"
                              "G01 Z-9.5 F2000\nM68\nG04 X0.5\nG00 Z20.\nG99\nG00 X100. Z50.\n";
    const std::string stops = "T0909\nG00 X0 Z0.5\nM69\nG04 U1.\nM68\nG00 Z50.\n";
    const std::string notes = "(BAR 16)\n(M68 COLLET CLOSE, M69 COLLET OPEN)\n";
    for (const std::string& codes : {notes, std::string("(BAR 16)\n")})
        for (const std::string& program : {
                 turns + parts + pulls + "M99\n",
                 turns + parts + pulls + "M30\n",
                 "M98 P22 L4\nM30\nO22\n" + turns + parts + pulls + "M99\n",
                 "M98 P22\nM30\nO22\n" + turns + parts + pulls + "M99\n",
                 "#1=0\nWHILE[#1 LT 4]DO1\n" + turns + parts + pulls + "#1=#1+1\nEND1\nM30\n",
                 "#1=0\nN10\n" + turns + parts + pulls + "#1=#1+1\nIF[#1 LT 4]GOTO10\nM30\n",
                 "#1=0\nN10\n" + stops + turns + parts + "#1=#1+1\nIF[#1 LT 4]GOTO10\nM30\n",
                 "#1=0\nN10\n" + turns + parts + "#1=#1+1\nIF[#1 LT 2]GOTO10\nM30\n",
                 turns + parts + stops + "M99\n",
             }) {
            const std::string text = "O21 (PIN)\n" + codes + "G21 G18 G40 G99\n" + program;
            CAPTURE(text);
            const auto document = opened(text);
            const auto [sheet, picture] = make_sheet_and_picture(*document);
            const Inspection list = inspect(*document, picture, drawn_stock(*document, picture));
            std::vector<std::pair<double, double>> diameters, lengths;
            for (const Inspected& row : list.rows)
                if (row.feature == Feature::diameter || row.feature == Feature::length)
                    (row.feature == Feature::diameter ? diameters : lengths)
                        .emplace_back(row.size_mm, row.back_z_mm);
            CHECK(list.rows.size() == 4);
            REQUIRE(diameters.size() == 2);
            CHECK(diameters[0].first == Approx(10).margin(0.01));
            CHECK(diameters[1].first == Approx(14).margin(0.01));
            CHECK(diameters[1].second == Approx(-22).margin(0.01));
            REQUIRE(lengths.size() == 2);
            CHECK(lengths[0].first == Approx(8).margin(0.01));
            CHECK(lengths[1].first == Approx(22).margin(0.01));
        }
}
