#include "motion/program.h"

#include <algorithm>
#include <cmath>

using namespace turnwright;
using namespace turnwright::motion;

namespace {

NoseMove straight(Point from, Point to, Side side) {
    NoseMove move;
    move.segment.kind = SegmentKind::feed;
    move.segment.from = from;
    move.segment.to = to;
    move.side = side;
    return move;
}

std::vector<NoseMove> chain(std::initializer_list<Point> points, Side side) {
    std::vector<NoseMove> moves;
    const Point* last = nullptr;
    for (const Point& point : points) {
        if (last) moves.push_back(straight(*last, point, side));
        last = &point;
    }
    return moves;
}

bool has(const std::vector<TroubleAt>& troubles, Trouble trouble) {
    return std::any_of(troubles.begin(), troubles.end(),
                       [&](const TroubleAt& found) { return found.trouble == trouble; });
}

shop::Shop with_tool(double radius, std::optional<int> direction) {
    shop::Shop shop = test_shop();
    shop::Tool tool;
    tool.station = 1;
    tool.nose_radius_mm = radius;
    tool.tip_direction = direction;
    shop.tools.push_back(tool);
    return shop;
}

} // namespace

TEST_CASE("On cylinder and face the imaginary tip runs on the contour") {
    // Turning toward the chuck: the tool is right of its travel, the tip points down left.
    auto moves = chain({at(10, 5), at(10, -20), at(20, -20)}, Side::right);
    NosePath path = nose_path(moves, 0.8, 3, Side::right);
    REQUIRE(path.troubles.empty());
    REQUIRE(path.centre.size() == 2);
    CHECK(near(path.centre[0].from, at(10.8, 5)));
    // An inner corner: both ways are cut off where they meet.
    CHECK(near(path.centre[0].to, at(10.8, -19.2)));
    CHECK(near(path.tip[0].to, at(10, -20)));
    // The centre stops beside the end of the face: the tip below it is the radius short of it.
    CHECK(near(path.tip[1].to, at(19.2, -20)));
}

TEST_CASE("On a taper the tip runs beside the contour by what the nose would leave") {
    // Exact; the same numbers follow from the two shifts r (1 - tan(a/2)) and r (1 - tan((90 - a)/2)).
    for (auto [angle, leaves] : {std::pair{30.0, 0.292820}, {15.0, 0.179796}, {45.0, 0.331371}}) {
        double rise = std::tan(angle * std::numbers::pi / 180) * 20;
        auto moves = chain({at(10, 0), at(10 + rise, -20)}, Side::right);
        NosePath path = nose_path(moves, 0.8, 3, Side::right);
        Point tip = path.tip[0].from, along = at(rise, -20);
        double off = std::abs((tip.x_radius_mm - 10) * along.z_mm - tip.z_mm * along.x_radius_mm) /
                     std::hypot(along.x_radius_mm, along.z_mm);
        CHECK(off == Approx(leaves).epsilon(1e-5));
        CHECK(nose_shift(0.8, angle).normal_mm == Approx(leaves).epsilon(1e-5));
    }
}

TEST_CASE("An outer corner is rounded about the corner itself") {
    auto moves = chain({at(20, 5), at(20, 0), at(10, 0)}, Side::left); // down the far side of a collar
    NosePath inner = nose_path(moves, 0.8, 3, Side::left);
    CHECK(inner.centre.size() == 2);
    NosePath outer = nose_path(chain({at(5, 0), at(20, 0), at(20, -10)}, Side::right), 0.8, 3, Side::right);
    REQUIRE(outer.centre.size() == 3);
    CHECK(outer.centre[1].is_arc);
    CHECK(near(outer.centre[1].centre, at(20, 0)));
    CHECK(outer.centre[1].length_mm() == Approx(0.8 * std::numbers::pi / 2));
}

TEST_CASE("Switching on ends where the nose touches the next move's start") {
    std::vector<NoseMove> moves = chain({at(25, 5), at(10, 2)}, Side::right);
    auto cut = chain({at(10, 2), at(10, -20)}, Side::right);
    auto off = chain({at(10, -20), at(25, -20)}, Side::off);
    moves.insert(moves.end(), cut.begin(), cut.end());
    moves.insert(moves.end(), off.begin(), off.end());
    NosePath path = nose_path(moves, 0.8, 3);
    REQUIRE(path.troubles.empty());
    REQUIRE(path.centre.size() == 3);
    CHECK(near(path.tip[0].from, at(25, 5)));
    CHECK(near(path.centre[0].to, at(10.8, 2)));
    CHECK(near(path.centre[2].from, at(10.8, -20)));
    CHECK(near(path.tip[2].to, at(25, -20)));
}

