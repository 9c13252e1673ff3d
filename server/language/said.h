// Texts for people in the language that was chosen for this process. A text is written in English where it is
// said; its English is what the catalogue of a language (languages/*.json) knows it by. What a catalogue
// lacks is said in English. Numbers are written alike in all languages, with the point that programs use.
#pragma once

#include "language/language.h"

#include <cstddef>
#include <fmt/format.h>
#include <string>
#include <string_view>
#include <utility>

namespace turnwright {

/// A text as it is said, not owned: it lives as long as the process or, where nobody translates it, as the
/// English.
class Said : public std::string_view {
public:
    constexpr Said(std::string_view text) : std::string_view(text) {}
    constexpr Said(const char* text) : std::string_view(text) {}
    operator std::string() const { return std::string(static_cast<std::string_view>(*this)); }
};

inline std::string operator+(std::string left, Said right) {
    return std::move(left.append(right));
}
inline std::string operator+(Said left, const std::string& right) {
    return std::string(left) + right;
}
inline std::string operator+(const char* left, Said right) {
    return std::string(left).append(right);
}
inline std::string operator+(Said left, const char* right) {
    return std::string(left) + right;
}
inline std::string operator+(Said left, char right) {
    return std::string(left) + right;
}
inline std::string operator+(Said left, Said right) {
    return std::string(left).append(right);
}

/// A text without places for values.
template <std::size_t length>
Said said(const char (&english)[length]) {
    return language::look_up({english, length - 1});
}
/// A text that is kept in English and looked up where it is shown.
inline Said translated(std::string_view english) {
    return language::look_up(english);
}
/// A text with places for values, as in fmt::format. A translation may number them ({1} before {0}).
template <class... Values>
std::string said(fmt::format_string<Values...> english, Values&&... values) {
    const fmt::string_view text = english;
    const std::string_view chosen = language::look_up({text.data(), text.size()});
    return fmt::vformat(fmt::string_view(chosen.data(), chosen.size()), fmt::make_format_args(values...));
}

} // namespace turnwright

template <>
struct fmt::formatter<turnwright::TableText> : fmt::formatter<std::string_view> {
    auto format(const turnwright::TableText& text, fmt::format_context& context) const {
        return fmt::formatter<std::string_view>::format(text, context);
    }
};
