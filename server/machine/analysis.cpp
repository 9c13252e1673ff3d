// The state at every run of a file, kept up to date by edits.

#include "host/interruption.h"
#include "machine/comparison.h"
#include "machine/course.h"
#include "machine/read_once.h"
#include "syntax/both_cores.h"

#include <algorithm>
#include <atomic>
#include <mutex>
#include <utility>

namespace turnwright::machine {

namespace {

constexpr int most_passes = 24;
/// Of a run; of a program that is read once what it did last, should it be come to again in the same course.
std::size_t memos_kept() {
    return ReadOnce::is_here() ? 1 : 4;
}
/// Blocks that the calls of a file may run in all, and its loops: less than a second's work.
constexpr std::size_t most_called = 1'000'000, most_in_loops = 500'000;
/// Less of a long file, whose own blocks are work, too.
Budget budget_of(std::size_t runs) {
    const std::size_t own = runs * text::Buffer::target_lines;
    return {std::max(most_called / 4, most_called - std::min(most_called, own)),
            std::max(most_in_loops / 4, most_in_loops - std::min(most_in_loops, own))};
}
/// The same for a visit that follows calls by itself, for each of its calls.
std::size_t blocks_of_one_call(const Plan& plan) {
    return std::clamp<std::size_t>(most_in_loops / std::max<std::size_t>(1, plan.calls), 20, 100'000);
}
constexpr std::size_t few_runs = 64; ///< Looked at sooner than a thread starts

std::atomic<std::size_t> visited{0}, evaluated{0};

/// Whole runs of nothing are read once: of millions of line ends each would cost as much memory as any other.
bool is_blank(const syntax::Run& run) {
    return run.items.empty() && run.blocks.size() == text::Buffer::target_lines;
}

std::shared_ptr<const RunShape> shared_shape_of(const syntax::Run& run, const Settings& settings) {
    if (!is_blank(run)) return std::make_shared<RunShape>(shape_of(run, settings));
    static const auto of_blank = std::make_shared<const RunShape>(shape_of(run, settings));
    return of_blank;
}

/// What the plan says of a run. It may change with a block far away: an END that pairs with another WHILE.
struct Planned {
    std::uint32_t part = 0;          ///< At its first block
    std::vector<JoinKey> joins;      ///< That the run reads
    std::vector<std::int32_t> loops; ///< What is known of those that begin or end here, and which jumps leave
    bool operator==(const Planned&) const = default;
};

/// One evaluation of a run that joins or jumps: valid again when everything it read is the same.
struct Memo {
    RunResultPointer result;
    Planned planned;
    std::vector<StatePointer> joined; ///< Its joins as they were before the run
    std::vector<Recorder::Record> recorded;
    std::vector<Recorder::Read> read;
    std::vector<syntax::RunPointer> behind; ///< Runs below that loops of the run reach into
    RunResultPointer above; ///< One whose state behind it entered here, so that it need not be compared again
    Budget before, used;
};

/// One run of blocks in the course of a file. Where the same comes to it again, it does the same again.
struct Step {
    std::size_t run = 0;
    int pass = 0;
    RunResultPointer entering; ///< Whose state came to it; none: that of the start
    RunResultPointer result;
    std::shared_ptr<const Memo> memo; ///< None: a plain run, which reads and brings nothing else
    std::vector<Recorder::Change> changes;
};

} // namespace

std::size_t blocks_visited() {
    return visited;
}
std::size_t special_blocks_evaluated() {
    return evaluated;
}

struct Analysis::Implementation {
    const syntax::Forest* forest = nullptr;
    Settings settings;
    std::shared_ptr<const ProgramLibrary> library;
    std::uint64_t library_stamp = 0;
    std::unique_ptr<Programs> programs;   ///< As the library had them at this stamp
    std::vector<syntax::RunPointer> runs; ///< As they were read
    std::vector<RunResultPointer> results;
    Shapes shapes;
    using Memos = std::vector<std::shared_ptr<Memo>>;
    std::vector<Memos> memos; ///< Empty vectors for runs that are not special
    Plan plan;
    JoinStates states;
    std::vector<Step> trace;         ///< The course as it was last run to its end; empty: it must be run anew
    std::vector<std::size_t> edited; ///< Runs that the last change put in, in order
    std::unordered_map<std::int32_t, std::uint32_t> label_counts;
    Kept kept;

    /// Looking for one label goes over all runs; who asks for many between two changes pays for a sorted list
    /// once.
    struct LabelPlaces {
        static constexpr unsigned worth_a_list = 32;
        std::mutex mutex; ///< Readers on several threads may be the first to ask
        std::unordered_map<std::int32_t, std::vector<BlockPlace>> asked; ///< While there is no list
        bool made = false;
        std::vector<std::int32_t> numbers; ///< Sorted, each as often as it stands,
        std::vector<BlockPlace> places;    ///< with its places in order
    };
    mutable LabelPlaces label_places;

    void forget_label_places() {
        label_places.asked.clear();
        label_places.made = false;
        label_places.numbers.clear();
        label_places.places.clear();
    }

    std::span<const BlockPlace> places_of_label(std::int32_t number) const {
        const std::lock_guard lock(label_places.mutex);
        if (!label_places.made) {
            const auto [at, is_new] = label_places.asked.try_emplace(number);
            if (!is_new) return at->second;
            if (label_places.asked.size() <= LabelPlaces::worth_a_list) {
                for (std::size_t run = 0; run < shapes.size(); ++run)
                    for (const Label& label : shapes[run]->labels)
                        if (label.number == number) at->second.push_back({run, label.block});
                return at->second;
            }
            label_places.asked.erase(at); // What others hold of it stays
            list_labels();
        }
        const auto [from, to] =
            std::equal_range(label_places.numbers.begin(), label_places.numbers.end(), number);
        return {label_places.places.data() + (from - label_places.numbers.begin()),
                static_cast<std::size_t>(to - from)};
    }

