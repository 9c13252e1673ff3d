// Where in a span a second chuck takes the part over: what the tools do behind it they do to its second side.
#pragma once

#include "checks/acts.h"

namespace turnwright::checks {

/// The last block of a span whose code does it; nullopt: none, or nothing tells what its codes do.
std::optional<Near> last_giving(const Span& span, std::span<const Span> spans, const shop::Machine& machine,
                                MachineCode::Does does);

} // namespace turnwright::checks
