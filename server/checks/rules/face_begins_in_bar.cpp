// A face that begins in the middle of bar whose rim nothing has faced: the rapid before it ends in metal.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::face_begins_in_bar {

namespace {

/// What is turned later lies so far outside of where the face begins.
constexpr double least_rim_mm = 2, least_rim_times = 2; // Radius

/// The contour that the tool roughs behind its face: it begins at the rim, which is still there.
constexpr double share_of_rim = 0.6;

double rim_of_contour(const Work& work) {
    double rim = 0;
    for (const Leg& leg : work.legs)
        if (leg.in_contour && leg.known) rim = std::max(rim, leg.to.x_radius_mm);
    return work.where == Work::Where::inside ? 0 : rim;
}

bool turns_from_front(const Leg& leg, double face_z) {
    return leg.kind == Leg::Kind::feed && leg.known && leg.dz() < 0 && leg.from.z_mm >= face_z;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    const Work* first = nullptr;
    const Leg* face = nullptr;
    const Leg* rapid = nullptr;
    for (const Work* work : part.works) {
        const auto cut = std::find_if(work->legs.begin(), work->legs.end(),
                                      [](const Leg& leg) { return leg.cuts() || leg.in_contour; });
        if (cut == work->legs.end()) continue;
        if (work->driven_tool || cut == work->legs.begin()) return;
        first = work;
        face = &*cut;
        rapid = &*(cut - 1);
        break;
    }
    if (!face || face->kind != Leg::Kind::feed || !face->known || face->of_cycle || face->in_contour) return;
    const double begins = face->from.x_radius_mm;
    if (face->dz() != 0 || begins <= 0 || face->to.x_radius_mm > 0) return;
    if (rapid->kind != Leg::Kind::rapid || !rapid->arrives || rapid->of_cycle) return;
    double least = 0;
    bool any = false;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known && work == first) return;
            if (!turns_from_front(leg, face->to.z_mm) || leg.from.x_radius_mm <= 0) continue;
            least = any ? std::min(least, leg.from.x_radius_mm) : leg.from.x_radius_mm;
            any = true;
        }
    const double rim = rim_of_contour(*first);
    const bool in_rim = begins < share_of_rim * rim && (rim - begins) * first->unit_mm > least_rim_mm;
    const bool in_bar =
        any && (least - begins) * first->unit_mm >= least_rim_mm && least >= least_rim_times * begins;
    if (!in_rim && !in_bar) return;
    context.at(report, *first, *rapid, "XU")
        .message(said("This rapid goes to {} {} and there the first face of the bar begins: nothing has "
                      "faced the bar outside of that, and {}. The tool "
                      "runs into the face at full rate, or leaves its rim standing. Is a digit lost in X?",
                      context.x(begins), context.z(face->to.z_mm),
                      in_bar ? std::string(said("all that is turned lies farther out"))
                             : said("the contour that is roughed next begins at ") + context.x(rim)));
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // It tells more, and the same
    for (const Workpiece& part : context.parts) look_at(context, part, report);
}

} // namespace

extern const Check check{
    .id = "face_begins_in_bar",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid on to the face inside of the bar",
    .documentation =
        "The first cut of the part is a face to the centre, and it begins far inside of everything that is "
        "turned, or of the contour that the same tool roughs next: the rapid before it ends on metal that "
        "nothing has faced, or the rim of the face stays. "
        "Mostly a digit of X is lost (X4. for X44.). Begin outside of the bar. Where only the pip of a face "
        "is to be cut, say so by a note with the name of this warning.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X4. Z0.
;   ^^^ warning: face_begins_in_bar
G01 X-1.6 F0.25
G00 X36. Z2.
G01 Z-48. F0.3
X41.
G00 Z2.
X14.
G01 Z-20.
X41.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X.2 Z.1
Z0
;^ warning: face_begins_in_bar
G01 X-.06 F.008
G00 Z.1
X1.5
G01 Z-2. F.01
X2.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X.2 Z0
;   ^^^ warning: face_begins_in_bar
G01 X-.06 F.008
G00 Z.1
X1.5
G01 Z-2. F.01
X2.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X44. Z1.
G01 X20. F0.25
G00 Z2.
X22.
Z0.
G01 X-1.6
G00 X36. Z2.
G01 Z-48. F0.3
X41.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X12. Z0.
G01 X-1.6 F0.25
G00 Z2.
X8.
G01 Z-20.
X30.
G00 Z2.
X36.
G01 Z-48. F0.3
X41.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S220 M3
G0 X27. Z.1
;  ^^^^ warning: face_begins_in_bar
G1 X-1.6 F.2
G0 Z2.
X70.
G71 U2. R.5
G71 P10 Q20 U.5 W.1 F.3
N10 G0 X28.
G1 X34. Z-1. F.15
Z-30.
N20 X70.
G0 Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::face_begins_in_bar
