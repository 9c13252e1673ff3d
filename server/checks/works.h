// Inside the checks room: geometry without stock. What every tool of a program does, from the moves alone,
// and what they show of the part: a later cut tells what is still metal before it.
//
// Lengths are program units (a program that states no unit is followed, too), X as radius. What is not known
// is left out; nothing is guessed from it.
#pragma once

#include "checks/rule.h"
#include "motion/geometry.h"

#include <algorithm>

namespace turnwright::checks {

using motion::Point;

/// One move in the order that the program gives it; a move whose ends are not known has `known` false.
struct Leg {
    enum class Kind : std::uint8_t { rapid, feed, thread, home } kind = Kind::rapid;
    Near block; ///< From the first run of its span; of a block of a called program its call
    /// Of a block of a called program, and of a turn of a loop: the place itself.
    std::optional<BlockPlace> run_at;
    bool known = false;
    bool arrives = false;                  ///< Its end is known
    bool moves_x = false, moves_z = false; ///< By its words
    bool in_contour = false;               ///< Of a cycle's contour
    bool of_cycle = false;                 ///< Made by a cycle
    bool behind_other = false; ///< Between it and the move before: a dwell, an M code, a call or a speed
    bool by_letters = false;   ///< U or W, or under G91
    bool spindle_stands = false;
    bool is_arc = false;
    bool clockwise = false;
    bool by_centre = false; ///< An arc by I and K
    bool by_pass = false;   ///< Under a code that cuts a thread pass by pass
    double feed = 0;        ///< In force behind its block, program units; 0: not known
    motion::Side side = motion::Side::off;
    int x_sign = 0; ///< Which way X goes by its U, where its ends are not known
    Point from, to;
    Point centre;
    double sweep = 0;

    double dx() const { return to.x_radius_mm - from.x_radius_mm; }
    double dz() const { return to.z_mm - from.z_mm; }
    bool cuts() const { return kind == Kind::feed || kind == Kind::thread; }
    /// Of a thread cut pass by pass, no whole cycle; 0: not known.
    double lead() const { return kind == Kind::thread && by_pass ? feed : 0; }
    motion::Segment segment() const;
};

/// A finish along a contour with nose compensation on: the way that its feeds go.
struct Finish {
    Near block;
    std::optional<BlockPlace> run_at;
    motion::Side side = motion::Side::off;
    double dx = 0, dz = 0, length = 0;
    bool outside = false; ///< It starts outside of the contour; else inside of it
};

/// What one tool does, from its call to the next.
struct Work {
    std::size_t span = 0;
    std::optional<BlockPlace> called_at; ///< Where a called program calls the tool
    int tool = -1;
    bool same_datum = true;    ///< As the work before it
    bool behind_stop = false;  ///< A program stop stands before it: the part may have been turned round
    bool driven_tool = false;  ///< It turns by itself, or the spindle stands: no turned profile
    bool blade = false;        ///< By its moves (is_blade)
    bool noted_inside = false; ///< A note of its sequence, or the list of the head, calls it a boring bar
    /// It cuts on the far side of the centre, X minus: its legs are mirrored, so that they stand and arcs
    /// turn as they would on the near side. `Leg::side` is as written.
    bool beyond_centre = false;
    double unit_mm = 1; ///< mm of a program unit
    std::vector<Leg> legs;
    std::vector<Finish> finishes;
    enum class Where : std::uint8_t { unknown, outside, inside, on_centre } where = Where::unknown;
};
inline bool threads(const Work& work) {
    return std::any_of(work.legs.begin(), work.legs.end(),
                       [](const Leg& leg) { return leg.kind == Leg::Kind::thread; });
}
/// The move after it; nullptr: it is the last.
inline const Leg* next_of(const Work& work, const Leg& leg) {
    return &leg + 1 < work.legs.data() + work.legs.size() ? &leg + 1 : nullptr;
}
/// Of two directions, 0 to 180.
double degrees_between(Point a, Point b);

/// The works of a span, as its blocks give them: what they call and loops, turn by turn where it is known how
/// they go on.
struct SpanWorks {
    std::vector<Work> works;
    bool ends_part = false;    ///< A program stop or another datum behind its last move
    bool shifts_datum = false; ///< Behind its last move
};
SpanWorks works_between(const machine::Reader& reader, BlockPlace first, BlockPlace last);

/// Heights of a profile along Z.
class Profile {
public:
    Profile() = default;
    Profile(double z_min, double z_max);
    std::optional<double> at(double z) const;
    void lower(const Leg& leg) { put(leg, true); } ///< An outside cut
    void face(const Leg& leg); ///< The same; along X by other than a blade nothing stands in front of it
    void raise(const Leg& leg) { put(leg, false); } ///< An inside cut
    bool empty() const { return heights_.empty(); }
    double step() const { return step_; }

private:
    void put(const Leg& leg, bool lower);
    void put_line(Point from, Point to, bool lower);
    double z_min_ = 0, step_ = 1;
    std::vector<double> heights_; ///< Not a number: nothing known
};

/// Works on one part in one clamping, in order.
struct Workpiece {
    std::vector<const Work*> works;
    double z_min = 0, z_max = 0; ///< Of all cuts
    Profile outside, bore;       ///< Behind all cuts
    double first_clear_x = 0;    ///< The largest X that a feed begins at
};

/// For rules on what the tools do to the part, with the words that a message points to.
struct WorksContext {
    const machine::Reader& reader;
    const shop::Shop& shop;
    std::span<const Span> spans;
    std::span<const Workpiece> parts;
    bool stock_is_given; ///< The file's programs are followed through it

    template <class LegOrFinish>
    BlockPlace place(const Work& work, const LegOrFinish& leg) const {
        return leg.run_at ? *leg.run_at : spans[work.span].place(leg.block);
    }
    /// Where a message points to: the word with one of these letters, else the block.
    Report::Entry at(Report& report, const Work& work, const Leg& leg, std::string_view letters) const;
    /// The same; of a value that a macro call gives the call.
    Report::Entry at_giver(Report& report, const Work& work, const Leg& leg, std::string_view letters) const;
    std::string x(double x_radius) const { return spoken_x(x_radius, reader.settings()); }
    std::string z(double z) const { return "Z" + written(z); }
};
/// How a work's part is held: works of another clamping have another number, and those behind a second chuck
/// that took the part over another count.
struct Clamping {
    std::size_t number = 0, taken_over = 0;
    bool other_datum = false; ///< Than the work before, of another span; the part is held as it was
    bool in_second = false;   ///< The second spindle holds it alone
    std::size_t drawn = 0;    ///< So often its slide has drawn the bar out
    bool operator==(const Clamping& other) const {
        return number == other.number && taken_over == other.taken_over && in_second == other.in_second &&
               drawn == other.drawn;
    }
};
/// Sorts works into parts and tells outside from inside.
std::vector<Workpiece> parts_of(std::span<Work* const> works, const std::vector<Clamping>& clampings);

/// A tool that is fed into a face along Z and comes back the way it went: face grooves, trepanning.
bool plunges_into_face(const Work& work);
/// A blade goes in: along X only, in front of no face.
bool is_plunge(const Leg& leg);
/// It does nothing but plunge, but for short ways sideways.
inline bool is_blade(const Work& work) {
    return work.blade;
}
bool goes_as_blade(const Work& work); ///< The same from its moves

/// Longer files are not looked at: they would be followed at every key.
inline constexpr std::size_t most_runs_of_works = 80;

} // namespace turnwright::checks
