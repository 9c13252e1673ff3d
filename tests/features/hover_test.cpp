// Hover: a program with a cursor and what the text must hold.
#include "features/open.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Open;
using features::test::shop_of;

namespace {

std::string hovered(std::string_view program, System system) {
    const Open open(program, system);
    const std::optional<Hover> found = hover(open.document, open.cursor());
    return found ? found->markdown : std::string{};
}
std::string hovered(std::string_view program, std::string_view shop_file) {
    const Open open(program, shop_of(shop_file));
    const std::optional<Hover> found = hover(open.document, open.cursor());
    return found ? found->markdown : std::string{};
}

constexpr const char* metric_a = R"(
G21 G18 G40 G80 G97 G99 G54
T0303 (FINISH)
G50 S2500
G97 S1400 M03
G00 X52. Z1.
M08
G96 S220
G01 X40. F0.2
)";

} // namespace

TEST_CASE("G90 is said by its system") {
    CHECK_THAT(hovered("G21\n$0G90 X20. Z-5. F0.2\n", System::A), Contains("cycle"));
    CHECK_THAT(hovered("G21\n$0G90\nG00 X20.\n", System::B), Contains("bsolute"));
    CHECK_THAT(hovered("G71\n$0G90\nG00 X20.\n", System::C), Contains("bsolute"));
}

TEST_CASE("a value that one character spoils is named") {
    CHECK_THAT(hovered("G21 G99\nG01 X20. $0Z-O.5 F0.2\nM30\n", System::A),
               Contains("The letter O stands for a 0: meant is Z\\-0.5") || Contains("meant is Z-0.5"));
    CHECK_THAT(hovered("G21 G90 G95\nG01 $0X20,5 Z-5. F0.2\nM30\n", System::B),
               Contains("A comma stands for"));
    CHECK_THAT(hovered("G71 G90 G95\nG01 X20. $0Z-0.5 F0.2\nM30\n", System::C), !Contains("stands for"));
}

TEST_CASE("a block that is run more than once is told turn by turn") {
    const std::string loop =
        "G21 G18 G99 G97 S500 M03 T0101\nG00 X40. Z9.\n#1=5.\nWHILE[#1 GT 0]DO1\nG01 $0Z#1 F0.2\n"
        "#1=#1-2.\nEND1\nM30\n";
    const std::string text = hovered(loop, System::A);
    CHECK_THAT(text, Contains("Run more than once: Z5., Z3., Z1. in turn."));
    CHECK_THAT(text, Contains("it ends in turn at X40. Z5., X40. Z3., X40. Z1."));
    CHECK_THAT(hovered("O1\nG65 P2 A4.\nG65 P2 A6.\nM30\nO2\nG01 $0Z#1 F0.2\nM99\n", System::A),
               Contains("Z4., Z6. in turn"));
    CHECK_THAT(hovered("O1\n#1=4.\nG01 $0Z#1 F0.2\nM30\n", System::A), !Contains("in turn"));
}

TEST_CASE("the state that reaches a block, metric") {
    const std::string text = hovered(std::string(metric_a) + "$0Z-20.\n", System::A);
    // n = 1000 v / (pi D): exact from the definition of surface speed (facts: Tungaloy page L030's formula).
    // 1000 * 220 / (pi * 40) = 1750.7 rpm; 0.2 mm/rev = 350 mm/min.
    CHECK_THAT(text, Contains("T03, offset 3"));
    CHECK_THAT(text, Contains("forward (M03), G96 220 m/min: 1751 rpm at X40., limit 2500"));
    CHECK_THAT(text, Contains("0.2 mm/rev = 350 mm/min"));
    CHECK_THAT(text, Contains("mm, X is a diameter"));
    CHECK_THAT(text, Contains("G54"));
    CHECK_THAT(text, Contains("X40. Z1."));
    CHECK_THAT(text, Contains("M08"));
    // 21 mm at 350.1 mm/min: 3.6 s.
    CHECK_THAT(text, Contains("from X40. Z1. to X40. Z-20.: 21 mm, 3.6 s"));
}

