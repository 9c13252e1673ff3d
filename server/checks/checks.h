// Checks: each one small file in rules/, found by its file name; nothing else knows them by name.
//
// A rule defines `extern const Check check;` in namespace turnwright::checks::rules::<id>. CMake lists the
// files.
#pragma once

#include "language/language.h"
#include "stock/stock.h"

#include <array>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace turnwright::checks {

using machine::BlockPlace;
using shop::Severity;

enum class Family : std::uint8_t {
    words,
    modal_state,
    spindle,
    feed,
    tools,
    approach,
    coolant,
    cycles,
    threads,
    compensation,
    flow,
    limits,
    restart,
    house,
    file,
    stock,
};
std::string_view family_title(Family family);

enum class Tag : std::uint8_t { none, unnecessary, deprecated };

/// Replaces bytes `[begin, end)` of a line (columns in bytes) by `text`; a zero-length edit inserts.
struct Edit {
    BlockPlace block;
    std::uint32_t begin_column = 0;
    std::uint32_t end_column = 0;
    std::string text;
};
struct Fix {
    std::string title; ///< "Write X40."
    std::vector<Edit> edits;
    bool preferred = false; ///< The one right mend
    bool safe = true;       ///< Does not change what the machine cuts; when false the title says what changes
};

struct Check;

struct Related {
    BlockPlace block;
    std::string text;
};

/// One warning. `begin` and `length` are bytes in the block's line, so an edit elsewhere moves nothing.
struct Finding {
    const Check* check = nullptr;
    Severity severity = Severity::warning;
    std::uint16_t block = 0; ///< In the run
    std::uint32_t begin = 0;
    std::uint32_t length = 0;
    Tag tag = Tag::none;
    std::string message;
    /// Parts whose origin is shown as related information ("set here"); looked up when it is published.
    machine::Parts origin_of = 0;
    std::vector<Related> related; ///< Only from checks of the file, which are made anew when a place moves
    std::vector<Fix> fixes;       ///< Only filled when fixes are asked for
};

/// A program that states no unit is followed in the one it is in: its lengths, as if they were mm.
motion::BlockPath path_in_any_unit(const machine::BlockView& view, const machine::Reader& reader);

/// Where a rule puts what it finds. Fluent: report.at(item).message(...).fix(...).
class Report {
public:
    Report(machine::Reader reader, const shop::Shop& shop, bool want_fixes)
        : reader_(reader), shop_(shop), want_fixes_(want_fixes) {}

    struct Entry {
        Finding& finding;
        const machine::Reader& reader;
        bool want_fixes;
        Entry& message(std::string text); ///< Where a word ends a sentence its own point does
        Entry& severity(Severity severity) {
            finding.severity = severity;
            return *this;
        }
        Entry& origin(machine::Parts parts) {
            finding.origin_of |= parts;
            return *this;
        }
        Entry& related(BlockPlace block, std::string text) {
            reader.line(block); // Where it stands counts
            finding.related.push_back({block, std::move(text)});
            return *this;
        }
        Entry& tag(Tag tag) {
            finding.tag = tag;
            return *this;
        }
        /// `make`, with or without a reader, gives the fix or none; it is only called when fixes are wanted.
        template <class Make>
        Entry& fix(Make&& make) {
            if (!want_fixes) return *this;
            std::optional<Fix> made;
            if constexpr (std::is_invocable_v<Make, const machine::Reader&>)
                made = make(reader);
            else
                made = make();
            if (made) finding.fixes.push_back(std::move(*made));
            return *this;
        }
    };
    Entry at(const machine::BlockView& view, const syntax::Item& item); ///< One word
    Entry at(const machine::BlockView& view); ///< The whole block, without outer blanks
    Entry at(BlockPlace place);               ///< The whole block
    Entry at(BlockPlace place, const syntax::Item& item);
    Entry at_letter(BlockPlace place, char letter); ///< Its first word with this letter, else the block
    Entry at(const machine::BlockView& view, std::uint32_t begin, std::uint32_t length); ///< Bytes in the run

