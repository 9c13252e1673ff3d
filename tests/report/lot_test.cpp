// Edges, bars and hours of a lot.
#include "report/lot.h"

#include "opened.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::report;

namespace {

/// One cut of 50 mm at 100 mm a minute with each of two tools (half a minute), the second twice, and a
/// part-off.
std::string part(char system, bool inch, bool loop = false) {
    const auto size = [&](double mm) { return fmt::format("{:.5f}", inch ? mm / 25.4 : mm); };
    std::string text = fmt::format("O12 (PIN)\n{} G18 G40 {}\n",
                                   inch ? (system == 'C' ? "G70" : "G20") : (system == 'C' ? "G71" : "G21"),
                                   system == 'A' ? "G98" : "G90 G94");
    const std::string cut =
        fmt::format("G00 X{} Z{}\nG01 Z-{} F{}\n", size(40), size(2), size(48), size(100));
    text += "T0101\nG97 S1000 M03\n" + cut + fmt::format("G00 X{} Z{}\n", size(150), size(100));
    text += "T0202\nG97 S1000 M03\n";
    text += loop ? "#1=0\nWHILE[#1 LT 2]DO1\n" + cut + "#1=#1+1\nEND1\n" : cut + cut;
    text += fmt::format("G00 X{} Z{}\nT0303\nG97 S500 M03\nG00 X{} Z-{}\nG01 X-{} F{}\nG00 X{}\n"
                        "G00 X{} Z{}\nM30\n",
                        size(150), size(100), size(44), size(47), size(1), size(40), size(44), size(150),
                        size(100));
    return text;
}

std::string small_lathe(char system) {
    return fmt::format(
        "units = \"mm\"\n[[machine]]\nsystem = \"{}\"\n[stock]\ndiameter = 42\nfront_z = 1\n"
        "back_z = -90\njaw_front_z = -60\n[[tool]]\nstation = 3\nkind = \"parting\"\nwidth = 3\n"
        "tip_direction = 3\n",
        system);
}

} // namespace

TEST_CASE("lot: minutes and way of an edge, on every system, in both units and in a loop") {
    for (const char system : {'A', 'B', 'C'})
        for (const bool inch : {false, true})
            for (const bool loop : {false, true}) {
                CAPTURE(system, inch, loop);
                const auto document = opened(part(system, inch, loop), small_lathe(system));
                LotQuestion question;
                question.parts = 100;
                question.life_minutes = {{1, 10}, {2, 10}};
                question.trial_parts = {{3, 40}};
                const Lot lot = reckon_lot(*document, question);
                REQUIRE(lot.edges.size() == 3);
                // 50 mm at 100 mm/min, reckoned by hand.
                CHECK(lot.edges[0].minutes == Approx(0.5).epsilon(1e-3));
                CHECK(lot.edges[0].metres == Approx(0.05).epsilon(1e-3));
                CHECK(lot.edges[1].minutes == Approx(1.0).epsilon(1e-3));
                CHECK(lot.edges[1].metres == Approx(0.1).epsilon(1e-3));
                CHECK_FALSE(lot.edges[1].at_least);
                REQUIRE(lot.edges[2].parts);
                CHECK(*lot.edges[2].parts == 40);
                CHECK(lot.edges[2].edges == 3);
                REQUIRE(lot.first_to_end);
                CHECK(*lot.first_to_end == 1);
            }
}

TEST_CASE("lot: whole parts of an edge") {
    const auto document = opened(part('A', false), small_lathe('A'));
    LotQuestion question;
    question.life_minutes = {{1, 10}, {2, 9.99}};
    const Lot lot = reckon_lot(*document, question);
    CHECK(*lot.edges[0].parts == 20); // 10 / 0.5, to the last
    CHECK(*lot.edges[1].parts == 9);
    CHECK_FALSE(lot.edges[2].parts);
}

TEST_CASE("lot: an unknown feed makes the time the least") {
    std::string text = part('A', false);
    text.replace(text.find("F100."), 10, "F#500");
    const auto document = opened(text, small_lathe('A'));
    LotQuestion question;
    question.life_minutes = {{1, 10}, {2, 10}};
    const Lot lot = reckon_lot(*document, question);
    CHECK(lot.edges[0].minutes == 0);
    CHECK_FALSE(lot.edges[0].parts);
    CHECK(lot_text(lot).find("T01: time in cut not known") != std::string::npos);
}

