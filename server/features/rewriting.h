// Renumbering and conversions of a whole program. Done wholly or refused with the reason.
#pragma once

#include "features/warnings.h"

namespace turnwright::features {

/// The refusal of a program in which nothing is left to be written otherwise.
std::string_view written_so_already();

struct Renumbering {
    enum class What : std::uint8_t { sequences, all_blocks, by_tool } what = What::sequences;
    std::int32_t start = 10;
    std::int32_t step = 10;
};
/// Every P, Q and GOTO that names an N number follows it.
Rewrite renumber(const Document& document, const Renumbering& how);

/// A block that cannot be written otherwise and stays as it is, where a conversion is told to leave such.
struct LeftBlock {
    std::size_t line; ///< From 0
    std::string reason;
};
using LeftBlocks = std::vector<LeftBlock>;

Rewrite convert_units(const Document& document, codes::Meaning to); ///< inch or millimetre
Rewrite convert_system(const Document& document, codes::System to, LeftBlocks* left = nullptr);
/// The moves stay equal when the control's setting (shop file `x`) is changed as well.
Rewrite convert_x_reading(const Document& document, shop::XReading to, LeftBlocks* left = nullptr);
/// X and Z of the blocks of a range to U and W (system A) or G91, or back.
Rewrite convert_distance(const Document& document, Range range, codes::Meaning to); ///< absolute, incremental

/// Names for executeCommandOptions: "turnwright.fixAll", "turnwright.renumber", "turnwright.convertUnits",
/// "sequences" starts at 1 by steps of 1, "all_blocks" at 10 by 10, unless told otherwise.
/// ...
std::vector<std::string> command_names();
/// Makes the edits of a command. Refused for an unknown name or arguments that cannot be read.
/// - turnwright.fixAll [check id]
/// - turnwright.renumber ["sequences" | "all_blocks" | "by_tool"] [start] [step]
/// - turnwright.convertUnits ["inch" | "mm"]
/// - turnwright.convertSystem ["A" | "B" | "C"]
/// - turnwright.convertX ["diameter" | "radius"]
/// - turnwright.transfer [name of another machine of the shop file]
/// - turnwright.convertDistance ["absolute" | "incremental"] [first line] [last line] (from 0, both in)
/// - turnwright.breakCorner ["chamfer" | "round"] [line] (from 0: the block ends at the corner) [size]
/// - turnwright.writeBlocks [line] (from 0): the note there is a question for a calculator
Rewrite run_command(const Document& document, std::string_view name,
                    const std::vector<std::string>& arguments);

} // namespace turnwright::features
