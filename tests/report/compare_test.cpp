#include "report/compare.h"
#include "report/opened.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

namespace turnwright {
namespace {

using report::compare;
using report::Comparison;

std::string replaced(std::string_view text, std::string_view from, std::string_view to) {
    std::string out(text);
    const std::size_t at = out.find(from);
    REQUIRE(at != std::string::npos);
    return out.replace(at, from.size(), to);
}

Comparison compared(std::string_view before, std::string_view after) {
    return compare(*opened(before), *opened(after));
}

/// The one change there is.
report::Change only(const Comparison& comparison) {
    REQUIRE(comparison.sequences.size() == 1);
    REQUIRE(comparison.sequences[0].changes.size() == 1);
    return comparison.sequences[0].changes[0];
}

} // namespace

TEST_CASE("blanks, notes, numbers and codes that change nothing are no difference") {
    CHECK(compared(two_tools, two_tools).same());
    CHECK(compared(two_tools, replaced(two_tools, "(TURN)", "(TURN TO SIZE)")).same());
    CHECK(compared(two_tools, replaced(two_tools, "G01 Z-48. F0.2", "  g1 z-48.000   f.20 ")).same());
    CHECK(compared(two_tools, replaced(two_tools, "G01 Z-48. F0.2", "\n\n(LONG)\nG01 F0.2 Z-48.\n")).same());
    CHECK(compared(two_tools, replaced(two_tools, "N2 (GROOVE)", "N20 (GROOVE)")).same());
    CHECK(compared(two_tools, replaced(two_tools, "X44.\n", "G01 X44. F0.2\n")).same());
    CHECK(compared(two_tools, replaced(two_tools, "X44.\n", "U4.\n")).same());
}

TEST_CASE("a renumbered contour is the same contour") {
    constexpr std::string_view program = R"(G21 G99 G18 G40
T0101
G97 S800 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.3
N10 G00 X20.
G01 Z-20.
N20 X50.
G70 P10 Q20
M30
)";
    std::string renumbered(program);
    for (const auto& [from, to] : {std::pair{"P10", "P101"},
                                   {"Q20", "Q102"},
                                   {"N10", "N101"},
                                   {"N20", "N102"},
                                   {"P10 ", "P101 "},
                                   {"Q20\n", "Q102\n"}})
        renumbered = replaced(renumbered, from, to);
    REQUIRE(renumbered.find("G70 P101 Q102") != std::string::npos);
    CHECK(compared(program, renumbered).same());
    const Comparison deeper = compared(program, replaced(program, "N10 G00 X20.", "N10 G00 X16."));
    REQUIRE_FALSE(deeper.same());
    // Many passes are otherwise, and they are told block by block, not pass by pass.
    CHECK(deeper.sequences[0].changes.size() <= 8);
}

TEST_CASE("each thing the machine does otherwise is told once, with both lines and values") {
    auto change = only(compared(two_tools, replaced(two_tools, "S1000", "S1200")));
    CHECK(change.before == "G97 1000 rpm");
    CHECK(change.after == "G97 1200 rpm");
    CHECK(change.old_line == 6); // Told where it begins to matter: at the next move
    change = only(compared(two_tools, replaced(two_tools, "F0.2", "F0.25")));
    CHECK(change.before == "feed 0.2 mm/rev");
    CHECK(change.after == "feed 0.25 mm/rev");
    const Comparison longer = compared(two_tools, replaced(two_tools, "Z-48.", "Z-48.5"));
    REQUIRE(longer.sequences.size() == 1);
    REQUIRE(longer.sequences[0].changes.size() == 2); // and the move out of it, which goes along
    change = longer.sequences[0].changes[0];
    CHECK(change.before == "feed to X40. Z-48.");
    CHECK(change.after == "feed to X40. Z-48.5");
    CHECK(change.old_line == 7);
    CHECK(change.new_line == 7);
    CHECK(longer.sequences[0].changes[1].after == "feed to X44. Z-48.5");
    change = only(compared(two_tools, replaced(two_tools, "X44.\n", "")));
    CHECK(change.before == "feed to X44. Z-48.");
    CHECK(change.after.empty());
    CHECK(change.new_line == 0);
    change = only(compared(two_tools, replaced(two_tools, "M05\nM01", "M05\nM00")));
    CHECK(change.before == "M1");
    CHECK(change.after == "M0");
    // A spindle left turning: it is not stopped in the one sequence and need not start in the next.
    const Comparison turning = compared(two_tools, replaced(two_tools, "M05\nM01", "M01"));
    REQUIRE(turning.sequences.size() == 2);
    CHECK(turning.sequences[0].changes[0].before == "M05 spindle stop");
    CHECK(turning.sequences[1].changes[0].before == "M03 spindle forward");
}

