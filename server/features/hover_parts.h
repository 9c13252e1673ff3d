// The paragraphs a hover is made of.
#pragma once

#include "features/assumed.h"
#include "features/block_at.h"

namespace turnwright::features {

/// The word a hover speaks of, in its block.
struct Asked {
    const Document& document;
    const BlockAt& block;
    const syntax::Item& item;
    const machine::Word* word; ///< nullptr when the item is no word
    std::uint32_t byte;        ///< Of the run, under the cursor

    const syntax::Run& run() const { return document.run(block.place.run); }
    std::string_view text() const { return run().text_of(item); }
    const machine::Settings& settings() const { return document.settings(); }
};

/// The state that reaches the block, as two aligned columns in a fenced block.
std::string state_table(const Document& document, const BlockAt& block);
/// From where to where, how far, how long; empty when the block does not move.
std::string move_text(const Document& document, const BlockAt& block);
/// ", 1347 to 2500 rpm" for moves whose speed follows X; empty when it is not known.
std::string rpm_span(const machine::BlockView& view, const std::vector<motion::Segment>& segments);
/// "no time (the spindle is stopped)", for a move that has none.
std::string why_no_time(const machine::BlockView& view, const motion::BlockPath& path);
/// "Run more than once: Z5., Z3., Z1. in turn." for a block of a loop or a called program that differs from
/// turn to turn; else empty.
std::string turns_text(const Asked& asked);
/// What the cut asks of spindle and surface, or why that is not known; empty when the block does not cut.
std::string load_text(const Document& document, const BlockAt& block);
/// "1347" from the state's spindle at its X, or empty when not known.
std::optional<double> rpm_in(const machine::State& state, const machine::Settings& settings);

/// A G or M code: what it does, its group, what it replaces.
std::string code_text(const Asked& asked);
/// Any other word: what it is in its block and how its value is read.
std::string value_text(const Asked& asked);
/// T, N and O words and what stands behind them.
std::string tool_text(const Asked& asked);
std::string number_text(const Asked& asked);
std::string program_text(const Asked& asked);
/// The block that a label names: "block N101 in line 27".
std::string label_text(const Document& document, BlockPlace from, double number);
/// Variables, expressions and macro statements.
std::string macro_text(const Asked& asked);
/// Notes, block delete, tape mark and text that cannot be read.
std::string mark_text(const Asked& asked);
/// The G-code system and what speaks for it.
std::string system_text(const Document& document);
/// What no block of the file sets; empty when all is set.
std::string never_set_text(const Document& document);
/// Why no cut has an estimate of power; empty when stock or material are given.
std::string no_load_text(const Document& document, BlockPlace place);
/// All that is assumed, with its reasons; empty when nothing is.
/// The whole list, with values and reasons; where the room does not take it so, each in one line.
struct HoverRoom {
    std::size_t lines = 0, columns = 0;
};
std::string assumed_text(const Document& document, const SetupHere& setup, HoverRoom room);
/// Rules on what all tools do together look at so many blocks and no more: "with its 6000 blocks it is too
/// long for ...". Empty: it is short enough.
/// Of `long_sequences` no more than their first blocks are compared.
std::string not_looked_at(std::size_t blocks, std::size_t long_sequences);
/// How many those are.
std::size_t long_sequences(const Document& document);
/// The same as a paragraph.
std::string length_text(const Document& document);

} // namespace turnwright::features
