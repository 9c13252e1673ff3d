// Inside the machine room: the course a program takes through its blocks. Jumps, loops and calls join states
// at the places they lead to; everything else runs from one block to the next.
#pragma once

#include "machine/execution.h"

#include <algorithm>
#include <map>
#include <memory>
#include <mutex>
#include <set>
#include <span>
#include <unordered_map>
#include <unordered_set>

namespace turnwright::machine {

/// A place where states join.
struct JoinKey {
    enum class Kind : std::uint8_t {
        label,
        program,
        loop_back,
        loop_exit,
        loop_entry, ///< What comes to a loop from above, while it can be run turn by turn
        loop_left   ///< What such a loop leaves behind its end: this alone holds there
    } kind;
    std::uint32_t part = 0; ///< Program in the file, by order
    std::int32_t number =
        -1; ///< Label or O number; loops: their order in the file; -1: any label of the part
    auto operator<=>(const JoinKey&) const = default;
};
/// Joins, what is recorded of them and what was read of them share their states.
using StatePointer = std::shared_ptr<const State>;
struct HashOfJoin {
    std::size_t operator()(const JoinKey& key) const {
        const auto number = static_cast<std::uint64_t>(static_cast<std::uint32_t>(key.number));
        const std::uint64_t all = (number << 32 | key.part) * 8 + static_cast<std::uint64_t>(key.kind);
        return static_cast<std::size_t>((all ^ all >> 29) * 0x9E3779B97F4A7C15u);
    }
};
/// What joins at a place, and who has read it in the pass at hand.
struct Join {
    StatePointer state;
    std::uint32_t reader = 0;  ///< Run that read it, from 1; 0: none has
    std::uint32_t read_at = 0; ///< The last time, by the recorder's steps
    std::uint32_t stale_at =
        0; ///< It changed behind one that read it and was not run again since; 0: it did not
};
/// Where no state stands any more its place is kept: places are held by who knows them.
class JoinStates {
public:
    const State* find(const JoinKey& key) const {
        const Join* const held = place_of(*this, key);
        return held ? held->state.get() : nullptr;
    }
    StatePointer held(const JoinKey& key) const {
        const Join* const held = place_of(*this, key);
        return held ? held->state : nullptr;
    }
    Join& at(const JoinKey& key) {
        return is_of_loop(key) ? of_loops_[key.number][in_loop(key)] : others_[key];
    }
    template <class Do>
    void each(Do&& act) {
        for (auto& [key, join] : others_) act(join);
        for (auto& [loop, joins] : of_loops_)
            for (Join& join : joins) act(join);
    }
    void clear() {
        others_.clear();
        of_loops_.clear();
    }

private:
    static constexpr auto first_of_loop = JoinKey::Kind::loop_back, last_of_loop = JoinKey::Kind::loop_left;
    static std::size_t in_loop(const JoinKey& key) {
        return static_cast<std::size_t>(key.kind) - static_cast<std::size_t>(first_of_loop);
    }
    static bool is_of_loop(const JoinKey& key) { return key.kind >= first_of_loop; }
    using OfLoop = std::array<Join, static_cast<std::size_t>(last_of_loop) -
                                        static_cast<std::size_t>(first_of_loop) + 1>;

    static const Join* place_of(const JoinStates& of, const JoinKey& key) {
        if (is_of_loop(key)) {
            const auto at = of.of_loops_.find(key.number);
            return at == of.of_loops_.end() ? nullptr : &at->second[in_loop(key)];
        }
        const auto at = of.others_.find(key);
        return at == of.others_.end() ? nullptr : &at->second;
    }

