// Notes that ask a calculator, while they are typed.
#include "calculate/calculate.h"
#include "features/block_writer.h"
#include "features/offers.h"
#include "features/speech.h"
#include "text/letters.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using calculate::Calculator;
using calculate::Measure;
using calculate::Place;

namespace {

constexpr std::size_t fewest_letters = 2; // One is the start of too many other words

std::size_t letters_in(std::string_view word) {
    std::size_t letters = 0;
    while (letters < word.size() && text::is_letter(word[letters])) ++letters;
    return letters;
}

const Place* place_of(const Calculator& calculator, std::string_view word) {
    for (const Place& place : calculator.places)
        if (!place.word.empty() && place.word == word) return &place;
    return nullptr;
}

/// The calculator's example with a field for each number; sizes for a program in inch.
std::string question_snippet(const Calculator& calculator, bool inch) {
    std::string out(calculator.name);
    int field = 0;
    const Place* last = nullptr;
    std::string_view rest = calculator.example;
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find(' '), rest.size());
        const std::string_view word = rest.substr(0, end);
        rest.remove_prefix(std::min(end + 1, rest.size()));
        std::string_view head = word.substr(0, letters_in(word));
        const Place* const own = place_of(calculator, head);
        if (own && head.size() == word.size()) {
            last = own;
            out += ' ' + std::string(word);
            continue;
        }
        const Place* const place = own ? own : last ? last : &calculator.places.front();
        if (!own) head = {};
        std::string number(word.substr(head.size()));
        const bool is_length = place->measure == Measure::length || place->measure == Measure::diameter ||
                               place->measure == Measure::position;
        double value = 0;
        const auto [at, bad] = std::from_chars(number.data(), number.data() + number.size(), value);
        if (inch && is_length && bad == std::errc{} && at == number.data() + number.size() && value != 0)
            number = plain(value / motion::mm_per_inch, 2);
        out += fmt::format(" {}${{{}:{}}}", head, ++field, number);
        last = nullptr;
    }
    return out;
}

CompletionItem question_item(const Calculator& calculator, bool inch, Range range, bool whole) {
    CompletionItem item;
    item.kind = CompletionKind::snippet;
    item.label = calculate::form_of(calculator);
    item.detail = std::string(calculator.title);
    item.filter = std::string(calculator.name);
    item.sort = "6" + item.filter;
    const std::string snippet = question_snippet(calculator, inch);
    item.edit = {range, whole ? '(' + snippet + ')' : snippet};
    item.is_snippet = true;
    item.plain = without_fields(item.edit.text);
    return item;
}

std::vector<const Calculator*> begun_by(std::string_view typed) {
    std::vector<const Calculator*> found;
    if (typed.size() < fewest_letters) return found;
    for (const Calculator* calculator : calculate::all())
        if (calculator->name.starts_with(in_capitals(std::string(typed)))) found.push_back(calculator);
    return found;
}

/// The column behind the parenthesis of the note that is open at a position.
std::optional<std::size_t> open_note(std::string_view before) {
    const std::size_t open = before.rfind('(');
    if (open == std::string_view::npos || before.find(')', open) != std::string_view::npos)
        return std::nullopt;
    return open + 1;
}

} // namespace

void add_questions(Offers& offers) {
    const Typing& typing = offers.typing;
    const std::size_t begin = std::min(typing.line.find_first_not_of(" \t"), typing.line.size());
    if (begin > typing.at.column ||
        typing.line.find_first_not_of(" \t", typing.at.column) != std::string_view::npos)
        return;
    const std::string_view typed = typing.line.substr(begin, typing.at.column - begin);
    for (const Calculator* calculator : begun_by(typed))
        offers.items.push_back(question_item(*calculator, writes_inch(typing),
                                             {{typing.at.line, static_cast<std::uint32_t>(begin)}, typing.at},
                                             true));
}

std::vector<CompletionItem> complete_note(const Document& document, Position at) {
    at = document.buffer().clamp(at);
    const std::string_view before = document.buffer().line(at.line).substr(0, at.column);
    const auto open = open_note(before);
    const std::optional<Typing> typing = typing_at(document, {at.line, 0});
    if (!open || !typing) return {};
    std::vector<CompletionItem> items;
    const std::string_view typed = before.substr(*open);
    const std::size_t blank = typed.find(' ');
    const bool closes = document.buffer().line(at.line).find(')', at.column) == std::string_view::npos;
    if (blank == std::string_view::npos) {
        for (const Calculator* calculator : begun_by(typed)) {
            items.push_back(question_item(*calculator, writes_inch(*typing),
                                          {{at.line, static_cast<std::uint32_t>(*open)}, at}, false));
            if (closes) items.back().edit.text += ')', items.back().plain += ')';
        }
        return items;
    }
    const Calculator* const calculator = calculate::find(typed.substr(0, blank));
    if (!calculator) return items;
    const std::size_t word = typed.rfind(' ') + 1;
    const std::string begun = in_capitals(std::string(typed.substr(word)));
    for (const Place& place : calculator->places) {
        if (place.word.empty() || !place.word.starts_with(begun)) continue;
        std::size_t given = 0;
        for (std::size_t from = blank; (from = typed.find(' ', from)) < word - 1; ++from) {
            const std::string_view rest = typed.substr(from + 1);
            given += in_capitals(std::string(rest.substr(0, letters_in(rest)))) == place.word;
        }
        if (given >= place.most) continue;
        CompletionItem item;
        item.kind = CompletionKind::word;
        item.label = std::string(place.word);
        item.detail = std::string(place.meaning);
        item.sort = fmt::format("{:05}", items.size());
        const auto column = static_cast<std::uint32_t>(*open + word);
        item.edit = {{{at.line, column}, at}, item.label};
        item.plain = item.label;
        items.push_back(std::move(item));
    }
    return items;
}

} // namespace turnwright::features
