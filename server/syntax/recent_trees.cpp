#include "syntax/language.h"
#include "syntax/leaf_reader.h"
#include "syntax/syntax.h"

#include <algorithm>

namespace turnwright::syntax {
namespace {

constexpr std::size_t trees_kept = 16;
constexpr std::size_t longest_kept = 65'536; // bytes; a tree takes some hundred times as much

struct Edit {
    std::size_t begin;
    std::size_t old_end;
    std::size_t new_end;
};

// What lies between the parts that are alike at the front and at the back.
Edit find_edit(std::string_view before, std::string_view after) {
    const std::size_t shorter = std::min(before.size(), after.size());
    const auto front = static_cast<std::size_t>(
        std::mismatch(before.begin(), before.begin() + static_cast<std::ptrdiff_t>(shorter), after.begin())
            .first -
        before.begin());
    std::size_t back = 0;
    while (back < shorter - front && before[before.size() - 1 - back] == after[after.size() - 1 - back])
        ++back;
    return {front, before.size() - back, after.size() - back};
}

TSPoint point_at(std::string_view text, std::size_t offset) {
    const std::string_view before = text.substr(0, offset);
    const auto rows = std::count(before.begin(), before.end(), '\n');
    const std::size_t last = before.rfind('\n');
    const std::size_t line = last == std::string_view::npos ? 0 : last + 1;
    return {static_cast<std::uint32_t>(rows), static_cast<std::uint32_t>(offset - line)};
}

void tell_edit(TSTree& tree, std::string_view before, std::string_view after) {
    const Edit edit = find_edit(before, after);
    const TSInputEdit told{
        static_cast<std::uint32_t>(edit.begin),   static_cast<std::uint32_t>(edit.old_end),
        static_cast<std::uint32_t>(edit.new_end), point_at(before, edit.begin),
        point_at(before, edit.old_end),           point_at(after, edit.new_end),
    };
    ts_tree_edit(&tree, &told);
}

} // namespace

struct RecentTrees::Entry {
    text::LeafPointer leaf;
    std::string parsed;
    TreePointer tree;
};

RecentTrees::RecentTrees() = default;
RecentTrees::RecentTrees(const RecentTrees&) {}
RecentTrees::RecentTrees(RecentTrees&&) noexcept = default;
RecentTrees& RecentTrees::operator=(const RecentTrees& other) {
    if (this != &other) entries_.clear();
    return *this;
}
RecentTrees& RecentTrees::operator=(RecentTrees&&) noexcept = default;
RecentTrees::~RecentTrees() = default;

RunPointer RecentTrees::parse(const text::LeafPointer& before, const text::LeafPointer& leaf) {
    const LeafReader reader(leaf);
    const auto kept = std::ranges::find(entries_, before, &Entry::leaf);
    if (!reader.needs_grammar()) {
        if (kept != entries_.end()) entries_.erase(kept);
        return reader.finish(nullptr);
    }
    const std::string& text = reader.left_to_grammar();
    TreePointer tree;
    if (kept != entries_.end()) {
        tell_edit(*kept->tree, kept->parsed, text);
        tree = syntax::parse(text, kept->tree.get());
        entries_.erase(kept);
    } else {
        tree = syntax::parse(text, nullptr);
    }
    RunPointer run = reader.finish(tree.get());
    if (text.size() > longest_kept) return run;
    if (entries_.size() == trees_kept) entries_.erase(entries_.begin());
    entries_.push_back({leaf, text, std::move(tree)});
    return run;
}

} // namespace turnwright::syntax
