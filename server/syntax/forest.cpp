#include "syntax/syntax.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>

namespace turnwright::syntax {
namespace {

// Fewer leaves are read sooner than a thread starts.
constexpr std::size_t few_leaves = 4;
constexpr std::size_t leaves_a_turn = 8;

/// The runs of leaves [first, first + count), on both cores when they are many.
std::vector<RunPointer> parse_all(const text::Buffer& buffer, std::size_t first, std::size_t count) {
    std::vector<RunPointer> runs(count);
    if (count <= few_leaves) {
        for (std::size_t i = 0; i < count; ++i) runs[i] = parse_run(buffer.leaf(first + i));
        return runs;
    }
    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
        for (std::size_t begin = next.fetch_add(leaves_a_turn); begin < count;
             begin = next.fetch_add(leaves_a_turn)) {
            for (std::size_t i = begin; i < std::min(begin + leaves_a_turn, count); ++i)
                runs[i] = parse_run(buffer.leaf(first + i));
        }
    };
    std::exception_ptr failure;
    {
        std::jthread second([&] {
            try {
                work();
            } catch (...) {
                failure = std::current_exception();
            }
        });
        work();
    }
    if (failure) std::rethrow_exception(failure);
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
    std::vector<RunPointer> inserted = parse_all(buffer, splice.first, splice.inserted);
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
