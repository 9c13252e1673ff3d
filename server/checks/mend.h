// Edits that fixes are made of. Columns are bytes in the block's line.
#pragma once

#include "checks/checks.h"

namespace turnwright::checks {

using machine::BlockView;

Edit replace(const BlockView& view, const syntax::Item& item, std::string text);
/// Takes the item away with the blanks in front of it (behind it when it comes first).
Edit remove(const BlockView& view, const syntax::Item& item);
/// How the run's lines end.
std::string_view line_end(const syntax::Run& run);
Edit insert_after(const BlockView& view, const syntax::Item& item, std::string text);
/// In front of the first word behind the N number.
Edit insert_first(const BlockView& view, std::string text);
/// Behind the last word, in front of notes.
Edit insert_last(const BlockView& view, std::string text);
/// A block of its own before this one. An N number stays in front: it is what a restart searches for.
Edit insert_block_before(const machine::Reader& reader, BlockPlace place, std::string text);
Edit insert_block_before(const BlockView& view, std::string text);
Edit insert_block_after(const machine::Reader& reader, BlockPlace place, std::string text);
Edit insert_last(const machine::Reader& reader, BlockPlace place, std::string text);
Edit remove(const machine::Reader& reader, BlockPlace place, const syntax::Item& item);
Edit replace(const machine::Reader& reader, BlockPlace place, const syntax::Item& item, std::string text);

/// First word of a block with this letter; nullptr when none.
const syntax::Item* find_letter(const machine::Reader& reader, BlockPlace place, char letter);
/// Whether a GOTO or an M99 P of the file names the block's N number, or computes where it goes. Such a block
/// is there on purpose, also when today's values never lead to it.
bool is_named_by_jump(const machine::Reader& reader, BlockPlace place);
/// The G or M word of a block that has this meaning; nullptr when none.
const syntax::Item* find_code(const machine::Reader& reader, BlockPlace place, codes::Meaning meaning);
/// The last block with words in a span; nullopt when none.
std::optional<BlockPlace> last_code_block(const machine::Reader& reader, BlockPlace first, BlockPlace last);
std::optional<BlockPlace> first_code_block(const machine::Reader& reader, BlockPlace first, BlockPlace last);

} // namespace turnwright::checks
