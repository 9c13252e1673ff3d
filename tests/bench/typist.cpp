#include "bench/typist.h"

#include <algorithm>

namespace bench {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_number(char c) {
    return is_digit(c) || c == '.' || c == '-';
}

/// Column of the last digit of a number behind one of `letters`, outside notes.
std::optional<std::uint32_t> number_digit(std::string_view line, std::string_view letters) {
    const std::string_view words = line.substr(0, line.find('('));
    const std::size_t letter = words.find_last_of(letters);
    if (letter == std::string_view::npos) return std::nullopt;
    std::size_t i = letter + 1;
    while (i < words.size() && words[i] == ' ') ++i;
    std::optional<std::uint32_t> last;
    for (; i < words.size() && is_number(words[i]); ++i)
        if (is_digit(words[i])) last = static_cast<std::uint32_t>(i);
    return last;
}

Edit one_character(std::uint32_t line, std::uint32_t column, char c) {
    return {{{line, column}, {line, column + 1}}, std::string(1, c)};
}

} // namespace

bool Typist::is_changed(std::uint32_t line) const {
    return std::any_of(put_back_.begin(), put_back_.end(),
                       [&](const Edit& edit) { return edit.range.begin.line == line; });
}

Edit Typist::digit() {
    constexpr std::size_t most_changed = 8;
    // A short program runs out of unchanged numbers before.
    for (int tries = 0; put_back_.size() < most_changed && tries < 1000; ++tries) {
        const std::uint32_t line = random_line();
        const auto column = number_digit(buffer_.line(line), letters_);
        if (!column || is_changed(line)) continue;
        const char old = buffer_.line(line)[*column];
        const Edit edit = one_character(line, *column, static_cast<char>('0' + (old - '0' + 1) % 10));
        put_back_.push_back(one_character(line, *column, old));
        apply(edit);
        return edit;
    }
    if (put_back_.empty()) throw std::runtime_error("no number to change");
    const Edit edit = put_back_.front();
    put_back_.pop_front();
    apply(edit);
    return edit;
}

Edit Typist::units() {
    for (std::uint32_t line = 0; line < buffer_.line_count(); ++line) {
        const std::size_t at = buffer_.line(line).find("G2");
        if (at == std::string_view::npos) continue;
        const auto column = static_cast<std::uint32_t>(at + 2);
        const Edit edit = one_character(line, column, buffer_.line(line)[column] == '1' ? '0' : '1');
        apply(edit);
        return edit;
    }
    throw std::runtime_error("no G20 or G21 in the program");
}

std::vector<Edit> Typist::typed_block() {
    const std::uint32_t line = random_line();
    const auto end = static_cast<std::uint32_t>(buffer_.line(line).size());
    std::vector<Edit> keys{{{{line, end}, {line, end}}, "\n"}};
    std::uint32_t column = 0;
    for (const char c : std::string_view("G01 X25.5 F0.2")) {
        keys.push_back({{{line + 1, column}, {line + 1, column}}, std::string(1, c)});
        ++column;
    }
    keys.push_back({{{line, end}, {line + 1, column}}, ""});
    for (const Edit& key : keys) apply(key);
    return keys;
}

std::vector<Edit> Typist::line(std::string_view text) {
    const std::uint32_t above = random_line();
    const auto end = static_cast<std::uint32_t>(buffer_.line(above).size());
    const auto length = static_cast<std::uint32_t>(text.size());
    const std::vector<Edit> keys{{{{above, end}, {above, end}}, "\n" + std::string(text)},
                                 {{{above, end}, {above + 1, length}}, ""}};
    for (const Edit& key : keys) apply(key);
    return keys;
}

Position Typist::place() {
    while (true) {
        const std::uint32_t line = random_line();
        const std::size_t length = buffer_.line(line).size();
        if (length > 0) return {line, static_cast<std::uint32_t>(random_() % length)};
    }
}

} // namespace bench
