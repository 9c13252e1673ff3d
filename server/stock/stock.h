// The stock while a program cuts it: what is left, what each move takes off, what a move would hit, and
// estimates of load.
//
// The stock is a turned profile: an area of the half-plane Z (to the right) and X as radius (up, from the
// centreline). Lengths in mm, areas in mm2, volumes in mm3. Curves are cut into chords that leave them by at
// most `arc_tolerance_mm`; two things that overlap by less than `touch_mm` only touch.
//
// What is not known is never made up: a tool whose shape the shop file does not give is followed by its bare
// tip only, and from its first cut on the stock is not known. Where a shape is given in part, more is taken
// off than the tool may take, never less: what is said to be left surely is there, so that no alarm is false.
//
// A holder is known only where the shop file gives its outline, and the tools beside the one that works only
// where it says how they stand on the turret. A picture of stock is no proof of anything: it knows no
// deflection and no wear.
#pragma once

#include "language/language.h"
#include "motion/motion.h"

#include <memory>

namespace turnwright::machine {
class PickedWay;
}

namespace turnwright::stock {

using machine::BlockPlace;
using motion::Point;

inline constexpr double arc_tolerance_mm = 0.002;
inline constexpr double touch_mm = 0.02;
/// Longer than any lathe: where an edge or a tool has no end that we know of.
inline constexpr double reach_mm = 1000;
/// A centre whose diameter is not given is at least this thick on radius.
inline constexpr double least_centre_mm = 2;

// --- Areas of the half-plane ------------------------------------------------------------------------------

/// A point of the grid that areas stand on: a hundred-thousandth of a millimetre.
struct GridPoint {
    std::int64_t z = 0, x = 0;
    bool operator==(const GridPoint&) const = default;
};
inline constexpr double grid_per_mm = 1e5;
using Loop = std::vector<GridPoint>;

struct Box {
    double z_min = 0, z_max = 0, x_min = 0, x_max = 0;
};

/// An area with straight edges. Outer loops run counter-clockwise (Z right, X up), holes clockwise.
struct Region {
    std::vector<Loop> loops;

