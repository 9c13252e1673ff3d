// What the name of a thread tells beside its sizes.
#pragma once

#include <string_view>

namespace turnwright::motion {

/// "M10X1.25 LH", "TR20X4-LH".
bool is_left_hand(std::string_view name);
/// "TR40X14(P7)" and "M16XPH3P1.5" have two; a name that does not tell has one.
int starts_of(std::string_view name);

} // namespace turnwright::motion
