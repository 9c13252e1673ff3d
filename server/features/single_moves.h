// Moves of a cycle written as blocks of their own.
#pragma once

#include "features/document.h"

namespace turnwright::features {

/// Blocks that make moves of a block, or a part of them, from where the first begins; behind them the code
/// and the feed are in force that hold behind that block. nullopt when one of them cannot be written.
std::optional<std::vector<std::string>> single_moves(const machine::BlockView& view,
                                                     std::span<const motion::Segment> segments);

} // namespace turnwright::features
