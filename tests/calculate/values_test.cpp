// Calculators against published tables and first principles.
#include "calculate/points.h"
#include "calculate/taper.h"
#include "calculate/thread.h"
#include "motion/geometry.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <random>

using namespace turnwright;
using namespace turnwright::calculate;
using Catch::Contains;

namespace {

constexpr double degree = std::numbers::pi / 180;

Answer answer_to(std::string_view text, Here here = {}) {
    const Read read = read_question(text, here.inch ? motion::mm_per_inch : 1);
    INFO(text << ": " << read.trouble);
    REQUIRE(read.question);
    return read.question->calculator->answer(*read.question, here);
}
double result(const Answer& answer, std::string_view what) {
    for (const Result& one : answer.results)
        if (one.what == what) return one.value;
    FAIL(what << " is no result; refused: " << answer.refused);
    return 0;
}
Here standing_at(double x_radius_mm, double z_mm) {
    Here here;
    here.x_radius_mm = x_radius_mm;
    here.z_mm = z_mm;
    return here;
}

} // namespace

TEST_CASE("Every calculator answers its own example, and is found by its name in any case") {
    std::vector<std::string_view> names;
    for (const Calculator* row : all()) {
        CHECK(std::find(names.begin(), names.end(), row->name) == names.end());
        names.push_back(row->name);
        CHECK(find(row->name) == row);
        Here here = standing_at(15, -5);
        here.nose_radius_mm = 0.8;
        here.limit_rpm = 3000;
        if (row->at_corner) {
            here.move_before = motion::line({10, 0}, {10, -20});
            here.move_behind = motion::line({10, -20}, {20, -20});
        }
        const Answer answer = answer_to(std::string(row->name) + ' ' + std::string(row->example), here);
        INFO(row->name << ": " << answer.refused);
        CHECK(answer.refused.empty());
        CHECK_FALSE(answer.results.empty());
    }
    CHECK(find("Taper") == find("TAPER"));
    CHECK(find("TAP") == nullptr);
}

TEST_CASE("A thread has the sizes of its standard") {
    // ISO 68-1: D1 = d - 5/4 H, H = sqrt(3)/2 P. d3 = d - 17/12 H: DIN 13, from memory. M24x3: 20.7524 and
    // 20.3194, exact.
    const Answer outside = answer_to("THREAD M24 LENGTH 30");
    CHECK(result(outside, "root diameter") == Approx(20.3194).margin(5e-5));
    CHECK(result(outside, "height") == Approx(0.61343 * 3).margin(5e-5));
    const Answer inside = answer_to("THREAD M24 LENGTH 30 INSIDE");
    CHECK(result(inside, "bore before") == Approx(20.7524).margin(5e-5));
    CHECK(result(inside, "height") == Approx(0.54127 * 3).margin(5e-5));
    // ASME B1.1: external minor of the 1/2-13 is .4056 in (table of noxmetals.co) by the rule 17/24 H; within
    // the tables' rounding. Internal minor .4167.
    CHECK(result(answer_to("THREAD 1/2-13 UNC LENGTH 20"), "root diameter") / 25.4 ==
          Approx(0.4056).margin(1e-4));
    CHECK(result(answer_to("THREAD 1/2-13 LENGTH 20 INSIDE"), "bore before") / 25.4 ==
          Approx(0.4167).margin(1e-4));
    // ASME B1.20.1, 1/2-14: E0 0.758429 in, height 0.8 pitch.
    CHECK(result(answer_to("THREAD 1/2-14 NPT LENGTH 14"), "root diameter at the small end") / 25.4 ==
          Approx(0.758429 - 0.8 / 14).margin(1e-6));
    // ISO 228-1, G1/2: 20.955 and 18.631; the angle of the cycle's P is the flanks' (from memory).
    const Answer pipe = answer_to("THREAD G1/2 LENGTH 15");
    CHECK(result(pipe, "root diameter") == Approx(18.631).margin(6e-4));
    const auto is_of_55 = [](const Block& block) {
        return !block.words.empty() && block.words[0].digits == "010055";
    };
    CHECK(std::any_of(pipe.blocks.begin(), pipe.blocks.end(), is_of_55));
    CHECK(result(answer_to("THREAD G1/2 LENGTH 15 INSIDE"), "bore before") == Approx(18.631).margin(6e-4));
    CHECK(result(answer_to("THREAD R1/2 LENGTH 13"), "root diameter at the small end") ==
          Approx(18.631 - 8.2 / 16).margin(1e-3));
    // ISO 2904, Tr20x4: d3 15.5, D1 16, D4 20.5 (from memory); 30 degrees in the cycle's P.
    const Answer trapezoidal = answer_to("THREAD TR20X4 LENGTH 30");
    CHECK(result(trapezoidal, "root diameter") == Approx(15.5));
    CHECK(std::any_of(trapezoidal.blocks.begin(), trapezoidal.blocks.end(), [](const Block& block) {
        return !block.words.empty() && block.words[0].digits == "010030";
    }));
    const Answer nut = answer_to("THREAD TR20X4 LENGTH 30 INSIDE");
    CHECK(result(nut, "bore before") == Approx(16));
    CHECK(result(nut, "root diameter, the largest") == Approx(20.5));
    const Answer two = answer_to("THREAD TR40X14P7 LENGTH 50");
    CHECK(result(two, "pitch") == Approx(7));
    CHECK(result(two, "lead") == Approx(14));
    const auto says_left = [](const Answer& answer) {
        return std::any_of(answer.remarks.begin(), answer.remarks.end(), [](const std::string& remark) {
            return remark.find("Left-hand") != remark.npos && remark.find("M04") != remark.npos;
        });
    };
    CHECK(says_left(answer_to("THREAD M10X1.25LH LENGTH 12")));
    CHECK_FALSE(says_left(answer_to("THREAD M10X1.25 LENGTH 12")));
    // As many passes as tables at a lathe have (common practice, no source).
    struct Passes {
        const char* name;
        double least, most;
    };
    for (const Passes& row : {Passes{"M3", 4, 6},
                              {"M6", 5, 8},
                              {"M24X1.5", 6, 10},
                              {"M40X2", 8, 12},
                              {"1-12 UNF", 8, 13},
                              {"M30", 11, 18},
                              {"M64", 20, 30},
                              {"TR20X4", 11, 18}}) {
        INFO(row.name);
        const double passes =
            result(answer_to(std::string("THREAD ") + row.name + " LENGTH 20"), "passes, about");
        CHECK(passes >= row.least);
        CHECK(passes <= row.most);
    }
    CHECK_THAT(answer_to("THREAD M24X99 LENGTH 3").refused, Contains("M24X99 is no name of a thread"));
    // From the triangle's area: the n-th pass ends at first x sqrt(n).
    CHECK(thread_passes(0.25 * std::sqrt(6.0), 0.25) == 6);
    CHECK(thread_passes(0.25 * std::sqrt(6.0) + 1e-4, 0.25) == 7);
}

