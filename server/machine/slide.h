// The slide of a second spindle under a letter of its own.
#pragma once

namespace turnwright::machine {

/// Among the codes that notes tell, in the place of an M number: A alone moves the slide, as B and E do.
inline constexpr int slide_by_a = -1;

} // namespace turnwright::machine
