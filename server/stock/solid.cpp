#include "stock/solid.h"

#include "motion/geometry.h"
#include "stock/turret.h"

#include <algorithm>
#include <cmath>

namespace turnwright::stock {

using motion::operator+;
using motion::operator-;
using motion::operator*;

namespace {

/// An outline of a holder is measured by hand, and less than this into another is let pass.
constexpr double solid_room_mm = 0.2;

std::vector<Point> placed(const SolidPart& part, Point at) {
    std::vector<Point> points;
    for (const Point point : part.outline) points.push_back(point + at);
    return points;
}

Box solid_box_at(const Box& box, Point at) {
    return {box.z_min + at.z_mm, box.z_max + at.z_mm, box.x_min + at.x_radius_mm, box.x_max + at.x_radius_mm};
}

bool solids_meet(const Box& a, const Box& b) {
    return a.z_min < b.z_max && b.z_min < a.z_max && a.x_min < b.x_max && b.x_min < a.x_max;
}

double to_solid_edge_mm(Point p, Point a, Point b) {
    const Point along = b - a;
    const double square = motion::dot(along, along);
    const double share = square > 0 ? std::clamp(motion::dot(p - a, along) / square, 0.0, 1.0) : 0;
    return motion::distance(p, a + along * share);
}

} // namespace

std::vector<SolidPart> solid_parts(const shop::Machine& machine, const shop::Shop& shop,
                                   const shop::Tool& working, int path) {
    using What = SolidPart::What;
    std::vector<SolidPart> parts;
    const ToolShape shape = shape_of(&working);
    if (!shape.known || shape.ignored) return parts;
    if (!shape.bare_tip) parts.push_back({What::edge, working.station, sure_edge(working, shape), {}});
    if (!shape.holder.empty()) parts.push_back({What::holder, working.station, shape.holder, {}});
    // Of a lathe with two turrets only what is told to be in this one stands beside it.
    shop::Shop own;
    for (const shop::Tool& tool : shop.tools)
        if (tool.path == path) own.tools.push_back(tool);
    for (Turret::Standing& standing : Turret(machine, own, path).beside(working, {}))
        if (standing.station == 0 || machine.turret_form == shop::TurretForm::gang)
            parts.push_back({standing.station == 0 ? What::turret : What::beside,
                             standing.station,
                             std::move(standing.outline),
                             {}});
    for (SolidPart& part : parts) part.box = box_of(part.outline);
    return parts;
}

double depth_mm(const SolidPart& one, Point one_at, const SolidPart& other, Point other_at) {
    if (!solids_meet(solid_box_at(one.box, one_at), solid_box_at(other.box, other_at))) return 0;
    const Region hit = intersect(polygon(placed(one, one_at)), polygon(placed(other, other_at)));
    if (!is_wider(hit, solid_room_mm)) return 0;
    const Box box = hit.box();
    return std::min(box.x_max - box.x_min, box.z_max - box.z_min);
}

double between_mm(const SolidPart& one, Point one_at, const SolidPart& other, Point other_at) {
    const std::vector<Point> a = placed(one, one_at), b = placed(other, other_at);
    double least = 1e18;
    for (std::size_t i = 0; i < a.size(); ++i)
        for (std::size_t j = 0; j < b.size(); ++j)
            least = std::min({least, to_solid_edge_mm(a[i], b[j], b[(j + 1) % b.size()]),
                              to_solid_edge_mm(b[j], a[i], a[(i + 1) % a.size()])});
    if (solids_meet(solid_box_at(one.box, one_at), solid_box_at(other.box, other_at)) &&
        !intersect(polygon(a), polygon(b)).empty())
        return 0;
    return least;
}

} // namespace turnwright::stock
