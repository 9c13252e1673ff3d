// A face that is cut where the tool happens to stand, or left along itself: a block with Z is lost.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::face_place_lost {

namespace {

constexpr double least_face_mm = 3, face_within_mm = 1, same = 1e-6, near_centre_mm = 1.5, run_mm = 3;

/// Toward the centre, at the face of the part.
bool faces(const Work& work, const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && !leg.in_contour && !leg.is_arc &&
           leg.dz() == 0 && -leg.dx() * work.unit_mm >= least_face_mm &&
           leg.to.z_mm * work.unit_mm > -face_within_mm;
}

/// From where the tool has come by rapid it faces, and the way off in Z goes nowhere.
bool look_at_way_off(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &face = work.legs[i], &off = work.legs[i + 1];
    const bool goes_nowhere = off.known && off.kind == Leg::Kind::rapid && off.moves_z && !off.moves_x &&
                              !off.by_letters && std::abs(off.dz()) < same;
    if (!goes_nowhere || i == 0 || work.legs[i - 1].kind != Leg::Kind::rapid) return false;
    context.at(report, work, face, "X")
        .message(said("The face is cut at {}, and the rapid away from it goes to {}, too: it leads nowhere, "
                      "so the tool cuts in front of the face and rubs on its way back. Is a block with the Z "
                      "of the face lost above?",
                      context.z(face.to.z_mm), context.z(off.to.z_mm)));
    return true;
}

/// Back out along the face at rapid, and the next cut along the part begins at the Z of the face.
bool look_at_way_out(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &face = work.legs[i], &out = work.legs[i + 1];
    const double mm = work.unit_mm;
    const bool is_out = out.known && out.kind == Leg::Kind::rapid && out.moves_x && !out.moves_z &&
                        out.dz() == 0 && out.dx() > 0 && !out.by_letters && out.side == motion::Side::off;
    if (!is_out || face.to.x_radius_mm * mm > near_centre_mm || i + 2 >= work.legs.size()) return false;
    // The next cut, from the same Z.
    std::size_t next = i + 2;
    while (next < work.legs.size() && work.legs[next].kind == Leg::Kind::rapid && work.legs[next].known &&
           work.legs[next].dz() == 0)
        ++next;
    if (next >= work.legs.size()) return false;
    const Leg& cut = work.legs[next];
    const bool along = cut.known && cut.kind == Leg::Kind::feed && cut.dx() == 0 && cut.dz() * mm < -run_mm &&
                       std::abs(cut.from.z_mm - face.to.z_mm) < same &&
                       cut.from.x_radius_mm < face.from.x_radius_mm;
    // One step of the next face.
    const bool goes_in = next + 1 < work.legs.size() && work.legs[next + 1].known &&
                         work.legs[next + 1].cuts() && work.legs[next + 1].dx() < 0;
    if (!along || goes_in) return false;
    context.at(report, work, out, "X")
        .message(said(
            "At rapid the tool goes back out over the face that it has just cut at {}, and the next cut goes "
            "into the part from {} with no way to run in. Is a block with Z lost in front of this one?",
            context.z(face.to.z_mm), context.z(cut.from.z_mm)));
    return true;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || is_blade(*work) || work->where == Work::Where::inside) continue;
            for (std::size_t i = 0; i + 1 < work->legs.size(); ++i)
                if (faces(*work, work->legs[i]) && (look_at_way_off(context, *work, i, report) ||
                                                    look_at_way_out(context, *work, i, report)))
                    return;
        }
}

} // namespace

extern const Check check{
    .id = "face_place_lost",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Face whose block with Z is lost",
    .documentation =
        "Behind a face the rapid away from it goes to the Z that the tool stands at, so that the face was "
        "cut where the approach ended, in the air or as deep as the raw face is; or the tool goes out along "
        "the face at rapid, and the next cut along the part begins at the Z of the face with no way to run "
        "in. A block with Z, to the face or off it, is lost. Blades and tools in the bore are left alone.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G20 G99
T0101
G97 S600 M03
G00 X1.6 Z.1
G01 X-.06 F.007
;   ^^^^^ warning: face_place_lost
G00 Z.1
X1.4
G01 Z-1. F.01
X1.6
G00 X5. Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S600 M03
G00 X52. Z0.
G01 X-1.6 F.2
G00 X46.
;   ^^^^ warning: face_place_lost
G01 Z-30. F.25
X52.
G00 X100. Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S600 M03
G00 X52. Z2.
Z0.
G01 X-1.6 F.2
G00 Z2.
X46.
G01 Z-30. F.25
X52.
G00 X100. Z100.
M30
)"},
            // Faces in steps.
            {System::A, R"(
G21 G99
T0101
G97 S600 M03
G00 X52. Z2.
G01 X-1.6 F.2
G00 X52.
G01 Z0.
X-1.6
G00 Z2.
X46.
G01 Z-30. F.25
X52.
G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::face_place_lost
