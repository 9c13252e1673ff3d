// Inside the checks room: how wide a part has been opened inside, tool by tool.
#pragma once

#include "checks/works.h"

namespace turnwright::checks {

/// One way of a tool that has opened the part from the inside. Program units, X as radius.
struct Opening {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
    bool drilled = false;        ///< Everything in front of its end, too
    double from_z = 0, to_z = 0; ///< The front and the far end
    double from_x = 0, to_x = 0; ///< Radius there
    double least_x() const { return std::min(from_x, to_x); }
};

/// The hole of one clamping, in the order of its tools. What a work may have opened that nobody can tell (a
/// drill whose size no note gives, moves by unknown values, a tool of which it is not known whether it is
/// inside) ends what is known from there on.
class Bore {
public:
    /// `x_times`: X of bars as it stands, or twice that where nothing says how X is written.
    Bore(const WorksContext& context, const Workpiece& part, double x_times = 1);

    struct Width {
        double radius = 0;           ///< Opened by tools so far
        const Opening* by = nullptr; ///< nullptr: by none
        bool is_known = true; ///< Nothing before may have opened it wider, but for a hole that was there
        /// The widest that it may be: with the hole that the head's note gives; nullopt: not known.
        std::optional<double> most;
    };
    /// At a place, before a move of a work; of none before the work.
    Width before(const Work& work, const Leg* leg, double z) const;
    /// What is opened before it, in order.
    std::vector<const Opening*> openings_before(const Work& work, const Leg* leg = nullptr) const;
    /// The deepest opening before it that is at least so wide, on radius; nullptr: none.
    const Opening* deepest_of_width(double radius, const Work& work, const Leg* leg = nullptr) const;
    /// Nothing before the work may have opened more than the record says.
    bool is_known_before(const Work& work) const {
        return !is_too_long_ && (!known_ || index_of(work) <= *known_);
    }

private:
    std::size_t index_of(const Work& work) const;
    void take(const WorksContext& context, const Work& work, std::size_t index);
    const Workpiece& part_;
    std::vector<std::pair<std::size_t, Opening>> openings_;
    std::optional<std::size_t> known_;   ///< The last work before which all is known
    bool is_too_long_ = false;           ///< More ways than a hand writes: nothing is kept, nothing known
    std::optional<double> first_radius_; ///< Of the hole that the part came with; 0: solid
    double x_times_;
};

} // namespace turnwright::checks
