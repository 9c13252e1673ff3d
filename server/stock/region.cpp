// Areas of the half-plane by integer polygon clipping, which stays here.
#include "stock/stock.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
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

std::size_t corners_of(const Region& area) {
    std::size_t count = 0;
    for (const Loop& loop : area.loops) count += loop.size();
    return count;
}

/// From here on it pays to look for the few corners of an area that are near to what it is cut with.
constexpr std::size_t corners_worth_a_window = 48;

/// The part of a large area around a small one. A turned profile of thousands of corners is met by a tool in
/// one stretch of its outline: that stretch, closed round the window's rim, is clipped in the place of the
/// whole and then put back. Where the outline passes the window in another way nothing is said.
class Window {
public:
    Window(const Region& area, const Region& around) : area_(area) {
        box(around);
        std::int64_t turns = 0; // Of the loops that do not come near, about the window's middle
        for (std::size_t i = 0; i < area.loops.size() && runs_ <= 1; ++i)
            if (!walk(i)) turns += winding(area.loops[i]);
        if (runs_ == 0) {
            is_outside_ = turns == 0 && !touched_;
            return;
        }
        if (runs_ != 1 || touched_) return;
        const bool is_hole = twice_area(area.loops[loop_]) < 0;
        is_part_ = turns == (is_hole ? 1 : 0) && close();
    }
    bool is_outside() const { return is_outside_; } ///< They do not meet
    bool is_part() const { return is_part_; }
    const Region& part() const { return part_; }

    /// The whole area with the stretch replaced by what is left of it. nullopt: it cannot be found again.
    std::optional<Region> put_back(const Region& left) const {
        Region whole;
        bool found = false;
        for (const Loop& loop : left.loops) {
            const auto in = std::find(loop.begin(), loop.end(), entry_);
            if (in == loop.end()) {
                if (std::find(loop.begin(), loop.end(), exit_) != loop.end()) return std::nullopt;
                whole.loops.push_back(loop);
                continue;
            }
            Loop turned(in, loop.end());
            turned.insert(turned.end(), loop.begin(), in);
            const auto out = std::find(turned.begin() + 1, turned.end(), exit_);
            if (out == turned.end() || found) return std::nullopt;
            found = true;
            Loop joined = outside_; // From behind the exit to before the entry
            joined.insert(joined.end(), turned.begin(), out + 1);
            drop_straight(joined, outside_.size(), joined.size() - 1);
            if (joined.size() < 3) return std::nullopt;
            whole.loops.insert(whole.loops.begin(), std::move(joined));
        }
        if (!found) return std::nullopt;
        for (std::size_t i = 0; i < area_.loops.size(); ++i)
            if (i != loop_) whole.loops.push_back(area_.loops[i]);
        return whole;
    }

private:
    void box(const Region& around) {
        constexpr std::int64_t margin = 5000; // 0.05 mm: nothing that is cut touches the rim
        least_ = {std::numeric_limits<std::int64_t>::max(), std::numeric_limits<std::int64_t>::max()};
        most_ = {std::numeric_limits<std::int64_t>::min(), std::numeric_limits<std::int64_t>::min()};
        for (const Loop& loop : around.loops)
            for (const GridPoint p : loop) {
                least_ = {std::min(least_.z, p.z), std::min(least_.x, p.x)};
                most_ = {std::max(most_.z, p.z), std::max(most_.x, p.x)};
            }
        least_ = {least_.z - margin, least_.x - margin};
        most_ = {most_.z + margin, most_.x + margin};
    }
    bool holds(GridPoint p) const {
        return p.z > least_.z && p.z < most_.z && p.x > least_.x && p.x < most_.x;
    }
    bool passes_by(GridPoint a, GridPoint b) const {
        return std::max(a.z, b.z) < least_.z || std::min(a.z, b.z) > most_.z ||
               std::max(a.x, b.x) < least_.x || std::min(a.x, b.x) > most_.x;
    }

    /// Shares of an edge between which it lies in the window; false: nowhere.
    bool clip(GridPoint a, GridPoint b, double& from, double& to) const {
        from = 0, to = 1;
        const auto side = [&](double start, double way, double least, double most) {
            if (way == 0) return start >= least && start <= most;
            double first = (least - start) / way, last = (most - start) / way;
            if (first > last) std::swap(first, last);
            from = std::max(from, first);
            to = std::min(to, last);
            return from <= to;
        };
        const auto number = [](std::int64_t value) { return static_cast<double>(value); };
        return side(number(a.z), number(b.z - a.z), number(least_.z), number(most_.z)) &&
               side(number(a.x), number(b.x - a.x), number(least_.x), number(most_.x));
    }

    /// Looks where a loop comes into the window and leaves it. False: it does not come near.
    bool walk(std::size_t index) {
        const Loop& loop = area_.loops[index];
        const std::size_t before = runs_;
        bool near = false;
        for (std::size_t i = 0; i < loop.size(); ++i) {
            const GridPoint a = loop[i], b = loop[i + 1 < loop.size() ? i + 1 : 0];
            if (passes_by(a, b)) continue;
            double from = 0, to = 1;
            if (!clip(a, b, from, to)) continue;
            near = true;
            const bool comes_in = !holds(a), goes_out = !holds(b);
            // An edge that only touches the rim or runs along it is left to the plain way.
            if (comes_in && goes_out && (to - from) * std::hypot(b.z - a.z, b.x - a.x) < 10) touched_ = true;
            const auto at = [&](double share) {
                return GridPoint{a.z + std::llround(share * static_cast<double>(b.z - a.z)),
                                 a.x + std::llround(share * static_cast<double>(b.x - a.x))};
            };
            if (comes_in) {
                ++runs_;
                loop_ = index;
                enters_ = i;
                entry_ = on_rim(at(from));
            }
            if (goes_out) {
                ++exits_;
                leaves_ = i;
                exit_ = on_rim(at(to));
            }
        }
        if (near && runs_ == before) touched_ = true; // All of it inside
        return near;
    }

