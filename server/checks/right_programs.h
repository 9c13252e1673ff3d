// Right programs, one a system, that nearly every rule must leave alone.
#pragma once

#include "checks/checks.h"

namespace turnwright::checks::rules {

inline constexpr const char* shop_with_c = R"(
[[machine]]
[machine.m_codes]
M45 = { name = "C axis on", does = "C axis on" }
M46 = { name = "C axis off", does = "C axis off" }
)";
inline constexpr const char* shop_with_clamps = R"(
[[machine]]
[machine.m_codes]
M68 = { name = "chuck closes", does = "clamp" }
M69 = { name = "chuck opens", does = "unclamp" }
M13 = { name = "spindle and coolant", does = "M03 M08" }
)";

inline constexpr Example right_turning_a{codes::System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"};
inline constexpr Example right_drilling_b{codes::System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"};
inline constexpr Example right_threading_c{codes::System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"};

} // namespace turnwright::checks::rules
