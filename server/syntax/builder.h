// Fills a run line by line, whoever reads the line.
#pragma once

#include "syntax/lender.h"
#include "syntax/limits.h"
#include "syntax/syntax.h"

namespace turnwright::syntax {

/// All offsets are of the leaf's text; `text` is its prepared copy.
class RunBuilder {
public:
    RunBuilder(const text::LeafPointer& leaf, std::string_view text);

    /// Leaves the line and goes on to the next one.
    void next_line();
    /// Forgets what the line holds so far.
    void restart_line();
    std::size_t line() const { return line_; }
    bool past_end() const { return line_ == blocks_.size(); }

    /// False when the block holds as many items as are read: then the rest of it is to be cut off.
    bool has_room() const { return item_count() < most_items_of_block; }
    /// The line from `begin` on as one unknown item.
    void cut_off(std::uint32_t begin);

    void add(ItemKind kind, std::uint32_t begin, std::uint32_t end) { append(kind, begin, end); }
    /// `letter_at` is behind the comma of a comma word, else where the item begins.
    void add_word(ItemKind kind, std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end);
    void add_bare_letter(std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end);
    void add_computed(ItemKind kind, std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end,
                      std::uint32_t expression, bool invalid);
    void add_statement(ItemKind kind, std::uint32_t begin, std::uint32_t end, std::uint32_t expression,
                       bool invalid);
    void add_note(ItemKind kind, std::uint32_t begin, std::uint32_t end);
    void add_tape_mark(std::uint32_t at);
    void add_block_delete(std::uint32_t begin, std::uint32_t end);
    /// Joins an unknown item before it.
    void add_unknown(std::uint32_t begin, std::uint32_t end);

    std::vector<Expression>& expressions() { return expressions_; }
    std::string_view text() const { return text_; }
    RunPointer finish();

private:
    Item& append(ItemKind kind, std::uint32_t begin, std::uint32_t end);
    void set_number(Item& item, std::string_view written);
    bool only_label_before() const;
    void start_block();
    Block& block() { return blocks_[line_]; }
    std::size_t item_count() const { return items_.size() - block_first_; }

    text::LeafPointer leaf_;
    std::string_view text_;
    struct Scratch {
        std::vector<Block> blocks;
        std::vector<Item> items;
        std::vector<Expression> expressions;
    };
    static Lender<Scratch>::Loan emptied_scratch();
    // Kept between runs; a run gets copies of the right size.
    Lender<Scratch>::Loan scratch_;
    std::vector<Block>& blocks_;
    std::vector<Item>& items_;
    std::vector<Expression>& expressions_;
    std::size_t line_ = 0;
    std::size_t block_first_ = 0, block_first_expression_ = 0;
};

} // namespace turnwright::syntax