    void list_labels() const {
        std::vector<std::pair<std::int32_t, BlockPlace>> all;
        for (std::size_t run = 0; run < shapes.size(); ++run)
            for (const Label& label : shapes[run]->labels) all.push_back({label.number, {run, label.block}});
        std::sort(all.begin(), all.end());
        for (const auto& [number, place] : all) {
            label_places.numbers.push_back(number);
            label_places.places.push_back(place);
        }
        label_places.made = true;
    }

    Body body() const { return {forest, &shapes, &plan}; }

    /// Jumps, loops and calls, or moves that call a program since G66.
    bool needs_engine(std::size_t run, const State& in) const {
        return plan.special[run] || in.is(codes::Meaning::modal_call);
    }

    void count_labels(const RunShape& shape, int by) {
        for (const Label& label : shape.labels) {
            auto at = label_counts.try_emplace(label.number, 0).first;
            at->second = static_cast<std::uint32_t>(static_cast<int>(at->second) + by);
            if (at->second == 0) label_counts.erase(at);
        }
    }

    // --- Plain files: from block to block ------------------------------------------------------------

    /// `beside`, if any, is told of each block and the state before it.
    RunResultPointer evaluate_plain(std::size_t run, const State& in, Comparison* beside = nullptr) {
        auto result = std::make_shared<RunResult>();
        result->shape = shapes[run];
        result->in = in;
        result->out = in;
        if (plan.is_behind({run, 0})) return result;
        Reading reading;
        const syntax::Run& blocks = *forest->run(run);
        for (std::size_t block = 0; block < blocks.blocks.size(); ++block) {
            if (beside) beside->come_to(block, result->out);
            if (blocks.blocks[block].item_count == 0) continue;
            const Parts unstated = come_to(*result, blocks, block);
            interpret(blocks, block, settings, result->out, reading);
            gather(*result, blocks, block, reading, unstated);
        }
        if (beside) beside->come_to(blocks.blocks.size(), result->out);
        return result;
    }

    /// The modes that nothing states before the block.
    static Parts come_to(RunResult& result, const syntax::Run& run, std::size_t block) {
        const State& before = read_before(run, block, result.out);
        constexpr Parts of_spindle =
            part(codes::Group::spindle_direction) | part(Part::speed) | part(Part::speed_limit);
        result.assumed |= before.kept_assumed() & of_spindle; // A mode may join as assumed and be stated here
        if (!before.reachable || before.ended) {
            result.passed_over.resize(run.blocks.size());
            result.passed_over[block] = true;
        }
        return before.unstated();
    }

    static void gather(RunResult& result, const syntax::Run& run, std::size_t block, Reading& reading,
                       Parts unstated) {
        result.reads_unstated |= reading.reads & unstated;
        result.assumed |= read_behind(run, block, result.out).kept_assumed();
        result.reads_first |= reading.reads & ~result.sets;
        result.sets |= reading.sets;
        result.may_set |= reading.may_set;
        for (const Problem& problem : reading.problems) result.problems.push_back(problem);
    }

    /// What a run was before the change, where its shape is the same; a null result where that is not known.
    struct Was {
        syntax::RunPointer text;
        RunResultPointer result;
    };
    bool begins_anew = false;  ///< The state at the start of the file is another one since the last run
    std::vector<Was> replaced; ///< One for each run that the splice put in, or none at all

    Was was(std::size_t run, std::size_t first_changed) const {
        if (results[run]) return {runs[run], results[run]};
        const std::size_t i = run - first_changed;
        return run >= first_changed && i < replaced.size() ? replaced[i] : Was{};
    }

    RunResultPointer evaluate_again(std::size_t run, const State& in, const Was& was) {
        constexpr std::size_t most_compared = 8; // A change of the units reaches every run
        const syntax::Run& now = *forest->run(run);
        if (!kept.shapes || kept.shift || !was.result || was.text->blocks.size() != now.blocks.size() ||
            kept.changed.size() >= most_compared)
            return evaluate_plain(run, in);
        Comparison beside(settings, *was.text, was.result->in, now, in);
        RunResultPointer result = evaluate_plain(run, in, &beside);
        kept.changed.push_back({run, was.text, was.result, beside.first(), beside.end()});
        return result;
    }

    /// Whether nothing stands in the run, as in the one above, and nothing comes to it that did not come
    /// there.
    bool goes_on_blank(std::size_t run, const State& state) const {
        return run > 0 && is_blank(*forest->run(run)) && is_blank(*forest->run(run - 1)) &&
               results[run - 1]->shape == shapes[run] && results[run - 1]->in == state;
    }

    void run_plain(std::size_t first_changed, std::size_t changed) {
        State state = first_changed == 0 ? power_on_state(settings) : results[first_changed - 1]->out;
        for (std::size_t run = first_changed; run < results.size(); ++run) {
            bool beyond = run >= first_changed + changed;
            bool holds = results[run] && results[run]->in == state;
            if (beyond && holds) {
                kept.first = first_changed;
                kept.end = run;
                return;
            }
            if (!holds)
                results[run] = goes_on_blank(run, state)
                                   ? results[run - 1]
                                   : evaluate_again(run, state, was(run, first_changed));
            state = results[run]->out;
        }
    }

    // --- Files with jumps, loops, calls ---------------------------------------------------------------

