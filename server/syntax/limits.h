// How much of one block is read, so that no text can make the rules that compare its words work without end.
#pragma once

#include <cstddef>

namespace turnwright::syntax {

/// Items of a block; what stands behind them is one more, `unknown`. Controls hold about 256 characters.
constexpr std::size_t most_items_of_block = 256;

} // namespace turnwright::syntax
