#include "report/opened.h"
#include "report/page_data.h"
#include "report/picture.h"
#include "report/stock_film.h"

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
    CHECK(svg.find("Stock not drawn") != std::string::npos);
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
    // No tool of it is in the shop file, so that nobody can know what is left.
    CHECK(svg.find("<path class=\"part\"") == std::string::npos);
    CHECK(svg.find("the stock cannot be followed beyond line") != std::string::npos);
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
    CHECK(picture_svg(*opened(two_tools, tools)).find("<path class=\"part\"") != std::string::npos);
}

TEST_CASE("an inch program has a scale in inch, X on radius when the machine reads it so") {
    const std::string svg = picture_svg(*opened(
        "G20 G99\nT0101\nG97 S500 M03\nG00 X1. Z.1\nG01 Z-2. F.01\nM30\n", "[machine]\nx = \"radius\"\n"));
    CHECK(svg.find("X in (radius)") != std::string::npos);
    CHECK(svg.find("Z in") != std::string::npos);
}

TEST_CASE("what cannot be drawn is said") {
    const std::string no_unit =
        picture_svg(*opened("T0101\nG97 S500 M03\nG00 X30. Z15.\nG01 Z-5. F0.05\nM30\n"));
    CHECK(no_unit.find("No move can be drawn") != std::string::npos);
    const std::string by_its_feed =
        picture_svg(*opened("T0101\nG97 S500 M03\nG00 X30. Z15.\nG01 Z-5. F0.2\nM30\n"));
    CHECK(by_its_feed.find("No move can be drawn") == std::string::npos);
    CHECK(by_its_feed.find("assumed: millimetre (by its feeds: F0.2 in line 4)") != std::string::npos);
    CHECK(picture_svg(*opened("(NOTHING)\n")).find("No block of this program moves the tool.") !=
          std::string::npos);
}

TEST_CASE("a picture of a program without end is cut short, and says so") {
    std::string text = "O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X40. Z2.\n";
    for (std::size_t i = 0; i < report::most_picture_steps; ++i) text += i % 2 ? "G01 Z-5.\n" : "G01 Z2.\n";
    const auto document = opened(text + "M30\n");
    const report::Picture picture = report::make_picture(*document);
    CHECK(picture.steps.size() == report::most_picture_steps);
    CHECK(picture.last_line == report::most_picture_steps - 1);
    CHECK(picture.open_blocks >= 4);
    CHECK(picture_svg(*document).find("cut short at line 200000: the program is too long for one picture") !=
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
    const report::StockFilm film = report::film_of(*document, picture);
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
    const stock::ProgramCourse* course = report::course_of_main(*document);
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
    const report::StockFilm film = report::film_of(*document, picture);
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
    const report::StockFilm film = report::film_of(*document, picture);
    // No tool of it is in the shop file: from the first cut, in line 7, on.
    REQUIRE(film.followed_to);
    CHECK(picture.segments[*film.followed_to].to.z_mm == Approx(-48));
    CHECK(film.why_not == "the stock cannot be followed beyond line 7");
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
    // 50 mm at 0.2 mm/rev and 1000 rpm; a tool change and the way from it as on a lathe of middle size.
    CHECK(at_line(7).seconds == Approx(15.0 + 1.5 + 1.2));
    CHECK(picture.about);
    CHECK(at_line(7).without_time == 0);
    CHECK(picture.texts[at_line(7).position] == "X40. Z-48.");
    CHECK(picture.texts[at_line(7).feed] == "0.2 mm/rev");
    CHECK(picture.texts[at_line(7).spindle] == "G97 1000 rpm, forward");
    CHECK(picture.texts[at_line(16).tool].substr(0, 13) == "T02, offset 2");
}

} // namespace turnwright