    Planned planned(std::size_t run) const {
        Planned found;
        found.part = plan.part_of({run, 0});
        std::vector<JoinKey>& joins = found.joins;
        for (const Label& label : shapes[run]->labels) {
            std::uint32_t here = plan.part_of({run, label.block});
            if (plan.targets.contains({here, label.number}))
                joins.push_back({JoinKey::Kind::label, here, label.number});
            if (plan.any_label.contains(here)) joins.push_back({JoinKey::Kind::label, here, -1});
        }
        const auto tell = [&](auto... numbers) {
            (found.loops.push_back(static_cast<std::int32_t>(numbers)), ...);
        };
        // Loops, and jumps out of those around them: of a run in which one that begins here goes on, too.
        const auto tell_loops = [&](std::size_t of) {
            for (const LoopPlaces* index : {&plan.loop_starts, &plan.loop_ends}) {
                for (const auto& [place, loop] : index->of_run(of)) tell(place.block, loop);
                tell(-1);
            }
            for (const FlowMark& mark : shapes[of]->flow) {
                if (mark.number < 0 || calls_program(mark.kind)) continue;
                const BlockPlace from{of, mark.block};
                const auto to = plan.target_places.find({plan.part_of(from), mark.number});
                for (std::int32_t i = plan.loop_around(from); i >= 0;) {
                    const Loop& loop = plan.loops[static_cast<std::size_t>(i)];
                    if (to == plan.target_places.end() || !loop.contains(to->second)) tell(i);
                    i = loop.around;
                }
                tell(-1);
            }
        };
        tell_loops(run);
        std::size_t last = run;
        for (const auto& [place, index] : plan.loop_starts.of_run(run)) {
            const Loop& loop = plan.loops[static_cast<std::size_t>(index)];
            joins.push_back({JoinKey::Kind::loop_back, 0, index});
            tell(loop.end.run - run, loop.end.block, loop.jumps > 0, loop.closed, loop.depth);
            while (last < loop.end.run) tell_loops(++last);
        }
        for (const auto& [place, index] : plan.loop_ends.of_run(run))
            joins.push_back({JoinKey::Kind::loop_exit, 0, index});
        for (std::size_t i = found.part; i < plan.parts.size() && plan.parts[i].first.run <= run; ++i)
            if (plan.parts[i].has_start && plan.parts[i].start.run == run)
                joins.push_back({JoinKey::Kind::program, 0, plan.parts[i].number});
        // Whether a loop runs turn by turn tells whether jumps lead out of it.
        for (std::int32_t loop = plan.loop_around({run, 0}); loop >= 0;
             loop = plan.loops[static_cast<std::size_t>(loop)].around)
            joins.push_back({JoinKey::Kind::loop_left, 0, loop});
        return found;
    }

    /// Behind a new plan: runs that it tells something else of are as good as edited.
    void forget_what_is_planned_otherwise() {
        for (std::size_t run = 0; run < memos.size(); ++run) {
            if (memos[run].empty() || memos[run].front()->planned == planned(run)) continue;
            memos[run].clear();
            edited.push_back(run);
        }
    }

    StatePointer joined(const JoinKey& key) const { return states.held(key); }

    static Budget without(Budget budget, const Budget& used) {
        return {budget.left - used.left, budget.loops - used.loops, budget.ran_out || used.ran_out};
    }

    /// A state that a run is entered with, and the run above that left it, if any.
    struct Entering {
        RunResultPointer above, held; ///< `state` is of one of them, or of `own`
        std::shared_ptr<const State> own;
        const State* state = nullptr;
        static Entering begin(State state) {
            Entering out;
            out.own = std::make_shared<const State>(std::move(state));
            out.state = out.own.get();
            return out;
        }
        static Entering behind(RunResultPointer result) {
            Entering out;
            out.above = std::move(result);
            out.state = &out.above->out;
            return out;
        }
        static Entering again(RunResultPointer result) {
            Entering out;
            out.held = std::move(result);
            out.state = &out.held->in;
            return out;
        }
    };

    static bool suffices(const Budget& budget, const Memo& memo) {
        const bool as_much = budget.left == memo.before.left && budget.loops == memo.before.loops;
        return as_much ||
               (!memo.used.ran_out && budget.left >= memo.used.left && budget.loops >= memo.used.loops);
    }

    bool same_behind(const Memo& memo, std::size_t run) const {
        for (std::size_t i = 0; i < memo.behind.size(); ++i)
            if (run + 1 + i >= forest->size() || forest->run(run + 1 + i) != memo.behind[i]) return false;
        return true;
    }

    bool still_holds(const Memo& memo, std::size_t run, const Entering& entering,
                     const Budget& budget) const {
        const bool from_same = memo.above && memo.above == entering.above;
        if (!from_same && !(memo.result->in == *entering.state)) return false;
        if (!suffices(budget, memo) || !same_behind(memo, run)) return false;
        for (std::size_t i = 0; i < memo.joined.size(); ++i)
            if (!same_state(memo.joined[i], joined(memo.planned.joins[i]))) return false;
        return true;
    }

    /// Where the turns of a loop join.
    JoinKey turns_of(std::int32_t index) const {
        const Loop& loop = plan.loops[static_cast<std::size_t>(index)];
        return loop.jumps > 0 ? JoinKey{JoinKey::Kind::label, loop.part, loop.number}
                              : JoinKey{JoinKey::Kind::loop_back, 0, index};
    }

