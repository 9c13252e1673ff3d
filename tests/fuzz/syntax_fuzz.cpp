// Any bytes as a program, then edits of it: nothing crashes, plain reading equals the grammar's, and the
// forest equals a fresh parse after every edit.
//
// Input: edits of four bytes before a 0xFE, then the text.
#include "syntax/shown.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>

using namespace turnwright;
using namespace turnwright::syntax;

namespace {

void require_same(const Run& a, const Run& b, const char* what) {
    const std::string differs = test::difference(a, b);
    if (differs.empty()) return;
    std::fprintf(stderr, "%s: %s\n", what, differs.c_str());
    std::abort();
}

void check_run(const Run& run) {
    require_same(run, *parse_run_by_grammar(run.text), "plain and grammar");
    if (run.blocks.size() != run.text->line_count()) std::abort();
    std::size_t items = 0;
    for (const Block& block : run.blocks) {
        if (block.first_item != items) std::abort();
        items += block.item_count;
        std::uint32_t behind = block.begin;
        for (const Item& item : run.items_of(block)) {
            if (item.begin < behind || item.end() > block.begin + block.length || item.length == 0)
                std::abort();
            behind = item.end();
            if (holds_expression(item.kind) && item.expression >= run.expressions.size()) std::abort();
        }
    }
    if (items != run.items.size()) std::abort();
    for (std::size_t i = 0; i < run.expressions.size(); ++i) {
        const auto here = static_cast<std::int32_t>(i);
        if (run.expressions[i].left >= here || run.expressions[i].right >= here) std::abort();
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    const std::size_t mark = bytes.find('\xFE');
    const std::string_view edits =
        mark == std::string_view::npos ? std::string_view{} : bytes.substr(0, mark);
    text::Buffer buffer(mark == std::string_view::npos ? bytes : bytes.substr(mark + 1));
    Forest forest(buffer);
    for (const RunPointer& run : forest.runs()) check_run(*run);
    for (std::size_t i = 0; i + 4 <= edits.size() && i < 64; i += 4) {
        const auto at = [&](std::size_t k) { return static_cast<std::uint8_t>(edits[i + k]); };
        text::Position begin{static_cast<std::uint32_t>(at(0) % buffer.line_count()), at(1)};
        begin = buffer.clamp(begin);
        const text::Position end{begin.line + at(2) / 128U, begin.column + at(2) % 128U};
        forest.update(buffer, buffer.replace({begin, end}, std::string(1, edits[i + 3])));
        if (forest.size() != buffer.leaf_count()) std::abort();
        for (std::size_t k = 0; k < forest.size(); ++k) {
            require_same(*forest.run(k), *parse_run(buffer.leaf(k)), "edited and fresh");
            check_run(*forest.run(k));
        }
    }
    return 0;
}
