// What unrolled cycles cost: a text of a few lines may call for more moves than a day's programs make.
// Counted for each thread, in moves made and pieces of contours looked at, so that the same text costs the
// same anywhere.
#pragma once

#include <cstddef>
#include <cstdint>

namespace turnwright::motion {

/// Of the calling thread, so far.
std::uint64_t cycle_work();
void add_cycle_work(std::size_t work);

/// That is done for a program of so many blocks: more than any takes that was written for a part. A common
/// cycle takes two hundred.
constexpr std::uint64_t most_cycle_work(std::size_t blocks) {
    return 120'000 + 20 * std::uint64_t{blocks};
}

/// For one report, on its thread: cycles beyond are left open (`machine::Why::cut_short`), which it tells.
class CycleBudget {
public:
    explicit CycleBudget(std::size_t blocks);
    ~CycleBudget();
    CycleBudget(const CycleBudget&) = delete;
    CycleBudget& operator=(const CycleBudget&) = delete;

private:
    std::uint64_t outer_;
};
bool cycle_budget_is_spent();

} // namespace turnwright::motion
