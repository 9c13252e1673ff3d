#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

double distance(Point a, Point b) {
    return norm(b - a);
}
double angle_of(Point direction) {
    return std::atan2(direction.x_radius_mm, direction.z_mm);
}
bool same(Point a, Point b) {
    return distance(a, b) < same_point_mm;
}

namespace {

Point on_circle(Point centre, double radius, double angle) {
    return {centre.x_radius_mm + radius * std::sin(angle), centre.z_mm + radius * std::cos(angle)};
}

/// Share of an arc's way at which it stands at this angle; nullopt when the arc does not reach it.
std::optional<double> share_at_angle(const Segment& arc, double angle) {
    double ahead = angle - angle_of(arc.from - arc.centre);
    if (arc.sweep < 0) ahead = -ahead;
    ahead = std::fmod(ahead, 2 * pi);
    if (ahead < 0) ahead += 2 * pi;
    double sweep = std::abs(arc.sweep);
    double slack = same_point_mm / std::max(radius_of(arc), same_point_mm);
    if (ahead > 2 * pi - slack) ahead = sweep > 2 * pi - slack ? sweep : 0;
    if (ahead > sweep + slack || sweep <= 0) return std::nullopt;
    return std::min(ahead / sweep, 1.0);
}

void add_share(std::vector<double>& shares, double share, double length) {
    double slack = same_point_mm / std::max(length, same_point_mm);
    if (share < -slack || share > 1 + slack) return;
    share = std::clamp(share, 0.0, 1.0);
    for (double known : shares)
        if (std::abs(known - share) <= slack) return;
    shares.push_back(share);
}

} // namespace

double sweep_between(Point from, Point to, Point centre, bool clockwise) {
    double full = 2 * pi;
    double turn = angle_of(to - centre) - angle_of(from - centre);
    if (clockwise) turn = -turn;
    turn = std::fmod(turn, full);
    double slack = same_point_mm / std::max(distance(from, centre), same_point_mm);
    if (turn < slack) turn += full; // also catches an end on the start: a full circle
    if (turn > full + slack) turn -= full;
    return clockwise ? -turn : turn;
}

Arc arc_by_centre(Point from, Point to, Point centre, bool clockwise, double tolerance_mm) {
    Arc arc;
    arc.centre = centre;
    double at_start = distance(from, centre), at_end = distance(to, centre);
    if (at_start < same_point_mm) {
        arc.trouble = Trouble::zero_radius;
        return arc;
    }
    if (std::abs(at_end - at_start) > tolerance_mm) {
        arc.trouble = Trouble::arc_radius_mismatch;
        arc.found = at_end;
        arc.wanted = at_start;
    }
    arc.sweep = sweep_between(from, to, centre, clockwise);
    return arc;
}

Arc arc_by_radius(Point from, Point to, double radius_mm, bool clockwise, double tolerance_mm) {
    Arc arc;
    double chord = distance(from, to), radius = std::abs(radius_mm);
    if (radius < same_point_mm) {
        arc.trouble = Trouble::zero_radius;
        return arc;
    }
    if (chord < same_point_mm) {
        // The centre could be anywhere about the start.
        arc.trouble = Trouble::arc_without_centre;
        return arc;
    }
    Point middle = (from + to) * 0.5;
    double height_squared = radius * radius - chord * chord / 4;
    if (radius < chord / 2 - tolerance_mm) {
        arc.trouble = Trouble::arc_radius_too_small;
        arc.found = radius;
        arc.wanted = chord / 2;
    }
    double height = std::sqrt(std::max(0.0, height_squared));
    Point along = (to - from) * (1 / chord);
    Point left{along.z_mm, -along.x_radius_mm}; // 90 degrees counter-clockwise in the view
    // The short way round a counter-clockwise arc has its centre to the left of the chord.
    bool centre_left = (radius_mm > 0) != clockwise;
    arc.centre = middle + left * (centre_left ? height : -height);
    double half_angle = std::asin(std::min(1.0, chord / 2 / radius));
    double sweep = radius_mm > 0 ? 2 * half_angle : 2 * pi - 2 * half_angle;
    arc.sweep = clockwise ? -sweep : sweep;
    return arc;
}

double radius_of(const Segment& arc) {
    return distance(arc.from, arc.centre);
}

