// The rows by family. Only table.cpp puts them together; nobody else includes this.
#pragma once

#include "codes/codes.h"

namespace turnwright::codes {

std::span<const Code> motion_codes();
std::span<const Code> setting_codes();
std::span<const Code> position_codes();
std::span<const Code> single_cycle_codes();
std::span<const Code> contour_cycle_codes();
std::span<const Code> peck_and_thread_cycle_codes();
std::span<const Code> drilling_codes();
std::span<const Code> program_codes();
std::span<const Code> miscellaneous_codes();

inline constexpr std::string_view iso_6983 = "ISO 6983-1:1982, from memory";
inline constexpr std::string_view rs_274 = "RS-274-D, from memory";
inline constexpr std::string_view practice = "common practice, no source";

} // namespace turnwright::codes
