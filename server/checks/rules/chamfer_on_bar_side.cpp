// A blade breaks the edge of the bar that stays in the chuck, and not that of the part it cuts off.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::chamfer_on_bar_side {

namespace {

constexpr double same = 1e-6;

/// Slanting, neither a wall nor a bottom.
bool slants(const Leg& leg) {
    const double x = std::abs(leg.dx()), z = std::abs(leg.dz());
    return leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc && x > 0.3 * z && z > 0.3 * x;
}

const Leg* deepest_plunge(const Work& work) {
    const Leg* found = nullptr;
    for (const Leg& leg : work.legs)
        if (is_plunge(leg) && leg.dx() < 0 && (!found || leg.to.x_radius_mm < found->to.x_radius_mm))
            found = &leg;
    return found;
}

/// An edge at the front is broken by another tool: nobody does it for the next part.
bool breaks_front_edge(const Workpiece& part, const Work& blade) {
    return std::any_of(part.works.begin(), part.works.end(), [&](const Work* work) {
        return work != &blade && work->where == Work::Where::outside &&
               std::any_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
                   return slants(leg) && leg.dx() > 0 && leg.dz() < 0 && leg.from.z_mm >= -same &&
                          leg.to.z_mm < 0;
               });
    });
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    const Leg* off = deepest_plunge(work);
    if (!off || work.driven_tool || work.where == Work::Where::inside) return;
    double outermost = 0;
    for (const Leg& leg : work.legs)
        if (is_plunge(leg)) outermost = std::max(outermost, leg.from.x_radius_mm);
    if (off->to.x_radius_mm > 0.55 * outermost || work.legs.back().cuts()) return; // No part-off
    const Leg* of_bar = nullptr;
    for (const Leg& leg : work.legs) {
        if (&leg > off) break;
        if (!slants(leg) || leg.dx() >= 0 || std::abs(leg.to.z_mm - off->to.z_mm) > same) continue;
        if (leg.dz() < 0) return; // The part's edge
        of_bar = &leg;
    }
    if (!of_bar || !breaks_front_edge(part, work)) return;
    const Leg* placed = of_bar;
    while (placed != work.legs.data() && (placed->cuts() || !placed->moves_z)) --placed;
    context.at(report, work, *placed, "ZW")
        .message(said("From {} the blade breaks the edge of the bar that stays in the chuck: the part "
                      "lies on the other "
                      "side of {}, and its edge stays sharp. {} would lie on its side.",
                      context.z(of_bar->from.z_mm), context.z(off->to.z_mm),
                      context.z(2 * off->to.z_mm - of_bar->from.z_mm)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "chamfer_on_bar_side",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Blade chamfers the bar instead of the part",
    .documentation =
        "Before it cuts the part off the blade breaks an edge, and does so on the side of the chuck: the "
        "edge "
        "of the part stays sharp, and beside its groove the blade runs into bar that nothing has turned. The "
        "part's edge is broken from its own side, from a larger Z down into the groove. Nothing is said "
        "where the front edge of the part is broken by no other tool: it may be done for the next part.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z1.
G01 X58. Z-1. F.1
Z-44.
X62.
G00 Z5.
T0505
G00 X64. Z-43.
G01 X50. F.08
G00 X58.
Z-45.
;^^^^ warning: chamfer_on_bar_side
G01 X54. Z-43. F.06
X23. F.08
G00 X64.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X.9 Z.05
G01 X1.1 Z-.05 F.005
Z-1.3
X1.3
G00 Z1.
T0505
G00 X1.3 Z-1.2
G01 X.8 F.003
G00 X1.12
Z-1.25
;^^^^^ warning: chamfer_on_bar_side
G01 X1.02 Z-1.2
X-.02
G00 X1.3
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z1.
G01 X58. Z-1. F.1
Z-44.
X62.
G00 Z5.
T0505
G00 X64. Z-43.
G01 X50. F.08
G00 X58.
Z-41.
G01 X54. Z-43. F.06
X23. F.08
G00 X64.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X58. Z1.
G01 Z-44. F.1
X62.
G00 Z5.
T0505
G00 X64. Z-43.
G01 X50. F.08
G00 X58.
Z-45.
G01 X54. Z-43. F.06
X-1. F.08
G00 X64.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::chamfer_on_bar_side
