// The shape of a program: symbols, folding, selection, calls.
#pragma once

#include "features/document.h"

#include <map>

namespace turnwright::features {

enum class SymbolKind : std::uint8_t { program, subprogram, sequence };
struct Symbol {
    SymbolKind kind;
    std::string name;   ///< "N7 T0707 THREAD M20X1.5": editors show it alone
    std::string detail; ///< The note of a program; the time of a sequence, when it is asked for
    Range range;        ///< All of its lines
    Range selection;    ///< Its first block
    std::vector<Symbol> children;
};
/// Times in longer programs would be added up at every key.
constexpr std::size_t most_lines_with_times = 20'000;
enum class SymbolTimes : bool { none, told };
std::vector<Symbol> document_symbols(const Document& document, SymbolTimes times = SymbolTimes::none);

/// The same one by one, for who keeps those of blocks that have not changed.
class Symbols {
public:
    explicit Symbols(const Document& document, SymbolTimes times = SymbolTimes::none);

    Symbol of(const machine::ProgramPart& program) const; ///< Without its sequences
    /// Depends on the lines from its note or first block to its last, on `tool_notes` and on `time_of`.
    Symbol of(const machine::Sequence& sequence) const;
    /// What the file says of each station that is called in a sequence without a note.
    const std::map<std::int32_t, std::string>& tool_notes() const { return tool_notes_; }
    /// "1 min 20 s"; empty where it is not known or not asked for.
    std::string time_of(const machine::Sequence& sequence) const;

private:
    const Document& document_;
    std::map<std::int32_t, std::string> tool_notes_;
    std::map<machine::BlockPlace, std::string> times_; ///< By the first block
};

/// Programs and sequences of all files whose name or note holds the query's letters in order, any case.
struct WorkspaceSymbol {
    SymbolKind kind;
    std::string name;
    std::string container; ///< The program of a sequence
    Location location;
};
std::vector<WorkspaceSymbol> workspace_symbols(const Document& document, std::string_view query);

struct FoldingRange {
    enum class Kind : std::uint8_t { program, sequence, contour, loop, notes } kind;
    std::uint32_t first_line;
    std::uint32_t last_line;
};
std::vector<FoldingRange> folding_ranges(const Document& document);

/// Ranges around a position from the smallest to the largest: value, word, block, pass, sequence, program,
/// file.
std::vector<Range> selection_ranges(const Document& document, Position at);

struct CallItem {
    std::int32_t number = 0;    ///< O number; 0: a main program without one
    std::string name;           ///< "O1001"
    std::string detail;         ///< Its note
    std::filesystem::path path; ///< Empty: the document itself
    Range range;
    Range selection;
};
struct Call {
    CallItem item;             ///< The caller or the called program
    std::vector<Range> ranges; ///< The call words, in the caller's file
};
std::optional<CallItem> prepare_calls(const Document& document, Position at);
std::vector<Call> incoming_calls(const Document& document, const CallItem& item,
                                 const Workspace* workspace = nullptr);
std::vector<Call> outgoing_calls(const Document& document, const CallItem& item,
                                 const Workspace* workspace = nullptr);

} // namespace turnwright::features
