#include "report/report.h"

#include <catch2/catch.hpp>

namespace turnwright {

using codes::System;
using report::explain_word;

TEST_CASE("a code is told by system") {
    // Constant surface speed is G96 in every system; G90 is a single cycle in A and absolute in B and C
    // (common practice, no source).
    CHECK(explain_word("G96", System::A).find("surface speed") != std::string::npos);
    CHECK(explain_word("g90", System::A) != explain_word("G90", System::B));
    const std::string all = explain_word("G90", {});
    CHECK(all.find(explain_word("G90", System::A)) != std::string::npos);
    CHECK(all.find("systems B, C") != std::string::npos);
    CHECK(explain_word("m3", {}).find("M03") == 0);
    CHECK(explain_word("G54.1", {}).find("G54.1") == 0);
}

TEST_CASE("letters and checks are told, other words are not") {
    CHECK(explain_word("x", {}).find("X  ") == 0);
    CHECK(explain_word("Z-12.5", {}).empty());
    CHECK(explain_word("feed_missing", {}).find("feed_missing  ") == 0);
    for (std::string_view word : {"", " ", "G", "G77777", "nonsense", "G1e3", "G1x", "\xff"})
        if (word != "G") CHECK(explain_word(word, {}).empty());
}

TEST_CASE("words of the macro language, variables, signs and notes of ours are told") {
    for (std::string_view word :
         {"GOTO", "if", "While", "DO", "END", "THEN", "SIN", "ROUND", "EQ", "%", "/", "#", "E"})
        CHECK_FALSE(explain_word(word, {}).empty());
    CHECK(explain_word("#100", {}).find("#100  Variable, common") == 0);
    CHECK(explain_word("#1", {}).find("local") != std::string::npos);
    CHECK(explain_word("stock", {}).find("(STOCK D60.") != std::string::npos);
    CHECK(explain_word("ACCEPT", {}).find("TURNWRIGHT: ACCEPT") != std::string::npos);
    CHECK(explain_word("#1x", {}).empty());
}

TEST_CASE("words of the trade are told from the glossary") {
    CHECK(explain_word("datum", {}).find("X is zero on the centre line") != std::string::npos);
    CHECK(explain_word("Constant surface speed", {}) == explain_word("surface_speed", {}));
    // A note of ours and a word of the trade: both.
    CHECK(explain_word("stock", {}).find("before it is cut") != std::string::npos);
    CHECK(report::nearest_to_explain("alowance") == "did you mean allowance?");
}

TEST_CASE("a check is found by other spellings, and the nearest is named") {
    for (std::string_view word : {"speed-limit-missing", "Speed_Limit_Missing", "speed limit missing"})
        CHECK(explain_word(word, {}).find("speed_limit_missing  ") == 0);
    CHECK(report::nearest_to_explain("speed_limit_mising") == "did you mean speed_limit_missing?");
    CHECK(report::nearest_to_explain("WHLIE") == "did you mean WHILE?");
    CHECK(report::nearest_to_explain("G7l") == "did you mean G71?"); // A letter typed for a digit
    CHECK(report::nearest_to_explain("mO3") == "did you mean M03?");
    CHECK(report::nearest_to_explain("G777").empty());
    CHECK(report::nearest_to_explain("tailstock").find("cut_into_tailstock") != std::string::npos);
    CHECK(report::nearest_to_explain("qqqqqqq").empty());
    // The nearest of all kinds, not of the first kind that has one that is near.
    CHECK(report::nearest_to_explain("led") == "did you mean lead?");
    CHECK(report::nearest_to_explain("speedlimit") == "did you mean speed limit?");
}

TEST_CASE("words of every day, threads, blocks and calculators are told") {
    for (const char* word : {"swarf", "chatter", "burr", "parting", "knurl", "tool nose", "cone"})
        CHECK_FALSE(explain_word(word, {}).empty());
    // A taper is a word of the trade and a calculator.
    CHECK(explain_word("taper", {}).find("turnwright calculate TAPER") != std::string::npos);
    CHECK(explain_word("taper", {}).find("1 in so many") != std::string::npos);
    // Root 24 - 1.22687 x 1.5 = 22.16, hole 24 - 1.0825 x 1.5 = 22.376 (ISO 68-1 profile).
    CHECK(explain_word("M24X1.5", {}).find("root 22.16 mm") != std::string::npos);
    CHECK(explain_word("M24X1.5", {}).find("hole 22.376 mm") != std::string::npos);
    CHECK(explain_word("M8", {}).find("M08") == 0);
    CHECK(explain_word("G71 U2. R1.", System::A).find("deep on radius") != std::string::npos);
    CHECK(explain_word("nothing of the kind", {}).empty());
}

TEST_CASE("what stands in a list of findings or at a program's head is told") {
    CHECK(explain_word("shop_file", {}).find("shop file") != std::string::npos);
    CHECK(explain_word(":", {}) == explain_word("O", {}));
    CHECK(explain_word(":1500", {}) == explain_word("O", {}));
}

TEST_CASE("every code of the table and every check can be asked for") {
    for (const codes::Code& code : codes::all_codes()) {
        INFO(code.written());
        CHECK(explain_word(code.written(), {}).find(code.title) != std::string::npos);
    }
    for (const checks::Check* check : checks::all_checks())
        CHECK(explain_word(check->id, {}).find(check->documentation) != std::string::npos);
}

} // namespace turnwright
