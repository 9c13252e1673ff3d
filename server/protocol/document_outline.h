// The outline of an open program: its symbols as the client counts, and their JSON text.
#pragma once

#include "features/features.h"
#include "protocol/symbol.h"

namespace turnwright::protocol {

class OpenDocument;

std::vector<DocumentSymbol> symbols_of(const OpenDocument& document);

/// Editors ask for the outline after every key. Its text is kept in pieces of some sequences, and those are
/// written again whose lines, or place in the file, have changed.
class OutlineText {
public:
    /// Of a document that is evaluated, always the same one: a list of symbols with their children.
    std::string write(const OpenDocument& document);

private:
    struct Piece {
        // What it was written from.
        std::vector<machine::Sequence> sequences;
        std::vector<std::string> times;
        std::size_t first_run = 0;
        std::vector<syntax::RunPointer> runs;
        std::size_t first_line = 0; ///< Of the first run
        std::string text;           ///< Symbols with commas between
        bool is_of(const features::Document& document, const features::Symbols& symbols,
                   std::span<const machine::Sequence> wanted) const;
    };
    Piece written(const OpenDocument& document, const features::Symbols& symbols,
                  std::span<const machine::Sequence> sequences) const;

    std::vector<Piece> pieces_; ///< Of all programs, in order
    std::map<std::int32_t, std::string> tool_notes_;
};

} // namespace turnwright::protocol
