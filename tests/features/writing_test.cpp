// Completion, signature help and formatting.
#include "features/open.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <random>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Open;
using features::test::shop_of;
using features::test::with_edits;

namespace {

std::vector<CompletionItem> offered(const Open& open) {
    return complete(open.document, open.cursor());
}
std::optional<CompletionItem> offer(std::string_view program, std::string_view label,
                                    System system = System::A) {
    const Open open(program, system);
    for (const CompletionItem& item : offered(open))
        if (item.label == label) return item;
    return std::nullopt;
}
bool offers(std::string_view program, std::string_view label, System system = System::A) {
    return offer(program, label, system).has_value();
}

constexpr const char* thread_job =
    "G21 G99 G97 G18 G40 G80 G54\nN7 (T07 THREAD M24X1.5)\nT0707\nG97 S800 M03\n"
    "G00 X28. Z6.\n";

} // namespace

TEST_CASE("codes are offered by the system, with what they do") {
    const auto cycle = offer("G21\nG9$0\n", "G90", System::A);
    REQUIRE(cycle);
    CHECK_THAT(cycle->detail, Contains("ycle") || Contains("urning"));
    const auto absolute = offer("G21\nG9$0\n", "G90", System::B);
    REQUIRE(absolute);
    CHECK_THAT(absolute->detail, Contains("bsolute"));
    CHECK(absolute->edit.range == Range{{1, 0}, {1, 2}});
    CHECK(offers("G7$0\n", "G70", System::C));
    CHECK_FALSE(offers("G3$0\n", "G33", System::A)); // threading is G32 there
    CHECK_THAT(offer("G21 G40\nG4$0\n", "G40")->detail, Contains("in force already"));
    // What is only assumed is worth stating.
    CHECK_THAT(offer("G9$0\nG00 X52.5\nG01 Z-35.5 F.25\n", "G97")->detail, !Contains("in force already"));
    CHECK_THAT(completion_documentation(Document("G99\n", test::shop_of(System::A)), cycle->key),
               Contains("G90"));
    CHECK(completion_documentation(Document("", nullptr), "code Gx").empty());
    CHECK(completion_documentation(Document("", nullptr), "").empty());
}

TEST_CASE("the program's way of writing is kept") {
    CHECK(offers("G1 X5.\nG0 X6.\nG$0\n", "G2"));
    CHECK(offer("g01 x5.\ng00 x6.\ng$0\n", "G02")->edit.text == "g02");
}

TEST_CASE("words that a code still lacks come first") {
    const Open open("G21\nG71 P10 $0\n", System::A);
    const std::vector<CompletionItem> items = offered(open);
    const auto q =
        std::find_if(items.begin(), items.end(), [](const auto& item) { return item.label == "Q"; });
    REQUIRE(q != items.end());
    CHECK_THAT(q->detail, Contains("still missing"));
    CHECK(std::none_of(items.begin(), items.end(), [](const auto& item) { return item.label == "P"; }));
}

TEST_CASE("words of a cycle come in the order in which it needs them") {
    const auto words = [](std::string_view program, System system = System::A) {
        std::string letters;
        std::vector<CompletionItem> items = offered(Open(program, system));
        std::stable_sort(items.begin(), items.end(),
                         [](const auto& a, const auto& b) { return a.sort < b.sort; });
        for (const CompletionItem& item : items)
            if (item.label.size() == 1) letters += item.label;
        return letters;
    };
    // Below the first line of a cycle stands its second one.
    const std::string head = "G21 G99\nT0101\nG97 S500 M03\nG00 X24. Z5.\n";
    CHECK(words(head + "G76 P010060 Q50 R0.02\nG76 $0\n").starts_with("FXZ"));
    CHECK(words(head + "G71 U2. R0.5\nG71 $0\n").starts_with("PQFUW"));
    CHECK(words("G71\nG78 P010060 Q50 R0.02\nG78 $0\n", System::C).starts_with("FXZ"));
    CHECK(words(head + "G71 $0\n").starts_with("UR"));
    CHECK(words(head + "G71 U2. R0.5\nG00 X9.\nG71 $0\n").starts_with("UR"));
    // The bottom before what few holes take; a feed only while none is in force.
    CHECK(words(head + "G83 $0\n").starts_with("FZ"));
    CHECK(words(head + "G01 F0.1\nG83 $0\n").starts_with("Z"));
    CHECK(words(head + "G87 $0\n").starts_with("FX"));
    CHECK(words(head + "G92 $0\n").starts_with("FXZ"));
}

