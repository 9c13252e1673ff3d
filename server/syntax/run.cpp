#include "syntax/leaf_reader.h"
#include "syntax/syntax.h"

namespace turnwright::syntax {
namespace {

RunPointer parse_anew(const text::LeafPointer& leaf, ReadBy by) {
    const LeafReader reader(leaf, by);
    if (!reader.needs_grammar()) return reader.finish(nullptr);
    return reader.finish(parse(reader.left_to_grammar(), nullptr).get());
}

} // namespace

std::string_view note_text(std::string_view item_text) {
    constexpr std::string_view blanks{" \t\v\f\0\x7f", 6};
    if (item_text.starts_with('(')) item_text.remove_prefix(1);
    if (item_text.ends_with(')')) item_text.remove_suffix(1);
    const std::size_t first = item_text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return item_text.substr(first, item_text.find_last_not_of(blanks) - first + 1);
}

RunPointer parse_run(const text::LeafPointer& leaf) {
    return parse_anew(leaf, ReadBy::quickest);
}

RunPointer parse_run_by_grammar(const text::LeafPointer& leaf) {
    return parse_anew(leaf, ReadBy::grammar);
}

} // namespace turnwright::syntax
