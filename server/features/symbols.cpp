// The outline: programs, subprograms and their sequences.
#include "features/block_at.h"
#include "features/outline.h"
#include "features/speech.h"
#include "syntax/both_cores.h"

#include <fmt/format.h>
#include <map>

namespace turnwright::features {

namespace {

std::string sequence_name(const Document& document, const machine::Sequence& sequence) {
    std::string name;
    if (sequence.number >= 0) name = fmt::format("N{}", sequence.number);
    if (sequence.tool >= 0) {
        const std::string tool = tool_word_of(document, sequence.tool_call);
        if (!name.empty()) name += ' ';
        name += tool.empty() ? fmt::format("T{}", sequence.tool) : tool;
    }
    return name.empty() ? "Sequence" : name;
}

/// What the file says of each station that is called in a sequence without a note: asked once a station,
/// since it looks through the whole file.
using ToolNotes = std::map<std::int32_t, std::string>;

ToolNotes tool_notes(const Document& document) {
    ToolNotes notes;
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences)
            if (!sequence.note && sequence.tool >= 0)
                if (auto [at, is_new] = notes.try_emplace(sequence.tool); is_new)
                    at->second = tool_note(document, sequence.tool);
    return notes;
}

std::string sequence_detail(const Document& document, const machine::Sequence& sequence,
                            const ToolNotes& notes) {
    if (sequence.note) return note_of(document, *sequence.note);
    return sequence.tool >= 0 ? notes.at(sequence.tool) : std::string{};
}

std::string program_name(const Document& document, const machine::ProgramPart& program) {
    if (program.number > 0) return fmt::format("O{:04}", program.number);
    const std::string file = document.path().filename().string();
    return file.empty() ? "Program" : readable(file);
}

Symbol sequence_symbol(const Document& document, const machine::Sequence& sequence, const ToolNotes& notes) {
    Symbol symbol;
    symbol.kind = SymbolKind::sequence;
    symbol.name = sequence_name(document, sequence);
    symbol.detail = sequence_detail(document, sequence, notes);
    symbol.range = lines_between(document, sequence.first, sequence.last);
    symbol.selection = document.range_of(sequence.first);
    return symbol;
}

/// The block with the O number: the first one may be the tape mark.
BlockPlace number_block(const Document& document, const machine::ProgramPart& program) {
    const std::size_t first = document.line_of(program.first);
    const std::size_t last = document.line_of(program.last);
    for (std::size_t line = first; line <= last && line < first + 8; ++line) {
        const BlockPlace place = document.place_of_line(line);
        for (const syntax::Item& item : document.items(place))
            if (item.letter == 'O' && item.is_word()) return place;
    }
    return program.first;
}

} // namespace

std::vector<Symbol> document_symbols(const Document& document) {
    constexpr std::size_t few_sequences = 256; // named sooner than a thread starts
    const ToolNotes notes = tool_notes(document);
    std::vector<Symbol> symbols;
    for (const machine::ProgramPart& program : document.outline().programs) {
        Symbol symbol;
        symbol.kind = program.is_subprogram ? SymbolKind::subprogram : SymbolKind::program;
        symbol.name = program_name(document, program);
        const BlockPlace named = number_block(document, program);
        if (program.number > 0) symbol.detail = note_of(document, named);
        symbol.range = lines_between(document, program.first, program.last);
        symbol.selection = document.range_of(named);
        symbol.children.resize(program.sequences.size());
        syntax::on_both_cores(symbol.children.size(), few_sequences, [&](std::size_t i) {
            symbol.children[i] = sequence_symbol(document, program.sequences[i], notes);
        });
        symbols.push_back(std::move(symbol));
    }
    return symbols;
}

namespace {

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

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
