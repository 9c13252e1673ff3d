// Two programs that run at the same time on a lathe with two turrets, followed side by side from wait to
// wait.
#pragma once

#include "checks/path_pairs.h"
#include "motion/motion.h"

namespace turnwright::checks {

/// A block of a path with what the other path may meet.
struct PathBlock {
    BlockPlace place;                          ///< Of one in a called program: of the call
    std::size_t line = 0;                      ///< From 0
    bool starts_spindle = false;               ///< M03 or M04 for the main spindle
    bool sets_speed = false;                   ///< And S
    bool surface_speed = false, turns = false; ///< Of the main spindle, behind the block
    std::optional<double> speed;
    bool drills_centre = false, drills_live = false, parts_off = false;
    bool slide_home = false;
    /// A cut along Z on the outside, on radius, in mm.
    struct Along {
        double x_radius = 0, z_from = 0, z_to = 0;
    };
    std::optional<Along> along;
    /// Where the tip goes between its ends, on radius, mm; of a way home not known.
    struct Box {
        float x_from = 0, x_to = 0, z_from = 0, z_to = 0;
    };
    Box tip;
    float x_end = 0, z_start = 0, z_end = 0; ///< The same; of a cycle its bottom
    bool by_cycle = false;
    bool moves = false, feeds = false, tip_known = false;
    bool of_second = false;  ///< S speaks to the second spindle
    std::uint16_t datum = 0; ///< Those that may be in force
};
struct PathWait {
    int code = 0;
    std::size_t block = 0; ///< In `blocks`
};
struct FollowedPath {
    PathProgram program;
    std::vector<PathBlock> blocks;
    std::vector<PathWait> waits; ///< In order
    std::size_t line_of(std::size_t block) const {
        return blocks.empty() ? 0 : blocks[std::min(block, blocks.size() - 1)].line;
    }
};
/// What both do up to a wait that they meet at; the last one: to the end.
struct PathStretch {
    int code = -1;                                               ///< -1: the end
    std::array<std::pair<std::size_t, std::size_t>, 2> blocks{}; ///< Half open
    /// What the tips keep from each other at least, mm, if turrets work on opposite sides of one part;
    /// nullopt: some place is not known, or they may not work on one part.
    std::optional<double> clearance_mm;
};
struct PathFinding {
    std::size_t path = 0, block = 0;
    std::string_view id; ///< Of a check
    std::string text;
};
struct TwoPaths {
    std::array<FollowedPath, 2> paths;
    bool waits_told = false;                                   ///< The shop file says which codes wait
    std::vector<std::pair<std::size_t, std::size_t>> meetings; ///< Indices of waits
    std::vector<PathStretch> stretches;
    std::vector<PathFinding> findings; ///< In order of path and place
};

/// The speed that the other path has the main spindle at in the whole of a stretch, for one that has not
/// spoken to it; nullopt: not known, or not one speed.
std::optional<double> speed_of_other(const TwoPaths& two, const PathStretch& stretch, std::size_t path);
/// Of a feed by the turn of a spindle that another path has at `rpm`; nullopt: not known.
std::optional<double> seconds_lent(const motion::BlockPath& path, const machine::BlockView& view,
                                   std::optional<double> rpm);
/// Finds tools of both that are on the centreline at the same time; tells it in both.
void tell_tools_that_meet(TwoPaths& two);

/// Waits are the codes that the shop file gives that sense; where it tells none, what notes of either program
/// call so, and M codes of three digits that stand alone in both.
TwoPaths follow_paths(const PathPair& programs, const std::shared_ptr<PathRuns>& own = nullptr);

/// "M101".
std::string written_wait(int code);

/// For the rules: what of one id is to be told in this file.
void report_paths(const FileContext& context, Report& report, std::string_view id);

} // namespace turnwright::checks