TEST_CASE("one least increment is a difference, the rounding of an inch value is none") {
    CHECK_FALSE(compared(two_tools, replaced(two_tools, "X40. Z2.", "X40.001 Z2.")).same());
    CHECK_FALSE(compared(two_tools, replaced(two_tools, "X40. Z2.", "X40. Z2.001")).same());
    constexpr std::string_view inch =
        "G20 G18 G99\nT0101\nG97 S800 M03\nG00 X1.5 Z.1\nG01 Z-1.0001 F.01\nM30\n";
    // 1.0001 in = 25.40254 mm (25.4 mm to the inch: NBS Circular 572 addendum, 1960)
    constexpr std::string_view metric =
        "G21 G18 G99\nT0101\nG97 S800 M03\nG00 X38.1 Z2.54\nG01 Z-25.403 F.254\nM30\n";
    const Comparison same = compared(inch, metric);
    CHECK(same.same());
    CHECK(same.remarks.size() == 1);
}

TEST_CASE("another tool for the same work, a sequence put in and one taken out") {
    const Comparison tool = compared(two_tools, replaced(two_tools, "T0202", "T0404"));
    const auto change = only(tool);
    CHECK(change.before == "tool T02 with offset 2");
    CHECK(change.after == "tool T04 with offset 4");
    const std::string longer = replaced(two_tools, "N2 (GROOVE)",
                                        "N3 (MORE)\nT0303\nG97 S700 M03\nG00 X50. Z1.\nG01 X30. F0.1\n"
                                        "G00 X100. Z50.\nM05\nM01\nN2 (GROOVE)");
    const Comparison added = compared(two_tools, longer);
    REQUIRE(added.sequences.size() == 1);
    CHECK(added.sequences[0].added);
    CHECK(added.sequences[0].name == "N3 T0303");
    CHECK(added.sequences[0].new_line == 12);
    const Comparison removed = compared(longer, two_tools);
    REQUIRE(removed.sequences.size() == 1);
    CHECK(removed.sequences[0].removed);
}

TEST_CASE("what is not known is compared as it is written") {
    constexpr std::string_view program = "G21 G18 G99\nT0101\nG97 S800 M03\nG00 X#500 Z2.\nM21\nM30\n";
    const Comparison same = compared(program, program);
    CHECK(same.same());
    CHECK(same.compared_as_written == 1); // M codes are what they are, known or not
    CHECK_FALSE(compared(program, replaced(program, "#500", "#501")).same());
    CHECK_FALSE(compared(program, replaced(program, "M21", "M22")).same());
    constexpr std::string_view jump = "IF[#500GT1]GOTO50\nG04 X1.\nN50 M21\nM30\n";
    CHECK(compared(jump, replaced(replaced(jump, "GOTO50", "GOTO77"), "N50", "N77")).same());
}

TEST_CASE("block delete is a difference") {
    CHECK_FALSE(compared(two_tools, replaced(two_tools, "X44.\n", "/X44.\n")).same());
}

TEST_CASE("the common row is as long as the longest common subsequence") {
    std::mt19937 random(7);
    for (int round = 0; round < 200; ++round) {
        std::string a(random() % 30, ' '), b(random() % 30, ' ');
        for (char& c : a) c = static_cast<char>('a' + random() % 4);
        for (char& c : b) c = static_cast<char>('a' + random() % 4);
        // By the textbook's table
        std::vector<std::vector<std::size_t>> table(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
        for (std::size_t i = 1; i <= a.size(); ++i)
            for (std::size_t j = 1; j <= b.size(); ++j)
                table[i][j] = a[i - 1] == b[j - 1] ? table[i - 1][j - 1] + 1
                                                   : std::max(table[i - 1][j], table[i][j - 1]);
        const auto pairs = report::common_row(a.size(), b.size(),
                                              [&](std::size_t i, std::size_t j) { return a[i] == b[j]; });
        REQUIRE(pairs.size() == table[a.size()][b.size()]);
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            REQUIRE(a[pairs[i].first] == b[pairs[i].second]);
            if (i > 0) {
                REQUIRE(pairs[i - 1].first < pairs[i].first);
                REQUIRE(pairs[i - 1].second < pairs[i].second);
            }
        }
    }
}

TEST_CASE("the forms of a comparison") {
    const Comparison comparison = compared(two_tools, replaced(two_tools, "F0.2", "F0.4"));
    const std::string text = report::comparison_text(comparison);
    CHECK(text.find("N1 T0101 (TURN)\n  line 7 -> 7: feed 0.2 mm/rev -> feed 0.4 mm/rev\n") !=
          std::string::npos);
    // 50 mm and 2 mm of feed at 1000 rpm: 15.6 s at 0.2 mm/rev, 7.8 s at 0.4
    CHECK(comparison.sequences[0].before.cut_seconds == Approx(15.6));
    CHECK(comparison.sequences[0].after.cut_seconds == Approx(7.8));
    const std::string json = report::comparison_json(comparison);
    CHECK(json.find("\"same\": false") != std::string::npos);
    CHECK(json.find("\"after\": \"feed 0.4 mm/rev\"") != std::string::npos);
}

} // namespace turnwright
