#include "report/opened.h"
#include "report/page_data.h"
#include "report/picture.h"
#include "report/stock_film.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fmt/format.h>

namespace turnwright {
namespace {

using report::Frame;
using report::picture_page;
using report::picture_svg;
using report::sheet_page;

constexpr std::string_view shop_with_stock = R"(
units = "mm"
[stock]
diameter = 50.0
bore = 0.0
front_z = 1.0
back_z = -90.0
jaw_front_z = -60.0
jaw_diameter = 120.0
)";

/// The last rows of the legend in one.
std::string assumed_in(const std::string& svg) {
    std::string text;
    bool in_tag = false;
    for (std::size_t at = svg.rfind(">assumed: "); at != std::string::npos && at < svg.size(); ++at) {
        const char c = svg[at];
        if (c == '<') in_tag = true;
        if (!in_tag && c != '>') text += c == '\n' ? ' ' : c;
        if (c == '>') in_tag = false;
    }
    return text;
}

/// A frame that is the identity turned over: 1 mm is 1, X up.
Frame plain_frame() {
    Frame frame;
    frame.shown = {0, 100, 0, 100, false};
    return frame;
}

motion::Segment arc(motion::Point from, motion::Point to, motion::Point centre, double sweep) {
    motion::Segment segment;
    segment.kind = motion::SegmentKind::feed;
    segment.from = from;
    segment.to = to;
    segment.is_arc = true;
    segment.centre = centre;
    segment.sweep = sweep;
    return segment;
}

} // namespace

TEST_CASE("Z goes to the right and X up") {
    motion::Segment line;
    line.from = {10, 20};
    line.to = {30, 50};
    CHECK(report::path_data(std::span(&line, 1), plain_frame()) == "M20 90L50 70");
}

