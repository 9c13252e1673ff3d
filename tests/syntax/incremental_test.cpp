// After any edit the forest is what a fresh parse of the same leaves gives, and what the grammar alone gives,
// field by field.
#include "shown.h"

#include <catch2/catch.hpp>

#include <random>
#include <set>

using namespace turnwright;
using namespace turnwright::syntax;
using namespace turnwright::syntax::test;

namespace {

using Random = std::mt19937;

std::size_t below(Random& random, std::size_t limit) {
    return std::uniform_int_distribution<std::size_t>(0, limit - 1)(random);
}

template <std::size_t Size>
const std::string& pick(Random& random, const std::array<std::string, Size>& from) {
    return from[below(random, Size)];
}

const std::array<std::string, 22> good_lines{
    "G01 X1.25 Z-.5 F.01",
    "N10 G97 S800 M03",
    "(ROUGH TURN (OD) Z-3.5)",
    "T0101 (ROUGH)",
    "#100=#101+2.*SIN[#3]",
    "IF[#1GT2]GOTO10",
    "WHILE[#1 LE 10]DO1",
    "END1",
    "X#101 Z-[#1+2.]",
    "#[#1+1]=ATAN[1]/[2]",
    "/2 M08",
    "%",
    "O1234 (PART)",
    "G76 P010060 Q50 R.05;",
    "G1 Z-5.,C1.",
    "",
    "   ",
    "IF[#1 LT 0]THEN #1=-#1",
    "M30",
    "N20(FACE)",
    "G 0 1 X - 1 . 2 5",
    "G28 U0 W0 ; home",
};

const std::array<std::string, 42> pieces{
    "(",        ")",
    "[",        "]",
    "#",        "#1",
    "=",        ";",
    "%",        "/",
    ",",        "+",
    "-",        "*",
    ".",        "5",
    "X",        "N7",
    "O9",       "G1",
    " ",        "\t",
    "\n",       "\r",
    "\r\n",     "IF",
    "GOTO",     "THEN",
    "DO",       "END",
    "WHILE",    "SIN[",
    "ATAN",     "EQ",
    "AND",      "/[",
    "\xC3\x98", "\xEF\xBB\xBF",
    "\xFF",     std::string(1, '\0'),
    "?!",       "#<a>",
};

std::string random_bytes(Random& random) {
    std::string bytes(1 + below(random, 30), ' ');
    for (char& byte : bytes) byte = static_cast<char>(below(random, 256));
    return bytes;
}

std::string random_text(Random& random, std::size_t lines) {
    static const std::array<std::string, 3> ends{"\n", "\r\n", "\r"};
    const std::size_t style = below(random, 4); // the last mixes line ends
    std::string text;
    for (std::size_t i = 0; i < lines; ++i) {
        text += pick(random, good_lines);
        text += style < 3 ? ends[style] : pick(random, ends);
    }
    return text;
}

std::string random_insert(Random& random) {
    switch (below(random, 12)) {
    case 0:
        return "";
    case 1:
        return random_text(random, 1 + below(random, 5));
    case 2:
        return random_text(random, 50 + below(random, 200));
    case 3:
        return random_bytes(random);
    case 4:
        return pick(random, good_lines);
    case 5:
    case 6:
        return std::string(1, static_cast<char>('0' + below(random, 10)));
    default:
        return pick(random, pieces);
    }
}

text::Range random_range(Random& random, const text::Buffer& buffer) {
    text::Position begin;
    begin.line = static_cast<std::uint32_t>(below(random, buffer.line_count()));
    begin.column = static_cast<std::uint32_t>(below(random, buffer.line(begin.line).size() + 1));
    text::Position end = begin;
    switch (below(random, 8)) {
    case 0:
        end.line += static_cast<std::uint32_t>(below(random, 4));
        break;
    case 1:
        end.line += static_cast<std::uint32_t>(below(random, 150));
        break;
    case 2:
    case 3:
    case 4:
        end.column += static_cast<std::uint32_t>(below(random, 4));
        break;
    default:
        break;
    }
    return {begin, buffer.clamp(end)};
}

// Children stand before their parents and below the depth that readers may recurse to.
std::string broken_expression(const Run& run) {
    std::vector<int> depths;
    for (std::size_t i = 0; i < run.expressions.size(); ++i) {
        const Expression& e = run.expressions[i];
        const auto here = static_cast<std::int32_t>(i);
        if (e.left >= here || e.right >= here) return "expression " + std::to_string(i) + " before its child";
        int depth = 0;
        for (const std::int32_t child : {e.left, e.right})
            if (child >= 0) depth = std::max(depth, depths[static_cast<std::size_t>(child)] + 1);
        if (depth > max_expression_depth + 2) return "expression " + std::to_string(i) + " too deep";
        depths.push_back(depth);
    }
    return {};
}

std::string fault_of(const Run& run) {
    std::string text = difference(run, *parse_run(run.text));
    if (text.empty()) text = difference(run, *parse_run_by_grammar(run.text));
    if (text.empty()) text = broken_expression(run);
    return text;
}

// Every run of every step is checked; one that is still the same object is not checked again.
class Checker {
public:
    std::string first_fault(const Forest& forest, const text::Buffer& buffer) {
        if (forest.size() != buffer.leaf_count()) return "run count";
        std::set<RunPointer> good;
        for (std::size_t i = 0; i < forest.size(); ++i) {
            const RunPointer& run = forest.run(i);
            if (run->text != buffer.leaf(i)) return "run " + std::to_string(i) + " is of another leaf";
            const std::string fault = good_.contains(run) ? std::string() : fault_of(*run);
            if (!fault.empty()) return "run " + std::to_string(i) + ": " + fault;
            good.insert(run);
        }
        good_ = std::move(good);
        return {};
    }

private:
    std::set<RunPointer> good_; ///< Held, so that no other run takes the place of one of them.
};

} // namespace