    bool empty() const { return loops.empty(); }
    double area_mm2() const;
    double volume_mm3() const; ///< Turned about the centreline
    std::vector<std::vector<Point>> outlines() const;
    Box box() const; ///< All zero when empty
    bool operator==(const Region&) const = default;
};
using RegionPointer = std::shared_ptr<const Region>;

Region rectangle(double z_min, double z_max, double x_min, double x_max);
Region polygon(std::span<const Point> outline); ///< Either way round
Region hull(std::span<const Point> points);     ///< The convex outline around points
Region intersect(const Region& a, const Region& b);
Region subtract(const Region& a, const Region& b);
Region unite(const Region& a, const Region& b);
/// Its part to the left of a line (looking along `along`), further than `beyond` from it.
Region part_beyond(const Region& area, Point through, Point along, double beyond);
/// Whether it is anywhere wider than `width`: less is a touch.
bool is_wider(const Region& area, double width_mm);
/// Its edges moved inward.
Region shrink(const Region& area, double by_mm);
/// The loops each with its holes, one region each.
std::vector<Region> pieces(const Region& area);

// --- Raw stock
// ----------------------------------------------------------------------------------------------

/// Stock, jaws and tailstock of one program, in its coordinates.
struct Setup {
    double radius_mm = 0, bore_radius_mm = 0;
    double front_z_mm = 0, back_z_mm = 0;
    bool back_is_known = true; ///< Else so far back that no move gets there
    std::optional<double> jaw_z_mm, jaw_radius_mm;
    std::optional<double> tail_z_mm, tail_radius_mm;
    std::optional<double> quill_z_mm, quill_radius_mm;
    std::optional<double> tail_body_z_mm, tail_body_radius_mm;
    std::optional<double> steady_z_mm, steady_width_mm, steady_radius_mm; ///< Middle, width, outside
    std::string material;
    std::optional<BlockPlace> note; ///< Where it was read from; nullopt: the shop file
    std::optional<int> path; ///< Of two turrets the one that works, 1 or 2; nullopt: as the shop file has it
    /// For a picture alone: programs out of sight and work round the axis are taken to leave the turned shape
    /// as it is, and a bar that was pulled counts only where it is turned again.
    bool is_drawn_only = false;
    /// From this place on the part lies otherwise. Followed for a picture alone.
    struct TurnedRound {
        enum class How : std::uint8_t {
            by_hand,    ///< Its other end is in front
            taken_over, ///< The same, and a second spindle holds it
            pulled,     ///< The bar stands further out by `pull_mm`
            next_part   ///< The main spindle goes on with its bar
        };
        BlockPlace at;
        /// Where the other end stands then, and how long the part is where the stock has no known end.
        double front_z_mm = 0, least_length_mm = 0;
        How how = How::by_hand;
        bool to_plus = false; ///< Z grows into the part
        bool cut_off = false; ///< Taken over is what fell off the bar, else all of the stock
        bool is_known = true; ///< False: made before the program begins; of a pull its way is not known
        double pull_mm = 0;
        bool turns() const { return how == How::by_hand || how == How::taken_over; }
        bool operator==(const TurnedRound&) const = default;
    };
    std::vector<TurnedRound> turned_round;
    /// First and last block of the loops in which the part comes to lie otherwise: one turn of them is drawn.
    std::vector<std::pair<BlockPlace, BlockPlace>> once;
    std::shared_ptr<const machine::PickedWay> way; ///< Of what is drawn only
};
Region raw_stock(const Setup& setup);

/// What stands still, or turns, and is not to be hit.
enum class Body : std::uint8_t { part, jaws, tailstock, quill, tailstock_body, steady, count_ };
inline std::string_view title(Body body) {
    constexpr TableText titles[] = {"part", "jaws", "tailstock", "quill", "tailstock body", "steady rest"};
    return titles[static_cast<std::size_t>(body)];
}
struct Zone {
    Body body;
    Region area;
};
/// Everything beside the part that is told of, as areas of the half-plane.
std::vector<Zone> zones_of(const Setup& setup);

/// The stock note, a note of our own form in a program's head, lengths in the program's unit, a number with
/// or without a point meaning the same:
///
///     (STOCK D60. L120. FACE 1.5 BORE 20. JAW Z-80. D180. TAIL Z2. D12. MATERIAL P)
///
/// D and L, diameter and length of the raw stock, must be there. FACE is how far it stands in front of Z0
/// (left out: 0), BORE its bore (left out: solid), JAW the front and the largest diameter of the jaws, TAIL
/// the point and the diameter of the tailstock's centre, QUILL the front and the diameter of its quill,
/// STEADY the middle, the width W and the outside diameter of a steady rest. A note that starts with STOCK
/// and goes on in other words is a note like any other.
struct StockNote {
    std::optional<double> diameter, length, face, bore, jaw_z, jaw_diameter, tail_z, tail_diameter;
    std::optional<double> quill_z, quill_diameter, steady_z, steady_width, steady_diameter;
    std::string material;
    std::string wrong; ///< Not empty: what is wrong with it
    bool usable() const { return wrong.empty(); }
};
/// nullopt: a note of another kind. `text` without its parentheses.
std::optional<StockNote> read_stock_note(std::string_view text);

// --- Tools
// --------------------------------------------------------------------------------------------------

/// What a tool is in the half-plane, from its programmed point (the imaginary tip, the corner of a grooving
/// tool, the point of a drill).
struct ToolShape {
    enum class Way : std::uint8_t { outward, inward, along_z, all } body = Way::all; ///< Where its body is
    std::vector<Point> cuts;                ///< Convex outline of what it takes off; empty: takes nothing off
    std::vector<Point> surely;              ///< Convex outline that is there for certain; never empty
    bool known = false;                     ///< `cuts` may be used
    bool exact = false;                     ///< `cuts` is the shape itself, else more than it
    bool bare_tip = false;                  ///< `surely` is a mere point
    bool ignored = false;                   ///< A live tool: neither cuts a turned profile nor is looked at
    bool moves_bar = false;                 ///< A bar puller: the stock is not where it was
    std::optional<Point> leading, trailing; ///< Directions of the edges from the tip, where they are known
    double nose_radius_mm = 0;
    Point nose_centre; ///< From the programmed point
    std::optional<double> smallest_bore_mm;
    std::vector<std::string_view> missing; ///< Keys of the shop file that would tell more: "nose_radius"
    std::vector<Point> holder; ///< What does not cut, counter-clockwise, may be hollow; empty: not known
};
ToolShape shape_of(const shop::Tool* tool); ///< nullptr: not in the shop file
/// The same at a second spindle, where Z may grow into the part (`to_plus`) or be mirrored: a tool of one
/// side looks into the part there, whatever its direction is told by. A blade has no side of its own.
ToolShape shape_in_second(const shop::Tool* tool, bool to_plus);

/// What an outline sweeps along a move (rapids and threads as straight moves).
Region sweep(std::span<const Point> outline, const motion::Segment& segment);
/// The same of an outline that need not be convex, counter-clockwise and not crossing itself.
Region sweep_hollow(std::span<const Point> outline, const motion::Segment& segment);
/// From an area to a rectangle; 0 where they meet.
double distance_mm(const Region& area, const Box& box);

// --- Loads (estimates)
// --------------------------------------------------------------------------------------

/// A published value: specific cutting force at a feed for one turn.
struct ForceAtFeed {
    double feed_mm_per_rev, kc_n_per_mm2;
};
/// Work materials by ISO 513 groups. Specific cutting force (N/mm2) by a published table over the feed, else
/// by Kienzle's rule kc = kc1.1 h^-mc over the chip thickness (mm).
struct Material {
    std::string_view name;
    char group; ///< P M K N S H
    double kc11_n_per_mm2, mc;
    TableText source;
    std::span<const ForceAtFeed> by_feed = {}; ///< Empty: by Kienzle's rule
};
std::span<const Material> materials();
/// By name or group letter (the group's first row), in any case; nullptr when not in the table.
const Material* material(std::string_view name);

/// kc at a feed for one turn and a chip thickness, mm; each material uses the one that its values are over.
double specific_force(const Material& material, double feed_mm_per_rev, double chip_thickness_mm);
double chip_thickness_mm(double feed_mm_per_rev, double approach_angle_deg);
double removal_cm3_per_min(double surface_m_per_min, double depth_mm, double feed_mm_per_rev);
double cutting_force_n(double depth_mm, double feed_mm_per_rev, double kc_n_per_mm2);
/// At the spindle; divided by the efficiency it is the motor's.
double power_kw(double depth_mm, double feed_mm_per_rev, double surface_m_per_min, double kc_n_per_mm2,
                double efficiency = 1);
double torque_nm(double force_n, double x_radius_mm);

/// Loads of one move, at the end of it where they are highest. All estimates: new edges, no chatter, a
/// published specific force that is right within a fifth or so.
struct Estimate {
    std::optional<double> depth_mm, feed_mm_per_rev, surface_m_per_min;
    std::optional<double> removal_cm3_per_min;
    std::optional<double> specific_force_n_per_mm2, force_n;
    std::optional<double> power_kw;     ///< At the spindle
    std::optional<double> motor_kw;     ///< With the machine's efficiency; nullopt when it is not given
    std::optional<double> torque_nm;    ///< At the spindle
    std::optional<double> roughness_um; ///< f^2/(8 r), peak to valley
    const Material* material = nullptr;
    std::vector<std::string_view> missing; ///< What is not known: "depth of cut", "material", ...
};
/// `tool`, `material` nullptr and `depth_mm` nullopt: not known. Depth of a drill: what it takes off on
/// radius.
Estimate estimate(const motion::Segment& segment, const motion::Spindle& spindle, const shop::Tool* tool,
                  const Material* material, const shop::Machine& machine, std::optional<double> depth_mm);

// --- A program's course through its stock
// -------------------------------------------------------------------

enum class EventKind : std::uint8_t {
    rapid_through,  ///< amount: how deep, way: length of the way in it
    ends_inside,    ///< A rapid from an unknown place ends in what is left
    too_deep,       ///< amount: depth, limit: the tool's
    bar_too_wide,   ///< amount: diameter left for the bar, limit: what it needs
    jaws,           ///< amount: how far behind the front of the jaws
    tailstock,      ///< amount: how deep; `body`: in its centre, quill or body
    steady,         ///< amount: how deep
    back_edge_rubs, ///< amount: angle of the contour in degrees, limit: of the trailing edge
    past_centre,    ///< amount: how far past on radius, limit: what is usual
    parted_with_tailstock,
    too_much_power,  ///< amount: kW of the motor, limit
    too_much_torque, ///< amount: Nm, limit
    beyond_reach,    ///< amount: how far the tool is in at least, limit: its reach
    flutes_inside,   ///< amount: how far the drill is in, limit: length of its flutes
    holder_hits,     ///< amount: how deep; `body`: in what
    neighbour_hits,  ///< amount: how deep; `body`: in what; `station`: which tool beside, 0: the turret
    index_hits,      ///< The same while the turret turns from one station to the next
};
/// A place in a sequence, counted from its first run, so that lines put in above move nothing.
struct Near {
    std::uint32_t runs = 0, block = 0;
};
struct Event {
    EventKind kind;
    Near block;
    Point at; ///< Where the tool is when it starts
    double amount = 0, limit = 0, way = 0;
    bool rapid = false;
    Body body = Body::part;
    int station = -1;
};
/// How near a holder gets to jaws or tailstock without a hit.
struct Clearance {
    Body body = Body::jaws;
    double mm = 0;
    Near block;
};
/// What one block took off.
struct BlockCut {
    Near block;
    double removed_mm3 = 0;
    double depth_mm = 0; ///< Deepest, square to the way of the tool; of a drill what it widens on radius
};
/// Loads of the heaviest move of a block, with its deepest cut. `cut` nullptr: what it takes off is not
/// known. nullopt: no feed move.
std::optional<Estimate> estimate_block(const machine::BlockView& view, const motion::BlockPath& path,
                                       const BlockCut* cut, const shop::Tool* tool, const Material* material);

enum class Stop : std::uint8_t {
    none,
    incomplete_stock, ///< `missing` names what the shop file lacks
    bad_note,
    several_programs, ///< The shop file's stock cannot be that of all of them
    units_unknown,
    tool_unknown, ///< `missing` names what the shop file lacks
    path_unknown, ///< `why` says it
    call,
    jump,
    datum,
    bar_moved,
    turned_round, ///< How the part lies with its other end in front is not told
    taken_over,   ///< The same, in a second spindle
    off_centre,   ///< A drill beside the centreline, or work behind it
    too_many_moves,
    other_turret, ///< What the other one of two turrets has left by then is not known
    above,        ///< Stopped in a sequence above
};
struct SequenceCourse {
    BlockPlace first, last;                      ///< Both in
    const machine::Sequence* sequence = nullptr; ///< In the outline given; nullptr: the head
    RegionPointer in, out;                       ///< nullptr: not known
    bool in_by_both = false;      ///< `in` is what two turrets have left, not `out` of the one above
    RegionPointer before_parting; ///< Of a parting tool: what its deepest plunge begins on
    RegionPointer fallen;         ///< What it has cut off the bar; only where it is drawn
    double removed_mm3 = 0;
    double cut_mm = 0, air_mm = 0; ///< Way at feed in material and in air; threads left out
    std::uint32_t cutting_blocks = 0;
    bool exact = true; ///< False: more was taken off than the tools may take
    std::vector<Event> events;
    std::vector<BlockCut> cuts; ///< In order of place, blocks that took something off
    struct Tool {
        Near block;
        int station = -1;
    };
    std::vector<Tool> tools_in_loop; ///< Calls in a loop around several sequences
    Near parted_at;                  ///< Of `before_parting`
    Stop stop = Stop::none;
    Near stopped_at;
    machine::Why why = machine::Why::known;
    int station = -1;
    std::vector<std::string_view> missing; ///< Also without a stop: what would tell more
    std::vector<Clearance> clearances;     ///< Least ones, one a body; none where no holder is known
    bool bar_renewed = false; ///< Drawn only: a bar pulled behind a part-off stands as the first did
    BlockPlace place(Near near) const { return {first.run + near.runs, near.block}; }
};
struct ProgramCourse {
    const machine::ProgramPart* program = nullptr;
    std::optional<Setup> setup;
    Stop stop = Stop::none; ///< Why nothing is followed at all; none without setup: no stock is given
    std::string wrong;      ///< bad_note
    std::optional<BlockPlace> note;
    std::vector<std::string_view> missing;
    std::vector<SequenceCourse> sequences; ///< Head first
    bool is_given() const { return setup || note || stop != Stop::none; }
};

/// One part under two turrets, for the program of one of them: with what the other has left of it, looked at
/// from wait to wait.
struct JointStock {
    struct Stretch {
        BlockPlace first;
        RegionPointer in; ///< Less than there is: without what the other cuts in it; nullptr: not known
        std::optional<int> path; ///< The turret that works: 1 or 2
        bool operator==(const Stretch&) const = default;
    };
    std::optional<Setup> setup;     ///< nullopt: none is given
    std::vector<Stretch> stretches; ///< In order; the first begins the program
};

/// More moves than this in a file are not followed while it is edited: they take about a fifth of a second.
inline constexpr std::size_t most_moves = 5000;

/// All programs of a file, kept from change to change: a sequence is followed anew when its blocks, or the
/// stock that enters it, have changed. Not for two threads at once.
class Course {
public:
    Course();
    ~Course();
    Course(Course&&) noexcept;
    Course& operator=(Course&&) noexcept;