TEST_CASE("speeds to start with go by the material that a note names") {
    const auto first = [](const std::string& note, const std::string& block) {
        const Open open("%\nO1 (PART)\n" + note + "\n(T03 FINISH TURN)\nG21 G99\nT0303\nG00 X50. Z2.\n" +
                            block + "$0\nM30\n",
                        System::A);
        const std::vector<CompletionItem> items = offered(open);
        return items.empty() ? std::string() : items.front().label + " " + items.front().detail;
    };
    CHECK(first("(FOR STOCK)", "G96 S") == "S150 to start with in steel, assumed");
    CHECK(first("(MATERIAL BRASS)", "G96 S") == "S300 to start with in BRASS");
    CHECK(first("(BAR DIA 52 STAINLESS 304)", "G96 S").starts_with("S120 to start with in STAINLESS"));
    CHECK(first("(MATERIAL C45)", "G96 S") == "S150 to start with in C45");
    // n = 1000 v / (pi D): 1000 x 300 / (pi x 50) = 1909.9 (exact).
    CHECK(first("(MATERIAL BRASS)", "G97 S") == "S1900 to start with in BRASS");
    // Nothing is known here of how it is cut.
    CHECK(first("(MATERIAL PEEK)", "G96 S").empty());
}

TEST_CASE("feeds to start with go by the work of the tool") {
    const auto first = [](const std::string& note) {
        const Open open("G21 G99\nN3 (" + note + ")\nT0303\nG97 S500 M03\nG00 X52. Z2.\nG01 Z-5. F$0\nM30\n",
                        System::A);
        const std::vector<CompletionItem> items = offered(open);
        return items.empty() ? std::string() : items.front().detail;
    };
    CHECK(first("FINISH TURN") == "to finish with");
    CHECK(first("ROUGH AND FINISH TURN") == "to rough with");
    CHECK(first("TURN") == "to rough with");
    CHECK(first("GROOVE 3 WIDE") == "to plunge with");
    CHECK(first("DRILL 8.5") == "to drill with");
    CHECK(first("THREAD M20X1.5").empty());
}

TEST_CASE("tools, labels, variables and programs of this program") {
    CHECK(offer("N3 (FINISH)\nT0303\nM01\nN5 (GROOVE)\nT0505\nM01\nT$0\n", "T0303")->detail == "FINISH");
    CHECK(offers("G71 P1$0 Q102 U0.4\nN101 G00 X5.\nN102 X6.\n", "P101"));
    CHECK(offers("GOTO $0\nN90 M30\n", "90") == offers("GOTO 9$0\nN90 M30\n", "90"));
    CHECK(offers("GOTO 9$0\nN90 M30\n", "90"));
    CHECK_THAT(offer("#100=2.5\nG00 X#$0\n", "#100")->detail, Contains("2.5"));
    CHECK(offers("M98 P$0\nM30\nO2000\nM99\n", "P2000"));
    CHECK(offers("#1=[S$0\n", "SIN"));
}

TEST_CASE("computed values") {
    // n = 1000 v / (pi D): 1000 * 180 / (pi * 52) = 1101.8 (exact; formula: Tungaloy 2020-2021, page L030).
    CHECK(offers("G21 G99 T0101\nG00 X52. Z1.\nG97 S$0\nG96 S180\n", "S1102"));
    // External thread M24x1.5: root 24 - 1.22687 * 1.5 = 22.16, height 0.61343 * 1.5 = 0.920 (facts: ISO 68-1
    // profile; d3 rule DIN 13 from memory).
    const std::string job = thread_job;
    CHECK(offers(job + "G76 X$0\n", "X22.16"));
    CHECK(offers(job + "G76 X22.16 Z-20. P$0\n", "P920"));
    CHECK(offers(job + "G76 X22.16 Z-20. P920 Q250 F$0\n", "F1.5"));
    CHECK(offers("G21 G99\nG01 X5. F0.12\nX6. F0.3\nX7. F$0\n", "F0.12"));
}

