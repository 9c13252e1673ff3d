// Moves as the machine makes them: lines, arcs, threads and cycles unrolled to single passes, with speed and
// time. Lengths in mm, X as radius, angles in radians, times in seconds, rpm.
#pragma once

#include "machine/reader.h"

#include <numbers>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace turnwright::motion {

inline constexpr double mm_per_inch = 25.4; // exact: NBS Circular 572 addendum, 1960

struct Point {
    double x_radius_mm = 0;
    double z_mm = 0;
    bool operator==(const Point&) const = default;
};

/// Spindle while a move is made. Unknown values are nullopt; nothing is guessed.
struct Spindle {
    std::optional<machine::Spindle> which = machine::Spindle::main;
    std::optional<bool> surface_speed;       ///< true: G96, false: G97
    std::optional<double> surface_m_per_min; ///< Under surface speed
    std::optional<double> rpm;               ///< Under constant rpm
    std::optional<double> limit_rpm;         ///< The lower of program's limit and the main spindle's maximum
    bool limit_surely_missing = false;       ///< No limit by program, none in the shop file
    std::optional<bool> turning;             ///< false: stopped
    std::optional<bool> forward;             ///< M03
};
Spindle spindle_of(const machine::State& state, const machine::Settings& settings);
/// The spindle while the block moves: M05 in a block with a move acts behind it.
Spindle spindle_during(const machine::BlockView& view);
/// rpm at a radius: constant, or 1000 v / (2 pi r) held by the limit. nullopt when not known (also at r = 0
/// with no limit).
std::optional<double> rpm_at(const Spindle& spindle, double x_radius_mm);

struct Feed {
    enum class Mode : std::uint8_t { unknown, per_minute, per_rev, inverse_time } mode = Mode::unknown;
    std::optional<double> mm; ///< mm a minute or mm a revolution
};
Feed feed_of(const machine::State& state, const machine::Settings& settings);
/// mm in a program unit; nullopt when the unit is not known.
std::optional<double> mm_per_unit(const machine::State& state);

enum class SegmentKind : std::uint8_t { rapid, feed, thread, dwell };
/// What made a segment: lets the picture and the checks tell a cut pass from the cycle's own retract.
enum class SegmentRole : std::uint8_t { move, cycle_infeed, cycle_pass, cycle_retract, cycle_return, finish };

struct Segment {
    SegmentKind kind = SegmentKind::rapid;
    SegmentRole role = SegmentRole::move;
    Point from, to;
    bool is_arc = false;
    Point centre;
    double sweep = 0; ///< Signed: positive counter-clockwise seen with Z to the right and X up
    Feed feed;
    double lead_mm = 0; ///< thread
    double dwell_seconds = 0;
    double length_mm() const;
};

/// Time of one segment: the exact integral over a facing or taper move under surface speed, split where the
/// speed limit takes over. nullopt when feed, speed, or rapid rate is not known.
std::optional<double> seconds_of(const Segment& segment, const Spindle& spindle,
                                 const shop::Machine& machine);

enum class Trouble : std::uint8_t {
    arc_radius_mismatch,
    arc_radius_too_small,
    arc_without_centre,
    zero_radius,
    zero_lead,
    no_lead,
    contour_missing,
    contour_not_monotonic,
    contour_crosses_itself,
    contour_starts_wrong,
    missing_word,
    zero_depth,
    allowance_sign,
    start_within_contour,
    too_many_passes,
    pass_outside_contour,
    corner_does_not_fit,
    compensation_on_arc,
    lead_in_shorter_than_radius,
    inside_corner_too_tight,
    arc_smaller_than_radius,
    tip_direction_unknown,
};
struct TroubleAt {
    Trouble trouble;
    machine::BlockPlace block;
    double found = 0, wanted = 0; ///< Numbers for the message, mm
    char letter = 0;              ///< missing_word
};

/// Which side of the contour the tool is on, looking along its travel: G40, G41, G42.
enum class Side : std::uint8_t { off, left, right };