    std::shared_ptr<const Memo> run_special(Engine& engine, Recorder& recorder, Budget& budget,
                                            std::size_t run, const Entering& entering) {
        for (const std::shared_ptr<Memo>& memo : memos[run])
            if (still_holds(*memo, run, entering, budget)) {
                recorder.repeat(memo->read, std::span<const Recorder::Record>(memo->recorded));
                budget = without(budget, memo->used);
                results[run] = memo->result;
                memo->above = entering.above;
                return memo;
            }
        const State& in = *entering.state;
        Memo memo;
        memo.above = entering.above;
        memo.planned = planned(run);
        for (const JoinKey& key : memo.planned.joins) memo.joined.push_back(joined(key));
        memo.before = budget;
        auto result = std::make_shared<RunResult>();
        result->shape = shapes[run];
        result->in = in;
        result->out = in;
        recorder.write_down(&memo.recorded, &memo.read);
        engine.calls_left = &result->calls;
        Reading reading;
        const syntax::Run& blocks = *forest->run(run);
        // A loop that begins and ends in the run is gone through until it settles: the run as a whole would
        // be evaluated again for each of its loops.
        struct Begun {
            std::size_t block;
            std::int32_t loop;
            RunResult before;
        };
        std::vector<Begun> begun;
        std::size_t most_again = most_passes * blocks.blocks.size();
        for (std::size_t block = 0; block < blocks.blocks.size();) {
            const BlockPlace place{run, block};
            if (plan.is_behind(place)) {
                result->out = unknown_state(Why::cut_short);
                break;
            }
            if (const std::int32_t loop = plan.loop_starts.at(place); loop >= 0)
                begun.push_back({block, loop, *result});
            engine.enter(body(), place, result->out, states, &recorder);
            const Parts unstated = come_to(*result, blocks, block);
            engine.step(body(), place, result->out, reading, &states, &recorder);
            gather(*result, blocks, block, reading, unstated);
            evaluated.fetch_add(1, std::memory_order_relaxed);
            ++block;
            const std::int32_t ends = plan.loop_ends.at(place);
            const auto loop = std::find_if(begun.begin(), begun.end(),
                                           [&](const Begun& one) { return ends >= 0 && one.loop == ends; });
            if (loop == begun.end()) continue;
            if (most_again >= block - loop->block && recorder.reads_again(turns_of(ends))) {
                most_again -= block - loop->block;
                block = loop->block;
                *result = std::move(loop->before);
            }
            begun.erase(loop, begun.end());
        }
        recorder.write_down(nullptr, nullptr);
        engine.calls_left = nullptr;
        memo.used = {memo.before.left - budget.left, memo.before.loops - budget.loops, budget.ran_out};
        for (const auto& [place, loop] : plan.loop_starts.of_run(run))
            for (std::size_t below = run + 1 + memo.behind.size();
                 below <= plan.loops[static_cast<std::size_t>(loop)].end.run; ++below)
                memo.behind.push_back(forest->run(below));
        memo.result = result;
        results[run] = result;
        if (memos[run].size() >= memos_kept()) memos[run].erase(memos[run].begin());
        memos[run].push_back(std::make_shared<Memo>(std::move(memo)));
        return memos[run].back();
    }

    /// Turns back where a loop or a jump has changed what a run above has read, so that it settles before
    /// what stands behind it is followed: otherwise each loop of a row of loops would cost a pass over the
    /// file.
    class TurnBack {
    public:
        explicit TurnBack(const Implementation& of)
            : plan_(of.plan), turns_(of.results.size(), 0), left_(most_passes * of.results.size()) {}

        /// The run to go on with behind `run`.
        std::size_t next(std::size_t run, const std::vector<JoinKey>& made_stale) {
            std::size_t back = run + 1;
            for (const JoinKey& key : made_stale) back = std::min(back, run_of(key, run + 1));
            if (back > run || turns_[back] >= most_passes || left_ < run - back + 1) return run + 1;
            ++turns_[back];
            left_ -= run - back + 1;
            return back;
        }

    private:
        std::size_t run_of(const JoinKey& key, std::size_t otherwise) const {
            if (key.kind == JoinKey::Kind::loop_back)
                return plan_.loops[static_cast<std::size_t>(key.number)].start.run;
            if (key.kind != JoinKey::Kind::label) return otherwise;
            const auto at = plan_.target_places.find({key.part, key.number});
            return at == plan_.target_places.end() ? otherwise : at->second.run;
        }

        const Plan& plan_;
        std::vector<int> turns_;
        std::size_t left_; ///< Runs that turning back may cost in all
    };

    /// Goes along the course as it was last run: what is known of the joins is kept as how they differ from
    /// what they were at the same step then.
    class Beside {
    public:
        explicit Beside(const Implementation& of) : of_(of), along_(!of.trace.empty()) {}

        /// The step that was taken here; nullptr: it is not known what corresponds to it.
        const Step* at(std::size_t index, std::size_t run, int pass) {
            along_ = along_ && index < of_.trace.size() && of_.trace[index].run == run &&
                     of_.trace[index].pass == pass;
            return along_ ? &of_.trace[index] : nullptr;
        }

        /// Whether the step does what it did: the same text, the same state and the same joins come to it.
        bool is_same(const Step& step, const Entering& entering, const RunResultPointer& source,
                     const Budget& budget) const {
            if (std::binary_search(of_.edited.begin(), of_.edited.end(), step.run)) return false;
            if (step.memo && (!suffices(budget, *step.memo) || !of_.same_behind(*step.memo, step.run)))
                return false;
            if (step.memo && !differs_.empty() && touches(*step.memo)) return false;
            return step.entering == source || step.result->in == *entering.state;
        }

        /// Behind a step that was run: what it did and what it did then.
        void compare(const Step& was, const std::vector<Recorder::Change>& changes) {
            std::unordered_map<JoinKey, StatePointer, HashOfJoin> then;
            for (const Recorder::Change& change : changes) {
                const auto known = differs_.find(change.key);
                then.try_emplace(change.key, known == differs_.end() ? change.was : known->second);
            }
            for (const Recorder::Change& change : was.changes) then.insert_or_assign(change.key, change.is);
            for (auto& [key, state] : then) {
                if (same_state(of_.joined(key), state))
                    differs_.erase(key);
                else
                    differs_.insert_or_assign(key, state);
            }
        }

    private:
        bool touches(const Memo& memo) const {
            const auto is_other = [&](const JoinKey& key) { return differs_.contains(key); };
            return std::any_of(memo.planned.joins.begin(), memo.planned.joins.end(), is_other) ||
                   std::any_of(memo.recorded.begin(), memo.recorded.end(),
                               [&](const Recorder::Record& record) { return is_other(record.key); });
        }