    /// Loops are asked for one after another, and all that joins at one together.
    std::unordered_map<std::int32_t, OfLoop> of_loops_;
    std::unordered_map<JoinKey, Join, HashOfJoin> others_;
};
/// Alike, or none both.
inline bool same_state(const StatePointer& a, const StatePointer& b) {
    return a == b || (a && b && *a == *b);
}

struct PlanPart {
    BlockPlace first;
    BlockPlace start; ///< Block of the O word
    std::int32_t number = 0;
    bool has_start = false; ///< Starts with an O word
    bool called = false;
    bool is_subprogram = false;
};

struct Loop {
    BlockPlace start, end;
    std::int32_t number = 0;
    std::uint32_t part = 0;
    std::int32_t around = -1; ///< The loop that it stands in
    int depth = 0;
    int jumps = 0;      ///< Back to its first block, which make a loop of it; 0: written as one
    bool closed = true; ///< No jump from outside leads into it, and none in it is computed
    /// False: a WHILE without its END, or one of too many around each other. It is kept, so that the others
    /// are named as before.
    bool runs = false;
    bool contains(BlockPlace place) const { return runs && start <= place && place <= end; }
};

/// The loops that begin, or end, at blocks. Every block that is run asks: of its run alone.
class LoopPlaces {
public:
    using Row = std::pair<BlockPlace, std::int32_t>; ///< With its index in the plan's loops
    /// One a block; of several the last.
    void add(BlockPlace place, std::int32_t loop) { rows_.push_back({place, loop}); }
    /// Behind the last `add`.
    void sort(std::size_t runs);
    std::span<const Row> of_run(std::size_t run) const {
        return run + 1 < first_.size() ? std::span(rows_).subspan(first_[run], first_[run + 1] - first_[run])
                                       : std::span<const Row>();
    }
    /// -1: none.
    std::int32_t at(BlockPlace place) const {
        for (const Row& row : of_run(place.run))
            if (row.first == place) return row.second;
        return -1;
    }

private:
    std::vector<Row> rows_;
    std::vector<std::uint32_t> first_; ///< Of each run, and one behind the last; empty: there is no loop
};

/// A label in a program of the file.
using Target = std::pair<std::uint32_t, std::int32_t>; ///< Part and number
struct HashOfTarget {
    std::size_t operator()(const Target& target) const {
        return HashOfJoin()({JoinKey::Kind::label, target.first, target.second});
    }
};

/// What the shapes of all runs say about the course, made anew when a run with flow changes. Cheap when there
/// is none.
struct Plan {
    std::vector<PlanPart> parts;
    std::unordered_map<std::int32_t, std::uint32_t>
        numbered;            ///< Part by O number; the first where it stands twice
    std::vector<Loop> loops; ///< By start, every one that is begun
    LoopPlaces loop_starts, loop_ends;
    std::unordered_set<Target, HashOfTarget> targets;                   ///< Labels that jumps lead to
    std::unordered_map<Target, BlockPlace, HashOfTarget> target_places; ///< The first block of each
    std::set<std::uint32_t> any_label;                                  ///< Parts with a computed jump
    std::vector<char> special;                                          ///< A run that needs the engine
    std::vector<Analysis::PlacedProblem> problems;
    bool has_calls = false;
    std::size_t calls = 0; ///< Blocks that may call
    std::size_t work = 0;  ///< That following the blocks may cost, in blocks evaluated again
    /// The first block that is not followed any more, since it would be too much; none: all are.
    BlockPlace followed_to{static_cast<std::size_t>(-1), 0};
    std::vector<JoinKey> from_behind; ///< Joins before it that blocks behind it lead to
    bool plain = true; ///< No jumps, loops, calls and one program: blocks run one after another

