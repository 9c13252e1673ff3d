#include "report/compare.h"
#include "report/opened.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

namespace turnwright {
namespace {

using report::compare;
using report::Comparison;

std::string with(std::string_view text, std::string_view from, std::string_view to) {
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
    CHECK(compared(two_tools, with(two_tools, "(TURN)", "(TURN TO SIZE)")).same());
    CHECK(compared(two_tools, with(two_tools, "G01 Z-48. F0.2", "  g1 z-48.000   f.20 ")).same());
    CHECK(compared(two_tools, with(two_tools, "G01 Z-48. F0.2", "\n\n(LONG)\nG01 F0.2 Z-48.\n")).same());
    CHECK(compared(two_tools, with(two_tools, "N2 (GROOVE)", "N20 (GROOVE)")).same());
    CHECK(compared(two_tools, with(two_tools, "X44.\n", "G01 X44. F0.2\n")).same());
    CHECK(compared(two_tools, with(two_tools, "X44.\n", "U4.\n")).same());
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
        renumbered = with(renumbered, from, to);
    REQUIRE(renumbered.find("G70 P101 Q102") != std::string::npos);
    CHECK(compared(program, renumbered).same());
    const Comparison deeper = compared(program, with(program, "N10 G00 X20.", "N10 G00 X16."));
    REQUIRE_FALSE(deeper.same());
    // Many passes are otherwise, and they are told block by block, not pass by pass.
    CHECK(deeper.sequences[0].changes.size() <= 8);
}

TEST_CASE("each thing the machine does otherwise is told once, with both lines and values") {
    auto change = only(compared(two_tools, with(two_tools, "S1000", "S1200")));
    CHECK(change.before == "G97 1000 rpm");
    CHECK(change.after == "G97 1200 rpm");
    CHECK(change.old_line == 5); // At its own line, though it begins to matter at the next move
    change = only(compared(two_tools, with(two_tools, "F0.2", "F0.25")));
    CHECK(change.before == "feed 0.2 mm/rev");
    CHECK(change.after == "feed 0.25 mm/rev");
    const Comparison longer = compared(two_tools, with(two_tools, "Z-48.", "Z-48.5"));
    REQUIRE(longer.sequences.size() == 1);
    REQUIRE(longer.sequences[0].changes.size() == 2); // and the move out of it, which goes along
    change = longer.sequences[0].changes[0];
    CHECK(change.before == "feed to X40. Z-48.");
    CHECK(change.after == "feed to X40. Z-48.5");
    CHECK(change.old_line == 7);
    CHECK(change.new_line == 7);
    CHECK(longer.sequences[0].changes[1].after == "feed to X44. Z-48.5");
    change = only(compared(two_tools, with(two_tools, "X44.\n", "")));
    CHECK(change.before == "feed to X44. Z-48.");
    CHECK(change.after.empty());
    CHECK(change.new_line == 0);
    change = only(compared(two_tools, with(two_tools, "M05\nM01", "M05\nM00")));
    CHECK(change.before == "M1");
    CHECK(change.after == "M0");
    // A spindle left turning: it is not stopped in the one sequence and need not start in the next.
    const Comparison turning = compared(two_tools, with(two_tools, "M05\nM01", "M01"));
    REQUIRE(turning.sequences.size() == 2);
    CHECK(turning.sequences[0].changes[0].before == "M05 spindle stop");
    CHECK(turning.sequences[1].changes[0].before == "M03 spindle forward");
}

TEST_CASE("one least increment is a difference, the rounding of an inch value is none") {
    CHECK_FALSE(compared(two_tools, with(two_tools, "X40. Z2.", "X40.001 Z2.")).same());
    CHECK_FALSE(compared(two_tools, with(two_tools, "X40. Z2.", "X40. Z2.001")).same());
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
    const Comparison tool = compared(two_tools, with(two_tools, "T0202", "T0404"));
    const auto change = only(tool);
    CHECK(change.before == "tool T02 with offset 2");
    CHECK(change.after == "tool T04 with offset 4");
    const std::string longer = with(two_tools, "N2 (GROOVE)",
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
    CHECK_FALSE(compared(program, with(program, "#500", "#501")).same());
    CHECK_FALSE(compared(program, with(program, "M21", "M22")).same());
    constexpr std::string_view jump = "IF[#500GT1]GOTO50\nG04 X1.\nN50 M21\nM30\n";
    CHECK(compared(jump, with(with(jump, "GOTO50", "GOTO77"), "N50", "N77")).same());
}

TEST_CASE("block delete is a difference") {
    CHECK_FALSE(compared(two_tools, with(two_tools, "X44.\n", "/X44.\n")).same());
}

namespace {

/// A head, a first tool that is ready to cut, `middle`, and an end; system A, mm, diameter.
std::string turning(std::string_view middle) {
    return "O1000\nG21 G18 G99 G40 G97\nG50 S2500\nN1 (TURN)\nT0101\nG96 S180 M03\nM08\n"
           "G00 X60. Z2.\n" +
           std::string(middle) + "G00 X100. Z50.\nM09\nM05\nM01\nM30\n";
}

/// All changes in one line each: "before -> after" with the lines.
std::string told(const Comparison& comparison) {
    std::string out;
    for (const report::SequenceChange& sequence : comparison.sequences) {
        if (sequence.added || sequence.removed)
            out += sequence.name + (sequence.added ? " new" : " gone") + "; ";
        for (const report::Change& change : sequence.changes)
            out += std::to_string(change.old_line) + " " + change.before + " -> " +
                   std::to_string(change.new_line) + " " + change.after + "; ";
    }
    return out;
}

std::string told(std::string_view middle, std::string_view from, std::string_view to) {
    const std::string before = turning(middle);
    return told(compared(before, with(before, from, to)));
}

} // namespace

TEST_CASE("a stop taken out is the stop and nothing else") {
    constexpr std::string_view second = "T0202\nG97 S800 M03\nG00 X30. Z2.\nG01 Z-5. F.1\nG28 U0. W0.\n";
    for (const std::string start : {"M09\nM05\nM01\nN2\n", "M05\nM01\n", "M09\nM05\nM01\n(DRILL)\n"}) {
        INFO(start);
        const std::string program = turning("G01 Z-20. F0.2\nG28 U0. W0.\n" + start + std::string(second));
        const Comparison comparison = compared(program, with(program, "M01\n", ""));
        const auto change = only(comparison);
        CHECK(change.before == "M1");
        CHECK(change.after.empty());
        CHECK(report::comparison_text(comparison).find("gone: M1\n") != std::string::npos);
    }
    // In B and C as well, in inch.
    const std::string program =
        "O1\nG20 G90 G95 G97\nT0101\nS800 M03\nG00 X1. Z.1\nG01 Z-1. F.01\nG00 X4. Z4.\n"
        "M05\nM01\nN2\nT0202\nS500 M03\nG00 X1. Z.1\nM30\n";
    for (const char* shop : {"[[machine]]\nsystem = \"B\"\n", "[[machine]]\nsystem = \"C\"\n"})
        CHECK(only(compare(*opened(program, shop), *opened(with(program, "M01\n", ""), shop))).before ==
              "M1");
}

TEST_CASE("words that bear on no move are compared as they are written") {
    CHECK(told("G54.1 P1\nG00 X30. Z2.\n", "P1", "P2") == "9 G54.1 P1 -> 9 G54.1 P2; ");
    CHECK(told("B30.\n", "B30.", "B31.") == "9 B30. -> 9 B31.; ");
    CHECK(told("G01 Z-5. F.1 B30.\n", "B30.", "B31.") == "9 G1 B30. -> 9 G1 B31.; ");
    CHECK(told("G32 Z-30. F2. Q0\n", "Q0", "Q180000") == "9 G32 Q0 -> 9 G32 Q180000; ");
    CHECK(told("G92 X59. Z-30. F2. K1.\n", "K1.", "K2.") == "9 G92 K1. -> 9 G92 K2.; ");
    CHECK(told("G92 X59. Z-30. F2.\nX58.5 Q180000\n", "Q180000", "Q90000") == "10 Q180000 -> 10 Q90000; ");
    CHECK(told("G00 X0\nG83 Z-30. R-5. Q5000 F.1 L1\nG80\n", "L1", "L2") == "10 G83 L1 -> 10 G83 L2; ");
    CHECK(told("G00 X0\nG83 Z-30. R-5. Q5000 F.1 K1\nG80\n", "K1", "K2") == "10 G83 K1 -> 10 G83 K2; ");
    CHECK(told("M03 S500 P11\n", "P11", "P12") == "9 M3 P11 -> 9 M3 P12; ");
    CHECK(told("G96 S200 P1\n", "P1", "P2") == "9 G96 P1 -> 9 G96 P2; ");
    CHECK(told("G22 X100. Z50. I-10. K-300.\n", "K-300.", "K-200.") == "9 G22 K-300. -> 9 G22 K-200.; ");
    CHECK(told("G41 D3\nG01 X50. F.1\n", "D3", "D4") == "9 G41 D3 -> 9 G41 D4; ");
    // Said again with a code that stays in force it is the same; so is another way to write the number.
    CHECK(told("G96 S200 P1\nG01 Z-5. F.1\n", "G01 Z-5. F.1\n", "G01 Z-5. F.1\nG96 S200 P1\n").empty());
    CHECK(told("G54.1 P1\nG00 X30. Z2.\n", "P1", "P01").empty());
    CHECK(told("G96 S200\n", "S200\n", "S200 P1\n") == "0  -> 9 G96 P1; ");
}

TEST_CASE("the level of a block delete is told") {
    CHECK(told("/M01\n", "/M01", "/2M01") ==
          "9 with block delete off: M1 -> 9 with block delete 2 off: M1; ");
    CHECK(told("/M01\n", "/M01", "/1 M01").empty());
    CHECK(told("G01 Z-5. F.1\n/G01 X70.\n", "/G01", "/3 G01") ==
          "10 with block delete off: feed to X70. Z-5. -> 10 with block delete 3 off: feed to X70. Z-5.; ");
}

TEST_CASE("a cycle is told by the words that changed") {
    constexpr std::string_view rough = "G71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.3\nN10 G00 X20.\nG01 Z-20.\n"
                                       "X40. Z-30.\nN20 X56.\n";
    CHECK(told(rough, "U.4", "U.6") == "10 G71 U0.4 -> 10 G71 U0.6; ");
    CHECK(told(rough, "F.3", "F.25") == "10 feed 0.3 mm/rev -> 10 feed 0.25 mm/rev; ");
    CHECK(told(rough, "U2.", "U1.5").find("9 G71 U2. -> 9 G71 U1.5; ") == 0);
    CHECK(told(rough, "R.5", "R1.").find("9 G71 R0.5 -> 9 G71 R1.; ") == 0);
    // A block of the contour is told once, at its own line, with the cycle that cuts along it.
    CHECK(told(rough, "X40.", "X42.") == "13 X40. -> 13 X42.; ");
    constexpr std::string_view thread = "G97 S500\nG76 P010060 Q50 R0.02\nG76 X57.4 Z-30. P1300 Q300 F2.\n";
    CHECK(told(thread, "P010060", "P010055").find("10 G76 P010060 -> 10 G76 P010055; ") == 0);
    CHECK(told(thread, "Q50", "Q60").find("10 G76 Q50 -> 10 G76 Q60; ") == 0);
    CHECK(told("G83 H30. Z-30. R-5. Q5000 F.1 K4\nG80\n", "K4", "K6")
              .find("9 G83 H30. Z-30. R-5. Q5000 F0.1 K4 -> 9 G83 H30. Z-30. R-5. Q5000 F0.1 K6; ") == 0);
    // A least depth that no pass comes down to changes no move, and is told all the same.
    CHECK(told(thread, "Q50", "Q20").find("10 G76 Q50 -> 10 G76 Q20; ") == 0);
    CHECK(told(thread, "P1300", "P1299") == "11 G76 P1300 -> 11 G76 P1299; ");
    CHECK(told("G00 X0\nG83 Z-30. R-5. Q5000 F.1\nG80\n", "Q5000", "Q9000") ==
          "10 G83 Q5000 -> 10 G83 Q9000; ");
    // Other forms of one and the same cycle are no change.
    CHECK(told("G92 X59. Z-30. F2.\n", "X59. Z-30.", "U-1. W-32.").empty());
}

TEST_CASE("one change of a contour is told once, with the cycles that follow it") {
    const std::string program = "O1\nG21 G99\nT0101\nG97 S800 M03\nG00 X52. Z2.\nG71 U2. R.5\n"
                                "G71 P10 Q20 U.4 W.1 F.3\nN10 G00 X20.\nG01 Z-20. F.1\nX40. Z-30.\nN20 X50.\n"
                                "G00 X100. Z50.\nT0303\nG00 X52. Z2.\nG70 P10 Q20\nG00 X100. Z50.\nM30\n";
    const auto changed = compared(program, with(program, "G01 Z-20.", "G01 Z-21."));
    std::size_t changes = 0;
    for (const auto& sequence : changed.sequences) changes += sequence.changes.size();
    CHECK(changes == 1);
    const std::string text = report::comparison_text(changed);
    CHECK(text.find("Z-21.; G71 in line 7 and G70 in line 15 follow it\n") != std::string::npos);
    CHECK(report::comparison_json(changed).find("\"G71 in line 7\"") != std::string::npos);
    // A feed beside it is another change, and is told.
    const auto fed =
        compared(program, with(with(program, "G01 Z-20.", "G01 Z-21."), "G70 P10 Q20", "G70 P10 Q20 F.2"));
    CHECK(report::comparison_text(fed).find("Z-21.; G71") != std::string::npos);
}

TEST_CASE("a setting stands at its own line") {
    CHECK(told("G01 Z-5. F.1\n", "S2500", "S2000") == "3 speed limit 2500 rpm -> 3 speed limit 2000 rpm; ");
    CHECK(told("G01 Z-5. F.1\n", "G50 S2500\n", "") == "3 speed limit 2500 rpm -> 0 ; ");
    CHECK(told("G01 Z-5. F.1\n", "M08\n", "") == "7 M08 coolant on -> 0 ; ");
    CHECK(told("F.1\nG01 Z-5.\n", "F.1", "F.2") == "9 feed 0.1 mm/rev -> 9 feed 0.2 mm/rev; ");
}

TEST_CASE("a variable for its value and a subprogram for its blocks are no change") {
    constexpr std::string_view head = "O1\nG21 G18 G99 G97\n", end = "X50.\nM30\n";
    const std::string plain =
        std::string(head) + "T0101\nS800 M03\nG00 X40. Z2.\nG01 Z-20. F.2\n" + std::string(end);
    const std::string variables = std::string(head) +
                                  "#1=20.\n#102=.2\nT0101\nS800 M03\nG00 X40. Z2.\nG01 Z-#1 F#102\n" +
                                  "X[#1+30.]\nM30\n";
    CHECK(told(compared(variables, plain)).empty());
    CHECK(told(compared(variables, with(variables, "#1=20.", "#1=21."))) != "");
    const std::string jumped = std::string(head) + "#1=20.\nT0101\nS800 M03\nG00 X40. Z2.\n" +
                               "IF[#1GT10.]GOTO5\nG01 X0 F.1\nN5 G01 Z-#1 F.2\n" + std::string(end);
    CHECK(told(compared(jumped, plain)).empty());
    // What is not known, or outlives the program, is compared as it is written.
    CHECK_FALSE(compared(plain, with(plain, "T0101", "#500=1.\nT0101")).same());
    CHECK_FALSE(compared(plain, with(plain, "T0101", "#101=#5221\nT0101")).same());
    // A program that is not here may use any of them.
    const std::string calls = with(plain, "X50.", "M98 P9000\nX50.");
    CHECK_FALSE(compared(calls, with(calls, "T0101", "#101=1.\nT0101")).same());

    constexpr std::string_view below = "O2\nG01 Z-20. F.2\nX50.\nM99\n";
    const std::string inlined = plain + std::string(below);
    const std::string called = with(inlined, "G01 Z-20. F.2\nX50.\nM30", "M98 P2\nM30");
    CHECK(told(compared(called, inlined)).empty());
    CHECK(told(compared(inlined, called)).empty());
    CHECK(told(compared(called, plain)).empty());
    // Called in neither it is told like anything else.
    CHECK_FALSE(compared(inlined, inlined.substr(0, inlined.size() - 9) + "X52.\nM99\n").same());
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
    const Comparison comparison = compared(two_tools, with(two_tools, "F0.2", "F0.4"));
    const std::string text = report::comparison_text(comparison);
    CHECK(text.find("N1 T0101 (TURN)\n  line 7 -> 7: feed 0.2 mm/rev -> feed 0.4 mm/rev, "
                    "before feed to X40. Z-48.\n") != std::string::npos);
    // 50 mm and 2 mm of feed at 1000 rpm: 15.6 s at 0.2 mm/rev, 7.8 s at 0.4
    CHECK(comparison.sequences[0].before.cut_seconds == Approx(15.6));
    CHECK(comparison.sequences[0].after.cut_seconds == Approx(7.8));
    // A hundredth of a millimetre more takes as long, as times are told.
    const std::string little =
        report::comparison_text(compared(two_tools, with(two_tools, "Z-48.", "Z-48.01")));
    CHECK(little.find("Z-48.01") != std::string::npos);
    CHECK(little.find("time:") == std::string::npos);
    const std::string json = report::comparison_json(comparison);
    CHECK(json.find("\"same\": false") != std::string::npos);
    CHECK(json.find("\"after\": \"feed 0.4 mm/rev\"") != std::string::npos);
}

} // namespace turnwright
