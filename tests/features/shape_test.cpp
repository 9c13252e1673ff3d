// Folding, selection and tokens.
#include "features/open.h"

#include <catch2/catch.hpp>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Open;

namespace {
std::string folds(std::string_view program) {
    const Open open(program, System::A);
    std::ostringstream out;
    constexpr const char* names[] = {"program", "sequence", "contour", "loop", "notes"};
    for (const FoldingRange& fold : folding_ranges(open.document))
        out << names[static_cast<int>(fold.kind)] << ' ' << fold.first_line + 1 << '-' << fold.last_line + 1
            << '\n';
    return out.str();
}

/// Tokens as "text:type" with modifiers' first letters.
std::string coloured(std::string_view program, System system = System::A) {
    const Open open(program, system);
    const auto types = token_type_names();
    const auto modifiers = token_modifier_names();
    std::ostringstream out;
    Position last{0, 0};
    for (const Token& token : semantic_tokens(open.document)) {
        REQUIRE(last <= token.at);
        last = {token.at.line, token.at.column + token.length};
        out << open.document.buffer().slice({token.at, last}) << ':'
            << types[static_cast<std::size_t>(token.type)];
        for (std::size_t bit = 0; bit < modifiers.size(); ++bit)
            if (token.modifiers >> bit & 1) out << '+' << modifiers[bit];
        out << ' ';
    }
    return out.str();
}
} // namespace

TEST_CASE("programs, sequences, contours, loops and notes fold") {
    CHECK(folds(R"(
%
O1
(A)
(B)
N1 (ROUGH)
G21
T0101
G71 U2. R0.5
G71 P101 Q102 U0.4 F0.2
N101 G00 X20.
N102 G01 Z-20.
#1=0
WHILE[#1LT3]DO1
#1=#1+1
END1
M01

N2 (FINISH)
G21
T0202
G70 P101 Q102
M01
M30
%
)") == "program 1-24\nnotes 3-4\nsequence 5-16\ncontour 10-11\nloop 13-15\nsequence 18-23\n");
}

TEST_CASE("a selection grows from the value to the file") {
    const Open open(R"(
O1
N1 (ROUGH)
T0101
G00 X50. Z2.
G01 X4$00. F0.2
Z-20.
G00 X50.
M30
)",
                    System::A);
    std::vector<std::string> texts;
    for (const Range& range : selection_ranges(open.document, open.cursor()))
        texts.push_back(open.document.buffer().slice(range));
    REQUIRE(texts.size() >= 6);
    CHECK(texts[0] == "40.");
    CHECK(texts[1] == "X40.");
    CHECK(texts[2] == "G01 X40. F0.2");
    CHECK(texts[3] == "G01 X40. F0.2\nZ-20.");
    CHECK_THAT(texts[4], Contains("N1 (ROUGH)"));
    CHECK(texts.back() == open.document.buffer().whole());
}

TEST_CASE("rapid is coloured apart from feed, by the state and not by the letter") {
    CHECK(coloured("G00 X5.\nX6.\nG01 X7. F0.1\nX8.\n") ==
          "G00:keyword X5.:property+rapid X6.:property+rapid G01:function X7.:property+cutting F0.1:number "
          "X8.:property+cutting ");
}

TEST_CASE("the same code is a cycle in one system and none in another") {
    CHECK_THAT(coloured("G90 X20. Z-5.\n", System::A), Contains("G90:method"));
    CHECK_THAT(coloured("G90\n", System::B), Contains("G90:macro"));
}

TEST_CASE("labels, programs, tools, variables and notes") {
    CHECK(coloured("O7 (SHAFT)\nN1 T0101\n/M08\n#100=2.5\nIF[#100GT#500]GOTO 9\nM98 P20\nM30\n") ==
          "O7:namespace+modification (SHAFT):comment N1:enumMember+modification T0101:type "
          "/:operator+deprecated "
          "M08:event+deprecated #100:variable+modification =:operator 2.5:string IF:modifier #100:variable "
          "GT:operator #500:variable GOTO:modifier 9:enumMember M98:event P20:namespace M30:event ");
    CHECK_THAT(coloured("G40\nG40\n"), Contains("G40:macro+inactive"));
}

TEST_CASE("tokens of a range are those of its lines, and edits keep the rest right") {
    std::string program;
    for (int i = 0; i < 300; ++i) program += "G01 X" + std::to_string(i) + ". F0.2\n";
    Open open(program, System::A);
    const auto part = semantic_tokens(open.document, {{100, 0}, {109, 3}});
    REQUIRE(part.size() == 30);
    CHECK(part.front().at.line == 100);
    CHECK(part.back().at.line == 109);
    CHECK(semantic_tokens(open.document).size() == 900);
    open.document.edit({{0, 0}, {0, 3}}, "G00");
    open.document.evaluate();
    const auto after = semantic_tokens(open.document);
    CHECK(after.front().type == TokenType::rapid);
    CHECK(after.size() == 900);
    CHECK(after[3].type == TokenType::feed_move);
}