TEST_CASE("the state that reaches a block, inch in system B") {
    const std::string text = hovered(R"(
G20 G90 G18 G40 G80 G97 G95 G54
T0202
G92 S2400
G97 S750 M03
G00 X2. Z.1
G96 S400
G01 Z0 F.01
$0X1.
)",
                                     System::B);
    // n = 12 V / (pi D) (facts: DGI page 68): 12 * 400 / (pi * 2) = 763.9 rpm; 0.01 in/rev at 1527.9 rpm
    // = 15.28 in/min.
    CHECK_THAT(text, Contains("400 ft/min"));
    CHECK_THAT(text, Contains("764 -> 1528 rpm, limit 2400"));
    CHECK_THAT(text, Contains("0.01 in/rev = 15.28 in/min"));
    CHECK_THAT(text, Contains("inch, G90 absolute positions,"));
    CHECK_THAT(text, Contains("G90 absolute"));
    CHECK_THAT(text, Contains("764 to 1528 rpm"));
}

TEST_CASE("what is not known is said with its reason") {
    const std::string text = hovered("G00 X52. Z1.\nG01 $0X40.\n", System::A);
    CHECK_THAT(text, Contains("not set by any block above"));
    CHECK_THAT(text, !Contains("0 mm/min"));
}

TEST_CASE("modes that no block sets are told once, at the first block") {
    const std::string program = "G21 G99\nT0101\nG97 S500 M03\nG00 X52. Z1.\nG01 X40. F0.2\n";
    CHECK_THAT(hovered("$0" + program, System::A),
               Contains("Not set by any block of this file: compensation, coolant, datum."));
    std::string cut = program;
    cut.insert(cut.find("X40."), "$0");
    CHECK_THAT(hovered(cut, System::A), !Contains("compensation, coolant, datum"));
    CHECK_THAT(hovered("$0G40 G54\nM08\n" + program, System::A), !Contains("Not set by any block"));
}

TEST_CASE("a code tells what it replaces") {
    const std::string text = hovered(std::string(metric_a) + "$0G00 X52.\n", System::A);
    CHECK_THAT(text, Contains("**G00**"));
    CHECK_THAT(text, Contains("Replaces G01 feed in a straight line."));
    CHECK_THAT(hovered(std::string(metric_a) + "$0G01 X52.\n", System::A), Contains("In force already"));
    CHECK_THAT(hovered("$0G04 P300\n", System::A), Contains("Acts in this block only."));
}

TEST_CASE("codes that are not in the table are named unknown") {
    CHECK_THAT(hovered("G21\n$0G444 X1.\n", System::A), Contains("Not known here."));
    CHECK_THAT(hovered("G21\n$0M155\n", System::A), Contains("Not known here."));
    CHECK_THAT(
        hovered("G21\n$0M155\n", "[[machine]]\nsystem = \"A\"\n[machine.m_codes]\nM155 = \"Bar feed\"\n"),
        Contains("Bar feed"));
}

