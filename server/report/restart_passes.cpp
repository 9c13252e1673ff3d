#include "report/restart_passes.h"
#include "language/said.h"

#include "features/block_at.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Meaning;
using features::Document;
using machine::BlockPlace;
using machine::MotionKind;
using motion::Point;
using motion::Segment;
using motion::SegmentKind;
using motion::SegmentRole;

namespace {

/// A hundredth of what a lathe can set: nearer places are one.
constexpr double same_mm = 1e-4;

/// A block of a sequence that moves.
struct MovingBlock {
    BlockPlace place;
    MotionKind kind;
    Meaning meaning;
    std::vector<Segment> moves;
    bool complete;
    machine::Why why;
};

bool holds_passes(MotionKind kind) {
    return kind == MotionKind::contour_cycle || kind == MotionKind::peck_cycle ||
           kind == MotionKind::thread_cycle || kind == MotionKind::drill_cycle;
}

std::vector<MovingBlock> moving_blocks(const Document& document, BlockPlace first, BlockPlace last) {
    std::vector<MovingBlock> blocks;
    machine::Analysis::Passed passed;
    document.analysis().visit_span(first, last, passed, [&](const machine::BlockView& view) {
        const machine::Reading& reading = view.reading;
        if (reading.motion == MotionKind::none || reading.in_contour || reading.sets_up_cycle) return;
        MovingBlock block{{view.run_index, view.block}, reading.motion, reading.motion_meaning, {}, true,
                          machine::Why::known};
        if (block.kind == MotionKind::thread || machine::is_cycle(block.kind)) {
            motion::BlockPath path = motion::path_of(view, document.analysis());
            block.moves = std::move(path.segments);
            block.complete = path.complete;
            block.why = path.why;
        }
        blocks.push_back(std::move(block));
    });
    return blocks;
}

class PassCounter {
public:
    explicit PassCounter(CyclePasses& cycle) : cycle_(cycle) {}

    /// A pass begins with its infeed and ends where the tool stops cutting.
    void add_block(const MovingBlock& block) {
        std::optional<std::size_t> infeed;
        for (std::size_t i = 0; i < block.moves.size(); ++i) {
            const Segment& move = block.moves[i];
            if (!start_) start_ = move.from;
            if (is_cut_of_pass(move)) {
                if (way_.empty()) cycle_.passes.push_back({block.place, infeed.value_or(i), {}, {}});
                way_.insert(way_.end(), {move.from, move.to});
                continue;
            }
            end_pass();
            if (move.role != SegmentRole::cycle_infeed)
                infeed.reset();
            else if (!infeed)
                infeed = i;
        }
        if (block.kind != MotionKind::thread) end_pass(); // Threading moves in a row are one pass
    }
    void end_pass() {
        if (!way_.empty()) ways_.push_back(std::move(way_));
        way_.clear();
    }

    void finish() {
        end_pass();
        if (ways_.empty()) return;
        const Point start = *start_;
        const auto part = [&](const Point& at) { return cycle_.steps_in_x ? at.x_radius_mm : at.z_mm; };
        if (cycle_.is_peck) {
            const Point from = ways_.front().front(), to = ways_.front().back();
            cycle_.steps_in_x = std::abs(to.x_radius_mm - from.x_radius_mm) > std::abs(to.z_mm - from.z_mm);
            cycle_.into = part(to) > part(from) ? 1 : -1;
        } else {
            double from_start = 0;
            for (const Point& at : ways_.back()) from_start += part(at) - part(start);
            cycle_.into = from_start > 0 ? 1 : -1;
        }
        std::optional<double> before;
        if (!cycle_.is_thread && !cycle_.is_peck) before = part(start);
        for (std::size_t i = 0; i < ways_.size(); ++i) {
            CyclePass& pass = cycle_.passes[i];
            pass.reach = ways_[i].front();
            for (const Point& at : ways_[i])
                if ((part(at) - part(pass.reach)) * cycle_.into > same_mm) pass.reach = at;
            // Along the cut as far as it goes.
            (cycle_.steps_in_x ? pass.reach.z_mm : pass.reach.x_radius_mm) =
                cycle_.steps_in_x ? ways_[i].back().z_mm : ways_[i].back().x_radius_mm;
            const double deeper = before ? (part(pass.reach) - *before) * cycle_.into : -1;
            if (deeper > -same_mm)
                pass.depth_mm = std::max(0.0, deeper);
            else if (cycle_.is_peck)
                pass.depth_mm = std::abs(part(ways_[i].back()) - part(ways_[i].front()));
            before = part(pass.reach);
        }
    }

private:
    CyclePasses& cycle_;
    std::vector<Point> way_; ///< Of the pass that is being cut
    std::vector<std::vector<Point>> ways_;
    std::optional<Point> start_;
};

/// Behind a cycle stands its contour, which is not run in passing.
std::size_t line_behind(const Document& document, BlockPlace cycle) {
    std::size_t line = document.line_of(cycle) + 1;
    for (; line < document.buffer().line_count(); ++line) {
        const auto block = features::block_at(document, document.place_of_line(line));
        if (!block || !block->reading.in_contour) break;
    }
    return line;
}

} // namespace

