// Completion, signature help and formatting.
#include "features/open.h"

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

TEST_CASE("nothing is offered in a note or behind the end of a block") {
    CHECK(offered(Open("G00 (G$0 )\n", System::A)).empty());
    CHECK(offered(Open("G00 (G$0\n", System::A)).empty());
    CHECK(offered(Open("G00 ; G$0\n", System::A)).empty());
}

TEST_CASE("a new sequence is written as the program's others") {
    std::ifstream file(std::string(SOURCE_DIR) + "/docs/examples/pump-shaft.nc");
    std::stringstream text;
    text << file.rdbuf();
    std::string program = text.str();
    const std::string before_end = "M30\n";
    program.insert(program.rfind(before_end), "\n$0\n");
    const auto made = offer(program, "sequence: grooving");
    REQUIRE(made);
    CHECK(made->is_snippet);
    CHECK_THAT(made->plain, Contains("G54 G18 G97 G21 G80 G40 G99"));
    CHECK_THAT(made->plain, Contains("G00 G53 X0. Z0.\nM09\nM05\nM01"));
    CHECK(made->plain.find('$') == std::string::npos);
    const auto inch = offer("G20 G90\n$0\n", "sequence: drilling", System::B);
    REQUIRE(inch);
    CHECK_THAT(inch->plain, Contains("G20") && Contains("G95") && Contains("G90") && !Contains("%"));
}

TEST_CASE("every template is a program without faults of form") {
    for (System system : {System::A, System::B, System::C})
        for (const char* units : {"G20", "G21", "G70", "G71"}) {
            const bool unit_of_c = units[1] == '7';
            if (unit_of_c != (system == System::C)) continue;
            const Open open(std::string(units) + "\n$0\n", system);
            int templates = 0;
            for (const CompletionItem& item : offered(open)) {
                if (item.label.rfind("sequence:", 0) != 0) continue;
                ++templates;
                const Document made(std::string(units) + "\n" + item.plain + "M30\n", shop_of(system));
                INFO(item.plain);
                for (std::size_t line = 0; line < made.buffer().line_count(); ++line)
                    CHECK_FALSE(made.block(made.place_of_line(line)).has_error);
                for (const Warning& warning : warnings(made)) {
                    INFO(warning.message);
                    CHECK(warning.severity < checks::Severity::warning);
                }
            }
            CHECK(templates == 9);
        }
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
