// The plan of a file's course: its programs, the labels jumps lead to, its loops, and what is wrong with
// them.

#include "machine/course.h"
#include "machine/followed.h"

#include <algorithm>
#include <numeric>

namespace turnwright::machine {

std::uint32_t Plan::part_of(BlockPlace place) const {
    // Blocks are asked for one behind the other; in a file of thousands of programs the search is long.
    thread_local std::size_t near = 0;
    const auto holds = [&](std::size_t part) {
        return part < parts.size() && parts[part].first <= place &&
               (part + 1 == parts.size() || place < parts[part + 1].first);
    };
    if (holds(near)) return static_cast<std::uint32_t>(near);
    auto after = std::upper_bound(parts.begin(), parts.end(), place,
                                  [](const BlockPlace& p, const PlanPart& part) { return p < part.first; });
    near = after == parts.begin() ? 0 : static_cast<std::size_t>(after - parts.begin() - 1);
    return static_cast<std::uint32_t>(near);
}

void LoopPlaces::sort(std::size_t runs) {
    if (rows_.empty()) return;
    std::stable_sort(rows_.begin(), rows_.end(),
                     [](const Row& a, const Row& b) { return a.first < b.first; });
    const auto last_of_each = [](const Row& a, const Row& b) { return a.first == b.first; };
    rows_.erase(rows_.begin(), std::unique(rows_.rbegin(), rows_.rend(), last_of_each).base());
    first_.assign(runs + 1, 0);
    for (const Row& row : rows_) ++first_[row.first.run + 1];
    std::partial_sum(first_.begin(), first_.end(), first_.begin());
}

const PlanPart* Plan::program(std::int32_t number) const {
    auto at = numbered.find(number);
    return at == numbered.end() ? nullptr : &parts[at->second];
}

std::int32_t Plan::loop_around(BlockPlace place) const {
    auto after = std::upper_bound(loops.begin(), loops.end(), place,
                                  [](const BlockPlace& p, const Loop& loop) { return p < loop.start; });
    auto loop = static_cast<std::int32_t>(after - loops.begin()) - 1;
    while (loop >= 0 && !loops[static_cast<std::size_t>(loop)].contains(place))
        loop = loops[static_cast<std::size_t>(loop)].around;
    return loop;
}

bool Plan::same_course(const Plan& other) const {
    if (any_label != other.any_label || parts.size() != other.parts.size() ||
        loops.size() != other.loops.size() || has_calls != other.has_calls ||
        followed_to != other.followed_to || from_behind != other.from_behind)
        return false;
    for (std::size_t i = 0; i < parts.size(); ++i)
        if (parts[i].number != other.parts[i].number || parts[i].called != other.parts[i].called ||
            parts[i].is_subprogram != other.parts[i].is_subprogram)
            return false;
    // A run tells the targets and loops that stand in it, but not those in a program that it calls.
    const auto in_called = [](const Plan& plan) {
        auto found = plan.targets;
        std::erase_if(found, [&](const auto& target) { return !plan.parts[target.first].called; });
        return found;
    };
    if (targets != other.targets && in_called(*this) != in_called(other)) return false;
    return std::equal(loops.begin(), loops.end(), other.loops.begin(), [&](const Loop& a, const Loop& b) {
        if (a.part != b.part) return false;
        return !parts[a.part].called || (a.number == b.number && a.around == b.around &&
                                         a.closed == b.closed && a.jumps == b.jumps && a.runs == b.runs);
    });
}

namespace {

/// Of loops in loops; no control takes more than three.
constexpr std::size_t deepest_followed = 32;
/// What following the jumps, loops and calls of a program may cost, in blocks evaluated again: of a long one
/// less, whose own blocks are work, too.
constexpr std::size_t most_work = 600'000, least_work = 150'000;
std::size_t work_for(std::size_t lines) {
    return std::max(least_work, most_work - std::min(most_work, lines));
}
/// A way back over some lines, in loops so many deep. What it changes settles in a few turns; of a short one
/// its whole run is gone over, of a long one seldom all.
std::size_t work_of_way_back(std::size_t lines, int depth) {
    constexpr std::size_t turns = 8;
    return (lines + (turns - 1) * std::min(lines, text::Buffer::target_lines)) << std::min(depth, 5);
}

struct Planner {
    const Shapes& shapes;
    Programs* programs;
    Plan plan;
    Planner(const Shapes& of, Programs* others_at_hand) : shapes(of), programs(others_at_hand) {}

