#include "bench/one_tree.h"

#include <algorithm>
#include <chrono>
#include <stdexcept>

extern "C" const TSLanguage* tree_sitter_turning(void);

namespace bench {

using turnwright::text::Position;
using turnwright::text::Range;

OneTree::OneTree(const turnwright::text::Buffer& buffer) : buffer_(buffer), parser_(ts_parser_new()) {
    if (!ts_parser_set_language(parser_.get(), tree_sitter_turning()))
        throw std::runtime_error("the grammar does not fit the tree-sitter library");
    index();
    first_parse_ms_ = parse();
}

void OneTree::index() {
    leaf_bytes_.resize(buffer_.leaf_count());
    std::size_t byte = 0;
    for (std::size_t i = 0; i < leaf_bytes_.size(); ++i) {
        leaf_bytes_[i] = static_cast<std::uint32_t>(byte);
        byte += buffer_.leaf(i)->bytes.size();
    }
}

const char* OneTree::read(void* self, std::uint32_t byte, TSPoint, std::uint32_t* length) {
    const auto& tree = *static_cast<OneTree*>(self);
    *length = 0;
    if (byte >= tree.buffer_.byte_count()) return "";
    const auto after = std::upper_bound(tree.leaf_bytes_.begin(), tree.leaf_bytes_.end(), byte);
    const auto leaf = static_cast<std::size_t>(after - tree.leaf_bytes_.begin()) - 1;
    const std::string& bytes = tree.buffer_.leaf(leaf)->bytes;
    const std::size_t skip = byte - tree.leaf_bytes_[leaf];
    *length = static_cast<std::uint32_t>(bytes.size() - skip);
    return bytes.data() + skip;
}

double OneTree::parse() {
    const auto start = std::chrono::steady_clock::now();
    tree_.reset(ts_parser_parse(parser_.get(), tree_.get(), {this, read, TSInputEncodingUTF8}));
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    if (!tree_) throw std::runtime_error("tree-sitter gave no tree");
    return took.count();
}

std::uint32_t OneTree::byte_of(Position position) const {
    const std::size_t leaf = buffer_.leaf_of_line(position.line);
    const std::size_t line = position.line - buffer_.first_line_of_leaf(leaf);
    return leaf_bytes_[leaf] + buffer_.leaf(leaf)->line_starts[line] + position.column;
}

double OneTree::key_ms(Range range, std::string_view with) {
    TSInputEdit edit{};
    edit.start_byte = byte_of(range.begin);
    edit.old_end_byte = byte_of(range.end);
    edit.new_end_byte = edit.start_byte + static_cast<std::uint32_t>(with.size());
    edit.start_point = {range.begin.line, range.begin.column};
    edit.old_end_point = {range.end.line, range.end.column};
    const auto line_ends = static_cast<std::uint32_t>(std::count(with.begin(), with.end(), '\n'));
    const auto last = static_cast<std::uint32_t>(with.size() - (with.rfind('\n') + 1));
    edit.new_end_point = {range.begin.line + line_ends, line_ends > 0 ? last : range.begin.column + last};
    buffer_.replace(range, with);
    index();
    const auto start = std::chrono::steady_clock::now();
    ts_tree_edit(tree_.get(), &edit);
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    return took.count() + parse();
}

} // namespace bench
