// The plain text of a buffer and the slow, obvious way to answer each question about it.
#pragma once

#include "text/text.h"

#include <random>
#include <string>
#include <vector>

namespace model {

using turnwright::text::Buffer;
using turnwright::text::Encoding;
using turnwright::text::Position;
using turnwright::text::Range;
using turnwright::text::Splice;

struct Line {
    std::size_t begin = 0;
    std::size_t length = 0; ///< Without the line end.
};

inline std::vector<Line> lines_of(const std::string& text) {
    std::vector<Line> lines;
    std::size_t begin = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\n' && i > 0 && text[i - 1] == '\r') {
            begin = i + 1; // second half of the CR LF that ended the line
        } else if (text[i] == '\n' || text[i] == '\r') {
            lines.push_back({begin, i - begin});
            begin = i + 1;
        }
    }
    lines.push_back({begin, text.size() - begin});
    return lines;
}

inline std::size_t offset_of(const std::vector<Line>& lines, Position position) {
    if (position.line >= lines.size()) return lines.back().begin + lines.back().length;
    const Line& line = lines[position.line];
    return line.begin + (position.column < line.length ? position.column : line.length);
}

inline void replace(std::string& text, Range range, std::string_view with) {
    const auto lines = lines_of(text);
    std::size_t from = offset_of(lines, range.begin);
    std::size_t to = offset_of(lines, range.end);
    if (to < from) std::swap(from, to);
    text.replace(from, to - from, with);
}

/// Random text of many kinds; `kind` chooses how much of it is line ends.
class Writer {
public:
    explicit Writer(std::uint32_t seed) : random_(seed) {}

    std::size_t below(std::size_t limit) { return limit == 0 ? 0 : random_() % limit; }

    std::string text(std::size_t pieces) {
        static const std::vector<std::string> choices{"G1 X20. Z-5.25",
                                                      "(ROUGH)",
                                                      "\n",
                                                      "\n",
                                                      "\r\n",
                                                      "\r\n",
                                                      "\r",
                                                      "\xc3\xa4",
                                                      "\xe2\x82\xac",
                                                      "\xf0\x9f\x94\xa7",
                                                      "\xff",
                                                      "\xc3",
                                                      "\xe2\x82",
                                                      "\xed\xa0\x80",
                                                      "\xf4\x90\x80\x80",
                                                      "\xc0\xaf",
                                                      "x",
                                                      "",
                                                      "\t"};
        std::string made;
        for (std::size_t i = 0; i < pieces; ++i) {
            if (below(12) == 0)
                made += static_cast<char>(below(256)); // NUL too
            else
                made += choices[below(choices.size())];
        }
        return made;
    }

    Position position(const std::vector<Line>& lines) {
        const auto line = static_cast<std::uint32_t>(below(lines.size() + 2));
        if (below(4) == 0) return {line, 0};
        if (below(4) == 0) return {line, UINT32_MAX};
        const std::size_t length = line < lines.size() ? lines[line].length : 5;
        return {line, static_cast<std::uint32_t>(below(length + 2))};
    }

private:
    std::mt19937 random_;
};

} // namespace model