TEST_CASE("one note that lists several tools gives each its own part") {
    const auto told = [](const std::string& note, const std::string& tool) {
        return hovered("O1\n(" + note + ")\nG21\n$0" + tool + "\nG00 X40. Z2.\nM30\n", System::A);
    };
    const std::string marked = "T1 ROUGH R0.8, T3 FINISH 35 DEG; T12 THREAD 60";
    CHECK_THAT(told(marked, "T0101"), Contains("ROUGH R0.8") && !Contains("FINISH"));
    CHECK_THAT(told(marked, "T0303"), Contains("FINISH 35 DEG") && !Contains("THREAD"));
    CHECK_THAT(told(marked, "T1212"), Contains("THREAD 60") && !Contains("FINISH"));
    CHECK_THAT(told("TOOLS: T1 ROUGH T2 DRILL T3 FINISH", "T0202"), Contains("DRILL") && !Contains("FINISH"));
    for (const char* no_list : {"T1 ROUGH LIKE T3", "T1 ROUGH LIKE T3 FINISH", "T1 ROUGH AND T3 FINISH"})
        CHECK_THAT(told(no_list, "T0101"), Contains(no_list + 3));
    const std::string two = "T7 GEWINDESTAHL AUSSEN T9 ABSTECHER 3MM";
    CHECK_THAT(told(two, "T0707"), Contains("GEWINDESTAHL AUSSEN") && !Contains("ABSTECHER"));
    CHECK_THAT(told(two, "T0909"), Contains("ABSTECHER 3MM"));
    // As shops of other languages count their tools
    CHECK_THAT(told("UT.6 LAMA 4 MM", "T0606"), Contains("LAMA 4 MM"));
    CHECK_THAT(told("UT1 SGROSSATURA UT3 FINITURA", "T0303"), Contains("FINITURA"));
    CHECK_THAT(told("H5 RANURAR 3 MM H7 ROSCAR", "T0707"), Contains("ROSCAR") && !Contains("RANURAR"));
    CHECK_THAT(told("H7 BORE 30", "T0707"), !Contains("Tool note: BORE 30")); // A tolerance
}

TEST_CASE("a tool that no shop file describes is told by its note, as assumed") {
    const std::string text = hovered("O1\n(T03 DRILL 8.5)\nG21 G99\n$0T0303\nG00 X0 Z5.\n", System::A);
    CHECK_THAT(text, Contains("Assumed by its note: drill, diameter 8.5 mm"));
    CHECK_THAT(hovered("O1\n(T03 DRILL 8.5)\nG21 G99\n$0T0404\nG00 X0 Z5.\n", System::A),
               !Contains("Assumed by its note"));
    // The shop file is believed.
    CHECK_THAT(hovered("(T03 DRILL 8.5)\nG21\n$0T0303\nG00 X0 Z5.\n",
                       "[[machine]]\nsystem = \"A\"\n[[tool]]\nstation = 3\nkind = \"tap\"\n"),
               !Contains("Assumed by its note"));
}

TEST_CASE("a code of the machine says what it does by the shop file") {
    const std::string shop = R"([[machine]]
system = "A"
[machine.m_codes]
M13 = { name = "spindle and coolant", does = "M03 M08" }
M68 = { name = "chuck closes", does = "clamp" }
M60 = { name = "lamp", does = "nothing" }
[machine.g_codes]
G140 = { name = "groove", calls = "O9010" }
)";
    std::string text = hovered("G21\nG97 S500 $0M13\n", shop);
    CHECK_THAT(text, Contains("spindle and coolant"));
    CHECK_THAT(text, Contains("By the shop file it does this: M03 spindle forward, M08 coolant on."));
    CHECK_THAT(text, !Contains("not known here"));
    text = hovered("G21\n$0M68\n", shop);
    CHECK_THAT(text, Contains("it does this: chuck closed."));
    CHECK_THAT(text, Contains("chuck closed")); // In the state behind it
    CHECK_THAT(hovered("G21\nM68\n$0M01\n", shop), Contains("chuck closed"));
    CHECK_THAT(hovered("G21\n$0M60\n", shop), Contains("changes nothing that is followed here"));
    CHECK_THAT(hovered("G21\n$0G140 X3.\n", shop), Contains("It calls O9010 with the letters of this block"));
    // The chuck is no part of the state where no shop file tells of it.
    CHECK_THAT(hovered("G21\nM68\n$0M01\n", System::A), !Contains("chuck"));
}

