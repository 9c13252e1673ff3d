#include "report/tell.h"

#include "opened.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <set>

namespace turnwright {

using report::tell;
using report::ToldBlock;

namespace {

/// What is told of a line, counted from 1; of called programs not.
std::string told(const features::Document& document, std::size_t line) {
    for (const report::ToldSequence& sequence : tell(document).sequences)
        for (const ToldBlock& block : sequence.blocks)
            if (block.line + 1 == line && block.called.empty()) return block.text;
    return {};
}

bool holds(const std::string& text, std::string_view part) {
    UNSCOPED_INFO(text);
    return text.find(part) != std::string::npos;
}

/// The first lines of a program that turns a diameter of 40 mm, and the cut itself in line 5.
struct OneCut {
    std::string_view system, head, speed_limit;
};
std::string one_cut(const OneCut& cut) {
    return std::string(cut.head) + "\nT0101\n" + std::string(cut.speed_limit) +
           "\nG97 S1240 M03\nG00 X40. Z2.\nG01 Z-20. F0.25\nM30\n";
}

} // namespace

TEST_CASE("a cut is told in the state that reaches it, in each system") {
    const OneCut cuts[] = {{"A", "G21 G18 G40 G99", "G50 S2000"},
                           {"B", "G21 G18 G40 G90 G95", "G92 S2000"},
                           {"C", "G71 G18 G40 G90 G95", "G92 S2000"}};
    for (const OneCut& cut : cuts) {
        INFO(cut.system);
        const auto document =
            opened(one_cut(cut), "[machine]\nsystem = \"" + std::string(cut.system) + "\"\n");
        // 22 mm at 0.25 mm a turn and 1240 turns a minute: 22 / 310 min = 4.3 s.
        CHECK(told(*document, 6) ==
              "The tool feeds 22 mm towards the chuck to Z-20, at diameter 40, 0.25 mm a turn, "
              "1240 rpm, 4.3 s.");
        CHECK(told(*document, 3) == "The spindle may turn 2000 rpm at the most.");
        CHECK(told(*document, 4) ==
              "From here on: constant spindle speed. Spindle: turns forward at 1240 rpm.");
    }
}

TEST_CASE("moves of C and Y are told as written, and which spindle turns") {
    const auto document =
        opened("(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)\nG21 G99\nT0101\nM51\nG28 H0\n"
               "G98 G97 S2500 M13\nG00 X60. Z-8. C0\nG112\nG01 X27. C-7.794 F400\nC7.794\nG113\n"
               "G00 X80.\nC180.\nG01 X70. C90.\nG07.1 C35.\nG01 Z-20. C180.\nG07.1 C0\nM15\nM50\nM30\n");
    CHECK(told(*document, 5) == "H goes home at rapid; X and Z stay where they are.");
    CHECK(holds(told(*document, 6), "Live tool: turns forward at 2500 rpm."));
    CHECK(holds(told(*document, 7), "The tool goes at rapid to X60. Z-8. C0"));
    // By hand: 15.588 mm from C-7.794 to C7.794 at 400 mm a minute are 2.34 s.
    CHECK(told(*document, 10) == "The tool feeds in the plane that X and C make, to C7.794, 400 mm a minute, "
                                 "2500 rpm, 2.3 s.");
    CHECK(holds(told(*document, 13), "At rapid to C180.: X and Z stay where they are"));
    CHECK(holds(told(*document, 14), ", and with it C90."));
    CHECK(holds(told(*document, 16), "The tool feeds on the cylinder, to Z-20. C180."));
    CHECK(told(*document, 17) == "Moves in Z and C are no longer laid out on a cylinder.");
    for (std::size_t line = 7; line < 18; ++line)
        CHECK(told(*document, line).find("not known here") == std::string::npos);
    const auto two =
        opened("G20 G90 G95\n(P1 MAIN  P2 SECOND SPINDLE)\nT0101\nG97 S800 M03 P1\nS900 M03 P2\nM05 P1\n"
               "B-12.\nM05 P2\nM30\n",
               "[machine]\nsystem = \"B\"\n");
    CHECK(holds(told(*two, 4), "Spindle: turns forward at 800 rpm."));
    CHECK(told(*two, 5) == "Second spindle: turns forward at 900 rpm.");
    CHECK(told(*two, 6) == "The spindle stops.");
    CHECK(told(*two, 7) == "B-12.: an axis that is not followed here; the tool stays where it is.");
    CHECK(told(*two, 8) == "The second spindle stops.");
}

TEST_CASE("inches, and X as a radius") {
    const auto inch = opened("G20 G18 G40 G99\nT0101\nG97 S600 M03\nG00 X2. Z.1\nG01 Z-.9 F.01\nM30\n");
    CHECK(holds(told(*inch, 5), "feeds 1 inch towards the chuck to Z-0.9, at diameter 2, 0.01 inch a turn"));
    const auto radius = opened("G21 G18 G40 G99\nT0101\nG97 S600 M03\nG00 X20. Z2.\nG01 X10. F0.1\nM30\n",
                               "[machine]\nx = \"radius\"\n");
    CHECK(holds(told(*radius, 5), "in towards the centre from radius 20 to radius 10, at Z2"));
}

TEST_CASE("the spindle stops behind the move of its block") {
    const auto document = opened("G21 G18 G40 G99\nT0101\nG97 S800 M03\nG00 X50. Z2.\nG00 X80. M05\nM30\n");
    CHECK(told(*document, 5) ==
          "The tool goes at rapid out from the centre from diameter 50 to diameter 80, at Z2. "
          "The spindle stops.");
}

TEST_CASE("what changes and what was so already") {
    const auto document = opened("G21 G18 G40 G99\nT0303\nG99 G41\nM08\nM08\nT0300\nG99\nM30\n");
    CHECK(told(*document, 2) == "Tool 3 comes to the front; its offset is 3.");
    CHECK(
        holds(told(*document, 3), "From here on: nose radius compensation left; as before: feed per turn."));
    CHECK(holds(told(*document, 4), "Coolant on."));
    CHECK(holds(told(*document, 5), "As before:"));
    CHECK(told(*document, 6) == "Tool 3 stays; its offset is switched off.");
    CHECK(holds(told(*document, 7), "As before: feed per turn."));
}

TEST_CASE("a loop and a call are told once, with how often") {
    const auto document =
        opened("O1\nG21 G18 G40 G99\nT0101\nG97 S800 M03\nG00 X50. Z2.\n#1=3\nWHILE [#1 GT 0] DO1\n"
               "G00 Z[-#1*10.]\n#1=#1-1\nEND1\nM98 P7001 L2\nM30\nO7001\nG01 X40. F0.1\nG00 X50.\n"
               "M99\n");
    const report::Telling telling = tell(*document);
    CHECK(told(*document, 6) == "Variable #1 now holds 3.");
    CHECK(told(*document, 7) == "A loop: the blocks down to line 10 run 3 times.");
    CHECK(told(*document, 11) == "Runs the subprogram O7001, 2 times.");
    std::size_t in_loop = 0, called = 0;
    for (const report::ToldSequence& sequence : telling.sequences)
        for (const ToldBlock& block : sequence.blocks) {
            if (block.line + 1 == 8) {
                ++in_loop;
                CHECK(block.times == 3);
                CHECK(holds(block.text, "to Z-30"));
                CHECK(holds(block.last, "to Z-10"));
            }
            if (block.called == "O7001 line 14") {
                ++called;
                CHECK(block.times == 2);
                CHECK(holds(block.text, "feeds in towards the centre from diameter 50 to diameter 40"));
            }
        }
    CHECK(in_loop == 1);
    CHECK(called == 1);
}

TEST_CASE("what is not known is said so") {
    const auto document =
        opened("O1\nG21 G18 G40 G99\nT0101\nG97 S800 M03\nG00 X50. Z2.\nG01 Z[#501] F0.2\nM77\n"
               "M98 P4711\nIF [#501 GT 1] GOTO 90\nN90 M30\n");
    CHECK(holds(told(*document, 6), "not known"));
    CHECK(holds(told(*document, 7), "M77 is not in the table of codes"));
    CHECK(holds(told(*document, 8), "Not told here: the way of O4711, which was not found."));
    CHECK(holds(told(*document, 9), "Whether it holds is not known here"));
}

TEST_CASE("a move that may be one of two is told so") {
    const auto document =
        opened("G21 G18 G40 G99\nT0101\nG97 S800 M03\nG00 X50. Z2.\n/ G01 Z-5. F0.2\nX44.\nM30\n");
    CHECK(holds(told(*document, 6), "How the tool moves is G00 "));
    CHECK(holds(told(*document, 6), " or G01 "));
    CHECK(holds(told(*document, 5), "Left out while block delete is on. The tool feeds 7 mm"));
}

TEST_CASE("what is assumed is marked, and said at the top") {
    const auto document = opened("T0101\nG97 S800 M03\nG00 X50. Z2.\nG01 Z-10. F0.2\nM30\n");
    const std::string text = report::telling_text(tell(*document));
    CHECK(holds(text, "Assumed: units: millimetre"));
    CHECK(holds(told(*document, 4), "(assumed)"));
}

TEST_CASE("cycles are told in passes and by the words of the table") {
    const auto document =
        opened("O1\nN1 (ROUGH)\nG21 G18 G40 G99\nT0101\nG97 S800 M03\nG00 X44. Z2.\nG71 U2. R0.5\n"
               "G71 P10 Q20 U0.4 W0.1 F0.25\nN10 G00 X30.\nG01 Z-20.\nN20 X42.\nM30\n");
    CHECK(holds(told(*document, 7), "nothing moves yet"));
    CHECK(holds(told(*document, 8), "Rough turning of a contour (G71): 4 passes, 0.25 mm a turn"));
    CHECK(holds(told(*document, 7), "Each cut is 2 mm deep on radius, and the tool lifts 0.5 mm behind it."));
    CHECK(holds(told(*document, 8),
                "It goes down to the shape in N10 to N20 and leaves 0.4 mm on the diameter "
                "and 0.1 mm on the faces for finishing."));
    CHECK_FALSE(holds(told(*document, 8), "with sign"));
    CHECK(holds(told(*document, 10), "A line of the finished shape: 22 mm towards the chuck to Z-20"));
}

TEST_CASE("a way home is told by where it goes over") {
    const auto way = [](std::string_view home) {
        return told(*opened("O1\nG21 G18 G99\nT0101\nG00 X44. Z2.\n" + std::string(home) + "\nM30\n"), 5);
    };
    CHECK(holds(way("G28 U0 W0"), "in X and Z, straight from where it stands."));
    CHECK(holds(way("G28 U0."), "in X, straight from where it stands."));
    CHECK(holds(way("G28 X100. Z50."), "by way of X100. Z50."));
    CHECK(holds(way("G28 U10. W0"), "first by U10. W0 from where it stands."));
}

TEST_CASE("a number with no point is told with both that it may be, once") {
    const auto document =
        opened("O1\nG21 G18 G99\nT0202\nG97 S800 M03\nG00 X50 Z5\nG01 Z-20 F0.2\nX60\nG00 X48. Z2.\n"
               "G01 Z-21. F0.2\nX49.\nG00 X100. Z100.\nM30\n");
    // 50 least increments of 0.001 mm are 0.05 mm.
    CHECK(holds(told(*document, 5), "X50 (with no point 50 mm or 0.05 mm, as the control is set)"));
    CHECK(holds(told(*document, 6), "Z-20 (no point, as above)"));
    CHECK_FALSE(holds(told(*document, 7), "as the control is set"));
    CHECK_FALSE(holds(told(*document, 8), "how the control reads"));
}

TEST_CASE("one sequence, one line, and a long program by its headlines") {
    const auto document = opened(two_tools);
    for (const char* name : {"N2", "n2", "T02", "t0202"}) {
        INFO(name);
        const report::Telling telling = tell(*document, {std::nullopt, name});
        REQUIRE(telling.sequences.size() == 1);
        CHECK(telling.sequences[0].name == "N2 T0202");
    }
    CHECK(tell(*document, {std::nullopt, "N3"}).sequences.empty());
    CHECK(tell(*document, {std::size_t{6}, ""}).blocks() == 1);
    CHECK(tell(*document, {std::size_t{900}, ""}).sequences.empty());
    std::string many(two_tools.substr(0, two_tools.find("G00 X100.")));
    for (int i = 0; i < 500; ++i) many += "G00 X50.\nG01 X49.\n";
    const auto long_one = opened(many);
    const std::string text = report::telling_text(tell(*long_one));
    CHECK(holds(text, "these are the headlines"));
    CHECK(count_of(text, "The tool ") == 0);
    CHECK(count_of(report::telling_text(tell(*long_one, {std::nullopt, "N1"})), "The tool ") > 500);
}

TEST_CASE("the way of each sequence is drawn beside what is told of it, and each leads to the other") {
    const auto sizes = [](std::string_view page, std::string_view begins) {
        std::vector<std::string> found;
        for (std::size_t at = 0; (at = page.find(begins, at)) != page.npos; at += begins.size()) {
            const std::size_t from = at + begins.size();
            found.emplace_back(page.substr(from, page.find('"', from) - from));
        }
        return found;
    };
    struct Way {
        std::string_view system, head;
    };
    for (const auto& [system, head] :
         {Way{"A", "G21 G99"}, Way{"B", "G90 G20 G95"}, Way{"C", "G90 G71 G95"}}) {
        const auto document = opened(
            fmt::format("O1\nN1 (TURN)\n{0}\nT0101\nG97 S800 M03\nG00 X2.1 Z.1\n#1=1\nWHILE[#1 LT 4]DO1\n"
                        "G01 Z-.5 F.01\nG00 X2.2 Z.1\n#1=#1+1\nEND1\nM98 P7\nG00 X4. Z4.\nM01\nN2\n{0}\n"
                        "T0202\nG97 S500 M03\nG04 X1.\nM30\nO7\nG01 X1.9 F.01\nM99\n",
                        head),
            fmt::format("[[machine]]\nsystem = \"{}\"\n", system));
        const report::Telling telling = tell(*document);
        const std::string page = report::telling_page(*document, telling);
        CAPTURE(system, page);
        // The second sequence does not move, so it has no drawing.
        CHECK(count_of(page, "<svg") == 1);
        const auto ways = sizes(page, "<a id=\""), rows = sizes(page, "<tr id=\"");
        auto to_ways = sizes(page, "<a href=\"#m");
        // From where the tool stood at the change nobody knows; the loop's moves are one, the called one is
        // there.
        CHECK(ways == std::vector<std::string>{"m1-9", "m1-10", "m1-14", "m1-23"});
        for (const std::string& way : ways)
            CHECK(std::count(rows.begin(), rows.end(), "b" + way.substr(1)) == 1);
        CHECK(std::set<std::string>(ways.begin(), ways.end()).size() == ways.size());
        for (const std::string& to : to_ways) CHECK(std::count(ways.begin(), ways.end(), "m" + to) == 1);
        CHECK(page.find("script") == page.npos);
    }
}

TEST_CASE("the forms are safe for any text, and known again") {
    const auto document =
        opened("O1 (<b>|` & \xff)\nG21 (</td>)\nT0101\nG00 X1.(<script>)\n\x01\n#[[[=\nG01 X\nM30\n");
    const report::Telling telling = tell(*document);
    const std::string page = report::telling_page(*document, telling);
    CHECK(count_of(page, "<script>") == 0);
    CHECK(count_of(page, "<b>") == 0);
    CHECK(report::is_report(page));
    CHECK(report::is_report(report::telling_text(telling)));
    CHECK(report::is_report(report::telling_markdown(telling)));
    CHECK_FALSE(report::is_report("O1 (TOLD)\n"));
    CHECK(tell(*opened("")).sequences.empty());
}

} // namespace turnwright
