// Semantic tokens: what a colour tells that letters alone do not (a rapid apart from a feed move).
#pragma once

#include "features/document.h"

namespace turnwright::features {

/// Order of token_type_names().
enum class TokenType : std::uint8_t {
    note,      ///< comment
    rapid,     ///< keyword: codes and axis words that move at rapid
    feed_move, ///< function: lines, arcs, threads
    cycle,     ///< method
    code,      ///< macro: other G codes
    misc_code, ///< event: M codes
    axis,      ///< property: axis words of feed moves and cycles, other values of a code
    feed,      ///< number: F and S
    tool,      ///< type: T
    label,     ///< enumMember: N and the P, Q, GOTO that name it
    program,   ///< namespace: O and the P that calls it
    variable,  ///< variable
    word,      ///< modifier: IF, WHILE, GOTO ...
    operation, ///< operator
    number,    ///< string: numbers in expressions
    tape_mark, ///< decorator
};
/// Bits in the order of token_modifier_names().
enum TokenModifier : std::uint32_t {
    modifier_rapid = 1,     ///< in a rapid move
    modifier_cutting = 2,   ///< in a feed move
    modifier_deleted = 4,   ///< deprecated: block delete, or behind the program end
    modifier_written = 8,   ///< modification: a variable assigned, an N number or O number defined
    modifier_inactive = 16, ///< a code that changes nothing: it is in force already
};
std::vector<std::string_view> token_type_names();
std::vector<std::string_view> token_modifier_names();

struct Token {
    Position at;
    std::uint32_t length; ///< Bytes; a token never crosses a line end
    TokenType type;
    std::uint32_t modifiers = 0;
};
/// In order of place. Runs that did not change since the last call are taken from the document's store.
std::vector<Token> semantic_tokens(const Document& document);
std::vector<Token> semantic_tokens(const Document& document, Range range);

} // namespace turnwright::features