    /// The block's moves, worked out once for all rules that ask.
    const motion::BlockPath& path(const machine::BlockView& view);
    /// Between blocks. True: the path or a reader was asked for, so that what was found hangs on more than
    /// the block.
    bool forget_path() {
        const bool looked = std::exchange(looked_elsewhere_, false);
        return std::exchange(path_, nullptr) != nullptr || looked;
    }
    /// For a rule on a block that looks at other blocks of its run.
    const machine::Reader& reader() {
        looked_elsewhere_ = true;
        return reader_;
    }

    const shop::Shop& shop() const { return shop_; }

    struct Placed {
        std::size_t run;
        Finding finding;
    };
    std::vector<Placed> found; ///< In order of report
    const Check* current = nullptr;

private:
    machine::Reader reader_;
    const shop::Shop& shop_;
    bool want_fixes_;
    bool looked_elsewhere_ = false;
    std::unique_ptr<motion::BlockPath> path_;
    Entry add(BlockPlace place, std::uint32_t begin, std::uint32_t length);
};

// --- What rules on a sequence and on the file look at ---------------------------------------------------

/// What is in force behind a block. Program units; what is not known is not known here either.
struct InForce {
    std::array<machine::Modal, codes::group_count> modal{};
    machine::Value feed, speed, speed_limit, tool, offset;
    /// Whose direction, speed, mode and limit these are; nullopt: not known.
    std::optional<machine::Spindle> spoken_to() const {
        return machine::spoken_to(modal[static_cast<std::size_t>(codes::Group::spoken_to)]);
    }
    bool operator==(const InForce&) const = default;
};

/// One block of a sequence as it was read: what it did and the state behind it. Blocks that the control never
/// reads are left out.
struct Step {
    BlockPlace place;
    machine::MotionKind motion = machine::MotionKind::none;
    codes::Meaning meaning = codes::Meaning::rapid; ///< Valid when motion is not none
    bool moves_x = false, moves_z = false, moves_other = false;
    bool in_contour = false;
    bool deleted = false; ///< Behind a block delete
    bool has_words = false;
    bool calls_tool = false;    ///< A T word
    bool gives_speed = false;   ///< An S word
    bool names_contour = false; ///< P and Q words
    bool machine_code = false;  ///< A G or M code of this machine, or one the table does not hold
    machine::Parts reads = 0, sets = 0;
    std::uint64_t one_shots = 0; ///< Bit i: one-shot meaning number i stands in the block
    // Program units; what is not known is not known here either.
    machine::Value from_x, from_z, to_x, to_z, target_x, target_z;
    /// Of the steps' owner, never nullptr: held once for all blocks in a row that leave the same.
    const InForce* after = nullptr;

    const machine::Modal& of(codes::Group group) const {
        return after->modal[static_cast<std::size_t>(group)];
    }
    bool is(codes::Meaning meaning) const { return of(codes::group_of(meaning)).is(meaning); }
    bool may_be(codes::Meaning meaning) const { return of(codes::group_of(meaning)).may_be(meaning); }
    bool gives(codes::Meaning meaning) const { ///< The code itself stands in the block
        if (codes::group_of(meaning) == codes::Group::one_shot)
            return one_shots >> codes::member_of(meaning) & 1u;
        return (sets & machine::part(codes::group_of(meaning))) != 0 && is(meaning);
    }
    bool moves() const { return moves_x || moves_z || moves_other; }
};

/// A block in a sequence: runs from the sequence's first, and in that one blocks from the first of the
/// sequence, so that lines put in above move nothing.
struct Near {
    std::uint32_t runs = 0;
    std::uint32_t block = 0;
    bool operator==(const Near&) const = default;
    static Near of(BlockPlace place, BlockPlace first) {
        const std::size_t block = place.run == first.run ? place.block - first.block : place.block;
        return {static_cast<std::uint32_t>(place.run - first.run), static_cast<std::uint32_t>(block)};
    }
    BlockPlace from(BlockPlace first) const {
        return {first.run + runs, runs == 0 ? first.block + block : block};
    }
};

struct Acts;
/// What the tool does, cut by cut (checks/acts.h); equal when what it holds is.
struct KeptActs {
    std::shared_ptr<const Acts> held;
    bool operator==(const KeptActs& other) const;
};

