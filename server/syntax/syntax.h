// A program as blocks and words. Tree-sitter stays behind this header.
//
// Parsing never fails: any text gives blocks, and what cannot be read is an item of kind `unknown`. A block
// is one line; an error never reaches the next line. A run is one leaf of text parsed: block i is line i of
// it. All byte offsets are relative to the run, so an edit elsewhere moves nothing.
#pragma once

#include "text/text.h"

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::syntax {

enum class ItemKind : std::uint8_t {
    word,           ///< Letter and number: X-12.5
    computed_word,  ///< Letter and variable or expression: X#101, X-[#1+2.], X[..]
    bare_letter,    ///< A letter with no value after it
    note,           ///< ( ... ), closed
    unclosed_note,  ///< ( to the end of the line
    tape_mark,      ///< %
    block_delete,   ///< / or /1../9; `value` is the level, 1 when none is written
    end_of_block,   ///< ; (the rest of the line is `after_end`)
    after_end,      ///< Text behind ; on the same line, no part of the block
    assignment,     ///< #100=...            statement
    if_goto,        ///< IF[..]GOTO..        statement
    if_then,        ///< IF[..]THEN #..=..   statement
    while_do,       ///< WHILE[..]DO m       statement
    do_only,        ///< DO m                statement
    end_do,         ///< END m               statement
    go_to,          ///< GOTO n              statement
    comma_word,     ///< ,C1. ,R2. ,A30.: letter and value behind a comma (chamfer, corner, angle)
    comma_computed, ///< the same with an expression
    unknown,        ///< Anything else
};

/// Kinds whose `expression` is valid instead of `value`.
constexpr bool holds_expression(ItemKind kind) {
    return kind == ItemKind::computed_word || kind == ItemKind::comma_computed ||
           (kind >= ItemKind::assignment && kind <= ItemKind::go_to);
}

struct Item {
    union {
        double value = 0;         ///< word, comma_word, block_delete
        std::uint32_t expression; ///< index in Run::expressions, see holds_expression()
    };
    std::uint32_t begin = 0;  ///< Byte offset in the run.
    std::uint16_t length = 0; ///< Bytes; cut at 65535.
    char letter = 0;          ///< Upper case; 0 when the item has none.
    ItemKind kind = ItemKind::unknown;
    // Facts of a written number.
    bool has_point : 1 = false;
    bool has_sign : 1 = false;
    bool is_negative : 1 = false;
    bool odd_number : 1 = false; ///< Two points, more than 15 digits or another value no control would take
    std::uint8_t digits = 0;     ///< Digits written before the point: 4 in T0101
    std::uint8_t decimals = 0;   ///< Digits written behind the point
    std::uint32_t end() const { return begin + length; }
    bool is_word() const { return kind == ItemKind::word || kind == ItemKind::computed_word; }
};

enum class Operation : std::uint8_t {
    number,
    variable,       // #left (left is an expression: #1 is variable(number 1), #[#2+1] nests)
    named_variable, // #name or #<name>; begin/length give the text
    negate,
    plus,
    add,
    subtract,
    multiply,
    divide,
    modulo,
    equal,
    not_equal,
    greater,
    greater_equal,
    less,
    less_equal,
    logic_and,
    logic_or,
    logic_xor,
    sine,
    cosine,
    tangent,
    arc_tangent,
    arc_tangent_two,
    arc_sine,
    arc_cosine,
    square_root,
    absolute,
    round,
    fix,
    fix_up,
    natural_log,
    exponential,
    to_binary,
    to_bcd,
    // Statements
    assign,   // left = variable, right = value
    if_goto,  // left = condition, right = label
    if_then,  // left = condition, right = assign
    while_do, // left = condition (-1 for DO m), number = m
    end_do,   // number = m
    go_to,    // left = label
    invalid,  // could not be read; begin/length say where
};

struct Expression {
    Operation operation = Operation::invalid;
    std::int32_t left = -1; ///< Index in Run::expressions or -1.
    std::int32_t right = -1;
    double number = 0;
    std::uint32_t begin = 0; ///< Byte offset in the run.
    std::uint16_t length = 0;
};

/// No expression is nested deeper, so a reader may recurse; what lies deeper is `invalid`.
constexpr int max_expression_depth = 200;

struct Block {
    std::uint32_t begin = 0;  ///< Byte offset of the line in the run.
    std::uint32_t length = 0; ///< Bytes without the line end.
    std::uint32_t first_item = 0;
    std::uint16_t item_count = 0;
    bool deleted : 1 = false;       ///< Starts with / (block delete)
    bool has_statement : 1 = false; ///< Holds a macro statement or a computed word
    bool has_note : 1 = false;
    bool has_error : 1 = false; ///< unknown, bare_letter, unclosed_note, odd number or an invalid expression
    bool tape_mark : 1 = false;
};

struct Run {
    text::LeafPointer text;
    std::vector<Block> blocks; ///< One a line of the leaf.
    std::vector<Item> items;
    std::vector<Expression> expressions;

    std::span<const Item> items_of(const Block& block) const {
        return std::span(items).subspan(block.first_item, block.item_count);
    }
    std::string_view text_of(const Item& item) const {
        return std::string_view(text->bytes).substr(item.begin, item.length);
    }
    std::string_view text_of(const Block& block) const {
        return std::string_view(text->bytes).substr(block.begin, block.length);
    }
};
using RunPointer = std::shared_ptr<const Run>;

/// The note's text without its parentheses and outer blanks.
std::string_view note_text(std::string_view item_text);

/// A longer line that holds more than words and notes is not read: it is one `unknown` item. No control takes
/// such a block, and no text can so make the grammar need memory without bound.
constexpr std::size_t longest_block = 8192;

/// Parses one leaf from scratch. Thread-safe.
RunPointer parse_run(const text::LeafPointer& leaf);
/// The same by the grammar alone: slower by far, and what `parse_run` is tested against.
RunPointer parse_run_by_grammar(const text::LeafPointer& leaf);

/// The trees of the runs last edited, so that the next key press there re-parses a few nodes. Only a cache: a
/// copy starts empty, so copies may be used on different threads.
class RecentTrees {
public:
    RecentTrees();
    RecentTrees(const RecentTrees&);
    RecentTrees(RecentTrees&&) noexcept;
    RecentTrees& operator=(const RecentTrees&);
    RecentTrees& operator=(RecentTrees&&) noexcept;
    ~RecentTrees();

    /// Parses `leaf`; from the tree of `before`, the leaf that it replaces, when that is kept.
    RunPointer parse(const text::LeafPointer& before, const text::LeafPointer& leaf);

private:
    struct Entry;
    std::vector<Entry> entries_; ///< The one last used at the end.
};

/// The runs of a buffer, kept beside its leaves.
class Forest {
public:
    Forest() = default;
    /// Parses everything, on both cores when large.
    explicit Forest(const text::Buffer& buffer);
    /// Follows an edit: parses the leaves that `splice` inserted; the same result as from scratch.
    void update(const text::Buffer& buffer, const text::Splice& splice);

    std::size_t size() const { return runs_.size(); }
    const RunPointer& run(std::size_t index) const { return runs_[index]; }
    const std::vector<RunPointer>& runs() const { return runs_; }

private:
    std::vector<RunPointer> runs_;
    RecentTrees trees_;
};

} // namespace turnwright::syntax
