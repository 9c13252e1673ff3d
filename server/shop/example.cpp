// The full example of docs/shop-file.md. A test reads it without a problem, another checks it against the
// schema.
#include "shop/shop.h"

namespace turnwright::shop {

std::string_view example() {
    return R"(units = "mm"                      # or "inch": every length, feed and rapid rate below

[[machine]]
name = "short bed"
folders = ["short-bed", "repeat-jobs/short-bed"]
path_numbers = 1000               # O1012 is the second turret's program to O0012
system = "A"
power_on_units = "mm"
no_point = "least increments"     # X10 is 0.010 mm
x = "diameter"
power_on = ["G18", "G40", "G80", "G97", "G99"]
max_rpm = 4500
min_rpm = 40
chuck_max_rpm = 4000
rapid_x = 12000                   # mm a minute
rapid_z = 16000
max_feed = 5000
tool_change_seconds = 1.2
spindle_ramp = 900
max_power_kw = 11
max_torque_nm = 140
power_efficiency = 0.8
travel_x_min = -210               # on radius, from the machine datum
travel_x_max = 0
travel_z_min = -480
travel_z_max = 0
change_x = 0
change_z = 0
stations = 12
tool_digits = 4
arc_tolerance = 0.01

[machine.m_codes]
M10 = { name = "chuck opens", does = "unclamp" }
M11 = { name = "chuck closes", does = "clamp" }
M13 = { name = "spindle and coolant", does = "M03 M08" }
M21 = "part catcher out"          # what it does is not said, so it is unknown
"M60-M69" = { name = "loader", does = "nothing" }
"M101-M103" = { name = "wait", does = "wait" }

[machine.g_codes]
G140 = { name = "groove with chamfers", calls = "O9010" }

[[machine]]
name = "old inch lathe"
folders = ["old-lathe"]
units = "inch"                    # this table only
system = "B"
power_on_units = "inch"
no_point = "whole units"
max_rpm = 2200
rapid_x = 200
rapid_z = 300

[[tool]]
station = 1
note = "80 degree rougher"
kind = "turning"
hand = "right"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
max_depth = 4
max_feed = 0.45

[[tool]]
station = 5
note = "3 mm grooving"
kind = "grooving"
width = 3
nose_radius = 0.2
upside_down = true
offsets = [5, 15]                 # one for each corner

[[tool]]
station = 7
note = "drill 20"
kind = "drill"
diameter = 20
point_angle = 118
length = 90
max_rpm = 1800

[stock]
diameter = 65
bore = 0
front_z = 1.5
back_z = -110
jaw_front_z = -72
jaw_diameter = 190
bar_length = 3000
bar_remnant = 160
material = "P"

[house]
optional_stop = true
number_is_tool = true
two_step_approach = true
sequence_note = true
return_in_machine_datum = false
safety_line = ["G54", "G97", "G40", "G80"]
first_approach = 12
second_approach = 1

[format]
upper_case = true
blanks_between_words = true
leading_zeros = true

[checks]
optional_stop_missing = "off"
speed_limit_missing = "error"
)";
}

} // namespace turnwright::shop
