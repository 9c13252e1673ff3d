// What a note says of how X is written.
#pragma once

#include "shop/shop.h"

#include <optional>
#include <string_view>

namespace turnwright::machine {

/// "ALL X VALUES ARE RADIUS", "X = DIAMETER", "RADIUS PROGRAMMING", in the languages of some shops; nullopt:
/// the note does not speak of it. A size ("X RADIUS 5", "4 X ON DIAMETER 40") is none.
std::optional<shop::XReading> x_reading_in(std::string_view note);

} // namespace turnwright::machine
