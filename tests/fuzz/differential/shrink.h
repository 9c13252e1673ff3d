// Makes a failing scenario shorter.
#pragma once

#include "fuzz/differential/play.h"

#include <chrono>

namespace turnwright::fuzz {

/// With fewer batches, edits, documents and lines, as long as the same question is answered differently.
Scenario shrink(Scenario scenario, const Difference& difference, std::chrono::seconds patience);

} // namespace turnwright::fuzz
