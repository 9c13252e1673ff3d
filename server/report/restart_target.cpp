#include "report/restart_target.h"
#include "language/said.h"

#include "features/hints.h"
#include "features/speech.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::BlockAt;
using features::Document;
using machine::BlockPlace;
using machine::FlowKind;
using machine::MotionKind;
using machine::State;
using Target = RestartTarget;

bool is_compensated(const State& state) {
    return state.is(Meaning::compensation_left) || state.is(Meaning::compensation_right);
}

namespace {

/// Looks at the blocks of a program in order until `look` returns true.
template <class Look>
void look_through(const Document& document, BlockPlace first, BlockPlace last, Look look) {
    bool ended = false;
    machine::Analysis::Passed passed;
    document.analysis().visit_span(first, last, passed, [&](const machine::BlockView& view) {
        if (!ended) ended = look(view);
    });
}

/// A called program is entered at its call.
Target out_of_called(const Document& document, Target target) {
    const machine::ProgramPart* called = features::program_at(document, target.place);
    if (!called || !called->is_subprogram) return target;
    std::vector<BlockPlace> calls;
    for (const machine::ProgramPart& program : document.outline().programs) {
        if (program.first == called->first) continue;
        look_through(document, program.first, program.last, [&](const machine::BlockView& view) {
            const FlowKind flow = view.reading.flow;
            const bool is_call = flow == FlowKind::subprogram_call || flow == FlowKind::macro_call;
            if (is_call && view.reading.flow_target.known() &&
                view.reading.flow_target.number == called->number)
                calls.push_back({view.run_index, view.block});
            return false;
        });
    }
    const std::string name = fmt::format("O{:04}", called->number);
    if (calls.size() == 1) {
        target.place = calls.front();
        target.moved = said("it is in ") + name + said(", which is entered at its call");
        return out_of_called(document, target);
    }
    target.refused =
        calls.empty() ? said("No call of ") + name + said(" is in this file: ask at the line that calls it.")
                      : name + said(" is called at lines");
    for (const BlockPlace call : calls)
        target.refused += fmt::format("{} {}", call == calls.front() ? "" : ",", document.line_of(call) + 1);
    if (!calls.empty()) target.refused += said(": ask at the call that was being run.");
    return target;
}

/// The block above in the same program that moves; nullopt when none does.
std::optional<BlockAt> move_above(const Document& document, BlockPlace place) {
    const machine::ProgramPart* program = features::program_at(document, place);
    std::size_t line = document.line_of(place);
    const std::size_t first = program ? document.line_of(program->first) : 0;
    while (line > first) {
        auto above = features::block_at(document, document.place_of_line(--line));
        if (above && above->reading.motion != MotionKind::none) return above;
    }
    return std::nullopt;
}

/// The cycle whose contour holds a block.
std::optional<BlockPlace> cycle_around(const Document& document, BlockPlace place) {
    const auto here = features::block_at(document, place);
    if (!here || !here->reading.in_contour) return std::nullopt;
    for (std::size_t line = document.line_of(place); line-- > 0;) {
        const auto above = features::block_at(document, document.place_of_line(line));
        if (above && above->reading.motion == MotionKind::contour_cycle) return above->place;
    }
    return std::nullopt;
}

/// The loops that hold a block, the outermost first.
std::vector<RestartLoop> loops_around(const Document& document, BlockPlace place) {
    std::vector<RestartLoop> loops;
    const machine::ProgramPart* program = features::program_at(document, place);
    if (!program || !document.analysis().has_flow()) return loops;
    for (std::size_t line = document.line_of(program->first); line <= document.line_of(place); ++line) {
        const BlockPlace start = document.place_of_line(line);
        const auto end = document.analysis().loop_end(start);
        if (end && !(*end < place)) loops.push_back({start, *end});
    }
    return loops;
}

/// The block in front of a loop, where nothing has come round yet; with the values right above it that the
/// loop reckons with.
std::optional<BlockPlace> in_front_of(const Document& document, BlockPlace loop) {
    const machine::ProgramPart* program = features::program_at(document, loop);
    std::size_t line = document.line_of(loop);
    const std::size_t first = program ? document.line_of(program->first) : 0;
    std::optional<BlockPlace> found;
    while (line > first + 1) {
        const BlockPlace above = document.place_of_line(--line);
        const auto items = document.items(above);
        const bool sets = std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.kind == syntax::ItemKind::assignment;
        });
        const bool empty = std::all_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.kind == syntax::ItemKind::note;
        });
        if (empty && !found) continue;
        if (!sets && found) break;
        found = above;
        if (!sets) break;
    }
    return found;
}

