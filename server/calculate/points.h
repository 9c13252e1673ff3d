// The points and circles of a question, and what touches them.
#pragma once

#include "calculate/calculate.h"

namespace turnwright::calculate {

/// A D begins a point, and so does a Z that no D stands in front of; what it does not say stays as before.
struct PointGiven {
    Point at;
    std::optional<double> radius_mm, chamfer_mm; ///< R and C behind it
};
struct PointsGiven {
    std::vector<PointGiven> points;
    std::string why_not;
};
PointsGiven points_of(const Question& question);

/// A point is a circle of no radius.
struct Circle {
    Point centre;
    double radius_mm = 0;
};
Circle circle_of(const PointGiven& point);

/// Where a line touches two circles, from the first to the second.
struct Touching {
    Point on_first, on_second;
};
/// On the side away from the centreline, or toward it (`inner`); `crosses`: it goes over to the other side of
/// the second. nullopt: one lies inside the other or they overlap.
std::optional<Touching> tangent_line(const Circle& first, const Circle& second, bool crosses, bool inner);
struct Blend {
    Touching touching;
    Point centre;
};
/// An arc that touches two circles from outside, or `around` both. nullopt: none of that radius does.
std::optional<Blend> blend_arc(const Circle& first, const Circle& second, double radius_mm, bool around,
                               bool inner);

/// The way along the first circle to where it is left, when the tool stands on it, and else a line there.
Block lead_on(const Circle& first, Point to, bool clockwise, const Here& here);

} // namespace turnwright::calculate