TEST_CASE("stock and tools that nothing describes are assumed, with the reason") {
    struct Row {
        const char *what, *program;
        std::vector<const char*> told;
        bool drawn = true; ///< What is left
    };
    const std::string turn = "G00 X42. Z2.\nG01 Z-30. F0.2\nX46.\nG00 X90. Z50.\n";
    const auto program = [&](std::string head, std::string body) {
        return head + "G21 G99 G97 S800 M03\nT0101\n" + body + "M30\n";
    };
    const std::string by_note = program("O1\n(MATERIAL 50 DIA BRASS)\n(T01 CNMG R0.8)\n", turn);
    const std::string too_small = program("O1\n(MATERIAL 30 DIA BRASS)\n", turn);
    const std::string faced =
        program("O1\n", "G00 X46. Z1.5\nG01 X-1.6 F0.2\nG00 Z3.\nX46.\nZ0\nG01 X-1.6\nG00 Z2.\n" + turn);
    const std::string drilled =
        program("O1\n(T02 DRILL 8.5)\n", turn + "T0202\nG00 X0 Z3.\nG01 Z-25. F0.1\nG00 Z50.\n");
    const std::string no_diameter =
        program("O1\n(T02 DRILL)\n", turn + "T0202\nG00 X0 Z3.\nG01 Z-25. F0.1\nG00 Z50.\n");
    const std::string bored = program(
        "O1\n",
        turn + "T0303\nG00 X20. Z2.\nG01 Z-15. F0.1\nX19.\nG00 Z2.\nX21.\nG01 Z-15.\nG00 X20.\nZ50.\n");
    const std::string threaded =
        program("O1\n(T04 THREAD)\n", turn + "T0303\nG00 X20. Z2.\nG01 Z-15. F0.1\nG00 X19.\nZ50.\n"
                                             "T0404\nG00 X19. Z2.\nX20.5\nG32 Z-12. F1.5\nG00 "
                                             "X19.\nZ2.\nX21.\nG32 Z-12. F1.5\nG00 X19.\nZ50.\n");
    const std::string grooves = "O1\nG21 G99 G97 S500 M03\nT0404 (GROOVE 3 WIDE)\nG00 X62. Z-10.\n"
                                "G01 X54. F0.08\nX62.\nG00 X90. Z60.\nM30\n";
    const std::string parted = program("O1\n", turn + "T0505\nG00 X46. Z-28.\nG01 X-.4 F0.05\nG00 X50.\n");
    const std::string in_inches = "O1\n(T1 ROUGH .031R, T5 PART OFF)\nG20 G99 G97 S800 M03\nT0101\nG00 X1.65 "
                                  "Z.1\nG01 Z-1.2 F.008\nX1.8\n"
                                  "G00 X4. Z2.\nT0505\nG00 X1.8 Z-1.1\nG01 X-.02 F.002\nG00 X1.8\nM30\n";
    const std::string rough = "G00 X42. Z2.\nG01 Z-40. F0.2\nX46.\nG00 X90. Z50.\n";
    const std::string straight = "T0303\nG00 X18. Z2.\nG01 Z-25. F0.15\nG00 Z2.\nX90. Z50.\n";
    const std::string behind_drill =
        program("O1\n", rough + "T0202\nG00 X0 Z3.\nG01 Z-30. F0.1\nG00 Z50.\n" + straight);
    const std::string behind_centre =
        program("O1\n", rough + "T0202\nG00 X0 Z3.\nG01 Z-5. F0.1\nG00 Z50.\n" + straight);
    const std::string finish_bar =
        program("O1\n(T02 DRILL 17)\n(T06 FINISH BAR R0.4)\n",
                rough + "T0202\nG00 X0 Z3.\nG01 Z-30. F0.1\nG00 Z50.\nT0606\nG00 X18. "
                        "Z2.\nG01 Z-25. F0.15\nG00 Z2.\nX90. Z50.\n");
    const std::string swept = program(
        "O1\n",
        rough + "T0505\nG00 X44. Z-20.\nG01 X36. F0.08\nG00 X44.\nZ-18.5\nG01 X36.\nZ-20.\nG00 X44.\n");
    const std::string step =
        program("O1\n", rough + "T0505\nG00 X44. Z-40.\nG01 X42. F0.08\nZ-42.\nG00 X60.\n");
    const std::string stopped = program("O1\n", "T0707\nG00 X0 Z5.\nG01 Z0.5 F0.5\nG00 Z60.\nT0101\nG00 X46. "
                                                "Z0\nG01 X-1.6 F0.2\n" +
                                                    rough);
    const std::string bush = "O1\nG21 G99 G97 S800 M03\nT0202\nG00 X0 Z3.\nG01 Z-30. F0.1\nG00 Z50.\n"
                             "T0303\nG00 X18. Z2.\nG01 Z-25. F0.15\nG00 X17.\nZ2.\nX90. Z50.\n"
                             "T0404\nG00 X18.4 Z2.\nG01 Z-25. F0.1\nG00 Z2.\nX90. Z50.\nM30\n";
    const std::string hole = "T0202\nG00 X0 Z3.\nG01 Z-30. F0.1\nG00 Z50.\n";
    const std::string bore = "T0303\nG00 X20. Z2.\nG01 Z-25. F0.1\nG00 X19.\nZ2.\nX90. Z50.\n";
    const std::string tapped = program("O1\n", turn + hole +
                                                   "T0303\nG00 X0 Z5.\nG84 Z-15. F1.25\nG80\nG00 Z50.\n"
                                                   "T0404\nG00 X0 Z5.\nG32 Z-12. F1.5\nG00 Z50.\n");
    const std::string spot = "T0707\nG00 X0 Z3.\nG01 Z-4. F0.1\nG00 Z50.\n";
    const std::string spotted = program("O1\n", turn + spot + hole);
    const std::string short_hole = program("O1\n", turn + spot);
    const std::string wide_bore = "T0303\nG00 X30. Z2.\nG01 Z-25. F0.1\nG00 X29.\nZ2.\nX90. Z50.\n";
    const std::string ring = program(
        "O1\n", "G00 X46. Z1.5\nG01 X28. F0.2\nG00 Z3.\nX46.\nZ0\nG01 X28.\nG00 Z2.\n" + turn + wide_bore);
    const std::string shouldered =
        program("O1\n", "G00 X46. Z-2.\nG01 X36. F0.2\nG00 Z3.\n" + turn + wide_bore);
    const std::string reamed =
        program("O1\n", turn + hole + "T0303\nG00 X0 Z3.\nG01 Z-20. F0.3\nZ2. F0.6\nG00 Z50.\n");
    const std::string turned_back =
        program("O1\n", turn + hole + "T0303\nG00 X0 Z3.\nG01 Z-20. F1.\nM04\nZ2.\nG00 Z50.\n");
    const std::string in_bore = program(
        "O1\n", turn + hole + bore + "T0606\nG00 X18. Z2.\nZ-15.\nG01 X24. F0.05\nX18. F0.5\nG00 Z50.\n");
    const std::string to_centre = "G00 X46. Z0\nG01 X-1.6 F0.2\nG00 Z2.\n";
    const std::string face_groove = program(
        "O1\n", to_centre + turn + hole + bore + "T0606\nG00 X28. Z1.\nG01 Z-3. F0.05\nG00 Z1.\nX90. Z50.\n");
    const std::string bored_off = program("O1\n", to_centre + turn + hole + bore);
    const std::string bar_stop =
        program("O1\n", "T0707\nG00 X0 Z20.\nZ0.5\nG04 X1.\nG00 Z20.\nX90.\nT0101\n" + to_centre + turn);
    const std::string hexagon = program("O1 (SCREW)\n(SECHSKANT SW 46, 11SMN30)\n", turn);
    const std::string no_hexagon = program("O1 (SCREW)\n(SECHSKANT SW 24, 11SMN30)\n", turn);
    const std::string tiny =
        program("O1\n", "G00 X3.6 Z0\nG01 X-.2 F0.02\nG00 X2. Z.3\nG01 Z-9. F.03\nX3.4\nG00 X20. "
                        "Z20.\nT0505\nG00 X3.6 Z-8.\nG01 X-.2 F0.02\nG00 X20.\n");
    const std::string disc = program("O1 (DISC 46 X 24)\n(DISC D46 X 27 C45)\n", turn);
    const Row rows[] = {
        {"a bore alone, finished by a bar that goes in and out straight",
         bush.c_str(),
         {"diameter 27.6 mm for the drawing alone (nothing outside is turned)", "T02 drill, diameter 18 mm",
          "T03 boring (by its moves)", "T04 boring (by its moves)"}},
        {"in inches, from one note for all tools",
         in_inches.c_str(),
         {"(1.65 in at least, the largest that is turned)", "T01 turning, nose radius 0.0312 in (its note)",
          "T05 parting as of a common blade, width 0.125 in (its note)"}},
        {"note",
         by_note.c_str(),
         {"diameter 50 mm (note MATERIAL 50 DIA BRASS)", "nose radius 0.8 mm (its note)"}},
        {"a note smaller than what is turned", too_small.c_str(), {"diameter 44 mm (42 mm at least"}},
        {"facing", faced.c_str(), {"face at Z1.5 at least (the first facing)"}},
        {"drill by its note", drilled.c_str(), {"T02 drill, diameter 8.5 mm (its note)"}},
        {"drill of no size", no_diameter.c_str(), {"its hole is not drawn"}},
        {"boring bar by its way off", bored.c_str(), {"T03 boring (by its moves)", "bore 20 mm at most"}},
        {"inside thread by its way off",
         threaded.c_str(),
         {"T03 boring", "T04 threading inside (its note and its moves)"}},
        {"grooves alone", grooves.c_str(), {"diameter 62 mm at most (where the grooving begins)"}},
        {"parting blade", parted.c_str(), {"T05 parting as of a common blade, width 3 mm (by its moves)"}},
        {"a boring bar that goes in and out of its hole straight, behind a drill",
         behind_drill.c_str(),
         {"T03 boring (by its moves)"}},
        {"a pin finished behind a centre drill is no hole",
         behind_centre.c_str(),
         {"T03 turning (by its moves)"}},
        {"a blade that goes down into the metal and along the bottom",
         swept.c_str(),
         {"T05 grooving as of a common blade, width 3 mm (by its moves)"}},
        {"a tool that goes down beside what was turned", step.c_str(), {"T05 turning (by its moves)"}},
        {"what stays in front of the face on the centre",
         stopped.c_str(),
         {"T07 bar stop or puller", "T01 turning (by its moves)"}},
        {"a tap by its cycle and by a thread on the axis",
         tapped.c_str(),
         {"T02 drill", "T03 tap", "T04 tap"}},
        {"what is not deep in front of a drill", spotted.c_str(), {"T07 centre drill", "T02 drill"}},
        {"a short hole alone", short_hole.c_str(), {"T07 drill"}},
        {"a ring that is faced into its bore",
         ring.c_str(),
         {"bore 30 mm at most (bored, never drilled)", "face at Z1.5 at least (the first facing)"}},
        {"a shoulder of a ring faces nothing", shouldered.c_str(), {"face at Z0 (no facing: the datum)"}},
        {"a reamer goes down the drilled hole and feeds out", reamed.c_str(), {"T02 drill", "T03 reamer"}},
        {"a tap in a holder turns back", turned_back.c_str(), {"T02 drill", "T03 drill"}},
        {"a blade in a bore", in_bore.c_str(), {"T03 boring", "T06 grooving as of a common blade"}},
        {"a blade into the face, beside what turns and bores",
         face_groove.c_str(),
         {"T01 turning (by its moves)", "T06 face grooving"}},
        {"a bar that bores and goes off inward is none", bored_off.c_str(), {"T03 boring (by its moves)"}},
        {"a stop that cuts nothing",
         bar_stop.c_str(),
         {"T07 bar stop or puller (by its moves)", "T01 turning"}},
        {"a hexagon bar over its corners",
         hexagon.c_str(),
         {"stock hexagon 46 mm across flats, 53.12 mm over its corners (note SECHSKANT SW 46, 11SMN30)"}},
        {"a hexagon that is smaller than what is turned",
         no_hexagon.c_str(),
         {"stock diameter 44 mm (42 mm"}},
        {"a small blade of a small part", tiny.c_str(), {"T05 parting as of a common blade, width 1 mm"}},
        {"a disc that the program is called by, and its larger stock",
         disc.c_str(),
         {"stock diameter 46 mm (note DISC D46 X 27 C45)"}},
        {"a bar by its note", finish_bar.c_str(), {"T06 boring, nose radius 0.4 mm (its note)"}},
    };
    for (const Row& row : rows) {
        INFO(row.what);
        const std::string svg = picture_svg(*opened(row.program)), assumed = assumed_in(svg);
        INFO(assumed);
        for (const char* text : row.told) {
            INFO(text);
            CHECK(assumed.find(text) != std::string::npos);
        }
        CHECK((svg.find("<path class=\"part\"") != std::string::npos) == row.drawn);
    }
    // A blade that plunges outward leaves the metal outside of its groove.
    const std::string grooved = "O1\n(T06 GROOVE 3 WIDE)\nG21 G99 G97 S800 M03\nT0101\n" + turn +
                                "T0606\nG00 X20. Z2.\nZ-10.\nG01 X26. F0.05\nG00 X20.\nZ50.\nM30\n";
    const auto document = opened(grooved);
    const report::PictureParts parts =
        report::parts_of(*document, report::drawn_stock(*document, report::make_picture(*document)));
    REQUIRE_FALSE(parts.after.empty());
    for (const report::Outline& outline : parts.after)
        for (const motion::Point& point : outline)
            CHECK_FALSE((point.x_radius_mm > 20.9 && point.z_mm > -13.5 && point.z_mm < -6.5));
    // What the shop file gives is not assumed, and with nothing that tells a size nothing is drawn.
    const std::string given = picture_svg(*opened(by_note, std::string(shop_with_stock) +
                                                               "[[tool]]\nstation = 1\nkind = \"turning\"\n"
                                                               "hand = \"right\"\n"));
    CHECK(given.find("assumed: stock") == std::string::npos);
    CHECK(picture_svg(*opened("O1\nG21\nT0101\nG00 X40. Z2.\nM30\n")).find("Stock not drawn") !=
          std::string::npos);
}