/// What rules on the file may ask of a sequence: they are called anew only when one of these has changed.
struct FileFacts {
    std::vector<codes::Meaning> safety_line; ///< Modal codes before the first move, as written
    machine::Parts safety_set = 0;           ///< Their groups
    /// The groups of the safety line, each where it stands first, five bits each from the low end (0: no
    /// more).
    std::uint64_t safety_order = 0;
    std::optional<Near> safety_block; ///< The block with most of them
    std::optional<Near> first_move;
    std::optional<Near> first_unreachable; ///< First block with words that no way leads to, not behind an end
    std::optional<Near> move_without_units; ///< First move while no block has stated the units
    std::optional<Near> last_code;          ///< Last block with words
    std::optional<Near> return_move;        ///< Last return to the change position
    codes::Meaning return_by =
        codes::Meaning::rapid; ///< machine_datum, reference_return; valid with return_move
    /// Where the axes stand by the last move: `unmoved` at the entry, at the change position or away from it.
    enum class Stand : std::uint8_t { unmoved, home, away };
    Stand at_call = Stand::unmoved,
          at_end = Stand::unmoved; ///< At the first tool call; behind the last block
    std::optional<Near> tool_call;
    /// Last place given in the machine datum, while nothing has moved since.
    std::optional<double> machine_x_radius_mm, machine_z_mm;
    std::optional<double> call_machine_x_radius_mm, call_machine_z_mm; ///< The same at the first tool call
    machine::Value call_from_x_radius, call_from_z;                    ///< Where that stands in the program
    bool call_may_be_in_inch = false;                                  ///< As stated, else as assumed
    /// Which of coolant and spindle goes off first behind the last cut.
    enum class OffOrder : std::uint8_t { not_both, coolant_first, spindle_first, together };
    OffOrder off_order = OffOrder::not_both;
    std::optional<Near> last_off;   ///< The block with the later of the two
    bool approaches = false;        ///< Rapids to the part after its tool call
    bool two_step_approach = false; ///< By more than one rapid
    bool cuts_across_first = false; ///< Along X alone: the approach ends beside the part
    /// Its moves at constant surface speed ask for no more than the limit that it takes over; not known: no.
    bool stays_below_limit = false;
    bool cuts = false;
    bool cuts_turning = false; ///< With a spindle that may turn: no bar stop, puller or live tool
    bool has_note = false;
    bool optional_stop = false, program_stop = false, ends_program = false, end_reachable = true;
    std::array<machine::Modal, codes::group_count> at_exit{};
    /// The direction of each spindle there, whichever is spoken to.
    std::array<machine::Modal, machine::spindle_count> turns_at_exit{};
    std::array<std::uint16_t, codes::group_count> seen{}; ///< Members that were in force at any block of it
    struct FirstRead {
        Near block;
        machine::Parts parts;
        bool operator==(const FirstRead&) const = default;
    };
    std::vector<FirstRead> first_reads; ///< Read before set: inherited. In order
    machine::Parts sets = 0;
    std::array<machine::Modal, codes::group_count> at_entry{}; ///< Before its first block
    machine::Value feed_at_entry, speed_at_entry, speed_limit_at_entry, tool_at_entry, offset_at_entry;
    machine::Value feed_at_exit, speed_at_exit, speed_limit_at_exit, tool_at_exit, offset_at_exit;
    std::optional<Near> surface_speed; ///< First G96 word that reads the limit
    KeptActs acts;
    bool operator==(const FileFacts&) const = default;
};

/// What a sequence needs and leaves, kept as long as its blocks and the state that enters it stay the same.
struct SequenceFacts : FileFacts {
    machine::Parts reads_first = 0;                  ///< All of `first_reads`
    machine::Parts sets_at_entry = 0;                ///< Set before the first move
    bool first_move_x = false, first_move_z = false; ///< Axes of the first move
    bool home_before_first_move = false; ///< It has gone to the change position before, in this sequence
    std::optional<Near> moves_by_from_unknown; ///< First U or W move before that axis has been given a place
    bool operator==(const SequenceFacts&) const = default;
};

/// Counts over the file that tell one habit from another.
struct Habits {
    std::uint64_t with_point = 0;    ///< Lengths not 0 written with a decimal point
    std::uint64_t without_point = 0; ///< and without
};