TEST_CASE("on a free line comes what this program uses, its tools, and then the rest") {
    for (const System system : {System::A, System::B, System::C}) {
        const Open open("G97\nN1 (TURN)\nT0101\nS500 M03\nG00 X50. Z2.\nG01 Z-5.\nG00 X60.\n$0\nM30\n",
                        system);
        std::vector<CompletionItem> items = offered(open);
        std::stable_sort(items.begin(), items.end(),
                         [](const auto& a, const auto& b) { return a.sort < b.sort; });
        const auto place = [&](std::string_view label) {
            return std::find_if(items.begin(), items.end(),
                                [&](const CompletionItem& item) { return item.label == label; }) -
                   items.begin();
        };
        REQUIRE_FALSE(items.empty());
        CHECK(items[0].label == "G01");
        CHECK(place("G01") < place("T0101"));
        CHECK(place("T0101") < place("G02"));
        CHECK(place("N2") < place("G02"));
        CHECK(place("G02") < place("G00")); // In force already
        CHECK(place("G00") < static_cast<std::ptrdiff_t>(items.size()));
    }
}

TEST_CASE("tools that the head names and nothing calls yet come first") {
    const Open open("(T01 TURN)\n(T05 GROOVE 3 WIDE)\nN1 (T01 TURN)\nT0101\nM01\nT$0\n", System::A);
    const std::vector<CompletionItem> items = offered(open);
    REQUIRE(items.size() >= 2);
    CHECK(items[0].label == "T0505");
    CHECK_THAT(items[0].detail, Contains("GROOVE 3 WIDE") && Contains("not called yet"));
    CHECK(items[1].label == "T0101");
}

TEST_CASE("behind P of a roughing cycle stand contour numbers, not sequences") {
    const std::string program =
        "N1 (ROUGH)\nT0101\nG71 U2. R0.5\nG71 P$0 Q102 U0.4 W0.1 F0.3\nN101 G00 X20.\nN102 G01 "
        "Z-5.\nM01\nN2 (FINISH)\nT0303\nM01\nM30\n";
    CHECK(offers(program, "P101"));
    CHECK_FALSE(offers(program, "P1"));
    CHECK_FALSE(offers(program, "P2"));
    // Q stands behind the block that P names.
    const std::string q =
        "N1 (ROUGH)\nT0101\nG71 U2. R0.5\nG71 P101 Q$0\nN101 G00 X20.\nN102 G01 Z-5.\nM01\n";
    CHECK(offers(q, "Q102"));
    CHECK_FALSE(offers(q, "Q101"));
    // None is written yet: numbers that are free.
    CHECK_THAT(offer("N1 (ROUGH)\nT0101\nG71 U2. R0.5\nG71 P$0\nM01\n", "P101")->detail, Contains("free"));
}

TEST_CASE("speeds and feeds are those of this tool, else of the material and the nose") {
    const std::string two =
        "G21 G99\nT0101\nG97 S500 M03\nG01 X5. F0.3\nM01\nT0303\nG97 S900 M03\nG01 X6. F0.1\n";
    CHECK(offers(two + "X7. F$0\n", "F0.1"));
    CHECK_FALSE(offers(two + "X7. F$0\n", "F0.3"));
    CHECK(offers(two + "G97 S$0\n", "S900"));
    CHECK_FALSE(offers(two + "G97 S$0\n", "S500"));
    const auto shop = shop_of(
        "units = \"mm\"\n[machine]\nsystem = \"A\"\n[stock]\nmaterial = \"N\"\n[[tool]]\nstation = 1\n"
        "kind = \"turning\"\nnose_radius = 0.4\n");
    const auto first_of = [&](const std::string& program) {
        const Open open(program, shop);
        const auto items = offered(open);
        return items.empty() ? std::string() : items.front().label;
    };
    CHECK(first_of("G21 G99\nT0101\nG96 S$0\n") == "S300");
    // A third of the nose radius to rough with.
    CHECK(first_of("G21 G99\nT0101\nG97 S500 M03\nG01 X5. F$0\n") == "F0.12");
}

TEST_CASE("X offers the diameters of the contour") {
    const std::string program =
        "G21 G99 G97 S500 M03\nT0101\nG00 X52. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.3\nN10 G00 "
        "X20.\nG01 Z-10.\nX30.\nN20 Z-20.\nG00 X80.\nG00 X$0\n";
    CHECK_THAT(offer(program, "X20.")->detail, Contains("contour in line 6"));
    CHECK(offers(program, "X30."));
    CHECK_FALSE(offers(program, "X80."));
}

