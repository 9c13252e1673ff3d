// The corner of an insert, by what a note says of it.
#pragma once

#include <optional>
#include <string_view>

namespace turnwright::checks {

/// Angle between the two edges at the nose, degrees: "80 DEG R0.8", "CNMG120408", "VNMG 0.4". `station` as of
/// tool_by_note. nullopt: the note does not tell, or the insert is round.
std::optional<double> insert_angle_by_note(std::string_view note, int station = 0);

} // namespace turnwright::checks
