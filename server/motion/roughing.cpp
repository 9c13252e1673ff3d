// Roughing down to a contour in level passes, repeating a contour, and finishing it.
//
// All of it happens in a frame where passes step toward smaller X and cut toward smaller Z. The allowances
// shift the contour, and the start with it: the tool first backs off by them, then steps in by the depth of
// cut from there (common practice, no source; controls differ in details).
#include "motion/cycles.h"
#include "motion/work.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {
namespace {

using Kind = SegmentKind;
using Role = SegmentRole;

constexpr double most_piece_looks = 5e6;

/// A stretch in Z over which the contour stays at or below a level.
struct Span {
    double from_z, to_z;
    bool from_start = false;
    double highest_before = 0; ///< Highest contour between the span before and this one
};

/// Whether the whole piece lies clear above or clear below a level. Asked for every piece at every pass.
bool is_clear_of(const Segment& piece, double level) {
    if (piece.is_arc) return false;
    const auto [low, high] = std::minmax(piece.from.x_radius_mm, piece.to.x_radius_mm);
    return high < level - 2 * same_point_mm || low > level + 2 * same_point_mm;
}

std::vector<Span> spans_below(std::span<const Segment> contour, double level) {
    std::vector<Span> spans;
    bool open = false;
    double highest = -1e300;
    const auto take = [&](const Segment& part) {
        const bool below = point_at(part, 0.5).x_radius_mm <= level + same_point_mm;
        if (!below) {
            highest = std::max(highest, extent_of(part).x_max);
            open = false;
            return;
        }
        if (open) {
            spans.back().to_z = part.to.z_mm;
            return;
        }
        const bool from_start = spans.empty() && highest < -1e299;
        spans.push_back({part.from.z_mm, part.to.z_mm, from_start, highest});
        highest = -1e300;
        open = true;
    };
    for (const Segment& piece : contour) {
        if (is_clear_of(piece, level)) {
            take(piece);
            continue;
        }
        std::vector<double> splits{0, 1};
        for (double share : shares_at_x(piece, level)) splits.push_back(share);
        std::sort(splits.begin(), splits.end());
        for (std::size_t i = 1; i < splits.size(); ++i)
            if (splits[i] - splits[i - 1] >= 1e-12) take(part_of(piece, splits[i - 1], splits[i]));
    }
    return spans;
}

struct Levels {
    const Roughing& cycle;
    Unrolled& out;
    double start_x, start_z;
    Kind infeed;

    void cut_from_start(double level, double to_z) {
        out.add(infeed, Role::cycle_infeed, {level, start_z}, cycle.feed);
        out.add(Kind::feed, Role::cycle_pass, {level, to_z}, cycle.feed);
    }

    /// Into a pocket: over its edge, down to the last level by rapid, then by feed.
    void cut_pocket(double level, double last_level, const Span& span) {
        double clear = std::max({span.highest_before, last_level, out.at.x_radius_mm}) + cycle.retract_mm;
        out.add(Kind::rapid, Role::cycle_return, {clear, out.at.z_mm});
        out.add(Kind::rapid, Role::cycle_return, {clear, span.from_z});
        out.add(Kind::rapid, Role::cycle_infeed,
                {std::min(clear, last_level + cycle.retract_mm), span.from_z});
        out.add(Kind::feed, Role::cycle_infeed, {level, span.from_z}, cycle.feed);
        out.add(Kind::feed, Role::cycle_pass, {level, span.to_z}, cycle.feed);
    }

    void retract() {
        double e = cycle.retract_mm;
        out.add(Kind::rapid, Role::cycle_retract, out.at + Point{e, e});
    }