TEST_CASE("values are said as the control reads them") {
    CHECK_THAT(hovered(std::string(metric_a) + "$0X30.\n", System::A),
               Contains("30 mm on diameter, radius 15"));
    CHECK_THAT(hovered("G21\nG00 $0X30.\n", "[[machine]]\nsystem = \"A\"\nx = \"radius\"\n"),
               Contains("30 mm on radius, diameter 60"));
    CHECK_THAT(hovered("G21\nG00 $0X52\n", System::A), Contains("52 mm or 0.052 mm"));
    CHECK_THAT(hovered("G21\nG00 $0X52\n", "[[machine]]\nsystem = \"A\"\nno_point = \"least increments\"\n"),
               Contains("0.052 mm on diameter"));
    CHECK_THAT(
        hovered("G20\nG00 $0X5200\n", "[[machine]]\nsystem = \"A\"\nno_point = \"least increments\"\n"),
        Contains("0.52 in on diameter"));
    CHECK_THAT(hovered(std::string(metric_a) + "U$0-4.\n", System::A), Contains("to X36."));
    CHECK_THAT(hovered("G21\nG04 $0P300\n", System::A), Contains("300 ms, 0.3 s"));
    CHECK_THAT(
        hovered(
            "G21 G97 S500 M03 T0101\nG00 X30. Z5.\nG76 $0P011060 Q50 R0.02\nG76 X22. Z-20. P920 Q250 F1.5\n",
            System::A),
        Contains("1 finish pass, run-out 1 times the lead, thread angle 60 degrees"));
}

TEST_CASE("turns of C are told in degrees, where they end, and what F counts then") {
    const std::string head = "G21 G98 G97 S1800\nT0606\nG00 X50. Z-5. C0.\n";
    CHECK_THAT(hovered(head + "G01 C90. $0F360.\n", System::A), Contains("360 degrees a minute"));
    CHECK_THAT(hovered(head + "G01 Z-8. C90. $0F50.\n", System::A), Contains("degrees and lengths together"));
    CHECK_THAT(hovered(head + "G01 Z-8. $0F50.\n", System::A), Contains("50 mm a minute"));
    CHECK_THAT(hovered(head + "G01 $0H45. F360.\n", System::A), Contains("to C45."));
    CHECK_THAT(hovered(head + "G83 Z-15. R-3. F100.\n$0H45. K7\n", System::A), Contains("to C315."));
    CHECK_THAT(hovered("G21 G98\nT0606\nG00 X50. Z-5. Y1.\n$0V4.\n", System::A), Contains("to Y5."));
    const std::string chamfer = "G21 G99 G97 S800 M03\nT0101\nG00 X20. Z2.\n";
    CHECK_THAT(hovered(chamfer + "G01 Z-20. F0.2 $0C2.\nX40.\n", System::A),
               Contains("Chamfer at the end of this move: 2 mm") && !Contains("degrees") &&
                   !Contains("axis"));
    CHECK_THAT(hovered(chamfer + "G01 Z-20. $0F0.2 C2.\nX40.\n", System::A), Contains("0.2 mm a turn"));
    // Nothing says whether B is a head or a slide.
    CHECK_THAT(hovered("G21 G98\n$0G00 B-15.\n", System::A), !Contains("-15 degrees"));
    CHECK_THAT(hovered("G21 G98\nG00 $0B-15.\n", System::A), Contains("an angle, or a length"));
}

TEST_CASE("P beside a spindle code names the spindle, where the lathe has several") {
    const std::string head = "(M03 P1 MAIN, M03 P2 SUB, M05 P1, M05 P2)\nG21 G99\nT0101\nG97 S900 M03 P1\n";
    CHECK_THAT(hovered(head + "G96 S200 M03 $0P2\n", System::A), Contains("Spindle that it is for"));
    CHECK_THAT(hovered("G21 G99\nT0101\nG96 S200 $0P1 M03\n", System::A),
               Contains("xis whose position counts"));
}

TEST_CASE("the speed word tells the rpm and where the limit holds") {
    const std::string text = hovered("G21 G99 T0101\nG50 S2500\nG00 X52. Z1.\nG96 $0S220 M03\n", System::A);
    CHECK_THAT(text, Contains("220 m/min of surface speed, 1347 rpm at X52."));
    // D = 1000 v / (pi n) = 28.01 (exact).
    CHECK_THAT(text, Contains("limit of 2500 rpm holds below diameter 28.01"));
}

