// Inside the checks room: what shops that speak German, Spanish, French or Italian call their tools.
#pragma once

#include "shop/shop.h"

namespace turnwright::checks {

/// By a word in upper case without marks; unknown for one that tells none.
shop::ToolKind foreign_kind(std::string_view word);

/// A word that makes a drill one for centres: "BROCA DE CENTROS", "FORET A POINTER".
bool centres(std::string_view word);

/// "WITH", "MIT": the tool stands behind the work.
bool joins_tool(std::string_view word);
/// "NO", "OHNE": what follows is not there.
bool denies(std::string_view word);

} // namespace turnwright::checks