/// A feed with C or Y in it, or on X and C as a plane or on a cylinder: its way over the part.
struct TurnedWay {
    double length_mm = 0; ///< On the part: of a turn alone the arc at X
    double degrees = 0;   ///< That C turns, on any of them
    std::optional<double> seconds;
    /// F counts degrees and millimetres (or inches) together here, which some controls read otherwise.
    bool by_usual_reading = false;
};

/// One block's moves. `complete` false: something is not known and segments may be missing; `why` says it.
struct BlockPath {
    std::vector<Segment> segments;
    std::vector<TroubleAt> troubles;
    bool complete = true;
    machine::Why why = machine::Why::known;
    /// What is not known is only the way from or to a place that the program does not tell: the reference
    /// point, or where the tool stood before its offset.
    bool is_way_home = false;
    /// What is not known is only how long the work turns to the place of a hole: the segments hold the rest.
    bool turns_to_hole = false;
    /// The segments hold no more than the way in X and Z: the whole way is this.
    std::optional<TurnedWay> turned;
    bool monotonic_x = true, monotonic_z = true; ///< Contour cycles: the contour's shape
    /// Contour cycles: least and most that the allowances leave for the finish, square to the contour.
    /// Negative: the last rough cut goes into the finished contour there.
    std::optional<double> least_left_mm, most_left_mm;
    /// Finishing cycle: for each segment what its block of the contour has in force.
    std::vector<Side> sides;
    int passes = 0; ///< Of a cycle, as a machinist counts them: a run along the contour is one
};
/// nullopt: not known.
std::optional<Side> side_of(const machine::State& state);
/// `reader` is asked for what stands elsewhere: the contour of a cycle, its first line, the other move of a
/// corner.
BlockPath path_of(const machine::BlockView& view, const machine::Reader& reader);

struct Totals {
    double cut_seconds = 0, rapid_seconds = 0, dwell_seconds = 0, change_seconds = 0;
    double cut_mm = 0, rapid_mm = 0;
    std::uint32_t blocks_without_time = 0; ///< Blocks that move but whose time is not known
    bool about = false;                    ///< Some of it rests on what is assumed
    std::uint32_t blocks_by_assumed = 0;   ///< Blocks whose time a stated rate or mode makes exact
    std::uint32_t blocks_waiting = 0;      ///< Blocks whose time is that of a spindle which stands in them
    std::optional<double> min_x_radius_mm, max_x_radius_mm, min_z_mm, max_z_mm;
    Totals& operator+=(const Totals& other);
    double seconds() const { return cut_seconds + rapid_seconds + dwell_seconds + change_seconds; }
};
Totals totals_of(const BlockPath& path, const machine::BlockView& view);
/// As the time is counted: where a feed by the turn finds the spindle stopped the control waits until it
/// turns (or a tapping cycle turns it), so it is assumed to turn at its speed.
Spindle spindle_in_time(const BlockPath& path, const machine::BlockView& view);

/// Times of runs kept beside them, and of any span of blocks. A run is added up when a span first needs it
/// and again when something that its moves were read from has changed. Not for two threads at once.
class Times {
public:
    void rebuild(const machine::Analysis& analysis);
    void update(const machine::Analysis& analysis, const text::Splice& splice);
    Totals between(machine::BlockPlace first, machine::BlockPlace last) const; ///< Both in
private:
    struct Entry {
        machine::Memo<Totals> memo;
        std::uint64_t looked_at = 0; ///< When it was last found to hold
        /// Spans asked for before: sequences begin and end in the same places again.
        struct Part {
            std::size_t from, to; ///< Half open, in the run
            Totals totals;
        };
        std::vector<Part> parts;
    };
    /// Blocks of the runs last looked at one by one: neighbouring sequences share their border run.
    struct Blocks {
        std::size_t run;
        std::vector<Totals> totals;
    };
    Entry& entry_of(std::size_t run) const;
    const Totals& part_of_run(std::size_t run, std::size_t from, std::size_t to) const;
    const std::vector<Totals>& blocks_of(std::size_t run, const machine::Reader& reader) const;

    const machine::Analysis* analysis_ = nullptr;
    machine::Versions versions_{};
    mutable std::vector<Entry> row_;
    mutable std::vector<Blocks> recent_;
};

// --- Nose radius path ------------------------------------------------------------------------------------

