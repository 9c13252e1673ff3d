// What one block does to the state that reaches it, and the state at every run of a program.
//
// `Analysis` keeps a result beside every run of blocks. After an edit, runs are interpreted from the edited
// one on until a state out equals what the next run had as state in.
#pragma once

#include "machine/assumptions.h"
#include "machine/state.h"
#include "shop/shop.h"
#include "syntax/syntax.h"

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

namespace turnwright::machine {

// --- How a program is read ----------------------------------------------------------------------------

/// Counts of what speaks for each G-code system, and how the choice was made.
struct SystemEvidence {
    std::uint32_t for_a = 0, for_b = 0, for_c = 0;
    SystemEvidence& operator+=(const SystemEvidence& other);
    SystemEvidence& operator-=(const SystemEvidence& other);
};
SystemEvidence evidence_in(const syntax::Run& run);
/// One line per sort of evidence with the first line it stands on: for the hover on the first block.
struct EvidenceLine {
    std::size_t line;
    codes::System system;
    std::string text;
};
std::vector<EvidenceLine> list_evidence(const syntax::Forest& forest, const text::Buffer& buffer);

enum class SystemFrom : std::uint8_t { shop_file, program, assumed };

/// All that reading a program depends on besides its text.
struct Settings {
    codes::System system = codes::System::A;
    SystemFrom system_from = SystemFrom::assumed;
    shop::Machine machine;
    Assumptions assumed;
    /// For times: the machine with rates of a middle-of-the-road lathe where it gives none.
    std::optional<shop::Machine> assumed_rates;
    std::filesystem::path file;                     ///< Of the program; empty: none
    std::optional<double> assumed_way_home_seconds; ///< From or to a place that the program does not tell
    const shop::Machine& rates() const { return assumed_rates ? *assumed_rates : machine; }
    bool operator==(const Settings&) const = delete;
};
/// With nothing assumed but the system.
Settings choose_settings(const shop::Machine& machine, const SystemEvidence& evidence);
/// And what neither the machine nor the start of the program tells, assumed by its evidence.
Settings choose_settings(const shop::Machine& machine, const SystemEvidence& evidence,
                         const SignCounts& signs);

// --- One block ----------------------------------------------------------------------------------------

/// A word with its value in the state that reaches it.
struct Word {
    const syntax::Item* item = nullptr;
    char letter = 0;
    bool after_comma = false; ///< ,C ,R ,A
    codes::Quantity quantity = codes::Quantity::none;
    Value value;                       ///< Program units; X and U as written (diameter or radius), not halved
    const codes::Code* code = nullptr; ///< Row of a G or M word; nullptr: not in the table
    bool own = false;                  ///< A code of the machine's builder whose effect the shop file tells
    /// What such a code does: it follows its word, on the same item, with the row of the effect. Of a call
    /// the value is the program.
    bool implied = false;
    bool is_unknown_g() const { return letter == 'G' && !after_comma && !code && !own; }
};

/// What a block's axis words make the machine do.
enum class MotionKind : std::uint8_t {
    none,
    rapid,
    feed,           ///< G01
    arc,            ///< G02 G03 (motion tells which)
    thread,         ///< G32/G33, G34
    single_cycle,   ///< G90/G92/G94 of A and their likes
    drill_cycle,    ///< G81..G89
    contour_cycle,  ///< G70..G73: P and Q name the contour
    peck_cycle,     ///< G74 G75
    thread_cycle,   ///< G76
    reference,      ///< G28 G30 (through the intermediate point)
    from_reference, ///< G29
    machine_rapid,  ///< G53
    skip,           ///< G31 and measuring moves
    unknown_motion, ///< Axis words while the motion mode is not known
};
/// The cycles stand together above.
constexpr bool is_cycle(MotionKind motion) {
    return motion >= MotionKind::single_cycle && motion <= MotionKind::thread_cycle;
}
/// To the reference point or to a place in the machine datum: off the part, as a rule.
constexpr bool is_return(MotionKind motion) {
    return motion == MotionKind::reference || motion == MotionKind::machine_rapid;
}

/// What went wrong while reading a block; checks turn these into messages. Kept short: text is made later.
enum class ProblemKind : std::uint8_t {
    division_by_zero,
    value_out_of_domain,
    variable_never_set,
    write_to_read_only,
    bad_expression,
    label_not_found,
    label_twice,
    program_not_found,
    program_not_looked_for, ///< Not found where there are more programs than are read
    recursion_too_deep,
    call_cut_short, ///< A call that takes more work than may be done
    loop_not_closed,
    loop_not_opened,
    loop_number_bad,
    loops_cross,
    nesting_too_deep,
    contour_not_found,
    contour_out_of_order,
    contour_has_call,
    jump_into_loop,
};
struct Problem {
    ProblemKind kind;
    std::uint16_t block = 0; ///< In the run
    std::uint32_t begin = 0; ///< Bytes in the run
    std::uint32_t length = 0;
    double number = 0; ///< Label, program or variable number
};

/// How a block turns the course of the program.
enum class FlowKind : std::uint8_t {
    none,
    jump,            ///< GOTO; IF..GOTO when its condition is known to hold
    maybe_jump,      ///< IF..GOTO with a condition that is not known
    loop_start,      ///< WHILE..DO m, DO m
    loop_end,        ///< END m
    subprogram_call, ///< M98
    macro_call,      ///< G65
    modal_call,      ///< G66: the macro runs behind every move
    modal_call_off,  ///< G67
    program_return,  ///< M99
    program_end,     ///< M02 M30
};

/// A program is called: once, as a macro, or behind every move from here on.
constexpr bool calls_program(FlowKind kind) {
    return kind == FlowKind::subprogram_call || kind == FlowKind::macro_call || kind == FlowKind::modal_call;
}

/// A block as interpreted. `before` and `after` are owned by the visitor's caller and live for the call only.
struct Reading {
    std::vector<Word> words; ///< In written order, without block delete
    std::vector<Problem> problems;
    // Rules ask each block for many words and codes, and most are not there.
    std::uint32_t letters = 0; ///< A bit a letter of `words`
    std::uint32_t groups = 0;  ///< A bit a group of the codes in `words`
    MotionKind motion = MotionKind::none;
    codes::Meaning motion_meaning = codes::Meaning::rapid; ///< Valid when motion is not none
    bool moves_x = false, moves_z = false;                 ///< An axis word (X U, Z W) is there
    bool moves_other = false;                              ///< Y V C H
    bool sets_up_cycle = false; ///< First line of a cycle of two lines: moves nothing by itself
    bool in_contour = false;    ///< Contour block of a roughing cycle: not run in passing
    bool is_read = true;        ///< False behind the program end: the control never reads it
    Parts reads = 0;            ///< Parts whose value before this block matters to it
    Parts sets = 0;             ///< Parts it leaves with a value of its own, for certain
    Parts may_set = 0;          ///< The same, counting blocks that block delete may leave out
    std::int32_t number = -1;   ///< N; -1 when none
    FlowKind flow = FlowKind::none;
    Value flow_target; ///< Label, program number or loop number; never_set: none written
    Value condition;   ///< WHILE: 1 holds, 0 does not
    Value repeats;     ///< L of a call; 1 when none
    // Where the move ends, before the state's own bookkeeping (cycles return to their start):
    Value target_x_radius, target_z;

