// The cut of a thread by its cycle, for the calculator and for new sequences.
#pragma once

#include "calculate/calculate.h"

namespace turnwright::calculate {

/// Passes of the same area of cut that end at the height.
int thread_passes(double height_mm, double first_mm);
/// Where the axis has caught up with the spindle.
double run_in_mm(double lead_mm, double rpm);
/// So deep that some four passes and one for each quarter of a millimetre of pitch make it.
double first_pass_mm(double height_mm, bool inch);

struct ThreadCut {
    double root_radius_mm; ///< At the end
    double end_z_mm;
    double rise_mm = 0; ///< Radius at the end less that at the start, of a taper thread outside
    double height_mm, lead_mm;
    double flank_angle_deg = 60;
};
/// One finish pass and no run-out of its own: the thread ends in a relief.
std::vector<Block> thread_cycle(const ThreadCut& cut, bool inch);

} // namespace turnwright::calculate
