// Where the tools beside the working one stand, and where they pass while the turret turns.
#include "stock/turret.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::stock {

using motion::operator+;
using motion::operator-;
using motion::operator*;
using shop::TurretForm;

namespace {

/// An edge seen from the spindle bends: it is cut into pieces no longer than this.
constexpr double piece_mm = 3;
/// A drill whose length is not given stands out at least as far as it is wide (common practice, no source).
constexpr double least_drill_diameters = 1;
constexpr double swing_step_deg = 1.5;

std::vector<Point> in_pieces(const std::vector<Point>& outline) {
    std::vector<Point> pieces;
    for (std::size_t i = 0; i < outline.size(); ++i) {
        const Point a = outline[i], b = outline[(i + 1) % outline.size()];
        const double length = std::hypot(b.x_radius_mm - a.x_radius_mm, b.z_mm - a.z_mm);
        const int parts = std::clamp(static_cast<int>(std::ceil(length / piece_mm)), 1, 100);
        for (int k = 0; k < parts; ++k) pieces.push_back(a + (b - a) * (static_cast<double>(k) / parts));
    }
    return pieces;
}

} // namespace

Box box_of(const std::vector<Point>& outline) {
    Box box{1e18, -1e18, 1e18, -1e18};
    for (const Point point : outline)
        box = {std::min(box.z_min, point.z_mm), std::max(box.z_max, point.z_mm),
               std::min(box.x_min, point.x_radius_mm), std::max(box.x_max, point.x_radius_mm)};
    return box;
}

std::vector<Point> sure_edge(const shop::Tool& tool, const ToolShape& shape) {
    std::vector<Point> outline = shape.surely;
    const double longest = tool.length_mm.value_or(least_drill_diameters * tool.diameter_mm.value_or(1));
    for (Point& point : outline)
        if (point.z_mm > reach_mm / 2) point.z_mm = longest;
    return outline;
}

Turret::Turret(const shop::Machine& machine, const shop::Shop& shop, std::optional<int> path)
    : machine_(machine) {
    if (is(TurretForm::unknown)) return;
    if (!path) path = shop.own_path;
    for (const shop::Tool& tool : shop.tools) {
        if (!has_place(tool) || (tool.path && tool.path != path)) continue;
        const ToolShape shape = shape_of(&tool);
        Held& held = tools_.emplace_back();
        held.tool = &tool;
        if (!shape.holder.empty()) held.outlines.push_back(in_pieces(shape.holder));
        held.outlines.push_back(in_pieces(sure_edge(tool, shape)));
    }
}

bool Turret::has_place(const shop::Tool& tool) const {
    if (!tool.turret_x_mm || !tool.turret_z_mm) return false;
    if (is(TurretForm::gang)) return true;
    const bool turns = machine_.stations && tool.station <= *machine_.stations && *tool.turret_x_mm > 0;
    return turns && (is(TurretForm::disc) || machine_.next_station != shop::NextStation::unknown);
}

double Turret::degrees_between(int station, int working, double back) const {
    if (is(TurretForm::gang)) return 0;
    return 360.0 / *machine_.stations * (station - working - back);
}

void Turret::add(std::vector<Standing>& all, int station, std::vector<Point> outline) const {
    Standing standing{station, std::move(outline), {}};
    standing.box = box_of(standing.outline);
    const bool crosses = standing.box.x_min < 0;
    all.push_back(standing);
    if (!crosses) return;
    for (Point& point : standing.outline) point.x_radius_mm = -point.x_radius_mm;
    standing.box = box_of(standing.outline);
    all.push_back(std::move(standing));
}

