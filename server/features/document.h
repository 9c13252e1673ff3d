// An open program with everything known about it.
#pragma once

#include "checks/checks.h"
#include "machine/arc_signs.h"
#include "machine/picked_way.h"
#include "machine/program_signs.h"

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

namespace turnwright::features {

using text::Position;
using text::Range;

/// A token beside its run, small because there are millions. Bytes in the run.
struct RunToken {
    std::uint32_t begin;
    std::uint16_t length;
    std::uint8_t type;
    std::uint8_t modifiers;
};
/// Tokens of runs that were asked for.
struct TokenStore {
    using Entry = machine::Memo<std::vector<RunToken>>;
    std::unordered_map<const syntax::Run*, Entry> entries;
};

/// Edits are cheap; `evaluate` brings the results up to date. Does not move: its parts point at each other.
class Document {
public:
    /// With the first part only when it is so long that a person would wait (see `is_in_part`), a shorter one
    /// with nothing until `evaluate`: programs that are opened together see each other then.
    enum class Begin : bool { with_all, with_first_part };
    Document(std::string_view whole, std::shared_ptr<const shop::Shop> shop, std::filesystem::path path = {},
             std::shared_ptr<const machine::ProgramLibrary> library = nullptr, Begin begin = Begin::with_all);
    Document(const Document&) = delete;
    Document& operator=(const Document&) = delete;

    void edit(Range range, std::string_view with);
    void replace_all(std::string_view whole);
    void use_shop(std::shared_ptr<const shop::Shop> shop);
    /// Brings `forest` alone up to date, for others who want to know what programs the text holds.
    void read();
    /// Several edits before it cost one evaluation. Does nothing when nothing changed.
    void evaluate();
    /// The first half of an evaluation, where a key in a long program through its stock costs a person a
    /// wait: `results().shown()` lacks what hangs on the file until `evaluate`. False: nothing was begun.
    bool evaluate_blocks();
    /// A very long program whose first part alone has been checked, block by block: `results().shown()` is
    /// true but not all. The rest comes with `evaluate`.
    bool is_in_part() const { return in_part_ && !rebuild_ && !unread_; }

    const text::Buffer& buffer() const { return buffer_; }
    // Valid after evaluate(), until the next edit:
    const syntax::Forest& forest() const { return forest_; }
    const machine::Analysis& analysis() const { return analysis_; }
    const checks::Results& results() const { return results_; }
    const motion::Times& times() const { return times_; }
    const machine::Outline& outline() const { return results_.outline(); }
    const machine::Settings& settings() const { return analysis_.settings(); }
    const shop::Shop& shop() const { return *shop_; }
    const std::shared_ptr<const shop::Shop>& shop_pointer() const { return shop_; }
    const std::filesystem::path& path() const { return path_; }
    /// Programs in other files that calls reach; may be nullptr.
    const std::shared_ptr<const machine::ProgramLibrary>& library() const { return library_; }

    /// Not for several threads at once.
    TokenStore& token_store() const { return tokens_; }

    /// Analysis::origin of one part, remembered as long as no change can have moved it: the warnings ask for
    /// the same ones after every key. Not for several threads at once.
    std::optional<machine::BlockPlace> origin(machine::BlockPlace place, int part_bit) const;

    // Lines of the file and blocks of the runs.
    machine::BlockPlace place_of_line(std::size_t line) const;
    std::size_t line_of(machine::BlockPlace place) const;
    Range range_of(machine::BlockPlace place) const; ///< The whole line
    Range range_in_run(std::size_t run, std::uint32_t begin, std::uint32_t length) const;
    Range range_of(machine::BlockPlace place, const syntax::Item& item) const;
    Range range_of(std::size_t run, const checks::Finding& finding) const;
    const syntax::Run& run(std::size_t index) const { return *forest_.run(index); }
    const syntax::Block& block(machine::BlockPlace place) const {
        return forest_.run(place.run)->blocks[place.block];
    }
    std::span<const syntax::Item> items(machine::BlockPlace place) const {
        return run(place.run).items_of(block(place));
    }

