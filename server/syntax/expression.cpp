#include "syntax/expression.h"

#include "syntax/number.h"
#include "text/letters.h"

#include <algorithm>
#include <array>

namespace turnwright::syntax {
namespace {

struct NamedOperation {
    std::string_view name;
    Operation operation;
};

constexpr std::array operators{
    NamedOperation{"+", Operation::add},       NamedOperation{"-", Operation::subtract},
    NamedOperation{"*", Operation::multiply},  NamedOperation{"/", Operation::divide},
    NamedOperation{"MOD", Operation::modulo},  NamedOperation{"AND", Operation::logic_and},
    NamedOperation{"OR", Operation::logic_or}, NamedOperation{"XOR", Operation::logic_xor},
    NamedOperation{"EQ", Operation::equal},    NamedOperation{"NE", Operation::not_equal},
    NamedOperation{"GT", Operation::greater},  NamedOperation{"GE", Operation::greater_equal},
    NamedOperation{"LT", Operation::less},     NamedOperation{"LE", Operation::less_equal},
};

constexpr std::array functions{
    NamedOperation{"SIN", Operation::sine},        NamedOperation{"COS", Operation::cosine},
    NamedOperation{"TAN", Operation::tangent},     NamedOperation{"ASIN", Operation::arc_sine},
    NamedOperation{"ACOS", Operation::arc_cosine}, NamedOperation{"SQRT", Operation::square_root},
    NamedOperation{"SQR", Operation::square_root}, NamedOperation{"ABS", Operation::absolute},
    NamedOperation{"ROUND", Operation::round},     NamedOperation{"FIX", Operation::fix},
    NamedOperation{"FUP", Operation::fix_up},      NamedOperation{"LN", Operation::natural_log},
    NamedOperation{"EXP", Operation::exponential}, NamedOperation{"BIN", Operation::to_binary},
    NamedOperation{"BCD", Operation::to_bcd},
};

template <std::size_t Size>
Operation find(const std::array<NamedOperation, Size>& table, std::string_view name) {
    for (const NamedOperation& row : table) {
        if (row.name == name) return row.operation;
    }
    return Operation::invalid;
}

// Calls `visit` for each child, the cursor on it; then goes back up.
template <typename Visit>
void each_child(TSTreeCursor& cursor, Visit visit) {
    if (!ts_tree_cursor_goto_first_child(&cursor)) return;
    do {
        const TSNode node = ts_tree_cursor_current_node(&cursor);
        visit(node, role_of(node));
    } while (ts_tree_cursor_goto_next_sibling(&cursor));
    ts_tree_cursor_goto_parent(&cursor);
}

bool is_value(Role role) {
    return (role >= Role::number && role <= Role::arc_tangent) || role == Role::assignment;
}

} // namespace

bool ExpressionReader::take_error() {
    const bool error = error_;
    error_ = false;
    return error;
}

std::string ExpressionReader::upper(TSNode node) const {
    const std::uint32_t begin = ts_node_start_byte(node);
    std::string text(text_.substr(begin, ts_node_end_byte(node) - begin));
    std::ranges::transform(text, text.begin(), text::upper);
    return text;
}

std::int32_t ExpressionReader::add(Operation operation, TSNode node, std::int32_t left, std::int32_t right,
                                   double number) {
    Expression entry;
    entry.operation = operation;
    entry.left = left;
    entry.right = right;
    entry.number = number;
    entry.begin = ts_node_start_byte(node);
    entry.length = static_cast<std::uint16_t>(std::min(ts_node_end_byte(node) - entry.begin, 65535U));
    expressions_.push_back(entry);
    return static_cast<std::int32_t>(expressions_.size() - 1);
}

std::int32_t ExpressionReader::invalid(TSNode node) {
    error_ = true;
    return add(Operation::invalid, node);
}

std::int32_t ExpressionReader::read(TSTreeCursor& cursor, int depth) {
    const TSNode node = ts_tree_cursor_current_node(&cursor);
    // Brackets within brackets without end are no program; whoever walks the entries may recurse.
    if (depth >= max_expression_depth) return invalid(node);
    switch (role_of(node)) {
    case Role::number:
        return read_number_node(node);
    case Role::variable:
        return read_numbered_variable(node);
    case Role::named_variable:
        return add(Operation::named_variable, node);
    case Role::computed_variable:
        return read_computed_variable(cursor, depth);
    case Role::bracket:
        return read_bracket(cursor, depth);
    case Role::signed_value:
        return read_signed(cursor, depth);
    case Role::binary:
        return read_binary(cursor, depth);
    case Role::call:
        return read_call(cursor, depth);
    case Role::arc_tangent:
        return read_arc_tangent(cursor, depth);
    case Role::assignment:
        return read_assignment(cursor, depth);
    default:
        return invalid(node);
    }
}

std::int32_t ExpressionReader::read_number_node(TSNode node) {
    const std::uint32_t begin = ts_node_start_byte(node);
    const Number number = read_number(text_.substr(begin, ts_node_end_byte(node) - begin));
    if (number.many_points || number.no_digits) return invalid(node);
    return add(Operation::number, node, -1, -1, number.value);
}

std::int32_t ExpressionReader::read_numbered_variable(TSNode node) {
    const std::uint32_t begin = ts_node_start_byte(node);
    const Number number = read_number(text_.substr(begin + 1, ts_node_end_byte(node) - begin - 1));
    const std::int32_t index = add(Operation::number, node, -1, -1, number.value);
    return add(Operation::variable, node, index);
}

std::int32_t ExpressionReader::read_computed_variable(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    std::int32_t index = -1;
    each_child(cursor, [&](TSNode, Role role) {
        if (is_value(role)) index = read(cursor, depth + 1);
    });
    return index < 0 ? invalid(whole) : add(Operation::variable, whole, index);
}

// Brackets leave no entry of their own.
std::int32_t ExpressionReader::read_bracket(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    const std::size_t mark = expressions_.size();
    std::int32_t index = -1;
    bool closed = false;
    bool several = false;
    each_child(cursor, [&](TSNode, Role role) {
        if (is_value(role) && !several) index = read(cursor, depth + 1);
        if (role == Role::comma) several = true;
        if (role == Role::close_bracket) closed = true;
    });
    if (index >= 0 && closed && !several) return index;
    expressions_.resize(mark);
    return invalid(whole);
}

std::int32_t ExpressionReader::read_signed(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    const bool negative = text_[ts_node_start_byte(whole)] == '-';
    std::int32_t index = -1;
    each_child(cursor, [&](TSNode, Role role) {
        if (is_value(role)) index = read(cursor, depth + 1);
    });
    return add(negative ? Operation::negate : Operation::plus, whole, or_invalid(index, whole));
}

std::int32_t ExpressionReader::read_binary(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    Operation operation = Operation::invalid;
    std::int32_t left = -1;
    std::int32_t right = -1;
    each_child(cursor, [&](TSNode node, Role role) {
        if (is_value(role)) {
            (left < 0 ? left : right) = read(cursor, depth + 1);
        } else {
            operation = find(operators, upper(node));
        }
    });
    return add(operation, whole, or_invalid(left, whole), or_invalid(right, whole));
}

std::int32_t ExpressionReader::read_call(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    Operation operation = Operation::invalid;
    std::int32_t argument = -1;
    each_child(cursor, [&](TSNode node, Role role) {
        if (role == Role::function) operation = find(functions, upper(node));
        if (role == Role::bracket) argument = read_bracket(cursor, depth + 1);
    });
    return add(operation, whole, or_invalid(argument, whole));
}

// ATAN[a], ATAN[a,b] and ATAN[a]/[b].
std::int32_t ExpressionReader::read_arc_tangent(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    const std::size_t mark = expressions_.size();
    std::array<std::int32_t, 2> arguments{-1, -1};
    std::size_t count = 0;
    int open = 0;
    int commas = 0;
    const auto take_value = [&](Role role) {
        if (!is_value(role)) return;
        if (count < 2) arguments[count] = read(cursor, depth + 1);
        ++count;
    };
    bool slash = false;
    each_child(cursor, [&](TSNode, Role role) {
        if (role == Role::bracket) {
            if (slash) { // the second argument is itself a bracket: ATAN[a]/[[b]]
                take_value(role);
                return;
            }
            each_child(cursor, [&](TSNode, Role inner) {
                take_value(inner);
                open += inner == Role::open_bracket ? 1 : inner == Role::close_bracket ? -1 : 0;
                commas += inner == Role::comma ? 1 : 0;
            });
        } else if (role == Role::open_second_argument) {
            slash = true;
            ++open;
        } else if (role == Role::close_bracket) {
            --open;
        } else {
            take_value(role);
        }
    });
    const std::size_t wanted = slash || commas > 0 ? 2 : 1;
    if (open != 0 || count != wanted || commas + (slash ? 1 : 0) > 1) {
        expressions_.resize(mark);
        return invalid(whole);
    }
    return add(wanted == 2 ? Operation::arc_tangent_two : Operation::arc_tangent, whole, arguments[0],
               arguments[1]);
}

std::int32_t ExpressionReader::read_assignment(TSTreeCursor& cursor, int depth) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    std::int32_t left = -1;
    std::int32_t right = -1;
    each_child(cursor, [&](TSNode, Role role) {
        if (is_value(role)) (left < 0 ? left : right) = read(cursor, depth + 1);
    });
    return add(Operation::assign, whole, or_invalid(left, whole), or_invalid(right, whole));
}

