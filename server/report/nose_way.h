// Inside the report room: the way of the nose's centre while compensation is on.
#pragma once

#include "report/walk.h"

#include <map>
#include <vector>

namespace turnwright::report {

/// Reads the blocks of a walk in order. Only for tools whose nose radius the shop file gives.
class NoseWay {
public:
    explicit NoseWay(const shop::Shop& shop) : shop_(shop) {}
    void read(const WalkedBlock& block, std::size_t step);
    void finish(); ///< Behind the last block
    /// By step; what joins two moves belongs to the first.
    std::map<std::size_t, std::vector<motion::Segment>> ways;

private:
    const shop::Shop& shop_;
    const shop::Tool* tool_ = nullptr;
    std::vector<motion::NoseMove> moves_;
    std::vector<std::size_t> steps_; ///< Of each move
    motion::Side before_ = motion::Side::off;
    std::optional<motion::Side> last_moved_; ///< In force at the last block that moved
};

} // namespace turnwright::report