    const Word* word(char letter) const;            ///< First word with this letter, not after a comma
    const Word* code(codes::Meaning meaning) const; ///< The word that has this meaning
    Value value(char letter) const;                 ///< Value of word(letter); never_set when not there
    bool has(char letter) const { return word(letter) != nullptr; }
};

/// The block's letters are arguments of a macro.
bool gives_arguments(const Reading& reading);
/// It calls a program with a number of those by which shops and builders keep what changes tools, feeds bars
/// and sends the turret home (common practice, no source).
constexpr double first_kept_by_shop = 8000;
bool is_kept_by_shop(const Reading& reading);
/// The station that a block calls, where it stands in its T word: a program that the same block calls may
/// leave another. Of "G65 P9010 T3" it is the argument.
std::optional<int> station_called(const Reading& reading, const Settings& settings);

/// Holes of a drilling cycle's block: its K, else 1.
int repeats_of(const Reading& reading);

/// The value of an expression; never_set is an empty variable. Problems are added to `problems`.
Value evaluate(const syntax::Run& run, std::size_t block, std::int32_t expression, const State& state,
               std::vector<Problem>& problems);

/// Interprets one block alone: `state` becomes the state after it. What a called program does is not known
/// here, and jumps are told in `reading` but not followed: Analysis does both. `reading` is reused between
/// calls to spare allocations.
void interpret(const syntax::Run& run, std::size_t block, const Settings& settings, State& state,
               Reading& reading);

/// 1 to 9; 0: the block has no block delete.
int delete_level(const syntax::Run& run, const syntax::Block& block);
/// What holds before and behind a block that is read: one with a block delete follows on those above it,
/// which are read as well. `state` as interpret() takes it and leaves it.
const State& read_before(const syntax::Run& run, std::size_t block, const State& state);
const State& read_behind(const syntax::Run& run, std::size_t block, const State& state);

/// The state before the first block: the shop file's power-on state, what is assumed, the rest never set.
State power_on_state(const Settings& settings);

// --- Lines that give a program its shape ---------------------------------------------------------------

struct Landmark {
    enum class Kind : std::uint8_t {
        tape_mark,
        program_start, ///< number: O
        tool_call,     ///< tool, offset as written; number: N of the block or -1
        numbered,      ///< A block with N where not every block has one
        note_only,
        optional_stop,
        program_stop,
        program_end,    ///< M02 M30
        subprogram_end, ///< M99
        call,           ///< number: called program
    } kind;
    bool has_note = false;   ///< A note in the same block
    std::uint16_t block = 0; ///< In the run
    std::int32_t number = -1;
    std::int32_t tool = -1;   ///< -1: computed
    std::int32_t offset = -1; ///< -1: not written
    bool operator==(const Landmark&) const = default;
};

struct Label {
    std::int32_t number;
    std::uint16_t block;
    bool operator==(const Label&) const = default;
};

// --- A run and a whole program ---------------------------------------------------------------------------

/// A jump, loop or call as written; numbers that are computed are -1.
struct FlowMark {
    FlowKind kind = FlowKind::none;
    std::uint16_t block = 0; ///< In the run
    std::int32_t number = -1;
    std::uint32_t begin = 0; ///< Bytes in the run, for messages
    std::uint32_t length = 0;
    bool operator==(const FlowMark&) const = default;
};

/// What a block holds, as far as the outline asks.
enum class BlockSort : std::uint8_t {
    blank,
    no_words, ///< Notes, tape marks
    words,    ///< Words or a statement, no N
    numbered, ///< N, alone or with others
};

/// What a block does, as far as where a sequence begins depends on it. By its own words and the motion code
/// that the run gave last.
enum class BlockDoes : std::uint8_t {
    sets,         ///< Codes, values, notes or nothing
    cuts,         ///< Goes at feed
    returns,      ///< To a reference point or by the machine datum; or a call, which may
    goes_away,    ///< Another rapid
    switches_off, ///< Spindle, coolant or offset off, and no more
    as_above,     ///< Goes by the motion code in force above its run
};

/// What the text of a run alone tells. Plan and outline are folded from the shapes and from nothing else.
struct RunShape {
    std::vector<BlockSort> blocks;
    std::vector<BlockDoes> does;       ///< Parallel to `blocks`
    std::optional<bool> ends_in_rapid; ///< Whether its last motion code is G00; none: it has no such code
    std::vector<Landmark> landmarks;
    std::vector<Label> labels;                ///< Every N number
    std::vector<std::int32_t> contour_labels; ///< P and Q of contour cycles
    std::uint32_t numbered_blocks = 0;
    std::uint32_t code_blocks = 0; ///< Blocks with at least one word
    std::vector<FlowMark> flow;    ///< Jumps, loops, calls, M99 with P
    bool operator==(const RunShape&) const = default;
};
RunShape shape_of(const syntax::Run& run, const Settings& settings);

/// What a call has left, so that a visit need not follow it again.
struct CallLeft {
    std::uint16_t block = 0; ///< In the run
    Parts sets = 0;
    std::optional<ProblemKind> problem;
    std::shared_ptr<const State> state;
};

struct RunResult {
    std::shared_ptr<const RunShape> shape;
    State in;
    State out;
    Parts reads_first = 0; ///< Read before set, in this run
    Parts sets = 0;        ///< Set for certain
    Parts may_set = 0;
    std::vector<Problem> problems;
    std::vector<CallLeft> calls; ///< In order
    /// Of the modes that may be assumed: read in a block while nothing states them.
    Parts reads_unstated = 0;
    Parts assumed = 0;             ///< Assumed behind a block; of the spindle's values, before one, too
    std::vector<bool> passed_over; ///< Blocks that the control does not come to; empty: it comes to all

