#include "motion/work.h"

#include <algorithm>
#include <limits>

namespace turnwright::motion {
namespace {

thread_local std::uint64_t work_done = 0;
thread_local std::uint64_t work_end = std::numeric_limits<std::uint64_t>::max();

} // namespace

std::uint64_t cycle_work() {
    return work_done;
}
void add_cycle_work(std::size_t work) {
    work_done += work;
}

CycleBudget::CycleBudget(std::size_t blocks) : outer_(work_end) {
    work_end =
        std::min(work_end, work_done + most_cycle_work(blocks)); // A report within a report has no more
}
CycleBudget::~CycleBudget() {
    work_end = outer_;
}

bool cycle_budget_is_spent() {
    return work_done >= work_end;
}

} // namespace turnwright::motion