TEST_CASE(
    "an insert that is assumed has the shape of its note, and is slim only for a way that asks for it") {
    struct Row {
        const char *what, *note, *moves;
        double approach, back;
    };
    const char* turns = "G00 X42. Z2.\nG01 Z-30. F0.2\nX46.\nG00 X90. Z50.\n";
    const char* faces = "G00 X46. Z0\nG01 X-1.6 F0.2\nG00 Z2.\nX42.\nG01 Z-30.\nX46.\nG00 X90. Z50.\n";
    const char* dives = "G00 X42. Z2.\nG01 Z-10. F0.2\nX36. Z-13.\nZ-30.\nX46.\nG00 X90. Z50.\n";
    const char* plunges = "G00 X42. Z2.\nG01 Z-10. F0.2\nX36.\nZ-30.\nX46.\nG00 X90. Z50.\n";
    const Row rows[] = {
        // Angles at the nose by the letters of ISO 1832: C 80, D 55, V 35 (from memory)
        {"by its angle", "ROUGH TURN 80 DEG R0.8", faces, 95, 5},
        {"by its name", "CNMG120408", turns, 95, 5},
        {"another", "DNMG150604", turns, 95, 30},
        {"upright by 5 degrees at the most, for walls stay square", "DNMG150604", dives, 90, 35},
        {"slim enough", "VNMG160404", dives, 95, 50},
        {"by its moves", "TURN", dives, 95, 45},
        {"facing asks for none", "TURN", faces, 95, 30},
        {"into the metal behind what stays", "TURN", plunges, 72.5, 72.5},
    };
    for (const Row& row : rows) {
        INFO(row.what);
        const auto document = opened(std::string("O1\n(T01 ") + row.note +
                                     ")\nG21 G99 G97 S800 M03\nT0101\n" + row.moves + "M30\n");
        const report::DrawnStock drawn = report::drawn_stock(*document, report::make_picture(*document));
        REQUIRE(drawn.shop);
        REQUIRE(drawn.shop->tools.size() == 1);
        const shop::Tool& tool = drawn.shop->tools.front();
        CHECK(tool.approach_angle_deg.value() == Approx(row.approach));
        CHECK(tool.back_angle_deg.value() == Approx(row.back));
    }
}

TEST_CASE("stock that a note gives is not called assumed beside tools that are") {
    const std::string svg = picture_svg(*opened("O1 (STOCK D60. L70. JAW Z-40. D140. MATERIAL P)\nG21 G99\n"
                                                "N1 T0101 (TURN)\nG97 S500 M03\nG00 X56. Z2.\n"
                                                "G01 Z-20. F0.2\nG00 X100. Z50.\nM30\n"));
    CHECK(svg.find("what is left, as assumed") != std::string::npos);
    CHECK(assumed_in(svg).find("T01 turning") != std::string::npos);
    CHECK(assumed_in(svg).find("stock") == std::string::npos);
}

TEST_CASE("an arc turns the way it is cut") {
    // A quarter counter-clockwise, seen with Z to the right and X up, from 3 o'clock to 12 o'clock.
    const motion::Segment quarter = arc({0, 10}, {10, 0}, {0, 0}, std::numbers::pi / 2);
    // In SVG a sweep flag of 0 is counter-clockwise on the screen (SVG 1.1, 8.3.8).
    CHECK(report::path_data(std::span(&quarter, 1), plain_frame()) ==
          "M10 100A10 10 0 0 0 7.07 92.93A10 10 0 0 0 0 90");
    const motion::Segment circle = arc({0, 10}, {0, 10}, {0, 0}, -2 * std::numbers::pi);
    CHECK(report::path_data(std::span(&circle, 1), plain_frame()) ==
          "M10 100A10 10 0 0 1 -10 100A10 10 0 0 1 10 100");
}

