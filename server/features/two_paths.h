// Two programs of a lathe with two turrets: who waits for whom and how long, for hovers, jumps and reports.
#pragma once

#include "checks/two_paths.h"
#include "features/document.h"

namespace turnwright::features {

/// With the seconds of every stretch between two waits.
struct TimedPaths {
    checks::TwoPaths two;
    struct Stretch {
        std::array<double, 2> seconds{};
        std::array<bool, 2> at_least{}; ///< The time of some move is not known
        bool about = false;
        bool is_known() const { return !at_least[0] && !at_least[1]; }
        double longer() const { return std::max(seconds[0], seconds[1]); }
        double waits(std::size_t path) const { return longer() - seconds[path]; }
    };
    std::vector<Stretch> stretches; ///< Parallel to `two.stretches`
};
/// The times of a file that is not among the given documents are worked out anew.
TimedPaths timed_paths(const checks::PathPair& programs, const shop::Shop& shop,
                       std::span<const Document* const> documents);
/// Every pair of which one or both stand in the document, by the shop file.
std::vector<TimedPaths> paths_of(const Document& document);

/// A wait or a program's number: who is met there. Empty: the block is none of these.
std::string partner_text(const Document& document, machine::BlockPlace place);
/// Where the partner's wait stands, or its program begins.
std::vector<Location> partner_places(const Document& document, machine::BlockPlace place,
                                     const std::vector<WorkspaceFile>& files);

/// What both do up to a wait, side by side: the tools that they work with, as their programs name them.
struct PathsRow {
    int code = -1; ///< As that of the stretch
    struct Side {
        std::vector<std::string> tools; ///< "N3 T05 DRILL 8"; the first may go on from the row before
        std::size_t first_line = 0, last_line = 0; ///< From 0, both in
        bool is_empty = true;
    };
    std::array<Side, 2> sides;
};
std::vector<PathsRow> paths_outline(const TimedPaths& timed, std::array<const machine::Outline*, 2> outlines);
/// The outline of either program; `own` is that of the document asked about.
std::array<const machine::Outline*, 2> outlines_of(const TimedPaths& timed, const machine::Outline& own);

/// "48 s", "2:05 min".
std::string path_seconds(double seconds);
/// Of a path in a stretch: "at least 48 s".
std::string stretch_seconds(const TimedPaths::Stretch& stretch, std::size_t path);

} // namespace turnwright::features