TEST_CASE("tools, sequences, labels and programs") {
    constexpr const char* program = R"(
%
O1001 (SHAFT)
(T03 FINISH TURN 55 DEG R0.4)
N3 (FINISH)
G21 G99 G97 G40 G80 G54 G18
T0303
G50 S2000
G97 S900 M03
G00 X50. Z2.
G71 U2. R0.5
G71 P101 Q102 U0.4 W0.1 F0.2
N101 G00 X20.
N102 G01 Z-20.
M01
M30
%
)";
    const auto at = [&](std::string_view word) {
        std::string text = program;
        text.insert(text.find(word), "$0");
        return hovered(text, System::A);
    };
    CHECK_THAT(at("T0303"), Contains("Station 3, offset 3") && Contains("FINISH TURN 55 DEG R0.4"));
    CHECK_THAT(at("N3"), Contains("Sequence FINISH: T0303 FINISH TURN 55 DEG R0.4, lines 4 to 15"));
    CHECK_THAT(at("P101"), Contains("block N101 in line 12: `N101 G00 X20.`"));
    CHECK_THAT(at("N101"), Contains("Block number") && Contains("contour block"));
    CHECK_THAT(at("O1001"), Contains("Program") && Contains("1 sequence"));
    CHECK_THAT(at("%"), Contains("G-code system A") && Contains("shop file"));
    CHECK_THAT(at("(FINISH)"), Contains("Note"));
}

TEST_CASE("shop data of a tool") {
    CHECK_THAT(
        hovered("T03$003\n",
                "units = \"mm\"\n[[machine]]\nsystem = \"A\"\n[[tool]]\nstation = 3\nnote = \"finisher\"\n"
                "hand = \"right\"\nnose_radius = 0.4\n"),
        Contains("finisher") && Contains("right hand") && Contains("0.4 mm"));
}

TEST_CASE("the first block tells the system and its evidence") {
    const Document document("G50 S2000\nG99 G97\nG00 X50. Z2.\nG32 Z-20. F1.5\n", nullptr);
    const std::optional<Hover> found = hover(document, {0, 1});
    REQUIRE(found);
    CHECK_THAT(found->markdown, Contains("G-code system: system A") && Contains("line 1"));
    const Document bare("X1.\n", nullptr);
    const std::optional<Hover> assumed = hover(bare, {0, 0});
    REQUIRE(assumed);
    CHECK_THAT(assumed->markdown, Contains("assumed"));
}

TEST_CASE("a pass along several moves of a contour is one") {
    const std::string contour = "N10 G00 X20.\nG01 Z-20. F0.1\nX30. Z-30.\nZ-40.\nX34.\nN20 X42.\nM30\n";
    const std::string head = "G21 G99 G97 S800 M03\nT0101\nG00 X42. Z2.\n";
    // Four repeats of five moves. X42 to X20 is 11 on radius: by 8 one level and the contour, by 15 the
    // contour alone.
    CHECK_THAT(hovered(head + "G73 U4. W0 R4\n$0G73 P10 Q20 U0.4 W0.1 F0.25\n" + contour, System::A),
               Contains("of 4 passes"));
    CHECK_THAT(hovered(head + "G71 U8. R0.5\n$0G71 P10 Q20 U0.4 W0.1 F0.25\n" + contour, System::A),
               Contains("of 2 passes"));
    CHECK_THAT(hovered(head + "G71 U15. R0.5\n$0G71 P10 Q20 U0.4 W0.1 F0.25\n" + contour, System::A),
               Contains("of 1 pass:"));
}

TEST_CASE("macro words") {
    CHECK_THAT(hovered("#100=12.5\nG00 X$0#100\n", System::A), Contains("Holds 12.5"));
    CHECK_THAT(hovered("#100=12.5\n#1$000=#100+1\n", System::A), Contains("after this block 13.5"));
    CHECK_THAT(hovered("G00 X#5$0021\n", System::A), Contains("not known here") || Contains("Holds empty"));
    CHECK_THAT(hovered("#1=3\n$0IF[#1GT2]GOTO 9\nN9 M30\n", System::A), Contains("It holds here."));
    CHECK_THAT(hovered("#1=3\n$0WHILE[#1LT2]DO1\nEND1\n", System::A),
               Contains("WHILE") && Contains("does not hold"));
    CHECK_THAT(hovered("$0GOTO 9\nN9 M30\n", System::A), Contains("block N9 in line 2"));
}

