// The known word that somebody most likely meant.
#include "shop/keys.h"

#include <algorithm>
#include <vector>

namespace turnwright::shop {
namespace {
/// Letters put in, left out, changed or swapped with their neighbour.
std::size_t distance(std::string_view left, std::string_view right) {
    std::vector<std::vector<std::size_t>> cost(left.size() + 1, std::vector<std::size_t>(right.size() + 1));
    for (std::size_t i = 0; i <= left.size(); ++i) cost[i][0] = i;
    for (std::size_t j = 0; j <= right.size(); ++j) cost[0][j] = j;
    for (std::size_t i = 1; i <= left.size(); ++i) {
        for (std::size_t j = 1; j <= right.size(); ++j) {
            const std::size_t change = cost[i - 1][j - 1] + (left[i - 1] != right[j - 1]);
            cost[i][j] = std::min({cost[i - 1][j] + 1, cost[i][j - 1] + 1, change});
            const bool swapped = i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1];
            if (swapped) cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
        }
    }
    return cost[left.size()][right.size()];
}
} // namespace

std::string_view nearest(std::string_view written, std::span<const std::string_view> known) {
    constexpr std::size_t longest = 40; // no known word is longer, and a person mistypes a few letters only
    if (written.size() > longest) return {};
    std::string_view best;
    // Of a short word most letters are the same: "foo" is no "lot".
    const std::size_t most = std::max<std::size_t>(2, written.size() / 3);
    std::size_t best_distance = std::min(most, written.size() > 2 ? (written.size() - 1) / 2 : 1) + 1;
    for (std::string_view word : known) {
        const std::size_t here = distance(written, word);
        if (here >= best_distance) continue;
        best = word;
        best_distance = here;
    }
    return best;
}

} // namespace turnwright::shop
