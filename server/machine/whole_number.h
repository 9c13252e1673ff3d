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

/// The program that a P of M98 calls, with a count packed before it or not: of "P120304" 0304, twelve times.
constexpr std::int32_t program_called(double p) {
    constexpr std::int32_t digits_of_number = 10000;
    const std::int32_t number = whole_number(p);
    return number >= digits_of_number ? number % digits_of_number : number;
}

} // namespace turnwright::machine