TEST_CASE("every move is drawn in its own way and names its line") {
    const std::string svg = picture_svg(*opened(two_tools));
    CHECK(svg.find("<path class=\"feed\" data-line=\"7\"") != std::string::npos);
    CHECK(svg.find("<path class=\"rapid\" data-line=\"9\"") != std::string::npos);
    CHECK(svg.find("<title>line 7: G01 Z-48. F0.2</title>") != std::string::npos);
    CHECK(count_of(svg, "<g class=\"sequence\"") == 2);
    CHECK(svg.find("X mm (diameter)") != std::string::npos);
    CHECK(assumed_in(svg).starts_with(
        "assumed: stock diameter 41 mm (40 mm at least, the largest that is turned)"));
    const std::string thread =
        picture_svg(*opened("G21 G99\nT0101\nG97 S500 M03\nG00 X30. Z5.\nG92 X19.5 Z-20. F1.5\nX19.\nM30\n"));
    CHECK(count_of(thread, "<path class=\"thread\"") == 2);
    CHECK(thread.find("<path class=\"link\" data-line=\"6\"") != std::string::npos);
}

TEST_CASE("stock, jaws and what is left are drawn where they are known") {
    const std::string svg = picture_svg(*opened(two_tools, shop_with_stock));
    CHECK(svg.find("<path class=\"stock\"") != std::string::npos);
    CHECK(svg.find("<path class=\"jaw\"") != std::string::npos);
    CHECK(svg.find("Stock not drawn") == std::string::npos);
    // No tool of it is in the shop file: what is left rests on tools that are assumed, and says so.
    CHECK(svg.find("what is left, as assumed") != std::string::npos);
    CHECK(assumed_in(svg).find("T01 turning (its note)") != std::string::npos);
    const std::string tools = std::string(shop_with_stock) + R"(
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95.0
back_angle = 5.0
[[tool]]
station = 2
kind = "grooving"
width = 3.0
tip_direction = 3
)";
    const std::string given = picture_svg(*opened(two_tools, tools));
    CHECK(given.find("<path class=\"part\"") != std::string::npos);
    // Of stock and tools nothing any more.
    CHECK(given.find("what is left, as assumed") == std::string::npos);
    CHECK(assumed_in(given).find("T0") == std::string::npos);
    CHECK(assumed_in(given).find("stock") == std::string::npos);
}

TEST_CASE("an inch program has a scale in inch, X on radius when the machine reads it so") {
    const std::string svg = picture_svg(*opened(
        "G20 G99\nT0101\nG97 S500 M03\nG00 X1. Z.1\nG01 Z-2. F.01\nM30\n", "[machine]\nx = \"radius\"\n"));
    CHECK(svg.find("X in (radius)") != std::string::npos);
    CHECK(svg.find("Z in") != std::string::npos);
}

TEST_CASE("what cannot be drawn is said") {
    const std::string no_unit =
        picture_svg(*opened("T0101\nG97 S100 M03\nG00 X30. Z15.\nG01 Z-5. F0.05\nM30\n"));
    CHECK(no_unit.find("No move can be drawn") != std::string::npos);
    const std::string by_its_feed =
        picture_svg(*opened("T0101\nG97 S500 M03\nG00 X30. Z15.\nG01 Z-5. F0.2\nM30\n"));
    CHECK(by_its_feed.find("No move can be drawn") == std::string::npos);
    CHECK(assumed_in(by_its_feed).find("millimetre (by its feeds: F0.2 in line 4)") != std::string::npos);
    CHECK(picture_svg(*opened("(NOTHING)\n")).find("No block of this program moves the tool.") !=
          std::string::npos);
}

TEST_CASE("the second spindle's jaws are drawn where it works, and nowhere else") {
    constexpr std::string_view shop = "units = \"mm\"\n[stock]\ndiameter = 50\nsecond_jaw_front_z = 18\n"
                                      "second_jaw_diameter = 120\n";
    const std::string head = "(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)\nG21 G99\n";
    const std::string turned =
        "T0202\nG97 S900 M203\nG00 X54. Z-5.\nX46.\nG01 Z12. F.15\nX54.\nG00 Z-5.\nM205\nM30\n";
    const auto second = opened(head + "G55\n" + turned, shop);
    const report::Picture picture = report::make_picture(*second);
    REQUIRE(picture.second_line);
    CHECK(*picture.second_line == 7);
    const report::PictureParts parts =
        report::parts_of(*second, report::drawn_stock(*second, picture), picture);
    REQUIRE(parts.second_jaws.size() == 1);
    double front = 1e9, outside = 0, inside = 1e9;
    for (const motion::Point& point : parts.second_jaws.front()) {
        front = std::min(front, point.z_mm);
        outside = std::max(outside, point.x_radius_mm);
        inside = std::min(inside, point.x_radius_mm);
    }
    CHECK(front == Approx(18));
    CHECK(outside == Approx(60));
    CHECK(inside == Approx(25));
    CHECK(picture_svg(*second).find("jaws of the second spindle") != std::string::npos);

    // On the other side of their front, where the face has minus in front of it.
    const auto minus =
        opened("(M303 SUB CW  M305 SUB STOP)\nG20 G99\nG55\nT0202\nG97 S900 M303\nG00 X2.4 Z.1\n"
               "X1.9\nG01 Z-.5 F.006\nX2.4\nG00 Z.1\nM305\nM30\n",
               "units = \"inch\"\n[stock]\nsecond_jaw_front_z = -0.75\nsecond_jaw_diameter = 5\n");
    const report::Picture in_minus = report::make_picture(*minus);
    const auto jaws = report::parts_of(*minus, report::drawn_stock(*minus, in_minus), in_minus).second_jaws;
    REQUIRE(jaws.size() == 1);
    for (const motion::Point& point : jaws.front()) CHECK(point.z_mm <= -0.75 * 25.4 + 1e-6);

    // The main spindle turns the same: its own jaws stand in the shop file or are not known.
    const auto main =
        opened("G21 G99\nG55\nT0202\nG97 S900 M03\nG00 X54. Z-5.\nX46.\nG01 Z12. F.15\nX54.\nM30\n", shop);
    const report::Picture of_main = report::make_picture(*main);
    CHECK_FALSE(of_main.second_line);
    CHECK(report::parts_of(*main, report::drawn_stock(*main, of_main), of_main).second_jaws.empty());
    CHECK(picture_svg(*main).find("jaws of the second spindle") == std::string::npos);
}

TEST_CASE("a picture of a program without end is cut short, and says so") {
    std::string text = "O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X40. Z2.\n";
    for (std::size_t i = 0; i < report::most_picture_steps; ++i) text += i % 2 ? "G01 Z-5.\n" : "G01 Z2.\n";
    const auto document = opened(text + "M30\n");
    const report::Picture picture = report::make_picture(*document);
    CHECK(picture.steps.size() == report::most_picture_steps);
    CHECK(picture.last_line == report::most_picture_steps - 1);
    CHECK(picture.open_blocks >= 1);
    CHECK(picture_svg(*document).find("cut short at line 100000: the program is too long for one picture") !=
          std::string::npos);
    CHECK_FALSE(report::make_picture(*opened("G21\nG00 X40. Z2.\nM30\n")).last_line);
}