    GridPoint on_rim(GridPoint p) const {
        return {std::clamp(p.z, least_.z, most_.z), std::clamp(p.x, least_.x, most_.x)};
    }

    std::int64_t winding(const Loop& loop) const {
        const auto z = static_cast<double>(least_.z + most_.z) / 2,
                   x = static_cast<double>(least_.x + most_.x) / 2;
        std::int64_t turns = 0;
        for (std::size_t i = 0; i < loop.size(); ++i) {
            const GridPoint a = loop[i], b = loop[i + 1 < loop.size() ? i + 1 : 0];
            const auto ax = static_cast<double>(a.x), bx = static_cast<double>(b.x);
            if ((ax <= x) == (bx <= x)) continue;
            const double at =
                static_cast<double>(a.z) + (x - ax) / (bx - ax) * static_cast<double>(b.z - a.z);
            if (at > z) turns += bx > ax ? 1 : -1;
        }
        return turns;
    }

    /// How far round the rim from its lower left corner, counter-clockwise; negative: not on it.
    std::int64_t around(GridPoint p) const {
        const std::int64_t wide = most_.z - least_.z, high = most_.x - least_.x;
        if (p.x == least_.x) return p.z - least_.z;
        if (p.z == most_.z) return wide + p.x - least_.x;
        if (p.x == most_.x) return wide + high + most_.z - p.z;
        if (p.z == least_.z) return 2 * wide + high + most_.x - p.x;
        return -1;
    }

    /// The stretch from entry to exit, and back along the rim with the area on the left.
    bool close() {
        if (exits_ != 1 || entry_ == exit_) return false;
        const Loop& loop = area_.loops[loop_];
        Loop closed{entry_};
        for (std::size_t i = enters_; i != leaves_; i = i + 1 < loop.size() ? i + 1 : 0)
            closed.push_back(loop[i + 1 < loop.size() ? i + 1 : 0]);
        closed.push_back(exit_);
        const std::int64_t wide = most_.z - least_.z, high = most_.x - least_.x, whole = 2 * (wide + high);
        const std::int64_t start = around(exit_);
        std::int64_t end = around(entry_);
        if (start < 0 || end < 0) return false;
        if (end <= start) end += whole;
        const GridPoint corners[] = {least_, {most_.z, least_.x}, most_, {least_.z, most_.x}};
        const std::int64_t places[] = {0, wide, wide + high, 2 * wide + high};
        for (std::int64_t turn = 0; turn <= whole; turn += whole)
            for (std::size_t i = 0; i < 4; ++i)
                if (places[i] + turn > start && places[i] + turn < end) closed.push_back(corners[i]);
        part_.loops = {std::move(closed)};
        for (std::size_t i = leaves_ + 1 < loop.size() ? leaves_ + 1 : 0;;
             i = i + 1 < loop.size() ? i + 1 : 0) {
            outside_.push_back(loop[i]);
            if (i == enters_ || outside_.size() > loop.size()) break;
        }
        return outside_.size() <= loop.size();
    }

    /// Entry and exit stand in the middle of an edge where nothing was cut beside them.
    static void drop_straight(Loop& loop, std::size_t entry, std::size_t exit) {
        for (const std::size_t at : {exit, entry}) {
            const GridPoint p = loop[at], before = loop[at > 0 ? at - 1 : loop.size() - 1],
                            behind = loop[at + 1 < loop.size() ? at + 1 : 0];
            const double way = std::hypot(static_cast<double>(behind.z - before.z),
                                          static_cast<double>(behind.x - before.x));
            if (way > 0 && std::abs(cross(before, behind, p)) <= 2 * way)
                loop.erase(loop.begin() + static_cast<std::ptrdiff_t>(at));
        }
    }

    const Region& area_;
    GridPoint least_, most_, entry_, exit_;
    std::size_t runs_ = 0, exits_ = 0, loop_ = 0, enters_ = 0, leaves_ = 0;
    bool touched_ = false, is_outside_ = false, is_part_ = false;
    Region part_;
    Loop outside_;
};

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
    if (corners_of(a) >= corners_worth_a_window) {
        const Window window(a, b);
        if (window.is_outside()) return {};
        if (window.is_part()) return combine(window.part(), b, clip::ctIntersection);
    }
    return combine(a, b, clip::ctIntersection);
}

Region subtract(const Region& a, const Region& b) {
    if (a.empty() || b.empty()) return a;
    if (corners_of(a) >= corners_worth_a_window) {
        const Window window(a, b);
        if (window.is_outside()) return a;
        if (window.is_part())
            if (auto left = window.put_back(combine(window.part(), b, clip::ctDifference)))
                return std::move(*left);
    }
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
