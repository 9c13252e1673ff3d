// Compensation over the blocks of a program: chains of moves that follow each other, by the tool's radius.
#include "motion/geometry.h"

namespace turnwright::motion {

using codes::Group;
using codes::Meaning;

std::optional<Side> side_of(const machine::State& state) {
    const machine::Modal& mode = state.of(Group::nose_compensation);
    if (mode.is(Meaning::compensation_left)) return Side::left;
    if (mode.is(Meaning::compensation_right)) return Side::right;
    if (mode.is(Meaning::compensation_off) || mode.surely_unset()) return Side::off;
    return std::nullopt;
}

namespace {

const shop::Tool* tool_of(const machine::State& state, const shop::Shop& shop) {
    return state.tool.known() ? shop.tool(static_cast<int>(state.tool.number)) : nullptr;
}

class ChainReader {
public:
    ChainReader(const machine::Reader& reader, const shop::Shop& shop) : reader_(reader), shop_(shop) {}

    void read(const machine::BlockView& view) {
        auto before = side_of(view.before), now = side_of(view.after);
        const shop::Tool* tool = tool_of(view.after, shop_);
        bool known = before && now && tool && tool->nose_radius_mm && *tool->nose_radius_mm > 0;
        if (!known || tool != tool_) flush();
        if (!known) {
            last_moved_.reset();
            return;
        }
        tool_ = tool;
        machine::BlockPlace place{view.run_index, view.block};
        if (*before == Side::off && *now != Side::off && !tool->tip_direction)
            troubles.push_back({Trouble::tip_direction_unknown, place, 0, 0, 0});
        using machine::MotionKind;
        MotionKind kind = view.reading.motion;
        if (kind == MotionKind::none) return;
        // A code on a line of its own acts with the next move.
        Side last = last_moved_.value_or(*before);
        last_moved_ = *now;
        bool plain = kind == MotionKind::rapid || kind == MotionKind::feed || kind == MotionKind::arc;
        // Only chains with compensation in them cost the reading of paths.
        if (!plain || (*now == Side::off && last == Side::off && moves_.empty())) return flush();
        BlockPath path = path_of(view, reader_);
        if (!path.complete) return flush();
        for (const Segment& segment : path.segments) {
            if (!moves_.empty() && !same(moves_.back().segment.to, segment.from)) flush();
            if (moves_.empty()) before_ = last;
            moves_.push_back({segment, *now, place});
        }
    }

    void flush() {
        if (tool_ && !moves_.empty()) {
            NosePath path =
                nose_path(moves_, *tool_->nose_radius_mm, tool_->tip_direction.value_or(9), before_);
            troubles.insert(troubles.end(), path.troubles.begin(), path.troubles.end());
        }
        moves_.clear();
    }

    std::vector<TroubleAt> troubles;

private:
    const machine::Reader& reader_;
    const shop::Shop& shop_;
    const shop::Tool* tool_ = nullptr;
    std::vector<NoseMove> moves_;
    Side before_ = Side::off;
    std::optional<Side> last_moved_; ///< In force at the last block that moved
};

} // namespace

std::vector<TroubleAt> nose_troubles(const machine::Reader& reader, const shop::Shop& shop,
                                     machine::BlockPlace first, machine::BlockPlace last) {
    ChainReader chain(reader, shop);
    reader.visit_span(first, last, [&](const machine::BlockView& view) { chain.read(view); });
    chain.flush();
    return std::move(chain.troubles);
}

} // namespace turnwright::motion
