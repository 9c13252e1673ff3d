// Of what sorts of lines a long text is made: no program is jumps, tool calls or program numbers for the most
// part.
#include "report/why_no_program.h"
#include "language/said.h"

#include "text/letters.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdint>
#include <fmt/format.h>

namespace turnwright::report {
namespace {

/// How many of its lines a program may have of a sort. A program of machined surfaces is nearly all moves;
/// one for a family of parts has a jump, a loop or a call in three to five lines, a file of all programs of a
/// machine a number in ten, and a contour that a cycle calls has some lines itself.
struct Sort {
    std::uint8_t bit;
    std::size_t most_in_hundred; ///< Lines of any program
    std::size_t most;            ///< In a program where they are more than half as many in a hundred
    TableText title;
};
enum : std::uint8_t {
    program_number = 1,
    flow = 2,
    contour_cycle = 4,
    tool_call = 8,
    tape_mark = 16,
    unread = 32,
    other_cycle = 64,
    assignment = 128
};
constexpr std::array<Sort, 8> sorts = {
    {{program_number, 20, 50'000, "are program numbers"},
     {flow, 40, 60'000, "jump, loop or call"},
     {contour_cycle, 25, 60'000, "call a contour"},
     {tool_call, 25, 60'000, "call a tool"},
     {tape_mark, 25, 60'000, "are tape marks"},
     {unread, 25, 60'000, "hold what no block does"},
     {other_cycle, 50, 1'000'000, "are cycles of pecks, grooves or threads"},
     {assignment, 75, 1'000'000, "set a variable"}}};

constexpr std::array<std::string_view, 4> flow_words = {"WHILE", "DO", "END", "GOTO"};
constexpr std::array<std::string_view, 15> other_words = {
    "IF", "THEN", "EQ", "NE", "GT", "GE", "LT", "LE", "OR", "AND", "XOR", "MOD", "SETVN", "POPEN", "PCLOS"};
constexpr std::array<std::string_view, 2> printing_words = {"DPRNT", "BPRNT"};

template <class Words>
bool holds(const Words& words, std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

bool is_digit(char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0;
}

/// One line, read roughly and once: it need not be right for each, but for most of a long text.
class Line {
public:
    explicit Line(std::string_view text) : text_(text) {}

    std::uint8_t sort() {
        skip_blanks();
        if (peek() == '%') return tape_mark;
        if (peek() == '/') ++at_;
        skip_blanks();
        if (peek() == '#') sort_ |= assignment;
        while (at_ < text_.size() && peek() != ';') read_item();
        if (depth_ != 0) sort_ |= unread;
        return sort_;
    }

private:
    char peek(std::size_t ahead = 0) const { return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0'; }
    void skip_blanks() {
        while (at_ < text_.size() && text::is_blank(text_[at_])) ++at_;
    }

    void read_item() {
        const char c = peek();
        if (text::is_letter(c)) return read_letters();
        ++at_;
        if (text::is_blank(c) || c == '\0') return;
        if (c == '(') {
            const std::size_t end = text_.find(')', at_);
            if (end == std::string_view::npos) sort_ |= unread;
            at_ = end == std::string_view::npos ? text_.size() : end + 1;
            return;
        }
        if (c == ':' && is_digit(peek())) sort_ |= program_number;
        if (c == '[') ++depth_, in_value_ = true;
        if (c == ']' && --depth_ < 0) sort_ |= unread;
        if (c == '=') in_value_ = true;
        if (c == '#') {
            skip_blanks();
            const bool named = is_digit(peek()) || text::is_letter(peek()) || peek() == '[' ||
                               peek() == '<' || peek() == '#';
            if (!named) sort_ |= unread;
            while (is_digit(peek())) ++at_;
            return;
        }
        const bool is_known = in_value_ || c == '[' || c == '=' || c == ',' || c == ':';
        if (!is_known) sort_ |= unread;
    }

    void read_letters() {
        const std::size_t begin = at_;
        while (text::is_letter(peek())) ++at_;
        std::string word(text_.substr(begin, at_ - begin));
        std::transform(word.begin(), word.end(), word.begin(),
                       [](unsigned char letter) { return static_cast<char>(std::toupper(letter)); });
        skip_blanks();
        if (word.size() > 1) {
            in_value_ = true; // A number behind it is its own
            if (holds(flow_words, word)) sort_ |= flow;
            // An operator, or a jump, with nothing behind it.
            if (peek() == ']' || (word == "GOTO" && at_ == text_.size())) sort_ |= unread;
            const bool is_known = holds(flow_words, word) || holds(other_words, word) ||
                                  holds(printing_words, word) || peek() == '[';
            if (!is_known) sort_ |= unread;
            return;
        }
        if (peek() == '#' || peek() == '[' || peek() == '=') return;
        if (peek() == '-' || peek() == '+') ++at_, skip_blanks();
        if (!is_digit(peek()) && peek() != '.') {
            sort_ |= unread;
            return;
        }
        int number = 0;
        for (int digits = 0; is_digit(peek()); ++at_)
            if (++digits <= 4) number = number * 10 + (peek() - '0');
        while (is_digit(peek()) || peek() == '.') ++at_;
        name(word.front(), number);
    }

    void name(char letter, int number) {
        if (letter == 'O') sort_ |= program_number;
        if (letter == 'T') sort_ |= tool_call;
        if (letter == 'G' && number >= 70 && number <= 73) sort_ |= contour_cycle;
        if (letter == 'G' && number >= 74 && number <= 76) sort_ |= other_cycle;
        if ((letter == 'G' && number >= 65 && number <= 67) ||
            (letter == 'M' && (number == 98 || number == 99 || number == 198)))
            sort_ |= flow;
    }

    std::string_view text_;
    std::size_t at_ = 0;
    int depth_ = 0;
    bool in_value_ = false; ///< Behind `=`, a bracket or a keyword, where numbers stand by themselves
    std::uint8_t sort_ = 0;
};

} // namespace

std::string why_lines_are_no_program(std::string_view text) {
    std::array<std::size_t, sorts.size()> count{};
    std::size_t lines = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.find_first_not_of(" \t") == std::string_view::npos) continue;
        ++lines;
        const std::uint8_t sort = Line(line).sort();
        for (std::size_t i = 0; i < sorts.size(); ++i) count[i] += (sort & sorts[i].bit) != 0;
    }
    const auto told = [&](std::size_t i) {
        return said("{} of its {} lines {}", count[i], lines, sorts[i].title);
    };
    for (std::size_t i = 0; i < sorts.size(); ++i)
        if (count[i] * 100 > lines * sorts[i].most_in_hundred) return told(i);
    for (std::size_t i = 0; i < sorts.size(); ++i)
        if (count[i] > sorts[i].most && count[i] * 200 > lines * sorts[i].most_in_hundred) return told(i);
    return {};
}

} // namespace turnwright::report