bool is_cut_of_pass(const Segment& move) {
    return move.kind != SegmentKind::rapid && move.kind != SegmentKind::dwell &&
           (move.role == SegmentRole::cycle_pass || move.role == SegmentRole::finish ||
            move.role == SegmentRole::move);
}

std::optional<CyclePasses> passes_at(const Document& document, BlockPlace place) {
    const machine::Sequence* sequence = features::sequence_at(document, place);
    if (!sequence) return std::nullopt;
    const std::vector<MovingBlock> blocks = moving_blocks(document, sequence->tool_call, sequence->last);
    auto here = std::find_if(blocks.begin(), blocks.end(),
                             [&](const MovingBlock& block) { return !(block.place < place); });
    if (here == blocks.end()) return std::nullopt;
    // Words for a cycle stand on a line of their own above it.
    if (here->place != place) {
        const auto at = features::block_at(document, place);
        if (!at || !at->reading.sets_up_cycle) return std::nullopt;
    }
    CyclePasses cycle;
    cycle.block = here->place;
    cycle.code = codes::written_as(document.settings().system, here->meaning);
    cycle.is_thread = here->kind == MotionKind::thread || here->kind == MotionKind::thread_cycle ||
                      here->meaning == Meaning::single_threading;
    cycle.is_peck = here->kind == MotionKind::peck_cycle || here->kind == MotionKind::drill_cycle;
    cycle.steps_in_x = here->meaning != Meaning::rough_facing && here->meaning != Meaning::single_facing;
    PassCounter counter(cycle);
    if (holds_passes(here->kind)) {
        cycle.is_one_block = true;
        if (!here->complete) cycle.unknown = said("its moves are not known: {}", machine::explain(here->why));
        cycle.behind = line_behind(document, here->place);
        counter.add_block(*here);
        cycle.moves = here->moves;
    } else {
        const auto belongs = [&](const MovingBlock& block) {
            return here->kind == MotionKind::single_cycle
                       ? block.kind == here->kind && block.meaning == here->meaning
                       : block.kind == MotionKind::thread || block.kind == MotionKind::rapid;
        };
        auto first = here, last = here;
        if (!belongs(*here)) return std::nullopt;
        while (first != blocks.begin() && belongs(*(first - 1))) --first;
        while (last + 1 != blocks.end() && belongs(*(last + 1))) ++last;
        while (first != here && first->kind == MotionKind::rapid) ++first;
        while (last != here && last->kind == MotionKind::rapid) --last;
        // A rapid before the first pass or behind the last is none of it.
        if (first->kind == MotionKind::rapid || last->kind == MotionKind::rapid) return std::nullopt;
        if (first->kind == MotionKind::thread) {
            cycle.is_thread = true;
            cycle.code = codes::written_as(document.settings().system, first->meaning);
        }
        cycle.block = first->place;
        for (auto block = first; block <= last; ++block) {
            if (!block->complete)
                cycle.unknown = said("its moves are not known: {}", machine::explain(block->why));
            if (block->kind == MotionKind::rapid)
                counter.end_pass();
            else
                counter.add_block(*block);
        }
        cycle.behind = document.line_of(last->place) + 1;
    }
    counter.finish();
    if (cycle.passes.size() < 2 && cycle.unknown.empty()) return std::nullopt;
    return cycle;
}

std::optional<std::size_t> passes_reached(const CyclePasses& cycle, const Point& reached, bool in_x,
                                          std::string& why) {
    const char axis = in_x ? 'X' : 'Z';
    const std::string_view give = said("give how many passes are done.");
    if (in_x != cycle.steps_in_x) {
        why = said("The passes of {} do not step in {}: {}", cycle.code, axis, give);
        return std::nullopt;
    }
    const auto depth = [&](const Point& at) { return (in_x ? at.x_radius_mm : at.z_mm) * cycle.into; };
    std::size_t done = 0;
    for (std::size_t i = 0; i < cycle.passes.size(); ++i) {
        if (i > 0 && depth(cycle.passes[i].reach) < depth(cycle.passes[i - 1].reach) - same_mm) {
            why = said("{} comes to the same {} more than once: {}", cycle.code, axis, give);
            return std::nullopt;
        }
        if (depth(cycle.passes[i].reach) <= depth(reached) + same_mm) done = i + 1;
    }
    return done;
}

} // namespace turnwright::report
