// Blocks run once over: states of all ways join at labels, loops and the starts of programs.
#include "machine/course.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <utility>

namespace turnwright::machine {

namespace {

constexpr std::int32_t any_label = -1;
constexpr int most_passes = 24; ///< A course settles in a few; this bounds what a hostile one may cost.
constexpr int deepest_loop = 8;
constexpr std::size_t blocks_of_a_loop = 10'000; ///< That one may run turn by turn

/// Who brings something to the joins is put down as who has read them.
const State* find(const JoinStates& states, Recorder* recorder, const JoinKey& key) {
    return recorder ? recorder->read(key) : states.find(key);
}

std::int32_t loop_index(const Plan& plan, BlockPlace place, bool start) {
    return (start ? plan.loop_starts : plan.loop_ends).at(place);
}

/// Where a loop ends; `otherwise` when no way out of it is known.
State behind_loop(const JoinStates& states, Recorder* recorder, std::int32_t loop, const State& otherwise) {
    if (const State* left = find(states, recorder, {JoinKey::Kind::loop_left, 0, loop})) return *left;
    if (const State* out = find(states, recorder, {JoinKey::Kind::loop_exit, 0, loop})) return *out;
    return otherwise;
}

/// What is wrong with a call, at the code that calls; under G66 that is the whole block.
Problem problem_of(const CallLeft& call, const syntax::Block& text, const Reading& reading) {
    Problem problem{*call.problem, call.block, text.begin, text.length, reading.flow_target.number};
    for (const Word& word : reading.words)
        if (word.item && word.code &&
            (word.code->meaning == codes::Meaning::subprogram_call ||
             word.code->meaning == codes::Meaning::macro_call)) {
            problem.begin = word.item->begin;
            problem.length = word.item->end() - word.item->begin;
        }
    return problem;
}

/// Whether a jump leads out of a loop whose end is known without it.
bool leaves_loop(const Plan& plan, Recorder& recorder, BlockPlace from, std::uint32_t part,
                 std::int32_t label) {
    for (std::int32_t loop = plan.loop_around(from); loop >= 0;) {
        const Loop& around = plan.loops[static_cast<std::size_t>(loop)];
        if (recorder.read({JoinKey::Kind::loop_left, 0, loop})) {
            const auto to = plan.target_places.find({part, label});
            if (to == plan.target_places.end() || !around.contains(to->second)) return true;
        }
        loop = around.around;
    }
    return false;
}

} // namespace

void Recorder::begin_pass() {
    stale_ = 0;
    states_.each([](Join& join) { join = {std::move(join.state)}; });
}

void Recorder::begin_step(std::size_t run) {
    run_ = static_cast<std::uint32_t>(run + 1);
    ++step_;
    changes.clear();
    made_stale.clear();
}

void Recorder::note_read(Join& held) {
    constexpr auto several = static_cast<std::uint32_t>(-1);
    if (held.reader == 0)
        held.reader = run_;
    else if (held.reader != run_)
        held.reader = several;
    else if (held.stale_at != 0 && held.stale_at < step_) {
        held.stale_at = 0; // The one run that had read it is run again
        --stale_;
    }
    held.read_at = step_;
}

void Recorder::note_change(const JoinKey& key, Join& held) {
    // A run that is run again has not read it yet, whatever it did before.
    if (held.reader == 0 || (held.reader == run_ && held.read_at < step_)) return;
    if (held.stale_at == 0) ++stale_;
    held.stale_at = step_;
    made_stale.push_back(key);
}

const State* Recorder::read(const JoinKey& key) {
    if (reads_) reads_->push_back({key, static_cast<std::uint32_t>(records_->size()), false});
    if (step_ == 0) return states_.find(key);
    Join& held = states_.at(key);
    note_read(held);
    return held.state.get();
}

bool Recorder::reads_again(const JoinKey& key) {
    Join& held = states_.at(key);
    if (held.reader != run_ || held.stale_at != step_ || std::erase(made_stale, key) == 0) return false;
    held.stale_at = 0;
    --stale_;
    if (reads_) reads_->push_back({key, static_cast<std::uint32_t>(records_->size()), true});
    return true;
}

void Recorder::repeat(const Read& read) {
    if (read.again)
        reads_again(read.key);
    else
        note_read(states_.at(read.key));
}

void Recorder::note(const JoinKey& key, Join& held, StatePointer is) {
    grew = true;
    StatePointer was = std::exchange(held.state, std::move(is));
    if (step_ == 0) return;
    changes.push_back({key, std::move(was), held.state, &held,
                       records_ ? static_cast<std::uint32_t>(records_->size()) : 0});
    note_change(key, held);
}

void Recorder::record(const JoinKey& key, const State& state) {
    if (!state.reachable) return;
    const StatePointer& known = states_.at(key).state;
    // Where the same came before, it is held once.
    const bool is_known = known && *known == state;
    const StatePointer held = is_known ? known : std::make_shared<const State>(state);
    if (records_) records_->push_back({key, held, false});
    if (!is_known) join_in(key, held);
}

void Recorder::join_in(const JoinKey& key, const StatePointer& state) {
    Join& held = states_.at(key);
    if (!held.state) return note(key, held, state);
    if (same_state(held.state, state)) return;
    State joined = join(*held.state, *state);
    if (joined == *held.state) return;
    note(key, held, joined == *state ? state : std::make_shared<const State>(std::move(joined)));
}

void Recorder::put(const JoinKey& key, StatePointer state) {
    Join& held = states_.at(key);
    const bool is_known = same_state(held.state, state);
    if (is_known) state = held.state;
    if (records_) records_->push_back({key, state, true});
    if (!is_known) note(key, held, std::move(state));
}

void Recorder::repeat(std::span<const Read> reads, std::span<const Record> records) {
    std::vector<Record> done;
    write_down(&done, nullptr);
    for (const Record& record : records) {
        for (; !reads.empty() && reads.front().records <= done.size(); reads = reads.subspan(1))
            repeat(reads.front());
        if (record.alone) {
            put(record.key, record.state);
        } else {
            done.push_back(record);
            join_in(record.key, record.state);
        }
    }
    for (const Read& read : reads) repeat(read);
    write_down(nullptr, nullptr);
}

void Recorder::repeat(std::span<const Read> reads, std::span<const Change> all) {
    for (const Change& change : all) {
        for (; !reads.empty() && reads.front().records < change.records; reads = reads.subspan(1))
            repeat(reads.front());
        change.held->state = change.is;
        note_change(change.key, *change.held);
    }
    for (const Read& read : reads) repeat(read);
    grew = grew || !all.empty();
}

State Engine::entry(const Body& body, std::uint32_t index, const JoinStates& states,
                    Recorder* recorder) const {
    const PlanPart& part = body.plan->parts[index];
    if (part.has_start)
        if (const State* called = find(states, recorder, {JoinKey::Kind::program, 0, part.number}))
            return *called;
    if (part.is_subprogram) return unknown_state(Why::other_program);
    return power_on_state(settings_);
}

void Engine::enter(const Body& body, BlockPlace place, State& state, const JoinStates& states,
                   Recorder* recorder) {
    const Plan& plan = *body.plan;
    std::uint32_t part = plan.part_of(place);
    const PlanPart& program = plan.parts[part];
    if (program.has_start && program.start == place) {
        bool first_of_file = part == 0 && !program.called && !program.is_subprogram;
        if (!first_of_file) state = entry(body, part, states, recorder);
    }
    auto join_from = [&](const JoinKey& key) {
        const State* waiting = find(states, recorder, key);
        if (waiting) state = join(state, *waiting);
    };
    const std::int32_t loop = loop_index(plan, place, true);
    const bool jumped = loop >= 0 && plan.loops[static_cast<std::size_t>(loop)].jumps > 0;
    // Before what its own jumps bring back.
    if (jumped && recorder) run_loop(body, loop, state, *recorder);
    const std::vector<Label>& labels = (*body.shapes)[place.run]->labels; // In order
    auto label = std::lower_bound(labels.begin(), labels.end(), place.block,
                                  [](const Label& one, std::size_t block) { return one.block < block; });
    for (; label != labels.end() && label->block == place.block; ++label) {
        if (plan.targets.contains({part, label->number}))
            join_from({JoinKey::Kind::label, part, label->number});
        if (plan.any_label.contains(part)) join_from({JoinKey::Kind::label, part, any_label});
    }
    if (loop >= 0 && !jumped) {
        if (recorder) run_loop(body, loop, state, *recorder);
        join_from({JoinKey::Kind::loop_back, 0, loop});
    }
}

/// Turn by turn, what comes to the loop leaves it in one state only; else its end joins all turns.
void Engine::run_loop(const Body& body, std::int32_t index, const State& above, Recorder& recorder) {
    const Loop& loop = body.plan->loops[static_cast<std::size_t>(index)];
    const JoinKey entry{JoinKey::Kind::loop_entry, 0, index}, left{JoinKey::Kind::loop_left, 0, index};
    std::optional<Outcome> outcome;
    if (above.reachable && !above.ended && loop.closed && loop.depth < deepest_loop) {
        const Budget outer = budget_;
        const std::size_t given = std::min(budget_.loops, blocks_of_a_loop);
        budget_ = {given, 0, false};
        const BlockPlace end{loop.end.run, loop.end.block + 1};
        const Look* const shown = std::exchange(look, nullptr);
        outcome = run(body, loop.part, loop.start, end, loop.start, above);
        look = shown;
        const bool ran_out = budget_.ran_out && given < blocks_of_a_loop;
        budget_ = {outer.left, outer.loops - budget_.used(given), outer.ran_out || ran_out, outer.withheld};
        if (outcome->ran != Ran::to_end || outcome->to_label) outcome.reset();
    }
    if (!outcome) {
        recorder.put(entry, nullptr);
        recorder.put(left, nullptr);
        return;
    }
    const auto before = std::make_shared<const State>(above);
    recorder.put(entry, before);
    const bool behind = outcome->next && *outcome->next == BlockPlace{loop.end.run, loop.end.block + 1};
    State at_end = outcome->state;
    if (!behind) at_end.reachable = false;
    recorder.put(left, at_end == above ? before : std::make_shared<const State>(std::move(at_end)));
    if (outcome->next && !behind && outcome->next->run < body.forest->size())
        for (const Label& label : (*body.shapes)[outcome->next->run]->labels)
            if (label.block == outcome->next->block)
                recorder.record({JoinKey::Kind::label, loop.part, label.number}, outcome->state);
}

void Engine::leave(const Body& body, BlockPlace place, State& state, Reading& reading,
                   const JoinStates* states, Recorder* recorder) {
    const Plan& plan = *body.plan;
    std::uint32_t part = plan.part_of(place);
    auto note = [&](JoinKey key, const State& noted) {
        if (!recorder) return;
        if (key.kind == JoinKey::Kind::label && leaves_loop(plan, *recorder, place, part, key.number)) return;
        recorder->record(key, noted);
    };
    switch (reading.flow) {
    case FlowKind::jump:
    case FlowKind::maybe_jump: {
        bool known = reading.flow_target.known();
        note({JoinKey::Kind::label, part, known ? whole_number(reading.flow_target.number) : any_label},
             state);
        if (reading.flow == FlowKind::jump && states) state.reachable = false;
        if (const std::int32_t loop = loop_index(plan, place, false); loop >= 0 && states)
            if (const State* left = find(*states, recorder, {JoinKey::Kind::loop_left, 0, loop}))
                state = *left;
        break;
    }
    case FlowKind::loop_start: {
        std::int32_t loop = loop_index(plan, place, true);
        if (loop < 0 || !states) break;
        bool surely = reading.condition.known() && reading.condition.number != 0;
        bool never = reading.condition.known() && reading.condition.number == 0;
        if (!surely) note({JoinKey::Kind::loop_exit, 0, loop}, state);
        if (never) state.reachable = false;
        break;
    }
    case FlowKind::loop_end: {
        std::int32_t loop = loop_index(plan, place, false);
        if (loop < 0 || !states) break;
        note({JoinKey::Kind::loop_back, 0, loop}, state);
        state.reachable = false;
        state = behind_loop(*states, recorder, loop, state);
        break;
    }
    case FlowKind::modal_call:
        state.modal_arguments = with_arguments(state, reading).variables;
        break;
    case FlowKind::program_return:
        if (reading.flow_target.known() && !plan.parts[part].is_subprogram && recorder) {
            State onward = state;
            onward.reachable = true;
            onward.ended = false;
            note({JoinKey::Kind::label, part, whole_number(reading.flow_target.number)}, onward);
        }
        break;
    default:
        break;
    }
}

void Engine::call_once_over(const Body& body, BlockPlace place, State& state, Reading& reading,
                            Recorder* recorder) {
    const syntax::Block& text = body.run(place.run).blocks[place.block];
    const State caller = state;
    // Within a called program nobody asks what enters another: a join there would only make it run again.
    if (recorder && open_.empty() && reading.flow_target.known())
        if (const auto number = whole_number(reading.flow_target.number); body.plan->program(number)) {
            const bool modal = reading.flow == FlowKind::none, macro = reading.flow == FlowKind::macro_call;
            recorder->record({JoinKey::Kind::program, 0, number}, modal   ? with_modal_arguments(caller)
                                                                  : macro ? with_arguments(caller, reading)
                                                                          : caller);
        }
    const bool any_work = budget_.left > 0; // Told where it ends, and not again at each call below
    Left left = call(body, caller, reading);
    CallLeft kept;
    kept.block = static_cast<std::uint16_t>(place.block);
    if (left.followed == Followed::calls_itself) kept.problem = ProblemKind::recursion_too_deep;
    if (left.followed == Followed::cut_short && any_work) kept.problem = ProblemKind::call_cut_short;
    if (recorder)
        for (auto& [label, back] : left.to_label)
            recorder->record({JoinKey::Kind::label, body.plan->part_of(place), label}, back);
    // Whether block delete is on is not known.
    state = text.deleted ? join(caller, left.behind) : std::move(left.behind);
    state.deleted.reset();
    // A called program is not a jump the restart check could follow: what it surely set, the caller's block
    // set.
    for (std::size_t group = 0; group < codes::group_count && !text.deleted; ++group)
        if (!(state.modal[group] == caller.modal[group]) && state.modal[group].known())
            kept.sets |= Parts{1} << group;
    reading.sets |= kept.sets;
    if (kept.problem) reading.problems.push_back(problem_of(kept, text, reading));
    if (!calls_left) return;
    const bool as_before = !calls_left->empty() && *calls_left->back().state == state;
    kept.state = as_before ? calls_left->back().state : std::make_shared<const State>(state);
    calls_left->push_back(std::move(kept));
}

void Engine::step(const Body& body, BlockPlace place, State& state, Reading& reading,
                  const JoinStates* states, Recorder* recorder, const std::vector<CallLeft>* left) {
    bool was_reachable = state.reachable;
    interpret(body.run(place.run), place.block, settings_, state, reading);
    // A block that only starts a program becomes reachable in interpret().
    if (!was_reachable && !state.reachable) {
        // A loop that is passed over comes out at its end, which nothing in it reaches.
        if (std::int32_t loop = loop_index(*body.plan, place, false); loop >= 0 && states)
            state = behind_loop(*states, recorder, loop, state);
        return;
    }
    if (!calls(state, reading)) return leave(body, place, state, reading, states, recorder);
    if (!reading.is_read) return;
    if (!left) return call_once_over(body, place, state, reading, recorder);
    const auto known =
        std::lower_bound(left->begin(), left->end(), place.block,
                         [](const CallLeft& call, std::size_t block) { return call.block < block; });
    if (known == left->end() || known->block != place.block) return;
    state = *known->state;
    reading.sets |= known->sets;
    if (known->problem)
        reading.problems.push_back(problem_of(*known, body.run(place.run).blocks[place.block], reading));
}

Engine::Left Engine::settle(const Body& body, std::uint32_t index, const State& in) {
    const Plan& plan = *body.plan;
    const PlanPart& part = plan.parts[index];
    const BlockPlace first = part.has_start ? part.start : part.first;
    const BlockPlace end = plan.end_of_part(index, body.forest->size());
    JoinStates states;
    Recorder recorder(states);
    Reading reading;
    Left left;
    left.followed = Followed::undecided;
    auto* const outer = std::exchange(calls_left, nullptr);
    for (int pass = 0; pass < most_passes; ++pass) {
        recorder.grew = false;
        State state = in;
        left.behind = State{};
        left.behind.reachable = false;
        left.to_label.clear();
        for (BlockPlace place = first; place < end;) {
            const syntax::Run& run = body.run(place.run);
            if (place.block >= run.blocks.size()) {
                place = {place.run + 1, 0};
                if (place.run >= body.forest->size()) break;
                continue;
            }
            if (!budget_.take()) break;
            if (!(part.has_start && place == part.start)) enter(body, place, state, states, &recorder);
            const bool was_reachable = state.reachable;
            step(body, place, state, reading, &states, &recorder);
            if (was_reachable && reading.flow == FlowKind::program_return) {
                State back = state;
                back.reachable = true;
                back.ended = false;
                if (reading.flow_target.known()) {
                    auto label = whole_number(reading.flow_target.number);
                    auto [at, is_new] = left.to_label.try_emplace(label, back);
                    if (!is_new) at->second = join(at->second, back);
                } else {
                    left.behind = join(left.behind, back);
                }
            }
            ++place.block;
        }
        if (budget_.ran_out) left.followed = Followed::cut_short;
        if (state.reachable && !state.ended)
            left.behind = join(left.behind, state); // Runs off its last block
        if (!recorder.grew || left.followed == Followed::cut_short) break;
        // Not settled in so many passes: nothing is known.
        if (pass + 1 == most_passes) left.behind = unknown_state(Why::joined);
    }
    calls_left = outer;
    return left;
}

} // namespace turnwright::machine
