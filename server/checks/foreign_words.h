// Inside the checks room: what shops that speak German, Spanish, French or Italian call their tools.
#pragma once

#include "shop/shop.h"

namespace turnwright::checks {

/// By a word in upper case without marks; unknown for one that tells none.
shop::ToolKind foreign_kind(std::string_view word);

} // namespace turnwright::checks
