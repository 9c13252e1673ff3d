// Two paths with which nothing is wrong, for rules that look at both, and the shop file of their lathe.
#pragma once

#include "checks/checks.h"

namespace turnwright::checks {

inline constexpr const char* shop_of_paths = R"(
[[machine]]
name = "two turrets"
path_numbers = 1000
[machine.m_codes]
"M101-M119" = { name = "wait", does = "wait" }
M13 = { name = "live tool on", does = "live tool on" }
)";

/// The same lathe with a turning tool in the first turret and a drill in the second; rates are round numbers.
inline constexpr const char* tools_of_paths = R"(
units = "mm"
[[machine]]
name = "two turrets"
path_numbers = 1000
second_turret = "opposite"
rapid_x = 10000
rapid_z = 10000
tool_change_seconds = 2
[machine.m_codes]
"M101-M119" = { name = "wait", does = "wait" }
[[tool]]
station = 1
path = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
edge_length = 12
outline = [[3, 1], [3, 20], [120, 20], [120, -2], [20, -2]]
[[tool]]
station = 2
path = 2
kind = "drill"
diameter = 10
point_angle = 118
length = 50
outline = [[-20, 50], [20, 50], [20, 90], [-20, 90]]
)";

inline const Example right_paths_a{codes::System::A, R"(
O0012 (UPPER)
G21 G99
T0101 (ROUGH)
G97 S1000 M03
G00 X52. Z2.
G01 Z-20. F.2
G00 X60.
M101
M102
G97 S800 M03
G00 X52. Z-30.
G01 X-1. F.1
G00 X60.
M103
M30
O1012 (LOWER)
G21 G99
T0202 (DRILL 8)
G00 X60. Z5.
M101
G00 X0 Z5.
G01 Z-15. F.1
G00 Z5.
M102
M103
B0
M30
)",
                                   shop_of_paths};
inline const Example right_paths_b{codes::System::B, R"(
O0012
G20 G90 G95
T0101
G97 S1200 M03
M101 P12
G00 X2.2 Z.1
G01 Z-1.5 F.008
G00 X2.6
M102 P12
M113 P13
M30
O1012
G20 G90 G95
T0202
M101 P12
G00 X1.9 Z.3
G01 Z-1.5 F.008
G00 X2.6
M102 P21
M30
)",
                                   shop_of_paths};
/// The partner of the one is not there.
inline const Example right_paths_c{codes::System::C, R"(
O0012
G71 G90 G95
T0101
G97 S1200 M03
M101
G00 X52. Z2.
G01 Z-30. F.2
M102
M30
)",
                                   shop_of_paths};

} // namespace turnwright::checks
