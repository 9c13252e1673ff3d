// Runs blocks along a plan: joins at labels and loops, jumps, calls of programs here and in the library.

#include "machine/course.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>

namespace turnwright::machine {

namespace {

constexpr std::int32_t any_label = -1;
constexpr int most_passes = 24; ///< A course settles in a few; this bounds what a hostile one may cost.

const State* find(const JoinStates& states, const JoinKey& key) {
    auto at = states.find(key);
    return at == states.end() ? nullptr : &at->second;
}

std::int32_t loop_index(const Plan& plan, BlockPlace place, bool start) {
    const auto& index = start ? plan.loop_starts : plan.loop_ends;
    auto at = index.find(place);
    return at == index.end() ? -1 : at->second;
}

/// Argument letters to local variables, list I (common practice, no source).
int argument_variable(char letter) {
    static constexpr std::pair<char, int> table[] = {
        {'A', 1},  {'B', 2},  {'C', 3},  {'D', 7},  {'E', 8},  {'F', 9},  {'H', 11},
        {'I', 4},  {'J', 5},  {'K', 6},  {'M', 13}, {'Q', 17}, {'R', 18}, {'S', 19},
        {'T', 20}, {'U', 21}, {'V', 22}, {'W', 23}, {'X', 24}, {'Y', 25}, {'Z', 26}};
    for (auto [name, number] : table)
        if (name == letter) return number;
    return 0;
}

/// I J K written more than once, or in a second set: list II numbers them 4 5 6, 7 8 9, ...
bool uses_second_list(const Reading& reading) {
    int count[3] = {0, 0, 0};
    for (const Word& word : reading.words)
        if (word.letter >= 'I' && word.letter <= 'K') ++count[word.letter - 'I'];
    return count[0] > 1 || count[1] > 1 || count[2] > 1;
}

VariablesPointer without_locals(const VariablesPointer& variables) {
    auto kept = std::make_shared<Variables>();
    if (variables)
        for (const auto& entry : variables->values)
            if (entry.first > 33) kept->values.push_back(entry);
    // others_unknown would make the new locals unknown too; commons that are not listed are unknown anyway.
    kept->others_unknown = false;
    return kept;
}

State with_arguments(const State& caller, const Reading& reading) {
    State inside = caller;
    inside.variables = without_locals(caller.variables);
    bool second = uses_second_list(reading);
    int group = 0;
    int last = -1;
    for (const Word& word : reading.words) {
        if (word.letter == 'G' || word.letter == 'N' || word.letter == 'P' || word.letter == 'L' ||
            word.letter == 'O')
            continue;
        int number = argument_variable(word.letter);
        if (second && word.letter >= 'I' && word.letter <= 'K') {
            int place = word.letter - 'I';
            if (place <= last) ++group;
            last = place;
            number = 4 + 3 * group + place;
        }
        if (number > 0 && number <= 33) inside.set_variable(number, word.value);
    }
    return inside;
}

void restore_locals(State& after, const State& caller) {
    auto merged = std::make_shared<Variables>();
    merged->others_unknown = caller.variables && caller.variables->others_unknown;
    if (caller.variables)
        for (const auto& entry : caller.variables->values)
            if (entry.first <= 33) merged->values.push_back(entry);
    if (after.variables)
        for (const auto& entry : after.variables->values)
            if (entry.first > 33) merged->values.push_back(entry);
    after.variables = std::move(merged);
}

} // namespace

void Recorder::record(const JoinKey& key, const State& state) {
    if (!state.reachable) return;
    if (replay) replay->emplace_back(key, state);
    auto [at, is_new] = states_.try_emplace(key, state);
    if (!is_new) {
        State joined = join(at->second, state);
        if (joined == at->second) return;
        at->second = std::move(joined);
    }
    grew = true;
    grown.push_back(key);
}

State Engine::entry(const Body& body, std::uint32_t index, const JoinStates& states) const {
    const PlanPart& part = body.plan->parts[index];
    if (part.has_start)
        if (const State* called = find(states, {JoinKey::Kind::program, 0, part.number})) return *called;
    if (part.is_subprogram) return unknown_state(Why::other_program);
    return power_on_state(settings_);
}

void Engine::enter(const Body& body, BlockPlace place, State& state, const JoinStates& states) {
    const Plan& plan = *body.plan;
    std::uint32_t part = plan.part_of(place);
    const PlanPart& program = plan.parts[part];
    if (program.has_start && program.start == place) {
        bool first_of_file = part == 0 && !program.called && !program.is_subprogram;
        if (!first_of_file) state = entry(body, part, states);
    }
    auto join_from = [&](const JoinKey& key) {
        const State* waiting = find(states, key);
        if (waiting) state = join(state, *waiting);
    };
    for (const Label& label : (*body.shapes)[place.run]->labels)
        if (label.block == place.block) {
            if (plan.targets.contains({part, label.number}))
                join_from({JoinKey::Kind::label, part, label.number});
            if (plan.any_label.contains(part)) join_from({JoinKey::Kind::label, part, any_label});
        }
    if (std::int32_t loop = loop_index(plan, place, true); loop >= 0)
        join_from({JoinKey::Kind::loop_back, 0, loop});
}

void Engine::leave(const Body& body, BlockPlace place, State& state, Reading& reading,
                   const JoinStates* states, Recorder* recorder, Budget& budget) {
    const Plan& plan = *body.plan;
    std::uint32_t part = plan.part_of(place);
    auto note = [&](JoinKey key) {
        if (recorder) recorder->record(key, state);
    };
    switch (reading.flow) {
    case FlowKind::jump:
    case FlowKind::maybe_jump: {
        bool known = reading.flow_target.known();
        note({JoinKey::Kind::label, part, known ? whole_number(reading.flow_target.number) : any_label});
        if (reading.flow == FlowKind::jump && states) state.reachable = false;
        break;
    }
    case FlowKind::loop_start: {
        std::int32_t loop = loop_index(plan, place, true);
        if (loop < 0 || !states) break;
        bool surely = reading.condition.known() && reading.condition.number != 0;
        bool never = reading.condition.known() && reading.condition.number == 0;
        if (!surely) note({JoinKey::Kind::loop_exit, 0, loop});
        if (never) state.reachable = false;
        break;
    }
    case FlowKind::loop_end: {
        std::int32_t loop = loop_index(plan, place, false);
        if (loop < 0 || !states) break;
        note({JoinKey::Kind::loop_back, 0, loop});
        state.reachable = false;
        if (const State* out = find(*states, {JoinKey::Kind::loop_exit, 0, loop})) state = *out;
        break;
    }
    case FlowKind::subprogram_call:
    case FlowKind::macro_call:
        call(body, place, state, reading, recorder, budget);
        break;
    case FlowKind::modal_call: {
        State inside = with_arguments(state, reading);
        state.modal_arguments = inside.variables;
        break;
    }
    case FlowKind::none: {
        // Under G66 the macro runs behind every move.
        bool moves = reading.motion != MotionKind::none && (reading.moves_x || reading.moves_z);
        if (!moves || reading.in_contour || !state.is(codes::Meaning::modal_call)) break;
        reading.flow_target = state.modal_program;
        reading.repeats = Value::of(1);
        call(body, place, state, reading, recorder, budget);
        break;
    }
    case FlowKind::program_return:
        if (reading.flow_target.known() && !plan.parts[part].is_subprogram && recorder) {
            State onward = state;
            onward.reachable = true;
            onward.ended = false;
            recorder->record({JoinKey::Kind::label, part, whole_number(reading.flow_target.number)}, onward);
        }
        break;
    default:
        break;
    }
}

const Body* Engine::library_body(std::int32_t number) {
    if (!library_) return nullptr;
    auto [at, is_new] = loaded_.try_emplace(number);
    if (is_new) {
        auto forest = library_->find_program(number);
        if (forest) {
            auto loaded = std::make_unique<Loaded>();
            loaded->forest = std::move(forest);
            for (const auto& run : loaded->forest->runs())
                loaded->shapes.push_back(std::make_shared<RunShape>(shape_of(*run, settings_)));
            loaded->plan = make_plan(loaded->shapes, settings_, nullptr);
            loaded->body = {&loaded->forest->runs(), &loaded->shapes, &loaded->plan};
            at->second = std::move(loaded);
        }
    }
    return at->second ? &at->second->body : nullptr;
}

void Engine::call(const Body& body, BlockPlace place, State& state, Reading& reading, Recorder* recorder,
                  Budget& budget) {
    const State caller = state;
    auto give_up = [&](Why why) {
        State lost = unknown_state(why);
        lost.program = caller.program;
        state = lost;
    };
    if (!reading.flow_target.known()) return give_up(Why::computed);
    auto number = whole_number(reading.flow_target.number);
    bool modal = reading.flow == FlowKind::none;
    bool macro = modal || reading.flow == FlowKind::macro_call;
    auto enter_with = [&](const State& from) {
        if (!modal) return macro ? with_arguments(from, reading) : from;
        State inside = from;
        auto variables = std::make_shared<Variables>(*without_locals(from.variables));
        if (from.modal_arguments) {
            variables->others_unknown = from.modal_arguments->others_unknown;
            for (const auto& entry : from.modal_arguments->values)
                if (entry.first <= 33) variables->values.push_back(entry);
            std::sort(variables->values.begin(), variables->values.end(),
                      [](const auto& a, const auto& b) { return a.first < b.first; });
        }
        inside.variables = std::move(variables);
        inside.set(codes::Meaning::modal_call_off); // The macro's own moves call nothing.
        return inside;
    };
    State inside = enter_with(caller);

    const Body* callee = &body;
    const PlanPart* part = body.plan->program(number);
    // Within a called program nobody asks what enters another: a join there would only make it run again.
    if (part && recorder && budget.depth == 0) recorder->record({JoinKey::Kind::program, 0, number}, inside);
    if (!part) {
        callee = library_body(number);
        if (!callee) return give_up(Why::other_program);
        part = callee->plan->program(number);
        if (!part) part = callee->plan->parts.data(); // Found by its file's name
    }
    if (budget.depth >= Budget::deepest_call) {
        reading.problems.push_back({ProblemKind::recursion_too_deep, static_cast<std::uint16_t>(place.block),
                                    (*body.runs)[place.run]->blocks[place.block].begin, 1,
                                    static_cast<double>(number)});
        return give_up(Why::other_program);
    }
    auto index = static_cast<std::uint32_t>(part - callee->plan->parts.data());
    // A program that is running already would only come back here: what it leaves in the end is not known.
    const std::pair<const Plan*, std::uint32_t> entered{callee->plan, index};
    if (std::find(budget.open.begin(), budget.open.end(), entered) != budget.open.end())
        return give_up(Why::other_program);
    budget.open.push_back(entered);
    if (budget.depth == 0) budget.blocks = budget.a_call;
    double repeats = reading.repeats.known() ? std::max(1.0, std::floor(reading.repeats.number)) : 1;
    ++budget.depth;
    State out = inside;
    for (double round = 0; round < std::min(repeats, 64.0) && budget.blocks > 0; ++round) {
        State before = macro && round > 0 ? enter_with(out) : out;
        Left left = run_program(*callee, index, before, budget);
        out = std::move(left.behind);
        for (auto& [label, back] : left.to_label) {
            if (macro) restore_locals(back, caller);
            back.program = caller.program;
            if (recorder) recorder->record({JoinKey::Kind::label, body.plan->part_of(place), label}, back);
        }
        if (!out.reachable || out == before) break;
    }
    --budget.depth;
    budget.open.pop_back();
    if (!reading.repeats.known() || repeats > 64) out = join(out, unknown_state(Why::computed));
    if (macro) restore_locals(out, caller);
    if (modal) {
        out.of(codes::Group::modal_call) = caller.of(codes::Group::modal_call);
        out.modal_program = caller.modal_program;
        out.modal_arguments = caller.modal_arguments;
    }
    out.program = caller.program;
    // A called program is not a jump the restart check could follow: what it surely set, the caller's block
    // set.
    for (std::size_t group = 0; group < codes::group_count; ++group)
        if (!(out.modal[group] == caller.modal[group]) && out.modal[group].known())
            reading.sets |= Parts{1} << group;
    state = std::move(out);
}

Engine::Left Engine::run_program(const Body& body, std::uint32_t index, const State& in, Budget& budget) {
    const Plan& plan = *body.plan;
    BlockPlace first = plan.parts[index].has_start ? plan.parts[index].start : plan.parts[index].first;
    BlockPlace end =
        index + 1 < plan.parts.size() ? plan.parts[index + 1].first : BlockPlace{body.runs->size(), 0};
    JoinStates states;
    Recorder recorder(states);
    Reading reading;
    Left left;
    for (int pass = 0; pass < most_passes; ++pass) {
        recorder.grew = false;
        State state = in;
        State returned;
        returned.reachable = false;
        left.to_label.clear();
        for (BlockPlace place = first; place < end && budget.blocks > 0;) {
            const syntax::Run& run = *(*body.runs)[place.run];
            if (place.block >= run.blocks.size()) {
                place = {place.run + 1, 0};
                if (place.run >= body.runs->size()) break;
                continue;
            }
            --budget.blocks;
            bool is_start = plan.parts[index].has_start && place == plan.parts[index].start;
            if (!is_start) enter(body, place, state, states);
            bool was_reachable = state.reachable;
            step(body, place, state, reading, &states, &recorder, budget);
            if (was_reachable) {
                if (reading.flow == FlowKind::program_return) {
                    State back = state;
                    back.reachable = true;
                    back.ended = false;
                    if (reading.flow_target.known()) {
                        auto label = whole_number(reading.flow_target.number);
                        auto [at, is_new] = left.to_label.try_emplace(label, back);
                        if (!is_new) at->second = join(at->second, back);
                    } else {
                        returned = join(returned, back);
                    }
                }
            }
            ++place.block;
        }
        if (state.reachable && !state.ended) returned = join(returned, state); // Runs off its last block
        left.behind = returned;
        if (!recorder.grew) break;
    }
    if (budget.blocks == 0) left.behind = unknown_state(Why::other_program);
    return left;
}

void Engine::step(const Body& body, BlockPlace place, State& state, Reading& reading,
                  const JoinStates* states, Recorder* recorder, Budget& budget) {
    bool was_reachable = state.reachable;
    interpret(*(*body.runs)[place.run], place.block, settings_, state, reading);
    // A block that only starts a program becomes reachable in interpret().
    if (was_reachable || state.reachable) return leave(body, place, state, reading, states, recorder, budget);
    // A loop that is passed over comes out at its end, which nothing in it reaches.
    if (std::int32_t loop = loop_index(*body.plan, place, false); loop >= 0 && states)
        if (const State* out = find(*states, {JoinKey::Kind::loop_exit, 0, loop})) state = *out;
}

} // namespace turnwright::machine
