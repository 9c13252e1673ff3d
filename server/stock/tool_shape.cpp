// A tool as an outline in the half-plane, from what the shop file says of it.
//
// Two outlines: what it takes off (never less than the real tool would) and what is there for certain (never
// more). Insert edges have no length in the shop file: for taking off they are as long as the largest inserts
// have them, for touching as long as any has.
#include "stock/stock.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::stock {

using motion::operator+;
using motion::operator-;
using motion::operator*;
using shop::ToolKind;

namespace {

constexpr double sure_edge_mm = 3;
/// Usual sizes of inserts end here (common practice, no source).
constexpr double longest_edge_mm = 25;
/// A nose is small: its chords follow it closer.
constexpr double nose_tolerance_mm = arc_tolerance_mm / 4;
/// A tip of no size is taken this wide, so that its way has an area.
constexpr double tip_mm = 0.002;
/// The longest point a drill is ground to: where its angle is not given it is taken for touching.
constexpr double longest_point_deg = 60;

double radians(double degrees) {
    return degrees * motion::pi / 180;
}

/// Corners lie on the circle, one at each side to which a move along an axis lays it, so that such moves
/// leave their true size.
void add_circle(std::vector<Point>& points, Point centre, double radius) {
    double half = radius > nose_tolerance_mm ? std::acos(1 - nose_tolerance_mm / radius) : 1;
    int quarter = std::clamp(static_cast<int>(std::ceil(motion::pi / 4 / half)), 2, 90);
    for (int i = 0; i < 4 * quarter; ++i) {
        double angle = motion::pi / 2 * i / quarter;
        points.push_back(centre + Point{std::sin(angle), std::cos(angle)} * radius);
    }
}

std::vector<Point> bare_tip() {
    return {{-tip_mm, 0}, {0, -tip_mm}, {tip_mm, 0}, {0, tip_mm}};
}

/// Where a tip stands: as written in the shop file, else as the hand of the tool says.
int direction_of(const shop::Tool& tool) {
    if (tool.tip_direction) return *tool.tip_direction;
    if (tool.kind == ToolKind::turning) {
        if (tool.hand == shop::ToolHand::right) return 3;
        if (tool.hand == shop::ToolHand::left) return 4;
        if (tool.hand == shop::ToolHand::neutral) return 8;
    }
    if (tool.kind == ToolKind::boring && tool.hand == shop::ToolHand::right) return 2;
    return 0;
}

/// Point to the side the body lies on: X up or down, Z right or left; 0 where the tip stands in the middle.
Point body_side(int direction) {
    return Point{} - motion::tip_from_centre(direction, 1);
}

/// Circle of the nose and the two edges that touch it.
void add_wedge(std::vector<Point>& points, const ToolShape& shape, Point leading, Point trailing,
               double length) {
    Point centre = shape.nose_centre;
    if (shape.nose_radius_mm > tip_mm)
        add_circle(points, centre, shape.nose_radius_mm);
    else
        points.push_back(centre);
    // The edges touch the nose on the sides that look away from each other.
    double turn = motion::cross(trailing, leading) > 0 ? 1 : -1;
    auto outward = [&](Point edge, double side) {
        return Point{-edge.z_mm * side, edge.x_radius_mm * side} * shape.nose_radius_mm;
    };
    Point on_leading = centre - outward(leading, turn), on_trailing = centre + outward(trailing, turn);
    points.push_back(on_leading);
    points.push_back(on_trailing);
    points.push_back(on_leading + leading * length);
    points.push_back(on_trailing + trailing * length);
    if (length > sure_edge_mm) points.push_back(centre + (leading + trailing) * length);
}

/// Turning and boring tools.
void shape_insert(const shop::Tool& tool, ToolShape& shape) {
    int direction = direction_of(tool);
    Point side = body_side(direction);
    shape.nose_radius_mm = tool.nose_radius_mm.value_or(0);
    if (!tool.nose_radius_mm) shape.missing.push_back("nose_radius");
    shape.nose_centre = Point{} - motion::tip_from_centre(direction, shape.nose_radius_mm);
    shape.surely.clear();
    if (shape.nose_radius_mm > tip_mm)
        add_circle(shape.surely, shape.nose_centre, shape.nose_radius_mm);
    else
        shape.surely = bare_tip();
    if (direction == 0 || direction == 9) return shape.missing.push_back("tip_direction");
    const double edge = tool.edge_length_mm.value_or(longest_edge_mm);
    if (side.x_radius_mm == 0) {
        // Looks along Z: what lies behind the nose is not described by the two angles.
        shape.body = ToolShape::Way::along_z;
        add_wedge(shape.cuts, shape, side, side, edge);
        shape.known = true;
        return;
    }
    shape.body = side.x_radius_mm > 0 ? ToolShape::Way::outward : ToolShape::Way::inward;
    double toward = side.z_mm < 0 ? -1 : 1; // Of the body, in Z; a middle tip is seen as a right-hand one
    double front = tool.approach_angle_deg.value_or(90), back = tool.back_angle_deg.value_or(0);
    bool given = tool.approach_angle_deg && tool.back_angle_deg && front + back < 180 - 1e-9;
    if (!tool.approach_angle_deg || (tool.back_angle_deg && !given))
        shape.missing.push_back("approach_angle");
    if (!tool.back_angle_deg) shape.missing.push_back("back_angle");
    if (front + back >= 180 - 1e-9) front = 90, back = 0;
    Point leading{side.x_radius_mm * std::sin(radians(front)), -toward * std::cos(radians(front))};
    Point trailing{side.x_radius_mm * std::sin(radians(back)), toward * std::cos(radians(back))};
    add_wedge(shape.cuts, shape, leading, trailing, edge);
    shape.known = true;
    if (!given) return;
    shape.leading = leading;
    shape.trailing = trailing;
    add_wedge(shape.surely, shape, leading, trailing, std::min(sure_edge_mm, edge));
    shape.exact = tool.nose_radius_mm.has_value();
}

/// A blade of some width with both corners of the nose radius; X and Z change places on a face.
void shape_blade(const shop::Tool& tool, ToolShape& shape) {
    bool on_face = tool.kind == ToolKind::face_grooving;
    int direction = tool.tip_direction.value_or(0);
    Point side = body_side(direction);
    if (on_face) side = {side.z_mm, side.x_radius_mm}; // Along the blade, across the blade
    if (!tool.width_mm) shape.missing.push_back("width");
    if (side.x_radius_mm == 0) shape.missing.push_back("tip_direction");
    if (!shape.missing.empty()) return;
    double width = *tool.width_mm, radius = std::min(tool.nose_radius_mm.value_or(0), width / 2);
    shape.nose_radius_mm = radius;
    double from = side.z_mm == 0 ? -width / 2 : side.z_mm > 0 ? 0 : -width, to = from + width;
    auto place = [&](double along, double across) {
        Point point{along * side.x_radius_mm, across};
        return on_face ? Point{point.z_mm, point.x_radius_mm} : point;
    };
    auto outline = [&](double length) {
        std::vector<Point> points{place(length, from), place(length, to)};
        for (double across : {from + radius, to - radius}) {
            if (radius > tip_mm)
                add_circle(points, place(radius, across), radius);
            else
                points.push_back(place(0, across < (from + to) / 2 ? from : to));
        }
        return points;
    };
    shape.body = on_face                ? ToolShape::Way::along_z
                 : side.x_radius_mm > 0 ? ToolShape::Way::outward
                                        : ToolShape::Way::inward;
    shape.cuts = outline(reach_mm);
    shape.surely = outline(std::max(sure_edge_mm, radius));
    shape.known = true;
    shape.exact = tool.nose_radius_mm.has_value();
    if (!tool.nose_radius_mm) shape.missing.push_back("nose_radius");
}

/// Drills and the like, on the centreline, pointing to minus Z.
void shape_drill(const shop::Tool& tool, ToolShape& shape) {
    shape.body = ToolShape::Way::along_z;
    if (!tool.diameter_mm) return shape.missing.push_back("diameter");
    double radius = *tool.diameter_mm / 2;
    bool drill = tool.kind == ToolKind::drill;
    auto outline = [&](double r, double point_deg) {
        double point = point_deg >= 180 ? 0 : r / std::tan(radians(point_deg / 2));
        return std::vector<Point>{{0, 0}, {r, point}, {r, reach_mm}, {-r, reach_mm}, {-r, point}};
    };
    if (drill && !tool.point_angle_deg) shape.missing.push_back("point_angle");
    double given = tool.point_angle_deg.value_or(180);
    shape.cuts = outline(radius, drill || tool.kind == ToolKind::centre_drill ? given : 180);
    // Flutes, chamfers and pilots of the others are not described: a slim core is there for certain.
    shape.surely = outline(drill ? radius : radius * 0.4,
                           drill ? tool.point_angle_deg.value_or(longest_point_deg) : longest_point_deg);
    shape.known = true;
    shape.exact = drill && tool.point_angle_deg;
}

/// A thread is taken off to its full depth all along: what stands between its turns is no turned profile.
void shape_threading(ToolShape& shape, bool inside) {
    double side = inside ? -1 : 1;
    shape.body = inside ? ToolShape::Way::inward : ToolShape::Way::outward;
    shape.cuts = {{0, 0}, {side * reach_mm, 0}};
    shape.known = true;
}

/// What does not cut, counter-clockwise.
void take_outline(const shop::Tool& tool, ToolShape& shape) {
    double twice_area = 0;
    for (std::size_t i = 0; i < tool.outline.size(); ++i) {
        const shop::OutlinePoint &a = tool.outline[i], &b = tool.outline[(i + 1) % tool.outline.size()];
        twice_area += a.z_mm * b.x_mm - b.z_mm * a.x_mm;
        shape.holder.push_back({a.x_mm, a.z_mm});
    }
    if (twice_area < 0) std::reverse(shape.holder.begin(), shape.holder.end());
}

/// Points inside the outline add nothing but time to every sweep.
void keep_corners(std::vector<Point>& points) {
    std::vector<std::vector<Point>> outlines = hull(points).outlines();
    if (!outlines.empty()) points = std::move(outlines.front());
}

} // namespace

