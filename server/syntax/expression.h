// Grammar nodes of macro expressions and statements to Expression entries.
#pragma once

#include "syntax/language.h"
#include "syntax/syntax.h"

namespace turnwright::syntax {

/// Reads below a cursor that it leaves where it found it.
class ExpressionReader {
public:
    ExpressionReader(std::string_view text, std::vector<Expression>& expressions)
        : text_(text), expressions_(expressions) {}

    /// The value of a computed word: its children are letter, sign and value.
    std::uint32_t read_computed_word(TSTreeCursor& cursor);
    /// One of the statements; `role` is that of the cursor's node.
    std::uint32_t read_statement(TSTreeCursor& cursor, Role role);
    /// Whether anything read since the last call was invalid.
    bool take_error();

private:
    std::int32_t read(TSTreeCursor& cursor, int depth);
    std::int32_t read_number_node(TSNode node);
    std::int32_t read_numbered_variable(TSNode node);
    std::int32_t read_computed_variable(TSTreeCursor& cursor, int depth);
    std::int32_t read_bracket(TSTreeCursor& cursor, int depth);
    std::int32_t read_signed(TSTreeCursor& cursor, int depth);
    std::int32_t read_binary(TSTreeCursor& cursor, int depth);
    std::int32_t read_call(TSTreeCursor& cursor, int depth);
    std::int32_t read_arc_tangent(TSTreeCursor& cursor, int depth);
    std::int32_t read_assignment(TSTreeCursor& cursor, int depth);
    std::int32_t add(Operation operation, TSNode node, std::int32_t left = -1, std::int32_t right = -1,
                     double number = 0);
    std::int32_t invalid(TSNode node);
    std::int32_t or_invalid(std::int32_t index, TSNode node) { return index < 0 ? invalid(node) : index; }
    std::string upper(TSNode node) const;

    std::string_view text_;
    std::vector<Expression>& expressions_;
    bool error_ = false;
};

} // namespace turnwright::syntax
