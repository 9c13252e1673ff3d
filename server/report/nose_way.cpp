#include "report/nose_way.h"

#include "machine/whole_number.h"
#include "motion/geometry.h"

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using machine::MotionKind;

namespace {

std::optional<motion::Side> side_of(const machine::State& state) {
    const machine::Modal& mode = state.of(Group::nose_compensation);
    if (mode.is(Meaning::compensation_left)) return motion::Side::left;
    if (mode.is(Meaning::compensation_right)) return motion::Side::right;
    if (mode.is(Meaning::compensation_off) || mode.surely_unset()) return motion::Side::off;
    return std::nullopt;
}

} // namespace

void NoseWay::read(const WalkedBlock& block, std::size_t step) {
    const machine::BlockView& view = block.view;
    const auto before = side_of(view.before), now = side_of(view.after);
    const machine::Value& station = view.after.tool;
    const shop::Tool* tool = station.known() ? shop_.tool(machine::whole_number(station.number)) : nullptr;
    const bool known = before && now && tool && tool->nose_radius_mm && *tool->nose_radius_mm > 0;
    if (!known || tool != tool_) finish();
    if (!known) {
        last_moved_.reset();
        return;
    }
    tool_ = tool;
    const MotionKind kind = view.reading.motion;
    if (kind == MotionKind::none) return;
    // A code on a line of its own acts with the next move.
    const motion::Side last = last_moved_.value_or(*before);
    // A finishing cycle leads in and returns by itself: compensation is taken up and left on these ways.
    const bool finishing = kind == MotionKind::contour_cycle && view.reading.code(Meaning::finish_cycle);
    const bool plain = kind == MotionKind::rapid || kind == MotionKind::feed || kind == MotionKind::arc;
    if (plain) last_moved_ = *now;
    if (finishing) finish();
    const motion::Side entering = finishing ? motion::Side::off : last;
    const bool compensated = *now != motion::Side::off || (plain && last != motion::Side::off);
    if ((!plain && !finishing) || !compensated || !block.path.complete) return finish();
    for (const motion::Segment& segment : block.path.segments) {
        if (segment.kind == motion::SegmentKind::dwell) continue;
        if (!moves_.empty() && !motion::same(moves_.back().segment.to, segment.from)) finish();
        if (moves_.empty()) before_ = entering;
        const bool returns = finishing && segment.role == motion::SegmentRole::cycle_return;
        moves_.push_back({segment, returns ? motion::Side::off : *now, {view.run_index, view.block}});
        steps_.push_back(step);
    }
    // Behind the move that cancels it nothing is beside the programmed way any more.
    if (finishing || *now == motion::Side::off) finish();
}

void NoseWay::finish() {
    if (tool_ && !moves_.empty()) {
        const motion::NosePath path =
            motion::nose_path(moves_, *tool_->nose_radius_mm, tool_->tip_direction.value_or(9), before_);
        const std::vector<std::size_t> owners = motion::nose_owners(path, moves_);
        for (std::size_t i = 0; i < path.centre.size(); ++i)
            ways[steps_[owners[i]]].push_back(path.centre[i]);
    }
    moves_.clear();
    steps_.clear();
}

} // namespace turnwright::report
