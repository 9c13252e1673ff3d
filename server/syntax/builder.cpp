#include "syntax/builder.h"

#include "syntax/number.h"
#include "text/letters.h"

#include <algorithm>

namespace turnwright::syntax {
namespace {

void set_end(Item& item, std::uint32_t end) {
    item.length = static_cast<std::uint16_t>(std::min(end - item.begin, 65535U));
}

} // namespace

Lender<RunBuilder::Scratch>::Loan RunBuilder::emptied_scratch() {
    static Lender<Scratch> lender;
    auto scratch = lender.lend();
    // What one huge leaf needed is not kept for ever.
    constexpr std::size_t worth_keeping = 100'000;
    if (scratch->items.capacity() + scratch->expressions.capacity() > worth_keeping) *scratch = {};
    scratch->items.clear();
    scratch->expressions.clear();
    return scratch;
}

RunBuilder::RunBuilder(const text::LeafPointer& leaf, std::string_view text)
    : leaf_(leaf), text_(text), scratch_(emptied_scratch()), blocks_(scratch_->blocks),
      items_(scratch_->items), expressions_(scratch_->expressions) {
    blocks_.assign(leaf->line_count(), Block{});
    start_block();
}

void RunBuilder::start_block() {
    block_first_ = items_.size();
    block_first_expression_ = expressions_.size();
    if (past_end()) return;
    block().begin = leaf_->line_starts[line_];
    block().length = static_cast<std::uint32_t>(leaf_->line(line_).size());
    block().first_item = static_cast<std::uint32_t>(block_first_);
}

void RunBuilder::next_line() {
    block().item_count = static_cast<std::uint16_t>(item_count());
    ++line_;
    start_block();
}

void RunBuilder::restart_line() {
    items_.resize(block_first_);
    expressions_.resize(block_first_expression_);
    block() = Block{};
    start_block();
}

void RunBuilder::cut_off(std::uint32_t begin) {
    if (item_count() > most_items_of_block) return; // It is
    append(ItemKind::unknown, begin, block().begin + block().length);
    block().has_error = true;
}

Item& RunBuilder::append(ItemKind kind, std::uint32_t begin, std::uint32_t end) {
    Item& item = items_.emplace_back();
    item.kind = kind;
    item.begin = begin;
    set_end(item, end);
    return item;
}

void RunBuilder::set_number(Item& item, std::string_view written) {
    const Number number = read_number(written);
    item.value = number.value;
    item.has_point = number.has_point;
    item.has_sign = number.has_sign;
    item.is_negative = number.is_negative;
    item.digits = number.digits;
    item.decimals = number.decimals;
    item.odd_number = number.many_points || number.many_digits || number.no_digits;
    if (item.odd_number) block().has_error = true;
}

void RunBuilder::add_word(ItemKind kind, std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end) {
    Item& item = append(kind, begin, end);
    item.letter = text::upper(text_[letter_at]);
    set_number(item, text_.substr(letter_at + 1, end - letter_at - 1));
}

void RunBuilder::add_bare_letter(std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end) {
    append(ItemKind::bare_letter, begin, end).letter = text::upper(text_[letter_at]);
    block().has_error = true;
}

void RunBuilder::add_computed(ItemKind kind, std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end,
                              std::uint32_t expression, bool invalid) {
    add_statement(kind, begin, end, expression, invalid);
    items_.back().letter = text::upper(text_[letter_at]);
}

void RunBuilder::add_statement(ItemKind kind, std::uint32_t begin, std::uint32_t end,
                               std::uint32_t expression, bool invalid) {
    append(kind, begin, end).expression = expression;
    block().has_statement = true;
    if (invalid) block().has_error = true;
}

void RunBuilder::add_note(ItemKind kind, std::uint32_t begin, std::uint32_t end) {
    append(kind, begin, end);
    block().has_note = true;
    if (kind == ItemKind::unclosed_note) block().has_error = true;
}

void RunBuilder::add_tape_mark(std::uint32_t at) {
    append(ItemKind::tape_mark, at, at + 1);
    block().tape_mark = true;
}

void RunBuilder::add_block_delete(std::uint32_t begin, std::uint32_t end) {
    if (only_label_before()) block().deleted = true;
    Item& item = append(ItemKind::block_delete, begin, end);
    if (end - begin == 1) {
        item.value = 1;
        return;
    }
    set_number(item, text_.substr(begin + 1, end - begin - 1));
    if (item.has_point || item.digits != 1 || item.value < 1) {
        item.odd_number = true;
        block().has_error = true;
    }
}

bool RunBuilder::only_label_before() const {
    return std::all_of(
        items_.begin() + static_cast<std::ptrdiff_t>(block_first_), items_.end(), [](const Item& item) {
            return item.kind == ItemKind::note || (item.kind == ItemKind::word && item.letter == 'N');
        });
}

// A line of binary is one complaint, not one a character.
void RunBuilder::add_unknown(std::uint32_t begin, std::uint32_t end) {
    block().has_error = true;
    if (item_count() > 0 && items_.back().kind == ItemKind::unknown) {
        set_end(items_.back(), end);
    } else {
        append(ItemKind::unknown, begin, end);
    }
}

RunPointer RunBuilder::finish() {
    while (!past_end()) next_line();
    auto run = std::make_shared<Run>();
    run->text = leaf_;
    run->blocks.assign(blocks_.begin(), blocks_.end());
    run->items.assign(items_.begin(), items_.end());
    run->expressions.assign(expressions_.begin(), expressions_.end());
    return run;
}

} // namespace turnwright::syntax
