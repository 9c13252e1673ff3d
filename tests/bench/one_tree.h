// The yardstick of the other way: one tree-sitter tree over the whole file, edited and parsed again, and
// nothing else done with it.
#pragma once

#include "text/text.h"

#include <tree_sitter/api.h>

#include <memory>
#include <vector>

namespace bench {

class OneTree {
public:
    explicit OneTree(const turnwright::text::Buffer& buffer);

    double first_parse_ms() const { return first_parse_ms_; }
    bool has_error() const { return ts_node_has_error(ts_tree_root_node(tree_.get())); }
    /// Applies the edit to the own copy of the text (not timed), then edits the tree and parses (timed).
    double key_ms(turnwright::text::Range range, std::string_view with);

private:
    static const char* read(void* self, std::uint32_t byte, TSPoint, std::uint32_t* length);
    double parse();
    void index();
    std::uint32_t byte_of(turnwright::text::Position position) const;

    struct Delete {
        void operator()(TSParser* parser) const { ts_parser_delete(parser); }
        void operator()(TSTree* tree) const { ts_tree_delete(tree); }
    };
    turnwright::text::Buffer buffer_;
    std::vector<std::uint32_t> leaf_bytes_; ///< Where each leaf starts.
    std::unique_ptr<TSParser, Delete> parser_;
    std::unique_ptr<TSTree, Delete> tree_;
    double first_parse_ms_ = 0;
};

} // namespace bench
