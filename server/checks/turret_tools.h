// The turrets of the examples of two rules.
#pragma once

#include <string_view>

namespace turnwright::checks {

/// Eight stations on a disc: 1 a rougher, 2 a drill that stands out 100 mm further than it in Z, 5 a blade.
inline constexpr std::string_view turret_tools = R"(units = "mm"
[[machine]]
name = "m"
stations = 8
turret_form = "disc"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
edge_length = 12
outline = [[3, 1], [3, 20], [20, 32], [120, 32], [120, -6], [40, -6], [20, 7]]
turret_x = 160
turret_z = 20
[[tool]]
station = 2
kind = "drill"
diameter = 20
point_angle = 118
length = 120
outline = [[-20, 120], [20, 120], [20, 160], [-20, 160]]
turret_x = 160
turret_z = -80
[[tool]]
station = 5
kind = "grooving"
width = 3
nose_radius = 0.2
tip_direction = 3
outline = [[10, 0], [10, 4], [60, 14], [100, 14], [100, 0]]
turret_x = 160
turret_z = 20
)";

/// A square post: the rougher, and on the side toward the tailstock a boring bar, which points at the axis
/// there.
inline constexpr std::string_view post_tools = R"(units = "mm"
[[machine]]
name = "m"
stations = 4
turret_form = "post"
next_station = "tailstock"
turret_outline = [[-40, -40], [-40, 40], [40, 40], [40, -40]]
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
turret_x = 70
turret_z = -30
outline = [[1, 3], [1, 18], [30, 18], [30, 3]]
[[tool]]
station = 2
kind = "boring"
nose_radius = 0.4
tip_direction = 2
diameter = 16
length = 80
outline = [[0, 0], [16, 0], [16, 100], [0, 100]]
turret_x = 40
turret_z = -140
)";

/// The rougher and the drill in a row.
inline constexpr std::string_view gang_tools = R"(units = "mm"
[[machine]]
name = "m"
turret_form = "gang"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
edge_length = 12
turret_x = 0
turret_z = 0
[[tool]]
station = 2
kind = "drill"
diameter = 10
point_angle = 118
length = 60
outline = [[-10, 40], [10, 40], [10, 80], [-10, 80]]
turret_x = 30
turret_z = -30
)";

} // namespace turnwright::checks