    /// " This holds if the program, which does not say so, means X as a diameter.", where it may mean
    /// something else and the finding is gone then, with no other in its place; empty where it stands in any
    /// case.
    std::string condition_of(std::size_t run, const checks::Finding& finding) const;

    /// The one way that is drawn and timed; found when it is first asked for. Not by two threads at once.
    const std::shared_ptr<const machine::PickedWay>& picked_way() const;

private:
    /// The same text with something read otherwise than it is assumed.
    struct OtherReading {
        std::unique_ptr<Document> document;
        std::set<std::pair<std::size_t, std::string_view>>
            found; ///< Line, id; where it is the better reading
        bool is_better = false;
    };
    void read_otherwise();
    void read_otherwise(OtherReading& other, std::optional<shop::XReading> x,
                        std::optional<codes::Meaning> units);
    const shop::Machine& choose_machine() const;
    machine::Settings choose_settings() const;
    void read_whole();
    void follow_edits();
    void finish_begun();
    bool bring_up_to_date(bool may_leave_file); ///< False: nothing had changed
    machine::SignCounts all_signs() const;
    bool programs_of_two_units(codes::System system) const;
    void read_machine();
    void read_everything();
    void forget_origins();

    text::Buffer buffer_;
    syntax::Forest forest_;
    machine::Analysis analysis_;
    checks::Results results_;
    motion::Times times_;
    std::shared_ptr<const shop::Shop> shop_;
    const shop::Machine* machine_ = nullptr; ///< One of shop_'s
    std::filesystem::path path_;
    std::shared_ptr<const machine::ProgramLibrary> library_;
    std::uint64_t library_stamp_ = 0;
    machine::SystemEvidence evidence_;
    machine::SignCounts signs_;
    std::vector<machine::RunSigns> run_signs_; ///< Of each run; signs_ is their sum
    /// Of all of them, by the system they were read in: to be weighed anew where the signs of a run change.
    mutable std::optional<std::pair<codes::System, bool>> of_two_units_;
    std::vector<machine::ArcRun> arcs_;   ///< Of each run
    std::optional<text::Splice> unread_;  ///< What the forest does not follow yet
    std::optional<text::Splice> waiting_; ///< What the forest follows and the results do not yet
    bool read_whole_ = true;              ///< The forest is of another text
    bool rebuild_ = true;
    bool in_part_ = false;
    bool file_is_left_ = false;      ///< What hangs on the file is still to be found
    bool is_read_otherwise_ = false; ///< Of another document: an other reading itself
    OtherReading by_radius_, by_other_unit_;
    mutable TokenStore tokens_;
    mutable std::shared_ptr<const machine::PickedWay> picked_way_;
    mutable std::map<std::pair<machine::BlockPlace, int>, std::optional<machine::BlockPlace>> origins_;
};

/// Two splices in a row as the one that covers both.
text::Splice merge(const text::Splice& earlier, const text::Splice& later);

/// A program file of the workspace besides the document asked about.
struct WorkspaceFile {
    std::filesystem::path path;
    std::shared_ptr<const text::Buffer> buffer;
    std::shared_ptr<const syntax::Forest> forest;
};
/// Implemented by the server; only files inside the workspace folders.
class Workspace {
public:
    virtual ~Workspace() = default;
    virtual std::vector<WorkspaceFile> files() const = 0;
};

/// A place in some file; an empty path is the document itself.
struct Location {
    std::filesystem::path path;
    Range range;
    auto operator<=>(const Location&) const = default;
};
struct TextEdit {
    Range range;
    std::string text;
};
struct FileEdits {
    std::filesystem::path path; ///< Empty: the document itself
    std::vector<TextEdit> edits;
};
/// Edits, or the reason why there are none. Never half done: a refusal has no edits.
struct Rewrite {
    std::vector<FileEdits> files;
    std::string refused{}; ///< Empty when done
    std::string told{};    ///< What to look at in what was done, for a person
    bool done() const { return refused.empty(); }
};

} // namespace turnwright::features
