#include "syntax/reader.h"

#include "syntax/expression.h"
#include "syntax/number.h"

#include <algorithm>
#include <limits>

namespace turnwright::syntax {
namespace {

constexpr std::size_t most_items = std::numeric_limits<std::uint16_t>::max();

char upper_letter(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}

class RunReader {
public:
    RunReader(const text::LeafPointer& leaf, std::string_view text)
        : run_(std::make_shared<Run>()), text_(text), starts_(leaf->line_starts),
          expressions_(text, run_->expressions) {
        run_->text = leaf;
        add_blocks(*leaf);
        run_->items.reserve(starts_.size() * 5);
    }

    RunPointer read(const TSTree& tree) {
        TSTreeCursor cursor = ts_tree_cursor_new(ts_tree_root_node(&tree));
        read_children(cursor);
        ts_tree_cursor_delete(&cursor);
        finish_block();
        while (++line_ < starts_.size()) run_->blocks[line_].first_item = item_count();
        run_->items.shrink_to_fit();
        run_->expressions.shrink_to_fit();
        return run_;
    }

private:
    void add_blocks(const text::Leaf& leaf) {
        run_->blocks.resize(starts_.size());
        for (std::size_t i = 0; i < starts_.size(); ++i) {
            run_->blocks[i].begin = starts_[i];
            run_->blocks[i].length = static_cast<std::uint32_t>(leaf.line(i).size());
        }
    }

    // Programs and sequences are containers for editors only; here all that matters is the line.
    void read_children(TSTreeCursor& cursor) {
        if (!ts_tree_cursor_goto_first_child(&cursor)) return;
        do {
            const TSNode node = ts_tree_cursor_current_node(&cursor);
            const Role role = role_of(node);
            if (role == Role::container) {
                read_children(cursor);
            } else {
                read_item(cursor, node, role);
            }
        } while (ts_tree_cursor_goto_next_sibling(&cursor));
        ts_tree_cursor_goto_parent(&cursor);
    }

    void read_item(TSTreeCursor& cursor, TSNode node, Role role) {
        const std::uint32_t begin = ts_node_start_byte(node);
        const std::uint32_t end = ts_node_end_byte(node);
        go_to_line_of(begin);
        if (item_count() - first_item_ >= most_items) {
            block().has_error = true;
            return;
        }
        switch (role) {
        case Role::word:
            add_word(ItemKind::word, begin, begin, end);
            break;
        case Role::computed_word:
            add_computed(ItemKind::computed_word, cursor, begin, begin, end);
            break;
        case Role::bare_letter:
            add_bare_letter(begin, begin, end);
            break;
        case Role::comma_word:
            read_comma_word(cursor, begin, end);
            break;
        case Role::note:
            add(ItemKind::note, begin, end), block().has_note = true;
            break;
        case Role::unclosed_note:
            add(ItemKind::unclosed_note, begin, end);
            block().has_note = block().has_error = true;
            break;
        case Role::tape_mark:
            add(ItemKind::tape_mark, begin, end), block().tape_mark = true;
            break;
        case Role::block_delete:
            add_block_delete(begin, end);
            break;
        case Role::end_of_block:
            read_end_of_block(cursor, begin);
            break;
        case Role::assignment:
            add_statement(ItemKind::assignment, cursor, role, begin, end);
            break;
        case Role::if_goto:
            add_statement(ItemKind::if_goto, cursor, role, begin, end);
            break;
        case Role::if_then:
            add_statement(ItemKind::if_then, cursor, role, begin, end);
            break;
        case Role::while_do:
            add_statement(ItemKind::while_do, cursor, role, begin, end);
            break;
        case Role::do_only:
            add_statement(ItemKind::do_only, cursor, role, begin, end);
            break;
        case Role::end_do:
            add_statement(ItemKind::end_do, cursor, role, begin, end);
            break;
        case Role::go_to:
            add_statement(ItemKind::go_to, cursor, role, begin, end);
            break;
        default:
            add_unknown(begin, end);
            break;
        }
    }

    Item& add(ItemKind kind, std::uint32_t begin, std::uint32_t end) {
        Item& item = run_->items.emplace_back();
        item.kind = kind;
        item.begin = begin;
        set_end(item, end);
        return item;
    }

    static void set_end(Item& item, std::uint32_t end) {
        item.length = static_cast<std::uint16_t>(std::min(end - item.begin, 65535U));
    }

    void set_number(Item& item, const Number& number) {
        item.value = number.value;
        item.has_point = number.has_point;
        item.has_sign = number.has_sign;
        item.is_negative = number.is_negative;
        item.digits = number.digits;
        item.decimals = number.decimals;
        item.odd_number = number.many_points || number.many_digits || number.no_digits;
        if (item.odd_number) block().has_error = true;
    }

