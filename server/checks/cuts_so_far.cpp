#include "checks/cuts_so_far.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks {

namespace {
constexpr std::size_t places = 1024;
}

CutsSoFar::CutsSoFar(double z_min, double z_max, bool inside)
    : z_min_(z_min), step_(std::max((z_max - z_min) / places, 1e-6)), inside_(inside), cuts_(places) {}

void CutsSoFar::cut(const Work& work, const Leg& leg) {
    each(leg, [&](std::size_t bin, double x) {
        Cut& so_far = cuts_[bin];
        if (!so_far.leg || metal(so_far, x) > 0) so_far = {&work, &leg, x};
    });
}

void CutsSoFar::forget_near(double z, double width) {
    for (std::size_t bin = 0; bin < cuts_.size(); ++bin)
        if (std::abs(z_min_ + (static_cast<double>(bin) + 0.5) * step_ - z) < width) cuts_[bin] = {};
}

bool cuts_along(const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && std::abs(leg.dz()) > 1e-6;
}

const Leg& giver_of_x(const Work& work, const Leg& leg) {
    const Leg* giver = &leg;
    while (giver != work.legs.data() && !giver->moves_x) --giver;
    return giver->moves_x ? *giver : leg;
}

} // namespace turnwright::checks
