// Work on the runs of a long program, on both cores.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <thread>

namespace turnwright::syntax {

/// Calls `work(i)` for each i below `count`. Up to `few` are done sooner than a thread starts. `work` must be
/// safe for two threads with different i; what it throws goes on to the caller.
template <class Work>
void on_both_cores(std::size_t count, std::size_t few, const Work& work) {
    constexpr std::size_t a_turn = 8;
    if (count <= few) {
        for (std::size_t i = 0; i < count; ++i) work(i);
        return;
    }
    std::atomic<std::size_t> next = 0;
    const auto turns = [&] {
        for (std::size_t begin = next.fetch_add(a_turn); begin < count; begin = next.fetch_add(a_turn))
            for (std::size_t i = begin; i < std::min(begin + a_turn, count); ++i) work(i);
    };
    std::exception_ptr failure;
    {
        std::jthread second([&] {
            try {
                turns();
            } catch (...) {
                failure = std::current_exception();
            }
        });
        turns();
    }
    if (failure) std::rethrow_exception(failure);
}

} // namespace turnwright::syntax