TEST_CASE("Random edits: the forest is as from scratch after every one") {
    const auto seed = GENERATE(range(1U, 13U));
    Random random(seed);
    text::Buffer buffer(random_text(random, below(random, 300)));
    Forest forest(buffer);
    Checker checker;
    for (int step = 0; step < 250; ++step) {
        const text::Range range = random_range(random, buffer);
        const std::string with = random_insert(random);
        const text::Splice splice = buffer.replace(range, with);
        forest.update(buffer, splice);
        INFO("seed " << seed << " step " << step << " at " << range.begin.line << ":" << range.begin.column
                     << " to " << range.end.line << ":" << range.end.column << " with '" << with << "'");
        REQUIRE(checker.first_fault(forest, buffer) == "");
    }
}

TEST_CASE("Key presses in one run, a key at a time") {
    const auto seed = GENERATE(range(100U, 106U));
    Random random(seed);
    text::Buffer buffer(random_text(random, 64));
    Forest forest(buffer);
    Checker checker;
    for (int step = 0; step < 400; ++step) {
        text::Range range = random_range(random, buffer);
        range.end = range.begin;
        std::string with = pick(random, pieces).substr(0, 1);
        if (below(random, 3) == 0) {
            ++range.end.column;
            with.clear();
        }
        forest.update(buffer, buffer.replace(range, with));
        INFO("seed " << seed << " step " << step);
        REQUIRE(checker.first_fault(forest, buffer) == "");
    }
}

TEST_CASE("Blocks are one a line of their leaf, wherever it is cut") {
    Random random(7);
    const text::Buffer buffer(random_text(random, 1000));
    const Forest forest(buffer);
    std::size_t lines = 0;
    for (const RunPointer& run : forest.runs()) {
        REQUIRE(run->blocks.size() == run->text->line_count());
        for (std::size_t i = 0; i < run->blocks.size(); ++i) {
            CHECK(run->text_of(run->blocks[i]) == run->text->line(i));
            CHECK(show(*run, run->blocks[i]) == show_line(run->text->line(i)));
        }
        lines += run->blocks.size();
    }
    CHECK(lines == buffer.line_count());
}

TEST_CASE("Copies of a forest go their own ways") {
    Random random(8);
    text::Buffer first(random_text(random, 200));
    Forest one(first);
    one.update(first, first.replace({{3, 0}, {3, 0}}, "X"));
    text::Buffer second = first;
    Forest two = one;
    one.update(first, first.replace({{3, 0}, {3, 1}}, ""));
    two.update(second, second.replace({{3, 1}, {3, 1}}, "5 "));
    two.update(second, second.replace({{3, 1}, {3, 1}}, "6"));
    CHECK(Checker().first_fault(one, first) == "");
    CHECK(Checker().first_fault(two, second) == "");
}
