#include "machine/course.h"

namespace turnwright::machine {

struct Execution::Implementation {
    Implementation(const Analysis& analysis, std::size_t blocks)
        : course(analysis.course()), budget{blocks, blocks},
          engine(*course.settings, *course.programs, budget) {
        engine.own = course.body.forest;
    }
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
    const auto index = plan.loop_starts.find(start);
    if (index == plan.loop_starts.end()) return std::nullopt;
    const auto entry = own.course.states->find({JoinKey::Kind::loop_entry, 0, index->second});
    if (entry == own.course.states->end()) return std::nullopt;
    const Loop& loop = plan.loops[static_cast<std::size_t>(index->second)];
    const BlockPlace behind{loop.end.run, loop.end.block + 1};
    own.engine.look = &look;
    own.engine.run(own.course.body, loop.part, loop.start, behind, loop.start, entry->second);
    return behind;
}

} // namespace turnwright::machine
