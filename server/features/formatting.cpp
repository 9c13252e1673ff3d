#include "features/formatting.h"

#include "features/block_at.h"
#include "text/letters.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace turnwright::features {

using syntax::Item;
using syntax::ItemKind;

namespace {

using text::is_blank;
using text::lower;
using text::upper;

bool is_note(ItemKind kind) {
    return kind == ItemKind::note || kind == ItemKind::unclosed_note;
}
bool is_plain_word(const Item& item) {
    return item.kind == ItemKind::word;
}
/// Words that keep their meaning when blanks around them come or go.
bool is_word_like(const Item& item) {
    return item.kind == ItemKind::word || item.kind == ItemKind::computed_word;
}

/// A word's letter, what stands between letter and number, and the number.
struct Parts {
    char letter;
    std::string number;
};
Parts parts_of(std::string_view text) {
    Parts parts{text.empty() ? '\0' : text[0], {}};
    for (char c : text.substr(std::min<std::size_t>(1, text.size())))
        if (!is_blank(c)) parts.number += c;
    return parts;
}

void set_leading_zero(const Item& item, bool wanted, std::string& number) {
    if ((item.letter != 'G' && item.letter != 'M') || item.has_sign) return;
    const std::size_t point = std::min(number.find('.'), number.size());
    if (wanted && point == 1) number.insert(0, "0");
    if (!wanted)
        while (number.size() > 1 && number[0] == '0' && number[1] >= '0' && number[1] <= '9')
            number.erase(0, 1);
}

void set_trailing_zeros(const Item& item, bool wanted, std::size_t places, std::string& number) {
    if (!item.has_point || item.letter == 'G' || item.letter == 'M') return;
    const std::size_t point = number.find('.');
    if (point == std::string::npos) return;
    if (wanted) {
        while (places && number.size() - point - 1 < places) number += '0';
        return;
    }
    // "1.500" -> "1.5", "40.00" -> "40."; a point without any digit would be no number.
    while (number.back() == '0' && number.find_first_of("0123456789") < number.size() - 1) number.pop_back();
}

/// Order in which a block is written; letters not listed stand with the coordinates' helpers.
int rank_of(const Item& item) {
    switch (item.letter) {
    case 'O':
    case 'N':
        return 0;
    case 'G':
        return 1;
    case 'X':
        return 2;
    case 'U':
        return 3;
    case 'Z':
        return 4;
    case 'W':
        return 5;
    case 'Y':
    case 'V':
        return 6;
    case 'C':
    case 'H':
        return 7;
    case 'F':
        return 9;
    case 'S':
        return 10;
    case 'T':
        return 11;
    case 'M':
        return 12;
    default:
        return 8;
    }
}

/// Words are put in order only where their order says nothing.
bool may_be_ordered(std::span<const Item> items) {
    std::array<int, 128> seen{};
    for (const Item& item : items) {
        if (!is_word_like(item) && item.kind != ItemKind::block_delete && !is_note(item.kind) &&
            item.kind != ItemKind::end_of_block && item.kind != ItemKind::after_end)
            return false;
        if (!is_word_like(item)) continue;
        if (item.letter == 'G' && item.kind == ItemKind::word &&
            (item.value == 65 || item.value == 66 || item.value == 10))
            return false; // the order of a call's arguments can count
        if (item.letter != 'G' && item.letter != 'M' &&
            ++seen[static_cast<unsigned char>(item.letter) & 127] > 1)
            return false;
    }
    // Notes may only stand behind the words.
    bool note = false;
    for (const Item& item : items) {
        if (is_note(item.kind)) note = true;
        if (note && is_word_like(item)) return false;
    }
    return true;
}

class LineFormatter {
public:
    LineFormatter(const syntax::Run& run, const syntax::Block& block, const shop::Format& rules,
                  std::size_t places)
        : run_(run), block_(block), rules_(rules), places_(places) {}

    std::string write() {
        std::string line(run_.text_of(block_));
        if (!block_.has_error && block_.item_count > 0) line = rewrite();
        while (!line.empty() && is_blank(line.back())) line.pop_back();
        return line;
    }

private:
    std::string rewrite() {
        const std::span<const Item> items = run_.items_of(block_);
        std::vector<const Item*> order;
        for (const Item& item : items) order.push_back(&item);
        bool moved = false;
        if (rules_.order_words.value_or(false) && may_be_ordered(items)) {
            const auto is_word = [](const Item* item) { return is_word_like(*item); };
            const auto first = std::find_if(order.begin(), order.end(), is_word);
            const auto last = std::find_if_not(first, order.end(), is_word);
            std::stable_sort(first, last,
                             [](const Item* a, const Item* b) { return rank_of(*a) < rank_of(*b); });
            moved = !std::is_sorted(first, last,
                                    [](const Item* a, const Item* b) { return a->begin < b->begin; });
        }
        std::string line = moved ? std::string{} : std::string(gap(block_.begin, order.front()->begin));
        for (std::size_t i = 0; i < order.size(); ++i) {
            if (i > 0) line += between(*order[i - 1], *order[i], moved);
            line += written(*order[i]);
        }
        if (!moved) line += gap(order.back()->end(), block_.begin + block_.length);
        return line;
    }

