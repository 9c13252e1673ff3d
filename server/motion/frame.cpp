#include "motion/cycles.h"

namespace turnwright::motion {

void Unrolled::add(SegmentKind kind, SegmentRole role, Point to, const Feed& feed) {
    if (same(at, to)) return;
    Segment segment = line(at, to);
    segment.kind = kind;
    segment.role = role;
    segment.feed = feed;
    segments.push_back(segment);
    at = to;
}

Point Frame::into(Point point) const {
    if (swap) point = swapped(point);
    return {point.x_radius_mm * x_sign, point.z_mm * z_sign};
}

Point Frame::back(Point point) const {
    point = {point.x_radius_mm * x_sign, point.z_mm * z_sign};
    return swap ? swapped(point) : point;
}

Segment Frame::into(Segment segment) const {
    segment.from = into(segment.from);
    segment.to = into(segment.to);
    segment.centre = into(segment.centre);
    // Each mirroring turns an arc the other way round.
    if (swap != (x_sign * z_sign < 0)) segment.sweep = -segment.sweep;
    return segment;
}

Segment Frame::back(Segment segment) const {
    segment.from = back(segment.from);
    segment.to = back(segment.to);
    segment.centre = back(segment.centre);
    if (swap != (x_sign * z_sign < 0)) segment.sweep = -segment.sweep;
    return segment;
}

} // namespace turnwright::motion