    bool comes_to(std::size_t block) const { return passed_over.empty() || !passed_over[block]; }
};
using RunResultPointer = std::shared_ptr<const RunResult>;

/// A block of the file: run and block in it.
struct BlockPlace {
    std::size_t run = 0;
    std::size_t block = 0;
    auto operator<=>(const BlockPlace&) const = default;
};

/// In one run some blocks took the place of others (or of none), and none of them is one that the outline
/// asks for.
struct Shift {
    std::size_t run = 0;
    std::size_t first = 0;   ///< The first of them
    std::size_t removed = 0; ///< What stood there
    std::size_t inserted = 0;
    bool takes_out(BlockPlace place) const {
        return place.run == run && place.block >= first && place.block < first + removed;
    }
    /// Where a block behind them is now; the others stay.
    BlockPlace moved(BlockPlace place) const {
        if (place.run == run && place.block >= first + removed)
            place.block = place.block - removed + inserted;
        return place;
    }
};

/// Programs in other files that calls may reach; implemented by the server (workspace folders only).
class ProgramLibrary {
public:
    virtual ~ProgramLibrary() = default;
    /// The runs of the program with this O number or file name, or nullptr.
    virtual std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const = 0;
    /// The runs of a file by its path, or nullptr.
    virtual std::shared_ptr<const syntax::Forest> find_file(const std::filesystem::path&) const {
        return nullptr;
    }
    /// Changes whenever any program it holds changes.
    virtual std::uint64_t stamp() const = 0;
    /// There are more programs than it looks through.
    virtual bool is_cut_short() const { return false; }
};

/// What a visitor sees of each block.
struct BlockView {
    const syntax::Run& run;
    std::size_t run_index;
    std::size_t block; ///< In the run
    const syntax::Block& text;
    const State& before;
    const State& after;
    const Reading& reading;
    const Settings& settings;
};
using Visitor = std::function<void(const BlockView&)>;
/// Whether a visit shows modes that are assumed, or has them as not set.
enum class Assumed : bool { left_out, taken };

struct Course;

class Analysis {
public:
    Analysis();
    ~Analysis();
    Analysis(Analysis&&) noexcept;
    Analysis& operator=(Analysis&&) noexcept;

