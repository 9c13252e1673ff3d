#include "machine/course.h"

namespace turnwright::machine {

struct Execution::Implementation {
    Implementation(const Analysis& of, std::size_t blocks)
        : analysis(of), course(of.course()), budget{blocks, blocks},
          engine(*course.settings, *course.programs, budget) {
        engine.own = course.body.forest;
    }
    const Analysis& analysis;
    Course course;
    Budget budget;
    Engine engine;
};

Execution::Execution(const Analysis& analysis, std::size_t blocks)
    : implementation_(std::make_unique<Implementation>(analysis, blocks)) {}
Execution::~Execution() = default;

std::size_t Execution::blocks_left() const {
    return implementation_->budget.left;
}

Followed Execution::call(const BlockView& view, const Look& look) {
    Implementation& own = *implementation_;
    State state = view.before;
    Reading reading;
    interpret(view.run, view.block, view.settings, state, reading);
    if (!Engine::calls(state, reading)) return Followed::no_call;
    // First without being seen: what cannot be gone through is not begun.
    own.engine.look = nullptr;
    const Followed followed = own.engine.call(own.course.body, state, reading).followed;
    if (followed != Followed::yes) return followed;
    own.engine.look = &look;
    own.engine.call(own.course.body, state, reading);
    return followed;
}

std::optional<BlockPlace> Execution::loop(BlockPlace start, const Look& look) {
    Implementation& own = *implementation_;
    const Plan& plan = *own.course.body.plan;
    const std::int32_t index = plan.loop_starts.at(start);
    if (index < 0) return std::nullopt;
    const State* const entry = own.course.states->find({JoinKey::Kind::loop_entry, 0, index});
    if (!entry) return std::nullopt;
    const Loop& loop = plan.loops[static_cast<std::size_t>(index)];
    const BlockPlace behind{loop.end.run, loop.end.block + 1};
    own.engine.look = &look;
    own.engine.run(own.course.body, loop.part, loop.start, behind, loop.start, *entry);
    return behind;
}

namespace {

/// Programs of the file from which calls lead to one of them, itself among them.
std::set<std::uint32_t> callers_of(const Body& body, std::uint32_t part) {
    std::map<std::uint32_t, std::set<std::uint32_t>> called_by;
    for (std::size_t run = 0; run < body.shapes->size(); ++run)
        for (const FlowMark& mark : (*body.shapes)[run]->flow)
            if (calls_program(mark.kind))
                if (const auto to = body.plan->numbered.find(mark.number); to != body.plan->numbered.end())
                    called_by[to->second].insert(body.plan->part_of({run, mark.block}));
    std::set<std::uint32_t> found{part};
    std::vector<std::uint32_t> open{part};
    while (!open.empty()) {
        const std::uint32_t next = open.back();
        open.pop_back();
        for (std::uint32_t caller : called_by[next])
            if (found.insert(caller).second) open.push_back(caller);
    }
    return found;
}

} // namespace

void Execution::turns_of(BlockPlace wanted, const Look& look) {
    const Body& body = implementation_->course.body;
    const Plan& plan = *body.plan;
    bool done = false;
    const Look only = [&](const Executed& executed) {
        if (executed.is_own && executed.view.run_index == wanted.run && executed.view.block == wanted.block)
            done = !look(executed);
        return !done;
    };
    /// The whole outermost loop around a block; false: none that can be run.
    const auto loop_around = [&](BlockPlace place) {
        std::int32_t at = plan.loop_around(place);
        for (std::int32_t i = at; i >= 0; i = plan.loops[static_cast<std::size_t>(i)].around) at = i;
        return at >= 0 && loop(plan.loops[static_cast<std::size_t>(at)].start, only).has_value();
    };
    const std::uint32_t part = plan.part_of(wanted);
    if (!plan.parts[part].called) {
        loop_around(wanted);
        return;
    }
    const std::set<std::uint32_t> callers = callers_of(body, part);
    BlockPlace behind;
    for (std::size_t run = 0; run < body.shapes->size() && !done && blocks_left() > 0; ++run)
        for (const FlowMark& mark : (*body.shapes)[run]->flow) {
            const BlockPlace place{run, mark.block};
            const auto to = plan.numbered.find(mark.number);
            if (done || place < behind || !calls_program(mark.kind) || to == plan.numbered.end() ||
                !callers.contains(to->second) || plan.parts[plan.part_of(place)].is_subprogram)
                continue;
            if (const std::int32_t around = plan.loop_around(place); around >= 0) {
                if (loop_around(place)) behind = plan.loops[static_cast<std::size_t>(around)].end;
                continue;
            }
            Analysis::Passed passed;
            implementation_->analysis.visit_span(place, place, passed, [&](const BlockView& view) {
                if (view.reading.is_read && view.before.reachable) call(view, only);
            });
        }
}

} // namespace turnwright::machine
