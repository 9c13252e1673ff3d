// Two programs that run at the same time on a lathe with two turrets, followed side by side from wait to
// wait.
#pragma once

#include "checks/path_pairs.h"
#include "stock/stock.h"

#include <algorithm>

namespace turnwright::checks {

/// A block of a path with what the other path may meet.
struct PathBlock {
    BlockPlace
        place; ///< Runs counted from the one that it was read with; of one in a called program: the call
    bool starts_spindle = false;               ///< M03 or M04 for the main spindle
    bool sets_speed = false;                   ///< And S
    bool surface_speed = false, turns = false; ///< Of the main spindle, behind the block
    std::optional<double> speed;
    bool drills_centre = false, drills_live = false, parts_off = false;
    bool slide_home = false, slide_fed = false, closes_second = false;
    bool gives_speed = false; ///< S, of whichever spindle
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
    int station = -1;        ///< That its tool is of; -1: not known
    bool of_second = false;  ///< S speaks to the second spindle
    std::uint16_t datum = 0; ///< Those that may be in force
};
/// Of one run; who reads the same shares it.
using RunOfPath = std::shared_ptr<const std::vector<PathBlock>>;

/// The blocks of a path, run by run.
class PathBlocks {
public:
    struct Piece {
        RunOfPath blocks;
        std::size_t run = 0;   ///< That it stands in
        std::size_t first = 0; ///< Of its blocks, counted in the path
    };
    std::size_t size() const { return size_; }
    bool empty() const { return size_ == 0; }
    const PathBlock& operator[](std::size_t i) const {
        const Piece& piece = piece_of(i);
        return (*piece.blocks)[i - piece.first];
    }
    BlockPlace place_of(std::size_t i) const {
        const Piece& piece = piece_of(i);
        const BlockPlace near = (*piece.blocks)[i - piece.first].place;
        return {piece.run + near.run, near.block};
    }
    /// The first of [from, to) that is wanted; `to`: none is.
    template <class Wanted>
    std::size_t find(std::size_t from, std::size_t to, Wanted&& wanted) const {
        to = std::min(to, size_);
        for (std::size_t at = from < to ? index_of(from) : 0; from < to; ++at)
            for (const std::vector<PathBlock>& blocks = *pieces_[at].blocks;
                 from < to && from < pieces_[at].first + blocks.size(); ++from)
                if (wanted(blocks[from - pieces_[at].first])) return from;
        return to;
    }
    void add(std::size_t run, RunOfPath blocks) {
        const std::size_t count = blocks->size();
        pieces_.push_back({std::move(blocks), run, size_});
        size_ += count;
    }
    const std::vector<Piece>& pieces() const { return pieces_; }
    /// Of the piece that holds a block; there must be one.
    std::size_t index_of(std::size_t i) const {
        const auto behind =
            std::upper_bound(pieces_.begin(), pieces_.end(), i,
                             [](std::size_t at, const Piece& piece) { return at < piece.first; });
        return static_cast<std::size_t>(behind - pieces_.begin()) - 1;
    }

private:
    const Piece& piece_of(std::size_t i) const { return pieces_[index_of(i)]; }
    std::vector<Piece> pieces_;
    std::size_t size_ = 0;
};

struct PathWait {
    int code = 0;
    std::size_t block = 0; ///< In `blocks`
};
struct FollowedPath {
    PathProgram program;
    PathBlocks blocks;
    std::vector<PathWait> waits; ///< In order
    /// Blocks with `sets_speed`, `along` and `gives_speed`, in order.
    std::vector<std::size_t> sets, alongs, speeds;
    std::size_t first_start = 0, first_of_second = 0; ///< As many as there are blocks: none
    /// Diameter of drills on the centreline that the note beside their tool call tells, mm, by station.
    std::map<int, double> noted_drills;
    bool starts_second = false; ///< By a note its M03 and S are the second spindle's
    std::shared_ptr<const std::vector<std::size_t>> first_lines; ///< Of each run up to its last
    std::size_t line_of(std::size_t block) const {
        if (blocks.empty()) return 0;
        const BlockPlace place = blocks.place_of(std::min(block, blocks.size() - 1));
        return (*first_lines)[std::min(place.run, first_lines->size() - 1)] + place.block;
    }
    /// The block that gave the main spindle its mode or speed, looked for upward.
    std::size_t last_setting(std::size_t before) const {
        const auto behind = std::lower_bound(sets.begin(), sets.end(), before);
        if (behind != sets.begin()) return *std::prev(behind);
        return before > 0 ? before - 1 : 0;
    }
    /// The block that gave S last, to any spindle.
    std::optional<std::size_t> last_speed(std::size_t before) const {
        const auto behind = std::lower_bound(speeds.begin(), speeds.end(), before);
        return behind != speeds.begin() ? std::optional(*std::prev(behind)) : std::nullopt;
    }
};
/// How near whole tools of both come to each other between two waits.
struct PathsApart {
    double mm = 0;                      ///< Negative: how deep one is in the other
    std::optional<double> seconds;      ///< Since the wait; nullopt: whenever
    std::array<std::size_t, 2> block{}; ///< Counted from those of the stretch
    std::array<int, 2> station{};
};
/// What both do up to a wait that they meet at; the last one: to the end.
struct PathStretch {
    int code = -1;                                               ///< -1: the end
    std::array<std::pair<std::size_t, std::size_t>, 2> blocks{}; ///< Half open
    /// What the tips keep from each other at least, mm, if turrets work on opposite sides of one part;
    /// nullopt: some place is not known, or they may not work on one part.
    std::optional<double> clearance_mm;
    /// The same of whole tools as the shop file tells them, at the times of both.
    std::optional<PathsApart> apart;
    /// Of one part under both: what is left behind the stretch; nullptr: not known.
    stock::RegionPointer left;
    /// What each may find in it, without all that the other cuts in it.
    std::array<stock::RegionPointer, 2> in;
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
    std::optional<stock::Setup> setup; ///< Of the one part that both work on, where it is told
};

/// How both programs are read where it counts what is logged.
using PathReaders = std::array<machine::Reader, 2>;

/// The speed that the other path has the main spindle at in the whole of a stretch, for one that has not
/// spoken to it; nullopt: not known, or not one speed.
std::optional<double> speed_of_other(const TwoPaths& two, const PathStretch& stretch, std::size_t path);
/// Of a feed by the turn of a spindle that another path has at `rpm`; nullopt: not known.
std::optional<double> seconds_lent(const motion::BlockPath& path, const machine::BlockView& view,
                                   std::optional<double> rpm);
/// Tools of both that are in one place between two waits, and cuts of both that are not what they should be
/// together: told in both. `shop`: with the tools of both turrets.
void look_in_space(const TwoPaths& two, PathStretch& stretch, const shop::Shop& shop,
                   const PathReaders& readers, std::vector<PathFinding>& findings);

/// What is kept of pairs from change to change.
struct KeptPaths;
/// Whether both are told to work on one part in a stretch.
bool work_on_one_part(const TwoPaths& two, const PathStretch& stretch);
/// The stock that notes or the shop file tell for both programs; nullopt: none, or one for each.
/// `outlines`: of their files; nullptr: not known.
std::optional<stock::Setup> setup_of(const PathPair& programs,
                                     std::array<const machine::Outline*, 2> outlines, const shop::Shop& shop);
/// For each program of the file that works with another on one part whose stock is told.
std::vector<stock::JointStock> joint_of_pairs(const std::vector<TwoPaths>& all);

/// Waits are the codes that the shop file gives that sense; where it tells none, what notes of either program
/// call so, and M codes of three digits that stand alone in both. `pair`: which of a file's it is.
/// `setup`: of the part under both.
TwoPaths follow_paths(const PathPair& programs, const shop::Shop& shop,
                      const std::optional<stock::Setup>& setup = std::nullopt,
                      const std::shared_ptr<KeptPaths>& kept = nullptr, std::size_t pair = 0);
/// All pairs of which a program stands in this file.
std::vector<TwoPaths> pairs_of_file(const machine::Analysis& analysis, const machine::Outline& outline,
                                    const shop::Shop& shop, OtherPrograms& others);

/// "M101".
std::string written_wait(int code);

/// For the rules: what of one id is to be told in this file.
void report_paths(const FileContext& context, Report& report, std::string_view id);

} // namespace turnwright::checks
