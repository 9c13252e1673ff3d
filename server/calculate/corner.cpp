// A chamfer or a rounding at a corner that the program has.
#include "calculate/calculate.h"
#include "language/said.h"
#include "motion/corners.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate {

namespace {

using CornerCutter = std::optional<motion::CornerCut> (*)(const motion::Segment&, const motion::Segment&,
                                                          double);

Answer cut_corner(const Here& here, double size_mm, std::string_view what, CornerCutter cutter) {
    if (!here.move_before || !here.move_behind) return refuse(here.why_no_corner);
    const motion::Segment &first = *here.move_before, &second = *here.move_behind;
    const Point in = motion::direction_at(first, 1), out = motion::direction_at(second, 0);
    const double turn = std::atan2(std::abs(motion::cross(in, out)), motion::dot(in, out));
    constexpr double least_turn = 1e-6;
    if (turn < least_turn)
        return refuse(said("The two moves run straight on: there is no corner between them."));
    if (turn > motion::pi - least_turn)
        return refuse(said("The second move runs back along the first: there is no "
                           "corner between them."));
    const auto cut = cutter(first, second, size_mm);
    if (!cut)
        return refuse(said("A {} of {} finds no room between moves of {} and {}.", what, here.spoken(size_mm),
                           here.spoken(first.length_mm()), here.spoken(second.length_mm())));
    const motion::Segment& piece = cut->piece;
    Answer answer;
    answer.corner_begins = piece.from;
    answer.results = {{said("begins at"), 2 * piece.from.x_radius_mm, Measure::diameter},
                      {"Z", piece.from.z_mm, Measure::position},
                      {said("ends at"), 2 * piece.to.x_radius_mm, Measure::diameter},
                      {"Z", piece.to.z_mm, Measure::position}};
    answer.blocks = {piece.is_arc ? arc_to(piece.sweep < 0, piece.to, size_mm)
                                  : move_to(codes::Meaning::feed_line, piece.to.x_radius_mm, piece.to.z_mm)};
    return answer;
}

} // namespace

namespace chamfer {
namespace {

constexpr Place places[] = {{"", Measure::length, "length that it takes of each of the two moves", true}};

Answer answer(const Question& question, const Here& here) {
    return cut_corner(here, *question.value(""), said("chamfer"), motion::chamfer_between);
}

} // namespace

extern const Calculator calculator{
    "CHAMFER",
    "chamfer at a corner",
    places,
    "It takes the same length of both moves: at a square corner it lies at 45 degrees. Its note stands in or "
    "after the block that ends at the sharp corner.",
    "2",
    answer,
    true};

} // namespace chamfer

namespace round {
namespace {

constexpr Place places[] = {{"", Measure::length, "radius", true}};

Answer answer(const Question& question, const Here& here) {
    return cut_corner(here, *question.value(""), said("rounding"), motion::rounding_between);
}

} // namespace

extern const Calculator calculator{
    "ROUND",
    "rounding at a corner of lines and arcs",
    places,
    "The arc's centre lies a radius beside both moves. Between lines it begins radius x tan(turn / 2) in "
    "front "
    "of the corner (exact). Its note stands in or after the block that ends at the sharp corner.",
    "3",
    answer,
    true};

} // namespace round
} // namespace turnwright::calculate