// --- What each kind of rule is shown --------------------------------------------------------------------

/// For rules on a sequence: its blocks and the state that enters it.
struct SequenceContext {
    const machine::Reader& reader;
    const shop::Shop& shop;
    std::int32_t tool;           ///< Station that it calls; -1: none, or not known
    std::span<const Step> steps; ///< All blocks that are read, in order
    const SequenceFacts& facts;
    std::span<const motion::TroubleAt>
        nose_troubles; ///< Of compensated moves, where the tool's radius is known
    const machine::Settings& settings() const { return reader.settings(); }
};
/// One span of a program with its facts: the head (sequence nullptr) or a sequence.
struct Span {
    const machine::ProgramPart* program = nullptr;
    const machine::Sequence* sequence = nullptr;
    BlockPlace first, last;
    const FileFacts* facts = nullptr; ///< The results' own
    std::size_t program_at = 0;       ///< Place of `program` in the outline
    BlockPlace place(Near near) const { return near.from(first); }
};
/// What the sequences of the file have in common. Changes seldom.
struct Across {
    std::size_t sequences = 0;
    /// The known values of a part, wherever a span of the program begins or ends.
    struct Values {
        machine::Value one;
        bool several = false;
        void add(const machine::Value& value) {
            if (several || !value.known()) return;
            several = one.known() && one != value;
            one = several ? machine::Value{} : value;
        }
        bool operator==(const Values&) const = default;
    };
    /// What may be in force where one program, with the subprograms of the file, is left.
    struct Program {
        std::array<std::uint16_t, codes::group_count> left{}; ///< Members
        Values feed, speed, speed_limit, tool, offset;
        double highest_limit = 0; ///< rpm, of those that are known
        bool operator==(const Program&) const = default;
    };
    std::vector<Program> programs; ///< As the outline's
    std::array<std::size_t, codes::group_count>
        set_at_entry{}; ///< Sequences that set the group before they move
    std::array<std::size_t, codes::group_count>
        set_by_itself{}; ///< Sequences that set the group before anything of them reads it
    std::vector<codes::Meaning> safety_line; ///< The shop's, else what most sequences hold, in their order
    std::vector<codes::Group> safety_order;  ///< Of the shop's line, else of the fullest
    bool operator==(const Across&) const = default;
};
/// For rules on the facts of one span: those, its place in the outline, and what is true across the file.
struct EntryContext {
    const machine::Settings& settings;
    const shop::Shop& shop;
    const Span& span;
    const SequenceFacts& facts; ///< All of the span's
    const Across& across;
};
struct TwoPaths;         ///< In checks/two_paths.h: two turrets with a program each
struct OtherPrograms;    ///< In checks/path_pairs.h
struct ClampingPrograms; ///< In checks/clamping.h: clamps, quill, C axis and live tools through the programs
struct SecondSpindle;    ///< In checks/second_sides.h: what is done to a part that it has taken over
/// What is known of a file, for rules on it; asked for through the contexts, which log it.
struct FileParts {
    const shop::Shop& shop;
    const machine::Outline& outline;
    const std::vector<Span>& spans;             ///< In order of place
    const std::set<std::int32_t>& labels_twice; ///< N numbers that stand more than once in the file
    const Across& across;
    const stock::Course& stock; ///< Every program followed through its stock, where that is known
    /// Made by the first rule that asks for it, for all of one update; rules on both cores ask.
    std::mutex& making;
    std::shared_ptr<const ClampingPrograms>& clamping;
    std::shared_ptr<const SecondSpindle>& second_spindle;
    std::shared_ptr<const std::vector<TwoPaths>>& paths;
    OtherPrograms& other_programs; ///< Kept from update to update
};
/// For rules on the file by its landmarks: outline, shapes of runs, N numbers, facts of sequences.
class LandmarkContext {
public:
    LandmarkContext(const machine::Reader& reader, const FileParts& parts)
        : shop(parts.shop), reader_(reader), parts_(parts) {}
    const shop::Shop& shop;
    const machine::Settings& settings() const { return reader_.settings(); }
    const machine::Outline& outline() const { return asked(machine::Whole::outline).outline; }
    const std::vector<Span>& spans() const {
        asked(machine::Whole::outline);
        return asked(machine::Whole::facts).spans;
    }
    const Across& across() const { return asked(machine::Whole::facts).across; }
    const std::set<std::int32_t>& labels_twice() const { return asked(machine::Whole::shapes).labels_twice; }
    /// Blocks with this N number, in order.
    std::span<const BlockPlace> labels(std::int32_t number) const {
        return reader_.whole(machine::Whole::shapes).labels(number);
    }
    std::size_t runs() const { return reader_.whole(machine::Whole::shapes).size(); }
    const machine::RunShape& shape(std::size_t run) const {
        return reader_.whole(machine::Whole::shapes).shape(run);
    }
    const std::vector<machine::Analysis::PlacedProblem>& flow_problems() const {
        return reader_.whole(machine::Whole::shapes).flow_problems();
    }

protected:
    const FileParts& asked(machine::Whole what) const {
        reader_.whole(what);
        return parts_;
    }
    const machine::Reader& reader_;
    const FileParts& parts_;
};
/// For rules on the file that look at blocks, too.
class FileContext : public LandmarkContext {
public:
    using LandmarkContext::LandmarkContext;
    const machine::Reader& reader() const { return reader_; }
    const ClampingPrograms& clamping() const;
    const SecondSpindle& second_spindle() const; ///< Empty for a file longer than a hand writes
    /// Of a machine whose programs run in pairs, by the shop file.
    const std::vector<TwoPaths>& paths() const;
};
/// For rules on the programs' course through their stock; blocks are asked for the units in force.
class StockContext : LandmarkContext {
public:
    using LandmarkContext::LandmarkContext;
    using LandmarkContext::settings, LandmarkContext::shop;
    const std::vector<stock::ProgramCourse>& programs() const {
        return asked(machine::Whole::stock).stock.programs();
    }
    const machine::Reader& reader() const { return reader_; }
};

