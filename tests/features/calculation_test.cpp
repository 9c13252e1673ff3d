// Notes that ask for blocks: what is written makes the wanted contour, by the program's own motion.
#include "features/calculation.h"
#include "features/open.h"
#include "features/rewriting.h"
#include "motion/geometry.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <random>
#include <set>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Open;
using features::test::shop_of;
using features::test::with_edits;
using motion::Point;
using motion::Segment;

namespace {

/// How a program is written; sizes of a test are mm, X on radius.
struct Way {
    System system = System::A;
    bool inch = false, radius = false;

    std::string number(double mm) const { return fmt::format("{:.4f}", inch ? mm / 25.4 : mm); }
    std::string d(double radius_mm) const { return "D" + number(2 * radius_mm); }
    std::string x(double radius_mm) const { return "X" + number(radius ? radius_mm : 2 * radius_mm); }
    std::string z(double mm) const { return "Z" + number(mm); }
    std::string head() const {
        const std::string unit = system == System::C ? (inch ? "G70" : "G71") : inch ? "G20" : "G21";
        return unit + (system == System::A ? " G99" : " G90 G95") + "\nG97 S1000 M03\n";
    }
    std::shared_ptr<const shop::Shop> shop() const {
        shop::Shop made = shop::default_shop();
        made.machines.front().system = system;
        if (radius) made.machines.front().x = shop::XReading::radius;
        return std::make_shared<const shop::Shop>(std::move(made));
    }
    /// Half the last place that is written, over two axes.
    double rounding_mm() const { return inch ? 0.004 : 0.0015; }
};
std::vector<Way> all_ways() {
    std::vector<Way> ways;
    for (const System system : {System::A, System::B, System::C})
        for (const bool inch : {false, true})
            for (const bool radius : {false, true}) ways.push_back({system, inch, radius});
    return ways;
}

std::uint32_t note_line(const Document& document) {
    for (std::uint32_t line = 0; line < document.buffer().line_count(); ++line)
        if (question_at(document, line)) return line;
    FAIL("there is no question in\n" << document.buffer().whole());
    return 0;
}

std::string answered(const std::string& program, const Way& way) {
    Document document(program, way.shop());
    document.evaluate();
    const Rewrite rewrite = write_blocks(document, note_line(document));
    if (!rewrite.done()) return "refused: " + rewrite.refused;
    return with_edits(document, rewrite.files.at(0).edits);
}

/// Feed moves of every block, none with a trouble.
std::vector<Segment> cuts(const std::string& program, const Way& way) {
    Document document(program, way.shop());
    document.evaluate();
    std::vector<Segment> all;
    for (std::size_t run = 0; run < document.analysis().size(); ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) {
            const motion::BlockPath path = motion::path_of(view, document.analysis());
            INFO(program);
            CHECK(path.troubles.empty());
            for (const Segment& segment : path.segments)
                if (segment.kind == motion::SegmentKind::feed && segment.length_mm() > 1e-6)
                    all.push_back(segment);
        });
    return all;
}

class Dice {
public:
    explicit Dice(unsigned seed) : random_(seed) {}
    double between(double low, double high) {
        // As a drawing gives it.
        return std::round(std::uniform_real_distribution(low, high)(random_) * 10) / 10;
    }
    bool heads() { return random_() % 2; }

private:
    std::mt19937 random_;
};

double to_line(Point point, Point from, Point to) {
    return std::abs(motion::cross(to - from, point - from)) / motion::distance(from, to);
}

void check_at(Point found, Point wanted, double within) {
    CHECK(found.x_radius_mm == Approx(wanted.x_radius_mm).margin(within));
    CHECK(found.z_mm == Approx(wanted.z_mm).margin(within));
}

} // namespace

TEST_CASE("A taper's blocks run from diameter to diameter on every control") {
    Dice dice(1);
    for (int round = 0; round < 17; ++round)
        for (const Way& way : all_ways()) {
            const double from = dice.between(5, 25), to = dice.between(26, 45), length = dice.between(2, 60);
            const double begin = dice.between(-30, 0);
            const std::string program = way.head() + "G00 " + way.x(50) + ' ' + way.z(begin) + "\n(TAPER " +
                                        way.d(from) + ' ' + way.d(to) + " LENGTH " + way.number(length) +
                                        ")\n";
            const std::string text = answered(program, way);
            INFO(text);
            const std::vector<Segment> made = cuts(text, way);
            REQUIRE(made.size() == 2);
            check_at(made[1].from, {from, begin}, way.rounding_mm());
            check_at(made[1].to, {to, begin - length}, way.rounding_mm());
        }
}

