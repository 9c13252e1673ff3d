// The arc that joins two arcs.
#include "calculate/points.h"
#include "language/said.h"

#include "motion/geometry.h"

#include <fmt/format.h>

namespace turnwright::calculate::blend {
namespace {

constexpr Place places[] = {
    {"D", Measure::diameter, "of the centre of the first circle, then of the second", true, 2},
    {"Z", Measure::position, "of the same centres", true, 2},
    {"R", Measure::length, "their radii", true, 2},
    {"BY", Measure::length, "radius of the arc that joins them", true},
    {"AROUND", Measure::sign, "it lies around both circles and not between them"},
    {"INNER", Measure::sign, "of two such arcs the one nearer to the centreline"},
};

Answer answer(const Question& question, const Here& here) {
    const PointsGiven given = points_of(question);
    if (!given.why_not.empty()) return refuse(given.why_not);
    if (given.points.size() != 2 || !given.points[0].radius_mm || !given.points[1].radius_mm)
        return refuse(said("An arc joins two circles: give D, Z and R of each."));
    const Circle first = circle_of(given.points[0]), second = circle_of(given.points[1]);
    const double by = *question.value("BY");
    const bool around = question.has("AROUND");
    const auto found = blend_arc(first, second, by, around, question.has("INNER"));
    if (!found)
        return refuse(said("No arc of {} touches both{}: the centres are {} apart, and the radii are {} "
                           "and {}.",
                           here.spoken(by), around ? said(" and lies around them") : "",
                           here.spoken(motion::distance(first.centre, second.centre)),
                           here.spoken(first.radius_mm), here.spoken(second.radius_mm)));
    const Touching& at = found->touching;
    const bool clockwise = motion::cross(at.on_first - found->centre, at.on_second - found->centre) < 0;
    Answer answer;
    answer.results = {{said("begins at"), 2 * at.on_first.x_radius_mm, Measure::diameter, true},
                      {"Z", at.on_first.z_mm, Measure::position, true},
                      {said("ends at"), 2 * at.on_second.x_radius_mm, Measure::diameter, true},
                      {"Z", at.on_second.z_mm, Measure::position, true},
                      {said("centre at"), 2 * found->centre.x_radius_mm, Measure::diameter},
                      {"Z", found->centre.z_mm, Measure::position}};
    answer.blocks = {lead_on(first, at.on_first, around ? clockwise : !clockwise, here),
                     arc_to(clockwise, at.on_second, by)};
    if (!here.feed_in_force) answer.blocks.front().words.push_back({'F', Written::feed, here.finish_feed});
    return answer;
}

} // namespace

extern const Calculator calculator{"BLEND",
                                   "arc that joins two arcs",
                                   places,
                                   "Its centre is as far from each centre as the two radii together, or "
                                   "their difference where it lies around "
                                   "both; it touches on the lines between the centres (exact).",
                                   "D40 Z-10 R10 D40 Z-34 R8 BY 6",
                                   answer};

} // namespace turnwright::calculate::blend