struct WorksContext; ///< In checks/works.h: what the tools do to the part

/// A program under a rule: lines `;^^^ warning: id` mark the words above that must be found; a program with
/// no mark must give nothing from this rule. The lines do not belong to the program.
struct Example {
    codes::System system;
    std::string_view program;
    std::string_view shop_file = {}; ///< TOML, when the example needs one
};

/// A rule. Any of the functions may be nullptr. Each kind is shown what it may hang on and no more; what it
/// reads is logged, and it is called again when something of that has changed. `block` is called for every
/// block that is read and has words, notes or errors, and may ask for its path. The shop file changes nothing
/// by and by: with another one everything is checked anew.
struct Check {
    std::string_view id; ///< snake_case, the file's name
    Family family;
    Severity severity;       ///< Default
    TableText title;         ///< "Feed move with no feed set"
    TableText documentation; ///< What it sees, why it matters at the machine, what to write. A few sentences.
    void (*block)(const machine::BlockView&, Report&) = nullptr;
    void (*sequence)(const SequenceContext&, Report&) = nullptr;
    void (*entry)(const EntryContext&, Report&) = nullptr;
    void (*landmarks)(const LandmarkContext&, Report&) = nullptr;
    void (*file)(const FileContext&, Report&) = nullptr;
    void (*stock)(const StockContext&, Report&) = nullptr;
    void (*works)(const WorksContext&, Report&) = nullptr;
    std::vector<Example> examples = {};
    /// False when the file's habits make the rule's findings meaningless; asked after every change.
    bool (*applies)(const Habits&) = nullptr;
};

/// Whether findings of this id may hang on any block of the file: on what no single block or sequence shows.
bool hangs_on_file(std::string_view id);
std::span<const Check* const> all_checks(); ///< Ordered by id
const Check* find_check(std::string_view id);
/// The bad example that the page of a check shows: the shortest. nullptr: none of them is bad.
const Example* shown_example(const Check& check);
/// A fix done to that example.
struct MendedExample {
    std::string fix, program; ///< Its title; the whole program
};
/// One Markdown page for a check, and the index; docs/warnings is made from them.
std::string check_markdown(const Check& check, const std::optional<MendedExample>& mended);

/// The whole index page.
std::string check_index_markdown();

