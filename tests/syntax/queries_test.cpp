// The editors' queries name only what the grammar has.
#include <catch2/catch.hpp>
#include <tree_sitter/api.h>

#include <fstream>
#include <iterator>
#include <memory>
#include <string>

extern "C" const TSLanguage* tree_sitter_turning();

namespace {

std::string read_query(const std::string& name) {
    std::ifstream file(SOURCE_DIR "/grammar/queries/" + name);
    return {std::istreambuf_iterator<char>(file), {}};
}

using Query = std::unique_ptr<TSQuery, decltype(&ts_query_delete)>;

Query compile(const std::string& text) {
    std::uint32_t offset = 0;
    TSQueryError error = TSQueryErrorNone;
    Query query(ts_query_new(tree_sitter_turning(), text.data(), static_cast<std::uint32_t>(text.size()),
                             &offset, &error),
                ts_query_delete);
    INFO("error " << error << " at byte " << offset);
    CHECK(error == TSQueryErrorNone);
    return query;
}

// "capture:text" of every match over a program, blanks between.
std::string captures(const std::string& query_name, const std::string& program) {
    const Query query = compile(read_query(query_name));
    if (query == nullptr) return "no query";
    const std::unique_ptr<TSParser, decltype(&ts_parser_delete)> parser(ts_parser_new(), ts_parser_delete);
    ts_parser_set_language(parser.get(), tree_sitter_turning());
    const std::unique_ptr<TSTree, decltype(&ts_tree_delete)> tree(
        ts_parser_parse_string(parser.get(), nullptr, program.data(),
                               static_cast<std::uint32_t>(program.size())),
        ts_tree_delete);
    const std::unique_ptr<TSQueryCursor, decltype(&ts_query_cursor_delete)> cursor(ts_query_cursor_new(),
                                                                                   ts_query_cursor_delete);
    ts_query_cursor_exec(cursor.get(), query.get(), ts_tree_root_node(tree.get()));
    std::string text;
    TSQueryMatch match;
    std::uint32_t index = 0;
    while (ts_query_cursor_next_capture(cursor.get(), &match, &index)) {
        const TSQueryCapture capture = match.captures[index];
        std::uint32_t length = 0;
        text += ts_query_capture_name_for_id(query.get(), capture.index, &length);
        const std::uint32_t begin = ts_node_start_byte(capture.node);
        text += ":" + program.substr(begin, ts_node_end_byte(capture.node) - begin) + " ";
    }
    return text;
}

} // namespace

TEST_CASE("Highlights") {
    CHECK(captures("highlights.scm", "O1 (A)") == "function:O1 comment:(A) ");
    CHECK(captures("highlights.scm", "N5 G1 X2. T1 M3;C") ==
          "label:N5 keyword:G1 property:X2. constant:T1 function.builtin:M3 punctuation.delimiter:; "
          "comment:C ");
    CHECK(captures("highlights.scm", "/X?") == "punctuation.special:/ error:X property:X error:? ");
    CHECK(captures("highlights.scm", "IF[#1GT2]GOTO3") ==
          "keyword:IF punctuation.bracket:[ variable:#1 operator:GT number:2 punctuation.bracket:] "
          "keyword:GOTO "
          "number:3 ");
}

TEST_CASE("Folds are programs and sequences") {
    CHECK(captures("folds.scm", "O1\nN1 G0\nX1\nN2 G1\n%\n") ==
          "fold:O1\nN1 G0\nX1\nN2 G1\n fold:N1 G0\nX1\n fold:N2 G1\n ");
}

TEST_CASE("Locals are variables and labels of a program") {
    CHECK(captures("locals.scm", "N1 #1=#<a>") ==
          "local.scope:N1 #1=#<a> local.definition:N1 local.definition:#1 local.reference:#1 "
          "local.reference:#<a> ");
}

TEST_CASE("Tags are programs and sequences with their notes") {
    CHECK(captures("tags.scm", "O1 (A)\nN1 (B)\nG0\n") ==
          "definition.module:O1 (A)\nN1 (B)\nG0\n name:O1 doc:(A) definition.section:N1 (B)\nG0\n name:N1 "
          "doc:(B) ");
}
