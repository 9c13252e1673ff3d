// Inside the machine room: the steps of interpreting one block.
#pragma once

#include "machine/machine.h"

namespace turnwright::machine {

/// A group's place in `Reading::groups`.
constexpr std::uint32_t group_bit(codes::Group group) {
    static_assert(codes::group_count <= 32);
    return 1u << static_cast<unsigned>(group);
}

/// First half: the block's words with their rows and values, the number, and what its axis words command.
void read_words(const syntax::Run& run, std::size_t block, const Settings& settings, const State& state,
                Reading& reading);

/// Whether a code of units stands beside P and Q, as another system's cycle does: the control stops at it,
/// and nothing is to be read in the other unit behind it.
bool is_other_systems_cycle(const State& state, const Reading& reading);

/// Second half: what the words do to the state, in the control's order within a block.
void apply_words(const Settings& settings, State& state, Reading& reading);

/// Macro statements of the block: assignments to the state, jumps and loops to the reading.
void apply_statements(const syntax::Run& run, std::size_t block, State& state, Reading& reading);

/// Where a block's axis words lead, and how positions follow.
void apply_motion(const Settings& settings, State& state, Reading& reading);

/// The program of the other turret in one file stands behind its mark, and may have no O number.
bool is_path_mark(const syntax::Run& run, std::size_t block, const shop::Machine& machine);
/// Number of a landmark that is a note of what the part is made from.
inline constexpr std::int32_t stock_note = 1;
/// Whether an item is the O word of a program. Right behind another letter or number the letter O stands for
/// a nought: Z-O.5.
bool starts_program(std::span<const syntax::Item> items, const syntax::Item& item);

/// Station and offset of a T word.
struct ToolCall {
    Value station, offset;
};
ToolCall read_tool_word(const Word& word, const shop::Machine& machine, const State& state);

} // namespace turnwright::machine
