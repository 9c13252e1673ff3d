// Inside the checks room: a note as words, and sizes in them.
#pragma once

#include "text/letters.h"

#include <algorithm>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::checks {

using text::is_digit;

/// Digits and at most one point, all of the text.
std::optional<double> plain_number(std::string_view text);

struct NotedWords {
    std::vector<std::string> words; ///< Upper case; "," ends a thought
    std::string_view at(std::size_t i) const {
        return i < words.size() ? std::string_view(words[i]) : std::string_view();
    }
    std::size_t size() const { return words.size(); }
};
/// A comma between digits is a decimal point; letters with marks lose them (GRÜN: GRUN), the sign for a
/// diameter is D.
NotedWords noted_words(std::string_view note);

inline bool is_one_of(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}
inline bool begins_with_one_of(std::string_view word, std::initializer_list<std::string_view> fronts) {
    return std::any_of(fronts.begin(), fronts.end(),
                       [&](std::string_view front) { return word.starts_with(front); });
}

/// "8.5", ".201", "7/8", "1-1/4", "16MM", "2.5IN"; the whole word.
struct Size {
    double number = 0;
    enum class Unit : std::uint8_t { none, mm, inch } unit = Unit::none;
    std::optional<double> mm(std::optional<double> mm_per_unit) const;
};
std::optional<Size> size_in(std::string_view word, std::string_view next = {});

} // namespace turnwright::checks