TEST_CASE("Starts stand a full turn apart over all of them") {
    const Answer answer = answer_to("STARTS 3 PITCH 1.5");
    CHECK(result(answer, "lead") == Approx(4.5));
    CHECK(result(answer, "start 2 at") == Approx(120));
    CHECK(result(answer, "start 3 at") == Approx(240));
    CHECK_THAT(answer_to("STARTS 2.5 PITCH 1.5").refused, Contains("2.5 starts"));
    const Answer thread = answer_to("THREAD M24X1.5 LENGTH 20 STARTS 2");
    CHECK(result(thread, "lead") == Approx(3));
    // The second start begins one pitch further in front, with the same cut.
    REQUIRE(thread.blocks.size() == 7);
    CHECK(thread.blocks[4].words[0].value - thread.blocks[0].words[0].value == Approx(1.5));
    CHECK(thread.blocks[6].words.back().value == Approx(3));
}

TEST_CASE("A taper comes out the same from any two of its sizes") {
    // Morse-like 1 in 20 on diameter is 1 deg 25' 56" to the axis: atan(1/40), exact.
    CHECK(result(answer_to("TAPER D20 LENGTH 40 RATIO 1:20 Z0"), "angle to the axis") ==
          Approx(std::atan(1.0 / 40) / degree));
    std::mt19937 random(5);
    for (int round = 0; round < 200; ++round) {
        const double from = std::uniform_real_distribution(5.0, 60.0)(random);
        const double rise = std::uniform_real_distribution(0.5, 30.0)(random);
        const double length = std::uniform_real_distribution(1.0, 90.0)(random);
        const Answer first = answer_to(fmt::format("TAPER D{} D{} LENGTH {} Z0", from, from + rise, length));
        const double angle = result(first, "angle to the axis"), ratio = result(first, "1 in");
        const Answer by_angle =
            answer_to(fmt::format("TAPER D{} D{} ANGLE {:.12f} Z0", from, from + rise, angle));
        CHECK(result(by_angle, "length") == Approx(length));
        const Answer by_ratio =
            answer_to(fmt::format("TAPER D{} LENGTH {} RATIO {:.12f} Z0", from, length, ratio));
        CHECK(result(by_ratio, "to") == Approx(from + rise));
        const Answer falling = answer_to(
            fmt::format("TAPER D{} LENGTH {} ANGLE {:.12f} FALLING Z0", from + rise, length, angle));
        CHECK(result(falling, "to") == Approx(from));
    }
    CHECK_THAT(answer_to("TAPER D30 D40 LENGTH 25 ANGLE 30 Z0").refused,
               Contains("contradict") && Contains("11.310") && Contains("30"));
    CHECK_THAT(answer_to("TAPER D30 LENGTH 25 ANGLE 30 RATIO 5 Z0").refused, Contains("contradict"));
    CHECK_THAT(answer_to("TAPER D30 D30 LENGTH 25 Z0").refused, Contains("Both diameters are 30 mm"));
    CHECK_THAT(answer_to("TAPER D30 LENGTH 25 ANGLE 60 FALLING Z0").refused, Contains("below the centre"));
    CHECK_THAT(answer_to("TAPER D30 Z0").refused, Contains("LENGTH"));
    CHECK_THAT(answer_to("TAPER D30 D40 LENGTH 25").refused, Contains("give Z"));
}

