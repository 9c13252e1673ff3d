// Facts of the program format that NISTIR 6556 (Kramer, Proctor, Messina, 2000) and RS-274-D state. Appendix
// E on blanks and notes was read; the tables of modal groups and the error conditions are from memory.
#include "codes/codes.h"
#include "motion/geometry.h"
#include "syntax/syntax.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using codes::Group;
using codes::System;

namespace {

syntax::RunPointer parse(std::string_view text) {
    text::Buffer buffer(text);
    return syntax::parse_run(buffer.leaf(0));
}

std::vector<std::pair<char, double>> words(std::string_view text) {
    auto run = parse(text);
    std::vector<std::pair<char, double>> out;
    for (const syntax::Item& item : run->items_of(run->blocks[0]))
        if (item.kind == syntax::ItemKind::word) out.emplace_back(item.letter, item.value);
    return out;
}

Group group(char letter, double number) {
    const codes::Code* code = codes::find(System::B, letter, number);
    REQUIRE(code);
    return code->group();
}

} // namespace

TEST_CASE("Blanks between words and after a letter mean nothing") {
    // NISTIR 6556, appendix E, read.
    auto tight = words("G01X20.5Z-3.F.2");
    REQUIRE(tight.size() == 4);
    CHECK(words("G01 X20.5 Z-3. F.2") == tight);
    CHECK(words("  G 01  X 20.5\tZ -3.  F .2 ") == tight);
}

TEST_CASE("Notes do not nest") {
    // NISTIR 6556, appendix E, read: the first closing parenthesis ends the note.
    auto run = parse("G01 (A (B) X5.");
    auto items = run->items_of(run->blocks[0]);
    REQUIRE(items.size() == 3);
    CHECK(items[1].kind == syntax::ItemKind::note);
    CHECK(run->text_of(items[1]) == "(A (B)");
    CHECK(items[2].letter == 'X');
}

TEST_CASE("Codes of one modal group replace each other") {
    // NISTIR 6556, table of modal groups, from memory; numbers that mean the same in turning, system B.
    const std::vector<std::vector<std::pair<char, double>>> groups = {
        {{'G', 0}, {'G', 1}, {'G', 2}, {'G', 3}},
        {{'G', 17}, {'G', 18}, {'G', 19}},
        {{'G', 90}, {'G', 91}},
        {{'G', 93}, {'G', 94}},
        {{'G', 20}, {'G', 21}},
        {{'G', 40}, {'G', 41}, {'G', 42}},
        {{'G', 98}, {'G', 99}},
        {{'G', 54}, {'G', 55}, {'G', 56}, {'G', 57}, {'G', 58}, {'G', 59}},
        {{'M', 3}, {'M', 4}, {'M', 5}},
    };
    std::vector<Group> seen;
    for (const auto& members : groups) {
        Group first = group(members[0].first, members[0].second);
        CHECK(first != Group::one_shot);
        for (auto [letter, number] : members) CHECK(group(letter, number) == first);
        for (Group other : seen) CHECK(other != first);
        seen.push_back(first);
    }
    // Group 0: act in their block only.
    for (double number : {4.0, 10.0, 28.0, 30.0, 53.0}) CHECK(group('G', number) == Group::one_shot);
}

TEST_CASE("Error conditions of arcs") {
    // NISTIR 6556, arcs in radius and centre form, from memory: an end point on the start with a radius is an
    // error, and so is an end point that is not as far from the centre as the start.
    using namespace motion;
    Point start{10, 0};
    CHECK(arc_by_radius(start, start, 5, true, 0.002).trouble == Trouble::arc_without_centre);
    CHECK(arc_by_centre(start, {0, -10.1}, {0, 0}, true, 0.002).trouble == Trouble::arc_radius_mismatch);
    CHECK_FALSE(arc_by_centre(start, {0, -10.001}, {0, 0}, true, 0.002).trouble);
    // A full circle by its centre is none.
    CHECK(std::abs(arc_by_centre(start, start, {0, 0}, true, 0.002).sweep) == Approx(2 * pi));
}