TEST_CASE("program text is text in the picture and on the page, never markup") {
    const auto document =
        opened("O1 (</title></script><script>alert(1)</script><img src=x onerror=alert(2)>)\n"
               "G21 G99\nN1 (<b onclick='x'>\"&amp;\")\nT0101\nG97 S500 M03\n"
               "G00 X30. Z5. (</script><!-- ]]>)\nG01 Z-5. F0.2\nM30\n");
    for (const std::string& out : {picture_svg(*document), picture_page(*document), sheet_page(*document)}) {
        CHECK(out.find("<script>alert") == std::string::npos);
        CHECK(out.find("<img") == std::string::npos);
        CHECK(out.find("<b ") == std::string::npos);
        CHECK(out.find("<!--") == std::string::npos);
    }
    const std::string page = picture_page(*document);
    CHECK(count_of(page, "<script") == 2);
    CHECK(count_of(page, "</script") == 2);
}

TEST_CASE("the page asks nothing of a network") {
    const std::string page = picture_page(*opened(two_tools));
    CHECK(page.find("default-src 'none'") != std::string::npos);
    // The only addresses are the name of the SVG vocabulary, which nothing is fetched from.
    constexpr std::string_view vocabulary = "http://www.w3.org/2000/svg";
    CHECK(count_of(page, "http://") == count_of(page, vocabulary));
    CHECK(count_of(page, "https:") == 0);
    CHECK(page.find("src=") == std::string::npos);
    CHECK(page.find("url(http") == std::string::npos);
}

namespace {

constexpr std::string_view turning_tool = R"(
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95.0
back_angle = 5.0
)";

report::FilmRow played(const report::StockFilm& film, std::size_t moves) {
    report::FilmRow row = film.first;
    for (const report::FilmChange& change : film.changes) {
        if (change.segment >= moves) break;
        REQUIRE(change.start + change.removed <= row.size());
        const auto at = row.begin() + change.start;
        row.insert(row.erase(at, at + change.removed), change.put.begin(), change.put.end());
    }
    return row;
}

} // namespace

TEST_CASE("the stock behind every move is that of the whole way to it") {
    const std::string shop = std::string(shop_with_stock) + std::string(turning_tool);
    const auto document = opened("G21 G99\nT0101\nG97 S500 M03\nG00 X54. Z2.\nG71 U2. R0.5\n"
                                 "G71 P1 Q2 U0.4 W0.1 F0.2\nN1 G00 X20.\nG01 Z-20.\nX30. Z-30.\nN2 X54.\n"
                                 "G70 P1 Q2\nM30\n",
                                 shop);
    const report::Picture picture = report::make_picture(*document);
    const report::StockFilm film =
        report::film_of(*document, picture, report::drawn_stock(*document, picture));
    CHECK(film.why_not.empty());
    CHECK_FALSE(film.followed_to);
    // Before the first cut the raw stock stands there, not the finished part.
    CHECK(played(film, 1) == film.first);
    std::size_t in_roughing = 0;
    for (const report::PictureStep& step : picture.steps)
        for (const report::FilmChange& change : film.changes)
            in_roughing += step.line == 5 && change.segment >= step.first_segment &&
                           change.segment < step.first_segment + step.segment_count;
    // 50 down to 20 with 2 mm on radius a pass are eight passes.
    CHECK(in_roughing >= 7);
    // Played to the end it is what the stock room has left.
    const stock::ProgramCourse* course =
        report::drawn_stock(*document, report::make_picture(*document)).course;
    REQUIRE(course);
    REQUIRE(course->sequences.back().out);
    CHECK(played(film, picture.segments.size()) == report::film_row(*course->sequences.back().out));
    for (const report::FilmChange& change : film.changes) CHECK(change.segment < picture.segments.size());
}

TEST_CASE("the film of the stock goes through a subprogram once for every call") {
    const std::string shop = std::string(shop_with_stock) + std::string(turning_tool);
    const auto document = opened("O1\nG21 G99\nT0101\nG97 S500 M03 F0.2\nG00 X54. Z2.\nX46.\nM98 P2\nX42.\n"
                                 "M98 P2\nG00 X80. Z20.\nM30\nO2\nG01 Z-20.\nG00 U2.\nZ2.\nM99\n",
                                 shop);
    const report::Picture picture = report::make_picture(*document);
    const report::StockFilm film =
        report::film_of(*document, picture, report::drawn_stock(*document, picture));
    CHECK(film.why_not.empty());
    REQUIRE(film.changes.size() == 2);
    const auto move = [&](std::size_t change) { return picture.segments[film.changes[change].segment]; };
    CHECK(move(0).to.x_radius_mm == Approx(23));
    CHECK(move(1).to.x_radius_mm == Approx(21));
    CHECK(move(1).to.z_mm == Approx(-20));
}

TEST_CASE("rows of corners that are the same have no change between them") {
    const report::FilmRow row{{0, 0}, {5, 0}, {5, 9}, report::loop_end};
    CHECK_FALSE(report::change_between(row, row));
    const auto change =
        report::change_between(row, {{0, 0}, {5, 0}, {5, 4}, {3, 4}, {3, 9}, report::loop_end});
    REQUIRE(change);
    CHECK(change->start == 2);
    CHECK(change->removed == 1);
    CHECK(change->put == report::FilmRow{{5, 4}, {3, 4}, {3, 9}});
}

TEST_CASE("where the stock is not followed the page says from where on") {
    const auto document = opened(two_tools, shop_with_stock);
    const report::Picture picture = report::make_picture(*document);
    report::DrawnStock stated;
    stated.course = &document->results().stock().programs().front();
    stated.shop = &document->shop();
    const report::StockFilm film = report::film_of(*document, picture, stated);
    // No tool of it is in the shop file: from the first cut, in line 7, on.
    REQUIRE(film.followed_to);
    CHECK(picture.segments[*film.followed_to].to.z_mm == Approx(-48));
    CHECK(film.why_not == "the stock cannot be followed beyond line 7");
    // With the tools that its moves tell it is, and that is said.
    const report::DrawnStock drawn = report::drawn_stock(*document, picture);
    CHECK_FALSE(drawn.assumed.empty());
    CHECK_FALSE(report::film_of(*document, picture, drawn).followed_to);
}

