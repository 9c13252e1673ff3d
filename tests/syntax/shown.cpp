#include "shown.h"

#include <array>
#include <cstdio>

namespace turnwright::syntax::test {
namespace {

constexpr std::array operation_names{
    "number", "#",     "#name", "neg",     "pos",     "+",     "-",     "*",    "/",      "mod", "eq",
    "ne",     "gt",    "ge",    "lt",      "le",      "and",   "or",    "xor",  "sin",    "cos", "tan",
    "atan",   "atan2", "asin",  "acos",    "sqrt",    "abs",   "round", "fix",  "fup",    "ln",  "exp",
    "bin",    "bcd",   "=",     "if-goto", "if-then", "while", "end",   "goto", "invalid"};
static_assert(operation_names.size() == static_cast<std::size_t>(Operation::invalid) + 1);

std::string show_number(double value) {
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%.15g", value);
    return text.data();
}

bool same(const Item& a, const Item& b) {
    const bool same_value = holds_expression(a.kind)
                                ? a.expression == b.expression
                                : a.value == b.value && a.has_point == b.has_point &&
                                      a.has_sign == b.has_sign && a.is_negative == b.is_negative &&
                                      a.odd_number == b.odd_number && a.digits == b.digits &&
                                      a.decimals == b.decimals;
    return a.kind == b.kind && a.begin == b.begin && a.length == b.length && a.letter == b.letter &&
           same_value;
}

bool same(const Expression& a, const Expression& b) {
    return a.operation == b.operation && a.left == b.left && a.right == b.right && a.number == b.number &&
           a.begin == b.begin && a.length == b.length;
}

bool same(const Block& a, const Block& b) {
    return a.begin == b.begin && a.length == b.length && a.first_item == b.first_item &&
           a.item_count == b.item_count && a.deleted == b.deleted && a.has_statement == b.has_statement &&
           a.has_note == b.has_note && a.has_error == b.has_error && a.tape_mark == b.tape_mark;
}

template <typename Entry>
std::string compare(const char* what, const std::vector<Entry>& a, const std::vector<Entry>& b) {
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        if (!same(a[i], b[i])) return std::string(what) + " " + std::to_string(i) + " differs";
    }
    if (a.size() == b.size()) return {};
    return std::string(what) + " count " + std::to_string(a.size()) + " and " + std::to_string(b.size());
}

} // namespace

text::LeafPointer leaf_of(std::string_view bytes) {
    auto leaf = std::make_shared<text::Leaf>();
    leaf->bytes = bytes;
    leaf->line_starts = {0};
    for (std::uint32_t i = 0; i < bytes.size(); ++i) {
        const bool ends =
            bytes[i] == '\n' || (bytes[i] == '\r' && (i + 1 == bytes.size() || bytes[i + 1] != '\n'));
        if (ends) leaf->line_starts.push_back(i + 1);
    }
    return leaf;
}

RunPointer parse_text(std::string_view bytes) {
    return parse_run(leaf_of(bytes));
}

std::string show(const Run& run, std::int32_t index) {
    if (index < 0) return "none";
    const Expression& e = run.expressions.at(static_cast<std::size_t>(index));
    if (e.operation == Operation::number) return show_number(e.number);
    if (e.operation == Operation::named_variable) return run.text->bytes.substr(e.begin, e.length);
    std::string text = std::string("(") + operation_names.at(static_cast<std::size_t>(e.operation));
    if (e.operation == Operation::invalid) text += " " + run.text->bytes.substr(e.begin, e.length);
    if (e.left >= 0) text += " " + show(run, e.left);
    if (e.operation == Operation::while_do || e.operation == Operation::end_do)
        text += " " + show_number(e.number);
    if (e.right >= 0) text += " " + show(run, e.right);
    return text + ")";
}

std::string show(const Run& run, const Item& item) {
    const std::string text(run.text_of(item));
    const std::string odd = !holds_expression(item.kind) && item.odd_number ? "!" : "";
    switch (item.kind) {
    case ItemKind::word:
        return item.letter + show_number(item.value) + odd;
    case ItemKind::computed_word:
        return item.letter + show(run, static_cast<std::int32_t>(item.expression));
    case ItemKind::bare_letter:
        return std::string(1, item.letter) + "?";
    case ItemKind::note:
        return text;
    case ItemKind::unclosed_note:
        return text + "$";
    case ItemKind::tape_mark:
        return "%";
    case ItemKind::block_delete:
        return "/" + show_number(item.value) + odd;
    case ItemKind::end_of_block:
        return ";";
    case ItemKind::after_end:
        return ">" + text;
    case ItemKind::comma_word:
        return std::string(",") + item.letter + show_number(item.value) + odd;
    case ItemKind::comma_computed:
        return std::string(",") + item.letter + show(run, static_cast<std::int32_t>(item.expression));
    case ItemKind::unknown:
        return "<" + text + ">";
    default:
        return "{" + show(run, static_cast<std::int32_t>(item.expression)) + "}";
    }
}

std::string show(const Run& run, const Block& block) {
    std::string text;
    for (const Item& item : run.items_of(block)) text += (text.empty() ? "" : " ") + show(run, item);
    std::string marks;
    if (block.deleted) marks += 'D';
    if (block.has_statement) marks += 'S';
    if (block.has_note) marks += 'N';
    if (block.has_error) marks += 'E';
    if (block.tape_mark) marks += 'T';
    if (!marks.empty()) text += " :" + marks;
    return text;
}

std::string show(const Run& run) {
    std::string text;
    for (const Block& block : run.blocks) text += show(run, block) + "\n";
    return text;
}

std::string show_line(std::string_view line) {
    const RunPointer run = parse_text(line);
    return show(*run, run->blocks.at(0));
}

std::string difference(const Run& a, const Run& b) {
    if (a.text->bytes != b.text->bytes) return "text differs";
    if (std::string text = compare("block", a.blocks, b.blocks); !text.empty()) return text;
    if (std::string text = compare("item", a.items, b.items); !text.empty()) return text;
    return compare("expression", a.expressions, b.expressions);
}

} // namespace turnwright::syntax::test