    bool is_behind(BlockPlace place) const { return place >= followed_to; }
    std::uint32_t part_of(BlockPlace place) const;
    const PlanPart* program(std::int32_t number) const;
    BlockPlace end_of_part(std::uint32_t part, std::size_t runs) const {
        return part + 1 < parts.size() ? parts[part + 1].first : BlockPlace{runs, 0};
    }
    /// The innermost loop around a block; -1: none.
    std::int32_t loop_around(BlockPlace place) const;
    /// Same loops and programs, and the same jumps in those that are called, wherever they stand.
    bool same_course(const Plan& other) const;
};

using Runs = std::vector<syntax::RunPointer>;
using Shapes = std::vector<std::shared_ptr<const RunShape>>;

/// Whether N is numbering, not a mark: of blocks with words, how many have a number.
bool numbers_every_block(std::size_t numbered, std::size_t code);

/// Lines that are the same from the top of two runs on, and of those below these from their ends.
struct SameLines {
    std::size_t above = 0, below = 0;
};
SameLines same_lines(const syntax::Run& before, const syntax::Run& after);

/// Whether the shape of a run that took the place of `before` is the same for the outline: other blocks may
/// cut or go away than did, where no tool call is near enough to ask.
bool is_same_for_outline(const RunShape& before, const Shapes& shapes, std::size_t run);

/// What a change of one run from `before` to `after` comes to for the outline, whose shapes are the rest of
/// `shapes` (with `after` in its place): nullopt when it may ask for one of the blocks that came or went.
std::optional<Shift> shift_between(const syntax::Run& before, const RunShape& shape_before,
                                   const syntax::Run& after, const Shapes& shapes, std::size_t run);
class Programs;
/// `programs`: of other files; nullptr: none are known, and that they are not found is not told.
Plan make_plan(const Shapes& shapes, Programs* programs);

/// A file whose blocks can be run: this one or one of the library.
struct Body {
    const syntax::Forest* forest = nullptr;
    const Shapes* shapes = nullptr;
    const Plan* plan = nullptr;
    const syntax::Run& run(std::size_t index) const { return *forest->run(index); }
};

/// Programs of other files, as the library had them when they were first called: what runs is not changed
/// under it.
class Programs {
public:
    Programs(const Settings& settings, std::shared_ptr<const ProgramLibrary> library)
        : settings_(settings), library_(std::move(library)) {}
    /// nullptr: not to be found.
    const Body* find(std::int32_t number);
    bool is_cut_short() const { return library_ && library_->is_cut_short(); }

private:
    struct Loaded {
        std::shared_ptr<const syntax::Forest> forest;
        Shapes shapes;
        Plan plan;
        Body body;
    };
    const Settings& settings_;
    std::shared_ptr<const ProgramLibrary> library_;
    std::map<std::int32_t, const Body*> found_; ///< nullptr: not there
    /// Each file once, however many programs it holds.
    std::map<const syntax::Forest*, std::unique_ptr<Loaded>> loaded_;
    std::mutex mutex_;
};

/// Where a run of blocks puts what it brings to the joins, and through which it reads them. Every run of a
/// program has its own, so that one within another cannot mix its joins, which belong to another plan, with
/// the outer one's.
class Recorder {
public:
    struct Record {
        JoinKey key;
        StatePointer state; ///< None: there is no such state any more
        bool alone = false; ///< Instead of what was recorded before
    };
    struct Read {
        JoinKey key;
        std::uint32_t records = 0; ///< Of the same step, before it
        bool again = false;        ///< It is about to be read as it is now
    };
    explicit Recorder(JoinStates& states) : states_(states) {}
    void record(const JoinKey& key, const State& state);
    void put(const JoinKey& key, StatePointer state);
    const State* read(const JoinKey& key);
    /// True: the step has changed what it alone has read, and goes back to where it read it.
    bool reads_again(const JoinKey& key);

    struct Change {
        JoinKey key;
        StatePointer was, is;      ///< None: there was or is no such state
        Join* held;                ///< Where it stands among the joins
        std::uint32_t records = 0; ///< Of the same step, with its own
    };
    bool grew = false; ///< A record changed a join

    // --- A course in steps, each of them one run ------------------------------------------------------
    std::vector<Change> changes;     ///< Of the step
    std::vector<JoinKey> made_stale; ///< Of these, joins that a run has read as they were before
    /// Every run is done again from here on.
    void begin_pass();
    void begin_step(std::size_t run);
    /// Where what the step reads and records is put down.
    void write_down(std::vector<Record>* records, std::vector<Read>* reads) {
        records_ = records;
        reads_ = reads;
    }
    /// The step does what it did.
    void repeat(std::span<const Read> reads, std::span<const Record> records);
    void repeat(std::span<const Read> reads, std::span<const Change> all);
    /// Whether a run has read what is another now.
    bool is_stale() const { return stale_ > 0; }

private:
    void note(const JoinKey& key, Join& held, StatePointer is);
    void note_change(const JoinKey& key, Join& held);
    void note_read(Join& held);
    void repeat(const Read& read);
    void join_in(const JoinKey& key, const StatePointer& state);
    JoinStates& states_;
    std::vector<Record>* records_ = nullptr;
    std::vector<Read>* reads_ = nullptr;
    std::uint32_t run_ = 0, step_ = 0; ///< 0: in no step
    std::size_t stale_ = 0;
};

/// Work that may still be done, in blocks run, so that no program can hang the editor.
struct Budget {
    std::size_t left = 0;
    std::size_t loops = 0; ///< For loops, which are run turn by turn only as far as this reaches
    bool ran_out = false;
    std::size_t withheld = 0; ///< Taken from it unused, since a program called itself
    bool take() {
        if (left == 0) return ran_out = true, false;
        --left;
        return true;
    }
    void leave(std::size_t most) {
        const std::size_t now = std::min(left, most);
        withheld += left - now;
        left = now;
    }
    /// Of the blocks that it held at first.
    std::size_t used(std::size_t given) const { return given - left - withheld; }
};

/// Runs blocks. There are two ways to do it: turn by turn, in the order of the control, as long as it is
/// known which way each jump, loop and call goes; and, where that is not known, once over, with the states of
/// all ways joined at the places that they lead to.
class Engine {
public:
    Engine(const Settings& settings, Programs& programs, Budget& budget)
        : settings_(settings), programs_(programs), budget_(budget) {}