void Turret::add_standing(std::vector<Standing>& all, const Held& held, const shop::Tool& working, Point tip,
                          double degrees) const {
    const shop::Tool& tool = *held.tool;
    const double z = tip.z_mm - *working.turret_z_mm;
    const double axis = tip.x_radius_mm + *working.turret_x_mm;
    const double turn = degrees * motion::pi / 180, along = std::cos(turn), aside = std::sin(turn);
    // Toward the next number a tool of a post stands on one side in Z, as it stood toward the spindle.
    const double toward = machine_.next_station == shop::NextStation::chuck ? -aside : aside;
    for (const std::vector<Point>& outline : held.outlines) {
        std::vector<Point> moved;
        for (const Point point : outline) {
            const double out = *tool.turret_x_mm - point.x_radius_mm; // From the turret's axis
            const double at_z = *tool.turret_z_mm + point.z_mm;
            if (is(TurretForm::gang))
                moved.push_back(
                    {tip.x_radius_mm - *working.turret_x_mm + *tool.turret_x_mm + point.x_radius_mm,
                     z + at_z});
            else if (is(TurretForm::disc))
                moved.push_back({std::hypot(axis - out * along, out * aside), z + at_z});
            else
                moved.push_back({axis - out * along + at_z * toward, z + at_z * along + out * toward});
        }
        add(all, tool.station, std::move(moved));
    }
}

void Turret::add_body(std::vector<Standing>& all, const shop::Tool& working, Point tip,
                      double degrees) const {
    if (machine_.turret_outline.size() < 3) return;
    const double mark = is(TurretForm::gang) ? tip.x_radius_mm - *working.turret_x_mm
                                             : tip.x_radius_mm + *working.turret_x_mm;
    const double turn = degrees * motion::pi / 180, along = std::cos(turn);
    const double toward =
        machine_.next_station == shop::NextStation::chuck ? -std::sin(turn) : std::sin(turn);
    std::vector<Point> outline;
    for (const shop::OutlinePoint& point : machine_.turret_outline)
        outline.push_back({mark + point.x_mm * along + point.z_mm * toward,
                           tip.z_mm - *working.turret_z_mm + point.z_mm * along - point.x_mm * toward});
    add(all, 0, std::move(outline));
}

std::vector<Turret::Standing> Turret::beside(const shop::Tool& working, Point tip) const {
    std::vector<Standing> all;
    if (!has_place(working)) return all;
    for (const Held& held : tools_)
        if (held.tool->station != working.station)
            add_standing(all, held, working, tip, degrees_between(held.tool->station, working.station));
    add_body(all, working, tip, 0);
    return all;
}

bool Turret::may_meet(const shop::Tool& working, const motion::Segment& segment, const Box& box) const {
    if (!has_place(working)) return false;
    if (segment.is_arc) return true;
    const double x_min = std::min(segment.from.x_radius_mm, segment.to.x_radius_mm);
    const double x_max = std::max(segment.from.x_radius_mm, segment.to.x_radius_mm);
    const double z_min = std::min(segment.from.z_mm, segment.to.z_mm);
    const double z_max = std::max(segment.from.z_mm, segment.to.z_mm);
    // A point is nearest to the spindle at one end of the move, or where the axis stands right across from
    // it.
    for (const Standing& standing : beside(working, {x_min, z_min}))
        if (standing.box.x_min - (x_max - x_min) < box.x_max && standing.box.z_min < box.z_max &&
            standing.box.z_max + (z_max - z_min) > box.z_min)
            return true;
    return false;
}

int Turret::way_round(int from, int to) const {
    using shop::TurretTurns;
    const int count = *machine_.stations;
    int steps = (to - from) % count;
    if (steps < 0) steps += count;
    const bool forward = machine_.turret_turns == TurretTurns::forward ||
                         (is(TurretForm::post) && machine_.turret_turns == TurretTurns::unknown);
    if (!forward && (steps > count / 2 || (2 * steps == count && to < from))) steps -= count;
    return steps;
}

void Turret::swing(const shop::Tool& from, const shop::Tool& to, Point tip,
                   const std::function<void(const Standing&)>& see) const {
    if (is(TurretForm::gang) || !has_place(from) || !machine_.stations) return;
    const int steps = way_round(from.station, to.station);
    const double whole = 360.0 / *machine_.stations * steps;
    const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(whole) / swing_step_deg)));
    for (int i = 0; i <= parts; ++i) {
        std::vector<Standing> all;
        const double turned = static_cast<double>(steps) * i / parts;
        for (const Held& held : tools_)
            add_standing(all, held, from, tip, degrees_between(held.tool->station, from.station, turned));
        // A disc's own body is the same all round.
        if (is(TurretForm::post))
            add_body(all, from, tip, degrees_between(from.station, from.station, turned));
        for (const Standing& standing : all) see(standing);
    }
}

} // namespace turnwright::stock
