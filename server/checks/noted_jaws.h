// Where the jaws begin, as a note says it: "JAW FACE AT Z-36", "2.8 OUT OF THE JAWS", "STICK-OUT 65".
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace turnwright::checks {

struct NotedJaws {
    double length = 0; ///< Above zero
    enum class Unit : std::uint8_t { program, mm, inch } unit = Unit::program;
    /// From the raw face, which may stand in front of Z0; else it is their Z without its sign.
    bool sticks_out = false;
    bool of_later_side = false; ///< Of the second side or clamping, or one behind it
    bool operator==(const NotedJaws&) const = default;
    /// The Z, in program units, behind which the jaws surely stand.
    double z(double mm_per_unit) const;
};
/// A note that names a tool speaks of how far that stands out: nullopt.
std::optional<NotedJaws> jaws_by_note(std::string_view note);

} // namespace turnwright::checks