TEST_CASE("A corner is cut off and all else of the contour stays") {
    Dice dice(2);
    for (int round = 0; round < 17; ++round)
        for (const Way& way : all_ways()) {
            const bool chamfer = dice.heads(), by_distance = dice.heads() && way.system == System::A;
            const bool own_line = dice.heads(), along = dice.heads();
            const Point a{dice.between(10, 15), 0}, b{along ? a.x_radius_mm : dice.between(16, 20), -20},
                c{dice.between(30, 40), dice.heads() ? -20 : dice.between(-50, -30)};
            const double size = dice.between(0.5, 3);
            const std::string note = fmt::format("({} {})", chamfer ? "CHAMFER" : "ROUND", way.number(size));
            std::string program = way.head() + "G00 " + way.x(a.x_radius_mm) + ' ' + way.z(a.z_mm) +
                                  "\nG01 " + (along ? "" : way.x(b.x_radius_mm) + ' ') + way.z(b.z_mm) +
                                  " F" + way.number(0.2);
            program += (own_line ? "\n" : " ") + note + '\n';
            const Point step = c - b;
            if (by_distance)
                program += "U" + way.number((way.radius ? 1 : 2) * step.x_radius_mm) + " W" +
                           way.number(step.z_mm) + '\n';
            else
                program += way.x(c.x_radius_mm) + ' ' + way.z(c.z_mm) + '\n';
            const std::string text = answered(program, way);
            INFO(program << "->\n" << text);
            const std::vector<Segment> made = cuts(text, way);
            REQUIRE(made.size() == 3);
            const double within = way.rounding_mm();
            check_at(made[0].from, a, within);
            check_at(made[2].to, c, within);
            CHECK_FALSE(made[2].is_arc);
            CHECK(to_line(made[1].from, a, b) < within);
            CHECK(to_line(made[1].to, b, c) < within);
            CHECK(motion::distance(made[0].to, made[1].from) < 1e-9);
            if (chamfer) {
                CHECK(motion::distance(made[1].from, b) == Approx(size).margin(2 * within));
                CHECK(motion::distance(made[1].to, b) == Approx(size).margin(2 * within));
            } else {
                REQUIRE(made[1].is_arc);
                // The centre a radius beside both lines.
                CHECK(motion::radius_of(made[1]) == Approx(size).margin(within));
                const double slack = 0.02 + 30 * within; // Short arcs: rounded ends shift the centre along
                CHECK(to_line(made[1].centre, a, b) == Approx(size).margin(slack));
                CHECK(to_line(made[1].centre, b, c) == Approx(size).margin(slack));
            }
            CHECK_THAT(text, !Contains("("));
        }
}

TEST_CASE("A corner of a line and an arc is rounded where both are touched") {
    // A line along radius 20, then an arc of 10 about (28, -26) that begins 37 degrees off it.
    const Way way;
    const std::string program =
        way.head() + "G00 X40. Z0\nG01 Z-20. F0.2\n(ROUND 2)\nG02 X56. Z-36. I8. K-6.\nG01 Z-50.\n";
    const std::string text = answered(program, way);
    INFO(text);
    const std::vector<Segment> made = cuts(text, way);
    REQUIRE(made.size() == 4);
    const Point centre{28, -26};
    check_at(made[2].centre, centre, 0.002);
    check_at(made[2].to, {28, -36}, 0.002);
    REQUIRE(made[1].is_arc);
    CHECK(motion::radius_of(made[1]) == Approx(2).margin(0.002));
    CHECK(std::abs(made[1].centre.x_radius_mm - 20) == Approx(2).margin(0.02));
    CHECK(std::abs(motion::distance(made[1].centre, centre) - 10) == Approx(2).margin(0.02));
    // No kink on either side.
    for (int i = 0; i < 2; ++i) {
        const Point in = motion::direction_at(made[i], 1), out = motion::direction_at(made[i + 1], 0);
        CHECK(motion::cross(in, out) == Approx(0).margin(0.02));
        CHECK(motion::dot(in, out) > 0);
    }
}

