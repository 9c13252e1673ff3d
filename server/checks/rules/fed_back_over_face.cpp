// A turning tool that is fed back over the face it has just cut: the rapid away from it is lost.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::fed_back_over_face {

namespace {

constexpr double least_face_mm = 3, face_within_mm = 1;

bool is_along_x(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && !leg.in_contour && leg.dz() == 0 &&
           !leg.by_letters && leg.side == motion::Side::off;
}

/// Toward the centre, at the face of the part.
bool faces(const Work& work, const Leg& leg) {
    return is_along_x(leg) && -leg.dx() * work.unit_mm >= least_face_mm &&
           leg.to.z_mm * work.unit_mm > -face_within_mm;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &cut = work.legs[i - 1], &back = work.legs[i];
        if (!faces(work, cut) || !is_along_x(back) || back.behind_other) continue;
        if (back.dx() < -0.8 * cut.dx()) continue;
        // The same way twice is a cut that is meant to be taken to and fro.
        const Leg* next = next_of(work, back);
        if (next && faces(work, *next)) continue;
        context.at(report, work, back, "X")
            .message(
                said("At the feed in force the tool goes back from {} to {} over the face that it has just "
                     "cut at {}: it rubs and scores it. Is the block with the rapid away from the face "
                     "lost in front of this one?",
                     context.x(cut.to.x_radius_mm), context.x(back.to.x_radius_mm), context.z(cut.to.z_mm)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool && !is_blade(*work)) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "fed_back_over_face",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Tool fed back over the face it has just cut",
    .documentation =
        "Behind a face that is cut toward the centre the next feed goes outward again at the same Z. The "
        "tool "
        "rubs back over the finished face at the feed of the cut, scores it and wears its edge, and what "
        "follows begins from a Z that nobody meant. Mostly the block with the rapid away from the face, and "
        "G00 with it, is lost. Go off the face in Z first, at rapid. Blades are left alone.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X52. Z0.
G01 X-1.6 F0.2
X48.
;^^^ warning: fed_back_over_face
G01 Z-30.
X52.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S500 M03
G00 X1.7 Z0.
G01 X-.06 F.006
X1.6
;^^^ warning: fed_back_over_face
G00 X4. Z3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X120. Z0.1
G01 X44. F0.2
X122.
;^^^^ warning: fed_back_over_face
G00 X200. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S600 M03
G00 X52. Z-20.
G01 X40. F0.08
X52. F0.3
G00 X100. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::fed_back_over_face
