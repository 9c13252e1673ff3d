// Whether a text is words of speech and not blocks: a letter, a page, a table, given by mistake.
#include "report/prose.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <string>

namespace turnwright::report {
namespace {

constexpr std::size_t judged_by = std::size_t{64} * 1024;
constexpr std::size_t shortest_word = 3;
// Words that stand in blocks.
constexpr std::array<std::string_view, 12> keywords = {"GOTO",  "THEN", "WHILE", "END",   "AND",   "XOR",
                                                       "SETVN", "MOD",  "POPEN", "PCLOS", "DPRNT", "BPRNT"};

bool is_letter(char c) {
    return std::isalpha(static_cast<unsigned char>(c)) || static_cast<unsigned char>(c) >= 0x80;
}

struct Line {
    std::size_t words = 0; ///< Of speech
    std::size_t codes = 0; ///< A letter and a number
};

/// What stands outside of notes and brackets.
Line read_line(std::string_view text) {
    Line line;
    int depth = 0;
    for (std::size_t at = 0; at < text.size();) {
        const char c = text[at];
        if (c == '(' || c == '[') ++depth;
        if ((c == ')' || c == ']') && depth > 0) --depth;
        if (depth > 0 || !is_letter(c)) {
            ++at;
            continue;
        }
        const std::size_t begin = at;
        while (at < text.size() && is_letter(text[at])) ++at;
        std::size_t next = at;
        while (next < text.size() && text[next] == ' ') ++next;
        const char follows = next < text.size() ? text[next] : ' ';
        std::string word(text.substr(begin, at - begin));
        std::transform(word.begin(), word.end(), word.begin(),
                       [](unsigned char letter) { return static_cast<char>(std::toupper(letter)); });
        const bool is_key =
            follows == '[' || std::find(keywords.begin(), keywords.end(), word) != keywords.end();
        if (word.size() == 1)
            line.codes += std::isdigit(static_cast<unsigned char>(follows)) ||
                          std::string_view("+-.#[").find(follows) != std::string_view::npos;
        else if (word.size() >= shortest_word && !is_key)
            ++line.words;
    }
    return line;
}

} // namespace

bool is_prose(std::string_view text) {
    text = text.substr(0, judged_by);
    std::size_t counted = 0, prose = 0, blocks = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
        const Line line = read_line(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.words + line.codes == 0) continue;
        ++counted;
        if (line.codes > 1 || line.words == 0)
            ++blocks;
        else if (line.words > 1 || line.codes == 0)
            ++prose;
    }
    return prose * 2 > counted && blocks * 4 < counted;
}

} // namespace turnwright::report