double Segment::length_mm() const {
    if (kind == SegmentKind::dwell) return 0;
    return is_arc ? std::abs(sweep) * radius_of(*this) : distance(from, to);
}

Point point_at(const Segment& segment, double t) {
    if (t <= 0) return segment.from;
    if (t >= 1) return segment.to;
    if (!segment.is_arc) return segment.from + (segment.to - segment.from) * t;
    double angle = angle_of(segment.from - segment.centre) + segment.sweep * t;
    return on_circle(segment.centre, radius_of(segment), angle);
}

Point direction_at(const Segment& segment, double t) {
    if (!segment.is_arc) {
        double length = distance(segment.from, segment.to);
        return length > 0 ? (segment.to - segment.from) * (1 / length) : Point{};
    }
    double angle = angle_of(segment.from - segment.centre) + segment.sweep * t;
    double sign = segment.sweep < 0 ? -1 : 1;
    return {sign * std::cos(angle), -sign * std::sin(angle)};
}

Segment part_of(const Segment& segment, double from, double to) {
    Segment part = segment;
    part.from = point_at(segment, from);
    part.to = point_at(segment, to);
    part.sweep = segment.sweep * (to - from);
    return part;
}

Segment reversed(Segment segment) {
    std::swap(segment.from, segment.to);
    segment.sweep = -segment.sweep;
    return segment;
}

Segment shifted(Segment segment, Point by) {
    segment.from = segment.from + by;
    segment.to = segment.to + by;
    segment.centre = segment.centre + by;
    return segment;
}

Point swapped(Point point) {
    return {point.z_mm, point.x_radius_mm};
}

Segment swapped(Segment segment) {
    segment.from = swapped(segment.from);
    segment.to = swapped(segment.to);
    segment.centre = swapped(segment.centre);
    segment.sweep = -segment.sweep; // a mirror image
    return segment;
}

Segment line(Point from, Point to) {
    Segment segment;
    segment.from = from;
    segment.to = to;
    return segment;
}

Point beside_point(const Segment& segment, double t, double left) {
    Point along = direction_at(segment, t);
    return point_at(segment, t) + Point{along.z_mm, -along.x_radius_mm} * left;
}

std::optional<Segment> beside(const Segment& segment, double left) {
    Segment moved = segment;
    moved.from = beside_point(segment, 0, left);
    moved.to = beside_point(segment, 1, left);
    if (!segment.is_arc) return moved;
    double radius = radius_of(segment);
    double wanted = segment.sweep > 0 ? radius - left : radius + left;
    if (wanted < same_point_mm) return std::nullopt;
    return moved;
}

std::vector<double> turning_shares(const Segment& segment, bool in_x) {
    std::vector<double> shares;
    if (!segment.is_arc) return shares;
    for (double angle : {0.0, pi / 2, pi, -pi / 2}) {
        bool turns_x = std::abs(std::cos(angle)) < 0.5;
        if (turns_x != in_x) continue;
        if (auto share = share_at_angle(segment, angle); share && *share > 1e-9 && *share < 1 - 1e-9)
            shares.push_back(*share);
    }
    std::sort(shares.begin(), shares.end());
    return shares;
}

Extent extent_of(const Segment& segment) {
    Extent extent{std::min(segment.from.x_radius_mm, segment.to.x_radius_mm),
                  std::max(segment.from.x_radius_mm, segment.to.x_radius_mm),
                  std::min(segment.from.z_mm, segment.to.z_mm), std::max(segment.from.z_mm, segment.to.z_mm)};
    for (bool in_x : {true, false}) {
        for (double share : turning_shares(segment, in_x)) {
            Point point = point_at(segment, share);
            extent.x_min = std::min(extent.x_min, point.x_radius_mm);
            extent.x_max = std::max(extent.x_max, point.x_radius_mm);
            extent.z_min = std::min(extent.z_min, point.z_mm);
            extent.z_max = std::max(extent.z_max, point.z_mm);
        }
    }
    return extent;
}

