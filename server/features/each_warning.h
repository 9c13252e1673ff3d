// The warnings of a document one after the other: millions of them need not be held at once.
#pragma once

#include "features/warnings.h"

#include <functional>

namespace turnwright::features {

/// As all_warnings gives them, in order.
/// Only of findings that are `wanted`: putting one into words takes longer than finding it.
void each_warning(const Document& document, const std::function<bool(const checks::Finding&)>& wanted,
                  const std::function<void(Warning)>& take);

} // namespace turnwright::features