    std::string_view gap(std::uint32_t from, std::uint32_t to) const {
        return from < to ? std::string_view(run_.text->bytes).substr(from, to - from) : std::string_view{};
    }

    std::string between(const Item& left, const Item& right, bool moved) const {
        const bool words = is_word_like(left) && is_word_like(right);
        if (words && rules_.blanks_between_words) return *rules_.blanks_between_words ? " " : "";
        if (rules_.blanks_between_words.value_or(false) && is_note(right.kind)) return " ";
        if (moved)
            return words &&
                           gap(block_.begin, block_.begin + block_.length).find(' ') == std::string_view::npos
                       ? ""
                       : " ";
        return std::string(gap(left.end(), right.begin));
    }

    std::string written(const Item& item) const {
        const std::string_view text = run_.text_of(item);
        if (is_note(item.kind) || item.kind == ItemKind::after_end || item.kind == ItemKind::unknown)
            return std::string(text);
        if (!is_plain_word(item)) return in_case(std::string(text));
        Parts parts = parts_of(text);
        if (rules_.leading_zeros) set_leading_zero(item, *rules_.leading_zeros, parts.number);
        if (rules_.trailing_zeros) set_trailing_zeros(item, *rules_.trailing_zeros, places_, parts.number);
        const bool as_written = parts.number == parts_of(text).number;
        // Blanks between letter and number go only where the blanks are ours to set.
        if (as_written && !rules_.blanks_between_words) return in_case(std::string(text));
        return in_case(std::string(1, parts.letter) + parts.number);
    }

    std::string in_case(std::string text) const {
        if (!rules_.upper_case) return text;
        for (char& c : text) c = *rules_.upper_case ? upper(c) : lower(c);
        return text;
    }

    const syntax::Run& run_;
    const syntax::Block& block_;
    const shop::Format& rules_;
    std::size_t places_;
};

/// Decimals that fill up a number: 3 in millimetres, 4 in inch; 0 where the unit is not known.
std::size_t decimals_in(const machine::State& state) {
    if (state.is(codes::Meaning::millimetre)) return 3;
    return state.is(codes::Meaning::inch) ? 4 : 0;
}

void format_run(const Document& document, std::size_t index, std::size_t first_line, std::size_t last_line,
                std::vector<TextEdit>& edits) {
    const syntax::Run& run = document.run(index);
    const shop::Format& rules = document.shop().format;
    std::vector<std::size_t> places(run.blocks.size(), 0);
    if (rules.trailing_zeros.value_or(false))
        document.analysis().visit(
            index, [&](const machine::BlockView& view) { places[view.block] = decimals_in(view.after); });
    const std::size_t run_line = document.buffer().first_line_of_leaf(index);
    for (std::size_t i = 0; i < run.blocks.size(); ++i) {
        if (run_line + i < first_line || run_line + i > last_line) continue;
        std::string line = LineFormatter(run, run.blocks[i], rules, places[i]).write();
        if (line != run.text_of(run.blocks[i]))
            edits.push_back({document.range_of({index, i}), std::move(line)});
    }
}

} // namespace

std::vector<TextEdit> format(const Document& document, Range range) {
    std::vector<TextEdit> edits;
    range = {document.buffer().clamp(range.begin), document.buffer().clamp(range.end)};
    const std::size_t last = document.place_of_line(range.end.line).run;
    // A range that ends at the start of a line does not touch it.
    const bool touches_last = range.end.column > 0 || range.end.line == range.begin.line;
    const std::size_t last_line = touches_last ? range.end.line : range.end.line - 1;
    for (std::size_t run = document.place_of_line(range.begin.line).run; run <= last; ++run)
        format_run(document, run, range.begin.line, last_line, edits);
    return edits;
}

std::vector<TextEdit> format(const Document& document) {
    std::vector<TextEdit> edits;
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        format_run(document, run, 0, document.buffer().line_count(), edits);
    return edits;
}

std::vector<TextEdit> format_on_type(const Document& document, Position at, std::string_view typed) {
    std::vector<TextEdit> edits;
    const bool line_end =
        typed.find('\n') != std::string_view::npos || typed.find('\r') != std::string_view::npos;
    if (!line_end || at.line == 0) return edits;
    const std::uint32_t line = document.buffer().clamp(at).line;
    if (line > 0) format_run(document, document.place_of_line(line - 1).run, line - 1, line - 1, edits);
    return edits;
}

} // namespace turnwright::features
