// A taper by two of diameter, length, angle and ratio.
#include "calculate/taper.h"
#include "language/said.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

using codes::Meaning;

namespace {

constexpr double degree = std::numbers::pi / 180;

} // namespace

SolvedTaper solve_taper(const Question& question, const Here& here) {
    std::optional<double> from = question.value("D"), to = question.value("D", 1);
    const std::optional<double> length = question.value("LENGTH"), ratio = question.value("RATIO");
    std::optional<double> angle = question.value("ANGLE");
    if (!from && here.x_radius_mm) from = 2 * *here.x_radius_mm;
    if (!from)
        return {std::nullopt,
                said("The first diameter is not known: neither D nor where the tool stands tells it.")};
    if (angle && *angle >= 90)
        return {std::nullopt,
                said("ANGLE {} is no taper: the angle to the axis is less than 90 degrees.", *angle)};
    if (ratio && angle && std::abs(std::atan(1 / (2 * *ratio)) / degree - *angle) > 0.005)
        return {std::nullopt,
                said("The numbers contradict each other: 1 in {} is {:.3f} degrees to the axis, and ANGLE "
                     "says {}.",
                     *ratio, std::atan(1 / (2 * *ratio)) / degree, *angle)};
    if (ratio && !angle) angle = std::atan(1 / (2 * *ratio)) / degree;
    const auto rise = [&] { return std::tan(*angle * degree) * *length; };
    if (to && std::abs(*to - *from) < motion::mm_per_inch * 1e-6)
        return {std::nullopt, said("Both diameters are {}: that is no taper.", here.spoken(*to))};
    if (to && length && angle) {
        const double half = std::abs(*to - *from) / 2;
        // What the drawing rounds to two places of a millimetre or hundredths of a degree.
        const double slack = 0.01 + *length * 0.005 * degree / std::pow(std::cos(*angle * degree), 2);
        if (std::abs(half - rise()) > slack)
            return {std::nullopt,
                    said("The numbers contradict each other: from {} to {} over {} is {:.3f} degrees to "
                         "the axis, and {} says {:.3f}.",
                         here.spoken(*from), here.spoken(*to), here.spoken(*length),
                         std::atan(half / *length) / degree, ratio ? "RATIO" : "ANGLE", *angle)};
    }
    if (to && length)
        return {Taper{*from, *to, *length, std::atan(std::abs(*to - *from) / 2 / *length) / degree}, {}};
    if (to && angle)
        return {Taper{*from, *to, std::abs(*to - *from) / 2 / std::tan(*angle * degree), *angle}, {}};
    if (length && angle) {
        const double end = *from + 2 * (question.has("FALLING") ? -1 : 1) * rise();
        if (end < 0)
            return {std::nullopt, said("From {} it falls by {} on diameter, and ends below the centre.",
                                       here.spoken(*from), here.spoken(2 * rise()))};
        return {Taper{*from, end, *length, *angle}, {}};
    }
    return {std::nullopt,
            said("A taper is told by two diameters and LENGTH, ANGLE or RATIO, or by one diameter, "
                 "LENGTH, and ANGLE or RATIO.")};
}

std::optional<double> nose_move_mm(const Taper& taper, double nose_radius_mm, int tip_direction) {
    if (tip_direction < 1 || tip_direction > 4) return std::nullopt;
    const Point tip = motion::tip_from_centre(tip_direction, nose_radius_mm);
    const double half = taper.angle_deg * degree, side = tip.x_radius_mm < 0 ? 1 : -1;
    // From the taper to the nose's centre: outward for a tool that turns outside.
    const double rising = taper.to_mm > taper.from_mm ? 1 : -1;
    const Point square{side * std::cos(half), side * rising * std::sin(half)};
    const double off = nose_radius_mm + tip.x_radius_mm * square.x_radius_mm + tip.z_mm * square.z_mm;
    return off / square.z_mm;
}

namespace taper {
namespace {

constexpr Place places[] = {
    {"D", Measure::diameter, "the diameter it begins at, then the one it ends at", false, 2},
    {"LENGTH", Measure::length, "along the axis"},
    {"ANGLE", Measure::angle, "of the flank to the axis, half of the angle between the flanks"},
    {"RATIO", Measure::number, "10 or 1:10: 1 on diameter over 10 of length"},
    {"FALLING", Measure::sign, "it becomes smaller toward the chuck, where one diameter is given"},
    {"Z", Measure::position, "where it begins, if not where the tool stands"},
    {"NOSE", Measure::length, "nose radius of a tool that is programmed by its sharp tip"},
};

Answer answer(const Question& question, const Here& here) {
    const SolvedTaper solved = solve_taper(question, here);
    if (!solved.taper) return refuse(solved.why_not);
    const Taper& taper = *solved.taper;
    const std::optional<double> begin = question.has("Z") ? question.value("Z") : here.z_mm;
    if (!begin) return refuse(said("Where it begins is not known here: give Z."));
    Answer answer;
    answer.results = {{said("angle to the axis"), taper.angle_deg, Measure::angle, !question.has("ANGLE")},
                      {said("angle between the flanks"), 2 * taper.angle_deg, Measure::angle},
                      {"1 in", taper.length_mm / std::abs(taper.to_mm - taper.from_mm), Measure::number},
                      {said("from"), taper.from_mm, Measure::diameter},
                      {said("to"), taper.to_mm, Measure::diameter, !question.value("D", 1)},
                      {said("length"), taper.length_mm, Measure::length, !question.has("LENGTH")}};
    double shift = 0;
    if (const auto nose = question.value("NOSE")) {
        const int tip = here.tip_direction.value_or(3);
        if (!here.tip_direction)
            answer.remarks.push_back(
                said("A tool that turns toward the chuck is assumed (tip direction 3): the shop "
                     "file tells none."));
        const auto moved = nose_move_mm(taper, *nose, tip);
        if (!moved) return refuse(said("The tool in use has tip direction {}, and none of 1 to 4.", tip));
        shift = *moved;
        answer.results.push_back({said("shift along Z for the nose"), shift, Measure::position, true});
    }
    const Point start{taper.from_mm / 2, *begin + shift};
    if (here.x_radius_mm != start.x_radius_mm || here.z_mm != start.z_mm)
        answer.blocks.push_back(move_to(Meaning::feed_line, start.x_radius_mm, start.z_mm));
    answer.blocks.push_back(move_to(Meaning::feed_line, taper.to_mm / 2, *begin - taper.length_mm + shift));
    if (!here.feed_in_force) answer.blocks.front().words.push_back({'F', Written::feed, here.finish_feed});
    return answer;
}

} // namespace

extern const Calculator calculator{
    "TAPER",
    "taper by two of diameter, length, angle and ratio",
    places,
    "tan(angle) = (large - small diameter) / (2 x length); 1 in (length / (large - small diameter)). The "
    "angle is that of the flank to the axis. Exact. With NOSE both ends move along "
    "Z "
    "by radius x (1 - tan(angle / 2)) toward the chuck on a taper that rises, by radius x (1 + tan(angle / "
    "2)) "
    "on one that falls, for a tool that turns toward the chuck.",
    "D30 D40 LENGTH 25",
    answer};

} // namespace taper
} // namespace turnwright::calculate