    /// Interprets everything. `library` may be nullptr. `forest` must outlive the analysis.
    void rebuild(const syntax::Forest& forest, const Settings& settings,
                 std::shared_ptr<const ProgramLibrary> library);
    /// Follows an edit; results whose meaning did not change keep their pointers.
    void update(const syntax::Forest& forest, const text::Splice& splice);
    /// Takes other modes as assumed at the start, for the next `update`. False: more than the start hangs on
    /// them, and everything is to be interpreted again.
    bool assume(const Assumptions& now);

    /// Where a visit of a span has ended: the next one, if it begins in the same run, need not read again
    /// what stands before it. Holds as long as the analysis is not changed.
    struct Passed {
        BlockPlace next;
        std::optional<State> state; ///< Before `next`; none: nothing is passed
    };
    /// A run of as many blocks as before of which only some read otherwise: all others have the same text,
    /// line for line, and are reached in the same state.
    struct Changed {
        std::size_t run = 0;
        syntax::RunPointer text_before; ///< May be the present one
        RunResultPointer result_before;
        std::size_t first = 0, end = 0; ///< From `first` to before `end`
    };
    /// What the last change left as it was.
    struct Kept {
        /// Every run is still there, and of the same shape: so is the outline. With `shift` but for the
        /// places that it moves.
        bool shapes = false;
        std::optional<Shift> shift;
        std::size_t first = 0, end = 0;   ///< Only runs from `first` to before `end` may have another result
        text::Splice splice;              ///< Runs that came for others
        std::vector<std::int32_t> labels; ///< N numbers that may stand elsewhere now; sorted
        /// Another one behind each change, and behind each that shapes or places have not come through alike.
        std::uint64_t text_version = 0, shapes_version = 0;
        /// Some of these, in order; the others may read otherwise all over.
        std::vector<Changed> changed;
    };
    const Kept& kept() const;