TEST_CASE("A corner in the contour of a roughing cycle is rounded there") {
    const Way way;
    const auto program = [&](const std::string& corner) {
        return way.head() + "G00 X52. Z2.\nG71 U2. R0.5\nG71 P101 Q102 U0.4 W0.1 F0.25\nN101 G00 X20.\n" +
               corner + "Z-30.\nN102 X52.\nG70 P101 Q102\n";
    };
    CHECK_THAT(answered(program("G01 Z-15. F0.12\n(ROUND 2)\nX40.\n"), way),
               Contains("G01 Z-13. F0.12\nG02 X24. Z-15. R2.\nG01 X40.\nZ-30."));
    CHECK_THAT(answered(program("G01 Z-15. F0.12\nX40. (CHAMFER 1)\n"), way),
               Contains("X38.\nG01 X40. Z-16.\nZ-30."));
}

TEST_CASE("A line touches the circles that a drawing gives") {
    Dice dice(3);
    for (int round = 0; round < 9; ++round)
        for (const Way& way : all_ways()) {
            const Point from{dice.between(5, 15), dice.between(-5, 0)},
                centre{dice.between(20, 40), dice.between(-60, -30)};
            const double radius = dice.between(1, 9);
            const std::string text = answered(
                way.head() + "G00 " + way.x(from.x_radius_mm) + ' ' + way.z(from.z_mm) + "\n(TANGENT " +
                    way.d(centre.x_radius_mm) + ' ' + way.z(centre.z_mm) + " R" + way.number(radius) + ")\n",
                way);
            INFO(text);
            const std::vector<Segment> made = cuts(text, way);
            REQUIRE(made.size() == 1);
            CHECK(to_line(centre, made[0].from, made[0].to) == Approx(radius).margin(2 * way.rounding_mm()));
            CHECK(motion::distance(centre, made[0].to) == Approx(radius).margin(way.rounding_mm()));
        }
}

TEST_CASE("A groove's edge stays in the groove and clears all of it") {
    Dice dice(4);
    for (int round = 0; round < 9; ++round)
        for (const Way& way : all_ways()) {
            const double from = dice.between(15, 30), bottom = from - dice.between(2, 8),
                         width = dice.between(3, 15);
            const double tool = std::min(width, dice.between(1.5, 4)), left = dice.between(-60, -20);
            const double broken = dice.heads() ? dice.between(0.2, 1) : 0;
            std::string note = "(GROOVE " + way.d(bottom) + " WIDTH " + way.number(width) + ' ' +
                               way.z(left) + " FROM " + way.number(2 * from) + " TOOL " + way.number(tool);
            if (broken > 0) note += " BREAK " + way.number(broken);
            const std::string text =
                answered(way.head() + "G00 " + way.x(60) + ' ' + way.z(5) + '\n' + note + ")\n", way);
            INFO(text);
            const double within = 2 * way.rounding_mm();
            const auto allowed = [&](double z) {
                const double out = std::max({0.0, left - z, z - left - width});
                return out <= 1e-9 ? bottom : std::min(from, from - broken + out);
            };
            double least_z = 1e9, most_z = -1e9;
            for (const Segment& cut : cuts(text, way)) {
                for (int i = 0; i <= 20; ++i) {
                    const Point at = motion::point_at(cut, i / 20.0);
                    for (const double corner : {at.z_mm, at.z_mm + tool}) {
                        const bool over = at.x_radius_mm >= from - 1e-6;
                        if (!over)
                            CHECK(at.x_radius_mm >= allowed(corner - (corner > left + width ? within : 0) +
                                                            (corner < left ? within : 0)) -
                                                        within);
                    }
                }
                for (const Point& end : {cut.from, cut.to})
                    if (std::abs(end.x_radius_mm - bottom) < within) {
                        least_z = std::min(least_z, end.z_mm);
                        most_z = std::max(most_z, end.z_mm + tool);
                    }
            }
            CHECK(least_z == Approx(left).margin(within));
            CHECK(most_z == Approx(left + width).margin(within));
        }
}

