// A taper on its own, for its calculator and the tests.
#pragma once

#include "calculate/calculate.h"

namespace turnwright::calculate {

struct Taper {
    double from_mm, to_mm; ///< Diameters
    double length_mm, angle_deg;
};
/// By the places D, D, LENGTH, ANGLE, RATIO of a question. The reason where the numbers do not make one
/// taper.
struct SolvedTaper {
    std::optional<Taper> taper;
    std::string why_not;
};
SolvedTaper solve_taper(const Question& question, const Here& here);
/// How far the sharp tip is moved along Z so that the nose touches a taper that is cut toward the chuck.
/// nullopt: the tip direction is none of a tool that turns or bores.
std::optional<double> nose_move_mm(const Taper& taper, double nose_radius_mm, int tip_direction);

} // namespace turnwright::calculate
