// Text that no control would take: nothing crashes, nothing takes long, what is cut is marked.
#include "shown.h"
#include "syntax/limits.h"

#include <catch2/catch.hpp>

#include <ctime>

using namespace turnwright;
using namespace turnwright::syntax;
using namespace turnwright::syntax::test;

namespace {

std::string repeat(std::string_view piece, std::size_t times) {
    std::string text;
    for (std::size_t i = 0; i < times; ++i) text += piece;
    return text;
}

// The line is marked, the next one is read as ever.
void check_broken_line(const std::string& line) {
    const RunPointer run = parse_text(line + "\nG1 X2.\n");
    REQUIRE(run->blocks.size() == 3);
    CHECK(run->blocks[0].has_error);
    CHECK(show(*run, run->blocks[1]) == "G1 X2");
}

int depth_of(const Run& run, std::int32_t index) {
    if (index < 0) return 0;
    const Expression& e = run.expressions[static_cast<std::size_t>(index)];
    return 1 + std::max(depth_of(run, e.left), depth_of(run, e.right));
}

} // namespace

TEST_CASE("Brackets nested without end, as deep as a block may be and deeper") {
    for (const std::size_t times : {1'500U, 100'000U}) {
        check_broken_line("X" + repeat("[", times));
        check_broken_line("X" + repeat("[", times) + "1" + repeat("]", times));
        check_broken_line("#1=" + repeat("-", times) + "1");
        check_broken_line("#1=" + repeat("SIN[", times));
        check_broken_line(repeat("#", times));
        check_broken_line("#1=1" + repeat("+1", times));
        check_broken_line("#1=ATAN" + repeat("[1]/[ATAN", times / 2));
    }
}