    void problem(std::size_t run, const FlowMark& mark, ProblemKind kind, double number) {
        plan.problems.push_back({run, {kind, mark.block, mark.begin, mark.length, number}});
    }

    void find_parts() {
        plan.parts.push_back({});
        bool content = false;
        bool ended = false, main_end = false, tool = false;
        auto finish = [&] {
            PlanPart& part = plan.parts.back();
            part.is_subprogram = ended && !main_end && (!tool || part.called);
            ended = main_end = tool = false;
        };
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const Landmark& mark : shapes[run]->landmarks) {
                if (mark.kind == Landmark::Kind::program_start) {
                    if (content) {
                        finish();
                        plan.parts.push_back({});
                    }
                    PlanPart& part = plan.parts.back();
                    part.first =
                        content || plan.parts.size() > 1 ? BlockPlace{run, mark.block} : BlockPlace{0, 0};
                    part.start = {run, mark.block};
                    part.number = mark.number;
                    part.has_start = true;
                    part.called = called.contains(mark.number);
                }
                if (mark.kind != Landmark::Kind::tape_mark && mark.kind != Landmark::Kind::note_only)
                    content = true;
                if (mark.kind == Landmark::Kind::tool_call) tool = true;
                if (mark.kind == Landmark::Kind::program_end && !ended) ended = main_end = true;
                if (mark.kind == Landmark::Kind::subprogram_end) ended = true;
            }
        finish();
        for (std::uint32_t i = 0; i < plan.parts.size(); ++i)
            if (plan.parts[i].has_start) plan.numbered.try_emplace(plan.parts[i].number, i);
    }

    std::set<std::int32_t> called;
    std::unordered_map<Target, int, HashOfTarget> labels_found;      ///< How often each target stands
    std::set<std::pair<std::uint32_t, std::int32_t>> calls_followed; ///< Part and program
    std::set<Target> returned_to;
    std::unordered_set<std::int32_t> labels_of_returns; ///< P of M99 in subprograms of this file
    /// Of a program in another file, the labels of its callers that it comes back to.
    std::map<const PlanPart*, std::set<std::int32_t>> returns_of_others;
    std::unordered_set<const Body*> others;

    void find_calls() {
        std::size_t blocks = 0;
        bool modal = false;
        for (const auto& shape : shapes) {
            blocks += shape->code_blocks;
            for (const FlowMark& mark : shape->flow)
                if (calls_program(mark.kind)) {
                    ++plan.calls;
                    plan.has_calls = true;
                    modal |= mark.kind == FlowKind::modal_call;
                    called.insert(mark.number);
                }
        }
        if (modal) plan.calls += blocks; // Every move may call
    }

    /// Loops that are not closed yet, in order, and which of them have a number: thousands may be open.
    struct OpenLoops {
        std::map<std::size_t, FlowMark> in_order; ///< By their place among the plan's
        std::unordered_map<std::int32_t, std::vector<std::size_t>> numbered;
    };

