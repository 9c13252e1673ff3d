// Inside the motion room: lines and arcs in the Z-X plane.
//
// The plane is looked at with Z to the right and X up, X being the distance from the centreline. G02 turns
// clockwise and G03 counter-clockwise in that view, whichever side of the centreline the turret stands on
// (common practice, no source; it is the view from plus Y of a right-handed X, Y, Z).
#pragma once

#include "motion/motion.h"

#include <cmath>
#include <vector>

namespace turnwright::motion {

inline constexpr double pi = std::numbers::pi;
/// Below this two points are one: a hundredth of the usual least increment.
inline constexpr double same_point_mm = 1e-5;
/// Radius mismatch of an arc that is let pass where the shop file gives none: what rounding to four places of
/// an inch or three of a millimetre explains, with room to spare (common practice, no source).
inline constexpr double default_arc_tolerance_mm = 0.02;

constexpr Point operator+(Point a, Point b) {
    return {a.x_radius_mm + b.x_radius_mm, a.z_mm + b.z_mm};
}
constexpr Point operator-(Point a, Point b) {
    return {a.x_radius_mm - b.x_radius_mm, a.z_mm - b.z_mm};
}
constexpr Point operator*(Point a, double factor) {
    return {a.x_radius_mm * factor, a.z_mm * factor};
}
constexpr double dot(Point a, Point b) {
    return a.x_radius_mm * b.x_radius_mm + a.z_mm * b.z_mm;
}
/// Positive: b is counter-clockwise of a.
constexpr double cross(Point a, Point b) {
    return a.z_mm * b.x_radius_mm - a.x_radius_mm * b.z_mm;
}
/// Plain root: coordinates of a lathe neither overflow nor vanish when squared, and it is called for every
/// move.
inline double norm(Point a) {
    return std::sqrt(dot(a, a));
}
double distance(Point a, Point b);
/// Angle in the view, counter-clockwise from plus Z.
double angle_of(Point direction);
bool same(Point a, Point b);

struct Arc {
    Point centre;
    double sweep = 0;
    std::optional<Trouble> trouble;
    double found = 0, wanted = 0;
};
/// Centre given: an end point that is the start is a full circle.
Arc arc_by_centre(Point from, Point to, Point centre, bool clockwise, double tolerance_mm);
/// Radius given: positive at most half a circle, negative at least half.
Arc arc_by_radius(Point from, Point to, double radius_mm, bool clockwise, double tolerance_mm);
/// Sweep from one point to another about a centre; a full turn when they are the same.
double sweep_between(Point from, Point to, Point centre, bool clockwise);

double radius_of(const Segment& arc);
/// The point at a share `t` (0..1) of the way.
Point point_at(const Segment& segment, double t);
/// Unit direction of travel at a share of the way.
Point direction_at(const Segment& segment, double t);
Segment part_of(const Segment& segment, double from, double to);
Segment reversed(Segment segment);
Segment shifted(Segment segment, Point by);
/// X and Z change places: facing cycles are turning cycles seen this way.
Segment swapped(Segment segment);
Point swapped(Point point);
Segment line(Point from, Point to);
/// The segment moved sideways by a distance to the left of travel; nullopt when an arc vanishes.
std::optional<Segment> beside(const Segment& segment, double left);
/// The point at a distance to the left of travel.
Point beside_point(const Segment& segment, double t, double left);

/// Which move (index in `moves`) each piece of a nose's path belongs to; what joins two of them belongs to
/// the first.
std::vector<std::size_t> nose_owners(const NosePath& path, std::span<const NoseMove> moves);

struct Extent {
    double x_min, x_max, z_min, z_max;
};
Extent extent_of(const Segment& segment);
/// Shares of the way at which the segment is at this X, rising; an arc that only touches counts once.
std::vector<double> shares_at_x(const Segment& segment, double x);
/// Where two segments meet: share on the first, share on the second.
struct Meeting {
    double on_first, on_second;
};
std::vector<Meeting> meetings(const Segment& first, const Segment& second);
/// Shares at which X or Z turns back inside an arc.
std::vector<double> turning_shares(const Segment& segment, bool in_x);

} // namespace turnwright::motion
