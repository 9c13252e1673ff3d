// Inside the stock room: single moves against the profile that is left.
#pragma once

#include "stock/passes.h"
#include "stock/turret.h"

#include <array>

namespace turnwright::stock {

/// One move with what it needs to be judged.
struct Job {
    motion::Segment segment;
    Near block;
    motion::Spindle spindle;
    bool pose_only = false; ///< A rapid from an unknown place: only its end counts
    Passed passed = {};     ///< Which one it is, for who looks on
};

/// The profile and everything moves do to it. `course` gets events, cuts and sums.
class Cutter {
public:
    Cutter(const Setup& setup, const shop::Machine& machine, const shop::Shop& shop, Region profile,
           SequenceCourse& course);

    void take(const shop::Tool* tool); ///< Another tool
    /// Its spindle is an axis, or the tool drills from the side: a turning tool of the shop file's is none
    /// here.
    void stand(bool stands) { stands_ = stands; }
    void show_flanks(bool shown) { shows_flanks_ = shown; }
    /// The part lies in a second spindle, where nothing else that is told of stands; `to_plus`: Z grows into
    /// it, and tools look the other way.
    void lie_in_second(bool to_plus) {
        zones_.clear();
        in_second_ = true;
        to_plus_ = to_plus;
    }
    const ToolShape& shape() const { return shape_; }
    const shop::Tool* tool() const { return tool_; }
    /// The turret turns from one tool to another while the first one's point stands at `tip`.
    void index(const shop::Tool* from, const shop::Tool* to, Point tip, Near block);
    void rapid(const Job& job);
    /// None when all is well, else why the stock cannot be followed any further.
    Stop cut(const Job& job);
    Region& profile() { return profile_; }

private:
    bool stands_ = false, in_second_ = false, to_plus_ = false;
    void tell_missing(); ///< Of a tool that cuts
    void look_at_zones(const Job& job);
    void look_at_bar(const Job& job);
    void look_at_reach(const Job& job);
    void look_at_holder(const Job& job);
    void look_at_neighbours(const Job& job);
    /// Tells of one of `standing` in the part or beside it; what is told is not told again.
    void tell_of(const Turret::Standing& standing, EventKind kind, const Job& job, Point tip);
    void look_at_flutes(const Job& job);
    Region beside_flutes(double z_mm) const;
    void look_at_blade(const Job& job);
    Clearance* known_clearance(Body body); ///< nullptr: none yet
    void note_clearance(Clearance clearance);
    bool look_at_back_edge(const Job& job, const Region& removed); ///< True when it rubs
    void look_at_load(const Job& job, double depth_mm);
    void measure(const Job& job, const Region& removed);
    void drop_parted(const Job& job);
    void add_event(Event event);
    void add_way(const motion::Segment& segment, const Region& removed);

    const Setup& setup_;
    const shop::Machine& machine_;
    SequenceCourse& course_;
    Region profile_;
    const shop::Tool* tool_ = nullptr;
    ToolShape shape_;
    const Material* material_;
    bool told_missing_ = false, shows_flanks_ = false;
    std::vector<Zone> zones_;
    Turret turret_;
    std::vector<std::pair<int, Body>> neighbours_told_; ///< By station
    double fed_since_out_mm_ = 0; ///< Of a drill, since its flutes stood out of the hole
    std::array<bool, static_cast<std::size_t>(Body::count_)>
        holder_hit_{};                ///< By body: told once for a tool of a sequence
    std::optional<Point> got_in_;     ///< Where the last rapid ended inside the stock
    std::optional<Point> behind_cut_; ///< Where the last cut ended, when nothing has moved since
};

} // namespace turnwright::stock
