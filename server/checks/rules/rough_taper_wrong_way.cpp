// Roughing passes that taper the other way than the cone that is finished there.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rough_taper_wrong_way {

namespace {

constexpr double least_length_mm = 4, least_share = 0.7, least_rise_mm = 0.1; ///< Rise on radius

bool is_cone(const Leg& leg, double unit_mm) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.is_arc &&
           std::abs(leg.dz()) * unit_mm > least_length_mm && std::abs(leg.dx()) * unit_mm > least_rise_mm &&
           std::abs(leg.dx()) < std::abs(leg.dz());
}
double rises(const Leg& leg) {
    return leg.dx() / leg.dz();
}
/// The same stretch of the part, nearly.
bool over_same_z(const Leg& a, const Leg& b) {
    const double a_low = std::min(a.from.z_mm, a.to.z_mm), a_high = std::max(a.from.z_mm, a.to.z_mm);
    const double b_low = std::min(b.from.z_mm, b.to.z_mm), b_high = std::max(b.from.z_mm, b.to.z_mm);
    const double both = std::min(a_high, b_high) - std::max(a_low, b_low);
    return both > least_share * (a_high - a_low) && both > least_share * (b_high - b_low);
}

/// A later cone over the same stretch that no cycle cuts, and goes the other way; nullptr: none, or one that
/// goes with it.
struct Finished {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
};
Finished finished_behind(const Workpiece& part, const Work& rough, const Leg& pass) {
    Finished found;
    bool begun = false;
    for (const Work* work : part.works) {
        begun = begun || work == &rough;
        if (!begun || work->driven_tool || work->where != rough.where) continue;
        for (const Leg& leg : work->legs) {
            if (work == &rough && &leg <= &pass) continue;
            if (leg.of_cycle || !is_cone(leg, work->unit_mm) || !over_same_z(leg, pass)) continue;
            if (rises(leg) * rises(pass) > 0) return {};
            found = {work, &leg};
        }
    }
    return found;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || work->where == Work::Where::on_centre) continue;
            for (const Leg& leg : work->legs) {
                if (!leg.of_cycle || leg.in_contour || !is_cone(leg, work->unit_mm)) continue;
                const Finished finished = finished_behind(part, *work, leg);
                if (!finished.leg) continue;
                const auto side = [&](const Leg& cone) {
                    return (rises(cone) < 0) == (cone.to.x_radius_mm > 0) ? said("larger") : said("smaller");
                };
                context.at(report, *work, leg, "RIX")
                    .message(said(
                        "These passes get {} in X toward the chuck, and the cone that is finished over the "
                        "same Z gets {}, from {} to {}: one end keeps far too much and the other may be cut "
                        "too deep. Change the sign.",
                        side(leg), side(*finished.leg), context.x(finished.leg->from.x_radius_mm),
                        context.x(finished.leg->to.x_radius_mm)))
                    .related(context.place(*finished.work, *finished.leg), said("the finished cone"));
                return;
            }
        }
}

} // namespace

extern const Check check{
    .id = "rough_taper_wrong_way",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Taper roughed the other way than it is finished",
    .documentation = "A turning cycle with a taper (R, or I) cuts a cone that gets larger toward the chuck "
                     "where the finishing "
                     "cut over the same length gets smaller, or the reverse: the sign of the taper is wrong. "
                     "At one end the "
                     "finishing tool meets many times its allowance, at the other the part may be gone.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G20 G99
T0202
G97 S2000 M03
G00 X1.1 Z.1
G90 X.94 Z-.745 R.0264 F.01
;               ^^^^^^ warning: rough_taper_wrong_way
X.872
G00 X.7477
G01 Z0. F.005
X.8177 Z-.035
X.8624 Z-.75
X1.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0202
G97 S2000 M03
G00 X46. Z1.
G77 X40. Z-20. R2. F.2
;              ^^^ warning: rough_taper_wrong_way
X38.
G00 X33.6
G01 X38. Z-21. F.1
X46.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S2000 M03
G00 X46. Z1.
G20 X40. Z-20. R-2. F.2
X38.6
G00 X33.6
G01 X38. Z-21. F.1
X46.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S2000 M03
G00 X46. Z1.
G90 X40. Z-20. F.2
X38.6
G00 X33.6
G01 X38. Z-21. F.1
X46.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rough_taper_wrong_way