    void go_back(bool from_pocket) {
        // The way back along Z would run through the wall between.
        if (from_pocket) out.add(Kind::rapid, Role::cycle_return, {start_x, out.at.z_mm});
        out.add(Kind::rapid, Role::cycle_return, {out.at.x_radius_mm, start_z});
    }
};

/// The start, contour and allowances of a cycle seen in the frame.
Roughing in_frame(const Roughing& cycle, const Frame& frame) {
    Roughing seen = cycle;
    seen.facing = false;
    seen.start = frame.into(cycle.start);
    seen.approach = frame.into(cycle.approach);
    for (Segment& piece : seen.contour) piece = frame.into(piece);
    seen.allowance = frame.into(cycle.allowance);
    return seen;
}

double sign_or(double value, double otherwise) {
    return std::abs(value) < same_point_mm ? otherwise : value < 0 ? -1 : 1;
}

Frame frame_of(const Roughing& cycle) {
    Frame frame;
    frame.swap = cycle.facing;
    Point start = frame.into(cycle.start), first = frame.into(cycle.approach.to);
    Point last = cycle.contour.empty() ? first : frame.into(cycle.contour.back().to);
    // Steps go from the start toward the contour's first point; where they are one, away from its last point.
    double step =
        sign_or(first.x_radius_mm - start.x_radius_mm, sign_or(first.x_radius_mm - last.x_radius_mm, -1));
    double cut = sign_or(last.z_mm - start.z_mm, -1);
    frame.x_sign = -step;
    frame.z_sign = -cut;
    return frame;
}

void follow(Unrolled& out, std::span<const Segment> contour, Point by, Role role, const Feed* feed) {
    for (const Segment& piece : contour) {
        Segment moved = shifted(piece, by);
        moved.role = role;
        if (feed) moved.feed = *feed;
        if (feed) moved.kind = Kind::feed;
        out.segments.push_back(moved);
        out.at = moved.to;
    }
}

/// A contour that leads away from the start: a bore started outside, or an outside started below it. One that
/// may fall back on its way is free to.
bool starts_on_wrong_side(const Roughing& cycle, const Roughing& seen, Unrolled& out) {
    if (seen.pockets || seen.contour.empty()) return false;
    if (seen.contour.back().to.x_radius_mm > seen.approach.to.x_radius_mm - same_point_mm) return false;
    const Point last = cycle.contour.back().to;
    if (cycle.facing)
        out.trouble(Trouble::start_within_contour, cycle.start.z_mm, last.z_mm, 'Z');
    else
        out.trouble(Trouble::start_within_contour, cycle.start.x_radius_mm, last.x_radius_mm, 'X');
    return true;
}

/// It begins far within what the contour goes out to.
void check_start(const Roughing& cycle, const Roughing& seen, Unrolled& out) {
    constexpr double most_beyond_mm = 3; ///< A contour goes on to clear the bar
    if (seen.pockets || seen.contour.empty()) return;
    const double end = seen.contour.back().to.x_radius_mm;
    if (end - seen.start.x_radius_mm < most_beyond_mm) return;
    const Point last = cycle.contour.back().to;
    if (cycle.facing)
        out.trouble(Trouble::start_within_contour, cycle.start.z_mm, last.z_mm, 'Z');
    else
        out.trouble(Trouble::start_within_contour, cycle.start.x_radius_mm, last.x_radius_mm, 'X');
}

/// In the frame both allowances must keep the tool on the outer side of the contour; told as written.
void check_allowance(const Roughing& cycle, const Roughing& seen, Unrolled& out) {
    const bool wrong_step = seen.allowance.x_radius_mm < -same_point_mm;
    const bool wrong_cut = seen.allowance.z_mm < -same_point_mm;
    const auto tell = [&](double found, char letter) {
        out.trouble(Trouble::allowance_sign, found, -found, letter);
    };
    if (cycle.facing ? wrong_cut : wrong_step) tell(cycle.allowance.x_radius_mm, 'U');
    if (cycle.facing ? wrong_step : wrong_cut) tell(cycle.allowance.z_mm, 'W');
}

void cut_levels(const Roughing& seen, Unrolled& out) {
    double first_x = seen.approach.to.x_radius_mm;
    double lowest = first_x;
    if (seen.pockets)
        for (const Segment& piece : seen.contour) lowest = std::min(lowest, extent_of(piece).x_min);
    double way = seen.start.x_radius_mm - lowest;
    // Every pass looks along the whole contour; the work is bounded, not the passes alone.
    double bound =
        std::min<double>(most_passes, most_piece_looks / static_cast<double>(seen.contour.size() + 1));
    if (!(way / seen.depth_mm <= bound)) {
        out.trouble(Trouble::too_many_passes, way / seen.depth_mm, bound);
        return;
    }
    Levels levels{seen, out, seen.start.x_radius_mm, seen.start.z_mm, seen.approach.kind};
    double last_level = seen.start.x_radius_mm;
    for (int pass = 1;; ++pass) {
        double level = seen.start.x_radius_mm - pass * seen.depth_mm;
        if (level <= lowest + same_point_mm) break;
        out.cut_short = out.segments.size() > most_segments;
        if (out.cut_short) break;
        bool in_pocket = false;
        for (const Span& span : spans_below(seen.contour, level)) {
            in_pocket = !span.from_start;
            if (span.from_start && level > first_x + same_point_mm)
                levels.cut_from_start(level, span.to_z);
            else if (seen.pockets)
                levels.cut_pocket(level, last_level, span);
            else
                continue;
            ++out.passes;
            levels.retract();
        }
        levels.go_back(in_pocket && seen.pockets);
        last_level = level;
    }
    constexpr std::size_t looks_as_a_move = 16;
    add_cycle_work(static_cast<std::size_t>(out.passes) * seen.contour.size() / looks_as_a_move);
}

} // namespace

