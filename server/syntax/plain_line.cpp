#include "syntax/plain_line.h"
#include "syntax/number.h"
#include "text/letters.h"

#include <optional>

namespace turnwright::syntax {
namespace {

using text::is_blank;
using text::is_letter;

bool is_digit_or_point(char c) {
    return (c >= '0' && c <= '9') || c == '.';
}

struct Line {
    std::string_view text;
    std::uint32_t end;
    bool holds_statements; ///< Of too long a line no statement is read

    std::uint32_t skip_blanks(std::uint32_t at) const {
        while (at < end && is_blank(text[at])) ++at;
        return at;
    }

    /// Behind the number that begins at `at`, or `at` when none does. Blanks count only between its digits.
    std::uint32_t number_end(std::uint32_t at) const {
        std::uint32_t behind = at;
        while (at < end && is_digit_or_point(text[at])) {
            behind = ++at;
            at = skip_blanks(at);
        }
        return behind;
    }

    /// Behind the word whose letter is at `at`, or `at` when no number follows.
    std::uint32_t word_end(std::uint32_t at) const {
        std::uint32_t number = skip_blanks(at + 1);
        if (number < end && (text[number] == '-' || text[number] == '+')) number = skip_blanks(number + 1);
        const std::uint32_t behind = number_end(number);
        return behind == number ? at : behind;
    }

    std::uint32_t find(char c, std::uint32_t at) const {
        while (at < end && text[at] != c) ++at;
        return at;
    }
};

/// "#100=35." and "#1=#1+1.": one number or variable, or two with what is between them. Longer ones are the
/// grammar's, which knows what binds more tightly.
class ShortAssignment {
public:
    ShortAssignment(RunBuilder& builder, const Line& line) : builder_(builder), line_(line) {}

    /// Behind the assignment at `at`; `at` when there is none, with nothing added.
    std::uint32_t read(std::uint32_t at) {
        const auto to = term(at);
        const std::uint32_t equals = to ? line_.skip_blanks(to->end) : line_.end;
        if (equals == line_.end || line_.text[at] != '#' || line_.text[equals] != '=') return at;
        const std::uint32_t sign = line_.skip_blanks(equals + 1);
        const bool is_signed = sign < line_.end && (line_.text[sign] == '-' || line_.text[sign] == '+');
        const auto left = term(is_signed ? line_.skip_blanks(sign + 1) : sign);
        if (!left) return at;
        std::optional<Term> right;
        const std::uint32_t behind = line_.skip_blanks(left->end);
        const Operation operation =
            behind < line_.end ? operation_of(line_.text[behind]) : Operation::invalid;
        if (operation != Operation::invalid && !is_signed) {
            right = term(line_.skip_blanks(behind + 1));
            if (!right) return at;
        }
        const std::uint32_t end = right ? right->end : left->end;
        if (!ends(line_.skip_blanks(end))) return at;
        const std::int32_t target = add(*to);
        std::int32_t value = add(*left);
        if (is_signed)
            value = add(line_.text[sign] == '-' ? Operation::negate : Operation::plus, {sign, end}, value);
        if (right) {
            const std::int32_t second = add(*right);
            value = add(operation, {left->begin, end}, value, second);
        }
        const std::int32_t root = add(Operation::assign, {at, end}, target, value);
        builder_.add_statement(ItemKind::assignment, at, end, static_cast<std::uint32_t>(root), false);
        return end;
    }

private:
    struct Term {
        std::uint32_t begin = 0, end = 0;
    };

    /// A number, or a variable by its number, with no blank in it.
    std::optional<Term> term(std::uint32_t begin) const {
        const bool is_variable = begin < line_.end && line_.text[begin] == '#';
        std::uint32_t at = begin + (is_variable ? 1 : 0), digits = 0, points = 0;
        for (; at < line_.end && is_digit_or_point(line_.text[at]); ++at)
            ++(line_.text[at] == '.' ? points : digits);
        if (digits == 0 || points > (is_variable ? 0u : 1u)) return std::nullopt;
        return Term{begin, at};
    }

    static Operation operation_of(char c) {
        switch (c) {
        case '+':
            return Operation::add;
        case '-':
            return Operation::subtract;
        case '*':
            return Operation::multiply;
        case '/':
            return Operation::divide;
        default:
            return Operation::invalid;
        }
    }

    bool ends(std::uint32_t at) const {
        return at == line_.end || line_.text[at] == '(' || line_.text[at] == ';';
    }

    std::int32_t add(Operation operation, Term whole, std::int32_t left = -1, std::int32_t right = -1,
                     double number = 0) {
        std::vector<Expression>& expressions = builder_.expressions();
        expressions.push_back({operation, left, right, number, whole.begin,
                               static_cast<std::uint16_t>(whole.end - whole.begin)});
        return static_cast<std::int32_t>(expressions.size() - 1);
    }

    std::int32_t add(Term of) {
        const bool is_variable = line_.text[of.begin] == '#';
        const std::uint32_t begin = of.begin + (is_variable ? 1 : 0);
        const double number = read_number(line_.text.substr(begin, of.end - begin)).value;
        const std::int32_t value = add(Operation::number, of, -1, -1, number);
        return is_variable ? add(Operation::variable, of, value) : value;
    }

    RunBuilder& builder_;
    const Line& line_;
};

// Behind the item at `at`, or `at` when this is none for here.
std::uint32_t read_item(RunBuilder& builder, const Line& line, std::uint32_t at) {
    const char c = line.text[at];
    if (is_letter(c)) {
        const std::uint32_t behind = line.word_end(at);
        if (behind != at) {
            builder.add_word(ItemKind::word, at, at, behind);
        } else if (line.skip_blanks(at + 1) == line.end) {
            builder.add_bare_letter(at, at, at + 1);
            return at + 1;
        }
        return behind;
    }
    switch (c) {
    case '(': {
        const std::uint32_t close = line.find(')', at);
        if (close == line.end) {
            builder.add_note(ItemKind::unclosed_note, at, close);
            return close;
        }
        builder.add_note(ItemKind::note, at, close + 1);
        return close + 1;
    }
    case '%':
        builder.add_tape_mark(at);
        return at + 1;
    case '/': {
        const std::uint32_t number = line.skip_blanks(at + 1);
        const std::uint32_t behind = line.number_end(number);
        builder.add_block_delete(at, behind == number ? at + 1 : behind);
        return behind;
    }
    case ';': {
        builder.add(ItemKind::end_of_block, at, at + 1);
        const std::uint32_t rest = line.skip_blanks(at + 1);
        if (rest < line.end && builder.has_room()) builder.add(ItemKind::after_end, rest, line.end);
        return line.end;
    }
    case '#':
        return line.holds_statements ? ShortAssignment(builder, line).read(at) : at;
    default:
        return at;
    }
}

} // namespace

bool read_plain_line(RunBuilder& builder, std::uint32_t begin, std::uint32_t end) {
    const Line line{builder.text(), end, end - begin <= longest_block};
    for (std::uint32_t at = line.skip_blanks(begin); at < end; at = line.skip_blanks(at)) {
        if (!builder.has_room()) {
            builder.cut_off(at);
            return true;
        }
        const std::uint32_t behind = read_item(builder, line, at);
        if (behind == at) {
            builder.restart_line();
            return false;
        }
        at = behind;
    }
    return true;
}

} // namespace turnwright::syntax
