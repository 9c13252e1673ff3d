// The language of texts for people, and texts of tables. Most who say something want said.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace turnwright {

namespace language {

/// Takes "de", "de-AT" or "de_DE.UTF-8". False, and English from here on: there is no catalogue of it. Called
/// before anything is said, for what was said before stays as it was.
bool choose(std::string_view name);
/// "en", "de".
std::string_view chosen();
/// "en" and those with a catalogue.
std::vector<std::string_view> known();
/// The text in the chosen language, for as long as the process lives; `english` itself where there is none.
std::string_view look_up(std::string_view english);
/// The text in each language, English first.
std::vector<std::string_view> each_way(std::string_view english);
/// A JSON object, from the English of the texts of the picture's page to the chosen language; "" in English.
const std::string& page_texts();
/// Why a translation cannot be used: its places for values are not those of the English. Empty: it can.
std::string why_not(std::string_view english, std::string_view translation);

} // namespace language

/// A text of a table, written in English: whoever reads it gets it in the chosen language.
class TableText {
public:
    constexpr TableText() = default;
    constexpr TableText(const char* english) : english_(english) {}
    constexpr TableText(std::string_view english) : english_(english) {}
    operator std::string_view() const { return language::look_up(english_); }
    operator std::string() const { return std::string(language::look_up(english_)); }
    constexpr std::string_view english() const { return english_; }
    constexpr bool empty() const { return english_.empty(); }

private:
    std::string_view english_;
};

} // namespace turnwright