    // `letter_at` is behind the comma of a comma word, else where the item begins.
    void add_word(ItemKind kind, std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end) {
        Item& item = add(kind, begin, end);
        item.letter = upper_letter(text_[letter_at]);
        set_number(item, read_number(text_.substr(letter_at + 1, end - letter_at - 1)));
    }

    void add_computed(ItemKind kind, TSTreeCursor& cursor, std::uint32_t begin, std::uint32_t letter_at,
                      std::uint32_t end) {
        const std::uint32_t root = expressions_.read_computed_word(cursor);
        Item& item = add(kind, begin, end);
        item.letter = upper_letter(text_[letter_at]);
        item.expression = root;
        after_expression();
    }

    void add_bare_letter(std::uint32_t begin, std::uint32_t letter_at, std::uint32_t end) {
        add(ItemKind::bare_letter, begin, end).letter = upper_letter(text_[letter_at]);
        block().has_error = true;
    }

    void add_statement(ItemKind kind, TSTreeCursor& cursor, Role role, std::uint32_t begin,
                       std::uint32_t end) {
        const std::uint32_t root = expressions_.read_statement(cursor, role);
        add(kind, begin, end).expression = root;
        after_expression();
    }

    void after_expression() {
        block().has_statement = true;
        if (expressions_.take_error()) block().has_error = true;
    }

    void add_block_delete(std::uint32_t begin, std::uint32_t end) {
        block().deleted = block().deleted || only_label_before();
        Item& item = add(ItemKind::block_delete, begin, end);
        if (end - begin == 1) {
            item.value = 1;
            return;
        }
        const Number number = read_number(text_.substr(begin + 1, end - begin - 1));
        set_number(item, number);
        if (number.has_point || number.digits != 1 || number.value < 1) {
            item.odd_number = true;
            block().has_error = true;
        }
    }

    bool only_label_before() const {
        return std::all_of(run_->items.begin() + first_item_, run_->items.end(), [](const Item& item) {
            return item.kind == ItemKind::note || (item.kind == ItemKind::word && item.letter == 'N');
        });
    }

    // Neighbours become one, so that a line of binary is one complaint.
    void add_unknown(std::uint32_t begin, std::uint32_t end) {
        block().has_error = true;
        if (item_count() > first_item_ && run_->items.back().kind == ItemKind::unknown) {
            set_end(run_->items.back(), end);
        } else {
            add(ItemKind::unknown, begin, end);
        }
    }

    void read_comma_word(TSTreeCursor& cursor, std::uint32_t begin, std::uint32_t end) {
        ts_tree_cursor_goto_first_child(&cursor);
        if (ts_tree_cursor_goto_next_sibling(&cursor)) {
            const TSNode word = ts_tree_cursor_current_node(&cursor);
            const std::uint32_t letter_at = ts_node_start_byte(word);
            switch (role_of(word)) {
            case Role::word:
                add_word(ItemKind::comma_word, begin, letter_at, end);
                break;
            case Role::computed_word:
                add_computed(ItemKind::comma_computed, cursor, begin, letter_at, end);
                break;
            default:
                add_bare_letter(begin, letter_at, end);
                break;
            }
        } else {
            add_unknown(begin, end);
        }
        ts_tree_cursor_goto_parent(&cursor);
    }

    void read_end_of_block(TSTreeCursor& cursor, std::uint32_t begin) {
        add(ItemKind::end_of_block, begin, begin + 1);
        ts_tree_cursor_goto_first_child(&cursor);
        if (ts_tree_cursor_goto_next_sibling(&cursor) && item_count() - first_item_ < most_items) {
            const TSNode rest = ts_tree_cursor_current_node(&cursor);
            add(ItemKind::after_end, ts_node_start_byte(rest), ts_node_end_byte(rest));
        }
        ts_tree_cursor_goto_parent(&cursor);
    }

    std::uint32_t item_count() const { return static_cast<std::uint32_t>(run_->items.size()); }
    Block& block() { return run_->blocks[line_]; }

    void finish_block() {
        block().first_item = first_item_;
        block().item_count = static_cast<std::uint16_t>(item_count() - first_item_);
    }

    void go_to_line_of(std::uint32_t offset) {
        while (line_ + 1 < starts_.size() && starts_[line_ + 1] <= offset) {
            finish_block();
            ++line_;
            first_item_ = item_count();
        }
    }

    std::shared_ptr<Run> run_;
    std::string_view text_; // prepared
    const std::vector<std::uint32_t>& starts_;
    ExpressionReader expressions_;
    std::size_t line_ = 0;
    std::uint32_t first_item_ = 0;
};

} // namespace

RunPointer read_run(const text::LeafPointer& leaf, std::string_view prepared, const TSTree& tree) {
    return RunReader(leaf, prepared).read(tree);
}

} // namespace turnwright::syntax
