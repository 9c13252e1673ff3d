// The passes of a cycle that remain, as single blocks behind a head.
#include "language/said.h"
#include "report/restart_check.h"
#include "report/restart_passes.h"
#include "report/restart_variables.h"

#include "features/block_at.h"
#include "features/single_moves.h"
#include "features/speech.h"

#include <algorithm>
#include <cmath>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::BlockAt;
using features::Document;
using machine::BlockPlace;
using machine::State;
using motion::Point;
using motion::Segment;

namespace {

/// Why no single blocks can stand for the cycle; empty when they can.
std::string why_not_single(const BlockAt& at, const CyclePasses& cycle) {
    if (!cycle.unknown.empty())
        return said("The passes of ") + cycle.code + said(" are not written: ") + cycle.unknown + ".";
    const auto off = [](const State& state) {
        const machine::Modal& side = state.of(Group::nose_compensation);
        return side.surely_unset() || side.is(Meaning::compensation_off);
    };
    if (!off(at.before) || !off(at.after))
        return said("Compensation is on there, and single blocks are compensated otherwise than the cycle.");
    if (at.after.is(Meaning::incremental)) return said("The cycle stands under incremental distances.");
    if (at.reading.has('M') || at.reading.has('T'))
        return said("The block of the cycle also has an M or T word.");
    const Meaning meaning = at.reading.motion_meaning;
    if (meaning == Meaning::tap_face || meaning == Meaning::tap_side)
        return said("A tap is one pass: the spindle turns with the feed.");
    return {};
}

/// Ways in rapids from where the cycle stands at its start to where its next pass begins, square to the axes.
std::vector<std::vector<Segment>> ways_between(Point from, Point to) {
    const auto rapid = [](Point a, Point b) {
        Segment move;
        move.from = a;
        move.to = b;
        return move;
    };
    const bool x = std::abs(from.x_radius_mm - to.x_radius_mm) > 1e-6,
               z = std::abs(from.z_mm - to.z_mm) > 1e-6;
    if (!x && !z) return {{}};
    if (!x || !z) return {{rapid(from, to)}};
    const Point over{to.x_radius_mm, from.z_mm}, along{from.x_radius_mm, to.z_mm};
    return {{rapid(from, over), rapid(over, to)}, {rapid(from, along), rapid(along, to)}};
}

/// The way into a hole or groove that is there, at the feed of the first cut.
void feed_in(std::vector<Segment>& moves) {
    const auto cut = std::find_if(moves.begin(), moves.end(),
                                  [](const Segment& move) { return move.kind == motion::SegmentKind::feed; });
    if (cut == moves.end()) return;
    for (auto move = moves.begin(); move != cut; ++move) {
        move->kind = motion::SegmentKind::feed;
        move->feed = cut->feed;
    }
}

/// The line with words for the cycle of its own above it, else the cycle itself.
BlockPlace first_line_of(const Document& document, BlockPlace cycle) {
    for (std::size_t line = document.line_of(cycle); line-- > 0;) {
        const auto at = features::block_at(document, document.place_of_line(line));
        if (!at) break;
        if (at->reading.sets_up_cycle) return at->place;
        if (!at->reading.words.empty()) break;
    }
    return cycle;
}

/// Roughing begins further in and divides the rest as it did: contour and all behind it are run from the
/// program.
void write_changed_start(const Document& document, const CyclePasses& cycle, std::size_t done,
                         const StockAt& stock, std::span<const std::string> variables, Restart& restart) {
    const auto at = features::block_at(document, cycle.block);
    if (!at || done == 0 || !cycle.unknown.empty()) return;
    const Meaning meaning = at->reading.motion_meaning;
    if (meaning != Meaning::rough_turning && meaning != Meaning::rough_facing) return;
    const BlockPlace first = first_line_of(document, cycle.block);
    const auto above = features::block_at(document, first);
    if (!above || !why_no_head(document, above->before).empty()) return;
    if (!stock.most || stock.most->empty()) return;
    // Its first pass from there is the next one: each is as far from the start as it was, allowance and all.
    Point start = cycle.moves.front().from;
    const Point &first_reach = cycle.passes.front().reach, &next = cycle.passes[done].reach;
    if (cycle.steps_in_x)
        start.x_radius_mm += next.x_radius_mm - first_reach.x_radius_mm;
    else
        start.z_mm += next.z_mm - first_reach.z_mm;
    std::vector<Segment> cuts;
    for (const Segment& move : std::span(cycle.moves).subspan(cycle.passes[done].first_move))
        if (is_cut_of_pass(move)) cuts.push_back(move);
    for (const Approach& way : approaches_to(document, above->before, start, stock)) {
        StartTried tried{first, cycle.block, head_blocks(document, first, above->before, way, variables),
                         start, cuts,        cycle.behind};
        if (!why_start_fails(document, tried, stock).empty()) continue;
        restart.cycle_head = std::move(tried.head);
        restart.cycle_line = document.line_of(first);
        return;
    }
}

} // namespace

void write_remaining(const Document& document, const CyclePasses& cycle, std::size_t done,
                     const StockAt& stock, Restart& restart) {
    const auto at = features::block_at(document, cycle.block);
    if (!at) return;
    const RestartVariables variables = variables_from(document, cycle.block);
    restart.refused = variables.refused;
    if (!restart.refused.empty()) return;
    restart.sets_locals = variables.has_locals;
    write_changed_start(document, cycle, done, stock, variables.blocks, restart);
    restart.refused = why_not_single(*at, cycle);
    if (!restart.refused.empty()) return;
    // A speed or a feed of its own the block sets first.
    State state = at->before;
    state.speed = at->after.speed;
    state.feed = at->after.feed;
    restart.refused = why_no_head(document, state);
    if (!restart.refused.empty()) return;
    const std::size_t first = cycle.passes[done].first_move;
    if (!stock.most || stock.most->empty()) {
        restart.refused = said("No way in can be run through the stock: it is ") + stock.note + ".";
        return;
    }
    restart.refused =
        said("The next pass begins in what may be left of the stock: no way in is surely clear.");
    const Point start = cycle.moves.front().from, next = cycle.moves[first].from;
    const std::span<const Segment> rest = std::span(cycle.moves).subspan(first);
    std::vector<Point> ends{next};
    // In a hole or a groove only the way of the cycle leads.
    if (cycle.is_peck || ways_between(start, next).front().empty())
        ends = {start};
    else
        ends.push_back(start);
    for (const Point end : ends)
        for (const Approach& way : approaches_to(document, state, end, stock)) {
            for (const std::vector<Segment>& between : ways_between(end, next)) {
                std::vector<Segment> moves = between;
                moves.insert(moves.end(), rest.begin(), rest.end());
                // What broke may lie in the hole, and another drill may be longer.
                if (cycle.is_peck) feed_in(moves);
                const auto blocks = features::single_moves(at->view(document), moves);
                if (!blocks) {
                    restart.refused = said("The feed of the cycle is not known.");
                    return;
                }
                RemainingTried tried{cycle.block,
                                     head_blocks(document, cycle.block, state, way, variables.blocks),
                                     *blocks, moves, cycle.behind};
                const RemainingFault fault = why_remaining_fails(document, tried, stock);
                restart.refused = fault.why;
                if (fault.why.empty()) {
                    restart.head = std::move(tried.head);
                    restart.remaining = std::move(tried.blocks);
                    restart.behind = cycle.behind;
                    return;
                }
                if (!fault.is_of_the_way) return;
            }
        }
}

} // namespace turnwright::report
