// The passes of a cycle that remain, as single blocks behind a head.
#include "report/restart_check.h"
#include "report/restart_passes.h"

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
using machine::State;
using motion::Point;
using motion::Segment;

namespace {

/// Why no single blocks can stand for the cycle; empty when they can.
std::string why_not_single(const BlockAt& at, const CyclePasses& cycle) {
    if (!cycle.unknown.empty())
        return "The passes of " + cycle.code + " are not written: " + cycle.unknown + ".";
    const auto off = [](const State& state) {
        const machine::Modal& side = state.of(Group::nose_compensation);
        return side.surely_unset() || side.is(Meaning::compensation_off);
    };
    if (!off(at.before) || !off(at.after))
        return "Compensation is on there, and single blocks are compensated otherwise than the cycle.";
    if (at.after.is(Meaning::incremental)) return "The cycle stands under incremental distances.";
    if (at.reading.has('M') || at.reading.has('T')) return "The block of the cycle also has an M or T word.";
    const Meaning meaning = at.reading.motion_meaning;
    if (meaning == Meaning::tap_face || meaning == Meaning::tap_side)
        return "A tap is one pass: the spindle turns with the feed.";
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

} // namespace

void write_remaining(const Document& document, const CyclePasses& cycle, std::size_t done, Restart& restart) {
    const auto at = features::block_at(document, cycle.block);
    if (!at) return;
    restart.refused = why_not_single(*at, cycle);
    if (!restart.refused.empty()) return;
    // A speed or a feed of its own the block sets first.
    State state = at->before;
    state.speed = at->after.speed;
    state.feed = at->after.feed;
    restart.refused = why_no_head(document, state);
    if (!restart.refused.empty()) return;
    const std::size_t first = cycle.passes[done].first_move;
    const StockAt stock = stock_at(document, cycle.block, first);
    if (!stock.most || stock.most->empty()) {
        restart.refused = "No way in can be run through the stock: it is " + stock.note + ".";
        return;
    }
    restart.refused = "The next pass begins in what may be left of the stock: no way in is surely clear.";
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
                const auto blocks = features::single_moves(at->view(document), moves);
                if (!blocks) {
                    restart.refused = "The feed of the cycle is not known.";
                    return;
                }
                RemainingTried tried{cycle.block, head_blocks(document, cycle.block, state, way), *blocks,
                                     moves, cycle.behind};
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