bool is_thread_move(const BlockAt& block) {
    return block.reading.motion == MotionKind::thread;
}

/// Whether the tool starts elsewhere than where the block above was told to end: a corner was broken there.
bool starts_beside(const Document& document, const BlockAt& block) {
    const motion::BlockPath path = motion::path_of(block.view(document), document.analysis());
    if (path.segments.empty() || !block.before.x_radius.known() || !block.before.z.known()) return false;
    const motion::Point from = path.segments.front().from;
    return std::abs(from.x_radius_mm - features::to_mm(block.before.x_radius.number, block.before)) > 1e-4 ||
           std::abs(from.z_mm - features::to_mm(block.before.z.number, block.before)) > 1e-4;
}

/// The block that can be led into.
Target target_of(const Document& document, std::size_t line) {
    Target target{document.place_of_line(std::min(line, document.buffer().line_count() - 1)), {}, {}};
    target = out_of_called(document, std::move(target));
    if (!target.refused.empty()) return target;
    if (const auto cycle = cycle_around(document, target.place)) {
        target.place = *cycle;
        target.moved = said("it is in the contour of this cycle, which is run as a whole");
    }
    // A loop around whole sequences is not gone back to: the sequences in it are entries of their own.
    std::vector<RestartLoop> around_sequences;
    for (const RestartLoop& loop : loops_around(document, target.place)) {
        const auto front = in_front_of(document, loop.start);
        if (!front ||
            features::sequence_at(document, *front) != features::sequence_at(document, target.place)) {
            around_sequences.push_back(loop);
            continue;
        }
        target.place = *front;
        target.moved = said("it is in a loop, which is entered from its front");
        break;
    }
    // Of loops in each other nobody knows which turns are left.
    if (around_sequences.size() == 1) target.loop = around_sequences.front();
    for (;;) {
        const auto here = features::block_at(document, target.place);
        // In the middle of a contour the first corner would be cut otherwise: compensation looks ahead.
        if (here && is_compensated(here->before))
            if (const auto on = document.origin(target.place, static_cast<int>(Group::nose_compensation));
                on && *on < target.place) {
                target.place = *on;
                target.moved = said("compensation comes on there, and the contour is cut from there on");
                continue;
            }
        const auto above = here ? move_above(document, target.place) : std::nullopt;
        if (!above) return target;
        if (above->reading.sets_up_cycle && !here->reading.sets_up_cycle &&
            here->reading.motion != MotionKind::none)
            target.moved = said("the cycle begins there");
        else if (is_thread_move(*here) && is_thread_move(*above))
            target.moved = said("the thread begins there: it is cut without a stop");
        else if (starts_beside(document, *here))
            target.moved = said("the corner between the two is broken there");
        else
            return target;
        target.place = above->place;
    }
}

/// Where a sequence has not moved yet, its own first move brings the tool to the part.
Target to_first_move(const Document& document, Target target) {
    const machine::Sequence* sequence = features::sequence_at(document, target.place);
    if (!sequence || !target.refused.empty()) return target;
    const std::optional<BlockPlace> first = first_move(document, *sequence);
    if (!first || *first < target.place) return target;
    if (features::summarise(document, *sequence).may_restart) {
        target.refused = said("None is needed: its sequence has not moved there yet.");
        return target;
    }
    if (target.place < *first) target.moved = said("its sequence does not move before");
    target.place = *first;
    return target;
}

} // namespace

std::optional<BlockPlace> first_move(const Document& document, const machine::Sequence& sequence) {
    std::optional<BlockPlace> found;
    look_through(document, sequence.tool_call, sequence.last, [&](const machine::BlockView& view) {
        if (view.reading.motion != MotionKind::none) found = {view.run_index, view.block};
        return found.has_value();
    });
    return found;
}

RestartTarget restart_target(const Document& document, std::size_t line) {
    return to_first_move(document, target_of(document, line));
}

} // namespace turnwright::report
