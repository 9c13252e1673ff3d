// Checks: each one small file in rules/, found by its file name; nothing else knows them by name.
//
// A rule defines `extern const Check <id>;` in namespace turnwright::checks::rules. CMake lists the files.
#pragma once

#include "motion/motion.h"

#include <span>
#include <string>
#include <string_view>
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

/// One warning. `begin` and `length` are bytes in the run, so an edit elsewhere moves nothing.
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
    std::vector<Related> related; ///< Only from sequence and file checks, which are made anew each time
    std::vector<Fix> fixes;       ///< Only filled when fixes are asked for
};

/// Where a rule puts what it finds. Fluent: report.at(item).message(...).fix(...).
class Report {
public:
    Report(const machine::Analysis& analysis, const shop::Shop& shop, bool want_fixes)
        : analysis_(analysis), shop_(shop), want_fixes_(want_fixes) {}

    struct Entry {
        Finding& finding;
        bool want_fixes;
        Entry& message(std::string text) {
            finding.message = std::move(text);
            return *this;
        }
        Entry& severity(Severity severity) {
            finding.severity = severity;
            return *this;
        }
        Entry& origin(machine::Parts parts) {
            finding.origin_of |= parts;
            return *this;
        }
        Entry& related(BlockPlace block, std::string text) {
            finding.related.push_back({block, std::move(text)});
            return *this;
        }
        Entry& tag(Tag tag) {
            finding.tag = tag;
            return *this;
        }
        /// `make` is only called when fixes are wanted.
        template <class Make>
        Entry& fix(Make&& make) {
            if (want_fixes) finding.fixes.push_back(make());
            return *this;
        }
    };
    Entry at(const machine::BlockView& view, const syntax::Item& item); ///< One word
    Entry at(const machine::BlockView& view); ///< The whole block, without outer blanks
    Entry at(BlockPlace place);               ///< The whole block
    Entry at(BlockPlace place, const syntax::Item& item);

    const machine::Analysis& analysis() const { return analysis_; }
    const shop::Shop& shop() const { return shop_; }

    struct Placed {
        std::size_t run;
        Finding finding;
    };
    std::vector<Placed> found; ///< In order of report
    const Check* current = nullptr;

private:
    const machine::Analysis& analysis_;
    const shop::Shop& shop_;
    bool want_fixes_;
};

/// For rules on a sequence or the whole file; looks at any block through `analysis`.
struct SequenceContext {
    const machine::Analysis& analysis;
    const machine::Outline& outline;
    const machine::ProgramPart& program;
    const machine::Sequence& sequence;
    const shop::Shop& shop;
};
struct FileContext {
    const machine::Analysis& analysis;
    const machine::Outline& outline;
    const shop::Shop& shop;
};

/// A program under a rule: lines `;^^^ warning: id` mark the words above that must be found; a program with
/// no mark must give nothing from this rule. The lines do not belong to the program.
struct Example {
    codes::System system;
    std::string_view program;
    std::string_view shop_file = {}; ///< TOML, when the example needs one
};

/// A rule. Any of the three functions may be nullptr.
/// `block` must depend on the view (and shop) alone, so that results can stay with their run; it is called
/// for every block that has words, notes or errors. `sequence` depends on the blocks of the sequence and the
/// state that enters it; `file` is run after every change and may only fold landmarks, labels and sequences.
struct Check {
    std::string_view id; ///< snake_case, the file's name
    Family family;
    Severity severity;      ///< Default
    std::string_view title; ///< "Feed move with no feed set"
    std::string_view
        documentation; ///< What it sees, why it matters at the machine, what to write. A few sentences.
    void (*block)(const machine::BlockView&, Report&) = nullptr;
    void (*sequence)(const SequenceContext&, Report&) = nullptr;
    void (*file)(const FileContext&, Report&) = nullptr;
    std::vector<Example> examples;
};

std::span<const Check* const> all_checks(); ///< Ordered by id
const Check* find_check(std::string_view id);
/// One Markdown page for a check, and the index; docs/warnings is made from them.
std::string check_markdown(const Check& check);

/// All findings of a program, kept beside its runs.
class Results {
public:
    void rebuild(const machine::Analysis& analysis, const shop::Shop& shop);
    void update(const machine::Analysis& analysis, const text::Splice& splice);

    struct Placed {
        std::size_t run;
        const Finding* finding;
    };
    /// In order of place; silenced and switched-off ones left out.
    std::vector<Placed> all() const;
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

private:
    const machine::Analysis* analysis_ = nullptr;
    const shop::Shop* shop_ = nullptr;
    struct Entry {
        machine::RunResultPointer of;
        std::vector<Finding> findings;
    };
    std::vector<Entry> row_;
    std::vector<Report::Placed> wide_; ///< From sequence and file checks
    machine::Outline outline_;
};

// --- For the rules -----------------------------------------------------------------------------------------

/// A number as a machinist writes it: no trailing zeros, a point always ("40.", "0.25", "-12.5").
std::string written(double number);
/// A number for a sentence: "40", "0.25", up to 4 decimals (inch) without trailing zeros.
std::string spoken(double number);
/// X as the program writes it (diameter or radius) from a radius.
double x_as_written(double x_radius, const machine::Settings& settings);
std::string_view length_unit(const machine::State& state); ///< "mm", "in" or "" when not known

} // namespace turnwright::checks