    // --- Once over -----------------------------------------------------------------------------------
    /// What arrives at a block besides the state of the block above: labels, loops, the start of a program.
    void enter(const Body& body, BlockPlace place, State& state, const JoinStates& states,
               Recorder* recorder);
    /// One block with its jumps and calls, behind enter(). Without `states` jumps are not followed; without
    /// a recorder what it brings to them is not kept. A call that was followed already is taken from `left`.
    void step(const Body& body, BlockPlace place, State& state, Reading& reading, const JoinStates* states,
              Recorder* recorder, const std::vector<CallLeft>* left = nullptr);
    /// The state at a program's first block.
    State entry(const Body& body, std::uint32_t part, const JoinStates& states,
                Recorder* recorder = nullptr) const;
    /// Takes what calls leave, for visits of the same blocks.
    std::vector<CallLeft>* calls_left = nullptr;

    // --- Turn by turn --------------------------------------------------------------------------------
    /// Sees every block that is run turn by turn; false ends it. May be nullptr.
    const Look* look = nullptr;
    const syntax::Forest* own = nullptr; ///< The file whose course it is, for whoever looks on

    enum class Ran : std::uint8_t {
        to_end,
        undecided, ///< Which way it goes on is not known
        cut_short, ///< It takes more work than it may
    };
    struct Outcome {
        Ran ran = Ran::to_end;
        State state;                          ///< There, or at the block that it did not come beyond
        std::optional<BlockPlace> next;       ///< Where it goes on in the same program; none: it was left
        std::optional<std::int32_t> to_label; ///< Left by M99 P
    };
    /// From a block until control leaves [first, end).
    Outcome run(const Body& body, std::uint32_t part, BlockPlace first, BlockPlace end, BlockPlace from,
                State state);
    /// What a call leaves to the block behind it and, by M99 P, to labels of the caller's.
    struct Left {
        State behind;
        std::map<std::int32_t, State> to_label;
        Followed followed = Followed::no_call;
    };
    /// `state` behind the block's own words, `reading` with the call as written.
    Left call(const Body& body, const State& state, const Reading& reading);
    /// Whether the block calls: by its words, or as a move under G66, whose call is put into the reading.
    static bool calls(const State& after, Reading& reading);

private:
    struct Callee {
        const Body* body = nullptr;
        std::uint32_t part = 0;
    };
    Left follow(const Callee& callee, const State& caller, const Reading& reading);
    /// A whole program entered with `in`, once over.
    Left settle(const Body& body, std::uint32_t part, const State& in);
    void run_loop(const Body& body, std::int32_t loop, const State& above, Recorder& recorder);
    void leave(const Body& body, BlockPlace place, State& state, Reading& reading, const JoinStates* states,
               Recorder* recorder);
    void call_once_over(const Body& body, BlockPlace place, State& state, Reading& reading,
                        Recorder* recorder);
    std::optional<BlockPlace> label_place(const Body& body, std::uint32_t part, const Value& label,
                                          BlockPlace from);

    const Settings& settings_;
    Programs& programs_;
    Budget& budget_;
    std::vector<std::pair<const Plan*, std::uint32_t>> open_; ///< Programs that are running
};

/// Blocks that visits have gone over since the program began, for tests that work stays bounded.
std::size_t blocks_visited();
/// And blocks of runs with jumps, loops or calls that analyses have evaluated.
std::size_t special_blocks_evaluated();

/// Everything about a course that a visit needs.
struct Course {
    Body body;
    const Settings* settings = nullptr;
    const JoinStates* states = nullptr;
    Programs* programs = nullptr;
};

/// What a macro call's letters, the caller's common variables and, under G66, the arguments given there make
/// of the caller's state; and the caller's own locals again behind it.
State with_arguments(const State& caller, const Reading& reading);
State with_modal_arguments(const State& caller);
void restore_locals(State& after, const State& caller);

} // namespace turnwright::machine