TEST_CASE("lot: parts of a bar from the front of the stock to the far side of the part-off") {
    for (const bool inch : {false, true}) {
        CAPTURE(inch);
        const auto document = opened(part('A', inch), small_lathe('A'));
        LotQuestion question;
        question.parts = 100;
        question.bar_mm = 3000;
        question.remnant_mm = 120;
        // Left corner at Z-47, stock 1 mm in front of Z0: 48 mm a part, 2880 mm to use.
        Lot lot = reckon_lot(*document, question);
        REQUIRE(lot.bar);
        CHECK(*lot.bar->step_mm == Approx(48).margin(1e-3));
        REQUIRE(lot.bar->parts);
        CHECK(*lot.bar->parts == 60);
        CHECK(lot.bar->bars == 2);
        CHECK(lot.bar->left_mm == Approx(120).margin(0.1));
        // The jaws end at Z-60: 13 mm of what is left stand out of them.
        question.remnant_mm = 12;
        lot = reckon_lot(*document, question);
        CHECK_FALSE(lot.bar->parts);
        CHECK(lot.bar->why_not.find("nothing of it would be held") != std::string::npos);
    }
    std::string right = small_lathe('A');
    right.replace(right.find("tip_direction = 3"), 17, "tip_direction = 4");
    LotQuestion question;
    question.bar_mm = 3000;
    question.remnant_mm = 120;
    CHECK(*reckon_lot(*opened(part('A', false), right), question).bar->step_mm == Approx(51).margin(1e-3));
    question.remnant_mm.reset();
    CHECK_FALSE(reckon_lot(*opened(part('A', false), right), question).bar->parts);
    const Lot none = reckon_lot(*opened(two_tools), question);
    CHECK_FALSE(none.bar->step_mm);
    CHECK(none.bar->why_not.find("--step") != std::string::npos);
}

TEST_CASE("lot: the bar of the shop file, on the sheet too, and several parts cut off in one run") {
    for (const char system : {'A', 'B', 'C'})
        for (const bool inch : {false, true}) {
            CAPTURE(system, inch);
            std::string shop = small_lathe(system);
            shop.replace(shop.find("front_z"), 0, "bar_length = 3000\nbar_remnant = 120\n");
            const std::string one = part(system, inch);
            // 2880 mm to use, 48 mm a part.
            const Lot lot = reckon_lot(*opened(one, shop), {});
            REQUIRE(lot.bar);
            REQUIRE(lot.bar->parts);
            CHECK(*lot.bar->parts == 60);
            CHECK(sheet_markdown(*opened(one, shop)).find("Parts of a bar: 60,") != std::string::npos);
            CHECK(sheet_markdown(*opened(one, small_lathe(system))).find("Parts of a bar") ==
                  std::string::npos);
            // The same blade first at Z-23, then at Z-47: two parts of the same 48 mm.
            std::string two = one;
            const std::string first = inch ? "Z-0.90551" : "Z-23.00000",
                              last = inch ? "Z-1.85039" : "Z-47.00000";
            const std::size_t at = two.find(last);
            REQUIRE(at != std::string::npos);
            const std::size_t line = two.rfind('\n', at) + 1, end = two.find("G00", at);
            std::string cut = two.substr(line, end - line);
            cut.replace(cut.find(last), last.size(), first);
            two.insert(line, cut + (inch ? "G00 X1.73228\n" : "G00 X44.\n"));
            const Lot both = reckon_lot(*opened(two, shop), {});
            CAPTURE(two);
            REQUIRE(both.bar->parts);
            CHECK(both.bar->parts_at_once == 2);
            CHECK(both.made == 2);
            CHECK(*both.bar->step_mm == Approx(48).margin(1e-3));
            CHECK(*both.bar->parts == 120);
        }
}

TEST_CASE("lot: hours with the changes, and what they leave out") {
    const auto document = opened(part('A', false), small_lathe('A'));
    LotQuestion question;
    question.parts = 100;
    question.trial_parts = {{1, 50}};
    question.bar_mm = 3000;
    question.remnant_mm = 120;
    Lot lot = reckon_lot(*document, question);
    CHECK(lot.seconds == Approx(100 * lot.part.seconds()));
    CHECK(lot.left_out.size() == 3);
    question.part_change_seconds = 10;
    question.edge_change_minutes = 2;
    question.bar_change_minutes = 5;
    lot = reckon_lot(*document, question);
    // One change of the edge and one of the bar: the first of each is there at the start.
    CHECK(lot.seconds == Approx(100 * (lot.part.seconds() + 10) + 120 + 300));
    CHECK(lot.left_out.empty());
    CHECK(lot_text(lot).find("2 edges for the lot") != std::string::npos);
}

TEST_CASE("lot: the setup sheet tells minutes and way of each edge") {
    const auto document = opened(part('A', false), small_lathe('A'));
    CHECK(sheet_markdown(*document).find("T02: 1 min in cut, 100 mm of way") != std::string::npos);
    CHECK(sheet_page(*document).find("Edges, for one part") != std::string::npos);
}

TEST_CASE("lot: the life of an edge in the shop file, and what is said for this lot goes before it") {
    const auto document =
        opened(part('A', false), small_lathe('A') + "[[tool]]\nstation = 1\nlife_minutes = 15\n");
    Lot lot = reckon_lot(*document, {});
    REQUIRE(lot.edges[0].parts);
    CHECK(*lot.edges[0].parts == 30);
    CHECK(lot.edges[0].life_from == "by the shop file");
    LotQuestion question;
    question.life_minutes = {{1, 5}};
    CHECK(*reckon_lot(*document, question).edges[0].parts == 10);
    CHECK(sheet_markdown(*document).find("an edge makes 30 parts (life 15 min by the shop file)") !=
          std::string::npos);
}

