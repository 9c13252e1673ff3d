// The edge between a face and a cylinder goes back against the way of its neighbour.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::edge_folds_back {

namespace {

constexpr double same = 1e-6;
/// Edges as they are broken on parts; a longer one may be an undercut that a drawing asks for: common
/// practice, no source.
constexpr double largest_edge_mm = 4;

bool is_line(const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc;
}
bool along_x(const Leg& leg) {
    return is_line(leg) && std::abs(leg.dz()) < same && std::abs(leg.dx()) > same;
}
bool along_z(const Leg& leg) {
    return is_line(leg) && std::abs(leg.dx()) < same && std::abs(leg.dz()) > same;
}
/// About 45 degrees, and small.
bool is_edge(const Leg& leg, double unit_mm) {
    const double x = std::abs(leg.dx()), z = std::abs(leg.dz());
    return is_line(leg) && x > 0.5 * z && z > 0.5 * x && x * unit_mm < largest_edge_mm;
}
bool follows(const Leg& before, const Leg& leg) {
    return std::abs(before.to.x_radius_mm - leg.from.x_radius_mm) < same &&
           std::abs(before.to.z_mm - leg.from.z_mm) < same;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &before = work.legs[i - 1], &edge = work.legs[i], &behind = work.legs[i + 1];
        if (!is_edge(edge, work.unit_mm) || !follows(before, edge) || !follows(edge, behind)) continue;
        const bool out = along_x(before) && along_z(behind), in = along_z(before) && along_x(behind);
        if (!out && !in) continue;
        const Leg &face = out ? before : behind, &cylinder = out ? behind : before;
        // In the direction of the face, and against that of the cylinder, which is longer.
        if (edge.dx() * face.dx() <= 0 || edge.dz() * cylinder.dz() >= 0) continue;
        if (std::abs(cylinder.dz()) < 2 * std::abs(edge.dz())) continue;
        const double corner = out ? edge.from.z_mm : edge.to.z_mm;
        const double meant = 2 * edge.from.z_mm - edge.to.z_mm;
        context.at(report, work, edge, "ZW")
            .message(said("The edge goes from {} to {}, and the cylinder beside it the other way: the tool "
                          "folds back over the face at {} and leaves a nose there, or digs in. Is {} meant?",
                          context.z(edge.from.z_mm), context.z(edge.to.z_mm), context.z(corner),
                          context.z(meant)));
        return;
    }
}

/// Out along a face, and back in by the edge; or out, and by the edge away from the metal, at the end of a
/// contour.
void look_at_face(const WorksContext& context, const Work& work, Report& report) {
    if (work.where != Work::Where::outside && work.where != Work::Where::inside) return;
    const double out = work.where == Work::Where::inside ? -1 : 1;
    for (std::size_t i = 2; i + 1 < work.legs.size(); ++i) {
        const Leg &first = work.legs[i - 2], &face = work.legs[i - 1], &edge = work.legs[i],
                  &behind = work.legs[i + 1];
        if (!is_edge(edge, work.unit_mm) || !along_x(face) || !follows(face, edge)) continue;
        // It comes from the face of the part along a wall, and goes out over a shoulder.
        const bool comes =
            first.kind == Leg::Kind::feed && first.known && first.dz() < 0 && follows(first, face);
        if (!comes || face.dx() * out <= 0 || face.to.z_mm >= 0 || edge.by_letters || edge.of_cycle) continue;
        const bool ends = behind.kind == Leg::Kind::rapid && behind.known;
        const bool goes_on = along_z(behind) && behind.dz() < 0;
        if (!ends && !goes_on) continue;
        const bool comes_in = edge.dx() * out < 0 && edge.dz() < 0;
        const bool goes_forward = edge.dx() * out > 0 && edge.dz() > 0 && ends;
        if (comes_in) {
            const double meant = 2 * edge.to.x_radius_mm - face.to.x_radius_mm;
            context.at(report, work, face, "XU")
                .message(
                    said("The shoulder is cut out to {}, and the edge behind it comes back in to {}: what "
                         "lies between is cut away, and the edge is not broken. Is {} meant?",
                         context.x(face.to.x_radius_mm), context.x(edge.to.x_radius_mm),
                         context.x(std::round(meant * 1e4) / 1e4)));
            return;
        }
        if (goes_forward) {
            const double meant = 2 * edge.from.z_mm - edge.to.z_mm;
            context.at(report, work, edge, "ZW")
                .message(
                    said("Behind the shoulder at {} this goes to {}, away from the metal: the edge stays "
                         "as it is. Is {} meant?",
                         context.z(edge.from.z_mm), context.z(edge.to.z_mm),
                         context.z(std::round(meant * 1e4) / 1e4)));
            return;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            look_at(context, *work, report);
            if (!is_blade(*work)) look_at_face(context, *work, report);
        }
}

} // namespace

extern const Check check{
    .id = "edge_folds_back",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Broken edge goes back over its face",
    .documentation =
        "Between a face and a cylinder the edge is broken by a short slanting move, which leads from the one "
        "to the other. Here it goes along Z against the way that the cylinder is turned: a digit or a sign "
        "of "
        "it is wrong. The tool leaves a nose in front of the face, or cuts into it."
        " So it does where a shoulder is cut out beyond its edge, and the edge comes back in, or the last "
        "edge of a contour goes away from the metal.",
    .works = works,
    .examples =
        {
            // Out beyond the edge and back; away from the metal at the end; and right.
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X.5 Z.1
G01 Z-.75 F.004
X.79
;^^^ warning: edge_folds_back
X.75 Z-.77
Z-1.25
G00 X4. Z3.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X30. Z2.
G01 Z-25. F.15
X44.
X48. Z-23.
;    ^^^^ warning: edge_folds_back
G00 X100. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X30. Z2.
G01 Z-25. F.15
X44.
X48. Z-27.
G00 X100. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X82. Z2.
G01 X90. Z-2. F.2
Z-20.
X137.
X140. Z-18.5
;     ^^^^^^ warning: edge_folds_back
Z-46.
X152.
G00 X180. Z20.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X82. Z2.
G01 X90. Z-2. F.2
Z-20.
X137.
X140. Z-21.5
Z-46.
X152.
G00 X180. Z20.
M30
)"},
            // In a bore, in a contour that a cycle calls.
            {System::C, R"(
G70 G90 G95
T0505
G97 S800 M03
G00 X1.9 Z.1
G72 U.06 R.02
G72 P10 Q20 U-.02 W.005 F.008
N10 G00 X2.4
G01 Z-.8 F.005
X2.1
X2.06 Z-.78
;     ^^^^^ warning: edge_folds_back
Z-1.5
N20 X1.9
G00 Z1.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S800 M03
G00 X1.9 Z.1
G71 U.06 R.02
G71 P10 Q20 U-.02 W.005 F.008
N10 G00 X2.4
G01 Z-.8 F.005
X2.1
X2.06 Z-.82
Z-1.5
N20 X1.9
G00 Z1.
M30
)"},
            // Off the face before it goes on: no cylinder is turned the other way.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z0
G01 X-1.6 F.2
G00 X48. Z1.
G01 Z-20. F.2
X50. Z-19.
G00 Z5.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::edge_folds_back