TEST_CASE("block delete, notes and broken words") {
    CHECK_THAT(hovered("G21\n$0/ G00 X5.\n", System::A), Contains("Block delete"));
    CHECK_THAT(hovered("G21\n$0(HELLO\n", System::A), Contains("not closed"));
    CHECK_THAT(hovered("G21\nG00 $0X\n", System::A), Contains("no number"));
    CHECK(hovered("G21\n$0\n", System::A).empty());
}

TEST_CASE("a hover anywhere in broken text throws nothing") {
    const std::string text = "%%\nO\nG96\nN1(\nT\nG71P1Q\nG#[#\n/\n;;\n\xFF\xFEX\nIF[GOTO\nM30\nG1X\n";
    const Document document(text, nullptr);
    for (std::uint32_t line = 0; line < document.buffer().line_count() + 1; ++line)
        for (std::uint32_t column = 0; column < 12; ++column) CHECK_NOTHROW(hover(document, {line, column}));
}

TEST_CASE("a feed tells the roughness where the nose radius is known") {
    // f 0.2, r 0.8: f^2 / (8 r) = 6.25 micrometres (Tungaloy 2020-2021 page L030, Kyocera 2016 page R28).
    CHECK_THAT(
        hovered("G21 G99\nT0101\nG97 S500 M03\nG01 X5. F$00.2\n",
                "units = \"mm\"\n[[machine]]\nsystem = \"A\"\n[[tool]]\nstation = 1\nnose_radius = 0.8\n"),
        Contains("roughness 6.25"));
    CHECK_THAT(hovered("G21 G99\nT0101\nG97 S500 M03\nG01 X5. F$00.2\n", System::A), !Contains("roughness"));
}

TEST_CASE("what a block itself makes of the feed is shown beside what reaches it") {
    CHECK_THAT(hovered("G21 G99 G97 S800 M03\nG00 X40. Z2.\nG01 Z-5. F0.28\n$0Z-9. F0.14\n", System::A),
               Contains("0.28 -> 0.14 mm/rev = 112 mm/min"));
}

TEST_CASE("a speed limit and a shift stay in force") {
    CHECK_THAT(hovered("G21\n$0G50 S2500\n", System::A),
               Contains("Stays until another one is given.") && !Contains("this block only"));
    CHECK_THAT(hovered("G21\n$0G52 Z-20.\n", System::A), Contains("Stays until another one is given."));
}

TEST_CASE("a dwell is seconds, never a length, and turns where the machine counts turns") {
    CHECK_THAT(hovered("G21 G98\nG04 $0X2\n", System::A), Contains("2 s or 0.002 s") && !Contains("2 mm"));
    CHECK_THAT(hovered("G21 G99 G97 S600 M03\nG04 $0X2.\n", "[[machine]]\ndwell_in_revolutions = true\n"),
               Contains("2 turns of the spindle"));
    CHECK_THAT(hovered("G21 G99 G97 S600 M03\nG04 $0P2000\n", "[[machine]]\ndwell_in_revolutions = true\n"),
               Contains("2 turns of the spindle"));
}

TEST_CASE("R of a drilling cycle in system A is counted from where the tool stands") {
    CHECK_THAT(hovered("G21 G99 G97 S600 M03\nG00 X0. Z5.\nG83 Z-30. $0R-3. F0.1\n", System::A),
               Contains("to Z2.") && !Contains("to Z-30."));
}

