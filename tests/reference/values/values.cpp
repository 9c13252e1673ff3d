// Answers questions of numbers, one a line, with the project's own geometry: for compare.py.
//
// A segment is eight numbers: 1 for an arc, x0 z0 x1 z1, centre x z, sweep.
#include "motion/cycles.h"

#include <cstdio>
#include <iostream>
#include <sstream>

using namespace turnwright::motion;

namespace {

Segment read_segment(std::istream& in) {
    Segment segment;
    int is_arc = 0;
    in >> is_arc >> segment.from.x_radius_mm >> segment.from.z_mm >> segment.to.x_radius_mm >>
        segment.to.z_mm >> segment.centre.x_radius_mm >> segment.centre.z_mm >> segment.sweep;
    segment.is_arc = is_arc != 0;
    segment.kind = SegmentKind::feed;
    return segment;
}

std::vector<Segment> read_segments(std::istream& in) {
    std::size_t count = 0;
    in >> count;
    std::vector<Segment> segments;
    for (std::size_t i = 0; i < count; ++i) segments.push_back(read_segment(in));
    return segments;
}

void print(const Segment& segment) {
    std::printf(" %d %.15g %.15g %.15g %.15g %.15g %.15g %.15g", segment.is_arc ? 1 : 0,
                segment.from.x_radius_mm, segment.from.z_mm, segment.to.x_radius_mm, segment.to.z_mm,
                segment.centre.x_radius_mm, segment.centre.z_mm, segment.sweep);
}

/// time SEGMENT feed surface-speed limit: seconds; limit 0 for none.
void answer_time(std::istream& in) {
    Segment segment = read_segment(in);
    double limit = 0;
    Spindle spindle;
    double feed = 0, speed = 0;
    in >> feed >> speed >> limit;
    segment.feed = {Feed::Mode::per_rev, feed};
    spindle.surface_speed = true;
    spindle.surface_m_per_min = speed;
    spindle.turning = true;
    if (limit > 0)
        spindle.limit_rpm = limit;
    else
        spindle.limit_surely_missing = true;
    std::printf(" %.15g", seconds_of(segment, spindle, {}).value_or(-1));
}

/// arc x0 z0 x1 z1 radius clockwise: centre, sweep.
void answer_arc(std::istream& in) {
    Point from, to;
    double radius = 0;
    int clockwise = 0;
    in >> from.x_radius_mm >> from.z_mm >> to.x_radius_mm >> to.z_mm >> radius >> clockwise;
    Arc arc = arc_by_radius(from, to, radius, clockwise != 0, 0);
    std::printf(" %.15g %.15g %.15g %d", arc.centre.x_radius_mm, arc.centre.z_mm, arc.sweep,
                arc.trouble ? 1 : 0);
}

/// meet SEGMENT SEGMENT: the points where they meet.
void answer_meet(std::istream& in) {
    Segment first = read_segment(in), second = read_segment(in);
    for (const Meeting& meeting : meetings(first, second)) {
        Point point = point_at(first, meeting.on_first);
        std::printf(" %.15g %.15g", point.x_radius_mm, point.z_mm);
    }
}

/// corner chamfer-or-round size SEGMENT SEGMENT: the segments with the corner cut; nothing where it does not
/// fit.
void answer_corner(std::istream& in) {
    int round = 0;
    std::vector<Move> moves(2);
    in >> round >> moves[0].corner.size_mm;
    moves[0].corner.kind = round ? Corner::Kind::round : Corner::Kind::chamfer;
    for (Move& move : moves) move.segment = read_segment(in);
    Chain chain = cut_corners(moves);
    if (!chain.troubles.empty()) return;
    for (const Segment& segment : chain.segments) print(segment);
}

/// nose radius left count SEGMENT...: number of troubles, the centre's way.
void answer_nose(std::istream& in) {
    double radius = 0;
    int left = 0;
    in >> radius >> left;
    std::vector<NoseMove> moves;
    Side side = left ? Side::left : Side::right;
    for (const Segment& segment : read_segments(in)) moves.push_back({segment, side, {}});
    NosePath path = nose_path(moves, radius, 9, side);
    std::printf(" %zu", path.troubles.size());
    for (const Segment& segment : path.centre) print(segment);
}

/// rough facing pockets start-x start-z depth retract allowance-x allowance-z count SEGMENT...: troubles,
/// then role and segment. The first segment is the contour's approach.
void answer_rough(std::istream& in) {
    Roughing cycle;
    int facing = 0, pockets = 0;
    in >> facing >> pockets >> cycle.start.x_radius_mm >> cycle.start.z_mm >> cycle.depth_mm >>
        cycle.retract_mm >> cycle.allowance.x_radius_mm >> cycle.allowance.z_mm;
    cycle.facing = facing != 0;
    cycle.pockets = pockets != 0;
    cycle.contour = read_segments(in);
    cycle.approach = cycle.contour.front();
    cycle.approach.kind = SegmentKind::rapid;
    cycle.contour.erase(cycle.contour.begin());
    Unrolled path = rough(cycle);
    std::printf(" %zu", path.troubles.size());
    for (const Segment& segment : path.segments) {
        std::printf(" %d", static_cast<int>(segment.role));
        print(segment);
    }
}

/// thread height first least finish passes: depths.
void answer_thread(std::istream& in) {
    ThreadPasses cycle;
    in >> cycle.height_mm >> cycle.first_depth_mm >> cycle.least_depth_mm >> cycle.finish_mm >>
        cycle.finish_passes;
    Unrolled out;
    for (double depth : thread_depths(cycle, out)) std::printf(" %.15g", depth);
}

/// areas height passes: depths of equal area.
void answer_areas(std::istream& in) {
    double height = 0;
    int passes = 0;
    in >> height >> passes;
    for (double depth : equal_area_depths(height, passes)) std::printf(" %.15g", depth);
}

/// rough_surface feed radius: rule and exact, micrometres.
void answer_roughness(std::istream& in) {
    double feed = 0, radius = 0;
    in >> feed >> radius;
    std::printf(" %.15g %.15g", roughness_um(feed, radius), roughness_exact_um(feed, radius));
}

} // namespace

int main() {
    struct Question {
        std::string_view name;
        void (*answer)(std::istream&);
    };
    constexpr Question questions[] = {
        {"time", answer_time},     {"arc", answer_arc},     {"meet", answer_meet},
        {"corner", answer_corner}, {"nose", answer_nose},   {"rough", answer_rough},
        {"thread", answer_thread}, {"areas", answer_areas}, {"roughness", answer_roughness},
    };
    std::string text;
    while (std::getline(std::cin, text)) {
        std::istringstream in(text);
        std::string name;
        in >> name;
        std::printf("%s", name.c_str());
        for (const Question& question : questions)
            if (question.name == name) question.answer(in);
        std::printf("\n");
    }
    return 0;
}
