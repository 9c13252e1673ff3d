// What takes the place of a sharp corner between two moves that follow each other.
#pragma once

#include "motion/geometry.h"

namespace turnwright::motion {

struct CornerCut {
    double on_first = 1, on_second = 0; ///< Shares of the ways where the piece begins and ends
    Segment piece;
};
/// Both legs of a chamfer have the same length from the sharp corner (common practice, no source). nullopt:
/// it does not fit.
std::optional<CornerCut> chamfer_between(const Segment& first, const Segment& second, double size_mm);
std::optional<CornerCut> rounding_between(const Segment& first, const Segment& second, double radius_mm);

} // namespace turnwright::motion