TEST_CASE("What compensation cannot do is told") {
    SECTION("a lead-in shorter than the radius") {
        auto moves = chain({at(10, 2.5), at(10, 2), at(10, -20)}, Side::right);
        NosePath path = nose_path(moves, 0.8, 3);
        REQUIRE(has(path.troubles, Trouble::lead_in_shorter_than_radius));
        CHECK(path.troubles[0].found == Approx(0.5));
        CHECK(path.troubles[0].wanted == Approx(0.8));
    }
    SECTION("a groove narrower than the nose") {
        auto moves =
            chain({at(20, 0), at(20, -10), at(15, -10), at(15, -11), at(20, -11), at(20, -20)}, Side::right);
        CHECK(has(nose_path(moves, 0.8, 8, Side::right).troubles, Trouble::inside_corner_too_tight));
        auto wide =
            chain({at(20, 0), at(20, -10), at(15, -10), at(15, -13), at(20, -13), at(20, -20)}, Side::right);
        CHECK(nose_path(wide, 0.8, 8, Side::right).troubles.empty());
    }
    SECTION("a fillet smaller than the nose") {
        auto moves = chain({at(10, 0), at(10, -10)}, Side::right);
        NoseMove fillet = straight(at(10, -10), at(10.5, -10.5), Side::right);
        fillet.segment.is_arc = true;
        fillet.segment.centre = at(10.5, -10);
        fillet.segment.sweep = -std::numbers::pi / 2;
        moves.push_back(fillet);
        moves.push_back(straight(at(10.5, -10.5), at(20, -10.5), Side::right));
        CHECK(has(nose_path(moves, 0.8, 3, Side::right).troubles, Trouble::arc_smaller_than_radius));
        CHECK_FALSE(has(nose_path(moves, 0.4, 3, Side::right).troubles, Trouble::arc_smaller_than_radius));
    }
    SECTION("switched on along an arc") {
        NoseMove arc = straight(at(0, 0), at(10, -10), Side::right);
        arc.segment.is_arc = true;
        arc.segment.centre = at(0, -10);
        arc.segment.sweep = std::numbers::pi / 2;
        std::vector<NoseMove> moves{arc, straight(at(10, -10), at(10, -20), Side::right)};
        CHECK(has(nose_path(moves, 0.8, 3).troubles, Trouble::compensation_on_arc));
    }
}

TEST_CASE("A program's compensation is followed with the tool of the shop file") {
    const std::string text = "G21 G97 G99 S1000 M03\nT0101\nG00 X50. Z5.\nG42 G00 X20. Z2.\nG01 Z-20. F0.1\n"
                             "G02 X21. Z-20.5 R0.5\nG01 X40.\nG40 G00 X50. Z5.\n";
    Program program(text, with_tool(0.8, 3));
    auto troubles = nose_troubles(program.analysis, program.shop, program.place(1), program.place(8));
    REQUIRE(troubles.size() == 1);
    CHECK(troubles[0].trouble == Trouble::arc_smaller_than_radius);
    CHECK(troubles[0].block == program.place(6));
    CHECK(troubles[0].found == Approx(0.5));
    SECTION("a smaller nose fits") {
        Program small(text, with_tool(0.4, 3));
        CHECK(nose_troubles(small.analysis, small.shop, small.place(1), small.place(8)).empty());
    }
    SECTION("without a tip direction in the shop file it says so once") {
        Program small(text, with_tool(0.4, std::nullopt));
        auto found = nose_troubles(small.analysis, small.shop, small.place(1), small.place(8));
        REQUIRE(found.size() == 1);
        CHECK(found[0].trouble == Trouble::tip_direction_unknown);
        CHECK(found[0].block == small.place(4));
    }
    SECTION("without the tool nothing is claimed") {
        Program bare(text);
        CHECK(nose_troubles(bare.analysis, bare.shop, bare.place(1), bare.place(8)).empty());
    }
    SECTION("the code on a line of its own acts with the next move") {
        Program own("G21 G97 G99 S1000 M03\nT0101\nG00 X20. Z2.5\nG42\nG01 Z2. F0.1\nZ-20.\nG40\nG00 X50.\n",
                    with_tool(0.8, 3));
        auto found = nose_troubles(own.analysis, own.shop, own.place(1), own.place(8));
        REQUIRE(found.size() == 1);
        CHECK(found[0].trouble == Trouble::lead_in_shorter_than_radius);
        CHECK(found[0].block == own.place(5));
    }
}