TEST_CASE("assumed stock is followed past what no cut is known of, and the picture says so") {
    const auto followed = [](const std::string& program) {
        const auto document = opened(program);
        const report::Picture picture = report::make_picture(*document);
        const report::DrawnStock drawn = report::drawn_stock(*document, picture);
        std::string told;
        for (const std::string& assumed : drawn.assumed) told += assumed + "; ";
        const report::StockFilm film = report::film_of(*document, picture, drawn);
        REQUIRE_FALSE(film.changes.empty());
        return std::pair(!film.followed_to.has_value(), told);
    };
    const std::string head = "O0001\nG21 G99 G50 S2000\n";
    const std::string turn = "T0101\nG96 S180 M03\nG00 X62. Z0\nG01 X-1.6 F.2\nG00 Z2.\nX58.\nG01 Z-30.\nG00 "
                             "X60. Z2.\nX50.\nG01 Z-20.\nX62.\n"
                             "G00 X150. Z150.\n";
    const std::string not_drawn = "what is not drawn of the moves takes nothing off";
    // A program out of sight.
    auto [all, told] = followed(head + "M98 P9001\n" + turn + "M30\n");
    CHECK(all);
    CHECK(told.find(not_drawn) != std::string::npos);
    CHECK(followed(head + turn + "M30\n").second.find(not_drawn) == std::string::npos);
    // Holes that a turning tool makes across the part.
    CHECK(followed(head + turn +
                   "T0505 (END MILL 6)\nG98 M19\nG97 S2000 M03\nG00 X60. Z-10. C0\n"
                   "G01 X40. C30. F100\nG00 X150. Z150.\nM30\n")
              .first);
    // Parts one after another, as many as a counter out of sight says.
    CHECK(followed("O0001\nN1 G21 G99 G50 S2000\n" + turn + "#500=#500+1\nIF[#500 LT 5]GOTO 1\nM30\n").first);
    CHECK(followed(head + turn + "IF[#500 LT 5]GOTO 99\nM99\nN99 M30\n").first);
    // A bar that is pulled when all is done; turned again, where it stands is not known.
    const std::string pull =
        "M05\nT0808 (BAR PULLER)\nG00 X0 Z5.\nG98 G01 Z-10. F800\nW20.\nG99\nG00 X150. Z150.\n";
    CHECK(followed(head + turn + pull + "M30\n").first);
    CHECK_FALSE(followed(head + turn + pull + turn + "M30\n").first);
    // Behind a part-off the next part begins on the bar as the first one did.
    const std::string part_off =
        "T0303 (PART OFF 3)\nG97 S900 M03\nG00 X64. Z-28.\nG01 X-1. F.05\nG00 X150. Z150.\n";
    const auto [next, next_told] = followed(head + turn + part_off + pull + turn + "M30\n");
    CHECK(next);
    CHECK(next_told.find("the bar that is pulled behind a part-off stands as the first one did") !=
          std::string::npos);
    // The same blocks behind it in another datum make the next part; others may turn its other end.
    const std::string twice = "M98 P2\nM30\nO0002\n" + turn + part_off + "M99\n";
    CHECK(followed(head + "G54\nM98 P2\nG55\n" + twice).first);
    CHECK(followed(head + "M98 P2\nG52 Z-31.\n" + twice).first);
    CHECK_FALSE(followed(head + "G54\n" + turn + part_off + "G55\n" + turn + "M30\n").first);
    CHECK_FALSE(followed(head + "G54\nM98 P2\nG55\nM98 P2\nM30\nO0002\n" + turn + "M99\n").first);
    // Tools that a called program calls are read and assumed as those of the main one.
    CHECK(followed(head + "M98 P2\nM30\nO0002\n" + turn + part_off + "M99\n").first);
}

TEST_CASE("a part that a note turns round is drawn with its other end in front") {
    const auto left = [](const std::string& stop, const std::string& stock) {
        const auto document =
            opened("O0001 (" + stock +
                   ")\nG21 G99 G50 S2000\nT0101\nG96 S180 M03\nG00 X84. Z0\n"
                   "G01 X-1.6 F.2\nG00 X70. Z2.\nG01 Z-25.\nX84.\nG00 X150. Z150.\n" +
                   stop +
                   "\nT0202\nG96 S180 M03\nG00 X84. Z2.\nG01 X-1.6 F.2\nG00 X50. Z4.\nG01 Z-10.\n"
                   "X84.\nG00 X150. Z150.\nM30\n");
        const report::Picture picture = report::make_picture(*document);
        const report::DrawnStock drawn = report::drawn_stock(*document, picture);
        std::string told;
        for (const std::string& assumed : drawn.assumed) told += assumed + "; ";
        return std::pair(report::left_of(drawn), told);
    };
    // 62 mm, faced by nothing: the end turned to 70 points to the chuck, 25 mm long, 60 mm behind Z2.
    const auto [part, told] = left("M00 (TURN THE PART ROUND)", "MATERIAL C45 D80 X 62");
    REQUIRE(part.region);
    const stock::Box all = part.region->box();
    CHECK(all.z_max == Approx(2));
    CHECK(all.z_min == Approx(-60));
    const auto widest = [&](double from, double to) {
        return stock::intersect(*part.region, stock::rectangle(from, to, 0, 100)).box().x_max;
    };
    CHECK(widest(-60, -36) == Approx(35));
    CHECK(widest(-34, -12) == Approx(40));
    CHECK(widest(-9, 2) == Approx(25));
    CHECK(told.find("turned round in front of line 12: the other end at Z2, at least") != std::string::npos);
    // With no length told: what both sides turn.
    const auto [least, least_told] = left("M00 (OP 20)", "BAR D80");
    REQUIRE(least.region);
    CHECK(least.region->box().z_min == Approx(-33));
    CHECK(least_told.find("35 mm long at least (what both sides turn)") != std::string::npos);
    // A stop to measure turns nothing round.
    CHECK(left("M00 (MEASURE)", "BAR D80").second.find("turned round") == std::string::npos);
    CHECK(left("M01 (OP 20)", "BAR D80").second.find("turned round") == std::string::npos);
}

TEST_CASE("blocks with a block delete are drawn as read, and the way goes on from there") {
    const auto document =
        opened("G21 G99\nT0101\nG97 S500 M03\nG00 X105. Z2.\n/G00 X99.\n/G01 Z-20. F.3\n/X103.\n"
               "/G00 Z2.\nG00 X96.\nG01 Z-5. F.2\nM30\n");
    const report::Picture picture = report::make_picture(*document);
    CHECK(picture.open_blocks == 0);
    CHECK(picture.steps.back().without_time == 0);
    CHECK(report::picture_remarks(*document, picture, true).find("drawn as read") != std::string::npos);
}

