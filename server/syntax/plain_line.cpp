#include "syntax/plain_line.h"
#include "text/letters.h"

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
    default:
        return at;
    }
}

} // namespace

bool read_plain_line(RunBuilder& builder, std::uint32_t begin, std::uint32_t end) {
    const Line line{builder.text(), end};
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