ToolShape shape_of(const shop::Tool* tool) {
    ToolShape shape;
    shape.surely = bare_tip();
    if (!tool) {
        shape.missing.push_back("station");
        shape.bare_tip = true;
        return shape;
    }
    take_outline(*tool, shape);
    switch (tool->kind) {
    case ToolKind::turning:
    case ToolKind::boring:
        shape_insert(*tool, shape);
        break;
    case ToolKind::grooving:
    case ToolKind::parting:
    case ToolKind::face_grooving:
        shape_blade(*tool, shape);
        break;
    case ToolKind::drill:
    case ToolKind::centre_drill:
    case ToolKind::tap:
    case ToolKind::reamer:
        shape_drill(*tool, shape);
        break;
    case ToolKind::threading:
    case ToolKind::threading_inside:
        shape_threading(shape, tool->kind == ToolKind::threading_inside);
        break;
    case ToolKind::knurl:
        shape.known = true;
        break;
    case ToolKind::live:
        shape.known = shape.ignored = true;
        break;
    case ToolKind::bar_puller:
        shape.known = shape.ignored = shape.moves_bar = true;
        break;
    case ToolKind::unknown:
        shape.missing.push_back("kind");
        break;
    }
    if (tool->kind == ToolKind::boring || tool->kind == ToolKind::threading_inside)
        shape.smallest_bore_mm = tool->diameter_mm;
    shape.bare_tip = shape.surely == bare_tip();
    if (shape.bare_tip) return shape;
    keep_corners(shape.cuts);
    keep_corners(shape.surely);
    return shape;
}

