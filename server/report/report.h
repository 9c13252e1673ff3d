// What a person or another program reads outside an editor: check output in several forms, the picture of the
// path, the setup sheet, what changed between two programs.
#pragma once

#include "features/document.h"
#include "features/warnings.h"
#include "language/language.h"

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::shop {
struct Job;
}

namespace turnwright::report {

/// "1 program", "2 programs".
std::string plural(std::size_t count, std::string_view one);

class FolderPrograms;

/// A warning as people count: lines and columns from 1, columns in characters.
struct CheckedWarning {
    std::size_t line = 1, column = 1;
    std::size_t end_line = 1, end_column = 1; ///< Behind the last character
    checks::Severity severity = checks::Severity::warning;
    std::string id;
    std::string message;
    std::string block; ///< Its words, to know it again by
    struct Related {
        std::size_t line = 1, column = 1;
        std::string message;
    };
    std::vector<Related> related;
    std::size_t more = 0; ///< Further ones of its kind that stand for too many to be listed
};

struct CheckedFile {
    std::string name;      ///< As the user gave it
    std::string problem;   ///< Why it could not be checked; empty when it was
    std::string shop_file; ///< Empty: none found
    std::string job_file;  ///< Stock and tools of this program alone; empty: none
    char system = 'A';
    bool system_assumed = false; ///< Nothing in the program or the shop file tells the system
    std::string assumed;         ///< What else, with its reason, in one line; empty: nothing
    bool is_shop_file = false;   ///< Or a job file, and no program
    std::string fingerprint;     ///< Of what the machine does, where it was asked for
    std::size_t blocks = 0;
    std::size_t long_sequences = 0; ///< Of which no more than the first blocks are compared
    std::size_t left_out = 0;       ///< Findings that were not asked for
    std::size_t known_before = 0;   ///< Findings of the baseline
    std::vector<CheckedWarning> warnings;
    std::vector<CheckedWarning> silenced; ///< Hidden by a note in the program, which `related` names
};

/// The largest file that is checked; more is surely no program written at a machine.
inline constexpr std::uintmax_t largest_file_bytes = 128u << 20;

/// Text of a file, or why there is none: missing, unreadable, empty, not text, too large.
struct FileText {
    std::string text;
    std::string problem;
};
/// `path` "-": standard input.
FileText read_program(const std::filesystem::path& path);
/// Why a text is none that can be read; empty when it can be.
std::string why_not_text(std::string_view text);
/// A long text that would cost more than any program of its size, since its lines hold next to nothing or are
/// for the most part what no program is made of (report/why_no_program.h); empty for others.
std::string why_too_many_lines(std::string_view text);
/// Why a text is none that can be read, and why it is no program: prose.
std::string why_not_a_program(std::string_view text);
/// The second half, of what `read_program` has read.
std::string why_text_is_no_program(std::string_view text);

CheckedFile check_text(std::string name, std::string_view text, std::shared_ptr<const shop::Shop> shop,
                       const std::filesystem::path& path = {},
                       std::shared_ptr<const machine::ProgramLibrary> library = nullptr,
                       bool with_fingerprint = false);
/// `shop` nullptr: the nearest shop file from the program's folder upward. Calls find the programs beside the
/// file; of many files `folders` are read once.
CheckedFile check_file(const std::filesystem::path& path, std::shared_ptr<const shop::Shop> shop,
                       FolderPrograms* folders = nullptr, bool with_fingerprint = false);
/// Reads a shop file; its problems become warnings of a CheckedFile of its own.
CheckedFile check_shop(const shop::Shop& shop);
/// What keeps one of these from being read is a problem of it.
std::shared_ptr<const shop::Shop> load_shop(const std::filesystem::path& path);
shop::Job load_job(const std::filesystem::path& path, const shop::Shop& of);
std::shared_ptr<const shop::Shop> nearest_shop(const std::filesystem::path& program);
/// The shop (nullptr: the nearest) with the job file that stands beside the program.
std::shared_ptr<const shop::Shop> shop_for_job(const std::filesystem::path& program,
                                               std::shared_ptr<const shop::Shop> shop);
CheckedFile check_job(const std::filesystem::path& job_file); ///< As check_shop

struct FilesMeant {
    std::vector<std::string> files;
    std::map<std::string, std::size_t>
        passed_over; ///< In folders: how many files of an ending are no programs
};
/// The files behind names, folders (programs in them and below) and patterns with * ? and ** in them, in
/// order, each once. A name that leads to nothing is kept.
FilesMeant files_meant(const std::vector<std::string>& given);

struct Counts {
    std::size_t files = 0, shop_files = 0, not_checked = 0, errors = 0, warnings = 0, notes = 0;
    std::size_t left_out = 0, known_before = 0;
    std::map<std::string, std::size_t> by_check;
};
void add(Counts& counts, const CheckedFile& file);
Counts count(std::span<const CheckedFile> files);
/// "3 files with other endings were passed over (.mpf, .txt): ..."; empty when there are none.
std::string passed_over_text(const FilesMeant& meant);

/// 0: nothing of severity warning or error; 1: something; 2: a file could not be checked.
int exit_status(const Counts& counts);

/// With `all` every finding, also of a kind that is on very many blocks of a file.
std::string as_text(std::span<const CheckedFile> files, bool all = false);
/// Totals alone: by check with the number of programs, and by folder.
std::string totals_text(std::span<const CheckedFile> files);
std::string silenced_text(std::span<const CheckedFile> files); ///< What notes in the programs hide
std::string as_json(std::span<const CheckedFile> files);
/// SARIF 2.1.0; what a note silences is a result with a suppression.
std::string as_sarif(std::span<const CheckedFile> files);
std::string as_junit(std::span<const CheckedFile> files); ///< JUnit XML, a test case a file

std::string_view severity_name(checks::Severity severity); ///< "warning"

// --- A program for the commands ---------------------------------------------------------------------------

/// A program read from a file or from standard input, evaluated; `document` is nullptr with a problem.
struct OpenedProgram {
    std::unique_ptr<features::Document> document;
    std::string problem; ///< "no such file"
};
/// `shop_file` empty: the nearest one from the program's folder upward.
OpenedProgram open_program(const std::filesystem::path& path, const std::filesystem::path& shop_file);
OpenedProgram open_program_text(std::string_view text, const std::filesystem::path& path,
                                const std::filesystem::path& shop_file);

// --- Picture
// ------------------------------------------------------------------------------------------------

/// The path of the tool's programmed point as SVG, over the stock, what is left of it and the jaws where they
/// are known. Every element names its line: data-line and title.
std::string picture_svg(const features::Document& document);
/// A page that steps through the blocks. It asks nothing of any network, and forbids it. One that `follows`
/// an editor asks its own server for what is new, and says this of itself: which of that program's pictures
/// it is.
std::string picture_page(const features::Document& document, std::string_view follows = {});
struct PictureFile {
    std::string name, text;
    std::size_t first_line = 0, last_line = 0; ///< From 0, both in
};
/// The same in as many files as a long program needs, each below 5 MB, cut where sequences end. The first is
/// called `file`.
std::vector<PictureFile> picture_pages(const features::Document& document, std::string_view file);

// --- Setup sheet
// --------------------------------------------------------------------------------------------

/// `date` stands on every page; empty: none.
std::string sheet_text(const features::Document& document, std::string_view date = {}); ///< For a screen
std::string sheet_markdown(const features::Document& document, std::string_view date = {});
std::string sheet_page(const features::Document& document, std::string_view date = {}); ///< HTML to print

// --- Compare
// ------------------------------------------------------------------------------------------------

/// One thing that the machine does otherwise. An empty text: it does nothing of the kind there.
struct Change {
    std::size_t old_line = 0, new_line = 0; ///< From 1; 0: none
    std::string before, after;              ///< "feed to X45. Z-58."
    std::string
        place; ///< Of a setting: the move that it begins to matter for, "feed to X45. Z-58."; or empty
    std::vector<std::string> followers; ///< Cycles that cut otherwise by it alone: "G71 in line 10"
    bool of_contour = false;            ///< A block that cycles follow
    bool of_moves = false;              ///< Moves alone, no setting and no word of a cycle
};
struct SequenceChange {
    std::string name, note;                 ///< Of the new program, or of the old when it is gone
    bool added = false, removed = false;    ///< The whole sequence
    std::size_t old_line = 0, new_line = 0; ///< First line, from 1; 0: none
    motion::Totals before, after;
    std::vector<Change> changes;  ///< Empty for a whole sequence
    std::size_t more_changes = 0; ///< Left out
};
struct Comparison {
    std::string old_name, new_name;
    std::string old_fingerprint, new_fingerprint;
    std::vector<std::string> remarks; ///< What else to know: the two are read in different systems or units
    std::vector<SequenceChange> sequences;
    motion::Totals before, after;
    std::size_t compared_as_written = 0; ///< Blocks whose moves are not known, compared by their words
    bool same() const { return sequences.empty(); }
};
/// What changed for the machine: moves, speeds, feeds, tools, stops. Blanks, notes and N numbers are nothing
/// to it, nor is a code that changes nothing.
Comparison compare(const features::Document& before, const features::Document& after);
std::string comparison_text(const Comparison& comparison);
std::string comparison_json(const Comparison& comparison);
/// The same below a drawing of both ways of the tool and of the material that one program leaves and the
/// other does not: HTML to read and to print.
std::string comparison_page(const features::Document& before, const features::Document& after,
                            const Comparison& comparison);
/// The changes as notes for the head of the new program, with both fingerprints and a line to sign.
std::string change_note(const Comparison& comparison);

// --- Explain
// ------------------------------------------------------------------------------------------------

/// What a code ("G76", "M03"), an address letter ("X"), a check ("feed_missing", "feed-missing"), a word of
/// the macro language ("GOTO", "#100"), a word of the trade ("datum") or a note of ours ("STOCK") is.
/// `system` nullopt: all three systems, told apart where they differ. Empty when it is none of these.
std::string explain_word(std::string_view word, std::optional<codes::System> system);

/// "did you mean feed_missing?" for a word that explain_word does not know; empty when nothing is near.
std::string nearest_to_explain(std::string_view word);

/// Whether a text is a picture or a sheet that this program wrote.
bool is_report(std::string_view text);

/// The lines that go with every result: what a check cannot do.
extern const TableText caution;

} // namespace turnwright::report