TEST_CASE("the speed over an arc is told from its largest to its smallest diameter") {
    // n = 1000 v / (pi D), exact: 200 m/min at D120 is 530.5 rpm, at D40 1591.5.
    const std::string text =
        hovered("G21 G99 G50 S4000\nG96 S200 M03\nG00 X40. Z0.\n$0G03 X40. Z-80. R40. F0.2\n", System::A);
    CHECK_THAT(text, Contains("531 to 1592 rpm"));
}

TEST_CASE("behind a stop of the spindle neither speed nor time is told") {
    const std::string text =
        hovered("G21 G99 G97 S800 M03\nG00 X40. Z2.\nM05\n$0G01 Z-20. F0.2\n", System::A);
    CHECK_THAT(text,
               Contains("no time (the spindle is stopped)") && !Contains("800 rpm.") && !Contains(" s, 800"));
}

TEST_CASE("a contour block shows the move that the cycles make of it") {
    const std::string text =
        hovered("G21 G99 G97 S800 M03\nG00 X52. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.3\nN10 G00 X20.\n"
                "G01 Z-10. F0.1\n$0G02 X30. Z-15. R5.\nG01 Z-20.\nN20 X52.\nG70 P10 Q20\n",
                System::A);
    // A quarter of a circle of 5: 2.5 pi = 7.85 mm.
    CHECK_THAT(text, Contains("Arc from X20. Z-10. to X30. Z-15.: 7.85 mm"));
    CHECK_THAT(text, !Contains("Takes nothing off"));
}

TEST_CASE("time by rapid rates that are assumed says about") {
    const std::string text =
        hovered("G21 G99 G97 S800 M03\nG00 X52. Z2.\n$0G90 X48. Z-20. F0.2\n", System::A);
    CHECK_THAT(text, Contains(", about "));
}

TEST_CASE("a code that no table holds is the machine's own") {
    CHECK_THAT(hovered("G21\n$0G187 X20.\n", System::A), Contains("your machine's book says"));
}

TEST_CASE("passes are counted as a machinist counts them") {
    CHECK_THAT(hovered("G21 G99 G97 S800 M03\nG00 X42. Z2.\nG73 U3. W1. R4\n$0G73 P10 Q20 U0.4 W0.1 F0.25\n"
                       "N10 G00 X20.\nG01 Z-20. F0.1\nX30. Z-30.\nN20 X42.\n",
                       System::A),
               Contains("Cycle of 4 passes"));
}

TEST_CASE("a block that a jump passes over is not called one behind the end") {
    const std::string jumped = "G21\nGOTO 100\n$0G01 X58. F0.2\nN100 G00 X70.\nM30\n";
    CHECK_THAT(hovered(jumped, System::A), Contains("a jump passes over it") && !Contains("after the end"));
    CHECK_THAT(hovered("G21\nM30\n$0G01 X58. F0.2\n", System::A), Contains("after the end of the program"));
}

TEST_CASE("a tool word of five digits is told as one that can be parted in two ways") {
    CHECK_THAT(hovered("$0T01101\n", System::A), Contains("part 5 digits") && Contains("tool_digits"));
    CHECK_THAT(hovered("$0T1101\n", System::A), Contains("Station 11, offset 1"));
}

TEST_CASE("a sentence that ends in a word with its point has one point") {
    const std::string text = hovered("G21 G99\nG00 X50. Z5.\nG01 $0W-3. F0.2\n", System::A);
    CHECK_THAT(text, Contains("to Z2.") && !Contains("Z2.."));
}

TEST_CASE("where controls differ is told in a few words") {
    const std::string head = "G21 G99 G97 S300 M03\nG00 X0 Z5.\n";
    CHECK_THAT(hovered(head + "$0G85 Z-20. R-3. F0.2\n", System::A), Contains("twice the feed"));
    CHECK_THAT(hovered(head + "$0G83 Z-20. R-3. Q5000 F0.2\n", System::A), Contains("is set in the control"));
    CHECK_THAT(hovered(head + "$0G83 Z-20. R-3. F0.2\n", System::A), !Contains("is set in the control"));
    CHECK_THAT(hovered(head + "G01 $0Z[-10/3] F0.2\n", System::A), Contains("rounds or cuts off"));
    CHECK_THAT(hovered(head + "G01 $0Z[-10/4] F0.2\n", System::A), !Contains("rounds or cuts off"));
    CHECK_THAT(hovered("G21 G97 S300 M03 $0P2\n", System::A), Contains("Spindle that it is for"));
}