std::uint32_t ExpressionReader::read_computed_word(TSTreeCursor& cursor) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    char sign = 0;
    std::int32_t index = -1;
    each_child(cursor, [&](TSNode node, Role role) {
        if (role == Role::sign) sign = text_[ts_node_start_byte(node)];
        if (is_value(role)) index = read(cursor, sign == 0 ? 0 : 1);
    });
    index = or_invalid(index, whole);
    if (sign != 0) index = add(sign == '-' ? Operation::negate : Operation::plus, whole, index);
    return static_cast<std::uint32_t>(index);
}

std::uint32_t ExpressionReader::read_statement(TSTreeCursor& cursor, Role role) {
    const TSNode whole = ts_tree_cursor_current_node(&cursor);
    if (role == Role::assignment) return static_cast<std::uint32_t>(read_assignment(cursor, 0));

    std::int32_t condition = -1;
    std::int32_t rest = -1; // behind GOTO, THEN, DO or END
    bool has_rest = false;
    bool past_keyword = role == Role::do_only || role == Role::end_do || role == Role::go_to;
    int keywords = 0;
    each_child(cursor, [&](TSNode, Role part) {
        if (part == Role::keyword) {
            if (++keywords == 2) past_keyword = true;
        } else if (is_value(part)) {
            // A variable behind THEN without = is no assignment.
            const bool fits = role != Role::if_then || !past_keyword || part == Role::assignment;
            if (!fits) return;
            (past_keyword ? rest : condition) = read(cursor, 1);
            has_rest = has_rest || past_keyword;
        }
    });
    std::int32_t index = -1;
    switch (role) {
    case Role::if_goto:
    case Role::if_then:
        condition = or_invalid(condition, whole);
        rest = or_invalid(rest, whole);
        index = add(role == Role::if_goto ? Operation::if_goto : Operation::if_then, whole, condition, rest);
        break;
    case Role::go_to:
        index = add(Operation::go_to, whole, or_invalid(rest, whole));
        break;
    default: {
        // The loop's number is kept as a number; what else stands there goes to `right` as invalid.
        const bool end = role == Role::end_do;
        double loop = 0;
        if (has_rest && expressions_[static_cast<std::size_t>(rest)].operation == Operation::number) {
            loop = expressions_[static_cast<std::size_t>(rest)].number;
            expressions_.pop_back(); // it was read last
            rest = -1;
        } else if (!has_rest) {
            rest = invalid(whole);
        }
        if (role == Role::while_do) condition = or_invalid(condition, whole);
        index = add(end ? Operation::end_do : Operation::while_do, whole, condition, rest, loop);
        break;
    }
    }
    return static_cast<std::uint32_t>(index);
}

} // namespace turnwright::syntax
