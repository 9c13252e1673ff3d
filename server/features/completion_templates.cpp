// Whole sequences by their names, where nothing else stands on the line.
#include "features/offers.h"
#include "features/speech.h"
#include "features/templates.h"

#include <algorithm>
#include <cctype>

namespace turnwright::features {

using codes::Meaning;

namespace {

/// For comparing, letters of other languages too: the two bytes of small ones end in 0xA0 and above.
std::string all_capital(std::string text) {
    text = in_capitals(std::move(text));
    for (std::size_t i = 1; i < text.size(); ++i)
        if (text[i - 1] == '\xC3' && static_cast<unsigned char>(text[i]) >= 0xA0)
            text[i] = static_cast<char>(text[i] & ~0x20);
    return text;
}
bool is_begun(std::string_view name, const std::string& capitals) {
    return all_capital(std::string(name)).starts_with(capitals);
}
/// What an editor compares the typed text with: either name may be typed.
std::string filter_of(const TemplateName& name, const std::string& capitals) {
    if (name.own == name.english) return name.own;
    if (capitals.empty()) return name.own + ' ' + name.english;
    return is_begun(name.own, capitals) ? name.own : name.english;
}

bool is_empty(std::string_view text, std::size_t from = 0) {
    return text.find_first_not_of(" \t", from) == std::string::npos;
}

/// At the top, below an empty line or below the stop of the sequence above.
bool begins_sequence(const Typing& typing) {
    const std::uint32_t line = typing.at.line;
    if (line == 0 || is_empty(typing.document.buffer().line(line - 1))) return true;
    const auto above = block_at(typing.document, typing.document.place_of_line(line - 1));
    const auto is_stop = [](const machine::Word& word) {
        return word.code &&
               (word.code->meaning == Meaning::program_stop || word.code->meaning == Meaning::optional_stop);
    };
    return above && std::any_of(above->reading.words.begin(), above->reading.words.end(), is_stop);
}

void add(Offers& offers, const Template& made, std::uint32_t begin, std::string filter) {
    const Typing& typing = offers.typing;
    CompletionItem& item = offers.add(CompletionKind::snippet, made.name.own, made.detail, made.snippet);
    item.edit.range = {{typing.at.line, begin}, typing.at};
    item.is_snippet = true;
    item.plain = made.plain;
    item.filter = std::move(filter);
    // First where a new sequence may begin; a letter alone may become any word.
    const bool is_letter = typing.at.column == begin + 1;
    item.sort = (!is_letter && begins_sequence(typing) ? "!2" : "7") + item.sort;
}

} // namespace

bool add_templates(Offers& offers) {
    const Typing& typing = offers.typing;
    const auto begin =
        static_cast<std::uint32_t>(std::min(typing.line.find_first_not_of(" \t"), typing.line.size()));
    if (begin > typing.at.column || !is_empty(typing.line, typing.at.column)) return false;
    const std::size_t before = offers.items.size();
    const std::string typed(typing.line.substr(begin, typing.at.column - begin));
    for (const Template& made : thread_templates(typing, typed)) add(offers, made, begin, typed);
    const std::string capitals = all_capital(typed);
    const auto is_wanted = [&](const Template& made) {
        return is_begun(made.name.own, capitals) || is_begun(made.name.english, capitals);
    };
    if (const auto made = program_template(typing); made && is_wanted(*made))
        add(offers, *made, begin, filter_of(made->name, capitals));
    if (!std::all_of(typed.begin(), typed.end(), [](char c) {
            return c == ' ' || c == '-' || std::isalpha(static_cast<unsigned char>(c)) || (c & 0x80);
        }))
        return offers.items.size() > before;
    for (const Template& made : sequence_templates(typing))
        if (is_wanted(made)) add(offers, made, begin, filter_of(made.name, capitals));
    return offers.items.size() > before;
}

} // namespace turnwright::features