TEST_CASE("A block past the longest that is read is one unknown item, but words and notes are read") {
    const std::string fits = "#1=1" + std::string(longest_block - 4, ' ');
    CHECK(show_line(fits) == "{(= (# 1) 1)} :S");
    const RunPointer run = parse_text(fits + " \nG1\n");
    REQUIRE(run->items.size() == 2);
    CHECK(run->items[0].kind == ItemKind::unknown);
    CHECK(run->items[0].length == longest_block + 1);
    CHECK(run->blocks[0].has_error);
    CHECK(show(*run, run->blocks[1]) == "G1");
    CHECK(show_line("G1" + std::string(longest_block, ' ') + "X2. (A)") == "G1 X2 (A) :N");
    // Beside a line for the grammar, and by the grammar alone.
    const std::string text = "#2=3\n" + fits + " \nX#2\n" + repeat("X1 ", 70'000) + "\n";
    CHECK(difference(*parse_text(text), *parse_run_by_grammar(leaf_of(text))) == "");
    CHECK(parse_text(text)->items.size() == 3 + most_items_of_block + 1);
}

TEST_CASE("Nesting up to the limit is read, past it is invalid") {
    CHECK_FALSE(parse_text("X" + repeat("[", 150) + "1" + repeat("]", 150))->blocks[0].has_error);
    CHECK_FALSE(parse_text("#1=1" + repeat("+1", 150))->blocks[0].has_error);
    const RunPointer run = parse_text("#1=1" + repeat("+1", 1000));
    CHECK(run->blocks[0].has_error);
    CHECK(depth_of(*run, static_cast<std::int32_t>(run->items[0].expression)) <= max_expression_depth + 3);
}

TEST_CASE("Lines of a megabyte") {
    const RunPointer note = parse_text("(" + std::string(1'000'000, 'A') + ")\nG1\n");
    CHECK(note->items[0].length == 65535);
    CHECK(note->blocks[0].length == 1'000'002);
    CHECK(show(*note, note->blocks[1]) == "G1");
    const RunPointer number = parse_text("X" + std::string(1'000'000, '1') + "\nG1\n");
    CHECK(number->items[0].odd_number);
    CHECK(number->items[0].digits == 255);
    CHECK(show(*number, number->blocks[1]) == "G1");
    check_broken_line(std::string(1'000'000, '?'));
    check_broken_line(std::string(1'000'000, '('));
    check_broken_line("#<" + std::string(1'000'000, 'a') + ">");
    CHECK(show(*parse_text(std::string(1'000'000, ' ') + "G1")) == "G1\n");
}

TEST_CASE("More items than are read of a block: the rest is one unknown item") {
    const RunPointer fits = parse_text(repeat("X1 ", most_items_of_block));
    CHECK(fits->blocks[0].item_count == most_items_of_block);
    CHECK_FALSE(fits->blocks[0].has_error);
    const RunPointer words = parse_text(repeat("X1 ", 70'000) + "\nG1 X2.\n");
    REQUIRE(words->blocks[0].item_count == most_items_of_block + 1);
    CHECK(words->items[most_items_of_block].kind == ItemKind::unknown);
    CHECK(words->items[most_items_of_block].begin == 3 * most_items_of_block);
    CHECK(words->blocks[0].has_error);
    CHECK(show(*words, words->blocks[1]) == "G1 X2");
    for (const char* piece : {"X1 ", "#1=2 ", "X#1", "(A)", "G", "G1;", "/", "X,"}) {
        INFO(piece);
        const std::string text = repeat(piece, 300) + "\nG1 X2.\n";
        CHECK(difference(*parse_text(text), *parse_run_by_grammar(leaf_of(text))) == "");
    }
    check_broken_line(repeat("X1 ", most_items_of_block) + ";rest");
    check_broken_line(repeat("#1=2 ", 70'000));
    check_broken_line(repeat("G", 70'000));
}

TEST_CASE("A letter that ends its line is read without a tree, as the grammar reads it") {
    for (const char* text :
         {"X", "X ", "\tx\t", "G1 X", "G1 X \r\nM", "%X", "(A)X", "/X", "N", "O", "X1X", "X-", "X\v", "XX"}) {
        INFO(text);
        CHECK(difference(*parse_text(text), *parse_run_by_grammar(leaf_of(text))) == "");
    }
    CHECK(parse_text("G1 X ")->items[1].kind == ItemKind::bare_letter);
}

TEST_CASE("Every byte alone and behind a word") {
    for (int byte = 0; byte < 256; ++byte) {
        const char c = static_cast<char>(byte);
        for (const std::string& text :
             {std::string(1, c), std::string("G1") + c, std::string("X") + c + "5",
              std::string("#1=[") + c + "]", std::string("(") + c, std::string("(") + c + ")"}) {
            if (c == '\n' || c == '\r') continue;
            const RunPointer run = parse_text(text + "\nM30");
            INFO("byte " << byte << " in " << text);
            CHECK(show(*run, run->blocks[1]) == "M30");
        }
    }
}

TEST_CASE("Long broken text takes no longer than its length") {
    // Of the processor, not of the clock on the wall: other work on the machine must not count.
    const auto seconds = [](const std::string& piece, std::size_t bytes) {
        const std::string line = repeat(piece, bytes / piece.size());
        const text::LeafPointer leaf = leaf_of(repeat(line + "\n", 20));
        const std::clock_t begin = std::clock();
        parse_run(leaf);
        return static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
    };
    // Eight times the text: eight times as long when linear, sixty-four times when square.
    for (const char* piece : {"[", "#", "(", "X", "IF[", "-", "1+", "ATAN[1]/[", "X1,", ";(["}) {
        const double shorter = seconds(piece, 1'000);
        const double longer = seconds(piece, 8'000);
        INFO(piece << ": " << shorter << " s, " << longer << " s");
        CHECK(longer < 24 * shorter + 0.05);
    }
}

TEST_CASE("short assignments are read as the grammar reads them") {
    const char* fronts[] = {"",    " ",   "N10 ", "/",     "/2 ",           "N10 /",
                            "X1.", "(A)", "G01 ", "#2=3 ", "IF[#1EQ1]THEN "};
    const char* targets[] = {"#1", "#100", "# 1", "#1 0", "#1.", "#", "#[1]", "##1", "1"};
    const char* values[] = {"1",
                            "-1.5",
                            "+.5",
                            "1.5.",
                            ".",
                            "#2",
                            "-#2",
                            "1 5",
                            "1+2",
                            "1 / 0",
                            "#1-#2",
                            "#1*-2",
                            "-1+2",
                            "#1.+2",
                            "1+",
                            "1+2+3",
                            "1MOD2",
                            "1E5",
                            "[1]",
                            "SIN[30]",
                            "",
                            "1=2",
                            "1234567890123456789",
                            "00.100",
                            "#1+2.5.",
                            "1-.5"};
    const char* ends[] = {"",     " ",   " (NOTE)", "(A) X1.", "(", ";", " ; REST",
                          " X2.", "M08", "#3=4",    "%",       "/", "\t"};
    for (const char* front : fronts)
        for (const char* target : targets) {
            std::string text;
            for (const char* equals : {"=", " = ", "=="})
                for (const char* value : values)
                    for (const char* end : ends)
                        text += std::string(front) + target + equals + value + end + "\n";
            INFO(front << target);
            CHECK(difference(*parse_text(text), *parse_run_by_grammar(leaf_of(text))) == "");
        }
}
