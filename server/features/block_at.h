// One block picked out of a document: what stands under a position and what the control makes of it.
#pragma once

#include "features/document.h"

namespace turnwright::features {

using machine::BlockPlace;

/// A block as interpreted, kept after the visit that made it. Items point into the document's run.
struct BlockAt {
    BlockPlace place;
    machine::State before, after;
    machine::Reading reading;
    machine::BlockView view(const Document& document) const;
};
std::optional<BlockAt> block_at(const Document& document, BlockPlace place);

/// The item that holds a position, or ends there when none begins there.
const syntax::Item* item_at(const Document& document, Position at);
/// The word of a reading that was read from an item; nullptr for items that are no word.
const machine::Word* word_of(const machine::Reading& reading, const syntax::Item& item);
/// The innermost node of an item's expression that holds a byte of the run; -1 when none.
std::int32_t expression_at(const syntax::Run& run, const syntax::Item& item, std::uint32_t byte);
/// The number of a plain variable (#101); nullopt for #[..], named ones and other nodes.
std::optional<int> variable_number(const syntax::Run& run, std::int32_t expression);

/// The program and the sequence that hold a block; nullptr when it stands in none.
const machine::ProgramPart* program_at(const Document& document, BlockPlace place);
const machine::Sequence* sequence_at(const Document& document, BlockPlace place);

/// The block with the O number of a program: the first one may be the tape mark.
BlockPlace number_block(const Document& document, const machine::ProgramPart& program);

/// The block that a P, Q or GOTO in `from` means: in the same program, the first one. nullopt when none has
/// it.
std::optional<BlockPlace> label_place(const Document& document, BlockPlace from, double number);

/// The first note of a block, readable; empty when it has none.
std::string note_of(const Document& document, BlockPlace place);
/// The T word of a block as written ("T0303"), upper case without blanks.
std::string tool_word_of(const Document& document, BlockPlace place);
/// "T03 FINISH TURN" -> "FINISH TURN" when the station is 3; empty when the note begins otherwise.
std::string note_for_station(const std::string& note, int station);
/// What is known about a station in words: the shop file's note, the list at the head, or its first sequence.
std::string tool_note(const Document& document, int station);

/// Some blocks of one run, from `first` to before `end`.
struct BlockSpan {
    std::size_t run;
    std::size_t first, end;
    bool holds(std::size_t block) const { return first <= block && block < end; }
};
/// The lines from `first` to before `end` that there are, so that what is read around a place is the same
/// wherever runs begin.
std::vector<BlockSpan> spans_of_lines(const Document& document, std::size_t first, std::size_t end);
/// The lines that a program's habits and values are learned from, for someone who writes at `place`.
std::vector<BlockSpan> spans_around(const Document& document, BlockPlace place);

/// Range of lines of two blocks, both in.
Range lines_between(const Document& document, BlockPlace first, BlockPlace last);

} // namespace turnwright::features
