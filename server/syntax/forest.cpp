#include "syntax/both_cores.h"
#include "syntax/syntax.h"

#include <unordered_map>

namespace turnwright::syntax {
namespace {

// Fewer leaves are read sooner than a thread starts.
constexpr std::size_t few_leaves = 4;

using RunOfLeaf = std::unordered_map<const text::Leaf*, RunPointer>;

/// The runs of leaves [first, first + count), on both cores when they are many; those in `known` are taken
/// from there.
std::vector<RunPointer> parse_all(const text::Buffer& buffer, std::size_t first, std::size_t count,
                                  const RunOfLeaf& known = {}) {
    std::vector<RunPointer> runs(count);
    std::vector<std::size_t> unknown;
    for (std::size_t i = 0; i < count; ++i) {
        const auto at = known.find(buffer.leaf(first + i).get());
        if (at == known.end())
            unknown.push_back(i);
        else
            runs[i] = at->second;
    }
    on_both_cores(unknown.size(), few_leaves,
                  [&](std::size_t i) { runs[unknown[i]] = parse_run(buffer.leaf(first + unknown[i])); });
    return runs;
}

} // namespace

Forest::Forest(const text::Buffer& buffer) : runs_(parse_all(buffer, 0, buffer.leaf_count())) {}

void Forest::update(const text::Buffer& buffer, const text::Splice& splice) {
    const auto at = [&](std::size_t index) { return runs_.begin() + static_cast<std::ptrdiff_t>(index); };
    if (splice.removed == 1 && splice.inserted == 1) {
        RunPointer& run = runs_[splice.first];
        run = trees_.parse(run->text, buffer.leaf(splice.first));
        return;
    }
    // Several edits at once come as one splice over all of them: what lies between is as it was.
    RunOfLeaf known;
    for (std::size_t i = 0; i < splice.removed; ++i) {
        const RunPointer& run = runs_[splice.first + i];
        known.emplace(run->text.get(), run);
    }
    std::vector<RunPointer> inserted = parse_all(buffer, splice.first, splice.inserted, known);
    const std::size_t kept = std::min(splice.removed, splice.inserted);
    std::move(inserted.begin(), inserted.begin() + static_cast<std::ptrdiff_t>(kept), at(splice.first));
    if (splice.removed > kept) {
        runs_.erase(at(splice.first + kept), at(splice.first + splice.removed));
    } else {
        runs_.insert(at(splice.first + kept), inserted.begin() + static_cast<std::ptrdiff_t>(kept),
                     inserted.end());
    }
}

} // namespace turnwright::syntax
