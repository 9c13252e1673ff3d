// Blocks run in the order of the control, for as long as it is known which way they go.
#include "machine/course.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>

namespace turnwright::machine {

namespace {

constexpr std::size_t deepest_call = 10;
constexpr std::size_t most_blocks_of_a_call = 100'000;
/// Behind a program that calls itself: what it leaves is not known, so little more is to be learnt.
constexpr std::size_t blocks_behind_a_ring = 1000;

} // namespace

bool Engine::calls(const State& after, Reading& reading) {
    if (reading.flow == FlowKind::subprogram_call || reading.flow == FlowKind::macro_call) return true;
    // Under G66 the macro runs behind every move.
    const bool moves = reading.motion != MotionKind::none && (reading.moves_x || reading.moves_z);
    if (reading.flow != FlowKind::none || !moves || reading.in_contour ||
        !after.is(codes::Meaning::modal_call))
        return false;
    reading.flow_target = after.modal_program;
    reading.repeats = Value::of(1);
    return true;
}

std::optional<BlockPlace> Engine::label_place(const Body& body, std::uint32_t part, const Value& label,
                                              BlockPlace from) {
    if (!label.known()) return std::nullopt;
    const std::int32_t number = whole_number(label.number);
    if (const auto at = body.plan->target_places.find({part, number}); at != body.plan->target_places.end())
        return at->second;
    // A computed label: looked for below, then from the top.
    const BlockPlace end = body.plan->end_of_part(part, body.forest->size());
    const BlockPlace first = body.plan->parts[part].first;
    std::optional<BlockPlace> above;
    for (std::size_t run = first.run; run <= end.run && run < body.forest->size(); ++run) {
        if (!budget_.take()) return std::nullopt;
        for (const Label& held : (*body.shapes)[run]->labels) {
            const BlockPlace place{run, held.block};
            if (held.number != number || place < first || place >= end) continue;
            if (place > from) return place;
            if (!above) above = place;
        }
    }
    return above;
}

Engine::Outcome Engine::run(const Body& body, std::uint32_t part, BlockPlace first, BlockPlace end,
                            BlockPlace from, State state) {
    const Plan& plan = *body.plan;
    Outcome out;
    out.state = std::move(state);
    Reading reading;
    State before;
    BlockPlace place = from;
    std::optional<State> turned; ///< Back at `from`, the last time
    auto stopped = [&](Ran why) {
        out.ran = why;
        out.next = place;
        return std::move(out);
    };
    for (;;) {
        if (place < first || place >= end || place.run >= body.forest->size()) {
            out.next = place;
            return out;
        }
        if (place.block >= body.run(place.run).blocks.size()) {
            place = {place.run + 1, 0};
            continue;
        }
        if (!budget_.take()) return stopped(Ran::cut_short);
        const syntax::Run& run = body.run(place.run);
        const syntax::Block& text = run.blocks[place.block];
        if (text.item_count == 0) {
            ++place.block;
            continue;
        }
        if (look) before = read_before(run, place.block, out.state);
        interpret(run, place.block, settings_, out.state, reading);
        const bool makes_call = calls(out.state, reading);
        const bool turns = !makes_call && reading.flow != FlowKind::none &&
                           reading.flow != FlowKind::modal_call && reading.flow != FlowKind::modal_call_off;
        // Whether block delete is on is not known.
        if (turns && text.deleted) return stopped(Ran::undecided);
        if (reading.flow == FlowKind::modal_call)
            out.state.modal_arguments = with_arguments(out.state, reading).variables;

        Left left;
        const Look* const shown = look;
        if (makes_call) {
            // First without being seen: what cannot be gone through is not begun.
            look = nullptr;
            left = call(body, out.state, reading);
            look = shown;
        }
        if (shown) {
            const PlanPart& program = plan.parts[part];
            const State& after = read_behind(run, place.block, out.state);
            const BlockView view{run, place.run, place.block, text, before, after, reading, settings_};
            if (!(*shown)({view, *body.forest, body.forest == own, program.number, program.first,
                           open_.size(), left.followed}))
                return stopped(Ran::cut_short);
        }
        if (makes_call) {
            if (shown && left.followed == Followed::yes) left = call(body, out.state, reading);
            if (shown && left.followed == Followed::cut_short) return stopped(Ran::cut_short);
            const State caller = std::move(out.state);
            out.state = std::move(left.behind);
            if (text.deleted) out.state = join(caller, out.state);
            if (!left.to_label.empty()) {
                const auto to = label_place(body, part, Value::of(left.to_label.begin()->first), place);
                if (left.to_label.size() > 1 || out.state.reachable || !to || text.deleted)
                    return stopped(Ran::undecided);
                out.state = std::move(left.to_label.begin()->second);
                place = *to;
                continue;
            }
            if (!out.state.reachable) return out; // It ended in there
            ++place.block;
            continue;
        }
        switch (reading.flow) {
        case FlowKind::jump: {
            const auto to = label_place(body, part, reading.flow_target, place);
            if (!to) return stopped(Ran::undecided);
            // Back where it was with nothing changed since: it would never end.
            if (*to == from && turned && *turned == out.state) return stopped(Ran::cut_short);
            if (*to == from) turned = out.state;
            place = *to;
            continue;
        }
        case FlowKind::maybe_jump:
            return stopped(Ran::undecided);
        case FlowKind::loop_start: {
            const std::int32_t loop = plan.loop_starts.at(place);
            if (loop < 0 || !reading.condition.known()) return stopped(Ran::undecided);
            if (reading.condition.number == 0) place = plan.loops[static_cast<std::size_t>(loop)].end;
            break;
        }
        case FlowKind::loop_end: {
            const std::int32_t loop = plan.loop_ends.at(place);
            if (loop < 0) return stopped(Ran::undecided);
            place = plan.loops[static_cast<std::size_t>(loop)].start;
            continue;
        }
        case FlowKind::program_return:
            if (plan.parts[part].is_subprogram || !open_.empty()) {
                out.state.reachable = true;
                out.state.ended = false;
                if (reading.flow_target.known())
                    out.to_label = whole_number(reading.flow_target.number);
                else if (!reading.flow_target.surely_unset())
                    return stopped(Ran::undecided);
                return out;
            }
            if (reading.flow_target.known()) {
                const auto to = label_place(body, part, reading.flow_target, place);
                if (!to) return stopped(Ran::undecided);
                out.state.reachable = true;
                out.state.ended = false;
                place = *to;
                continue;
            }
            return out;
        case FlowKind::program_end:
            return out;
        default:
            break;
        }
        ++place.block;
    }
}

Engine::Left Engine::call(const Body& body, const State& state, const Reading& reading) {
    auto given_up = [&](Followed why, Why reason = Why::other_program) {
        Left left;
        left.behind = unknown_state(reason);
        // What is assumed of the program, or switched on at the machine, is assumed behind it too, where it
        // was no other before.
        for (codes::Group group :
             {codes::Group::units, codes::Group::feed_mode, codes::Group::plane, codes::Group::distance}) {
            const Assumption& assumption = *settings_.assumed.of(group);
            std::optional<codes::Meaning> meaning;
            if (assumption.by != Sign::none) meaning = assumption.meaning;
            if (!meaning && group == codes::Group::units) meaning = settings_.machine.units;
            for (const codes::Meaning on : settings_.machine.power_on)
                if (!meaning && codes::group_of(on) == group) meaning = on;
            if (meaning && state.is(*meaning)) left.behind.of(group) = {Modal::of(*meaning).possible, reason};
        }
        // And that the spindle turns behind it as it did.
        if (reason == Why::other_program && why == Followed::not_found && state.speaks_to_main()) {
            const auto keep = [&](codes::Group group) {
                if (state.of(group).known()) left.behind.of(group) = {state.of(group).possible, reason};
            };
            keep(codes::Group::spindle_mode);
            if (!state.is(codes::Meaning::spindle_stop)) keep(codes::Group::spindle_direction);
            if (state.speed.known() || state.speed.is_assumed())
                left.behind.speed = {state.speed.number, reason};
            if (state.speed_limit.known() || state.speed_limit.is_assumed())
                left.behind.speed_limit = {state.speed_limit.number, reason};
        }
        left.followed = why;
        return left;
    };
    if (!reading.flow_target.known()) return given_up(Followed::unknown_program, Why::computed);
    const std::int32_t number = whole_number(reading.flow_target.number);
    Callee callee{&body, 0};
    const PlanPart* part = body.plan->program(number);
    if (!part) {
        callee.body = programs_.find(number);
        if (!callee.body) return given_up(Followed::not_found);
        part = callee.body->plan->program(number);
        if (!part) part = callee.body->plan->parts.data(); // Found by its file's name
    }
    callee.part = static_cast<std::uint32_t>(part - callee.body->plan->parts.data());
    // A program that is running already would only come back here: what it leaves in the end is not known.
    const std::pair<const Plan*, std::uint32_t> entered{callee.body->plan, callee.part};
    if (open_.size() >= deepest_call || std::find(open_.begin(), open_.end(), entered) != open_.end()) {
        budget_.leave(blocks_behind_a_ring);
        return given_up(Followed::calls_itself);
    }
    const Budget outer = budget_;
    const bool outermost = open_.empty();
    if (outermost) budget_ = {std::min(budget_.left, most_blocks_of_a_call), budget_.loops, false};
    const std::size_t given = budget_.left;
    open_.push_back(entered);
    Left left = follow(callee, state, reading);
    open_.pop_back();
    if (outermost)
        budget_ = {outer.left - budget_.used(given), budget_.loops,
                   outer.ran_out ||
                       (budget_.ran_out && budget_.withheld == 0 && given < most_blocks_of_a_call),
                   outer.withheld};
    if (left.followed == Followed::cut_short) return given_up(Followed::cut_short);
    return left;
}

Engine::Left Engine::follow(const Callee& callee, const State& caller, const Reading& reading) {
    const bool modal = reading.flow == FlowKind::none;
    const bool macro = modal || reading.flow == FlowKind::macro_call;
    const auto enter_with = [&](const State& from) {
        return modal ? with_modal_arguments(from) : macro ? with_arguments(from, reading) : from;
    };
    const Plan& plan = *callee.body->plan;
    const PlanPart& part = plan.parts[callee.part];
    const BlockPlace start = part.has_start ? part.start : part.first;
    const BlockPlace end = plan.end_of_part(callee.part, callee.body->forest->size());
    const bool counted = reading.repeats.known();
    const double rounds = counted ? std::max(1.0, std::floor(reading.repeats.number)) : 1;

    Left left;
    left.followed = counted ? Followed::yes : Followed::unknown_program;
    left.behind = enter_with(caller);
    auto to_label = [&](std::int32_t label, State back) {
        if (macro) restore_locals(back, caller);
        auto [at, is_new] = left.to_label.try_emplace(label, back);
        if (!is_new) at->second = join(at->second, back);
    };
    bool once_over = !counted;
    for (double round = 0; round < rounds; ++round) {
        const State before = macro && round > 0 ? enter_with(left.behind) : left.behind;
        if (!once_over) {
            Outcome outcome = run(*callee.body, callee.part, part.first, end, start, before);
            if (outcome.ran == Ran::cut_short) return left.followed = Followed::cut_short, left;
            once_over = outcome.ran == Ran::undecided;
            if (!once_over) {
                left.behind = std::move(outcome.state);
                if (outcome.to_label) {
                    to_label(*outcome.to_label, left.behind);
                    left.behind.reachable = false;
                }
            }
        }
        if (once_over) {
            if (counted) left.followed = Followed::undecided;
            Left settled = settle(*callee.body, callee.part, before);
            if (settled.followed == Followed::cut_short) return left.followed = Followed::cut_short, left;
            left.behind = std::move(settled.behind);
            for (auto& [label, back] : settled.to_label) to_label(label, std::move(back));
        }
        // The rounds that are left would change nothing; they are run only where somebody looks on.
        if (!left.behind.reachable || (!look && left.behind == before)) break;
    }
    if (!counted) left.behind = join(left.behind, unknown_state(Why::computed));
    if (macro) restore_locals(left.behind, caller);
    if (modal) {
        left.behind.of(codes::Group::modal_call) = caller.of(codes::Group::modal_call);
        left.behind.modal_program = caller.modal_program;
        left.behind.modal_arguments = caller.modal_arguments;
    }
    return left;
}

} // namespace turnwright::machine
