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

/// Looks for pieces that meet, in a tree of what surrounds pieces that follow each other: most of a contour
/// is nowhere near the piece asked about.
class Crossings {
public:
    explicit Crossings(std::span<const Segment> contour) : contour_(contour) {
        while (leaves_ < contour.size()) leaves_ *= 2;
        tree_.resize(2 * leaves_, nowhere);
        for (std::size_t i = 0; i < contour.size(); ++i) tree_[leaves_ + i] = extent_of(contour[i]);
        for (std::size_t node = leaves_; --node > 0;)
            tree_[node] = around(tree_[2 * node], tree_[2 * node + 1]);
    }

    std::optional<Point> first() {
        for (std::size_t piece = 0; piece + 1 < contour_.size() && looks_ < most_looks; ++piece)
            if (auto found = with_later(piece, 1, 0, leaves_)) return found;
        return std::nullopt;
    }

private:
    static constexpr Extent nowhere{1e300, -1e300, 1e300, -1e300};
    /// So many pairs that lie in each other's boxes are no contour of a part; no more of them are compared.
    static constexpr std::size_t most_looks = 10'000'000;

    static Extent around(const Extent& a, const Extent& b) {
        return {std::min(a.x_min, b.x_min), std::max(a.x_max, b.x_max), std::min(a.z_min, b.z_min),
                std::max(a.z_max, b.z_max)};
    }

    /// The first piece behind `piece` that meets it, among those from `begin` to before `end` under a node.
    std::optional<Point> with_later(std::size_t piece, std::size_t node, std::size_t begin, std::size_t end) {
        if (end <= piece + 1 || ++looks_ > most_looks || apart(tree_[leaves_ + piece], tree_[node]))
            return std::nullopt;
        if (end - begin > 1) {
            const std::size_t middle = (begin + end) / 2;
            if (auto found = with_later(piece, 2 * node, begin, middle)) return found;
            return with_later(piece, 2 * node + 1, middle, end);
        }
        const Segment &first = contour_[piece], &second = contour_[begin];
        for (const Meeting& meeting : meetings(first, second))
            if (begin != piece + 1 || !is_shared_end(first, second, meeting))
                return point_at(first, meeting.on_first);
        return std::nullopt;
    }

    std::span<const Segment> contour_;
    std::size_t leaves_ = 1, looks_ = 0;
    std::vector<Extent> tree_; ///< Node n stands over 2n and 2n + 1
};

} // namespace

ContourShape shape_of(std::span<const Segment> contour) {
    ContourShape shape;
    shape.monotonic_x = course_of(contour, true).monotonic;
    shape.monotonic_z = course_of(contour, false).monotonic;
    // What goes one way only in one axis cannot come back to where it was.
    if (shape.monotonic_x || shape.monotonic_z) return shape;
    if (const auto crossing = Crossings(contour).first()) {
        shape.crosses_itself = true;
        shape.crossing = *crossing;
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
