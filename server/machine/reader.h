// What is kept from change to change, and what it was worked out from.
//
// Whoever works out something that is kept asks for the program through a `Reader`. It logs what was
// consulted: lines of a run, the state that reaches a block, the blocks that two N numbers name, what is
// known of the file as a whole. A `Memo` holds the value with its log and is valid as long as the same
// questions have the same answers. Nobody says beforehand what may be near enough to matter.
#pragma once

#include "machine/machine.h"

#include <array>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace turnwright::machine {

/// What is known of the file as a whole, each with a version that another one follows when it changes.
enum class Whole : std::uint8_t {
    text,    ///< Anything at all
    shapes,  ///< Landmarks, labels, jumps, loops and calls of all runs, and what is wrong with them
    outline, ///< Programs and sequences; their places by the lines that stand there
    facts,   ///< What the sequences need and leave, and have in common
    stock,
    count_,
};
struct Versions : std::array<std::uint64_t, static_cast<std::size_t>(Whole::count_)> {
    Versions() : array{} {}
    /// What the analysis alone tells; the rest follows from it, or is set by whoever knows it.
    explicit Versions(const Analysis& analysis);
    std::uint64_t& of(Whole what) { return (*this)[static_cast<std::size_t>(what)]; }
    std::uint64_t of(Whole what) const { return (*this)[static_cast<std::size_t>(what)]; }
};

/// The blocks that P and Q of a contour cycle name.
struct ContourPlace {
    bool has_first = false;                                  ///< P stands somewhere
    std::optional<std::pair<BlockPlace, BlockPlace>> blocks; ///< Both in
    bool operator==(const ContourPlace&) const = default;
};

/// What was consulted. Runs are counted from the asker's, blocks of its own run from the asker's block and
/// those of runs above from their ends, so that lines put in elsewhere move nothing.
class Log {
public:
    /// Whether every answer is as it was. One that is found to be the same at other addresses is taken over.
    bool holds(const Analysis& now, const Versions& versions, BlockPlace asker);
    /// False: the last change left all blocks in it alone. `was` is where the asker stood before.
    bool may_have_changed(const Analysis::Kept& kept, BlockPlace was, BlockPlace asker) const;
    bool same_wholes(const Versions& versions) const;
    /// All is logged that is: from here on a test may take single entries away.
    void end();

    /// For the test that what is read is logged: reads of one sort, of one kind of whole, or a single one
    /// ("read 12": the twelfth of all that are kept) are not.
    struct LeftOut {
        std::optional<std::string_view> sort;
        std::optional<Whole> whole;
    };
    static inline LeftOut left_out; ///< Set by the test alone

private:
    friend class Reader;
    struct Read {
        std::int32_t run = 0;
        std::int32_t first = 0, end = 0; ///< Lines
        bool with_state = false;         ///< The state before `first`, too
        bool with_result = false;        ///< All that the run does
        bool with_length = false;        ///< Where it begins and ends
        syntax::RunPointer text;         ///< nullptr: there was no such run
        RunResultPointer result;         ///< With state or result
    };
    struct Contour {
        BlockPlace cycle; ///< From the asker, like the answer's places
        std::int32_t first_label = 0, last_label = 0;
        bool backward = false;
        ContourPlace answer;
    };
    bool still_holds(const Read& read, const Analysis& now, BlockPlace asker) const;
    bool still_stands(const Contour& contour, const Analysis& now, BlockPlace asker) const;
    void add(Read read);

    std::vector<Read> reads_;
    std::vector<Contour> contours_;
    std::vector<std::pair<Whole, std::uint64_t>> wholes_;
    std::size_t asker_block_ = 0;
    std::int32_t first_run_ = 0, last_run_ = 0; ///< All of `reads_`
};

