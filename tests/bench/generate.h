// Part programs of any size for measuring: invented work, values as a shop would have them. The same style,
// size and seed give the same bytes on every machine.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace bench {

enum class Style : std::uint8_t {
    hand,  ///< Sequences with notes, safety line, approach in two steps, cycles; N on sequences only
    post,  ///< N on every block, long finishing passes of short moves, few tool calls
    macro, ///< Variables, loops, jumps and calls of programs at the end of the file
};
std::optional<Style> style_of(std::string_view name);
std::string_view name_of(Style style);

/// A metric program in G-code system A of exactly `blocks` lines (at least 40), each ended by LF.
std::string generate(Style style, std::size_t blocks, std::uint32_t seed = 1);

/// A C file of exactly `lines` lines (at least 40), the yardstick's text.
std::string generate_c(std::size_t lines, std::uint32_t seed = 1);

} // namespace bench
