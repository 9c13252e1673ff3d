// Inside the checks room: who has cut deepest at each Z, so far.
#pragma once

#include "checks/works.h"

namespace turnwright::checks {

/// The cuts along Z of one side, in order. Plunges, threads and what lies in front of the face are left out.
class CutsSoFar {
public:
    struct Cut {
        const Work* work = nullptr;
        const Leg* leg = nullptr;
        double x = 0; ///< Radius
    };
    CutsSoFar(double z_min, double z_max, bool inside);

    void cut(const Work& work, const Leg& leg);
    /// A blade of unknown width has cut here: who cut deepest so near to it is not known any more.
    void forget_near(double z, double width);
    /// Places along a leg and its own X there, from the face to its far end.
    template <class Look>
    void along(const Leg& leg, Look&& look) const { // look(const Cut& so_far, double x)
        each(leg, [&](std::size_t bin, double x) { look(cuts_[bin], x); });
    }
    double step() const { return step_; }
    /// Positive: metal stands at the X.
    double metal(const Cut& cut, double x) const { return inside_ ? x - cut.x : cut.x - x; }

private:
    template <class Look>
    void each(const Leg& leg, Look&& look) const {
        constexpr int chords = 24, fewest_chords = 3;
        const motion::Segment segment = leg.segment();
        // So long that each covers whole places, a small round in a long part, too.
        const int pieces =
            leg.is_arc ? std::clamp(static_cast<int>(std::abs(leg.dz()) / (3 * step_)), fewest_chords, chords)
                       : 1;
        Point from = leg.from;
        for (int i = 1; i <= pieces; ++i) {
            const Point to = leg.is_arc ? motion::point_at(segment, static_cast<double>(i) / pieces) : leg.to;
            each_of_line(from, to, look);
            from = to;
        }
    }
    template <class Look>
    void each_of_line(Point from, Point to, Look&& look) const {
        if (from.z_mm > to.z_mm) std::swap(from, to);
        const double length = to.z_mm - from.z_mm;
        // Only whole places: what a cut touches with its end is another's.
        const auto place = [&](double whole) {
            return static_cast<std::size_t>(std::clamp(whole, 0.0, static_cast<double>(cuts_.size())));
        };
        const std::size_t end = place(std::floor((to.z_mm - z_min_) / step_));
        for (std::size_t bin = place(std::ceil((from.z_mm - z_min_) / step_)); bin < end; ++bin) {
            const double z = z_min_ + (static_cast<double>(bin) + 0.5) * step_;
            if (z > 0) return;
            const double share = (z - from.z_mm) / length;
            look(bin, from.x_radius_mm + (to.x_radius_mm - from.x_radius_mm) * share);
        }
    }
    double z_min_, step_;
    bool inside_;
    std::vector<Cut> cuts_;
};

/// Cuts of a leg that count: at feed, along Z, no thread.
bool cuts_along(const Leg& leg);
/// The leg whose words give the X that a cut is made at.
const Leg& giver_of_x(const Work& work, const Leg& leg);

} // namespace turnwright::checks
