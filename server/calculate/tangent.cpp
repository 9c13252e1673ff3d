// The line that touches two arcs, or an arc from a point.
#include "calculate/points.h"
#include "language/said.h"

#include "motion/geometry.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate::tangent {
namespace {

constexpr Place places[] = {
    {"D", Measure::diameter, "of a circle's centre, or of a point where no R stands after it", false, 2},
    {"Z", Measure::position, "of the same centre or point", true, 2},
    {"R", Measure::length, "radius of the circle", true, 2},
    {"CROSS", Measure::sign, "the line crosses over between the two circles"},
    {"INNER", Measure::sign, "of two lines the one nearer to the centreline"},
};

Answer answer(const Question& question, const Here& here) {
    PointsGiven given = points_of(question);
    if (!given.why_not.empty()) return refuse(given.why_not);
    if (given.points.size() == 1) {
        if (!here.x_radius_mm || !here.z_mm)
            return refuse(said("Where the line begins is not known here: give its D and Z, too."));
        given.points.insert(given.points.begin(), PointGiven{{*here.x_radius_mm, *here.z_mm}, {}, {}});
    }
    if (given.points.size() != 2)
        return refuse(
            said("A line touches two circles, or one from a point: give D, Z and R of each circle."));
    const Circle first = circle_of(given.points[0]), second = circle_of(given.points[1]);
    const bool crosses = question.has("CROSS");
    const auto touching = tangent_line(first, second, crosses, question.has("INNER"));
    if (!touching)
        return refuse(said("No line touches both{}: the centres are {} apart, and the radii are {} and {}.",
                           crosses ? said(" and crosses over") : "",
                           here.spoken(motion::distance(first.centre, second.centre)),
                           here.spoken(first.radius_mm), here.spoken(second.radius_mm)));
    const Point way = touching->on_second - touching->on_first;
    Answer answer;
    answer.results = {
        {said("leaves the first at"), 2 * touching->on_first.x_radius_mm, Measure::diameter, true},
        {"Z", touching->on_first.z_mm, Measure::position, true},
        {said("touches the second at"), 2 * touching->on_second.x_radius_mm, Measure::diameter, true},
        {"Z", touching->on_second.z_mm, Measure::position, true},
        {said("length of the line"), motion::norm(way), Measure::length},
        {said("angle to the axis"),
         std::atan2(std::abs(way.x_radius_mm), std::abs(way.z_mm)) * 180 / motion::pi, Measure::angle}};
    const bool clockwise = motion::cross(touching->on_first - first.centre, way) < 0;
    if (first.radius_mm > 0)
        answer.blocks.push_back(lead_on(first, touching->on_first, clockwise, here));
    else if (question.count("Z") == 2)
        answer.blocks.push_back(
            move_to(codes::Meaning::feed_line, first.centre.x_radius_mm, first.centre.z_mm));
    answer.blocks.push_back(
        move_to(codes::Meaning::feed_line, touching->on_second.x_radius_mm, touching->on_second.z_mm));
    if (!here.feed_in_force) answer.blocks.front().words.push_back({'F', Written::feed, here.finish_feed});
    for (const Point& point : {touching->on_first, touching->on_second})
        if (point.x_radius_mm < -motion::same_point_mm)
            return refuse(said("It touches at D {}, beyond the centre of the part.",
                               here.spoken(2 * point.x_radius_mm)));
    return answer;
}

} // namespace

extern const Calculator calculator{
    "TANGENT",
    "line that touches an arc from a point, or two arcs",
    places,
    "The line stands square to the radius where it touches: sin(turn) = (first radius - second radius) / "
    "distance of the centres, with the sum of the radii where it crosses over; a point has radius 0 (exact). "
    "With one circle the line begins where the tool stands.",
    "D40 Z-10 R8 D70 Z-40 R12",
    answer};

} // namespace turnwright::calculate::tangent
