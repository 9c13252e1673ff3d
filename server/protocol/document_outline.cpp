#include "protocol/document_outline.h"
#include "language/said.h"

#include "protocol/open_document.h"
#include "syntax/both_cores.h"

#include <algorithm>

namespace turnwright::protocol {
namespace {

constexpr std::size_t sequences_a_piece = 64;
constexpr std::size_t few_pieces = 4; ///< Written sooner than a thread starts
constexpr std::size_t usual_symbol_length = 256;

SymbolKind kind_of(features::SymbolKind kind) {
    switch (kind) {
    case features::SymbolKind::program:
        return SymbolKind::file;
    case features::SymbolKind::subprogram:
        return SymbolKind::function;
    case features::SymbolKind::sequence:
        break;
    }
    return SymbolKind::method;
}

DocumentSymbol converted(const OpenDocument& document, features::Symbol symbol) {
    DocumentSymbol out;
    out.name = symbol.name.empty() ? said("(no name)") : std::move(symbol.name);
    out.detail = std::move(symbol.detail);
    out.kind = kind_of(symbol.kind);
    out.range = document.to_client(symbol.range);
    out.selection = document.to_client(symbol.selection);
    for (features::Symbol& child : symbol.children)
        out.children.push_back(converted(document, std::move(child)));
    return out;
}

/// First and last run that any of the sequences has a block in.
std::pair<std::size_t, std::size_t> runs_of(std::span<const machine::Sequence> sequences) {
    std::size_t first = sequences.front().first.run, last = sequences.back().last.run;
    for (const machine::Sequence& sequence : sequences)
        for (const machine::BlockPlace place :
             {sequence.first, sequence.last, sequence.tool_call, sequence.note.value_or(sequence.first)}) {
            first = std::min(first, place.run);
            last = std::max(last, place.run);
        }
    return {first, last};
}

} // namespace

std::vector<DocumentSymbol> symbols_of(const OpenDocument& document) {
    std::vector<DocumentSymbol> symbols;
    for (features::Symbol& symbol :
         features::document_symbols(document.as_it_is(), features::SymbolTimes::told))
        symbols.push_back(converted(document, std::move(symbol)));
    return symbols;
}

bool OutlineText::Piece::is_of(const features::Document& document, const features::Symbols& symbols,
                               std::span<const machine::Sequence> wanted) const {
    if (!std::equal(sequences.begin(), sequences.end(), wanted.begin(), wanted.end())) return false;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        if (times[i] != symbols.time_of(wanted[i])) return false;
    if (first_run + runs.size() > document.forest().size() ||
        first_line != document.buffer().first_line_of_leaf(first_run))
        return false;
    for (std::size_t i = 0; i < runs.size(); ++i)
        if (runs[i] != document.forest().run(first_run + i)) return false;
    return true;
}

OutlineText::Piece OutlineText::written(const OpenDocument& document, const features::Symbols& symbols,
                                        std::span<const machine::Sequence> sequences) const {
    const features::Document& program = document.as_it_is();
    const auto [first, last] = runs_of(sequences);
    Piece piece;
    piece.sequences.assign(sequences.begin(), sequences.end());
    for (const machine::Sequence& sequence : sequences) piece.times.push_back(symbols.time_of(sequence));
    piece.first_run = first;
    for (std::size_t run = first; run <= last; ++run) piece.runs.push_back(program.forest().run(run));
    piece.first_line = program.buffer().first_line_of_leaf(first);
    piece.text.reserve(sequences.size() * usual_symbol_length);
    for (const machine::Sequence& sequence : sequences) {
        if (!piece.text.empty()) piece.text += ',';
        protocol::write(piece.text, converted(document, symbols.of(sequence)));
    }
    return piece;
}

std::string OutlineText::write(const OpenDocument& document) {
    const features::Document& program = document.as_it_is();
    const std::vector<machine::ProgramPart>& parts = program.outline().programs;
    const features::Symbols symbols(program, features::SymbolTimes::told);
    if (symbols.tool_notes() != tool_notes_) pieces_.clear();
    tool_notes_ = symbols.tool_notes();

    std::vector<std::span<const machine::Sequence>> wanted;
    for (const machine::ProgramPart& part : parts) {
        const std::span sequences(part.sequences);
        for (std::size_t at = 0; at < sequences.size(); at += sequences_a_piece)
            wanted.push_back(sequences.subspan(at, std::min(sequences_a_piece, sequences.size() - at)));
    }
    pieces_.resize(wanted.size());
    std::vector<std::size_t> other;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        if (!pieces_[i].is_of(program, symbols, wanted[i])) other.push_back(i);
    syntax::on_both_cores(other.size(), few_pieces, [&](std::size_t i) {
        pieces_[other[i]] = written(document, symbols, wanted[other[i]]);
    });

    std::size_t length = parts.size() * usual_symbol_length + usual_symbol_length;
    for (const Piece& piece : pieces_) length += piece.text.size() + 1;
    std::string out;
    out.reserve(length);
    out += '[';
    std::size_t next = 0;
    for (const machine::ProgramPart& part : parts) {
        if (out.size() > 1) out += ',';
        out += '{';
        write_own(out, converted(document, symbols.of(part)));
        for (std::size_t at = 0; at < part.sequences.size(); at += sequences_a_piece) {
            out += at == 0 ? R"(,"children":[)" : ",";
            out += pieces_[next++].text;
        }
        out += part.sequences.empty() ? "}" : "]}";
    }
    out += ']';
    return out;
}

} // namespace turnwright::protocol