TEST_CASE("A contour of points is what its finishing cycle cuts") {
    Dice dice(6);
    for (int round = 0; round < 9; ++round)
        for (const Way& way : all_ways()) {
            std::vector<Point> points{{dice.between(5, 8), 0}};
            std::string note = "(CONTOUR " + way.d(points[0].x_radius_mm) + ' ' + way.z(0);
            for (int i = 0; i < 3; ++i) {
                points.push_back(points.back() + Point{0, -dice.between(5, 12)});
                note += ' ' + way.z(points.back().z_mm);
                points.push_back(points.back() +
                                 Point{dice.between(4, 9), dice.heads() ? 0 : -dice.between(1, 9)});
                note += ' ' + way.d(points.back().x_radius_mm) + ' ' + way.z(points.back().z_mm);
            }
            const std::string text =
                answered(way.head() + "G00 " + way.x(60) + ' ' + way.z(5) + '\n' + note + ")\n", way);
            INFO(text);
            Document document(text, way.shop());
            document.evaluate();
            std::vector<Segment> finish;
            for (std::size_t run = 0; run < document.analysis().size(); ++run)
                document.analysis().visit(run, [&](const machine::BlockView& view) {
                    const motion::BlockPath path = motion::path_of(view, document.analysis());
                    CHECK(path.troubles.empty());
                    for (const Segment& segment : path.segments)
                        if (segment.role == motion::SegmentRole::finish &&
                            segment.kind == motion::SegmentKind::feed)
                            finish.push_back(segment);
                });
            std::size_t met = 0;
            for (const Segment& segment : finish)
                if (met < points.size() && motion::distance(segment.to, points[met]) < way.rounding_mm())
                    ++met;
            CHECK(met == points.size());
        }
}

TEST_CASE("Blocks are written as the program writes its own") {
    const Way way;
    const std::string head = "N10 G21 G99\nN20 G97 S1000 M3\nN30 G0 X50.0 Z2.0\n";
    CHECK_THAT(answered(head + "N40 (TAPER D30 D40 LENGTH 25)\nN60 G0 X60.0\n", way),
               Contains("N40 (TAPER D30 D40 LENGTH 25 = ANGLE TO THE AXIS 11.31 DEGREES)\n"
                        "N46 G1 X30.0 Z2.0 F0.12\nN52 X40.0 Z-23.0\n") ||
                   Contains("\nN46 G1 X30.0 Z2.0 F0.12\nN52 G1 X40.0 Z-23.0\nN60"));
    CHECK_THAT(answered("g21g99\ng97s1000m3\ng0x50.z2.\n(taper d30 d40 length 25)\n", way),
               Contains("\ng1x30.z2.f0.12\ng1x40.z-23."));
    CHECK_THAT(answered("g21g99\ng97s1000m3\ng0x50.z2.\ng1z-20.f.2\n(chamfer 1)\nx60.\n", way),
               Contains("\ng1z-19.f.2\ng1x52.z-20.\nx60."));
    CHECK_THAT(answered("G99\nG97 S1000 M03\nG00 X50. Z2.\n(TAPER D30 D40 LENGTH 25)\n", way),
               Contains("(NOTHING STATES THE UNIT HERE: MM IS ASSUMED)\nG01"));
    // The code in force before is stated again for a block that relied on it.
    CHECK_THAT(answered(way.head() + "G00 X50. Z2.\n(TAPER D30 D40 LENGTH 25)\nX60.\n", way),
               Contains("\nG00 X60."));
    CHECK_THAT(answered(way.head() + "G00 X50. Z2.\r\n(TAPER D30 D40 LENGTH 25)\r\nM30\r\n", way),
               Contains("Z2. F0.12\r\nG01 X40. Z-23.\r\nM30"));
    const Way minutes;
    CHECK_THAT(answered("G21 G98\nG97 S500 M03\nG00 X50. Z2.\n(TAPER D30 D40 LENGTH 25)\n", minutes),
               Contains("F60."));
}

