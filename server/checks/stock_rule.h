// What rules on the stock include: the events of one kind, and lengths in the unit of the block they stand
// in.
#pragma once

#include "checks/rule.h"

#include <cmath>

namespace turnwright::checks {

struct StockEvent {
    const stock::SequenceCourse& sequence;
    const stock::Event& event;
    BlockPlace place;
    std::string where;                                 ///< "X46. Z-3.", in program units
    std::string length(double mm) const;               ///< "2.5 mm", "0.1 in"
    std::string on_diameter(double x_radius_mm) const; ///< The same of a diameter
    double mm_per_unit = 1;
    const machine::Settings* settings = nullptr;
};
using StockEventText = std::string (*)(const StockEvent&);
/// Reports every event of a kind at its block.
void report_stock_events(const StockContext& context, Report& report, stock::EventKind kind,
                         StockEventText text);
template <stock::EventKind kind, StockEventText text>
void report_stock_events(const StockContext& context, Report& report) {
    report_stock_events(context, report, kind, text);
}
/// What is assumed and a finding about the stock rests on: " This holds if the program, which does not say
/// so, means inch."; empty: all is stated. `by_load`: it rests on feeds and speeds too.
std::string holds_if(const machine::State& state, const machine::Settings& settings, bool by_load = false);
/// "T03": the station a sequence works with; "this tool" when it is not known.
std::string tool_name(const stock::SequenceCourse& sequence);

/// Tools and stock of the examples: 1 rougher, 2 drill 20 reaching 70, 3 finisher, 4 boring bar 16
/// reaching 48, 5 and 9 blades 3 wide.
inline constexpr std::string_view example_tools = R"(units = "mm"
[[machine]]
name = "m"
max_power_kw = 11
max_torque_nm = 140
power_efficiency = 0.8
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
max_depth = 4
[[tool]]
station = 2
kind = "drill"
diameter = 20
point_angle = 118
length = 70
[[tool]]
station = 3
kind = "turning"
nose_radius = 0.4
tip_direction = 3
approach_angle = 93
back_angle = 32
[[tool]]
station = 4
kind = "boring"
nose_radius = 0.4
tip_direction = 2
approach_angle = 95
back_angle = 5
diameter = 16
length = 48
[[tool]]
station = 5
kind = "grooving"
width = 3
nose_radius = 0.2
tip_direction = 3
[[tool]]
station = 9
kind = "parting"
width = 3
nose_radius = 0.2
tip_direction = 3
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -140
jaw_front_z = -92
jaw_diameter = 160
material = "C45"
)";
/// The same tools, no stock: the program's own note gives it.
inline constexpr std::string_view example_tools_only = example_tools.substr(0, example_tools.find("[stock]"));

} // namespace turnwright::checks