TEST_CASE("jumps with known values take no time, those back are gone turn by turn") {
    const std::string head = "G21 G99\nT0101\nG97 S500 M03\nG00 X60. Z2.\n#1=2\n";
    const auto without_time = [&](const std::string& body) {
        return report::make_picture(*opened(head + body + "M30\n")).steps.back().without_time;
    };
    CHECK(without_time("IF[#1 GT 1]GOTO 20\nG01 Z-5. F.2\nN20 G00 X40.\n") == 0);
    // Of a jump whose condition is not known one way is taken, and told.
    const std::string either = head + "IF[#500 GT 1]GOTO 20\nG01 Z-5. F.2\nX30.\nN20 G00 X40.\nZ-2.\nM30\n";
    const report::Picture one_way = report::make_picture(*opened(either));
    CHECK(one_way.steps.back().without_time == 0);
    CHECK(one_way.about);
    CHECK(one_way.open_blocks == 0);
    REQUIRE(one_way.jumps.size() == 1);
    CHECK(one_way.jumps.front().turn == machine::PickedWay::Turn::passed);
    const std::string told = "as if its jump were not made (its condition is not known)";
    CHECK(report::picture_remarks(*opened(either), one_way, true).find(told) != std::string::npos);
    CHECK(report::sheet_markdown(*opened(either)).find(told) != std::string::npos);
    CHECK(report::make_picture(*opened(head + "G01 Z-5. F.2\nM30\n")).jumps.empty());
    // A loop whose end is not known is drawn and timed once, and what a jump leads past is not drawn.
    const std::string loop =
        head + "#2=0\nWHILE[#2 LT #500]DO1\nG01 Z-5. F.2\nG00 Z2.\n#2=#2+1\nEND1\nZ-2.\nM30\n";
    const report::Picture once = report::make_picture(*opened(loop));
    CHECK(once.steps.back().without_time == 0);
    CHECK(once.open_blocks == 0);
    CHECK(report::picture_remarks(*opened(loop), once, true)
              .find("the loop of line 7 once (how often it goes is not known)") != std::string::npos);
    const report::Picture over = report::make_picture(
        *opened(head + "IF[#500EQ1]GOTO10\n#3000=1\nN10 GOTO30\nN20 G01 Z-5. F.2\nN30 G00 Z3.\nM30\n"));
    CHECK(std::none_of(over.segments.begin(), over.segments.end(), [](const motion::Segment& segment) {
        return segment.kind == motion::SegmentKind::feed;
    }));
    const report::Picture turns = report::make_picture(
        *opened(head + "N10 G00 U-2.\nG01 Z-5. F.2\nG00 Z2.\n#1=#1-1\nIF[#1 GE 0]GOTO 10\nM30\n"));
    CHECK(turns.steps.back().without_time == 0);
    CHECK(turns.open_blocks == 0);
    CHECK(std::count_if(turns.segments.begin(), turns.segments.end(), [](const motion::Segment& segment) {
              return segment.kind == motion::SegmentKind::feed;
          }) == 3);
}

TEST_CASE("work round the axis is no turned cut, a chamfer is one") {
    const auto steps_with_moves = [](std::string_view text) {
        const report::Picture picture = report::make_picture(*opened(text));
        std::pair<std::size_t, std::size_t> counted{picture.round_axis, 0};
        for (const motion::Segment& segment : picture.segments)
            counted.second += segment.kind == motion::SegmentKind::feed;
        return counted;
    };
    using Counted = std::pair<std::size_t, std::size_t>;
    constexpr std::string_view head = "G21 G98 G18\nT0101\nG97 S500 M05\nG00 X60. Z2. C0.\n";
    CHECK(steps_with_moves(std::string(head) +
                           "G12.1\nG01 X40. C5. F200.\nX30.\nG13.1\nG01 Z-5. F100.\nM30\n") == Counted{2, 1});
    CHECK(steps_with_moves(std::string(head) +
                           "G07.1 C30.\nG01 Z-8. C40. F200.\nZ-20.\nG07.1 C0.\nG01 Z-5.\nM30\n") ==
          Counted{2, 1});
    CHECK(steps_with_moves(std::string(head) + "G01 Z-5. C90. F200.\nM30\n") == Counted{1, 0});
    CHECK(steps_with_moves("G21 G99\nT0101\nG97 S500 M03\nG00 X30. Z2.\nG01 Z-20. C2. F0.2\nX50.\nM30\n")
              .first == 0);
}

TEST_CASE("the turn of the work to a hole takes an assumed time") {
    const report::Picture holes = report::make_picture(*opened(
        "G21 G98 G18\nT0101\nG97 S500 M05\nG00 X40. Z2. C0.\nG83 Z-10. Q3000 F180.\nC120. Q3000\nG80\n"
        "M30\n"));
    CHECK(holes.steps.back().without_time == 0);
    CHECK(holes.about);
    // They are drawn where the tool is, as no turned cut.
    CHECK(holes.round_axis + holes.open_blocks == 0);
    CHECK(holes.turned_holes == 1);
    const report::PictureStep& second = holes.steps[5];
    CHECK(second.line == 5);
    CHECK(second.live);
    CHECK(second.segment_count > 2);
    // Not what else is open in the block.
    CHECK(report::make_picture(
              *opened("G21 G98 G18\nT0101\nG97 S500 M05\nG00 X40. Z2. C0.\nG83 Z-10. Q#500 C90. "
                      "F180.\nM30\n"))
              .steps.back()
              .without_time == 1);
}