TEST_CASE("words that must be there stand before those that may") {
    const Open open("G21 G99 G97 S500 M03\nT0101\nG00 X0. Z2.\nG71 P10 $0\n", System::A);
    const std::vector<CompletionItem> items = offered(open);
    std::string first, last_required, first_optional;
    for (const CompletionItem& item : items) {
        if (first.empty() || item.sort < first) first = item.sort;
        if (item.kind != CompletionKind::word) continue;
        if (item.detail.find("still missing") != std::string::npos)
            last_required = std::max(last_required, item.sort);
        else if (first_optional.empty() || item.sort < first_optional)
            first_optional = item.sort;
    }
    REQUIRE(!last_required.empty());
    REQUIRE(!first_optional.empty());
    CHECK(last_required < first_optional);
    CHECK(first.starts_with("!0"));
}

TEST_CASE("nothing is offered in a note or behind the end of a block") {
    CHECK(offered(Open("G00 (G$0 )\n", System::A)).empty());
    CHECK(offered(Open("G00 (G$0\n", System::A)).empty());
    CHECK(offered(Open("G00 ; G$0\n", System::A)).empty());
}

TEST_CASE("signature help tells the words of a cycle and the next one") {
    const Open open("G21\nG71 P10 $0\n", System::A);
    const auto help = signature_help(open.document, open.cursor());
    REQUIRE(help);
    CHECK_THAT(help->label, Contains("G71 ") && Contains("P"));
    REQUIRE(help->active);
    const auto& parameter = help->parameters[*help->active];
    CHECK(help->label.substr(parameter.begin, parameter.end - parameter.begin) == "Q");
    const Open typing("G21\nG83 Z-5. F0$0\n", System::A);
    const auto feed = signature_help(typing.document, typing.cursor());
    REQUIRE(feed);
    REQUIRE(feed->active);
    CHECK_THAT(feed->parameters[*feed->active].documentation, Contains("F:"));
    const Open none("(G71 $0)\n", System::A);
    CHECK_FALSE(signature_help(none.document, none.cursor()));
}

// --- Formatting -------------------------------------------------------------------------------------------

namespace {

std::string formatted(std::string_view program, std::string_view rules, System system = System::A) {
    const std::string toml =
        "[[machine]]\nsystem = \"" + std::string(1, codes::system_letter(system)) + "\"\n[format]\n";
    const Document document(program, shop_of(toml + std::string(rules)));
    REQUIRE(document.shop().problems.empty());
    return with_edits(document, format(document));
}

/// Words with their values, line by line, sorted within the line: what the control makes of it.
std::string meaning(const std::string& program) {
    const Document document(program, nullptr);
    std::ostringstream out;
    for (std::size_t line = 0; line < document.buffer().line_count(); ++line) {
        std::vector<std::string> words;
        const machine::BlockPlace place = document.place_of_line(line);
        int g_seen = 0, m_seen = 0;
        for (const syntax::Item& item : document.items(place)) {
            std::ostringstream word;
            word << static_cast<int>(item.kind) << item.letter << ' ';
            // G words keep their order among themselves, and so do M words.
            if (item.letter == 'G') word << g_seen++ << ' ';
            if (item.letter == 'M') word << m_seen++ << ' ';
            if (!syntax::holds_expression(item.kind)) word << item.value << ' ' << item.has_point;
            if (item.kind == syntax::ItemKind::note) word << document.run(place.run).text_of(item);
            words.push_back(word.str());
        }
        std::sort(words.begin(), words.end());
        for (const std::string& word : words) out << word << '|';
        out << '\n';
    }
    return out.str();
}

} // namespace

TEST_CASE("without rules only blanks at the line's end go") {
    CHECK(formatted("g1x5.  y3 \t\n  G00 X5.   Z2. (NOTE ) \n", "") ==
          "g1x5.  y3\n  G00 X5.   Z2. (NOTE )\n");
}

