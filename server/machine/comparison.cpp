#include "machine/comparison.h"

#include "machine/course.h"

namespace turnwright::machine {

Comparison::Comparison(const Settings& settings, const syntax::Run& before, const State& in_before,
                       const syntax::Run& now, const State& in_now)
    : settings_(settings), before_(before) {
    const std::size_t count = now.blocks.size();
    const SameLines same = &before == &now ? SameLines{count, 0} : same_lines(before, now);
    end_ = count;
    same_text_from_ = same.above == count ? 0 : count - same.below;
    if (in_before == in_now)
        first_ = same.above;
    else
        state_ = in_before;
}

void Comparison::come_to(std::size_t block, const State& state) {
    if (same_again_ || block < first_) return;
    if (block == first_) {
        if (first_ > 0) state_ = state;
        return;
    }
    if (before_.blocks[block - 1].item_count > 0) interpret(before_, block - 1, settings_, state_, reading_);
    if (block < same_text_from_ || !(state_ == state)) return;
    same_again_ = true;
    end_ = block;
}

} // namespace turnwright::machine