        const Implementation& of_;
        std::unordered_map<JoinKey, StatePointer, HashOfJoin>
            differs_; ///< What these were at the same step then
        bool along_;
    };

    void repeat(const Step& step, Recorder& recorder, Budget& budget) {
        recorder.repeat(step.memo ? std::span<const Recorder::Read>(step.memo->read)
                                  : std::span<const Recorder::Read>(),
                        std::span<const Recorder::Change>(step.changes));
        if (step.memo) budget = without(budget, step.memo->used);
        if (results[step.run] != step.result) results[step.run] = step.result;
    }

    void run_course() {
        // Every evaluation begins with no joins, so the result never depends on earlier edits; what has not
        // changed is taken from the memos, and where nothing has changed from the course as it was, whose
        // steps know the places of their joins.
        const bool once = ReadOnce::is_here(); // The next time it is run anew
        if (once) trace.clear();
        if (trace.empty()) states.clear();
        states.each([](Join& join) { join = {}; });
        Budget budget;
        Engine engine(settings, *programs, budget);
        Recorder recorder(states);
        for (const JoinKey& key : plan.from_behind) recorder.record(key, unknown_state(Why::cut_short));
        TurnBack turn_back(*this);
        Beside beside(*this);
        std::size_t index = 0;
        for (int pass = 0; pass < most_passes; ++pass) {
            recorder.begin_pass();
            bool turned_back = false;
            budget = budget_of(results.size());
            Entering entering = Entering::begin(plan.parts[0].has_start ? power_on_state(settings)
                                                                        : engine.entry(body(), 0, states));
            RunResultPointer source;
            for (std::size_t run = 0; run < results.size(); ++index) {
                const Step* const was = beside.at(index, run, pass);
                recorder.begin_step(run);
                if (was && beside.is_same(*was, entering, source, budget)) {
                    repeat(*was, recorder, budget);
                } else {
                    std::shared_ptr<const Memo> memo;
                    if (needs_engine(run, *entering.state))
                        memo = run_special(engine, recorder, budget, run, entering);
                    else if (!results[run] || !(results[run]->in == *entering.state))
                        results[run] = evaluate_plain(run, *entering.state);
                    if (was) beside.compare(*was, recorder.changes);
                    if (!once) {
                        trace.resize(was ? trace.size() : index);
                        if (!was) trace.emplace_back();
                        trace[index] = {run, pass, source, results[run], std::move(memo), recorder.changes};
                    }
                }
                const std::size_t next = turn_back.next(run, recorder.made_stale);
                turned_back = turned_back || next <= run;
                source = results[next <= run ? next : run];
                entering = next <= run ? Entering::again(source) : Entering::behind(source);
                run = next;
            }
            // What was left of the budget behind a turn back was not all that a straight way would have.
            if (recorder.is_stale() || (turned_back && budget.ran_out)) continue;
            if (once)
                for (Memos& memo : memos) memo = {};
            else
                trace.resize(index);
            return;
        }
        // Not settled: a course as tangled as this is not followed further.
        trace.clear();
        const auto unknown = std::make_shared<const State>(unknown_state(Why::joined));
        states.each([&](Join& join) {
            if (join.state) join.state = unknown;
        });
        budget = budget_of(results.size());
        Engine last(settings, *programs, budget);
        Recorder unused(states);
        Entering entering = Entering::begin(*unknown);
        for (std::size_t run = 0; run < results.size(); ++run) {
            memos[run].clear();
            if (needs_engine(run, *entering.state))
                run_special(last, unused, budget, run, entering);
            else
                results[run] = evaluate_plain(run, *entering.state);
            entering = Entering::behind(results[run]);
        }
    }

    /// Puts the rows of the new runs in the place of the old ones'. A run that was there before keeps its
    /// rows, one whose shape is the same its shape. True: all shapes are the same, and no run came or went.
    bool take_runs(const text::Splice& splice) {
        std::unordered_map<const syntax::Run*, std::size_t> were;
        for (std::size_t run = splice.first; run < splice.first + splice.removed; ++run)
            were.emplace(runs[run].get(), run);
        std::vector<syntax::RunPointer> fresh_runs(splice.inserted);
        std::vector<RunResultPointer> fresh_results(splice.inserted);
        std::vector<Memos> fresh_memos(splice.inserted);
        Shapes fresh_shapes(splice.inserted);
        auto fresh_special = decltype(plan.special)(splice.inserted, 0);
        bool same = splice.removed == splice.inserted;
        edited.clear();
        for (std::size_t i = 0; i < splice.inserted; ++i) {
            fresh_runs[i] = forest->run(splice.first + i);
            if (!same || fresh_runs[i] != runs[splice.first + i]) edited.push_back(splice.first + i);
            if (auto at = were.find(fresh_runs[i].get()); at != were.end()) {
                fresh_results[i] = results[at->second];
                fresh_shapes[i] = shapes[at->second];
                fresh_memos[i] = std::move(memos[at->second]);
                if (!plan.special.empty()) fresh_special[i] = plan.special[at->second];
            } else {
                fresh_shapes[i] = shared_shape_of(*fresh_runs[i], settings);
            }
            same = same && *fresh_shapes[i] == *shapes[splice.first + i];
            if (same) fresh_shapes[i] = shapes[splice.first + i];
        }
        kept.splice = splice;
        kept.labels = same ? std::vector<std::int32_t>{} : labels_of(splice, fresh_shapes);
        kept.shift.reset();
        replaced.clear();
        if (!same) same = replace_shapes(splice, fresh_shapes, fresh_runs);
        if (same && !kept.shift)
            for (std::size_t run = splice.first; run < splice.first + splice.removed; ++run)
                replaced.push_back({runs[run], results[run]});
        put(runs, splice, fresh_runs);
        put(results, splice, fresh_results);
        put(memos, splice, fresh_memos);
        // With the same shapes the plan stays.
        if (!same && !plan.special.empty()) put(plan.special, splice, fresh_special);
        return same;
    }