    void follow_marks() {
        OpenLoops open;
        std::uint32_t part = 0;
        auto close_all = [&] {
            for (const auto& [at, mark] : open.in_order)
                problem(plan.loops[at].start.run, mark, ProblemKind::loop_not_closed, plan.loops[at].number);
            open = {};
        };
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const FlowMark& mark : shapes[run]->flow) {
                BlockPlace place{run, mark.block};
                std::uint32_t here = plan.part_of(place);
                if (here != part) close_all();
                part = here;
                switch (mark.kind) {
                case FlowKind::jump:
                case FlowKind::maybe_jump:
                    if (mark.number < 0)
                        plan.any_label.insert(part);
                    else
                        plan.targets.insert({part, mark.number});
                    break;
                case FlowKind::program_return:
                    return_targets(part, mark.number);
                    break;
                case FlowKind::loop_start:
                    open_loop(open, place, mark, part);
                    break;
                case FlowKind::loop_end:
                    close_loop(open, place, mark);
                    break;
                default:
                    if (calls_program(mark.kind)) returns_from_other_file(part, mark.number);
                    break;
                }
            }
        close_all();
        add_targets_of_returns();
    }

    /// M99 P of a subprogram goes on at such a label of any program that may have called it.
    void add_targets_of_returns() {
        if (labels_of_returns.empty()) return;
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const Label& label : shapes[run]->labels)
                if (labels_of_returns.contains(label.number))
                    plan.targets.insert({plan.part_of({run, label.block}), label.number});
    }

    /// Jumps back in a program, from the label that they lead to on: a loop that is not written as one.
    void find_jumped_loops() {
        std::map<Target, Loop> found;
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const FlowMark& mark : shapes[run]->flow) {
                if (mark.kind != FlowKind::jump && mark.kind != FlowKind::maybe_jump) continue;
                const BlockPlace from{run, mark.block};
                const std::uint32_t part = plan.part_of(from);
                const auto to = plan.target_places.find({part, mark.number});
                if (to == plan.target_places.end() || to->second > from) continue;
                Loop& loop = found[to->first];
                loop.start = to->second;
                loop.end = from;
                loop.number = mark.number;
                loop.part = part;
                loop.runs = true;
                ++loop.jumps;
            }
        for (const auto& [label, loop] : found)
            if (labels_found[label] == 1) plan.loops.push_back(loop);
    }

    /// By start, each with the one that it stands in. A jumped one that crosses another or shares an end with
    /// it is none.
    void order_loops() {
        std::stable_sort(plan.loops.begin(), plan.loops.end(), [](const Loop& a, const Loop& b) {
            return a.start != b.start ? a.start < b.start : b.end < a.end;
        });
        std::vector<Loop*> open;
        for (Loop& loop : plan.loops) {
            while (!open.empty() && open.back()->end < loop.start) open.pop_back();
            while (!open.empty() && loop.runs) {
                Loop& outer = *open.back();
                if (outer.start < loop.start && loop.end < outer.end) break;
                if (loop.jumps > 0)
                    loop.runs = false;
                else if (outer.jumps > 0)
                    outer.runs = false, open.pop_back();
                else
                    break;
            }
            // Each level more would cost every block within another look.
            if (loop.jumps > 0 && open.size() >= deepest_followed) loop.runs = false;
            if (loop.runs) open.push_back(&loop);
        }
        std::vector<std::int32_t> around;
        for (std::size_t i = 0; i < plan.loops.size(); ++i) {
            Loop& loop = plan.loops[i];
            const BlockPlace last = loop.runs ? loop.end : loop.start;
            while (!around.empty() && !plan.loops[static_cast<std::size_t>(around.back())].contains(last))
                around.pop_back();
            loop.depth = static_cast<int>(around.size());
            if (!around.empty()) loop.around = around.back();
            if (!loop.runs) continue;
            around.push_back(static_cast<std::int32_t>(i));
            plan.loop_starts.add(loop.start, static_cast<std::int32_t>(i));
            plan.loop_ends.add(loop.end, static_cast<std::int32_t>(i));
        }
        plan.loop_starts.sort(shapes.size());
        plan.loop_ends.sort(shapes.size());
    }

    /// A jump from a block outside (or from no block of the part) to a label in a loop, or one that may lead
    /// anywhere.
    void open_loops(std::uint32_t part, std::optional<BlockPlace> from, std::int32_t label) {
        const auto to = plan.target_places.find({part, label});
        if (to == plan.target_places.end()) return;
        for (std::int32_t i = plan.loop_around(to->second); i >= 0;) {
            Loop& loop = plan.loops[static_cast<std::size_t>(i)];
            if (!from || !loop.contains(*from)) loop.closed = false;
            i = loop.around;
        }
    }

    void find_open_loops() {
        if (plan.loops.empty()) return;
        for (const auto& [part, label] : returned_to) open_loops(part, std::nullopt, label);
        for (Loop& loop : plan.loops)
            if (plan.any_label.contains(loop.part)) loop.closed = false;
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const FlowMark& mark : shapes[run]->flow) {
                const BlockPlace from{run, mark.block};
                const std::uint32_t part = plan.part_of(from);
                if (mark.kind == FlowKind::jump || mark.kind == FlowKind::maybe_jump)
                    open_loops(part, from, mark.number);
                if (mark.kind == FlowKind::program_return && !plan.parts[part].is_subprogram)
                    open_loops(part, from, mark.number);
            }
        for (const auto& [target, place] : plan.target_places)
            if (labels_of_returns.contains(target.second))
                open_loops(target.first, std::nullopt, target.second);
    }

    /// M99 P: in a main program a jump, in a subprogram the block of the caller to go on from.
    void return_targets(std::uint32_t part, std::int32_t label) {
        if (plan.parts[part].is_subprogram)
            labels_of_returns.insert(label);
        else
            plan.targets.insert({part, label});
    }

    /// The blocks that a program of another file may come back to.
    void returns_from_other_file(std::uint32_t part, std::int32_t number) {
        if (!programs || plan.program(number) || !calls_followed.emplace(part, number).second) return;
        const Body* const other = programs->find(number);
        if (!other) return;
        const PlanPart* const named = other->plan->program(number);
        const PlanPart* const entered = named ? named : other->plan->parts.data(); // By its file's name
        if (others.insert(other).second) look_for_returns(*other);
        const auto returns = returns_of_others.find(entered);
        if (returns == returns_of_others.end()) return;
        for (const std::int32_t label : returns->second)
            if (returned_to.emplace(part, label).second) plan.targets.insert({part, label});
    }

    void look_for_returns(const Body& other) {
        for (std::size_t run = 0; run < other.shapes->size(); ++run)
            for (const FlowMark& mark : (*other.shapes)[run]->flow)
                if (mark.kind == FlowKind::program_return && mark.number >= 0)
                    returns_of_others[&other.plan->parts[other.plan->part_of({run, mark.block})]].insert(
                        mark.number);
    }

    void open_loop(OpenLoops& open, BlockPlace place, const FlowMark& mark, std::uint32_t part) {
        if (mark.number < 1 || mark.number > 3)
            problem(place.run, mark, ProblemKind::loop_number_bad, mark.number);
        std::vector<std::size_t>& same_number = open.numbered[mark.number];
        if (!same_number.empty()) problem(place.run, mark, ProblemKind::loops_cross, mark.number);
        if (open.in_order.size() >= 3) problem(place.run, mark, ProblemKind::nesting_too_deep, mark.number);
        Loop loop;
        loop.start = place;
        loop.number = mark.number;
        loop.part = part;
        loop.depth = static_cast<int>(open.in_order.size());
        same_number.push_back(plan.loops.size());
        open.in_order.emplace(plan.loops.size(), mark);
        plan.loops.push_back(loop);
    }

    void close_loop(OpenLoops& open, BlockPlace place, const FlowMark& mark) {
        const auto same_number = open.numbered.find(mark.number);
        if (same_number == open.numbered.end() || same_number->second.empty()) {
            problem(place.run, mark, ProblemKind::loop_not_opened, mark.number);
            return;
        }
        const auto match = open.in_order.find(same_number->second.back());
        if (std::next(match) != open.in_order.end())
            problem(place.run, mark, ProblemKind::loops_cross, mark.number);
        Loop& loop = plan.loops[match->first];
        loop.end = place;
        // Others are told as nested too deep.
        loop.runs = static_cast<std::size_t>(loop.depth) < deepest_followed;
        same_number->second.pop_back();
        open.in_order.erase(match);
    }

    void check_targets() {
        // Labels are looked for only where something jumps: numbering on every block costs nothing.
        auto& found = labels_found;
        for (const Target& target : plan.targets) found[target] = 0;
        for (std::size_t run = 0; run < shapes.size() && !found.empty(); ++run)
            for (const Label& label : shapes[run]->labels) {
                auto at = found.find({plan.part_of({run, label.block}), label.number});
                if (at == found.end()) continue;
                ++at->second;
                plan.target_places.try_emplace(at->first, BlockPlace{run, label.block});
            }
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const FlowMark& mark : shapes[run]->flow) {
                if (mark.number < 0) continue;
                std::uint32_t part = plan.part_of({run, mark.block});
                bool jumps = mark.kind == FlowKind::jump || mark.kind == FlowKind::maybe_jump ||
                             (mark.kind == FlowKind::program_return && !plan.parts[part].is_subprogram);
                if (jumps) {
                    int count = found[{part, mark.number}];
                    if (count == 0) problem(run, mark, ProblemKind::label_not_found, mark.number);
                    if (count > 1) problem(run, mark, ProblemKind::label_twice, mark.number);
                }
                bool calls = calls_program(mark.kind);
                if (calls && programs && !plan.program(mark.number) && !programs->find(mark.number))
                    problem(run, mark,
                            programs->is_cut_short() ? ProblemKind::program_not_looked_for
                                                     : ProblemKind::program_not_found,
                            mark.number);
            }
    }

    std::vector<std::size_t> lines_above = {0}; ///< Of each run, and behind the last
    std::size_t between(BlockPlace from, BlockPlace to) const {
        return lines_above[to.run] + to.block - lines_above[from.run] - from.block;
    }

    /// Counted over the marks as they are written, so that it hangs on the text alone: what is done in truth
    /// hangs on where runs begin, too.
    void limit_work() {
        for (const auto& shape : shapes) lines_above.push_back(lines_above.back() + shape->blocks.size());
        const std::size_t most = work_for(lines_above.back());
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const FlowMark& mark : shapes[run]->flow) {
                const BlockPlace place{run, mark.block};
                std::size_t work = work_of(mark, place);
                if (mark.kind == FlowKind::loop_start) {
                    if (const std::int32_t at = plan.loop_starts.at(place); at >= 0) {
                        const Loop& loop = plan.loops[static_cast<std::size_t>(at)];
                        work += work_of_way_back(between(place, loop.end), loop.depth);
                    }
                } else if (const BlockPlace* const to = target_of(place, mark); to && *to < place) {
                    const std::int32_t at = plan.loop_around(*to);
                    const int depth = at < 0 ? 0 : plan.loops[static_cast<std::size_t>(at)].depth;
                    work += work_of_way_back(between(*to, place), depth);
                }
                if (plan.work + work > most) return end_following(place);
                plan.work += work;
            }
    }

    std::set<std::uint32_t> called_back; ///< Programs that are called from further down

    /// Besides a way back: states that join, and a program above that is entered in another state than it
    /// was.
    std::size_t work_of(const FlowMark& mark, BlockPlace place) {
        constexpr std::size_t by_label = 3, by_any_label = 8;
        if (mark.kind == FlowKind::jump || mark.kind == FlowKind::maybe_jump)
            return mark.number < 0 ? by_any_label : by_label;
        const auto called = plan.numbered.find(mark.number);
        if (!calls_program(mark.kind) || called == plan.numbered.end()) return 1;
        const PlanPart& part = plan.parts[called->second];
        if (place < part.start || !called_back.insert(called->second).second) return 1;
        return 1 + between(part.first, plan.end_of_part(called->second, shapes.size()));
    }

    /// Where a jump leads; nullptr: nowhere that is known, or it is none.
    const BlockPlace* target_of(BlockPlace from, const FlowMark& mark) const {
        if (mark.kind != FlowKind::jump && mark.kind != FlowKind::maybe_jump &&
            mark.kind != FlowKind::program_return)
            return nullptr;
        const auto to = plan.target_places.find({plan.part_of(from), mark.number});
        return to == plan.target_places.end() ? nullptr : &to->second;
    }

    void end_following(BlockPlace end) {
        plan.followed_to = end;
        std::set<JoinKey> keys;
        for (std::size_t run = end.run; run < shapes.size(); ++run)
            for (const FlowMark& mark : shapes[run]->flow) {
                const BlockPlace place{run, mark.block};
                if (place < end) continue;
                if (const BlockPlace* const to = target_of(place, mark); to && *to < end)
                    keys.insert({JoinKey::Kind::label, plan.part_of(place), mark.number});
                if (calls_program(mark.kind)) keys.insert({JoinKey::Kind::program, 0, mark.number});
            }
        for (const auto& [target, place] : plan.target_places)
            if (place < end && (labels_of_returns.contains(target.second) || returned_to.contains(target)))
                keys.insert({JoinKey::Kind::label, target.first, target.second});
        for (const std::uint32_t part : plan.any_label) keys.insert({JoinKey::Kind::label, part, -1});
        for (std::int32_t at = plan.loop_around(end); at >= 0;
             at = plan.loops[static_cast<std::size_t>(at)].around)
            keys.insert({JoinKey::Kind::loop_back, 0, at});
        plan.from_behind.assign(keys.begin(), keys.end());
    }

    void mark_special() {
        plan.special.assign(shapes.size(), 0);
        for (std::size_t run = 0; run < shapes.size() && run <= plan.followed_to.run; ++run) {
            if (!shapes[run]->flow.empty()) plan.special[run] = 1;
            for (const Label& label : shapes[run]->labels) {
                if (plan.special[run]) break;
                std::uint32_t part = plan.part_of({run, label.block});
                if (plan.targets.contains({part, label.number}) || plan.any_label.contains(part))
                    plan.special[run] = 1;
            }
        }
        const auto mark = [&](std::size_t run) {
            if (run < plan.special.size() && run <= plan.followed_to.run) plan.special[run] = 1;
        };
        for (const PlanPart& part : plan.parts)
            if (part.has_start) mark(part.start.run);
        for (const Loop& loop : plan.loops)
            if (loop.runs) mark(loop.end.run);
    }
};

} // namespace

Plan make_plan(const Shapes& shapes, Programs* programs) {
    const bool any_flow =
        std::any_of(shapes.begin(), shapes.end(), [](const auto& shape) { return !shape->flow.empty(); });
    Planner planner(shapes, programs);
    planner.find_calls();
    planner.find_parts();
    // One program, entered at its start and run from block to block, needs no joins.
    planner.plan.plain = !any_flow && planner.plan.parts.size() <= 1 && !planner.plan.parts[0].is_subprogram;
    if (planner.plan.plain) {
        planner.plan.special.assign(shapes.size(), 0);
        return std::move(planner.plan);
    }
    planner.follow_marks();
    planner.check_targets();
    planner.find_jumped_loops();
    planner.order_loops();
    planner.find_open_loops();
    planner.limit_work();
    planner.mark_special();
    return std::move(planner.plan);
}

std::optional<BlockPlace> end_of_following(const Analysis& analysis) {
    const Plan& plan = *analysis.course().body.plan;
    return plan.is_behind({analysis.size(), 0}) ? std::optional(plan.followed_to) : std::nullopt;
}

} // namespace turnwright::machine