    /// Before `follow`: for a picture how the part lies, else only where it is turned round, and it is
    /// followed no further.
    void turn_round(std::vector<Setup::TurnedRound> turned_round);
    /// Before `follow`: of this analysis, for what is drawn only; else it is found anew.
    void pick_way(std::shared_ptr<const machine::PickedWay> way);
    /// After any change. `outline` must be of this analysis and outlive what is read from here.
    void follow(const machine::Analysis& analysis, const shop::Shop& shop, const machine::Outline& outline,
                std::size_t most = most_moves, bool is_drawn_only = false,
                std::span<const JointStock> joint = {});
    /// What a program's head or the shop file tells of its stock; nothing is followed. `alone`: no other
    /// program of the file may mean the shop file's.
    static ProgramCourse told(const machine::Analysis& analysis, const shop::Shop& shop,
                              const machine::ProgramPart& program, bool alone);
    const std::vector<ProgramCourse>& programs() const;
    /// What a block took off; nullptr: nothing, or not known.
    const BlockCut* cut_at(BlockPlace place) const;
    /// The sequence a block is in; nullptr when it is not followed.
    const SequenceCourse* sequence_at(BlockPlace place) const;
    std::size_t followed_anew() const; ///< Sequences by the last call
private:
    struct Implementation;
    std::unique_ptr<Implementation> implementation_;
};

} // namespace turnwright::stock
