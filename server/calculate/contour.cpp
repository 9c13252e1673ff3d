// A contour typed as points becomes a roughing and a finishing cycle.
#include "calculate/points.h"
#include "language/said.h"
#include "motion/corners.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate::contour {
namespace {

using codes::Meaning;

constexpr std::size_t most_points = 100;
constexpr Place places[] = {
    {"D", Measure::diameter, "of a point, which it begins", true, most_points},
    {"Z", Measure::position, "of the same point right after D, else of a further one at the same diameter",
     true, most_points},
    {"R", Measure::length, "rounding at the point", false, most_points},
    {"C", Measure::length, "chamfer at the point", false, most_points},
    {"STEP", Measure::length, "depth of a roughing pass on radius, if not the one of the tool in use"},
    {"ALLOW", Measure::length, "left for finishing on diameter (0.4 mm)"},
    {"FACE", Measure::length, "left for finishing along Z (0.1 mm)"},
    {"INSIDE", Measure::sign, "in a bore"},
};

/// The points joined by lines, corners cut; or why that cannot be.
std::vector<motion::Segment> way_of(const std::vector<PointGiven>& points, const Here& here,
                                    std::string& why_not) {
    std::vector<motion::Segment> way;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        const PointGiven& point = points[i];
        motion::Segment next = motion::line(point.at, points[i + 1].at);
        if (next.length_mm() <= motion::same_point_mm) {
            why_not = said("Points {} and {} are the same.", i + 1, i + 2);
            return {};
        }
        const std::optional<double> size = point.radius_mm ? point.radius_mm : point.chamfer_mm;
        if (size) {
            std::optional<motion::CornerCut> cut;
            if (!way.empty())
                cut = point.radius_mm ? motion::rounding_between(way.back(), next, *size)
                                      : motion::chamfer_between(way.back(), next, *size);
            if (!cut) {
                why_not = said("At point {} (D {}, Z {}) a {} of {} finds no room.", i + 1,
                               here.spoken(2 * point.at.x_radius_mm), here.spoken(point.at.z_mm),
                               point.radius_mm ? said("rounding") : said("chamfer"), here.spoken(*size));
                return {};
            }
            next = motion::part_of(next, cut->on_second, 1);
            way.back() = motion::part_of(way.back(), 0, cut->on_first);
            way.push_back(cut->piece);
        }
        way.push_back(next);
    }
    std::erase_if(way, [](const motion::Segment& leg) { return leg.length_mm() <= motion::same_point_mm; });
    return way;
}

/// A roughing cycle goes toward the chuck and outward only, in a bore inward.
std::string why_no_cycle(const std::vector<PointGiven>& points, const Here& here, double outward) {
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        const Point from = points[i].at, to = points[i + 1].at;
        if (to.z_mm > from.z_mm + motion::same_point_mm)
            return said("Point {} goes back from Z {} to {}: a roughing cycle goes one way.", i + 2,
                        here.spoken(from.z_mm), here.spoken(to.z_mm));
        if ((to.x_radius_mm - from.x_radius_mm) * outward < -motion::same_point_mm)
            return said("From point {} to {} the diameter goes back from {} to {}: a roughing cycle cuts no "
                        "such pocket on every control.",
                        i + 1, i + 2, here.spoken(2 * from.x_radius_mm), here.spoken(2 * to.x_radius_mm));
    }
    return {};
}

Answer answer(const Question& question, const Here& here) {
    const PointsGiven given = points_of(question);
    if (!given.why_not.empty()) return refuse(given.why_not);
    const std::vector<PointGiven>& points = given.points;
    if (points.size() < 2) return refuse(said("A contour has two points at least."));
    if (points.back().radius_mm || points.back().chamfer_mm)
        return refuse(said("At the last point there is no corner for R or C."));
    const bool inside = question.has("INSIDE");
    const double outward = inside ? -1 : 1;
    std::string why_not = why_no_cycle(points, here, outward);
    if (!why_not.empty()) return refuse(why_not);
    const std::vector<motion::Segment> way = way_of(points, here, why_not);
    if (!why_not.empty()) return refuse(why_not);
    const Point begin = points.front().at, end = points.back().at;
    const double allow = question.value("ALLOW").value_or(here.inch ? 0.508 : 0.4);
    const double face = question.value("FACE").value_or(here.inch ? 0.127 : 0.1);
    const double step = question.value("STEP").value_or(here.step_mm);
    const double stock = here.stock_known ? here.outside_radius_mm : end.x_radius_mm;
    const double start_x = inside ? end.x_radius_mm - 1 : std::max(stock, end.x_radius_mm) + 2;
    if (start_x <= 0)
        return refuse(said("A bar finds no room in a bore of {}.", here.spoken(2 * end.x_radius_mm)));
    const double start_z = std::max(begin.z_mm, here.stock_known ? here.front_mm : begin.z_mm) + 2;
    Answer answer;
    if (!here.stock_known)
        answer.remarks.push_back(said("The stock is not known: it is assumed to be {} {}.",
                                      inside ? said("bored to") : said("no thicker than"),
                                      here.spoken(2 * end.x_radius_mm)));
    answer.results = {{said("points"), static_cast<double>(points.size()), Measure::number, true},
                      {said("depth of a pass, on radius"), step, Measure::length},
                      {said("left on diameter"), allow, Measure::length},
                      {said("left along Z"), face, Measure::length}};
    std::vector<Block>& blocks = answer.blocks;
    blocks.push_back(move_to(Meaning::rapid, std::nullopt, start_z));
    blocks.push_back(move_to(Meaning::rapid, start_x, std::nullopt));
    blocks.push_back({Meaning::rough_turning, {{'U', Written::z, step}, {'R', Written::z, 0.5}}});
    const Word first{'P', Written::whole, static_cast<double>(here.first_label)};
    const Word last{'Q', Written::whole, static_cast<double>(here.last_label)};
    blocks.push_back({Meaning::rough_turning,
                      {first,
                       last,
                       {'U', Written::x, outward * allow / 2},
                       {'W', Written::z, face},
                       {'F', Written::feed, here.rough_feed}}});
    Block entry = move_to(Meaning::rapid, begin.x_radius_mm, std::nullopt);
    entry.number = here.first_label;
    blocks.push_back(std::move(entry));
    Block touch = move_to(Meaning::feed_line, std::nullopt, begin.z_mm);
    touch.words.push_back({'F', Written::feed, here.finish_feed});
    blocks.push_back(std::move(touch));
    for (const motion::Segment& leg : way)
        blocks.push_back(leg.is_arc ? arc_to(leg.sweep < 0, leg.to, motion::radius_of(leg))
                                    : move_to(Meaning::feed_line, leg.to.x_radius_mm, leg.to.z_mm));
    Block exit = move_to(Meaning::feed_line, start_x, std::nullopt);
    exit.number = here.last_label;
    blocks.push_back(std::move(exit));
    blocks.push_back({Meaning::finish_cycle, {first, last}});
    return answer;
}

} // namespace

extern const Calculator calculator{
    "CONTOUR",
    "contour by its points, as a roughing and a finishing cycle",
    places,
    "Lines from point to point; R and C cut the corner at their point as ROUND and CHAMFER do (exact). The "
    "allowances and the depth of a pass are values to start with (common practice), or those of the tool in "
    "the "
    "shop file.",
    "D20 Z0 Z-15 R2 D36 C1 Z-40 D50",
    answer};

} // namespace turnwright::calculate::contour
