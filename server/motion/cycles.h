// Inside the motion room: cycles unrolled to single segments. The functions with plain inputs know nothing of
// programs; `add_cycle` reads a block's words and calls them.
#pragma once

#include "motion/path.h"

namespace turnwright::motion {

/// More passes than this are a slip in the program, not a way of cutting.
inline constexpr int most_passes = 10'000;
/// More moves than this are not made of one cycle: its path is left open and says so. Long contours with many
/// passes are rare, and each move is kept in memory by whoever looks at it.
inline constexpr std::size_t most_segments = 100'000;
/// Retract and clearance that a control's parameter sets where the program writes none: taken for picture and
/// time only; nothing is reported from it.
inline constexpr double assumed_clearance_mm = 0.5;

/// What a cycle became, and what is wrong with its words.
struct Unrolled {
    struct Finding {
        Trouble trouble;
        double found = 0, wanted = 0;
        char letter = 0;
    };
    std::vector<Segment> segments;
    std::vector<Finding> troubles;
    int passes = 0;         ///< 0: every pass is one segment
    bool cut_short = false; ///< Segments are missing

    void add(SegmentKind kind, SegmentRole role, Point to, const Feed& feed = {});
    void trouble(Trouble trouble, double found = 0, double wanted = 0, char letter = 0) {
        troubles.push_back({trouble, found, wanted, letter});
    }
    Point at; ///< Where the tool stands; set it to the start first
};

/// A view in which every cycle steps toward smaller X and cuts toward smaller Z.
struct Frame {
    bool swap = false; ///< X and Z change places first
    double x_sign = 1, z_sign = 1;
    Point into(Point point) const;
    Point back(Point point) const;
    Segment into(Segment segment) const;
    Segment back(Segment segment) const;
};

// --- Contours ------------------------------------------------------------------------------------------

struct ContourShape {
    bool monotonic_x = true, monotonic_z = true;
    bool crosses_itself = false;
    Point crossing;
};
ContourShape shape_of(std::span<const Segment> contour);

/// What an allowance leaves square to a contour, on the side the tool is on.
struct Left {
    double least = 0, most = 0;
};
/// `tool_right`: the tool is right of the contour's direction.
Left left_by(Point allowance, std::span<const Segment> contour, bool tool_right);

struct Roughing {
    bool facing = false; ///< Cuts along X, steps in Z
    Point start;
    Segment approach;             ///< First move of the contour, from the start
    std::vector<Segment> contour; ///< The moves behind it
    bool pockets = false;         ///< The first block names both axes: the contour may fall back
    double depth_mm = 0, retract_mm = 0;
    Point allowance; ///< With sign; X on radius
    Feed feed;
};
Unrolled rough(const Roughing& cycle);
/// Whether the tool is right of the contour's direction: turning toward the chuck from outside it is.
bool tool_is_right(const Roughing& cycle);

struct PatternRepeat {
    Point start;
    Segment approach;
    std::vector<Segment> contour;
    Point relief; ///< With sign; X on radius
    Point allowance;
    int passes = 1;
    Feed feed;
};
Unrolled repeat_pattern(const PatternRepeat& cycle);

Unrolled finish(Point start, const Segment& approach, std::span<const Segment> contour);

// --- Cycles of one or two lines ------------------------------------------------------------------------

struct Peck {
    bool side = false; ///< Pecks in X, steps in Z
    Point start, end;
    double peck_mm = 0; ///< 0: in one stroke
    double step_mm = 0; ///< Between columns; 0: one column
    double retract_mm = 0, relief_mm = 0;
    Feed feed;
};
Unrolled peck(const Peck& cycle);

struct ThreadPasses {
    Point start, end;    ///< End: root of the thread
    double taper_mm = 0; ///< Start less end on radius
    double height_mm = 0, first_depth_mm = 0, least_depth_mm = 0, finish_mm = 0;
    int finish_passes = 1;
    double run_out_leads = 0;
    double angle_deg = 0; ///< Infeed along one flank; 0: straight in
    double lead_mm = 0;
};
/// Depths of all passes in order, on radius.
std::vector<double> thread_depths(const ThreadPasses& cycle, Unrolled& out);
Unrolled thread(const ThreadPasses& cycle);

struct SinglePass {
    enum class Kind : std::uint8_t { turning, facing, threading } kind = Kind::turning;
    Point start, end;
    double taper_mm = 0; ///< Start less end: on radius, in Z for facing
    Feed feed;
    double lead_mm = 0;
};
Unrolled single_pass(const SinglePass& cycle);

struct Hole {
    bool side = false; ///< Along X
    bool feed_out = false;
    Point start, place;  ///< `place`: bottom of the hole
    double level_mm = 0; ///< R level: Z, or X as radius
    double peck_mm = 0;
    double dwell_seconds = 0;
    bool return_to_level = false;
    Feed feed;
};
Unrolled drill(const Hole& cycle);

// --- From blocks ---------------------------------------------------------------------------------------

void leave_open(BlockPath& path, machine::Why why);
/// Moves what was unrolled into the path.
void take(BlockPath& path, Unrolled unrolled, machine::BlockPlace place);
void add_cycle(const Step& step, const machine::Reader& reader, BlockPath& path);
void add_contour_cycle(const Step& step, const machine::Reader& reader, BlockPath& path);
/// Reading of the first line of a cycle of two lines: the last block above with the same meaning and no word
/// that the second line has, of another tool, too. nullopt when there is none near.
std::optional<machine::Reading> first_line(const Step& step, const machine::Reader& reader);
bool is_first_line(const machine::Reading& reading);

} // namespace turnwright::motion
