#include "syntax/leaf_reader.h"

#include "syntax/builder.h"
#include "syntax/expression.h"
#include "syntax/plain_line.h"

#include <algorithm>

namespace turnwright::syntax {
namespace {

std::uint32_t line_end(const text::Leaf& leaf, std::size_t line) {
    return leaf.line_starts[line] + static_cast<std::uint32_t>(leaf.line(line).size());
}

void read_here(RunBuilder& builder, const text::Leaf& leaf, std::size_t line, LineKind kind) {
    const std::uint32_t begin = leaf.line_starts[line];
    if (kind == LineKind::plain) read_plain_line(builder, begin, line_end(leaf, line));
    if (kind == LineKind::too_long) builder.add_unknown(begin, line_end(leaf, line));
}

class TreeReader {
public:
    TreeReader(const text::Leaf& leaf, RunBuilder& builder, const std::vector<LineKind>& lines)
        : leaf_(leaf), builder_(builder), lines_(lines), expressions_(builder.text(), builder.expressions()) {
    }

    void read(const TSTree& tree) {
        read_lines_here();
        TSTreeCursor cursor = ts_tree_cursor_new(ts_tree_root_node(&tree));
        read_children(cursor);
        ts_tree_cursor_delete(&cursor);
        while (!builder_.past_end()) next_line();
    }

private:
    void read_lines_here() {
        if (!builder_.past_end()) read_here(builder_, leaf_, builder_.line(), lines_[builder_.line()]);
    }

    void next_line() {
        builder_.next_line();
        read_lines_here();
    }

    void go_to_line_of(std::uint32_t offset) {
        while (builder_.line() + 1 < leaf_.line_count() && leaf_.line_starts[builder_.line() + 1] <= offset)
            next_line();
    }

    // Programs and sequences are for editors; here all that matters is the line.
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
        if (!builder_.has_room()) return builder_.cut_off(begin);
        switch (role) {
        case Role::word:
            builder_.add_word(ItemKind::word, begin, begin, end);
            break;
        case Role::computed_word:
            add_computed(ItemKind::computed_word, cursor, begin, begin, end);
            break;
        case Role::bare_letter:
            builder_.add_bare_letter(begin, begin, end);
            break;
        case Role::comma_word:
            read_comma_word(cursor, begin, end);
            break;
        case Role::note:
            builder_.add_note(ItemKind::note, begin, end);
            break;
        case Role::unclosed_note:
            builder_.add_note(ItemKind::unclosed_note, begin, end);
            break;
        case Role::tape_mark:
            builder_.add_tape_mark(begin);
            break;
        case Role::block_delete:
            builder_.add_block_delete(begin, end);
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
            builder_.add_unknown(begin, end);
            break;
        }
    }

    void add_computed(ItemKind kind, TSTreeCursor& cursor, std::uint32_t begin, std::uint32_t letter_at,
                      std::uint32_t end) {
        const std::uint32_t root = expressions_.read_computed_word(cursor);
        builder_.add_computed(kind, begin, letter_at, end, root, expressions_.take_error());
    }

    void add_statement(ItemKind kind, TSTreeCursor& cursor, Role role, std::uint32_t begin,
                       std::uint32_t end) {
        const std::uint32_t root = expressions_.read_statement(cursor, role);
        builder_.add_statement(kind, begin, end, root, expressions_.take_error());
    }

    void read_comma_word(TSTreeCursor& cursor, std::uint32_t begin, std::uint32_t end) {
        ts_tree_cursor_goto_first_child(&cursor);
        if (ts_tree_cursor_goto_next_sibling(&cursor)) {
            const TSNode word = ts_tree_cursor_current_node(&cursor);
            const std::uint32_t letter_at = ts_node_start_byte(word);
            switch (role_of(word)) {
            case Role::word:
                builder_.add_word(ItemKind::comma_word, begin, letter_at, end);
                break;
            case Role::computed_word:
                add_computed(ItemKind::comma_computed, cursor, begin, letter_at, end);
                break;
            default:
                builder_.add_bare_letter(begin, letter_at, end);
                break;
            }
        } else {
            builder_.add_unknown(begin, end);
        }
        ts_tree_cursor_goto_parent(&cursor);
    }

    void read_end_of_block(TSTreeCursor& cursor, std::uint32_t begin) {
        builder_.add(ItemKind::end_of_block, begin, begin + 1);
        ts_tree_cursor_goto_first_child(&cursor);
        if (ts_tree_cursor_goto_next_sibling(&cursor) && builder_.has_room()) {
            const TSNode rest = ts_tree_cursor_current_node(&cursor);
            builder_.add(ItemKind::after_end, ts_node_start_byte(rest), ts_node_end_byte(rest));
        }
        ts_tree_cursor_goto_parent(&cursor);
    }

    const text::Leaf& leaf_;
    RunBuilder& builder_;
    const std::vector<LineKind>& lines_;
    ExpressionReader expressions_;
};

} // namespace

LeafReader::LeafReader(const text::LeafPointer& leaf, ReadBy by)
    : leaf_(leaf), prepared_(prepare(leaf->bytes)) {
    lines_.assign(leaf->line_count(), LineKind::grammar);
    RunBuilder builder(leaf, prepared_);
    for (std::size_t i = 0; i < leaf->line_count(); ++i) {
        const bool too_long = leaf->line(i).size() > longest_block;
        if (by == ReadBy::quickest || too_long) {
            const bool plain = read_plain_line(builder, leaf->line_starts[i], line_end(*leaf, i));
            lines_[i] = plain ? LineKind::plain : too_long ? LineKind::too_long : LineKind::grammar;
            if (lines_[i] == LineKind::too_long) read_here(builder, *leaf, i, lines_[i]);
        }
        builder.next_line();
    }
    if (std::ranges::find(lines_, LineKind::grammar) == lines_.end()) {
        plain_run_ = builder.finish();
        return;
    }
    // Line ends go with their lines: each would be a token.
    left_.assign(prepared_.size(), ' ');
    for (std::size_t i = 0; i < leaf->line_count(); ++i) {
        if (lines_[i] != LineKind::grammar) continue;
        const std::uint32_t begin = leaf->line_starts[i];
        const std::size_t end = i + 1 < leaf->line_count() ? leaf->line_starts[i + 1] : prepared_.size();
        left_.replace(begin, end - begin, prepared_, begin, end - begin);
    }
}

RunPointer LeafReader::finish(const TSTree* tree) const {
    if (plain_run_ != nullptr) return plain_run_;
    RunBuilder builder(leaf_, prepared_);
    TreeReader(*leaf_, builder, lines_).read(*tree);
    return builder.finish();
}

} // namespace turnwright::syntax
