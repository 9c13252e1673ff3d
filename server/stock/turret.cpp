// Where the tools beside the working one stand, and where they pass while the turret turns.
#include "stock/turret.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::stock {

using motion::operator+;
using motion::operator-;
using motion::operator*;

namespace {

/// An edge seen from the spindle bends: it is cut into pieces no longer than this.
constexpr double piece_mm = 3;
/// A drill whose length is not given stands out at least as far as it is wide (common practice, no source).
constexpr double least_drill_diameters = 1;
constexpr double swing_step_deg = 1.5;

Box box_of(const std::vector<Point>& outline) {
    Box box{1e18, -1e18, 1e18, -1e18};
    for (const Point point : outline)
        box = {std::min(box.z_min, point.z_mm), std::max(box.z_max, point.z_mm),
               std::min(box.x_min, point.x_radius_mm), std::max(box.x_max, point.x_radius_mm)};
    return box;
}

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

/// What of a tool is there for certain: a drill is no longer than it is told.
std::vector<Point> sure_edge(const shop::Tool& tool, const ToolShape& shape) {
    std::vector<Point> outline = shape.surely;
    const double longest = tool.length_mm.value_or(least_drill_diameters * tool.diameter_mm.value_or(1));
    for (Point& point : outline)
        if (point.z_mm > reach_mm / 2) point.z_mm = longest;
    return outline;
}

} // namespace

Turret::Turret(const shop::Machine& machine, const shop::Shop& shop) : machine_(machine) {
    if (machine.turret_form == shop::TurretForm::unknown) return;
    for (const shop::Tool& tool : shop.tools) {
        if (!has_place(tool)) continue;
        const ToolShape shape = shape_of(&tool);
        Held& held = tools_.emplace_back();
        held.tool = &tool;
        if (!shape.holder.empty()) held.outlines.push_back(in_pieces(shape.holder));
        held.outlines.push_back(in_pieces(sure_edge(tool, shape)));
    }
}

bool Turret::has_place(const shop::Tool& tool) const {
    if (!tool.turret_x_mm || !tool.turret_z_mm) return false;
    return machine_.turret_form == shop::TurretForm::gang ||
           (machine_.stations && tool.station <= *machine_.stations && *tool.turret_x_mm > 0);
}

double Turret::degrees_between(int station, int working) const {
    return 360.0 / *machine_.stations * (station - working);
}

void Turret::add_standing(std::vector<Standing>& all, const Held& held, const shop::Tool& working, Point tip,
                          double degrees) const {
    const shop::Tool& tool = *held.tool;
    const double z = tip.z_mm - *working.turret_z_mm + *tool.turret_z_mm;
    const bool is_disc = machine_.turret_form == shop::TurretForm::disc;
    const double axis = tip.x_radius_mm + *working.turret_x_mm;
    const double turn = degrees * motion::pi / 180, along = std::cos(turn), aside = std::sin(turn);
    for (const std::vector<Point>& outline : held.outlines) {
        Standing standing{tool.station, {}, {}};
        for (const Point point : outline) {
            double x = tip.x_radius_mm - *working.turret_x_mm + *tool.turret_x_mm + point.x_radius_mm;
            if (is_disc) {
                const double out = *tool.turret_x_mm - point.x_radius_mm; // From the turret's axis
                x = std::hypot(axis - out * along, out * aside);
            }
            standing.outline.push_back({x, z + point.z_mm});
        }
        standing.box = box_of(standing.outline);
        all.push_back(std::move(standing));
    }
}

void Turret::add_body(std::vector<Standing>& all, const shop::Tool& working, Point tip) const {
    if (machine_.turret_outline.size() < 3) return;
    const bool is_disc = machine_.turret_form == shop::TurretForm::disc;
    const double mark =
        is_disc ? tip.x_radius_mm + *working.turret_x_mm : tip.x_radius_mm - *working.turret_x_mm;
    Standing standing;
    for (const shop::OutlinePoint& point : machine_.turret_outline)
        standing.outline.push_back({mark + point.x_mm, tip.z_mm - *working.turret_z_mm + point.z_mm});
    standing.box = box_of(standing.outline);
    all.push_back(std::move(standing));
}

std::vector<Turret::Standing> Turret::beside(const shop::Tool& working, Point tip) const {
    std::vector<Standing> all;
    if (!has_place(working)) return all;
    const bool is_disc = machine_.turret_form == shop::TurretForm::disc;
    for (const Held& held : tools_)
        if (held.tool->station != working.station)
            add_standing(all, held, working, tip,
                         is_disc ? degrees_between(held.tool->station, working.station) : 0);
    add_body(all, working, tip);
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

void Turret::swing(const shop::Tool& from, const shop::Tool& to, Point tip,
                   const std::function<void(const Standing&)>& see) const {
    if (machine_.turret_form != shop::TurretForm::disc || !has_place(from) || !machine_.stations) return;
    const int count = *machine_.stations;
    int steps = (to.station - from.station) % count;
    if (steps > count / 2) steps -= count;
    if (steps < -count / 2) steps += count;
    const double whole = 360.0 / count * steps;
    const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(whole) / swing_step_deg)));
    for (int i = 0; i <= parts; ++i)
        for (const Held& held : tools_) {
            std::vector<Standing> all;
            add_standing(all, held, from, tip,
                         degrees_between(held.tool->station, from.station) - whole * i / parts);
            for (const Standing& standing : all) see(standing);
        }
}

} // namespace turnwright::stock
