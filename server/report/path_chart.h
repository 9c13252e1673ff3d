// Two turrets at work: their stretches between waits as text, as a chart over time, and both tools in one
// picture.
#pragma once

#include "features/two_paths.h"

namespace turnwright::report {

/// The documents that hold the first and the second path; the same one where one file holds both.
struct ChartedPaths {
    const features::TimedPaths& timed;
    std::array<const features::Document*, 2> documents;
};
/// A row a stretch: who waits for whom, how long.
std::string paths_text(const ChartedPaths& paths);
std::string paths_json(const features::TimedPaths& timed);
std::string paths_svg(const ChartedPaths& paths);  ///< The chart alone
std::string paths_page(const ChartedPaths& paths); ///< Chart, picture, rows and warnings: HTML

} // namespace turnwright::report