TEST_CASE("The nose of a taper programmed by its sharp tip touches the taper") {
    // The nose's centre, from the tip, stands a radius beside the flank: by the distance of a point and a
    // line.
    for (const int tip : {1, 2, 3, 4})
        for (const double to : {36.0, 24.0}) {
            const Taper taper{30, to, 12, std::atan(std::abs(to - 30) / 2 / 12) / degree};
            const auto shift = nose_move_mm(taper, 0.8, tip);
            REQUIRE(shift);
            const Point centre = Point{15, *shift} - motion::tip_from_centre(tip, 0.8);
            const Point from{15, 0}, way = Point{to / 2, -12} - from;
            const double beside = motion::cross(way, centre - from) / motion::norm(way);
            INFO(tip << " to " << to);
            CHECK(std::abs(beside) == Approx(0.8));
            // Outside the part for tools that turn, inside for those that bore.
            CHECK((centre.x_radius_mm > from.x_radius_mm) == (tip == 3 || tip == 4));
        }
    // r (1 - tan(a/2)): 0.585641 at 30 degrees with 0.8, exact.
    CHECK(nose_move_mm({10, 10 + 20 * std::tan(30 * degree), 10, 30}, 0.8, 3).value() ==
          Approx(-0.585641).margin(1e-6));
    CHECK(result(answer_to("NOSE R0.8 ANGLE 30"), "toward the chuck along Z") ==
          Approx(0.585641).margin(1e-6));
    CHECK(result(answer_to("NOSE R0.8 ANGLE 30"), "or toward the centre, on radius") ==
          Approx(0.338120).margin(1e-6));
}

TEST_CASE("A tangent touches both circles square to their radii") {
    std::mt19937 random(11);
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution(low, high)(random);
    };
    for (int round = 0; round < 200; ++round) {
        const Circle first{{between(10, 40), between(-20, 0)}, round % 5 ? between(0.5, 12) : 0};
        const Circle second{{between(10, 40), between(-80, -45)}, between(0.5, 12)};
        for (const bool crosses : {false, true}) {
            std::vector<double> heights;
            for (const bool inner : {false, true}) {
                const auto touching = tangent_line(first, second, crosses, inner);
                REQUIRE(touching);
                const Point way = touching->on_second - touching->on_first;
                for (const auto& [circle, point] :
                     {std::pair{first, touching->on_first}, std::pair{second, touching->on_second}}) {
                    CHECK(motion::distance(point, circle.centre) == Approx(circle.radius_mm).margin(1e-9));
                    CHECK(motion::dot(way, point - circle.centre) == Approx(0).margin(1e-7));
                }
                heights.push_back(touching->on_first.x_radius_mm + touching->on_second.x_radius_mm);
            }
            if (!crosses) CHECK(heights[0] > heights[1]);
        }
        for (const bool around : {false, true}) {
            const double by = around ? between(60, 120) : between(30, 60);
            for (const bool inner : {false, true}) {
                const auto blend = blend_arc(first, second, by, around, inner);
                if (!blend) continue;
                for (const auto& [circle, point] : {std::pair{first, blend->touching.on_first},
                                                    std::pair{second, blend->touching.on_second}}) {
                    CHECK(motion::distance(point, circle.centre) == Approx(circle.radius_mm).margin(1e-9));
                    CHECK(motion::distance(point, blend->centre) == Approx(by));
                    CHECK(motion::cross(point - circle.centre, blend->centre - circle.centre) ==
                          Approx(0).margin(1e-6));
                }
            }
        }
    }
    CHECK_THAT(answer_to("TANGENT D40 Z-10 R8 D42 Z-11 R20").refused,
               Contains("No line touches both") && Contains("8 mm") && Contains("20 mm"));
    CHECK_THAT(answer_to("BLEND D40 Z-10 R2 D40 Z-90 R2 BY 3").refused, Contains("80 mm apart"));
    CHECK_THAT(answer_to("TANGENT D40 Z-10 R8").refused, Contains("Where the line begins"));
}

