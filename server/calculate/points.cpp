#include "calculate/points.h"
#include "language/said.h"

#include "motion/geometry.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

using motion::norm;

namespace {

Point turned_left(Point way) {
    return {way.z_mm, -way.x_radius_mm};
}

} // namespace

PointsGiven points_of(const Question& question) {
    PointsGiven out;
    if (!question.given.empty() && question.given.front().place->word != "D")
        return {{}, said("A point is its D and then its Z: the first one begins with D.")};
    bool may_add_z = false; // Behind a D alone
    for (const Given& given : question.given) {
        const std::string_view word = given.place->word;
        if (word == "D" || word == "Z") {
            const bool is_d = word == "D";
            if (out.points.empty() || is_d || !may_add_z)
                out.points.push_back({out.points.empty() ? Point{} : out.points.back().at, {}, {}});
            Point& at = out.points.back().at;
            (is_d ? at.x_radius_mm : at.z_mm) = is_d ? given.value / 2 : given.value;
            may_add_z = is_d;
        } else if (word == "R" || word == "C") {
            if (out.points.empty()) return {{}, said("{} stands after the D and Z of its point.", word)};
            may_add_z = false;
            (word == "R" ? out.points.back().radius_mm : out.points.back().chamfer_mm) = given.value;
        }
    }
    return out;
}

Circle circle_of(const PointGiven& point) {
    return {point.at, point.radius_mm.value_or(0)};
}

std::optional<Touching> tangent_line(const Circle& first, const Circle& second, bool crosses, bool inner) {
    const Point way = second.centre - first.centre;
    const double apart = norm(way);
    const double gap = first.radius_mm - (crosses ? -second.radius_mm : second.radius_mm);
    if (apart <= std::abs(gap) + motion::same_point_mm) return std::nullopt;
    const Point along = way * (1 / apart);
    const double share = gap / apart, beside = std::sqrt(1 - share * share);
    std::optional<Point> chosen;
    for (const double side : {1.0, -1.0}) {
        const Point square = along * share + turned_left(along) * (side * beside);
        if (!chosen || (square.x_radius_mm > chosen->x_radius_mm) != inner) chosen = square;
    }
    return Touching{first.centre + *chosen * first.radius_mm,
                    second.centre + *chosen * (crosses ? -second.radius_mm : second.radius_mm)};
}

std::optional<Blend> blend_arc(const Circle& first, const Circle& second, double radius_mm, bool around,
                               bool inner) {
    const double from_first = around ? radius_mm - first.radius_mm : radius_mm + first.radius_mm;
    const double from_second = around ? radius_mm - second.radius_mm : radius_mm + second.radius_mm;
    const Point way = second.centre - first.centre;
    const double apart = norm(way);
    if (from_first <= 0 || from_second <= 0 || apart < motion::same_point_mm) return std::nullopt;
    const double along = (apart * apart + from_first * from_first - from_second * from_second) / (2 * apart);
    const double rest = from_first * from_first - along * along;
    if (rest < 0) return std::nullopt;
    std::optional<Blend> chosen;
    const Point unit = way * (1 / apart);
    const double sign = around ? -1 : 1;
    const auto height = [](const Blend& blend) {
        return blend.touching.on_first.x_radius_mm + blend.touching.on_second.x_radius_mm;
    };
    for (const double side : {1.0, -1.0}) {
        Blend blend;
        blend.centre = first.centre + unit * along + turned_left(unit) * (side * std::sqrt(rest));
        const auto touch = [&](const Circle& circle, double away) {
            return circle.centre + (blend.centre - circle.centre) * (sign * circle.radius_mm / away);
        };
        blend.touching = {touch(first, from_first), touch(second, from_second)};
        if (!chosen || (height(blend) > height(*chosen)) != inner) chosen = blend;
    }
    return chosen;
}

Block lead_on(const Circle& first, Point to, bool clockwise, const Here& here) {
    constexpr double on_it_mm = 0.02;
    if (first.radius_mm > 0 && here.x_radius_mm && here.z_mm) {
        const Point at{*here.x_radius_mm, *here.z_mm};
        const bool stands_on_it = std::abs(motion::distance(at, first.centre) - first.radius_mm) < on_it_mm;
        const bool moves = motion::distance(at, to) > on_it_mm;
        // R tells arcs of at most half a circle.
        if (stands_on_it && moves &&
            std::abs(motion::sweep_between(at, to, first.centre, clockwise)) <= motion::pi)
            return arc_to(clockwise, to, first.radius_mm);
    }
    return move_to(codes::Meaning::feed_line, to.x_radius_mm, to.z_mm);
}

} // namespace turnwright::calculate