TEST_CASE("A note asks only when it can be answered, and says why when it cannot") {
    const Way way;
    const auto actions = [&](const std::string& note) {
        Document document(way.head() + "G00 X50. Z2.\n" + note + "\nG01 Z-20. F0.1\n", way.shop());
        document.evaluate();
        std::size_t found = 0;
        for (const CodeAction& action : code_actions(document, {{3, 1}, {3, 1}}))
            found += action.command && action.command->name == "turnwright.writeBlocks";
        return found;
    };
    CHECK(actions("(TAPER D30 D40 LENGTH 25)") == 1);
    CHECK(actions("(TAPER D30 D40 LENGTH 25 = ANGLE 11.31)") == 0);
    CHECK(actions("(THREAD M24X1.5)") == 0);
    CHECK(actions("(GROOVE 3 WIDE)") == 0);
    CHECK(actions("(FINISH TURN)") == 0);
    CHECK(
        answered(way.head() + "G00 X50. Z2.\n(TAPER D30 D40 LENGTH 25 ANGLE 40)\n", way) ==
        "refused: The numbers contradict each other: from 30 mm to 40 mm over 25 mm is 11.310 degrees to the "
        "axis, and ANGLE says 40.000.");
    CHECK_THAT(answered(way.head() + "G00 X50. Z2.\n(CHAMFER 2)\nM05\n", way),
               Contains("in front of the corner"));
    CHECK_THAT(answered(way.head() + "G00 X30. Z2.\nG01 Z-1. F0.1\n(ROUND 40)\nX50.\n", way),
               Contains("40 mm finds no room between moves of 3 mm and 10 mm"));
    CHECK_THAT(answered(way.head() + "#1=-20.\nG00 X30. Z2.\nG01 Z#1 F0.1\n(CHAMFER 1)\nX50.\n", way),
               Contains("macro computes Z"));
    // What it would be stands in the hover; what is assumed stands in the program.
    const auto hovered = [&](const std::string& note) {
        Document asked(way.head() + "G00 X50. Z2.\n" + note + "\n", way.shop());
        asked.evaluate();
        const auto shown = hover(asked, {3, 3});
        return shown ? shown->markdown : std::string();
    };
    CHECK_THAT(hovered("(TAPER D30 D40 LENGTH 25)"), Contains("11.31 degrees") && Contains("G01 X40. Z-23."));
    CHECK_THAT(hovered("(TAPER D30 D40 LENGTH 25 ANGLE 40)"), Contains("contradict"));
    CHECK_THAT(hovered("(FINISH TURN)"), Contains("for people"));
    CHECK_THAT(answered(way.head() + "G00 X50. Z2.\n(DRILL D10 DEPTH 20)\n", way),
               Contains("\n(A POINT OF 118 DEGREES IS ASSUMED: NEITHER POINT NOR THE SHOP FILE TELLS IT)\n"
                        "(THE PART'S FACE IS TAKEN TO BE Z0: ELSE GIVE Z)\nG00 Z2."));
    CHECK_THAT(answered(way.head() + "G00 X30. Z0\nG03 X50. R8. F0.1\n(ROUND 1)\nG01 Z-30.\n", way),
               Contains("one axis alone"));
    const Way b{System::B, false, false};
    CHECK_THAT(answered("G21 G91 G95\nG00 X30. Z2.\n(TAPER D30 D40 LENGTH 25)\n", b), Contains("distances"));
    Document document(way.head(), way.shop());
    document.evaluate();
    CHECK_FALSE(write_blocks(document, 0).done());
    CHECK_FALSE(write_blocks(document, 99).done());
}

TEST_CASE("Questions are offered while they are typed") {
    const auto labels = [](std::string_view program) {
        Open open(program, System::A);
        open.document.evaluate();
        std::vector<std::string> all;
        for (const CompletionItem& item : complete(open.document, open.cursor())) all.push_back(item.label);
        return all;
    };
    const auto has = [](const std::vector<std::string>& all, std::string_view label) {
        return std::find(all.begin(), all.end(), label) != all.end();
    };
    CHECK(has(labels("G21\nTAP$0"), "(TAPER D30 D40 LENGTH 25)"));
    CHECK(has(labels("G21\n(ta$0"), "(TAPER D30 D40 LENGTH 25)"));
    CHECK(labels("G21\n(t$0").empty());
    const std::vector<std::string> places = labels("G21\n(TAPER D30 LENGTH 20 $0)");
    CHECK(has(places, "ANGLE"));
    CHECK(has(places, "D"));
    CHECK_FALSE(has(places, "LENGTH"));
    CHECK(labels("G21\n(FINISH TURN $0)").empty());
    // In a program in inch with sizes in inch, and it can be answered as it is offered.
    for (const calculate::Calculator* row : calculate::all()) {
        if (row->at_corner) continue;
        Open open("G20 G99\nG97 S800 M03\nG00 X2. Z0.1\n" + std::string(row->name) + "$0", System::A);
        open.document.evaluate();
        bool found = false;
        for (const CompletionItem& item : complete(open.document, open.cursor())) {
            if (item.filter != row->name) continue;
            found = true;
            Document with(with_edits(open.document, {{item.edit.range, item.plain}}), shop_of(System::A));
            with.evaluate();
            const Rewrite written = write_blocks(with, 3);
            INFO(item.plain << ": " << written.refused);

            CHECK(written.done());
        }
        CHECK(found);
    }
}