    /// N numbers in the runs that go and those that come.
    std::vector<std::int32_t> labels_of(const text::Splice& splice, const Shapes& fresh) const {
        std::vector<std::int32_t> numbers;
        const auto take = [&](const RunShape& shape) {
            for (const Label& label : shape.labels) numbers.push_back(label.number);
        };
        for (std::size_t i = 0; i < splice.removed; ++i) take(*shapes[splice.first + i]);
        for (const auto& shape : fresh) take(*shape);
        std::sort(numbers.begin(), numbers.end());
        numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
        return numbers;
    }

    /// True: the outline's places moved, and that is all.
    bool replace_shapes(const text::Splice& splice, Shapes& fresh,
                        const std::vector<syntax::RunPointer>& fresh_runs) {
        const bool one_for_one = splice.removed == 1 && splice.inserted == 1;
        const bool numbered = numbers_every_block();
        const std::shared_ptr<const RunShape> before = one_for_one ? shapes[splice.first] : nullptr;
        for (std::size_t i = 0; i < splice.removed; ++i) count(*shapes[splice.first + i], -1);
        for (const auto& shape : fresh) count(*shape, 1);
        forget_label_places();
        put(shapes, splice, fresh);
        if (!one_for_one || !plan.plain || numbered != numbers_every_block()) return false;
        if (is_same_for_outline(*before, shapes, splice.first)) return true;
        kept.shift = shift_between(*runs[splice.first], *before, *fresh_runs[0], shapes, splice.first);
        if (!kept.shift) return false;
        for (PlanPart& part : plan.parts) {
            part.first = kept.shift->moved(part.first);
            part.start = kept.shift->moved(part.start);
        }
        return true;
    }

    /// Blocks with a number, and all with words, over the file: they tell numbering from sequences.
    std::size_t numbered_blocks = 0, code_blocks = 0;
    bool numbers_every_block() const { return machine::numbers_every_block(numbered_blocks, code_blocks); }

    void count(const RunShape& shape, int by) {
        count_labels(shape, by);
        if (by > 0) {
            numbered_blocks += shape.numbered_blocks;
            code_blocks += shape.code_blocks;
        } else {
            numbered_blocks -= shape.numbered_blocks;
            code_blocks -= shape.code_blocks;
        }
    }

    template <class Row>
    static void put(Row& row, const text::Splice& splice, Row& fresh) {
        auto at = row.begin() + static_cast<std::ptrdiff_t>(splice.first);
        if (splice.removed == splice.inserted) {
            std::move(fresh.begin(), fresh.end(), at);
            return;
        }
        at = row.erase(at, at + static_cast<std::ptrdiff_t>(splice.removed));
        row.insert(at, std::make_move_iterator(fresh.begin()), std::make_move_iterator(fresh.end()));
    }

    void count_versions() {
        static std::atomic<std::uint64_t> last{0};
        kept.text_version = ++last | (ReadOnce::is_here() ? ReadOnce::mark : 0);
        if (!kept.shapes || kept.shift) kept.shapes_version = ++last;
    }

    void make_plan_and_run(std::size_t first_changed, std::size_t changed, bool called_changed) {
        kept.first = 0;
        kept.end = results.size();
        kept.changed.clear();
        // The plan is made of shapes alone, but for the programs of other files.
        if (kept.shapes && !called_changed && !plan.special.empty())
            return plan.plain ? run_plain(first_changed, changed) : run_course_again();
        kept.shapes = false;
        Plan fresh = make_plan(shapes, library ? programs.get() : nullptr);
        const bool same = !plan.special.empty() && fresh.same_course(plan) && !called_changed;
        const bool was_plain = plan.plain;
        // A run that was read with joins that are no more holds them still, and the other way round.
        for (std::size_t run = 0; run < plan.special.size(); ++run)
            if (plan.special[run] != fresh.special[run]) {
                results[run].reset();
                edited.push_back(run);
            }
        plan = std::move(fresh);
        if (plan.plain) {
            trace.clear();
            return was_plain ? run_plain(first_changed, changed) : run_plain(0, results.size());
        }
        if (same && !was_plain) {
            forget_what_is_planned_otherwise();
        } else {
            trace.clear();
            for (auto& memo : memos) memo.clear();
        }
        std::sort(edited.begin(), edited.end());
        run_course_again();
    }