bool tool_is_right(const Roughing& cycle) {
    // In the frame it always is; each mirroring changes sides.
    Frame frame = frame_of(cycle);
    return frame.swap == (frame.x_sign * frame.z_sign < 0);
}

Unrolled rough(const Roughing& cycle) {
    Frame frame = frame_of(cycle);
    Roughing seen = in_frame(cycle, frame);
    Unrolled out;
    out.at = seen.start;
    if (starts_on_wrong_side(cycle, seen, out)) return out;
    check_start(cycle, seen, out);
    check_allowance(cycle, seen, out);
    if (seen.depth_mm <= 0) {
        out.trouble(Trouble::zero_depth, seen.depth_mm, 0);
        return out;
    }
    cut_levels(seen, out);
    // All passes were cut about the unshifted contour; the allowances move them together.
    for (Segment& segment : out.segments) segment = shifted(segment, seen.allowance);
    if (!same(seen.allowance, {})) {
        Segment back_off = line(seen.start, seen.start + seen.allowance);
        back_off.role = Role::cycle_infeed;
        out.segments.insert(out.segments.begin(), back_off);
    }
    out.at = out.segments.empty() ? seen.start : out.segments.back().to;
    // The last cut runs along the contour.
    ++out.passes;
    out.add(seen.approach.kind, Role::cycle_infeed, seen.approach.to + seen.allowance, seen.feed);
    follow(out, seen.contour, seen.allowance, Role::cycle_pass, &seen.feed);
    out.add(Kind::rapid, Role::cycle_retract,
            {std::max(seen.start.x_radius_mm, out.at.x_radius_mm), out.at.z_mm});
    out.add(Kind::rapid, Role::cycle_return, seen.start);
    for (Segment& segment : out.segments) segment = frame.back(segment);
    return out;
}

/// It comes back to its start at rapid behind each pass: outside of all of the contour, or within the hole,
/// by the side that its passes stand off to.
void check_start_of_pattern(const PatternRepeat& cycle, Unrolled& out) {
    constexpr double most_within_mm = 3; ///< A contour goes on to clear the part
    const double off = cycle.relief.x_radius_mm;
    if (off == 0 || cycle.contour.empty()) return;
    const double side = off > 0 ? 1 : -1;
    double farthest = side * cycle.approach.to.x_radius_mm;
    for (const Segment& piece : cycle.contour) farthest = std::max(farthest, side * piece.to.x_radius_mm);
    if (farthest - side * cycle.start.x_radius_mm > most_within_mm)
        out.trouble(Trouble::start_within_contour, cycle.start.x_radius_mm, side * farthest, 'X');
}

Unrolled repeat_pattern(const PatternRepeat& cycle) {
    Unrolled out;
    out.at = cycle.start;
    if (cycle.passes < 1) {
        out.trouble(Trouble::zero_depth, cycle.passes, 1, 'R');
        return out;
    }
    if (cycle.passes > most_passes) {
        out.trouble(Trouble::too_many_passes, cycle.passes, most_passes, 'R');
        return out;
    }
    out.passes = cycle.passes;
    check_start_of_pattern(cycle, out);
    const std::size_t of_a_pass = cycle.contour.size() + 2;
    out.segments.reserve(
        std::min(static_cast<std::size_t>(cycle.passes) * of_a_pass, most_segments + of_a_pass) + 1);
    for (int pass = 0; pass < cycle.passes; ++pass) {
        out.cut_short = out.segments.size() + cycle.contour.size() > most_segments;
        if (out.cut_short) break;
        double left =
            cycle.passes > 1 ? static_cast<double>(cycle.passes - 1 - pass) / (cycle.passes - 1) : 0;
        Point by = cycle.allowance + cycle.relief * left;
        out.add(Kind::rapid, pass == 0 ? Role::cycle_infeed : Role::cycle_return, cycle.start + by);
        out.add(cycle.approach.kind, Role::cycle_infeed, cycle.approach.to + by, cycle.feed);
        follow(out, cycle.contour, by, Role::cycle_pass, &cycle.feed);
    }
    out.add(Kind::rapid, Role::cycle_return, cycle.start);
    return out;
}

Unrolled finish(Point start, const Segment& approach, std::span<const Segment> contour) {
    Unrolled out;
    out.at = start;
    out.add(approach.kind, Role::cycle_infeed, approach.to, approach.feed);
    follow(out, contour, {}, Role::finish, nullptr);
    out.add(Kind::rapid, Role::cycle_return, start);
    return out;
}

} // namespace turnwright::motion