std::vector<double> shares_at_x(const Segment& segment, double x) {
    std::vector<double> shares;
    double length = segment.length_mm();
    if (!segment.is_arc) {
        double run = segment.to.x_radius_mm - segment.from.x_radius_mm;
        if (std::abs(run) < same_point_mm) return shares;
        add_share(shares, (x - segment.from.x_radius_mm) / run, std::abs(run));
        return shares;
    }
    double radius = radius_of(segment), height = x - segment.centre.x_radius_mm;
    if (radius <= 0 || std::abs(height) > radius + same_point_mm) return shares;
    double angle = std::asin(std::clamp(height / radius, -1.0, 1.0));
    for (double candidate : {angle, pi - angle})
        if (auto share = share_at_angle(segment, candidate)) add_share(shares, *share, length);
    std::sort(shares.begin(), shares.end());
    return shares;
}

namespace {

void meet_lines(const Segment& a, const Segment& b, std::vector<Meeting>& out) {
    Point along_a = a.to - a.from, along_b = b.to - b.from, between = b.from - a.from;
    double area = cross(along_a, along_b);
    double length_a = norm(along_a), length_b = norm(along_b);
    if (length_a < same_point_mm || length_b < same_point_mm) return;
    if (std::abs(area) < 1e-12 * length_a * length_b) return; // parallel
    double on_a = cross(between, along_b) / area, on_b = cross(between, along_a) / area;
    double slack_a = same_point_mm / length_a, slack_b = same_point_mm / length_b;
    if (on_a < -slack_a || on_a > 1 + slack_a || on_b < -slack_b || on_b > 1 + slack_b) return;
    out.push_back({std::clamp(on_a, 0.0, 1.0), std::clamp(on_b, 0.0, 1.0)});
}

void meet_line_arc(const Segment& straight, const Segment& arc, bool line_first, std::vector<Meeting>& out) {
    Point along = straight.to - straight.from;
    double length = norm(along), radius = radius_of(arc);
    if (length < same_point_mm || radius < same_point_mm) return;
    Point to_start = straight.from - arc.centre;
    double a = dot(along, along), b = 2 * dot(along, to_start), c = dot(to_start, to_start) - radius * radius;
    double discriminant = b * b - 4 * a * c;
    // A line that misses by less than the smallest step touches.
    if (discriminant < 0 && discriminant > -8 * a * radius * same_point_mm) discriminant = 0;
    if (discriminant < 0) return;
    double root = std::sqrt(discriminant);
    std::vector<double> found;
    for (double t : {(-b - root) / (2 * a), (-b + root) / (2 * a)}) add_share(found, t, length);
    for (double t : found) {
        auto share = share_at_angle(arc, angle_of(straight.from + along * t - arc.centre));
        if (!share) continue;
        out.push_back(line_first ? Meeting{t, *share} : Meeting{*share, t});
    }
}

void meet_arcs(const Segment& a, const Segment& b, std::vector<Meeting>& out) {
    double radius_a = radius_of(a), radius_b = radius_of(b), apart = distance(a.centre, b.centre);
    if (apart < same_point_mm || radius_a < same_point_mm || radius_b < same_point_mm) return;
    if (apart > radius_a + radius_b + same_point_mm) return;
    if (apart < std::abs(radius_a - radius_b) - same_point_mm) return;
    double along = (apart * apart + radius_a * radius_a - radius_b * radius_b) / (2 * apart);
    double height = std::sqrt(std::max(0.0, radius_a * radius_a - along * along));
    Point direction = (b.centre - a.centre) * (1 / apart);
    Point left{direction.z_mm, -direction.x_radius_mm};
    std::vector<Point> points{a.centre + direction * along + left * height};
    if (height > same_point_mm) points.push_back(a.centre + direction * along - left * height);
    for (Point point : points) {
        auto on_a = share_at_angle(a, angle_of(point - a.centre));
        auto on_b = share_at_angle(b, angle_of(point - b.centre));
        if (on_a && on_b) out.push_back({*on_a, *on_b});
    }
}

} // namespace

std::vector<Meeting> meetings(const Segment& first, const Segment& second) {
    std::vector<Meeting> out;
    if (!first.is_arc && !second.is_arc)
        meet_lines(first, second, out);
    else if (!first.is_arc)
        meet_line_arc(first, second, true, out);
    else if (!second.is_arc)
        meet_line_arc(second, first, false, out);
    else
        meet_arcs(first, second, out);
    return out;
}

} // namespace turnwright::motion