    /// Where as many runs came as went, those at both ends that do as they did are told to be kept.
    void run_course_again() {
        if (kept.splice.removed != kept.splice.inserted) {
            trace.clear(); // Its steps name runs by where they stood
            return run_course();
        }
        const std::vector<RunResultPointer> before = results;
        run_course();
        const auto [was, is] = std::mismatch(before.begin(), before.end(), results.begin());
        kept.first = static_cast<std::size_t>(is - results.begin());
        while (kept.end > kept.first && before[kept.end - 1] == results[kept.end - 1]) --kept.end;
    }
};

Analysis::Analysis() : implementation_(std::make_unique<Implementation>()) {}
Analysis::~Analysis() = default;
Analysis::Analysis(Analysis&&) noexcept = default;
Analysis& Analysis::operator=(Analysis&&) noexcept = default;

void Analysis::rebuild(const syntax::Forest& forest, const Settings& settings,
                       std::shared_ptr<const ProgramLibrary> library) {
    implementation_ = std::make_unique<Implementation>();
    Implementation& self = *implementation_;
    self.forest = &forest;
    self.settings = settings;
    self.library = std::move(library);
    if (self.library) self.library_stamp = self.library->stamp();
    self.programs = std::make_unique<Programs>(self.settings, self.library);
    self.runs = forest.runs();
    self.results.resize(forest.size());
    self.memos.resize(forest.size());
    self.shapes.resize(forest.size());
    syntax::on_both_cores(forest.size(), few_runs, [&](std::size_t run) {
        self.shapes[run] = shared_shape_of(*forest.run(run), settings);
    });
    for (const auto& shape : self.shapes) self.count(*shape, 1);
    self.kept.splice = {0, 0, forest.size()};
    self.make_plan_and_run(0, forest.size(), false);
    self.count_versions();
}

void Analysis::update(const syntax::Forest& forest, const text::Splice& splice) {
    Implementation& self = *implementation_;
    bool called_changed = false;
    if (self.plan.has_calls) {
        for (std::size_t run = splice.first; run < splice.first + splice.removed; ++run) {
            const std::uint32_t from = self.plan.part_of({run, 0});
            const std::uint32_t to = self.plan.part_of({run, static_cast<std::size_t>(-1)});
            for (std::uint32_t part = from; part <= to; ++part)
                called_changed |= self.plan.parts[part].called;
        }
        if (self.library && self.library->stamp() != self.library_stamp) {
            self.library_stamp = self.library->stamp();
            self.programs = std::make_unique<Programs>(self.settings, self.library);
            called_changed = true;
        }
    }
    self.forest = &forest;
    self.kept.shapes = self.take_runs(splice);
    if (std::exchange(self.begins_anew, false)) {
        self.replaced.clear(); // What they were was read from another start
        self.make_plan_and_run(0, splice.first + splice.inserted, called_changed);
    } else {
        self.make_plan_and_run(splice.first, splice.inserted, called_changed);
    }
    self.count_versions();
}

bool Analysis::assume(const Assumptions& now) {
    Implementation& self = *implementation_;
    const Assumptions& held = self.settings.assumed;
    if (now == held) return true;
    // Only what is in force at its start changes nothing in how the words of a plain file are read.
    Assumptions others = now;
    if (now.feed_step == 0) others.units = held.units;
    others.feed_mode = held.feed_mode;
    others.spindle_mode = held.spindle_mode;
    others.plane = held.plane;
    others.distance = held.distance;
    const bool reads_alike = others == held;
    if (!self.plan.plain || !reads_alike) return false;
    self.begins_anew = true;
    self.settings.assumed = now;
    return true;
}

const Analysis::Kept& Analysis::kept() const {
    return implementation_->kept;
}
const std::shared_ptr<const ProgramLibrary>& Analysis::library() const {
    return implementation_->library;
}
const Settings& Analysis::settings() const {
    return implementation_->settings;
}
std::size_t Analysis::size() const {
    return implementation_->results.size();
}
const RunResultPointer& Analysis::result(std::size_t run) const {
    return implementation_->results[run];
}
const std::vector<RunResultPointer>& Analysis::results() const {
    return implementation_->results;
}
const RunShape& Analysis::shape(std::size_t run) const {
    return *implementation_->shapes[run];
}
bool Analysis::is_plain(std::size_t run) const {
    return !implementation_->needs_engine(run, implementation_->results[run]->in);
}
std::optional<BlockPlace> Analysis::loop_end(BlockPlace start) const {
    const Plan& plan = implementation_->plan;
    const std::int32_t loop = plan.loop_starts.at(start);
    if (loop < 0) return std::nullopt;
    return plan.loops[static_cast<std::size_t>(loop)].end;
}
bool Analysis::has_flow() const {
    const Shapes& shapes = implementation_->shapes;
    return std::any_of(shapes.begin(), shapes.end(),
                       [](const std::shared_ptr<const RunShape>& shape) { return !shape->flow.empty(); });
}
const syntax::Forest& Analysis::forest() const {
    return *implementation_->forest;
}
const std::vector<Analysis::PlacedProblem>& Analysis::flow_problems() const {
    return implementation_->plan.problems;
}
const std::unordered_map<std::int32_t, std::uint32_t>& Analysis::label_counts() const {
    return implementation_->label_counts;
}

Course Analysis::course() const {
    const Implementation& self = *implementation_;
    return {self.body(), &self.settings, &self.states, self.programs.get()};
}

namespace {
/// Runs blocks `[first, last]` of one run and shows each to `look(block, before, after, reading)`. `left`:
/// what its calls left; without it they are followed anew, and jumps and loops are not.
template <class Look>
void walk(const Course& course, BlockPlace first, std::size_t last, State& state,
          const std::vector<CallLeft>* left, bool plain, Assumed assumed, Look&& look) {
    host::stop_here_if_asked();
    Budget budget;
    Engine engine(*course.settings, *course.programs, budget);
    Reading reading;
    State before;
    const syntax::Run& run = course.body.run(first.run);
    const std::size_t end = std::min(last + 1, run.blocks.size()); // `last` may be no block at all
    visited.fetch_add(end - std::min(first.block, end), std::memory_order_relaxed);
    const JoinStates* const states = left ? course.states : nullptr;
    const std::size_t a_call = plain ? 0 : blocks_of_one_call(*course.body.plan);
    const bool may_be_behind = course.body.plan->is_behind({first.run, run.blocks.size()});
    for (std::size_t block = first.block; block <= last && block < run.blocks.size(); ++block) {
        if (may_be_behind && course.body.plan->is_behind({first.run, block})) {
            state = unknown_state(Why::cut_short);
            plain = true;
        }
        if (!plain && states) engine.enter(course.body, {first.run, block}, state, *states, nullptr);
        if (plain && assumed == Assumed::taken && run.blocks[block].item_count == 0) {
            interpret(run, block, *course.settings, state, reading);
            look(block, state, state, reading);
            continue;
        }
        before = read_before(run, block, state);
        if (assumed == Assumed::left_out) before.leave_assumed_out();
        budget = {a_call, 0, false};
        if (plain)
            interpret(run, block, *course.settings, state, reading);
        else
            engine.step(course.body, {first.run, block}, state, reading, states, nullptr, left);
        const State& after = read_behind(run, block, state);
        if (assumed == Assumed::taken) {
            look(block, before, after, reading);
            continue;
        }
        if (&after != &state) {
            State shown = after;
            shown.leave_assumed_out();
            look(block, before, shown, reading);
            continue;
        }
        // Shown without what is assumed, and run on with it: values hang on it, and are the same for all.
        const auto modal = state.modal;
        const Value speed = state.speed, limit = state.speed_limit;
        state.leave_assumed_out();
        look(block, before, state, reading);
        state.modal = modal;
        state.speed = speed;
        state.speed_limit = limit;
    }
}
} // namespace

void Analysis::visit(std::size_t run, const Visitor& visitor, Assumed assumed) const {
    Passed passed;
    visit_span({run, 0}, {run, forest().run(run)->blocks.size()}, passed, visitor, assumed);
}

void Analysis::visit_span(BlockPlace first, BlockPlace last, Passed& passed, const Visitor& visitor,
                          Assumed assumed) const {
    const Implementation& self = *implementation_;
    for (std::size_t run = first.run; run <= last.run && run < self.results.size(); ++run) {
        const syntax::Run& blocks = *self.forest->run(run);
        const RunResult& result = *self.results[run];
        const bool plain = !self.needs_engine(run, result.in);
        const std::size_t from = run == first.run ? first.block : 0;
        const std::size_t to = run == last.run ? last.block : blocks.blocks.size();
        const bool go_on = passed.state && passed.next.run == run && passed.next.block <= from;
        State state = go_on ? std::move(*passed.state) : result.in;
        walk(course(), {run, go_on ? passed.next.block : 0}, to, state, &result.calls, plain, assumed,
             [&](std::size_t block, const State& before, const State& after, Reading& reading) {
                 if (block >= from)
                     visitor(
                         {blocks, run, block, blocks.blocks[block], before, after, reading, self.settings});
             });
        passed.next = {run, to + 1};
        passed.state = std::move(state);
    }
}

void Analysis::visit_from(BlockPlace first, BlockPlace last, State entering, const Visitor& visitor) const {
    const Implementation& self = *implementation_;
    State state = std::move(entering);
    for (std::size_t run = first.run; run <= last.run && run < self.results.size(); ++run) {
        const syntax::Run& blocks = *self.forest->run(run);
        std::size_t from = run == first.run ? first.block : 0;
        std::size_t to = run == last.run ? last.block : blocks.blocks.size();
        walk(course(), {run, from}, to, state, nullptr, !self.needs_engine(run, state), Assumed::taken,
             [&](std::size_t block, const State& before, const State& after, Reading& reading) {
                 visitor({blocks, run, block, blocks.blocks[block], before, after, reading, self.settings});
             });
    }
}

namespace {
enum class Side : bool { before, after };

/// Of the block that was asked about last on a thread: who asks for many of a run asks for them in order, as
/// a rule, and must not have it read from its top for each.
struct AskedLast {
    std::uint64_t version = 0; ///< Of the text; 0: nothing was asked
    BlockPlace place;
    Assumed assumed = Assumed::taken;
    State before, after;
    Analysis::Passed passed;
};

State state_at(const Analysis& analysis, BlockPlace place, Side side, Assumed assumed) {
    thread_local AskedLast last;
    const std::uint64_t version = analysis.kept().text_version;
    if (last.version != version) last.passed = {};
    if (last.version != version || last.place != place || last.assumed != assumed) {
        last.version = 0; // Should reading it be interrupted
        // Past the last line the state behind it holds.
        last.before = last.after = analysis.result(place.run)->out;
        if (assumed == Assumed::left_out) {
            last.before.leave_assumed_out();
            last.after.leave_assumed_out();
        }
        analysis.visit_span(
            place, place, last.passed,
            [&](const BlockView& view) {
                last.before = view.before;
                last.after = view.after;
            },
            assumed);
        last.place = place;
        last.assumed = assumed;
        last.version = version;
    }
    return side == Side::before ? last.before : last.after;
}
} // namespace

State Analysis::before(BlockPlace place, Assumed assumed) const {
    return place.run < size() ? state_at(*this, place, Side::before, assumed) : State{};
}

State Analysis::after(BlockPlace place, Assumed assumed) const {
    return place.run < size() ? state_at(*this, place, Side::after, assumed) : State{};
}

std::optional<BlockPlace> Analysis::origin(BlockPlace place, Parts parts) const {
    auto last_in = [&](std::size_t run, std::size_t end) {
        std::optional<BlockPlace> found;
        Passed passed;
        visit_span({run, 0}, {run, end - 1}, passed, [&](const BlockView& view) {
            if (view.reading.is_read && (view.reading.may_set & parts)) found = BlockPlace{run, view.block};
        });
        return found;
    };
    if (place.run >= size()) return std::nullopt;
    if (place.block > 0)
        if (auto found = last_in(place.run, place.block)) return found;
    for (std::size_t run = place.run; run-- > 0;)
        if (result(run)->may_set & parts)
            if (auto found = last_in(run, forest().run(run)->blocks.size())) return found;
    return std::nullopt;
}

std::span<const BlockPlace> Analysis::labels(std::int32_t number) const {
    if (!implementation_->label_counts.contains(number)) return {};
    return implementation_->places_of_label(number);
}

std::optional<BlockPlace> Analysis::label_from(std::int32_t number, BlockPlace place) const {
    const std::span<const BlockPlace> places = labels(number);
    const auto at = std::lower_bound(places.begin(), places.end(), place);
    return at == places.end() ? std::nullopt : std::optional(*at);
}

std::optional<BlockPlace> Analysis::program(std::int32_t number) const {
    const PlanPart* part = implementation_->plan.program(number);
    if (!part) return std::nullopt;
    return part->start;
}

} // namespace turnwright::machine
