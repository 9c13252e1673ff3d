// The outline: programs, subprograms and their sequences.
#include "features/block_at.h"
#include "features/hints.h"
#include "features/outline.h"
#include "features/speech.h"
#include "language/said.h"
#include "text/letters.h"

#include <fmt/format.h>

namespace turnwright::features {

namespace {

using text::lower;

std::string sequence_name(const Document& document, const machine::Sequence& sequence) {
    std::string name;
    if (sequence.number >= 0) name = fmt::format("N{}", sequence.number);
    if (sequence.tool >= 0) {
        const std::string tool = tool_word_of(document, sequence.tool_call);
        if (!name.empty()) name += ' ';
        name += tool.empty() ? fmt::format("T{}", sequence.tool) : tool;
    }
    return name.empty() ? said("Sequence") : name;
}

std::string program_name(const Document& document, const machine::ProgramPart& program) {
    if (program.number > 0) return fmt::format("O{:04}", program.number);
    const std::string file = document.path().filename().string();
    return file.empty() ? said("Program") : readable(file);
}

} // namespace

Symbols::Symbols(const Document& document, SymbolTimes times) : document_(document) {
    // Here and not in `of`, which runs on both cores.
    if (times == SymbolTimes::told && document.buffer().line_count() <= most_lines_with_times)
        for (const machine::ProgramPart& program : document.outline().programs)
            for (const machine::Sequence& sequence : program.sequences) {
                const motion::Totals totals = document.times().between(sequence.first, sequence.last);
                if (totals.seconds() > 0) times_.emplace(sequence.first, time_text(totals));
            }
    // Asked once a station, since it looks through the whole file.
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences)
            if (!sequence.note && sequence.tool >= 0)
                if (auto [at, is_new] = tool_notes_.try_emplace(sequence.tool); is_new)
                    at->second = tool_note(document, sequence.tool);
}

Symbol Symbols::of(const machine::ProgramPart& program) const {
    Symbol symbol;
    symbol.kind = program.is_subprogram ? SymbolKind::subprogram : SymbolKind::program;
    symbol.name = program_name(document_, program);
    const BlockPlace named = number_block(document_, program);
    if (program.number > 0) symbol.detail = note_of(document_, named);
    symbol.range = lines_between(document_, program.first, program.last);
    symbol.selection = document_.range_of(named);
    return symbol;
}

Symbol Symbols::of(const machine::Sequence& sequence) const {
    Symbol symbol;
    symbol.kind = SymbolKind::sequence;
    symbol.name = sequence_name(document_, sequence);
    std::string note;
    if (sequence.note)
        note = note_of(document_, *sequence.note);
    else if (sequence.tool >= 0)
        note = tool_notes_.at(sequence.tool);
    // The station stands there already.
    if (std::string rest = note_for_station(note, sequence.tool); !rest.empty()) note = std::move(rest);
    if (!note.empty()) symbol.name += ' ' + note;
    symbol.detail = time_of(sequence);
    symbol.range = lines_between(document_, sequence.first, sequence.last);
    symbol.selection = document_.range_of(sequence.first);
    return symbol;
}

std::string Symbols::time_of(const machine::Sequence& sequence) const {
    const auto time = times_.find(sequence.first);
    return time == times_.end() ? std::string{} : time->second;
}

std::vector<Symbol> document_symbols(const Document& document, SymbolTimes times) {
    const Symbols symbols(document, times);
    std::vector<Symbol> all;
    for (const machine::ProgramPart& program : document.outline().programs) {
        Symbol symbol = symbols.of(program);
        for (const machine::Sequence& sequence : program.sequences)
            symbol.children.push_back(symbols.of(sequence));
        all.push_back(std::move(symbol));
    }
    return all;
}

namespace {

bool holds_in_order(std::string_view text, std::string_view query) {
    std::size_t at = 0;
    for (char wanted : query) {
        if (wanted == ' ') continue;
        while (at < text.size() && lower(text[at]) != lower(wanted)) ++at;
        if (at++ == text.size()) return false;
    }
    return true;
}

void collect(const Document& document, const Symbol& symbol, const std::string& container,
             std::string_view query, std::vector<WorkspaceSymbol>& found) {
    std::string name = symbol.name;
    if (!symbol.detail.empty()) name += ' ' + symbol.detail;
    if (holds_in_order(name, query))
        found.push_back({symbol.kind, name, container, {document.path(), symbol.selection}});
    for (const Symbol& child : symbol.children) collect(document, child, symbol.name, query, found);
}

} // namespace

std::vector<WorkspaceSymbol> workspace_symbols(const Document& document, std::string_view query) {
    std::vector<WorkspaceSymbol> found;
    for (const Symbol& symbol : document_symbols(document)) collect(document, symbol, {}, query, found);
    return found;
}

} // namespace turnwright::features
