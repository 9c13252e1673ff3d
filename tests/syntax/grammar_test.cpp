// The grammar as editors use it, on the text as it is: no error nodes, little work after a key press.
#include <catch2/catch.hpp>
#include <tree_sitter/api.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <iterator>
#include <memory>
#include <random>
#include <string>

extern "C" const TSLanguage* tree_sitter_turning();

namespace {

using Parser = std::unique_ptr<TSParser, decltype(&ts_parser_delete)>;
using Tree = std::unique_ptr<TSTree, decltype(&ts_tree_delete)>;

Parser make_parser() {
    Parser parser(ts_parser_new(), ts_parser_delete);
    REQUIRE(ts_parser_set_language(parser.get(), tree_sitter_turning()));
    return parser;
}

Tree parse(const Parser& parser, const std::string& text, const TSTree* before = nullptr) {
    return {
        ts_parser_parse_string(parser.get(), before, text.data(), static_cast<std::uint32_t>(text.size())),
        ts_tree_delete};
}

bool has_error(const Tree& tree) {
    return ts_node_has_error(ts_tree_root_node(tree.get()));
}

struct Work {
    int lexed = 0;
    int reused = 0;
};

void count_work(void* work, TSLogType, const char* message) {
    if (std::strncmp(message, "lexed_lookahead", 15) == 0) ++static_cast<Work*>(work)->lexed;
    if (std::strncmp(message, "reuse_node", 10) == 0) ++static_cast<Work*>(work)->reused;
}

std::string sequences(int count) {
    std::string text = "%\nO1 (PART)\nG21 G99\n";
    for (int i = 1; i <= count; ++i) {
        text += "N" + std::to_string(i) + " (SEQUENCE)\nT0101\nG96 S180 M03\nG00 X40. Z2.\n";
        for (int pass = 0; pass < 10; ++pass) text += "G01 Z-20.5 F.2\nG00 X41.\nZ2.\n";
        text += "G28 U0 W0\nM01\n";
    }
    return text + "M30\n%\n";
}

} // namespace

TEST_CASE("No bytes give an error node") {
    std::mt19937 random(1);
    const Parser parser = make_parser();
    for (int i = 0; i < 20'000; ++i) {
        std::string text(random() % 80, ' ');
        for (char& c : text) c = static_cast<char>(random());
        INFO(text);
        REQUIRE_FALSE(has_error(parse(parser, text)));
    }
}

TEST_CASE("No order of tokens gives an error node") {
    const char* tokens[] = {"X",  "1",    " ",    "+",    "-",   "[",    "]",   "#",        "#1",
                            "IF", "GOTO", "THEN", "DO",   "END", "EQ",   "OR",  "AND",      "*",
                            "/",  ",",    "(",    ")",    "\n",  "\r",   ";",   "%",        "=",
                            "?",  "@",    "SIN",  "ATAN", "O1",  "N1",   "G1",  "X1.5",     "WHILE",
                            "/[", "#<a>", "#ab",  ".",    "T1",  "\r\n", "MOD", "\xC3\x98", "\xEF\xBB\xBF"};
    std::mt19937 random(2);
    const Parser parser = make_parser();
    for (int i = 0; i < 20'000; ++i) {
        std::string text;
        for (auto left = random() % 30; left > 0; --left) text += tokens[random() % std::size(tokens)];
        INFO(text);
        REQUIRE_FALSE(has_error(parse(parser, text)));
    }
}

TEST_CASE("A key press in a whole file lexes a few tokens and keeps the rest") {
    const Parser parser = make_parser();
    std::string text = sequences(200);
    const Tree before = parse(parser, text);
    const std::size_t at = text.find("-20.5", text.size() / 2) + 1;
    text.insert(at, "1");
    const auto row =
        static_cast<std::uint32_t>(std::count(text.begin(), text.begin() + static_cast<long>(at), '\n'));
    const auto column = static_cast<std::uint32_t>(at - text.rfind('\n', at) - 1);
    const auto byte = static_cast<std::uint32_t>(at);
    const TSInputEdit edit{byte, byte, byte + 1, {row, column}, {row, column}, {row, column + 1}};
    ts_tree_edit(before.get(), &edit);
    Work work;
    ts_parser_set_logger(parser.get(), {&work, count_work});
    const Tree after = parse(parser, text, before.get());
    CHECK(work.lexed <= 3);
    // 200 sequences of 36 blocks: kept whole but the one that is typed in.
    CHECK(work.reused < 300);
    ts_parser_set_logger(parser.get(), {nullptr, nullptr});
    const std::unique_ptr<char, decltype(&std::free)> edited(ts_node_string(ts_tree_root_node(after.get())),
                                                             std::free);
    const std::unique_ptr<char, decltype(&std::free)> fresh(
        ts_node_string(ts_tree_root_node(parse(parser, text).get())), std::free);
    CHECK(std::string(edited.get()) == fresh.get());
}
