#include "features/word_edits.h"
#include "language/said.h"

#include "features/equal_moves.h"
#include "features/speech.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

std::string_view written_so_already() {
    return said("It is written so already.");
}

using codes::Meaning;
using machine::BlockView;
using syntax::Item;
using syntax::ItemKind;

void WordEdits::each(const std::function<void(const BlockView&)>& look) {
    each_in({0, 0}, document_.place_of_line(document_.buffer().line_count()), look);
}

void WordEdits::each_in(BlockPlace first, BlockPlace last,
                        const std::function<void(const BlockView&)>& look) {
    for (std::size_t run = first.run; run <= last.run && run < document_.forest().size() && !refused(); ++run)
        // Nothing is written anew by what is assumed.
        document_.analysis().visit(
            run,
            [&](const BlockView& view) {
                const BlockPlace place{run, view.block};
                if (refused() || place < first || last < place || view.text.item_count == 0) return;
                look(view);
            },
            machine::Assumed::left_out);
}

void WordEdits::refuse(const BlockView& view, std::string_view reason) {
    const std::size_t line = document_.line_of({view.run_index, view.block});
    if (!left_) return refuse(said("Line {}: {}", line + 1, reason));
    if (!left_->empty() && left_->back().line == line) return;
    while (!edits_.empty() && edits_.back().range.begin.line == line) edits_.pop_back();
    left_->push_back({line, std::string(reason)});
}
void WordEdits::refuse(std::string reason) {
    if (refused_.empty()) refused_ = std::move(reason);
}

Range WordEdits::range(const BlockView& view, std::uint32_t begin, std::uint32_t end) const {
    const auto line = static_cast<std::uint32_t>(document_.line_of({view.run_index, view.block}));
    return {{line, begin - view.text.begin}, {line, end - view.text.begin}};
}

void WordEdits::add(Range range, std::string text) {
    const bool is_left = left_ && !left_->empty() && left_->back().line == range.begin.line;
    if (!is_left) edits_.push_back({range, std::move(text)});
}

void WordEdits::word(const BlockView& view, const Item& item, std::string written) {
    if (written != view.run.text_of(item)) add(range(view, item.begin, item.end()), std::move(written));
}

void WordEdits::number(const BlockView& view, const Item& item, std::string written) {
    // A comma word keeps its comma and letter, any other its letter.
    const std::string_view text = view.run.text_of(item);
    const std::size_t start = text.find_first_of("+-.0123456789");
    if (start == std::string_view::npos) return refuse(view, said("a word without a number."));
    word(view, item, std::string(text.substr(0, start)) + std::move(written));
}

void WordEdits::computed(const BlockView& view, const Item& item, std::string_view by) {
    const std::string text(view.run.text_of(item));
    std::size_t rest = 1;
    while (rest < text.size() && (text[rest] == ' ' || text[rest] == '\t')) ++rest;
    // A sign binds closer than what is reckoned behind it.
    word(view, item, fmt::format("{}[{}{}]", text.substr(0, 1), text.substr(rest), by));
}

void WordEdits::remove(const BlockView& view, const Item& item) {
    const std::string_view bytes = view.run.text->bytes;
    std::uint32_t end = item.end();
    const std::uint32_t line_end = view.text.begin + view.text.length;
    while (end < line_end && (bytes[end] == ' ' || bytes[end] == '\t')) ++end;
    std::uint32_t begin = item.begin;
    // Right behind another one that goes: together, so that no blank goes twice.
    if (!edits_.empty() && edits_.back().text.empty() &&
        edits_.back().range.end == range(view, begin, begin).begin) {
        begin = view.text.begin + edits_.back().range.begin.column;
        edits_.pop_back();
    }
    if (end == line_end)
        while (begin > view.text.begin && (bytes[begin - 1] == ' ' || bytes[begin - 1] == '\t')) --begin;
    add(range(view, begin, end), "");
}

void WordEdits::insert(const BlockView& view, std::string written) {
    for (const Item& item : view.run.items_of(view.text)) {
        if (item.kind == ItemKind::block_delete || (item.letter == 'N' && item.is_word())) continue;
        add(range(view, item.begin, item.begin), std::move(written) + ' ');
        return;
    }
}