TEST_CASE("What is written brings no warning of its own") {
    const auto program = [](const std::string& question, System system) {
        const bool a = system == System::A;
        return fmt::format("O12 (PIN)\n(STOCK D50. L90. FACE 1. MATERIAL C45)\n"
                           "{} G18 G40 G80 {}\nT0101\n{} S2500\nG97 S800 M03\nG00 X60. Z10.\nM08\n{}\n"
                           "G00 X60. Z10.\nG53 G00 X0. Z0.\nM09\nM05\nM30\n",
                           system == System::C ? "G71" : "G21", a ? "G99" : "G90 G95", a ? "G50" : "G92",
                           question);
    };
    const auto ids = [](const Document& document) {
        std::set<std::string> all;
        for (const Warning& warning : all_warnings(document)) all.insert(warning.id + ": " + warning.message);
        return all;
    };
    const std::string thread = "kind = \"threading\"\nhand = \"right\"\n",
                      turn = "kind = \"turning\"\nnose_radius = 0.8\ntip_direction = 3\napproach_angle = 95\n"
                             "back_angle = 5\n",
                      groove = "kind = \"grooving\"\nwidth = 3\nnose_radius = 0.2\ntip_direction = 3\n",
                      drill = "kind = \"drill\"\npoint_angle = 118\ndiameter = ";
    const std::pair<std::string, std::string> cases[] = {
        {thread, "(THREAD M48X1.5 LENGTH 20)"},
        {thread, "(THREAD M48X1.5 LENGTH 20 STARTS 2)"},
        {groove, "(GROOVE D40 WIDTH 6 Z-24 FROM 50 BREAK 0.5)"},
        {groove, "(GROOVE D40 WIDTH 3 Z-24 FROM 50)"},
        {turn, "(CONTOUR D20 Z0 Z-15 R2 D36 C1 Z-40 D50)"},
        {drill + "8.5\n", "(DRILL D8.5 DEPTH 20)"},
        {drill + "8.5\n", "(DRILL D8.5 DEPTH 60)"},
        {drill + "6\n", "(PECK D6 DEPTH 50)"},
        {turn, "(SPEED D50)"},
    };
    for (const System system : {System::A, System::B, System::C})
        for (const auto& [tool, question] : cases) {
            const auto shop = shop_of(fmt::format("units = \"mm\"\n[[machine]]\nsystem = \"{}\"\n[[tool]]\n"
                                                  "station = 1\n{}",
                                                  codes::system_letter(system), tool));
            REQUIRE(shop->problems.empty());
            Document before(program(question + " ", system), shop);
            before.evaluate();
            const Rewrite rewrite = write_blocks(before, note_line(before));
            REQUIRE(rewrite.refused == "");
            const std::string text = with_edits(before, rewrite.files.at(0).edits);
            Document after(text, shop);
            after.evaluate();
            std::set<std::string> known = ids(before);
            for (const std::string& id : ids(after)) {
                INFO(text << id);
                CHECK(known.contains(id));
            }
        }
}

TEST_CASE("Any words in a note are answered with finite numbers or a reason") {
    std::mt19937 random(21);
    const auto one_of = [&](const auto& list) { return list[random() % std::size(list)]; };
    const char* const numbers[] = {"0",  "1",    "20",      "-5", "0.0001", "99999", "1e9",
                                   ".5", "1:10", "M24X1.5", "",   "45",     "90"};
    const char* const around[] = {"G00 X50. Z2.",
                                  "G01 X30. F0.2",
                                  "G03 X50. Z-10. R8. F0.1",
                                  "X#1",
                                  "U2. W-2.",
                                  "G91",
                                  "N7 G76 P1",
                                  "",
                                  "(",
                                  "G71 P1 Q2",
                                  "Z-20."};
    for (int round = 0; round < 600; ++round) {
        const calculate::Calculator* row = calculate::all()[random() % calculate::all().size()];
        std::string note(row->name);
        if (random() % 2) {
            note += ' ' + std::string(row->example);
        } else {
            for (unsigned i = 0; i < random() % 9; ++i)
                note += ' ' + std::string(row->places[random() % row->places.size()].word) + one_of(numbers);
        }
        std::string text = random() % 4 ? "G21 G99\n" : "";
        for (int i = 0; i < 3; ++i) text += std::string(one_of(around)) + '\n';
        const std::size_t line = std::count(text.begin(), text.end(), '\n');
        text += std::string(random() % 3 ? "" : one_of(around)) + '(' + note + ")\n" + one_of(around);
        const Way way{static_cast<System>(random() % 3), random() % 2 == 0, random() % 2 == 0};
        Document document(text, way.shop());
        document.evaluate();
        INFO(text);
        hover(document, {static_cast<std::uint32_t>(line), 4});
        complete(document, {static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(random() % 30)});
        const Rewrite rewrite = write_blocks(document, static_cast<std::uint32_t>(line));
        if (!rewrite.done()) {
            CHECK(rewrite.files.empty());
            continue;
        }
        const std::string after = with_edits(document, rewrite.files.at(0).edits);
        CHECK_THAT(after, !Contains("nan") && !Contains("inf\n") && !Contains("NAN"));
        Document again(after, way.shop());
        again.evaluate();
        // Answered once: the note asks no more.
        CHECK_FALSE(write_blocks(again, static_cast<std::uint32_t>(line)).done());
    }
}

