// The walk through a program and the programs that it calls.
#include "report/walk.h"

#include "host/interruption.h"

#include <fmt/format.h>
#include <map>
#include <set>

namespace turnwright::report {

namespace {

using machine::Analysis;
using machine::BlockPlace;
using machine::BlockView;
using machine::FlowKind;
using machine::ProgramPart;

constexpr std::size_t deepest_call = 8;
constexpr double most_repeats = 1000;
/// Blocks of called programs in one walk; a program that asks for more is drawn as far as this.
constexpr std::size_t most_called_blocks = 200'000;
/// A call in a called program counts for more: it is followed for its state as well.
constexpr std::size_t blocks_of_a_call = 250;

/// A file with called programs in it.
struct CalledFile {
    std::shared_ptr<const syntax::Forest> forest; ///< Of another file; nullptr: the document's own
    std::unique_ptr<Analysis> own;
    machine::Outline outline;
};
/// A program that can be gone through.
struct Callee {
    const Analysis* analysis = nullptr;
    const ProgramPart* part = nullptr;
    bool elsewhere = false;
    std::string why_not;
};

class Walker {
public:
    Walker(const features::Document& document, const std::function<void(const WalkedBlock&)>& visit)
        : document_(document), visit_(visit), spans_(document.results().spans()) {}

    void walk() {
        walk_file([&](std::size_t span) { return !stands_apart(span); });
        walk_file([&](std::size_t span) { return stands_apart(span) && !was_called(span); });
    }

private:
    bool stands_apart(std::size_t span) const {
        return span < spans_.size() && spans_[span].program && spans_[span].program->is_subprogram;
    }
    bool was_called(std::size_t span) const { return called_.contains(spans_[span].program->first); }

    template <class Wanted>
    void walk_file(Wanted&& wanted) {
        const Analysis& analysis = document_.analysis();
        std::size_t span = 0, first_line = 0;
        for (std::size_t run = 0; run < analysis.size(); ++run) {
            analysis.visit(run, [&](const BlockView& view) {
                const BlockPlace place{run, view.block};
                while (span + 1 < spans_.size() && spans_[span + 1].first <= place) ++span;
                if (!view.reading.is_read || view.text.item_count == 0 || !wanted(span)) return;
                step(view, analysis, first_line + view.block, span, {}, false);
            });
            first_line += document_.run(run).blocks.size();
        }
    }

    void step(const BlockView& view, const Analysis& analysis, std::size_t line, std::size_t span,
              std::string called, bool elsewhere) {
        host::stop_here_if_asked();
        WalkedBlock block{view, analysis, line, span, {}, {}, std::move(called), elsewhere, {}};
        if (!view.reading.in_contour) {
            block.path = motion::path_of(view, analysis);
            block.totals = motion::totals_of(block.path, view);
        }
        const FlowKind flow = view.reading.flow;
        const bool calls = flow == FlowKind::subprogram_call && view.before.reachable;
        if (!calls) {
            if (flow == FlowKind::macro_call) block.not_gone = "what the called macro moves";
            return visit_(block);
        }
        const Callee callee = callee_of(view, analysis);
        block.not_gone = callee.why_not;
        // What the call leaves open, the blocks of the program behind it tell.
        if (callee.part && block.path.complete && block.path.segments.empty())
            block.totals.blocks_without_time = 0;
        visit_(block);
        if (callee.part) go_through(callee, view, line, span);
    }

    Callee callee_of(const BlockView& view, const Analysis& analysis) {
        Callee callee;
        const machine::Value &target = view.reading.flow_target, &repeats = view.reading.repeats;
        const bool plain = target.known() && target.number >= 0 && target.number < 1e9 && repeats.known();
        if (!plain || repeats.number > most_repeats) {
            callee.why_not = "which program is called, or how often,";
            return callee;
        }
        const auto number = static_cast<std::int32_t>(target.number);
        find(number, analysis, callee);
        if (!callee.part) {
            callee.why_not = fmt::format("the way of O{:04}, which was not found,", number);
        } else if (open_.size() >= deepest_call || is_open(*callee.part, *callee.analysis)) {
            callee.why_not = fmt::format("the way of O{:04}, which calls itself,", number);
            callee.part = nullptr;
        } else if (jumps(callee)) {
            callee.why_not = fmt::format("the way of O{:04}, which jumps, loops or calls a macro,", number);
            callee.part = nullptr;
        }
        return callee;
    }

