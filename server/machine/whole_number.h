// Numbers as whole ones.
#pragma once

#include <cstdint>

namespace turnwright::machine {

/// A number without its decimals. A program may write or compute any number, and one that no int holds must
/// not become another label or code by chance: it comes out as the end of a range that nothing is numbered
/// in.
constexpr std::int32_t whole_number(double number) {
    constexpr std::int32_t bound = 2'000'000'000;
    if (!(number > -bound)) return -bound; // Also what is no number
    return number < bound ? static_cast<std::int32_t>(number) : bound;
}

} // namespace turnwright::machine