TEST_CASE("A corner is offered where the cursor is, and what is offered is what its note would write") {
    Dice dice(26);
    for (int round = 0; round < 4; ++round)
        for (const Way& way : all_ways()) {
            const std::string before = way.head() + "#1=5.\nM98 P77\nG00 " + way.x(10) + ' ' + way.z(0) +
                                       "\nG01 " + way.z(-20) + " F" + way.number(0.2) + '\n';
            const std::string after = way.x(dice.between(20, 30)) +
                                      (dice.heads() ? ' ' + way.z(dice.between(-40, -30)) : "") + '\n';
            Document document(before + after, way.shop());
            const std::uint32_t line = document.buffer().line_count() - 3;
            const std::vector<CornerOffer> offers = corner_offers(document, line);
            INFO(before << after);
            REQUIRE(offers.size() == 4);
            for (const CornerOffer& offer : offers) {
                const Rewrite made = run_command(document, "turnwright.breakCorner",
                                                 {std::string(offer.calculator->name), std::to_string(line),
                                                  fmt::format("{}", offer.size)});
                CAPTURE(offer.title, made.refused);
                REQUIRE(made.done());
                const std::string text = with_edits(document, made.files.at(0).edits);
                CHECK(text ==
                      answered(before + fmt::format("({} {})\n", offer.calculator->name, offer.size) + after,
                               way));
                const std::vector<Segment> cut = cuts(text, way);
                REQUIRE(cut.size() == 3);
                CHECK(motion::distance(cut[0].to, {10, -20}) > 0.1);
            }
        }
}

TEST_CASE("No corner is offered where there is none, where it finds no room or where the way is not known") {
    const Way way;
    const auto offers = [&](const std::string& blocks, std::uint32_t line) {
        const Document document(way.head() + blocks, way.shop());
        return corner_offers(document, line + 2).size();
    };
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nX30.\n", 1) == 4);
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nX30.\n", 0) == 0);         // Behind a rapid
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nX30.\n", 2) == 0);         // Nothing behind it
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nZ-30.\n", 1) == 0);        // Straight on
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nG00 X30.\n", 1) == 0);     // A rapid behind it
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nX21.6\nZ-30.\n", 1) == 2); // Room for 0.5 alone
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\nX#5\n", 1) == 0);          // Nobody knows where to
    CHECK(offers("G00 X20. Z0\nG01 Z-20. F.2\n(", 1) == 0);
    CHECK(offers("G01 Z\n", 0) == 0);
    CHECK(offers("", 40) == 0);
    const Document document(way.head() + "G00 X20. Z0\nG01 Z-20. F.2\nX30.\n", way.shop());
    CHECK_THAT(run_command(document, "turnwright.breakCorner", {"round", "3", "20"}).refused,
               Contains("finds no room"));
    CHECK_THAT(run_command(document, "turnwright.breakCorner", {"groove", "3", "1"}).refused,
               Contains("CHAMFER or ROUND"));
    CHECK_THAT(run_command(document, "turnwright.breakCorner", {"round", "3", "-1"}).refused,
               Contains("above 0"));
    CHECK_THAT(run_command(document, "turnwright.breakCorner", {"round", "3"}).refused, Contains("Give"));
    // Among the actions of the cursor's line.
    std::size_t told = 0;
    for (const CodeAction& action : code_actions(document, {{3, 4}, {3, 4}}))
        told += action.command && action.command->name == "turnwright.breakCorner";
    CHECK(told == 4);
}