struct NoseMove {
    Segment segment;
    Side side = Side::off; ///< In force in this move's block
    machine::BlockPlace block;
};
struct NosePath {
    std::vector<Segment> centre; ///< Of the nose
    std::vector<Segment> tip;    ///< Of the imaginary tip: what the position display shows
    std::vector<TroubleAt> troubles;
};
/// The imaginary tip seen from the nose's centre, Z to the right and X up (common practice, from memory):
/// 1 up right, 2 up left, 3 down left (turning toward the chuck), 4 down right, 5 right, 6 up, 7 left, 8
/// down, 0 and 9 the centre itself.
Point tip_from_centre(int tip_direction, double nose_radius_mm);
/// The way of the nose along moves that follow each other. `before`: the side in force before the first.
/// Outer corners are rounded about the corner, inner ones cut off where the two ways meet.
NosePath nose_path(std::span<const NoseMove> moves, double nose_radius_mm, int tip_direction,
                   Side before = Side::off);
/// Troubles of compensation in a span of blocks (both in), for tools whose nose radius the shop file gives.
std::vector<TroubleAt> nose_troubles(const machine::Reader& reader, const shop::Shop& shop,
                                     machine::BlockPlace first, machine::BlockPlace last);

// --- Geometry of the trade, each with its source in the .cpp ---------------------------------------------

double rpm_for(double surface_m_per_min, double diameter_mm);
double surface_for(double rpm, double diameter_mm); ///< m/min
/// Facing between two diameters at constant surface speed, no limit.
double facing_minutes(double from_diameter_mm, double to_diameter_mm, double surface_m_per_min,
                      double feed_mm_per_rev);
/// Inside this diameter the speed limit holds.
double limit_diameter_mm(double surface_m_per_min, double limit_rpm);
double drill_point_mm(double diameter_mm, double point_angle_deg);
double roughness_um(double feed_mm_per_rev, double nose_radius_mm); ///< f^2/(8 r), peak to valley
/// The same of the true arc; 0 when the feed is wider than the nose.
double roughness_exact_um(double feed_mm_per_rev, double nose_radius_mm);
/// Depth after each of `passes` passes that all cut the same area of a triangle.
std::vector<double> equal_area_depths(double height_mm, int passes);
double taper_half_angle_deg(double large_diameter, double small_diameter, double length); ///< Any one unit
/// What the nose radius leaves on a line at `angle_deg` to the axis when it is programmed by the sharp tip.
struct NoseShift {
    double z_mm, x_radius_mm, normal_mm;
};
NoseShift nose_shift(double nose_radius_mm, double angle_deg);
/// How far a nose of this radius stands back from the sharp corner of an insert, in Z and X: the difference
/// of two radii times this for 1 mm is the offset to correct after changing inserts.
NoseShift corner_setback(double nose_radius_mm, double insert_angle_deg, double approach_angle_deg);
struct ThreadSize {
    double major_mm, pitch_mm, pitch_diameter_mm, minor_inside_mm, minor_outside_mm, depth_outside_mm,
        depth_inside_mm;
    double flank_angle_deg = 60;
};
/// "M24x1.5", "M10", "3/4-16", "1/4-20 UNC", "G1/2", "1/2 BSP"; nullopt when it is no thread name this table
/// knows.
std::optional<ThreadSize> thread_size(std::string_view name);
/// Drill before tapping: the usual size of a coarse metric thread, else major less pitch. One common choice:
/// the percentage of thread is free to choose.
std::optional<double> tap_drill_mm(std::string_view name);
/// External taper pipe thread, 1 in 16 on diameter.
struct TaperPipe {
    double outside_mm, pitch_mm, threads_per_inch;
    double pitch_diameter_at_end_mm; ///< E0, at the small end
    double effective_length_mm;      ///< L2
    double height_mm;                ///< 0.8 pitch, truncated; of ISO 7-1 0.64
    double half_angle_deg;
    double flank_angle_deg = 60;
};
/// "1/2-14 NPT", "1/2 NPT", "R1/2", "1/2 BSPT"; nullopt when it is no size this table knows.
std::optional<TaperPipe> taper_pipe(std::string_view name);

} // namespace turnwright::motion