    const Settings& settings() const;
    /// Programs in other files; may be nullptr.
    const std::shared_ptr<const ProgramLibrary>& library() const;
    std::size_t size() const;
    const RunResultPointer& result(std::size_t run) const;
    const std::vector<RunResultPointer>& results() const;
    const RunShape& shape(std::size_t run) const;
    /// What its blocks do follows from their text and the state that reaches the first of them alone: nothing
    /// jumps there or calls.
    bool is_plain(std::size_t run) const;
    /// The last block of the loop that begins at a block: one that is written so, or from a label on to the
    /// last jump that leads back to it. nullopt: none begins there.
    std::optional<BlockPlace> loop_end(BlockPlace start) const;
    /// Whether anything jumps, loops or calls.
    bool has_flow() const;
    const syntax::Forest& forest() const;

    /// Calls `visitor` for every block of a run, in order, with the state that reaches it.
    void visit(std::size_t run, const Visitor& visitor, Assumed assumed = Assumed::taken) const;
    /// The blocks of a span (both in), in order, over any runs, with the state that reaches them.
    void visit_span(BlockPlace first, BlockPlace last, Passed& passed, const Visitor& visitor,
                    Assumed assumed = Assumed::taken) const;
    /// The blocks of a span (both in) entered with a state of the caller's: a sequence entered with
    /// nothing known.
    void visit_from(BlockPlace first, BlockPlace last, State entering, const Visitor& visitor) const;
    /// The state before and after one block.
    State before(BlockPlace place, Assumed assumed = Assumed::taken) const;
    State after(BlockPlace place, Assumed assumed = Assumed::taken) const;
    /// The last block before `place` that sets a part; nullopt when none does. Where today's value comes
    /// from.
    std::optional<BlockPlace> origin(BlockPlace place, Parts parts) const;
    /// Blocks with this N number, in order. Program-wide (the whole file). Until the next update.
    std::span<const BlockPlace> labels(std::int32_t number) const;
    /// The first of them that does not stand above `place`.
    std::optional<BlockPlace> label_from(std::int32_t number, BlockPlace place) const;
    /// What is wrong with jumps, loops and calls in the file as a whole.
    struct PlacedProblem {
        std::size_t run;
        Problem problem;
    };
    const std::vector<PlacedProblem>& flow_problems() const;
    /// How often each N number stands in the file; kept up to date incrementally.
    const std::unordered_map<std::int32_t, std::uint32_t>& label_counts() const;
    /// Start of the program with this O number in this file.
    std::optional<BlockPlace> program(std::int32_t number) const;
    /// For Execution (machine/execution.h).
    Course course() const;

private:
    struct Implementation;
    std::unique_ptr<Implementation> implementation_;
};

// --- Sequences ------------------------------------------------------------------------------------------

/// One tool's work: from its N number and note to its optional stop, or the next one. Without a number it
/// begins behind the stop, the return or the note that ends the one before. A
/// number and note right behind a stop begin one too where the others are numbered, and go on with the tool
/// in use.
struct Sequence {
    BlockPlace first, last; ///< Both in
    BlockPlace tool_call;   ///< The first block where the sequence calls none
    bool calls_tool = true;
    std::int32_t number = -1; ///< N; -1 when none
    std::int32_t tool = -1;   ///< Station; -1 not known
    std::int32_t offset = -1;
    std::optional<BlockPlace> note; ///< Block that holds the sequence note
    std::optional<BlockPlace> optional_stop;
    std::int32_t program = 0; ///< O number it belongs to
    bool operator==(const Sequence&) const = default;
};
struct ProgramPart {
    BlockPlace first, last;
    std::int32_t number = 0;       ///< O number; 0 none
    bool is_subprogram = false;    ///< Ends with M99 and something calls it, or no main end
    std::optional<BlockPlace> end; ///< M02, M30 or M99
    std::vector<Sequence> sequences;
};
/// The file's shape. Cheap: folds the landmarks only.
struct Outline {
    std::vector<ProgramPart> programs;
    bool numbers_every_block = false;     ///< N is numbering, not sequences
    bool numbers_start_sequences = false; ///< The habit: N and note start a sequence
    std::optional<BlockPlace> closing_tape_mark;
};
Outline outline(const Analysis& analysis);
/// The outline behind a shift; false, with nothing changed, when one of its places was taken out.
bool move(Outline& outline, const Shift& shift);

} // namespace turnwright::machine
