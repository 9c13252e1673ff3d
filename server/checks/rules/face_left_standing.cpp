// A face that is left in front of where the rest of the program has it.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::face_left_standing {

namespace {

struct Face {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
};

/// Across the front: straight in along X.
bool faces(const Work& work, const Leg& leg) {
    return !work.driven_tool && work.where != Work::Where::inside && leg.kind == Leg::Kind::feed &&
           leg.known && leg.dz() == 0 && leg.dx() < 0 && leg.to.z_mm * work.unit_mm > -1;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    Face lowest;
    bool at_nought = false, edge_at_nought = false;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return;
            // A ball comes to the centre by its round.
            const bool on_centre = leg.cuts() && work->where != Work::Where::on_centre &&
                                   std::min(leg.from.x_radius_mm, leg.to.x_radius_mm) * work->unit_mm < 0.5 &&
                                   leg.dx() != 0 &&
                                   std::min(leg.from.z_mm, leg.to.z_mm) * work->unit_mm < 0.1;
            at_nought = at_nought || on_centre;
            if (leg.cuts() && leg.dz() == 0 && leg.dx() != 0 && leg.to.z_mm * work->unit_mm < 0.1 &&
                leg.to.z_mm * work->unit_mm > -1)
                at_nought = true;
            const bool edge = leg.kind == Leg::Kind::feed && leg.known && leg.dz() != 0 &&
                              std::max(leg.from.z_mm, leg.to.z_mm) == 0;
            edge_at_nought =
                edge_at_nought || (edge && !work->driven_tool && work->where != Work::Where::on_centre);
            if (!faces(*work, leg) || leg.to.x_radius_mm * work->unit_mm > 2) continue;
            if (!lowest.leg || leg.to.z_mm < lowest.leg->to.z_mm) lowest = {work, &leg};
        }
    if (!lowest.leg || at_nought) return;
    const double z = lowest.leg->to.z_mm * lowest.work->unit_mm;
    if (z < 0.6 || z > 3.1 || part.z_min * lowest.work->unit_mm > -2) return;
    if (!edge_at_nought) return;
    context.at(report, *lowest.work, *lowest.leg, "ZW")
        .message(
            said("The front is faced to {} only, and the contour behind has its edge at Z0: what stands in "
                 "front of that stays on the part. Is the last face lost, or a digit of Z wrong?",
                 context.z(lowest.leg->to.z_mm)));
}

void look_at_bore(const WorksContext& context, const Workpiece& part, Report& report) {
    Face inner;
    double edge = -1;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return;
            if (!leg.known) continue;
            const double mm = work->unit_mm;
            if (faces(*work, leg) && std::abs(leg.to.z_mm) * mm < 0.6 &&
                (!inner.leg || leg.to.x_radius_mm < inner.leg->to.x_radius_mm))
                inner = {work, &leg};
            if (leg.cuts() && leg.dz() == 0 && leg.dx() != 0 && leg.to.z_mm * mm > -1 && !faces(*work, leg))
                return;
            if (work->where == Work::Where::inside && leg.kind == Leg::Kind::feed && leg.from.z_mm > 0 &&
                leg.to.z_mm < 0 && leg.dx() < 0)
                edge = std::max(edge, leg.from.x_radius_mm + leg.dx() * leg.from.z_mm / -leg.dz());
        }
    if (!inner.leg || edge <= 0) return;
    const double mm = inner.work->unit_mm;
    if ((inner.leg->to.x_radius_mm - edge) * mm < 0.5) return;
    context.at(report, *inner.work, *inner.leg, "XU")
        .message(
            said("The face is cut to {} and no further, and the bore behind breaks its edge at {}: a collar "
                 "stands between the two, and the tool in the bore runs into it. Is a digit of X wrong?",
                 context.x(inner.leg->to.x_radius_mm), context.x(std::round(edge * 1e3) / 1e3)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        look_at(context, part, report);
        look_at_bore(context, part, report);
    }
}

} // namespace

extern const Check check{
    .id = "face_left_standing",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Face left in front of the rest",
    .documentation = "Where the front is faced to a place in front of Z0 only, and the contour has its edge "
                     "at Z0, the face is "
                     "told: it stays on the part. So is a face that ends farther out than the edge of the "
                     "bore behind it, with "
                     "nothing cut between the two. Parts that are not faced, and those whose contour begins "
                     "elsewhere, are left "
                     "alone.",
    .works = works,
    .examples =
        {
            {System::C, R"(
(SCHEIBE 120 X 40, 2 MM AUFMASS VORN)
G71 G90 G95
T0101
G97 S400 M03
G00 X124. Z3.
G24 X-1.6 Z1. F0.2
;         ^^^ warning: face_left_standing
T0303
G97 S500 M03
G00 X56. Z2.
G01 Z0 F0.3
X60. Z-1. F0.15
Z-18.
X116.
G00 Z50.
M30
)"},
            {System::C, R"(
(SCHEIBE 120 X 40, 2 MM AUFMASS VORN)
G71 G90 G95
T0101
G97 S400 M03
G00 X124. Z3.
G24 X-1.6 Z1. F0.2
Z0
T0303
G97 S500 M03
G00 X56. Z2.
G01 Z0 F0.3
X60. Z-1. F0.15
Z-18.
X116.
G00 Z50.
M30
)"},
            // The face ends where the edge of the bore is not.
            {System::A, R"(
(FLANGE 6.0 X 1.5, CASTING, CORED BORE 1.75)
G20 G99
T0101
G97 S300 M03
G00 X6.2 Z0
G01 X2.6 F.01
;   ^^^^ warning: face_left_standing
G00 Z.2
T0303 (BAR 1.0)
G97 S500 M03
G00 X1.9 Z.1
G01 Z-1.6 F.01
G00 X1.8
Z.1
X2.14
G01 X2. Z-.03 F.006
Z-1.6
X1.9
G00 Z.5
M30
)"},
            {System::A, R"(
(FLANGE 6.0 X 1.5, CASTING, CORED BORE 1.75)
G20 G99
T0101
G97 S300 M03
G00 X6.2 Z0
G01 X1.6 F.01
G00 Z.2
T0303 (BAR 1.0)
G97 S500 M03
G00 X1.9 Z.1
G01 Z-1.6 F.01
G00 X1.8
Z.1
X2.14
G01 X2. Z-.03 F.006
Z-1.6
X1.9
G00 Z.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::face_left_standing
