// Tree-sitter's side of the room: the grammar's node symbols as roles, owned trees, one parser a thread.
#pragma once

#include <tree_sitter/api.h>

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace turnwright::syntax {

/// What a grammar node means to the reader.
enum class Role : std::uint8_t {
    none,
    container, // program, sequence, block
    word,      // every kind of letter and number in one token
    computed_word,
    bare_letter,
    letter,
    comma_word,
    note,
    unclosed_note,
    tape_mark,
    block_delete,
    end_of_block,
    after_end,
    assignment,
    if_goto,
    if_then,
    while_do,
    do_only,
    end_do,
    go_to,
    unknown,
    keyword, // IF, GOTO, ...
    // Parts of expressions.
    number,
    variable,
    named_variable,
    computed_variable,
    bracket,
    signed_value,
    binary,
    call,
    arc_tangent,
    function,
    sign,
    comparison,
    disjunction,
    factor,
    divide,
    open_bracket,
    close_bracket,
    open_second_argument, // the /[ of ATAN[a]/[b]
    comma,
    equals,
    number_sign,
};

Role role_of(TSNode node);

struct TreeDeleter {
    void operator()(TSTree* tree) const { ts_tree_delete(tree); }
};
using TreePointer = std::unique_ptr<TSTree, TreeDeleter>;

/// The same text, byte for byte as long, in characters the grammar's lexer is quick and certain about. What
/// means nothing on a tape or in a file (NUL, DEL, byte-order mark) becomes a blank, a byte of any 8-bit or
/// UTF-8 character a question mark.
std::string prepare(std::string_view bytes);

/// Parses prepared text; `edited` is the tree of the text before, already told of the edit, or null.
TreePointer parse(std::string_view prepared, const TSTree* edited);

} // namespace turnwright::syntax