TEST_CASE("a feed by a distance from an unknown place is told with its length and time") {
    // T = L / (f n): 30 mm at 0.2 and 1000 rpm, 9 s.
    for (const auto& [program, system] :
         {std::pair{"G21 G99 G97 S1000 M03\n$0G01 W-30. F0.2\n", System::A},
          std::pair{"G21 G91 G95 G97 S1000 M03\n$0G01 Z-30. F0.2\n", System::B},
          std::pair{"G71 G91 G95 G97 S1000 M03\n$0G01 Z-30. F0.2\n", System::C}})
        CHECK_THAT(hovered(program, system), Contains("by a distance: 30 mm, 9.0 s. From where is"));
}

TEST_CASE("a long program says what it is not looked at for") {
    std::string text = "$0O0001\nG21 G99\nT0101\n";
    CHECK_THAT(hovered(text + "M30\n", System::A), !Contains("Not checked"));
    for (int line = 0; line < 5200; ++line) text += "G01 X20.\n";
    CHECK_THAT(
        hovered(text + "M30\n", System::A),
        Contains("**Not checked**: with its 5205 blocks it is too long for the checks on what all tools"));
    CHECK_THAT(
        hovered(text + "M30\n", System::A),
        Contains("in 1 of its sequences the checks on how a tool is used look at the first 2000 blocks"));
}

TEST_CASE("A alone is the slide of the second spindle where a note or a rapid says so") {
    for (const auto& [system, unit] :
         {std::pair(System::A, "G21 G98"), std::pair(System::A, "G20 G98"),
          std::pair(System::B, "G21 G90 G94"), std::pair(System::C, "G71 G90 G94")}) {
        CAPTURE(unit);
        const std::string head = std::string("O1\n") + unit + "\nG97 S900 M03\nT0404\nG00 X40. Z-20.\n";
        const std::string note = "(A = SLIDE OF SECOND SPINDLE)\n";
        for (const std::string& program :
             {head + "$0G00 A-9.5\nG01 A-10. F15.\nM30\n", head + "G00 A-9.5\nG01 $0A-10. F15.\nM30\n",
              head + note + "G01 $0A-10. F15.\nM30\n", head + "G28 A0\nG01 $0A-10. F15.\nM30\n"}) {
            CAPTURE(program);
            const std::string text = hovered(program, system);
            CHECK_THAT(text, !Contains("next block's line") && !Contains("Angle of a line"));
        }
        // What comes behind it is known.
        CHECK_THAT(hovered(head + "G00 A-9.5\nG01 A-10. F15.\n$0G01 X30. F20.\nM30\n", system),
                   Contains("X40.") || Contains("40"));
        CHECK_THAT(hovered(head + "G00 $0A-9.5\nM30\n", system), Contains("slide"));
        // Two lines by their angles, where nothing speaks of a slide; and an A beside X.
        CHECK_THAT(hovered(head + "G01 $0A150. F15.\nX60. Z-50. A170.\nM30\n", system), Contains("Angle"));
        CHECK_THAT(hovered(head + "G28 A0\nG01 X60. $0A150. F15.\nM30\n", system), Contains("degrees"));
    }
}

TEST_CASE("a code that only a note tells has what it does for its name") {
    const std::string head = "(M45 SUB C AXIS ON, M46 SUB C AXIS OFF)\nG21 G18 G40 G80 G99\nT0101\n";
    CHECK_THAT(hovered(head + "$0M45\nM46\nM30\n", System::A),
               Contains("**M45** Second spindle engaged as C axis.") && Contains("By a note"));
    CHECK_THAT(hovered(head + "M45\n$0M46\nM30\n", System::A), !Contains("**M46** \n"));
}
