// Formulas of the trade. Each names its source.
#include "motion/motion.h"

#include <cmath>

namespace turnwright::motion {

// vc = pi D n / 1000: Tungaloy General Catalogue 2020-2021, technical reference, page L030.
double rpm_for(double surface_m_per_min, double diameter_mm) {
    return 1000 * surface_m_per_min / (std::numbers::pi * diameter_mm);
}

double surface_for(double rpm, double diameter_mm) {
    return std::numbers::pi * diameter_mm * rpm / 1000;
}

// Exact: the cone over the drill's diameter.
double drill_point_mm(double diameter_mm, double point_angle_deg) {
    return diameter_mm / (2 * std::tan(point_angle_deg * std::numbers::pi / 360));
}

// h = f^2 / (8 r): Tungaloy page L030; Kyocera turning technical information 2016, page R28. It is the peak
// to valley height of a parabola in the arc's place.
double roughness_um(double feed_mm_per_rev, double nose_radius_mm) {
    return feed_mm_per_rev * feed_mm_per_rev / (8 * nose_radius_mm) * 1000;
}

// A step at feed f over an arc of radius r leaves a ridge as high as the arc's sagitta.
double roughness_exact_um(double feed_mm_per_rev, double nose_radius_mm) {
    double half = feed_mm_per_rev / 2;
    if (half > nose_radius_mm) return 0;
    return (nose_radius_mm - std::sqrt(nose_radius_mm * nose_radius_mm - half * half)) * 1000;
}

// T = pi (a^2 - b^2) / (4000 vc f): Tungaloy page L030.
double facing_minutes(double from_diameter_mm, double to_diameter_mm, double surface_m_per_min,
                      double feed_mm_per_rev) {
    return std::numbers::pi *
           std::abs(from_diameter_mm * from_diameter_mm - to_diameter_mm * to_diameter_mm) /
           (4000 * surface_m_per_min * feed_mm_per_rev);
}

double limit_diameter_mm(double surface_m_per_min, double limit_rpm) {
    return 1000 * surface_m_per_min / (std::numbers::pi * limit_rpm);
}

// A triangle's area grows with the square of its depth, so equal areas make depths grow as square roots.
std::vector<double> equal_area_depths(double height_mm, int passes) {
    std::vector<double> depths;
    for (int n = 1; n <= passes; ++n)
        depths.push_back(height_mm * std::sqrt(static_cast<double>(n) / passes));
    return depths;
}

double taper_half_angle_deg(double large_diameter, double small_diameter, double length) {
    return std::atan2((large_diameter - small_diameter) / 2, length) * 180 / std::numbers::pi;
}

// Exact: the arc of radius r that touches both axes leaves the sharp tip away from a line at this angle to Z.
NoseShift nose_shift(double nose_radius_mm, double angle_deg) {
    double half = angle_deg * std::numbers::pi / 360, other = std::numbers::pi / 4 - half;
    NoseShift shift;
    shift.z_mm = nose_radius_mm * (1 - std::tan(half));
    shift.x_radius_mm = nose_radius_mm * (1 - std::tan(other));
    shift.normal_mm = shift.z_mm * std::sin(angle_deg * std::numbers::pi / 180);
    return shift;
}

// Exact: the nose's centre lies on the line that halves the insert's angle, r / sin(half) from the sharp
// corner.
NoseShift corner_setback(double nose_radius_mm, double insert_angle_deg, double approach_angle_deg) {
    constexpr double degree = std::numbers::pi / 180;
    double half = insert_angle_deg / 2 * degree, middle = (180 - approach_angle_deg) * degree - half;
    double to_centre = nose_radius_mm / std::sin(half);
    NoseShift shift;
    shift.z_mm = to_centre * std::cos(middle) - nose_radius_mm;
    shift.x_radius_mm = to_centre * std::sin(middle) - nose_radius_mm;
    shift.normal_mm = to_centre - nose_radius_mm;
    return shift;
}

} // namespace turnwright::motion
