// Plays a scenario on one server that follows it, and after each batch asks it everything that it asks a
// fresh server, which opens the same texts.
#pragma once

#include "fuzz/differential/scenario.h"

#include <optional>

namespace turnwright::fuzz {

struct Difference {
    std::size_t batch;
    Question question;
    std::string followed, fresh; ///< The answers
};
/// `batches` counts what was compared.
std::optional<Difference> play(const Scenario& scenario, std::size_t& batches);

/// Where two answers begin to differ.
std::string shown(const Difference& difference);

} // namespace turnwright::fuzz