namespace {

/// A pin that is turned, cut off and drawn by a puller: 20 long, blade 2, .5 to face; 22.5 a pull.
std::string pin(char system, bool inch, const std::string& head, const std::string& tail,
                const std::string& notes = {}) {
    const auto size = [&](double mm) { return fmt::format("{:.5f}", inch ? mm / 25.4 : mm); };
    const std::string minute = system == 'A' ? "G98" : "G94", turn = system == 'A' ? "G99" : "G95";
    std::string text = fmt::format("O21 (PIN)\n{}{} G18 G40 {}{}\n{}", notes,
                                   inch ? (system == 'C' ? "G70" : "G20") : (system == 'C' ? "G71" : "G21"),
                                   system == 'A' ? "" : "G90 ", minute, head);
    text += fmt::format("T0101 (TURN)\nG97 S1000 M03\nG00 X{} Z{}\nG01 Z-{} F{}\nG00 X{} Z{}\n", size(10),
                        size(2), size(20), size(100), size(150), size(100));
    text += fmt::format("T0404 (PART OFF 2 WIDE)\nG97 S1000 M03\nG00 X{} Z-{}\nG01 X{} F{}\nX-{}\nG00 X{}\n"
                        "G00 X{} Z{}\nM05\n",
                        size(20), size(22), size(4), size(50), size(0.4), size(20), size(150), size(100));
    text += fmt::format("T1010 (BAR PULLER)\nG00 X0 Z{}\nG01 Z-{} F{}\nM69\nG04 {}0.5\nG01 Z-{} F{}\nM68\n"
                        "G04 {}0.5\nG00 Z{}\nG00 X{} Z{}\n",
                        size(5), size(30), size(1000), system == 'A' ? "U" : "X", size(7.5), size(2000),
                        system == 'A' ? "U" : "X", size(20), size(150), size(100));
    return text + tail;
}

} // namespace

TEST_CASE("lot: of a run that makes several parts one takes its share, and the pull tells what it takes of "
          "the bar") {
    struct Loop {
        std::string head, tail;
        std::size_t made;
    };
    const Loop loops[] = {
        {"", "M30\n", 1},
        {"", "M99\n", 1},
        {"#1=0\nWHILE[#1 LT 5]DO1\n", "#1=#1+1\nEND1\nM30\n", 5},
        {"#500=0\nN10\n", "#500=#500+1\nIF[#500 LT 20]GOTO10\nM30\n", 20},
        {"M98 P22 L4\nM30\nO22\n", "M99\n", 4},
        // A count that nothing tells is gone through once
        {"WHILE[#501 LT 5]DO1\n", "#501=#501+1\nEND1\nM30\n", 1},
    };
    const std::string codes = "(M68 COLLET CLOSE, M69 COLLET OPEN)\n";
    for (const char system : {'A', 'B', 'C'})
        for (const bool inch : {false, true})
            for (const bool told : {false, true})
                for (const Loop& loop : loops) {
                    CAPTURE(system, inch, told, loop.head);
                    const auto document = opened(pin(system, inch, loop.head, loop.tail, told ? codes : ""),
                                                 small_lathe(system).substr(0, 45));
                    LotQuestion question;
                    question.parts = 100;
                    question.bar_mm = 1000;
                    question.remnant_mm = 100;
                    const Lot lot = reckon_lot(*document, question);
                    CHECK(lot.made == loop.made);
                    REQUIRE(lot.edges.size() == 3);
                    // 22 mm at 100 mm/min, whatever the number of turns.
                    CHECK(lot.edges[0].minutes == Approx(0.22).epsilon(1e-3));
                    CHECK(lot.run.cut_seconds ==
                          Approx(lot.part.cut_seconds * static_cast<double>(loop.made)));
                    CHECK(lot.seconds == Approx(100 * lot.part.seconds()));
                    REQUIRE(lot.bar);
                    CAPTURE(lot.bar->step_from);
                    REQUIRE(lot.bar->step_mm);
                    CHECK(*lot.bar->step_mm == Approx(22.5).margin(1e-3));
                    REQUIRE(lot.bar->parts);
                    CHECK(*lot.bar->parts == 40);
                    const std::string sheet = sheet_markdown(*document);
                    CHECK((sheet.find("cut off one after the other") != std::string::npos) ==
                          (loop.made > 1));
                }
}

TEST_CASE("lot: a blade that comes to a place twice for one part cuts off one") {
    std::string text = part('A', false);
    const std::string cut = "G01 X-1.00000 F40.00000\n";
    text.replace(text.find(cut), cut.size(), cut + "G00 X44.\n" + cut);
    CHECK(reckon_lot(*opened(text, small_lathe('A')), {}).made == 1);
    // It faces the front, too.
    text.replace(text.find(cut), 0, "G00 Z1.\n" + cut + "G00 X44.\nG00 Z-47.\n");
    CAPTURE(text);
    CHECK(reckon_lot(*opened(text, small_lathe('A')), {}).made == 1);
}
