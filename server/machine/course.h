// Inside the machine room: the course a program takes through its blocks. Jumps, loops and calls join states
// at the places they lead to; everything else runs from one block to the next.
#pragma once

#include "machine/machine.h"

#include <map>
#include <set>
#include <unordered_map>

namespace turnwright::machine {

/// A place where states join.
struct JoinKey {
    enum class Kind : std::uint8_t { label, program, loop_back, loop_exit } kind;
    std::uint32_t part = 0; ///< Program in the file, by order
    std::int32_t number =
        -1; ///< Label or O number; loops: their order in the file; -1: any label of the part
    auto operator<=>(const JoinKey&) const = default;
};
using JoinStates = std::map<JoinKey, State>;

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
};

/// What the shapes of all runs say about the course, made anew when a run with flow changes. Cheap when there
/// is none.
struct Plan {
    std::vector<PlanPart> parts;
    std::unordered_map<std::int32_t, std::uint32_t>
        numbered;            ///< Part by O number; the first where it stands twice
    std::vector<Loop> loops; ///< By start
    std::map<BlockPlace, std::int32_t> loop_starts, loop_ends; ///< Index in loops
    std::set<std::pair<std::uint32_t, std::int32_t>> targets;  ///< Part and label that jumps lead to
    std::map<std::pair<std::uint32_t, std::int32_t>, std::size_t> target_runs; ///< The first run of each
    std::set<std::uint32_t> any_label;                                         ///< Parts with a computed jump
    std::vector<char> special; ///< A run that needs the engine
    std::vector<Analysis::PlacedProblem> problems;
    /// Blocks that one call may run: the fewer, the more calls there are, so that no file of calls of calls
    /// can hang the editor. In steps, since everything is evaluated anew when it changes.
    std::size_t blocks_to_call = 200'000;
    bool has_calls = false;
    bool plain = true; ///< No jumps, loops, calls and one program: blocks run one after another

    std::uint32_t part_of(BlockPlace place) const;
    const PlanPart* program(std::int32_t number) const;
    /// Same jumps, loops and programs, wherever they stand.
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

/// What a change of one run from `before` to `after` comes to for the outline, whose shapes are the rest of
/// `shapes` (with `after` in its place): nullopt when it may ask for one of the blocks that came or went.
std::optional<Shift> shift_between(const syntax::Run& before, const RunShape& shape_before,
                                   const syntax::Run& after, const Shapes& shapes, std::size_t run);
Plan make_plan(const Shapes& shapes, const Settings& settings, const ProgramLibrary* library);

/// A body of blocks that can be run: this file or a program of the library.
struct Body {
    const Runs* runs = nullptr;
    const Shapes* shapes = nullptr;
    const Plan* plan = nullptr;
};

/// Bounds on what a call may cost, so that no program can hang the editor.
struct Budget {
    explicit Budget(std::size_t blocks_a_call) : a_call(blocks_a_call) {}
    std::size_t a_call;     ///< Every call of the file itself begins with so much, wherever it stands
    std::size_t blocks = 0; ///< What the present one has left
    int depth = 0;
    std::vector<std::pair<const Plan*, std::uint32_t>> open; ///< Programs that are running
    static constexpr int deepest_call = 10;
};

/// Where a run of blocks puts what it brings to the joins. Every run of a program has its own, so that one
/// within another cannot mix its joins, which belong to another plan, with the outer one's.
class Recorder {
public:
    explicit Recorder(JoinStates& states) : states_(states) {}
    void record(const JoinKey& key, const State& state);

    bool grew = false;                                        ///< A record changed a join
    std::vector<JoinKey> grown;                               ///< Which, since it was last cleared
    std::vector<std::pair<JoinKey, State>>* replay = nullptr; ///< Takes every record

private:
    JoinStates& states_;
};

class Engine {
public:
    Engine(const Settings& settings, const ProgramLibrary* library)
        : settings_(settings), library_(library) {}

    /// What arrives at a block besides the state of the block above: labels, loops, the start of a program.
    void enter(const Body& body, BlockPlace place, State& state, const JoinStates& states);
    /// One block with its jumps and calls, behind enter(). Without `states` jumps are not followed; without
    /// a recorder what it brings to them is not kept.
    void step(const Body& body, BlockPlace place, State& state, Reading& reading, const JoinStates* states,
              Recorder* recorder, Budget& budget);
    /// The state at a program's first block.
    State entry(const Body& body, std::uint32_t part, const JoinStates& states) const;

private:
    /// How a called program is left.
    struct Left {
        State behind;                           ///< To the block behind the call
        std::map<std::int32_t, State> to_label; ///< By M99 P, to this label of the caller's
    };
    /// A whole program entered with `in`.
    Left run_program(const Body& body, std::uint32_t part, const State& in, Budget& budget);
    void leave(const Body& body, BlockPlace place, State& state, Reading& reading, const JoinStates* states,
               Recorder* recorder, Budget& budget);
    void call(const Body& body, BlockPlace place, State& state, Reading& reading, Recorder* recorder,
              Budget& budget);
    const Body* library_body(std::int32_t number);

    const Settings& settings_;
    const ProgramLibrary* library_;
    struct Loaded {
        std::shared_ptr<const syntax::Forest> forest;
        Shapes shapes;
        Plan plan;
        Body body;
    };
    /// As the library had them when they were first called: what runs is not changed under it.
    std::map<std::int32_t, std::unique_ptr<Loaded>> loaded_;
};

} // namespace turnwright::machine
