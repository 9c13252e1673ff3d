// Editor abilities: small pure functions over one document. No JSON, no socket; positions in bytes.
#pragma once

#include "checks/checks.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace turnwright::features {

using text::Position;
using text::Range;

/// An open program with everything known about it. Edits are cheap; `evaluate` brings the results up to date.
class Document {
public:
    Document(std::string_view whole, std::shared_ptr<const shop::Shop> shop, std::filesystem::path path = {},
             std::shared_ptr<const machine::ProgramLibrary> library = nullptr);

    void edit(Range range, std::string_view with);
    void replace_all(std::string_view whole);
    void use_shop(std::shared_ptr<const shop::Shop> shop);
    /// Several edits before it cost one evaluation. Does nothing when nothing changed.
    void evaluate();

    const text::Buffer& buffer() const { return buffer_; }
    const syntax::Forest& forest() const { return forest_; } ///< Valid after evaluate()
    const machine::Analysis& analysis() const { return analysis_; }
    const checks::Results& results() const { return results_; }
    const motion::Times& times() const { return times_; }
    const shop::Shop& shop() const { return *shop_; }
    const std::filesystem::path& path() const { return path_; }
    const machine::Outline& outline() const { return results_.outline(); }

    // Lines of the file and blocks of the runs.
    machine::BlockPlace place_of_line(std::size_t line) const;
    std::size_t line_of(machine::BlockPlace place) const;
    Range range_of(machine::BlockPlace place) const; ///< The whole line
    Range range_in_run(std::size_t run, std::uint32_t begin, std::uint32_t length) const;

private:
    text::Buffer buffer_;
    syntax::Forest forest_;
    machine::Analysis analysis_;
    checks::Results results_;
    motion::Times times_;
    std::shared_ptr<const shop::Shop> shop_;
    std::filesystem::path path_;
    std::shared_ptr<const machine::ProgramLibrary> library_;
    machine::SystemEvidence evidence_;
    std::optional<text::Splice> waiting_;
    bool rebuild_ = true;
};

// --- Warnings ---------------------------------------------------------------------------------------------

struct RelatedWarning {
    Range range;
    std::string message;
};
struct Warning {
    Range range;
    checks::Severity severity;
    std::string id;
    std::string message;
    checks::Tag tag = checks::Tag::none;
    std::vector<RelatedWarning> related;
};
/// All warnings of the document, in order.
std::vector<Warning> warnings(const Document& document);

// --- Hover ------------------------------------------------------------------------------------------------

struct Hover {
    Range range; ///< The word it speaks of
    std::string markdown;
};
std::optional<Hover> hover(const Document& document, Position at);

// --- Outline ----------------------------------------------------------------------------------------------

enum class SymbolKind : std::uint8_t { program, subprogram, sequence };
struct Symbol {
    SymbolKind kind;
    std::string name;   ///< "N3 T0303"
    std::string detail; ///< The sequence note
    Range range;        ///< All of its lines
    Range selection;    ///< Its first block
    std::vector<Symbol> children;
};
std::vector<Symbol> document_symbols(const Document& document);

// --- Code actions -----------------------------------------------------------------------------------------

struct TextEdit {
    Range range;
    std::string text;
};
struct CodeAction {
    std::string title;
    std::string kind; ///< LSP's words: "quickfix", "source.fixAll", "refactor.rewrite"
    std::vector<TextEdit> edits;
    std::vector<Warning> mends; ///< The warnings it ends
    bool preferred = false;
};
std::vector<CodeAction> code_actions(const Document& document, Range range);

} // namespace turnwright::features