/// A note of our own form in the program: (TURNWRIGHT: ACCEPT feed_missing, units_missing). It holds for its
/// own block; alone on its line also for the next block that has words. With IN FILE behind ACCEPT, in the
/// head of the program, for the whole file.
struct Allowance {
    std::uint16_t block = 0;
    std::uint32_t begin = 0, length = 0; ///< The note, bytes in the run
    bool whole_file = false;
    bool alone = false; ///< No words in its block
    std::vector<std::string> ids;
};
std::vector<Allowance> allowances_in(const syntax::Run& run);
/// The note that silences a check for the block below it.
std::string allowance_note(std::string_view id);

/// All findings of a program, kept beside its runs. The same from `update` as from `rebuild`.
/// `analysis` and `shop` must outlive the results, or a rebuild.
class Results {
public:
    Results();
    ~Results();
    Results(Results&&) noexcept;
    Results& operator=(Results&&) noexcept;

    void rebuild(const machine::Analysis& analysis, const shop::Shop& shop);
    /// The first half of a rebuild: only what the blocks of the first runs show by themselves is found and
    /// shown, all of which `finish` will show, too. Notes that silence count as if they stood everywhere.
    void begin(const machine::Analysis& analysis, const shop::Shop& shop, std::size_t first_runs);
    void finish();
    void update(const machine::Analysis& analysis, const text::Splice& splice);
    /// The first half of an update: only what blocks and sequences show by themselves is found and shown;
    /// what hangs on the file comes with `finish_update`.
    void begin_update(const machine::Analysis& analysis, const text::Splice& splice);
    void finish_update();

    struct Placed {
        std::size_t run;
        const Finding* finding;
    };
    /// In order of place; silenced and switched-off ones left out.
    std::vector<Placed> all() const;
    std::span<const Placed> shown() const; ///< The same without a copy
    std::vector<Placed> in_run(std::size_t run) const;
    /// The findings of a run again, with their fixes.
    std::vector<Report::Placed> with_fixes(std::size_t run) const;
    struct Silenced {
        std::size_t run;
        const Finding* finding;
        BlockPlace by;
    };
    std::vector<Silenced> silenced() const;
    const machine::Outline& outline() const;
    /// Heads and sequences with their facts; pointers into outline().
    std::span<const Span> spans() const;
    const stock::Course& stock() const;
    /// Of programs that work with another one on one part.
    const std::vector<stock::JointStock>& joint_stock() const;
    /// The pairs with a program in the file, until the next update; nullptr: not followed so far.
    std::shared_ptr<const std::vector<TwoPaths>> paths() const;

private:
    struct Implementation;
    std::unique_ptr<Implementation> implementation_;
};

/// What shows whether a sequence may be entered in the middle of the program.
struct RestartRow {
    BlockPlace first;
    std::int32_t number = -1; ///< N; -1 when none
    std::int32_t tool = -1, offset = -1;
    machine::Parts set_at_entry = 0; ///< Before its first move
    machine::Parts inherited = 0;    ///< Read before set, and not the same wherever the machine comes from
    struct Left {
        codes::Group group;
        codes::Meaning meaning;
    };
    std::vector<Left> left; ///< On at its end: cycle, compensation, surface speed, spindle, coolant
    bool safe = false;
    bool safe_behind_head = false; ///< What it takes over is stated once and never changed
};
/// One row a sequence, in order; of the first `most_spans` heads and sequences, weighed against all.
std::vector<RestartRow> restart_table(const machine::Analysis& analysis, std::span<const Span> spans,
                                      const shop::Shop& shop, std::size_t most_spans = SIZE_MAX);
Across across_of(std::span<const Span> spans, const shop::Shop& shop, codes::System system);

// --- For the rules -----------------------------------------------------------------------------------------

/// A number as a machinist writes it: no trailing zeros, a point always ("40.", "0.25", "-12.5").
std::string written(double number);
/// A number for a sentence: "40", "0.25", up to 4 decimals (inch) without trailing zeros.
std::string spoken(double number);
/// X as the program writes it (diameter or radius) from a radius.
double x_as_written(double x_radius, const machine::Settings& settings);
std::string_view length_unit(const machine::State& state); ///< "mm", "in" or "" when not known

} // namespace turnwright::checks