    /// In the caller's own file first, then among the other files.
    void find(std::int32_t number, const Analysis& caller, Callee& callee) {
        const auto part_of = [&](const machine::Outline& outline) -> const ProgramPart* {
            for (const ProgramPart& part : outline.programs)
                if (part.number == number) return &part;
            return nullptr;
        };
        callee.analysis = &caller;
        if (&caller == &document_.analysis()) {
            callee.part = part_of(document_.outline());
        } else {
            callee.elsewhere = true;
            for (const auto& [held, file] : files_)
                if (file.own.get() == &caller) callee.part = part_of(file.outline);
        }
        if (callee.part || !document_.library()) return;
        auto [at, is_new] = files_.try_emplace(number);
        CalledFile& file = at->second;
        if (is_new) {
            file.forest = document_.library()->find_program(number);
            if (!file.forest) return;
            file.own = std::make_unique<Analysis>();
            file.own->rebuild(*file.forest, document_.settings(), document_.library());
            file.outline = machine::outline(*file.own);
        }
        if (!file.own || file.outline.programs.empty()) return;
        callee.analysis = file.own.get();
        callee.elsewhere = true;
        callee.part = part_of(file.outline);
        if (!callee.part) callee.part = &file.outline.programs.front(); // Found by its file's name
    }

    bool is_open(const ProgramPart& part, const Analysis& analysis) const {
        for (const auto& [held, place] : open_)
            if (held == &analysis && place == part.first) return true;
        return false;
    }

    static bool jumps(const Callee& callee) {
        const ProgramPart& part = *callee.part;
        for (std::size_t run = part.first.run; run <= part.last.run && run < callee.analysis->size(); ++run)
            for (const machine::FlowMark& mark : callee.analysis->result(run)->shape->flow) {
                const BlockPlace place{run, mark.block};
                if (place < part.first || place > part.last) continue;
                const bool goes_on = mark.kind == FlowKind::subprogram_call ||
                                     (mark.kind == FlowKind::program_return && mark.number == -1) ||
                                     mark.kind == FlowKind::program_end;
                if (!goes_on) return true;
            }
        return false;
    }

    void go_through(const Callee& callee, const BlockView& call, std::size_t line, std::size_t span) {
        if (!callee.elsewhere) called_.insert(callee.part->first);
        machine::State state = call.before;
        machine::Reading reading;
        machine::interpret(call.run, call.block, call.settings, state, reading);
        open_.emplace_back(callee.analysis, callee.part->first);
        const auto rounds = std::max(1, static_cast<int>(call.reading.repeats.number));
        for (int round = 0; round < rounds && called_blocks_ < most_called_blocks; ++round)
            state = one_round(callee, std::move(state), line, span);
        open_.pop_back();
    }

    machine::State one_round(const Callee& callee, machine::State state, std::size_t line, std::size_t span) {
        const ProgramPart& part = *callee.part;
        const Analysis& analysis = *callee.analysis;
        machine::State left = state;
        bool returned = false;
        // Lines count from the file's first block.
        std::size_t run_line = 0, run_of_line = 0;
        analysis.visit_from(part.first, part.last, std::move(state), [&](const BlockView& view) {
            if (returned || called_blocks_ >= most_called_blocks) return;
            for (; run_of_line < view.run_index; ++run_of_line)
                run_line += analysis.forest().run(run_of_line)->blocks.size();
            left = view.after;
            const FlowKind flow = view.reading.flow;
            if (!view.text.deleted)
                returned = flow == FlowKind::program_return || flow == FlowKind::program_end;
            if (view.text.item_count == 0) return;
            called_blocks_ += flow == FlowKind::subprogram_call ? blocks_of_a_call : 1;
            const std::size_t own_line = run_line + view.block;
            step(view, analysis, callee.elsewhere ? line : own_line, span,
                 fmt::format("O{:04} line {}", part.number, own_line + 1), callee.elsewhere);
        });
        left.reachable = true;
        left.ended = false;
        return left;
    }

    const features::Document& document_;
    const std::function<void(const WalkedBlock&)>& visit_;
    std::span<const checks::Span> spans_;
    std::set<BlockPlace> called_; ///< First blocks of own programs that a call went through
    std::map<std::int32_t, CalledFile> files_;
    std::vector<std::pair<const Analysis*, BlockPlace>> open_;
    std::size_t called_blocks_ = 0;
};

} // namespace

void walk(const features::Document& document, const std::function<void(const WalkedBlock&)>& visit) {
    Walker(document, visit).walk();
}

} // namespace turnwright::report