Rewrite WordEdits::finish(std::shared_ptr<const shop::Shop> shop) const {
    Rewrite rewrite;
    rewrite.refused = refused_;
    if (refused()) return rewrite;
    if (edits_.empty()) {
        rewrite.refused = written_so_already();
        return rewrite;
    }
    // Insertions stand in front of changes of the same word; the order of two insertions is kept.
    std::vector<TextEdit> edits = edits_;
    std::stable_sort(edits.begin(), edits.end(),
                     [](const TextEdit& a, const TextEdit& b) { return a.range < b.range; });
    if (left_) {
        rewrite.files.push_back({{}, std::move(edits)});
        return rewrite;
    }
    const Document after(edited(document_, edits), std::move(shop), document_.path());
    if (const auto line = first_difference(document_, after)) {
        rewrite.refused =
            said("Line {} would move differently afterwards, so nothing is changed.", *line + 1);
        return rewrite;
    }
    rewrite.files.push_back({{}, std::move(edits)});
    return rewrite;
}

double rounded(double number, int places) {
    const double scale = std::pow(10.0, places);
    return std::round(number * scale) / scale;
}

std::string with_point(double number, int places) {
    std::string text = fmt::format("{:.{}f}", number, places);
    while (text.back() == '0') text.pop_back();
    if (text == "-0." || text == "-.") text = "0.";
    return text;
}

/// Decimals of a written length in the block's unit.
int places_in(const BlockView& view) {
    return view.after.is(Meaning::inch) ? 4 : 3;
}

bool is_plain_move(machine::MotionKind kind) {
    using machine::MotionKind;
    return kind == MotionKind::rapid || kind == MotionKind::feed || kind == MotionKind::arc ||
           kind == MotionKind::thread;
}

namespace {

bool is_of_control(int number) {
    // Offsets and positions, in the unit and the reading of X in force (common practice, no source).
    return (number >= 2000 && number < 3000) || (number >= 5000 && number < 8000);
}

std::string why_not_reckoned(const syntax::Run& run, std::int32_t index) {
    if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return {};
    const syntax::Expression& node = run.expressions[static_cast<std::size_t>(index)];
    if (node.operation == syntax::Operation::named_variable)
        return said(
            "a macro computes with a variable that goes by a name, and what it holds cannot be told.");
    if (node.operation == syntax::Operation::variable) {
        const auto number = variable_number(run, index);
        if (!number)
            return said("a macro computes the number of a variable, and what it holds cannot be told.");
        if (is_of_control(*number))
            return said("a macro takes #{}, which the control itself holds.", *number);
        return {};
    }
    std::string why = why_not_reckoned(run, node.left);
    return why.empty() ? why_not_reckoned(run, node.right) : why;
}

} // namespace

std::string why_not_reckoned(const BlockView& view, std::string_view letters) {
    for (const Item& item : view.run.items_of(view.text)) {
        if (!syntax::holds_expression(item.kind)) continue;
        if (item.kind == ItemKind::comma_computed) return said("a macro computes a word behind a comma.");
        std::string why = why_not_reckoned(view.run, static_cast<std::int32_t>(item.expression));
        if (!why.empty()) return why;
    }
    return why_passed_over(view, letters);
}

std::string why_passed_over(const BlockView& view, std::string_view letters) {
    const auto& words = view.reading.words;
    for (const Item& item : view.run.items_of(view.text)) {
        const bool is_meant = letters.empty() || letters.find(item.letter) != letters.npos;
        if (item.kind != ItemKind::computed_word || !is_meant) continue;
        const bool is_read = std::any_of(words.begin(), words.end(),
                                         [&](const machine::Word& word) { return word.item == &item; });
        if (!is_read)
            return said("{} takes a variable that no block sets, and what it holds cannot be told.",
                        compact(view.run.text_of(item)));
    }
    return {};
}

bool calls_own_program(const Document& document, const BlockView& view) {
    const machine::Value& target = view.reading.flow_target;
    const auto& programs = document.outline().programs;
    return target.known() && std::any_of(programs.begin(), programs.end(), [&](const auto& program) {
               return program.number == target.number;
           });
}

std::string reckoned_text(std::size_t words, std::string_view by) {
    if (words == 0) return {};
    return said("Variables keep their numbers: {} {} {} {}.", words,
                words == 1 ? said("word reckons") : said("words reckon"),
                words == 1 ? said("on with its value") : said("on with their values"), by);
}

bool computes(const BlockView& view) {
    const auto items = view.run.items_of(view.text);
    return std::any_of(items.begin(), items.end(),
                       [](const Item& item) { return syntax::holds_expression(item.kind); });
}

} // namespace turnwright::features