/// The program as one reads it who keeps what comes out; without a log for one who does not.
class Reader {
public:
    Reader(const Analysis& analysis) : analysis_(&analysis) {} // NOLINT: what reads needs not know who keeps
    Reader(const Analysis& analysis, const Versions& versions, Log& log, BlockPlace asker)
        : analysis_(&analysis), versions_(&versions), log_(&log), asker_(asker) {
        log.asker_block_ = asker.block;
    }
    /// For the file as a whole, where the places themselves count.
    static Reader of_file(const Analysis& analysis, const Versions& versions, Log& log) {
        Reader reader(analysis, versions, log, {});
        reader.places_count_ = true;
        return reader;
    }

    /// The same with modes that are assumed as not set: for one who says that something is wrong.
    Reader of_stated() const {
        Reader reader = *this;
        reader.assumed_ = Assumed::left_out;
        return reader;
    }

    /// The same with what is assumed, for one who only measures by it and says nothing is wrong for it.
    Reader of_assumed() const {
        Reader reader = *this;
        reader.assumed_ = Assumed::taken;
        return reader;
    }

    const Settings& settings() const { return analysis_->settings(); }
    /// The run of a block, for the block's own line.
    const syntax::Run& line(BlockPlace place) const;
    std::span<const syntax::Item> items(BlockPlace place) const {
        const syntax::Run& run = line(place);
        return run.items_of(run.blocks[place.block]);
    }
    /// The last block of a run.
    BlockPlace end_of(std::size_t run) const;
    /// The block above or below, over the borders of runs; nullopt at the ends of the file.
    std::optional<BlockPlace> neighbour(BlockPlace place, bool forward) const;
    bool comes_to(BlockPlace place) const; ///< Whether the control does, on any way
    State before(BlockPlace place) const;
    State after(BlockPlace place) const;
    /// As those of Analysis.
    void visit(std::size_t run, const Visitor& visitor) const;
    void visit_span(BlockPlace first, BlockPlace last, Analysis::Passed& passed,
                    const Visitor& visitor) const;
    void visit_span(BlockPlace first, BlockPlace last, const Visitor& visitor) const;
    void visit_from(BlockPlace first, BlockPlace last, State entering, const Visitor& visitor) const;
    /// As that of Analysis, in a run that is not plain.
    std::optional<BlockPlace> loop_end(BlockPlace start) const;
    /// Roughing searches onward from its block, finishing back from it; where that finds nothing, the other
    /// way.
    ContourPlace contour(BlockPlace cycle, std::int32_t first_label, std::int32_t last_label,
                         bool backward) const;
    /// For an answer about the file as a whole.
    const Analysis& whole(Whole what) const;

private:
    void log_run(std::ptrdiff_t run, std::size_t first, std::size_t end, bool with_state,
                 bool with_length = false) const;
    void log_visit(BlockPlace first, BlockPlace last) const;

    const Analysis* analysis_;
    const Versions* versions_ = nullptr;
    Log* log_ = nullptr;
    BlockPlace asker_;
    bool places_count_ = false;
    Assumed assumed_ = Assumed::taken;
};

/// A value with the log of what it was worked out from.
template <class T>
struct Memo {
    T value{};
    Log log;
    BlockPlace asker;
    bool made = false;

    /// Whether the value is as true as it was before the last change, for one who stands here now.
    bool holds(const Analysis& now, const Versions& versions, BlockPlace place) {
        if (!made || !log.same_wholes(versions)) return false;
        if (log.may_have_changed(now.kept(), asker, place) && !log.holds(now, versions, place)) return false;
        asker = place;
        return true;
    }
    /// `work_out(reader)` gives the value.
    template <class WorkOut>
    static Memo make(const Analysis& analysis, const Versions& versions, BlockPlace asker,
                     WorkOut&& work_out) {
        Memo memo;
        memo.asker = asker;
        memo.value = work_out(Reader(analysis, versions, memo.log, asker));
        memo.log.end();
        memo.made = true;
        return memo;
    }
    template <class WorkOut>
    static Memo of_file(const Analysis& analysis, const Versions& versions, WorkOut&& work_out) {
        Memo memo;
        memo.value = work_out(Reader::of_file(analysis, versions, memo.log));
        memo.log.end();
        memo.made = true;
        return memo;
    }
};

} // namespace turnwright::machine
