// Inside two_paths: what one path does, run by run.
#pragma once

#include "checks/two_paths.h"

#include <set>

namespace turnwright::checks {

/// What is told of waits in a path.
/// "M03 M05 IN THIS PATH = SECOND SPINDLE", "M03 M05 S OF THIS FILE: SPINDLE 2".
bool gives_start_to_second(std::string_view note);

struct PathNotes {
    std::vector<std::pair<int, std::size_t>> alone; ///< M codes of the builder alone in their block
    std::vector<PathWait> told;                     ///< Of codes that the shop file calls waits
    std::set<int> other;    ///< Codes whose notes or the shop file tell that they do something else
    std::set<int> waits;    ///< That notes call so
    std::set<int> by_paths; ///< With a P that names both paths
    std::set<std::pair<int, double>> drills; ///< Station and diameter, mm, by the note beside the tool call
    std::set<int> on_centre;                 ///< Stations of tools that drill on the centreline
    bool by_shop_file = false;
    bool starts_second = false; ///< A note says that M03 of this program is the second spindle's
};
struct ReadPath {
    FollowedPath path; ///< Without `waits`
    PathNotes notes;
};
/// `kept`: what was read of the runs before; nullptr: nothing is kept. A program of another file stays as it
/// is.
std::shared_ptr<const ReadPath> read_path(const PathProgram& program, PathRuns* kept);
std::shared_ptr<PathRuns> no_runs();
/// What was read since the last turn is before, and what was read before it is let go.
void begin_turn(PathRuns& runs);

} // namespace turnwright::checks
