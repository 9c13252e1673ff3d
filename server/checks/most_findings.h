// How much is told of one program.
#pragma once

#include <cstddef>

namespace turnwright::checks {

/// A text with more is told as far as that, and it is said where that is.
constexpr std::size_t most_findings = 50'000;

/// Ends a rule that has found as many by itself: no text is made of what it would find further down.
struct FoundTooMany {};

} // namespace turnwright::checks