TEST_CASE("a program that is not at hand is taken to cut nothing where no tool works") {
    const auto picture_of = [](const std::string& program) { return report::make_picture(*opened(program)); };
    const std::string head = "O1\nG21 G99\n", turn = "T0101\nG97 S500 M03\nG00 X40. Z2.\nG01 Z-5. F.2\n",
                      home = "G28 U0 W0\nM05\n", check = "M98 P9001\n", count = "G65 P9100 A1.\n";
    const report::Picture aside = picture_of(head + check + turn + home + count + "M09\nM30\n");
    CHECK(aside.aside == std::vector<std::string>{"O9001", "O9100"});
    CHECK(aside.open_blocks == 0);
    CHECK(aside.steps.back().without_time == 0);
    CHECK(aside.about);
    const std::string remarks = report::picture_remarks(*opened(head + check + turn + "M30\n"), aside, true);
    CHECK(remarks.find("O9001 is not at hand") != std::string::npos);
    // A program of the shop that changes the tool, by its number, behind one that has cut and is off the part
    for (const std::string& program :
         {head + turn + home + check + turn + "M30\n",
          head + turn + "G00 X60. Z50.\nM98 P9000 T0303\nG00 X40. Z2.\nM30\n",
          head + turn + "G00 X60. Z50.\nM98 P9102 (BAR)\nG50 X100. Z50.\nG96 S90 M03\nG00 X40. Z2.\nM30\n",
          head + turn + "G00 X60. Z50.\n" + check + "G00 X40. Z2.\nT0303\nM30\n",
          head + turn + "G00 X60. Z50.\n" + check + "G97 S300\n#1=5.\nG00 X40. Z2.\nG01 Z-5.\nM30\n",
          head + turn + "G00 X60. Z50.\n" + check + "G28 U0\nM30\n",
          head + turn + "G00 Z1.\nG65 P9010 T3 D3\nG97 S500 M03\nG00 X40. Z2.\nM30\n",
          head + turn + "G00 Z9.\nM98 P50 (TOOL CHANGE)\nG97 S500 M03\nG00 X40. Z2.\nM30\n",
          head + turn + "G00 Z9.\nM98 P50 (GRUNDSTELLUNG)\nT0202\nM30\n",
          head + turn + "G00 Z9. M05\nG65 P9011 X3. Z-1.4\nG97 S500 M03\nG00 X40. Z2.\nM30\n"}) {
        INFO(program);
        CHECK(picture_of(program).aside.size() == 1);
        CHECK(picture_of(program).open_blocks == 0);
    }
    // One that is called in front of the first tool as well, and never but in front of a T word or the end.
    const std::string off = "G01 X60.\n", change = "M98 P12\n",
                      next = "T0303\nG97 S500 M03\nG00 X40. Z2.\nG01 Z-5.\n";
    const report::Picture between =
        picture_of(head + change + turn + off + change + next + off + change + "M30\n");
    CHECK(between.aside.size() == 3);
    CHECK(between.open_blocks == 0);
    // Or for three tools; what measures and loads where the turret stands away is taken so, too.
    const std::string third = "T0505\nG97 S500 M03\nG00 X40. Z2.\nG01 Z-5.\n";
    CHECK(picture_of(head + turn + off + change + next + off + change + third + off + change + "M30\n")
              .open_blocks == 0);
    CHECK(picture_of(head + change + turn + off + change + next + off + change +
                     "G65 P9812 D40. Z-5.\nM98 P60 (BAR FEED)\nM98 P12\nM30\n")
              .open_blocks == 0);
    // A program of another number may call a tool and work by itself.
    CHECK(picture_of(head + change + turn + off + change + next + off + change + "M98 P60\nM98 P12\nM30\n")
              .open_blocks == 1);
    const std::string macro = "G65 P9001\n";
    CHECK(picture_of(head + macro + turn + off + macro + next + off + macro + "M30\n").open_blocks == 0);
    // One that has brought tools takes the last back, by whatever way it came off.
    CHECK(picture_of(head + "G65 P9006 T1 D1\n" + turn +
                     "G00 X60.\nG65 P9006 T3 D3\nG97 S500 M03\nG00 X40. Z2.\n"
                     "G01 Z-5.\nX60.\nG65 P9006 T0\nM30\n")
              .open_blocks == 0);
    // A macro with places is told what to work on.
    const std::string place = "G65 P9001 Z-5.\n";
    CHECK(picture_of(head + place + turn + off + place + next + off + place + "M30\n").open_blocks > 0);
    CHECK(picture_of(head + change + turn + off + change + next + off + "G65 P9812 D40. Z-5.\n" + change +
                     "M30\n")
              .open_blocks > 0);
    // Before the first tool alone, or in front of a move as well, it may cut.
    CHECK(picture_of(head + turn + off + change + next + off + change + "M30\n").open_blocks > 0);
    CHECK(picture_of(head + change + turn + off + change + next + off + change + "G00 X60.\nM30\n")
              .open_blocks > 0);
    // A macro with the spindle stopped and neither speed nor feed measures; by the turning spindle it may
    // cut.
    const std::string probe = "T1212\nG65 P9832 X40. Z-5.\nG28 U0\nM30\n";
    CHECK(picture_of(head + turn + home + probe).open_blocks == 0);
    CHECK(picture_of(head + turn + "G28 U0 W0\n" + probe).open_blocks > 0);
    CHECK(picture_of(head + turn + home + "T1212\nG65 P9832 X40. Z-5. F.1\nG28 U0\nM30\n").open_blocks > 0);
    // In the part, by a number of another sort, before the tool has cut, in front of a cut or of a rapid of
    // one axis, a macro while the part turns, on the way home of one axis, before a move, in a jump.
    for (const std::string& program :
         {head + turn + check + "G00 X60.\nM30\n", head + turn + check + turn + "M30\n",
          head + turn + home + "M98 P101\n" + turn + "M30\n",
          head + "T0101\nG97 S500 M03\nG00 X40. Z2.\n" + check + turn + "M30\n",
          head + turn + "G00 X60. Z50.\n" + check + "G01 X40. Z2.\nT0303\nM30\n",
          head + turn + "G00 X60. Z50.\n" + check + "G00 X40.\nG01 Z-5.\nM30\n",
          head + turn + "G00 X60. Z50.\n" + check + "G00 U-4. Z2.\nM30\n",
          head + turn + "G00 Z9.\nG65 P9011 X3. Z-1.4\nG00 X40. Z2.\nM30\n",
          head + turn + "G00 Z9.\nG65 P9011 X3. T12\nG00 X40. Z2.\nM30\n",
          head + turn + "G00 Z9.\nM98 P50 (GROOVE)\nG00 X40. Z2.\nM30\n",
          head + turn + "G28 U0\n" + count + "M30\n", head + turn + home + count + "G00 X40.\nM30\n",
          head + turn + home + count + "M99 P10\n"}) {
        INFO(program);
        const report::Picture open = picture_of(program);
        CHECK(open.aside.empty());
        CHECK(open.open_blocks > 0);
        CHECK(open.steps.back().without_time > 0);
    }
}

TEST_CASE("a page of five thousand moves stays small, one without end is cut short and says so") {
    const std::string shop = std::string(shop_with_stock) + std::string(turning_tool);
    const auto program = [](int passes) {
        std::string text = "O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X52. Z2.\n";
        for (int i = 0; i < passes; ++i)
            text += fmt::format("G00 X{:.3f}\nG01 Z-{:.3f}\nG00 U1.\nZ2.\n", 50 - i * 0.02, 30 - i * 0.02);
        return text + "M30\n";
    };
    CHECK(picture_page(*opened(program(1250), shop)).size() < 2'000'000);
    const std::string page = picture_page(*opened(program(25'000)));
    CHECK(page.size() < 6'000'000);
    CHECK(page.find("\"cutShort\":null") == std::string::npos);
}

TEST_CASE("time and state go with each step") {
    const report::Picture picture = report::make_picture(*opened(two_tools));
    const auto at_line = [&](std::size_t line) {
        for (const report::PictureStep& step : picture.steps)
            if (step.line == line - 1) return step;
        FAIL("no step");
        return report::PictureStep{};
    };
    // 50 mm at 0.2 mm/rev and 1000 rpm; a tool change, the way from it and the run-up as on a lathe of middle
    // size.
    CHECK(at_line(7).seconds == Approx(15.0 + 1.5 + 1.2 + 1.0));
    CHECK(picture.about);
    CHECK(at_line(7).without_time == 0);
    CHECK(picture.texts[at_line(7).position] == "X40. Z-48.");
    CHECK(picture.texts[at_line(7).feed] == "0.2 mm/rev");
    CHECK(picture.texts[at_line(7).spindle] == "G97 1000 rpm, forward");
    CHECK(picture.texts[at_line(16).tool].substr(0, 13) == "T02, offset 2");
}

} // namespace turnwright
