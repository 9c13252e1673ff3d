// The lead that the height of an outside thread of 60 degrees belongs to.
#pragma once

#include "motion/motion.h"

#include <cmath>
#include <optional>

namespace turnwright::checks {

/// 17/24 of the triangle's height (ISO 68-1), as programs write it; in mm.
inline constexpr double height_of_60 = 0.6134;

/// Heights that programs give a thread of 60 or 55 degrees, in leads: the nut's, the bolt's, and to a sharp
/// root.
inline bool is_usual_height(double of_lead) {
    constexpr double least = 0.53, most = 0.665; // Common practice, no source
    return of_lead > least && of_lead < most;
}

/// The one lead in use whose height this is to the digit, where it is no usual height of its own lead; leads
/// of ISO 261 and ASME B1.1. nullopt: none, or it is its own.
inline std::optional<double> lead_of_height(double height_mm, double lead_mm, bool inch) {
    constexpr double leads_mm[] = {0.5, 0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4};
    constexpr double threads_an_inch[] = {32, 28, 24, 20, 18, 16, 14, 13, 12, 11, 10, 9, 8, 7, 6};
    constexpr double same = 0.004, smallest_mm = 0.4, largest_mm = 4.5;
    if (height_mm <= 0 || lead_mm < smallest_mm || lead_mm > largest_mm ||
        is_usual_height(height_mm / lead_mm))
        return std::nullopt;
    // Of several starts the height goes with the pitch.
    for (int starts = 2; starts <= 4; ++starts)
        if (is_usual_height(height_mm * starts / lead_mm)) return std::nullopt;
    const auto fits = [&](double lead) { return std::abs(height_mm / height_of_60 - lead) < same * lead; };
    if (inch) {
        for (const double threads : threads_an_inch)
            if (fits(motion::mm_per_inch / threads)) return motion::mm_per_inch / threads;
        return std::nullopt;
    }
    for (const double lead : leads_mm)
        if (fits(lead)) return lead;
    return std::nullopt;
}

} // namespace turnwright::checks
