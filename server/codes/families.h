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

// What is shown. Both standards from memory; of the practice there is no source.
inline constexpr std::string_view iso_6983 = "ISO 6983-1:1982";
inline constexpr std::string_view rs_274 = "RS-274-D";
inline constexpr std::string_view practice = "common practice";

} // namespace turnwright::codes
