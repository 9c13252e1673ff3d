// A hole to a depth at full diameter, and the pecks of a deep one.
#include "calculate/calculate.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

using codes::Meaning;

namespace {

constexpr double in_front_mm = 2;

constexpr Place places[] = {
    {"D", Measure::diameter, "of the drill, if not the one of the tool in use"},
    {"DEPTH", Measure::length, "to which the hole has its full diameter", true},
    {"POINT", Measure::angle, "of the drill's point, if the shop file does not tell it (118)"},
    {"FIRST", Measure::length, "depth of a peck, or of the first one"},
    {"Z", Measure::position, "the face, where that is not Z0"},
};

struct Hole {
    double diameter_mm, depth_mm, point_mm, face_mm;
    double clear_mm; ///< In front of part and stock
    double bottom_mm() const { return face_mm - depth_mm - point_mm; }
};

std::optional<Hole> hole_of(const Question& question, const Here& here, Answer& answer) {
    const auto diameter = question.has("D") ? question.value("D") : here.tool_diameter_mm;
    if (!diameter || *diameter <= 0) {
        answer = refuse(said("The drill's diameter is not known here: give D."));
        return std::nullopt;
    }
    constexpr double usual_deg = 118;
    const auto angle = question.has("POINT") ? question.value("POINT") : here.point_angle_deg;
    if (angle && *angle > 180) {
        answer = refuse(said("POINT {}: a drill's point has at most 180 degrees.", *angle));
        return std::nullopt;
    }
    if (!angle)
        answer.remarks.push_back(
            said("A point of 118 degrees is assumed: neither POINT nor the shop file tells it."));
    const std::optional<double> face = face_of(question, here, answer);
    if (!face) return std::nullopt;
    const Hole hole{*diameter, *question.value("DEPTH"),
                    motion::drill_point_mm(*diameter, angle.value_or(usual_deg)), *face,
                    std::max(*face, here.stock_known ? here.front_mm : *face) + in_front_mm};
    answer.results = {{said("point"), hole.point_mm, Measure::length, true},
                      {said("bottom of the point at Z"), hole.bottom_mm(), Measure::position, true},
                      {said("depth over diameter"), hole.depth_mm / hole.diameter_mm, Measure::number}};
    answer.blocks.push_back(move_to(Meaning::rapid, std::nullopt, hole.clear_mm));
    answer.blocks.push_back(move_to(Meaning::rapid, 0, std::nullopt));
    return hole;
}

} // namespace

namespace drill {
namespace {

Answer answer(const Question& question, const Here& here) {
    Answer answer;
    const std::optional<Hole> hole = hole_of(question, here, answer);
    if (!hole) return answer;
    Block cycle = move_to(Meaning::drill_face, std::nullopt, hole->bottom_mm());
    constexpr double deep = 3;
    if (question.has("FIRST") || hole->depth_mm > deep * hole->diameter_mm) {
        const double peck = question.value("FIRST").value_or(hole->diameter_mm);
        cycle.words.push_back({'Q', Written::increments, peck});
        answer.results.push_back({said("peck"), peck, Measure::length});
        answer.results.push_back(
            {said("pecks"), std::ceil((hole->clear_mm - hole->bottom_mm()) / peck - 1e-9), Measure::number});
    }
    cycle.words.push_back({'F', Written::feed, here.finish_feed});
    answer.blocks.push_back(std::move(cycle));
    answer.blocks.push_back({Meaning::drill_cycle_off, {}});
    return answer;
}

} // namespace

extern const Calculator calculator{
    "DRILL",
    "hole that has its full diameter to a depth",
    places,
    "The point is diameter / (2 x tan(angle / 2)) long: 0.30 diameters at 118 degrees, 0.21 at 135 (exact). "
    "A "
    "hole deeper than 3 diameters is pecked by one diameter each time (common practice).",
    "D8.5 DEPTH 40",
    answer};

} // namespace drill

namespace peck {
namespace {

Answer answer(const Question& question, const Here& here) {
    Answer answer;
    const std::optional<Hole> hole = hole_of(question, here, answer);
    if (!hole) return answer;
    const double first = question.value("FIRST").value_or(3 * hole->diameter_mm);
    const double whole = hole->depth_mm + hole->point_mm, least = std::min(first, hole->diameter_mm);
    constexpr int most = 60;
    double peck = first, depth = 0;
    int count = 0;
    while (depth < whole - 1e-6) {
        if (++count > most)
            return refuse(said("Pecks of {} to a depth of {} are more than {}.", here.spoken(least),
                               here.spoken(whole), most));
        const double before = depth;
        depth = std::min(depth + peck, whole);
        if (before > 0) {
            answer.blocks.push_back(move_to(Meaning::rapid, std::nullopt, hole->face_mm - before + 1));
        }
        Block down = move_to(Meaning::feed_line, std::nullopt, hole->face_mm - depth);
        if (count == 1) down.words.push_back({'F', Written::feed, here.finish_feed});
        answer.blocks.push_back(std::move(down));
        answer.blocks.push_back(move_to(Meaning::rapid, std::nullopt, hole->clear_mm));
        peck = std::max(peck - hole->diameter_mm, least);
    }
    answer.results.push_back({said("pecks"), static_cast<double>(count), Measure::number, true});
    answer.results.push_back({said("first peck"), std::min(first, whole), Measure::length});
    answer.results.push_back({said("least peck"), least, Measure::length});
    return answer;
}

} // namespace

extern const Calculator calculator{"PECK",
                                   "deep hole in pecks that become shorter",
                                   places,
                                   "The first peck is three diameters deep, each further one a diameter "
                                   "less, down to one diameter; the drill "
                                   "comes out of the hole each time and goes back to 1 mm in front of where "
                                   "it was (common practice). The depth "
                                   "is that of the full diameter, the point comes on top as with DRILL.",
                                   "D6 DEPTH 50",
                                   answer};

} // namespace peck
} // namespace turnwright::calculate
