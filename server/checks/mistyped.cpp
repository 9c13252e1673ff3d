// Finds values with the letter O for a nought or a comma for a point, and notes with no parentheses.

#include "checks/mistyped.h"

#include <algorithm>

namespace turnwright::checks {

namespace {

using syntax::ItemKind;

bool is_all_of(std::string_view text, std::string_view characters) {
    return text.find_first_not_of(characters) == std::string_view::npos;
}

/// What may go on with a value that was begun: a letter O with or without digits, digits, a comma.
bool goes_on(const syntax::Run& run, const syntax::Item& item) {
    if (item.letter == 'O' && (item.kind == ItemKind::bare_letter || item.kind == ItemKind::word))
        return true;
    return item.kind == ItemKind::unknown && is_all_of(run.text_of(item), "0123456789.,");
}

/// Empty when the text is no value with O or a comma in it.
std::string meant_by(std::string text) {
    const bool odd = text.find_first_of("Oo,", 1) != std::string::npos;
    std::replace(text.begin() + 1, text.end(), 'O', '0');
    std::replace(text.begin() + 1, text.end(), 'o', '0');
    std::replace(text.begin() + 1, text.end(), ',', '.');
    const std::string value = text.substr(
        text.find_first_not_of("+-", 1) == std::string::npos ? text.size() : text.find_first_not_of("+-", 1));
    const bool number = !value.empty() && is_all_of(value, "0123456789.") &&
                        std::count(value.begin(), value.end(), '.') <= 1 && value != ".";
    return odd && number ? text : std::string();
}

/// Letters side by side that make a word: VALVE, BODY; not XOZO, where each O is a nought.
bool holds_word(std::span<const syntax::Item> items) {
    constexpr std::size_t shortest = 3;
    std::size_t count = 0;
    bool reads = false; // Some letter of it is neither an O nor has one for its value
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (items[i].kind != ItemKind::bare_letter) continue;
        if (i == 0 || items[i - 1].kind != ItemKind::bare_letter || items[i - 1].end() != items[i].begin) {
            count = 0;
            reads = false;
        }
        const bool before_o = i + 1 < items.size() && items[i + 1].kind == ItemKind::bare_letter &&
                              items[i + 1].letter == 'O' && items[i + 1].begin == items[i].end();
        reads = reads || (items[i].letter != 'O' && !before_o);
        if (++count >= shortest && reads) return true;
    }
    return false;
}

} // namespace

std::optional<LooseText> loose_text_in(const syntax::Run& run, const syntax::Block& block) {
    if (!block.has_error) return std::nullopt;
    const auto items = run.items_of(block);
    if (!holds_word(items)) return std::nullopt;
    const auto is_loose = [](const syntax::Item& item) {
        return item.kind == ItemKind::bare_letter || item.kind == ItemKind::unknown || item.odd_number;
    };
    const auto first = std::find_if(items.begin(), items.end(), is_loose);
    const auto last = std::find_if(items.rbegin(), items.rend(), is_loose);
    LooseText text{first->begin, last->end()};
    text.has_values =
        std::any_of(first, last.base(), [&](const syntax::Item& item) { return !is_loose(item); });
    return text;
}

std::vector<Mistyped> mistyped_in(const syntax::Run& run, const syntax::Block& block) {
    std::vector<Mistyped> found;
    if (loose_text_in(run, block)) return found;
    const auto items = run.items_of(block);
    for (std::size_t i = 0; i < items.size(); ++i) {
        const syntax::Item& first = items[i];
        const bool begins = (first.kind == ItemKind::bare_letter || first.kind == ItemKind::word) &&
                            first.letter != 'O' && first.letter != 'N';
        if (!begins) continue;
        std::size_t last = i;
        std::string text(run.text_of(first));
        while (last + 1 < items.size() && items[last + 1].begin == items[last].end() &&
               goes_on(run, items[last + 1]))
            text += run.text_of(items[++last]);
        if (last == i) continue;
        std::string meant = meant_by(text);
        if (meant.empty()) continue;
        found.push_back(
            {first.begin, items[last].end(), text.find(',') != std::string::npos, std::move(meant)});
        i = last;
    }
    return found;
}

bool is_mistyped(const syntax::Run& run, const syntax::Block& block, const syntax::Item& item) {
    const auto found = mistyped_in(run, block);
    return std::any_of(found.begin(), found.end(), [&](const Mistyped& value) { return value.covers(item); });
}

} // namespace turnwright::checks
