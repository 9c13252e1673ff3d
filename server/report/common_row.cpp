// The longest row that two rows have in common.
#include "report/compare.h"

#include <algorithm>

namespace turnwright::report {

namespace {

using Pair = std::pair<std::size_t, std::size_t>;

/// Greedy search for the shortest edit script (E. W. Myers, An O(ND) difference algorithm and its variations,
/// Algorithmica 1, 1986), with the furthest points of every step kept for the way back.
bool shortest_script(std::ptrdiff_t n, std::ptrdiff_t m,
                     const std::function<bool(std::size_t, std::size_t)>& same, std::size_t most_steps,
                     std::vector<Pair>& pairs) {
    std::vector<std::vector<std::ptrdiff_t>> furthest;
    const auto most =
        static_cast<std::ptrdiff_t>(std::min<std::size_t>(most_steps, static_cast<std::size_t>(n + m)));
    const auto start_of = [&](std::ptrdiff_t d, std::ptrdiff_t k) -> std::ptrdiff_t {
        if (d == 0) return 0;
        const auto& row = furthest[static_cast<std::size_t>(d - 1)];
        const auto at = [&](std::ptrdiff_t key) { return row[static_cast<std::size_t>(key + d - 1)]; };
        const bool down = k == -d || (k != d && at(k - 1) < at(k + 1));
        return down ? at(k + 1) : at(k - 1) + 1;
    };
    for (std::ptrdiff_t d = 0; d <= most; ++d) {
        std::vector<std::ptrdiff_t> row(static_cast<std::size_t>(2 * d + 1), -1);
        for (std::ptrdiff_t k = -d; k <= d; k += 2) {
            std::ptrdiff_t x = start_of(d, k), y = x - k;
            while (x < n && y < m && y >= 0 && same(static_cast<std::size_t>(x), static_cast<std::size_t>(y)))
                ++x, ++y;
            row[static_cast<std::size_t>(k + d)] = x;
            if (x < n || y < m) continue;
            furthest.push_back(std::move(row));
            for (std::ptrdiff_t step = d; step >= 0; --step) { // The way back, from the end to the start
                k = x - y;
                const std::ptrdiff_t from = start_of(step, k);
                for (; x > from; --x, --y) pairs.emplace_back(x - 1, y - 1);
                if (step == 0) break;
                const auto& before = furthest[static_cast<std::size_t>(step - 1)];
                const auto at = [&](std::ptrdiff_t key) {
                    return before[static_cast<std::size_t>(key + step - 1)];
                };
                const bool down = k == -step || (k != step && at(k - 1) < at(k + 1));
                x = down ? at(k + 1) : at(k - 1);
                y = x - (down ? k + 1 : k - 1);
            }
            std::reverse(pairs.begin(), pairs.end());
            return true;
        }
        furthest.push_back(std::move(row));
    }
    return false;
}

} // namespace

std::vector<std::pair<std::size_t, std::size_t>>
common_row(std::size_t old_size, std::size_t new_size,
           const std::function<bool(std::size_t, std::size_t)>& same, std::size_t most_steps) {
    std::size_t head = 0, tail = 0;
    while (head < old_size && head < new_size && same(head, head)) ++head;
    while (tail < old_size - head && tail < new_size - head && same(old_size - 1 - tail, new_size - 1 - tail))
        ++tail;
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < head; ++i) pairs.emplace_back(i, i);
    std::vector<Pair> middle;
    shortest_script(
        static_cast<std::ptrdiff_t>(old_size - head - tail),
        static_cast<std::ptrdiff_t>(new_size - head - tail),
        [&](std::size_t a, std::size_t b) { return same(a + head, b + head); }, most_steps, middle);
    for (const auto& [a, b] : middle) pairs.emplace_back(a + head, b + head);
    for (std::size_t i = tail; i-- > 0;) pairs.emplace_back(old_size - 1 - i, new_size - 1 - i);
    return pairs;
}

} // namespace turnwright::report
