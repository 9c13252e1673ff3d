#include "machine/comparison.h"

namespace turnwright::machine {

Comparison::Comparison(const Settings& settings, const syntax::Run& before, const State& in_before,
                       const syntax::Run& now, const State& in_now)
    : settings_(settings), before_(before) {
    const std::size_t count = now.blocks.size();
    const auto same_text = [&](std::size_t block) {
        return before.text_of(before.blocks[block]) == now.text_of(now.blocks[block]);
    };
    end_ = same_text_from_ = count;
    if (&before == &now) {
        same_text_from_ = 0;
    } else {
        while (same_text_from_ > 0 && same_text(same_text_from_ - 1)) --same_text_from_;
    }
    if (in_before == in_now)
        while (first_ < same_text_from_ && same_text(first_)) ++first_;
    else
        state_ = in_before;
    constexpr std::size_t above = Analysis::Changed::blocks_above;
    passed_block_ = first_ > above ? first_ - above : 0;
}

void Comparison::come_to(std::size_t block, const State& state) {
    if (block == passed_block_) passed_ = state;
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
