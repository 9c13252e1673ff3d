// Inside the checks room: how deep a cycle goes in before it draws back.
#pragma once

#include "checks/acts.h"

#include <optional>

namespace turnwright::checks {

struct Peck {
    char letter = 0;             ///< That gives it
    double mm = 0, whole_mm = 0; ///< One peck, and the way they share
};
/// Of a drilling or a pecking cycle; `shift`: of the step from one plunge to the next instead.
std::optional<Peck> peck_of(const Acts& work, const Act& act, double mm_per_unit, bool shift);

} // namespace turnwright::checks