ToolShape shape_in_second(const shop::Tool* tool, bool to_plus) {
    ToolShape shape = shape_of(tool);
    if (!tool) return shape;
    const int direction = direction_of(*tool);
    const bool is_insert = tool->kind == ToolKind::turning || tool->kind == ToolKind::boring;
    const bool looks_to_plus = is_insert && (direction == 1 || direction == 4);
    const bool is_blade = tool->kind == ToolKind::grooving || tool->kind == ToolKind::parting;
    if (looks_to_plus == to_plus || is_blade) return shape;
    const auto mirror = [](std::vector<Point>& outline) {
        for (Point& point : outline) point.z_mm = -point.z_mm;
        std::reverse(outline.begin(), outline.end()); // Counter-clockwise as before
    };
    for (std::vector<Point>* outline : {&shape.cuts, &shape.surely, &shape.holder}) mirror(*outline);
    for (std::optional<Point>* edge : {&shape.leading, &shape.trailing})
        if (*edge) (*edge)->z_mm = -(*edge)->z_mm;
    shape.nose_centre.z_mm = -shape.nose_centre.z_mm;
    return shape;
}

namespace {

/// Shares of the way between which an arc is a chord: as fine as the tolerance asks.
int chords_of(const motion::Segment& segment, double tolerance_mm = arc_tolerance_mm) {
    if (!segment.is_arc) return 1;
    double radius = motion::radius_of(segment);
    if (radius <= tolerance_mm) return 1;
    double step = 2 * std::acos(1 - tolerance_mm / radius);
    return std::clamp(static_cast<int>(std::ceil(std::abs(segment.sweep) / step)), 1, 2000);
}

Region sweep_line(std::span<const Point> outline, Point from, Point to) {
    std::vector<Point> points;
    points.reserve(2 * outline.size());
    for (Point point : outline) points.push_back(point + from);
    if (!(from == to))
        for (Point point : outline) points.push_back(point + to);
    return hull(points);
}

/// Every edge sweeps a parallelogram; what is inside stands at both ends or is passed by an edge.
void add_hollow_line(Region& all, std::span<const Point> outline, Point from, Point to) {
    auto add_placed = [&](Point at) {
        Loop& loop = all.loops.emplace_back();
        for (Point point : outline)
            loop.push_back({std::llround((point.z_mm + at.z_mm) * grid_per_mm),
                            std::llround((point.x_radius_mm + at.x_radius_mm) * grid_per_mm)});
    };
    add_placed(from);
    if (from == to) return;
    for (std::size_t i = 0; i < outline.size(); ++i) {
        const Point a = outline[i], b = outline[(i + 1) % outline.size()];
        const Point corners[] = {a + from, b + from, a + to, b + to};
        const Region edge = hull(corners);
        all.loops.insert(all.loops.end(), edge.loops.begin(), edge.loops.end());
    }
    add_placed(to);
}

/// A holder is told to a tenth at best.
constexpr double holder_tolerance_mm = 0.05;

} // namespace

Region sweep_hollow(std::span<const Point> outline, const motion::Segment& segment) {
    const int chords = chords_of(segment, holder_tolerance_mm);
    Region all;
    Point from = segment.from;
    for (int i = 1; i <= chords; ++i) {
        const Point to =
            i == chords ? segment.to : motion::point_at(segment, static_cast<double>(i) / chords);
        add_hollow_line(all, outline, from, to);
        from = to;
    }
    return all;
}

// A convex outline moved along a line sweeps the convex outline of both its places.
Region sweep(std::span<const Point> outline, const motion::Segment& segment) {
    int chords = chords_of(segment);
    if (chords == 1) return sweep_line(outline, segment.from, segment.to);
    Region all;
    Point from = segment.from;
    for (int i = 1; i <= chords; ++i) {
        Point to = i == chords ? segment.to : motion::point_at(segment, static_cast<double>(i) / chords);
        Region part = sweep_line(outline, from, to);
        all.loops.insert(all.loops.end(), part.loops.begin(), part.loops.end());
        from = to;
    }
    return all; // Loops overlap; all run the same way round, so that clipping takes them as one area
}

} // namespace turnwright::stock
