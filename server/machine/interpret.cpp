// One block: words, statements, contour bookkeeping. See machine.h.

#include "machine/interpreter.h"
#include "machine/whole_number.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>

namespace turnwright::machine {

using syntax::ItemKind;
using syntax::Operation;

namespace {

void clear(Reading& reading) {
    auto words = std::move(reading.words);
    auto problems = std::move(reading.problems);
    words.clear();
    problems.clear();
    reading = Reading{};
    reading.words = std::move(words);
    reading.problems = std::move(problems);
}

Value label_value(const syntax::Run& run, std::size_t block, std::int32_t expression, const State& state,
                  Reading& reading) {
    Value label = evaluate(run, block, expression, state, reading.problems);
    if (!label.known()) return Value::unknown(Why::computed);
    return Value::of(std::round(label.number));
}

bool reads_variable(const syntax::Run& run, std::int32_t index) {
    if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return false;
    const syntax::Expression& e = run.expressions[static_cast<std::size_t>(index)];
    return e.operation == Operation::variable || e.operation == Operation::named_variable ||
           reads_variable(run, e.left) || reads_variable(run, e.right);
}

void assign(const syntax::Run& run, std::size_t block, const syntax::Expression& statement, Value holds,
            State& state, Reading& reading) {
    if (statement.operation != Operation::assign || statement.left < 0) return;
    const syntax::Expression& variable = run.expressions[static_cast<std::size_t>(statement.left)];
    Value value = evaluate(run, block, statement.right, state, reading.problems);
    if (reads_variable(run, statement.right) || reads_variable(run, variable.left))
        reading.reads |= part(Part::variables);
    reading.sets |= part(Part::variables);
    if (variable.operation != Operation::variable) return;
    Value number = evaluate(run, block, variable.left, state, reading.problems);
    if (!number.known()) {
        // Some variable has changed; which one is not known.
        if (number.why == Why::never_set) {
            reading.problems.push_back({ProblemKind::write_to_read_only, static_cast<std::uint16_t>(block),
                                        variable.begin, variable.length, 0});
            return;
        }
        state.variables = Variables::unknown();
        return;
    }
    int index = static_cast<int>(std::lround(std::min(std::max(number.number, -1.0), 1e6)));
    if (index <= 0) {
        reading.problems.push_back({ProblemKind::write_to_read_only, static_cast<std::uint16_t>(block),
                                    variable.begin, variable.length, static_cast<double>(index)});
        return;
    }
    if (!holds.known())
        value = join(state.variable(index), value);
    else if (holds.number == 0)
        return;
    state.set_variable(index, value);
}

} // namespace

void apply_statements(const syntax::Run& run, std::size_t block, State& state, Reading& reading) {
    for (const syntax::Item& item : run.items_of(run.blocks[block])) {
        if (item.kind < ItemKind::assignment || item.kind > ItemKind::go_to) continue;
        if (item.expression >= run.expressions.size()) continue;
        const syntax::Expression& statement = run.expressions[item.expression];
        if (statement.operation != Operation::assign &&
            (reads_variable(run, statement.left) || reads_variable(run, statement.right)))
            reading.reads |= part(Part::variables);
        switch (statement.operation) {
        case Operation::assign:
            assign(run, block, statement, Value::of(1), state, reading);
            break;
        case Operation::if_then: {
            Value holds = evaluate(run, block, statement.left, state, reading.problems);
            if (holds.why == Why::never_set) holds = Value::of(0);
            if (statement.right >= 0)
                assign(run, block, run.expressions[static_cast<std::size_t>(statement.right)], holds, state,
                       reading);
            break;
        }
        case Operation::if_goto: {
            Value holds = evaluate(run, block, statement.left, state, reading.problems);
            reading.flow_target = label_value(run, block, statement.right, state, reading);
            reading.condition = holds;
            if (holds.known() && holds.number == 0)
                reading.flow = FlowKind::none;
            else
                reading.flow = holds.known() ? FlowKind::jump : FlowKind::maybe_jump;
            break;
        }
        case Operation::go_to:
            reading.flow = FlowKind::jump;
            reading.flow_target = label_value(run, block, statement.left, state, reading);
            break;
        case Operation::while_do:
            reading.flow = FlowKind::loop_start;
            reading.flow_target = Value::of(statement.number);
            reading.condition = statement.left < 0
                                    ? Value::of(1)
                                    : evaluate(run, block, statement.left, state, reading.problems);
            break;
        case Operation::end_do:
            reading.flow = FlowKind::loop_end;
            reading.flow_target = Value::of(statement.number);
            break;
        default:
            break;
        }
    }
}

namespace {

void enter_contour(State& state, const Reading& reading) {
    Contour& contour = state.contour;
    if (contour.stage != Contour::Stage::armed) return;
    if (reading.number >= 0 && reading.number == contour.first_label) {
        State around = state;
        around.contour = {};
        contour.stage = Contour::Stage::inside;
        contour.around = std::make_shared<const State>(std::move(around));
    } else if (!reading.words.empty()) {
        contour = {}; // The contour stands elsewhere; the cycle runs it from there.
    }
}

/// Behind the last contour block all is as it was at the cycle: the tool stands at its start, and what the
/// contour's blocks say holds for the cycles that run them, and no longer. The same goes for a finishing
/// cycle that stands elsewhere.
void leave_contour(State& state, const Reading& reading) {
    const Contour& contour = state.contour;
    if (contour.stage != Contour::Stage::inside || reading.number != contour.last_label || !contour.around)
        return;
    const std::shared_ptr<const State> around = contour.around;
    state = *around;
}

/// A tool call, a cycle on a contour or an end within a contour: its last block was lost, and what follows is
/// run as it stands.
void give_up_contour(State& state, const Reading& reading) {
    if (state.contour.stage != Contour::Stage::inside) return;
    const bool other =
        reading.motion == MotionKind::contour_cycle ||
        (reading.has('T') && !reading.code(codes::Meaning::macro_call)) ||
        reading.code(codes::Meaning::program_end) || reading.code(codes::Meaning::program_end_rewind) ||
        reading.code(codes::Meaning::optional_stop) || reading.code(codes::Meaning::reference_return) ||
        reading.code(codes::Meaning::machine_datum);
    if (other) state.contour = {};
}

void arm_contour(State& state, const Reading& reading) {
    if (reading.motion != MotionKind::contour_cycle) return;
    Value first = reading.value('P');
    Value last = reading.value('Q');
    if (!first.known() || !last.known()) return;
    if (std::abs(first.number) > 1e9 || std::abs(last.number) > 1e9) return;
    state.contour.stage = Contour::Stage::armed;
    state.contour.first_label = machine::whole_number(first.number);
    state.contour.last_label = machine::whole_number(last.number);
}

void start_program(const syntax::Run& run, std::size_t block, const Settings& settings, State& state) {
    if (state.ended && is_path_mark(run, block, settings.machine)) {
        state = power_on_state(settings);
        state.ended = false;
        state.reachable = true;
    }
    const auto items = run.items_of(run.blocks[block]);
    for (const syntax::Item& item : items)
        if (starts_program(items, item)) {
            state.ended = false;
            state.reachable = true;
        }
}

/// In capitals, without blanks.
std::string squeezed(std::string_view written) {
    std::string out;
    for (const char c : written)
        if (c != ' ' && c != '\t' && c != '\r') out += text::upper(c);
    return out;
}

} // namespace

bool is_path_mark(const syntax::Run& run, std::size_t block, const shop::Machine& machine) {
    if (machine.path_marks.empty()) return false;
    constexpr std::size_t longest = 400;
    const syntax::Block& line = run.blocks[block];
    const std::string written = squeezed(
        std::string_view(run.text->bytes).substr(line.begin, std::min<std::size_t>(line.length, longest)));
    return std::any_of(machine.path_marks.begin(), machine.path_marks.end(), [&](const std::string& mark) {
        return written.find(squeezed(mark)) != std::string::npos;
    });
}

bool starts_program(std::span<const syntax::Item> items, const syntax::Item& item) {
    if (item.kind != ItemKind::word || item.letter != 'O') return false;
    return std::none_of(items.begin(), items.end(), [&](const syntax::Item& before) {
        const bool value = before.kind == ItemKind::bare_letter || before.kind == ItemKind::word;
        return value && before.letter != 'N' && before.end() == item.begin;
    });
}

void interpret(const syntax::Run& run, std::size_t block, const Settings& settings, State& state,
               Reading& reading) {
    clear(reading);
    const syntax::Block& text = run.blocks[block];
    if (text.item_count == 0) {
        reading.is_read = state.reachable && !state.ended;
        return;
    }
    start_program(run, block, settings, state);
    bool runs = state.reachable && !state.ended;
    reading.is_read = runs;
    if (!runs) {
        // Words keep their meaning for a reader; the state does not change.
        read_words(run, block, settings, state, reading);
        reading.reads = 0;
        reading.problems.clear();
        return;
    }
    std::optional<State> if_left_out;
    if (text.deleted) {
        const std::shared_ptr<const DeletedBlocks> above = std::move(state.deleted);
        if_left_out = state;
        if (above && above->level == delete_level(run, text)) {
            if_left_out = above->left_out;
            state = above->read;
        }
    }
    read_words(run, block, settings, state, reading);
    enter_contour(state, reading);
    reading.in_contour = state.contour.stage == Contour::Stage::inside;
    if (text.has_statement) apply_statements(run, block, state, reading);
    apply_words(settings, state, reading);
    leave_contour(state, reading);
    give_up_contour(state, reading);
    arm_contour(state, reading);
    reading.may_set = reading.sets;
    if (!if_left_out) {
        if (!reading.words.empty() || text.has_statement) state.deleted.reset();
        return;
    }
    reading.sets = 0;
    if (reading.flow == FlowKind::jump) reading.flow = FlowKind::maybe_jump;
    // Where a jump or a call leads to is not told by this block.
    const bool goes_on = reading.flow == FlowKind::none && !state.is(codes::Meaning::modal_call);
    State joined = join(*if_left_out, state);
    if (goes_on)
        joined.deleted = std::make_shared<const DeletedBlocks>(
            DeletedBlocks{delete_level(run, text), std::move(*if_left_out), std::move(state)});
    state = std::move(joined);
}

int delete_level(const syntax::Run& run, const syntax::Block& block) {
    if (!block.deleted) return 0;
    for (const syntax::Item& item : run.items_of(block))
        if (item.kind == ItemKind::block_delete) return static_cast<int>(item.value);
    return 1;
}

const State& read_before(const syntax::Run& run, std::size_t block, const State& state) {
    const bool read = state.deleted && state.deleted->level == delete_level(run, run.blocks[block]);
    return read ? state.deleted->read : state;
}

const State& read_behind(const syntax::Run& run, std::size_t block, const State& state) {
    return run.blocks[block].deleted && state.deleted ? state.deleted->read : state;
}

State power_on_state(const Settings& settings) {
    State state;
    for (const Assumption& assumption : settings.assumed.all())
        if (assumption.by != Sign::none)
            state.of(codes::group_of(assumption.meaning)) = Modal::assumed(assumption.meaning);
    for (codes::Meaning meaning : settings.machine.power_on) state.set(meaning);
    if (settings.machine.units) state.set(*settings.machine.units);
    return state;
}

} // namespace turnwright::machine