TEST_CASE("Drills reach full diameter, pecks add up to it") {
    // 0.3004 D at 118 degrees, 0.5 D at 90, exact.
    CHECK(result(answer_to("DRILL D10 DEPTH 20 POINT 118"), "bottom of the point at Z") ==
          Approx(-20 - 3.0043).margin(1e-4));
    CHECK(result(answer_to("DRILL D10 DEPTH 20 POINT 90"), "point") == Approx(5));
    CHECK_THAT(answer_to("DRILL D10 DEPTH 20").remarks.at(0), Contains("118 degrees is assumed"));
    const Answer pecks = answer_to("PECK D6 DEPTH 50 POINT 118");
    // 18, 12, then 6 each: 18 30 36 42 48 51.8.
    CHECK(result(pecks, "pecks") == 6);
    double deepest = 0;
    for (const Block& block : pecks.blocks)
        for (const Word& word : block.words)
            if (word.letter == 'Z') deepest = std::min(deepest, word.value);
    CHECK(deepest == Approx(-50 - 6 * 0.30043).margin(1e-4));
    CHECK_THAT(answer_to("PECK D0.1 DEPTH 50 FIRST 0.1").refused, Contains("more than 60"));
}

TEST_CASE("Rpm follow from surface speed and diameter, and stop at the limit") {
    // n = 1000 vc / (pi D); n = 12 V / (pi D): 1000 ft/min at 6.5 in are 587.65 rpm, exact.
    CHECK(result(answer_to("SPEED D40 SURFACE 180"), "rpm") == 1432);
    Here inch;
    inch.inch = true;
    CHECK(result(answer_to("SPEED D6.5 SURFACE 1000", inch), "rpm") == 587);
    const Answer held = answer_to("SPEED D10 SURFACE 200 LIMIT 2500");
    CHECK(result(held, "rpm") == 2500);
    CHECK_THAT(held.remarks.back() + held.remarks.front(), Contains("6366") || Contains("nose"));
    CHECK_THAT(answer_to("SPEED SURFACE 200", standing_at(0, 0)).refused, Contains("centre"));
}

TEST_CASE("A question that cannot be read says which word and how it is written") {
    CHECK_THAT(read_question("TAPER D30 D40 LENGHT 25", 1).trouble,
               Contains("LENGHT is no place of TAPER") && Contains("(TAPER D30 D40 LENGTH 25)"));
    CHECK_THAT(read_question("TAPER D30 D40 D50", 1).trouble, Contains("more than twice"));
    CHECK_THAT(read_question("THREAD LENGTH 20", 1).trouble, Contains("lacks the thread's name"));
    CHECK_THAT(read_question("GROOVE D20 WIDTH -4", 1).trouble, Contains("-4"));
    CHECK_THAT(read_question("GROOVE D20 WIDTH", 1).trouble, Contains("no number"));
    CHECK_FALSE(read_question("FINISH TURN", 1).question);
    CHECK(read_question("FINISH TURN", 1).trouble.empty());
    CHECK(read_question("TAPER D30 D40 LENGTH 25 = ANGLE 11.31", 1).question->answered);
    CHECK(read_question("taper d1,5 d 2 length.75", 25.4).question->value("LENGTH") == Approx(19.05));
    CHECK(read_question("TAPER D1,5", 25.4).question->value("D") == Approx(38.1));
}

TEST_CASE("A groove is refused with the numbers that do not fit") {
    CHECK_THAT(answer_to("GROOVE D20 WIDTH 2 Z-20 FROM 30 TOOL 3").refused,
               Contains("3 mm") && Contains("2 mm"));
    CHECK_THAT(answer_to("GROOVE D29 WIDTH 4 Z-20 FROM 30 TOOL 3 BREAK 0.5").refused, Contains("0.5 mm"));
    CHECK_THAT(answer_to("GROOVE D30 WIDTH 4 Z-20 FROM 30 TOOL 3").refused, Contains("30 mm"));
    CHECK_THAT(answer_to("GROOVE D20 WIDTH 4 Z-20 TOOL 3").refused, Contains("FROM"));
    CHECK_THAT(answer_to("GROOVE D20 WIDTH 4 FROM 30 TOOL 3").refused, Contains("give Z"));
}

TEST_CASE("A contour that no roughing cycle cuts is refused with its points") {
    CHECK_THAT(answer_to("CONTOUR D20 Z0 Z-15 D36 Z-10").refused, Contains("-15 mm") && Contains("-10 mm"));
    CHECK_THAT(answer_to("CONTOUR D20 Z0 Z-15 D16 Z-20").refused, Contains("pocket"));
    CHECK_THAT(answer_to("CONTOUR D20 Z0 Z-15 R9 D24").refused, Contains("9 mm"));
    CHECK_THAT(answer_to("CONTOUR Z0 D20").refused, Contains("begins with D"));
    CHECK_THAT(answer_to("CONTOUR D20 Z0").refused, Contains("two points"));
}