TEST_CASE("case, blanks, zeros and order by the shop file") {
    CHECK(formatted("g1x5.z2.(note)\n", "upper_case = true") == "G1X5.Z2.(note)\n");
    CHECK(formatted("G1X5.Z2.(note)\nN 10 G 0  X 5.\n", "blanks_between_words = true") ==
          "G1 X5. Z2. (note)\nN10 G0 X5.\n");
    CHECK(formatted("G01 X5.  Z2.\n", "blanks_between_words = false") == "G01X5.Z2.\n");
    CHECK(formatted("G1 M3 T1 X1 G4 P1 G54.1\n", "leading_zeros = true") == "G01 M03 T1 X1 G04 P1 G54.1\n");
    CHECK(formatted("G01 G00 M03 G010\n", "leading_zeros = false") == "G1 G0 M3 G10\n");
    CHECK(formatted("G21\nX1.500 Z-.50 X40.000 F.0 X4\n", "trailing_zeros = false") ==
          "G21\nX1.5 Z-.5 X40. F.0 X4\n");
    CHECK(formatted("G21\nX1.5 Z40. X4\n", "trailing_zeros = true") == "G21\nX1.500 Z40.000 X4\n");
    CHECK(formatted("M8 F.1 Z2. X5. G1 N7 (A)\n", "order_words = true") == "N7 G1 X5. Z2. F.1 M8 (A)\n");
    CHECK(formatted("G65 P1 I1. J2. I3.\nX1. (A) G0\nX[1+2] #1=3\n", "order_words = true") ==
          "G65 P1 I1. J2. I3.\nX1. (A) G0\nX[1+2] #1=3\n");
}

TEST_CASE("a line that cannot be read is left as it is") {
    CHECK(formatted("g1 x5. (open\ng1 x y2.\n", "upper_case = true\nblanks_between_words = true") ==
          "g1 x5. (open\ng1 x y2.\n");
}

TEST_CASE("only the lines of the range, or the line just left, are formatted") {
    const Document document("g0 \ng1 \ng2 \n", shop_of("[format]\nupper_case = true\n"));
    CHECK(with_edits(document, format(document, {{1, 0}, {2, 0}})) == "g0 \nG1\ng2 \n");
    CHECK(with_edits(document, format_on_type(document, {2, 0}, "\n")) == "g0 \nG1\ng2 \n");
    CHECK(format_on_type(document, {0, 0}, "\n").empty());
    CHECK(format_on_type(document, {1, 2}, "x").empty());
}

TEST_CASE("formatting twice is formatting once, and the meaning stays") {
    constexpr const char* pieces[] = {"G1",       "G 01", "g00",  "X5.", "x-1.500", "Z.5",   "Z 2.",  "U#1",
                                      "W[1.+#2]", "F.10", "S500", "M3",  "m08",     "T0101", "N10",   "/",
                                      "(note a)", "R1.",  ",C2.", "  ",  " ",       "\t",    "#1=2.", "G4",
                                      "P300",     ";",    "G65",  "I1.", "I2.",     "X",     "("};
    constexpr const char* rules[] = {
        "",
        "upper_case = true\nblanks_between_words = true\nleading_zeros = true\ntrailing_zeros = "
        "true\norder_words = true",
        "upper_case = false\nblanks_between_words = false\nleading_zeros = false\ntrailing_zeros = false",
        "blanks_between_words = true\norder_words = true",
        "order_words = true",
    };
    std::mt19937 random(7);
    for (int round = 0; round < 150; ++round) {
        std::string program = "G21\n";
        for (int line = 0; line < 6; ++line) {
            const auto count = random() % 8;
            for (unsigned i = 0; i < count; ++i) program += pieces[random() % std::size(pieces)];
            program += '\n';
        }
        for (const char* rule : rules) {
            INFO(program << "rules: " << rule);
            const std::string once = formatted(program, rule);
            REQUIRE(formatted(once, rule) == once);
            REQUIRE(meaning(once) == meaning(program));
        }
    }
}

TEST_CASE("a lead that no four decimals hold is offered whole") {
    // 1/12 in is 0.083333.
    const std::string job =
        "G20 G99 G97 G18 G40 G80 G54\nN7 (T07 THREAD 1-12 UNF)\nT0707\nG97 S800 M03\nG00 X1.2 Z.3\n";
    CHECK(offers(job + "G76 X.9 Z-1. P511 Q100 F$0\n", "F0.083333"));
}
