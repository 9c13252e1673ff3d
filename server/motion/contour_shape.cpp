// What a contour is like: rising and falling, and whether it crosses itself.
#include "motion/cycles.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {
namespace {

/// Follows one coordinate; false once it has gone both ways.
struct Course {
    int direction = 0;
    bool monotonic = true;
    void step(double distance) {
        if (std::abs(distance) < same_point_mm) return;
        int sign = distance < 0 ? -1 : 1;
        if (direction && sign != direction) monotonic = false;
        direction = sign;
    }
};

Course course_of(std::span<const Segment> contour, bool in_x) {
    Course course;
    for (const Segment& piece : contour) {
        std::vector<double> shares = turning_shares(piece, in_x);
        shares.push_back(1);
        Point last = piece.from;
        for (double share : shares) {
            Point next = point_at(piece, share);
            course.step(in_x ? next.x_radius_mm - last.x_radius_mm : next.z_mm - last.z_mm);
            last = next;
        }
    }
    return course;
}

bool apart(const Extent& a, const Extent& b) {
    return a.x_max < b.x_min - same_point_mm || b.x_max < a.x_min - same_point_mm ||
           a.z_max < b.z_min - same_point_mm || b.z_max < a.z_min - same_point_mm;
}

/// Neighbours share a point; that alone is no crossing.
bool is_shared_end(const Segment& first, const Segment& second, const Meeting& meeting) {
    return same(point_at(first, meeting.on_first), first.to) &&
           same(point_at(second, meeting.on_second), second.from);
}

} // namespace

ContourShape shape_of(std::span<const Segment> contour) {
    ContourShape shape;
    shape.monotonic_x = course_of(contour, true).monotonic;
    shape.monotonic_z = course_of(contour, false).monotonic;
    // What goes one way only in one axis cannot come back to where it was.
    if (shape.monotonic_x || shape.monotonic_z) return shape;
    std::vector<Extent> extents;
    for (const Segment& piece : contour) extents.push_back(extent_of(piece));
    for (std::size_t i = 0; i < contour.size(); ++i) {
        for (std::size_t j = i + 1; j < contour.size(); ++j) {
            if (apart(extents[i], extents[j])) continue;
            for (const Meeting& meeting : meetings(contour[i], contour[j])) {
                if (j == i + 1 && is_shared_end(contour[i], contour[j], meeting)) continue;
                shape.crosses_itself = true;
                shape.crossing = point_at(contour[i], meeting.on_first);
                return shape;
            }
        }
    }
    return shape;
}

Left left_by(Point allowance, std::span<const Segment> contour, bool tool_right) {
    std::optional<Left> left;
    auto look = [&](const Segment& piece, double share) {
        // Square to the travel, on the tool's side.
        Point along = direction_at(piece, share);
        Point outward{along.z_mm, -along.x_radius_mm};
        double here = dot(allowance, outward) * (tool_right ? -1 : 1);
        if (!left) left = Left{here, here};
        left->least = std::min(left->least, here);
        left->most = std::max(left->most, here);
    };
    // On an arc it is least and most at the ends or where the arc runs along or square to the allowance:
    // steps of a degree come within a ten-thousandth of that.
    for (const Segment& piece : contour) {
        if (piece.length_mm() < same_point_mm) continue;
        int steps = piece.is_arc ? 1 + static_cast<int>(std::abs(piece.sweep) * 180 / pi) : 1;
        for (int i = 0; i <= steps; ++i) look(piece, static_cast<double>(i) / steps);
    }
    return left.value_or(Left{});
}

} // namespace turnwright::motion
