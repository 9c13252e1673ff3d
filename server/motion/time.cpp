// The time of one segment, in closed form.
//
// Feed a revolution under constant surface speed v: a step ds at radius r takes ds / (f n) with
// n = 1000 v / (2 pi r), so time is 2 pi / (1000 v f) times the integral of r ds, and where the speed limit
// holds it is length / (f n_max). A move is split where it crosses the centre and where the limit takes over.
#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {
namespace {

/// Integral of |x| ds over a part of a segment that does not cross the centre.
double radius_integral(const Segment& segment, double from, double to) {
    if (!segment.is_arc) {
        double length = segment.length_mm() * (to - from);
        double x = (point_at(segment, from).x_radius_mm + point_at(segment, to).x_radius_mm) / 2;
        return std::abs(x) * length;
    }
    double start = angle_of(segment.from - segment.centre), radius = radius_of(segment);
    double a = start + segment.sweep * from, b = start + segment.sweep * to;
    double integral = segment.centre.x_radius_mm * (b - a) - radius * (std::cos(b) - std::cos(a));
    return std::abs(radius * integral);
}

/// Turns of the spindle a mm of travel under per-rev feed would need is 1/f; this is minutes for f = 1.
std::optional<double> minutes_per_unit_feed(const Segment& segment, const Spindle& spindle) {
    if (spindle.turning == false || !spindle.surface_speed) return std::nullopt;
    double length = segment.length_mm();
    if (!*spindle.surface_speed) {
        if (!spindle.rpm || *spindle.rpm <= 0) return std::nullopt;
        return length / *spindle.rpm;
    }
    if (!spindle.surface_m_per_min || *spindle.surface_m_per_min <= 0) return std::nullopt;
    if (!spindle.limit_rpm && !spindle.limit_surely_missing) return std::nullopt;
    if (spindle.limit_rpm && *spindle.limit_rpm <= 0) return std::nullopt;
    double per_radius = 2 * pi / (1000 * *spindle.surface_m_per_min);
    double limit_radius = spindle.limit_rpm ? 1 / (per_radius * *spindle.limit_rpm) : 0;
    std::vector<double> splits{0, 1};
    for (double x : {0.0, limit_radius, -limit_radius})
        for (double share : shares_at_x(segment, x)) splits.push_back(share);
    std::sort(splits.begin(), splits.end());
    double minutes = 0;
    for (std::size_t i = 1; i < splits.size(); ++i) {
        double from = splits[i - 1], to = splits[i];
        if (to <= from) continue;
        double radius = std::abs(point_at(segment, (from + to) / 2).x_radius_mm);
        minutes += radius < limit_radius ? length * (to - from) / *spindle.limit_rpm
                                         : per_radius * radius_integral(segment, from, to);
    }
    return minutes;
}

std::optional<double> rapid_seconds(const Segment& segment, const shop::Machine& machine) {
    double dx = std::abs(segment.to.x_radius_mm - segment.from.x_radius_mm);
    double dz = std::abs(segment.to.z_mm - segment.from.z_mm);
    double seconds = 0;
    for (auto [way, rate] :
         {std::pair{dx, machine.rapid_x_mm_per_min}, std::pair{dz, machine.rapid_z_mm_per_min}}) {
        if (way < same_point_mm) continue;
        if (!rate || *rate <= 0) return std::nullopt;
        seconds = std::max(seconds, way / *rate * 60);
    }
    return seconds;
}

std::optional<double> thread_seconds(const Segment& segment, const Spindle& spindle) {
    double length = segment.length_mm();
    if (length < same_point_mm) return 0;
    if (segment.lead_mm <= 0) return std::nullopt;
    // The lead counts along the axis that moves further.
    double along = std::max(std::abs(segment.to.x_radius_mm - segment.from.x_radius_mm),
                            std::abs(segment.to.z_mm - segment.from.z_mm));
    auto minutes = minutes_per_unit_feed(segment, spindle);
    if (!minutes) return std::nullopt;
    return *minutes / segment.lead_mm * (segment.is_arc ? 1 : along / length) * 60;
}

std::optional<double> feed_seconds(const Segment& segment, const Spindle& spindle) {
    const Feed& feed = segment.feed;
    if (segment.length_mm() < same_point_mm) return 0;
    if (!feed.mm || *feed.mm <= 0) return std::nullopt;
    switch (feed.mode) {
    case Feed::Mode::per_minute:
        return segment.length_mm() / *feed.mm * 60;
    case Feed::Mode::inverse_time:
        return 60 / *feed.mm;
    case Feed::Mode::per_rev:
        if (auto minutes = minutes_per_unit_feed(segment, spindle)) return *minutes / *feed.mm * 60;
        return std::nullopt;
    default:
        return std::nullopt;
    }
}

} // namespace

std::optional<double> seconds_of(const Segment& segment, const Spindle& spindle,
                                 const shop::Machine& machine) {
    switch (segment.kind) {
    case SegmentKind::rapid:
        return rapid_seconds(segment, machine);
    case SegmentKind::feed:
        return feed_seconds(segment, spindle);
    case SegmentKind::thread:
        return thread_seconds(segment, spindle);
    case SegmentKind::dwell:
        return segment.dwell_seconds;
    }
    return std::nullopt;
}

} // namespace turnwright::motion
