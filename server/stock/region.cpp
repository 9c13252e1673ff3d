// Areas of the half-plane by integer polygon clipping, which stays here.
#include "stock/stock.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <polyclipping/clipper.hpp>

namespace turnwright::stock {

namespace clip = ClipperLib;

namespace {

GridPoint on_grid(Point point) {
    return {std::llround(point.z_mm * grid_per_mm), std::llround(point.x_radius_mm * grid_per_mm)};
}
Point off_grid(GridPoint point) {
    return {static_cast<double>(point.x) / grid_per_mm, static_cast<double>(point.z) / grid_per_mm};
}

clip::Paths paths_of(const Region& region) {
    clip::Paths paths(region.loops.size());
    for (std::size_t i = 0; i < paths.size(); ++i) {
        paths[i].reserve(region.loops[i].size());
        for (GridPoint p : region.loops[i]) paths[i].emplace_back(p.z, p.x);
    }
    return paths;
}

Region region_of(const clip::Paths& paths) {
    Region region;
    region.loops.reserve(paths.size());
    for (const clip::Path& path : paths) {
        if (path.size() < 3) continue;
        Loop& loop = region.loops.emplace_back();
        loop.reserve(path.size());
        for (const clip::IntPoint& p : path) loop.push_back({p.X, p.Y});
    }
    return region;
}

Region combine(const Region& a, const Region& b, clip::ClipType type) {
    clip::Clipper clipper;
    clipper.AddPaths(paths_of(a), clip::ptSubject, true);
    clipper.AddPaths(paths_of(b), clip::ptClip, true);
    clip::Paths out;
    clipper.Execute(type, out, clip::pftNonZero, clip::pftNonZero);
    return region_of(out);
}

/// Sum over the edges of twice the area, by z dx, about the first point so that no digits are lost.
double twice_area(const Loop& loop) {
    double sum = 0;
    for (std::size_t i = 1; i + 1 < loop.size(); ++i) {
        auto z1 = static_cast<double>(loop[i].z - loop[0].z), x1 = static_cast<double>(loop[i].x - loop[0].x);
        auto z2 = static_cast<double>(loop[i + 1].z - loop[0].z),
             x2 = static_cast<double>(loop[i + 1].x - loop[0].x);
        sum += z1 * x2 - z2 * x1;
    }
    return sum;
}

double cross(GridPoint o, GridPoint a, GridPoint b) {
    return static_cast<double>(a.z - o.z) * static_cast<double>(b.x - o.x) -
           static_cast<double>(a.x - o.x) * static_cast<double>(b.z - o.z);
}

bool boxes_meet(const Box& a, const Box& b) {
    return a.z_min < b.z_max && b.z_min < a.z_max && a.x_min < b.x_max && b.x_min < a.x_max;
}

} // namespace

double Region::area_mm2() const {
    double sum = 0;
    for (const Loop& loop : loops) sum += twice_area(loop);
    return sum / 2 / grid_per_mm / grid_per_mm;
}

// Pappus: each triangle's area times the way of its centroid about the centreline.
double Region::volume_mm3() const {
    double sum = 0;
    for (const Loop& loop : loops) {
        for (std::size_t i = 1; i + 1 < loop.size(); ++i) {
            double twice = cross(loop[0], loop[i], loop[i + 1]);
            double thrice_x = static_cast<double>(loop[0].x + loop[i].x + loop[i + 1].x);
            sum += twice * thrice_x;
        }
    }
    return 2 * std::numbers::pi * sum / 6 / grid_per_mm / grid_per_mm / grid_per_mm;
}

std::vector<std::vector<Point>> Region::outlines() const {
    std::vector<std::vector<Point>> out;
    for (const Loop& loop : loops) {
        std::vector<Point>& points = out.emplace_back();
        for (GridPoint p : loop) points.push_back(off_grid(p));
    }
    return out;
}

Box Region::box() const {
    if (loops.empty()) return {};
    GridPoint least = loops.front().front(), most = least;
    for (const Loop& loop : loops)
        for (GridPoint p : loop) {
            least = {std::min(least.z, p.z), std::min(least.x, p.x)};
            most = {std::max(most.z, p.z), std::max(most.x, p.x)};
        }
    Point a = off_grid(least), b = off_grid(most);
    return {a.z_mm, b.z_mm, a.x_radius_mm, b.x_radius_mm};
}

Region rectangle(double z_min, double z_max, double x_min, double x_max) {
    if (z_max <= z_min || x_max <= x_min) return {};
    return {{{on_grid({x_min, z_min}), on_grid({x_min, z_max}), on_grid({x_max, z_max}),
              on_grid({x_max, z_min})}}};
}

Region polygon(std::span<const Point> outline) {
    Loop loop;
    for (Point point : outline) loop.push_back(on_grid(point));
    if (loop.size() < 3) return {};
    if (twice_area(loop) < 0) std::reverse(loop.begin(), loop.end());
    return combine({{std::move(loop)}}, {}, clip::ctUnion);
}

// Andrew's monotone chain.
Region hull(std::span<const Point> points) {
    Loop sorted;
    sorted.reserve(points.size());
    for (Point point : points) sorted.push_back(on_grid(point));
    std::sort(sorted.begin(), sorted.end(),
              [](GridPoint a, GridPoint b) { return a.z < b.z || (a.z == b.z && a.x < b.x); });
    sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
    if (sorted.size() < 3) return {};
    Loop loop(2 * sorted.size());
    std::size_t size = 0;
    auto add = [&](GridPoint p, std::size_t least) {
        while (size >= least && cross(loop[size - 2], loop[size - 1], p) <= 0) --size;
        loop[size++] = p;
    };
    for (GridPoint p : sorted) add(p, 2);
    std::size_t lower = size + 1;
    for (std::size_t i = sorted.size() - 1; i-- > 0;) add(sorted[i], lower);
    loop.resize(size - 1);
    if (loop.size() < 3) return {};
    return {{std::move(loop)}};
}

Region intersect(const Region& a, const Region& b) {
    if (a.empty() || b.empty() || !boxes_meet(a.box(), b.box())) return {};
    return combine(a, b, clip::ctIntersection);
}

Region subtract(const Region& a, const Region& b) {
    if (a.empty() || b.empty()) return a;
    return combine(a, b, clip::ctDifference);
}

Region unite(const Region& a, const Region& b) {
    return combine(a, b, clip::ctUnion);
}

Region part_beyond(const Region& area, Point through, Point along, double beyond) {
    double length = std::hypot(along.z_mm, along.x_radius_mm);
    if (area.empty() || length == 0) return {};
    Point ahead{along.x_radius_mm / length, along.z_mm / length};
    Point left{ahead.z_mm, -ahead.x_radius_mm};
    auto at = [&](double a, double l) {
        return Point{through.x_radius_mm + a * ahead.x_radius_mm + l * left.x_radius_mm,
                     through.z_mm + a * ahead.z_mm + l * left.z_mm};
    };
    const double far = 3 * reach_mm;
    Point corners[] = {at(-far, beyond), at(far, beyond), at(far, far), at(-far, far)};
    return intersect(area, hull(corners));
}

bool is_wider(const Region& area, double width_mm) {
    if (area.empty()) return false;
    Box box = area.box();
    if (std::min(box.z_max - box.z_min, box.x_max - box.x_min) <= width_mm) return false;
    return !shrink(area, width_mm / 2).empty();
}

Region shrink(const Region& area, double by_mm) {
    if (area.empty()) return {};
    clip::ClipperOffset offset;
    offset.AddPaths(paths_of(area), clip::jtMiter, clip::etClosedPolygon);
    clip::Paths out;
    offset.Execute(out, -by_mm * grid_per_mm);
    return region_of(out);
}

namespace {

double distance_to_edge(Point p, Point a, Point b) {
    using motion::operator-, motion::operator+, motion::operator*;
    const Point along = b - a;
    const double square = motion::dot(along, along);
    const double share = square > 0 ? std::clamp(motion::dot(p - a, along) / square, 0.0, 1.0) : 0;
    return motion::distance(p, a + along * share);
}

} // namespace

double distance_mm(const Region& area, const Box& box) {
    auto beyond = [](double at, double least, double most) { return std::max({least - at, at - most, 0.0}); };
    double least = 1e18;
    for (const Loop& loop : area.loops)
        for (std::size_t i = 0; i < loop.size(); ++i) {
            const Point a = off_grid(loop[i]), b = off_grid(loop[(i + 1) % loop.size()]);
            least = std::min(least, std::hypot(beyond(a.z_mm, box.z_min, box.z_max),
                                               beyond(a.x_radius_mm, box.x_min, box.x_max)));
            for (double z : {box.z_min, box.z_max})
                for (double x : {box.x_min, box.x_max})
                    least = std::min(least, distance_to_edge({x, z}, a, b));
        }
    if (least > 0 && !intersect(area, rectangle(box.z_min, box.z_max, box.x_min, box.x_max)).empty())
        return 0;
    return least;
}

std::vector<Region> pieces(const Region& area) {
    std::vector<Region> out;
    if (area.empty()) return out;
    clip::Clipper clipper;
    clipper.AddPaths(paths_of(area), clip::ptSubject, true);
    clip::PolyTree tree;
    clipper.Execute(clip::ctUnion, tree, clip::pftNonZero, clip::pftNonZero);
    for (clip::PolyNode* node = tree.GetFirst(); node; node = node->GetNext()) {
        if (node->IsHole()) continue;
        clip::Paths paths{node->Contour};
        for (const clip::PolyNode* hole : node->Childs) paths.push_back(hole->Contour);
        out.push_back(region_of(paths));
    }
    return out;
}

} // namespace turnwright::stock
