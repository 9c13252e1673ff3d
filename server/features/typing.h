// What is known where somebody is typing: the block so far, the state that reaches it and the program's
// habits.
#pragma once

#include "features/block_at.h"

#include <array>

namespace turnwright::features {

/// How the program writes its words, learned from the blocks around.
struct WritingHabits {
    bool leading_zeros = true; ///< G01 rather than G1
    bool blanks = true;        ///< G00 X5. rather than G00X5.
    bool lower_case = false;
    bool zero_behind_point = false; ///< X5.0 rather than X5.
    std::size_t tool_digits = 4;
};
WritingHabits habits_around(const Document& document, BlockPlace place);

struct Typing {
    const Document& document;
    Position at;
    BlockPlace place;
    BlockAt block;
    std::string_view line;
    std::uint32_t word_begin = 0; ///< Column where the word under the cursor starts
    std::string prefix;           ///< What is typed of it, upper case without blanks
    char letter = 0;              ///< First letter of the prefix; '#' for a variable; 0 when nothing is typed
    bool in_brackets = false;     ///< Inside an expression
    bool line_is_empty = false;   ///< Nothing but blanks stands on the line
    WritingHabits habits;

    const machine::Settings& settings() const { return document.settings(); }
    Range replaced() const { return {{at.line, word_begin}, at}; }
};
/// nullopt where nothing is to be offered: in a note, behind the end of the block.
std::optional<Typing> typing_at(const Document& document, Position at);

/// The code whose words the block takes: the last of the block with words of its own, else the cycle or
/// motion in force. The rows are chosen by the letters that are there.
const codes::Code* code_in_charge(const Document& document, const BlockAt& block);
bool has_word(const BlockAt& block, char letter);
/// "M24X1.5" in a note of the sequence; nullopt when it names no thread.
struct NamedThread {
    std::string name;
    motion::ThreadSize size;
};
std::optional<NamedThread> thread_named_around(const Document& document, BlockPlace place);
/// What the notes of the sequence and of its tool say.
std::string notes_around(const Document& document, BlockPlace place);

} // namespace turnwright::features
