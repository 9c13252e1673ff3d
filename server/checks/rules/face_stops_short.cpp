// A face that is cut to a little short of the centre of solid bar: a pip is left.
//
// The limits: common practice, no source.
#include "checks/acts.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::face_stops_short {

namespace {

/// More than that is the hole of a tube, or a boss.
constexpr double widest_pip_mm = 2.0; // Radius
/// As far as a nose goes past the centre: no hole of a bar is so narrow.
constexpr double tiny_pip_mm = 1.0;
constexpr double face_within_mm = 3.0;
constexpr double least_cut_mm = 2.0;

/// On the first faces, before any hole is there.
bool faces(const Leg& leg, double unit_mm) {
    return leg.cuts() && leg.kind == Leg::Kind::feed && leg.known && !leg.in_contour && leg.dz() == 0 &&
           -leg.dx() * unit_mm > least_cut_mm && std::abs(leg.to.z_mm) * unit_mm < face_within_mm;
}

bool opens_a_hole(const Work& work) {
    return work.driven_tool || work.where == Work::Where::on_centre || work.where == Work::Where::inside ||
           std::any_of(work.legs.begin(), work.legs.end(),
                       [](const Leg& leg) { return leg.cuts() && !leg.known; });
}

/// A later blade goes to the centre, or a drill starts there: the bar is solid.
bool is_solid(const Workpiece& part, const Leg& face) {
    bool behind = false, opened = false;
    for (const Work* work : part.works) {
        if (work->where == Work::Where::inside || work->driven_tool) opened = true;
        for (const Leg& leg : work->legs) {
            if (behind && !opened && is_blade(*work) && is_plunge(leg) && leg.dx() < 0 &&
                leg.to.x_radius_mm * work->unit_mm < 0.3)
                return true;
            behind = behind || &leg == &face;
        }
        if (work->where == Work::Where::on_centre) opened = true;
    }
    return false;
}

/// The first face ends far out, and the bar is solid: nothing takes what stands inside of it.
bool tell_core(const WorksContext& context, const Workpiece& part, const Work& work, const Leg& leg,
               Report& report) {
    const double x = leg.to.x_radius_mm, mm = work.unit_mm;
    const bool outside_in = leg.from.x_radius_mm > x && &leg != work.legs.data() &&
                            (&leg - 1)->kind == Leg::Kind::rapid && std::abs(leg.to.z_mm) * mm < 0.5;
    if (!outside_in || x * mm <= widest_pip_mm || !is_solid(part, leg)) return false;
    // Any other cut across the face may take the rest, or leave a boss that is meant.
    const bool others = std::any_of(part.works.begin(), part.works.end(), [&](const Work* other) {
        return std::any_of(other->legs.begin(), other->legs.end(), [&](const Leg& cut) {
            return &cut != &leg && cut.kind == Leg::Kind::feed && cut.known && cut.to.x_radius_mm < x &&
                   std::max(cut.from.z_mm, cut.to.z_mm) * mm > -face_within_mm && !is_blade(*other) &&
                   (cut.dz() == 0 || cut.in_contour || cut.is_arc) && cut.dx() != 0;
        });
    });
    if (others) return false;
    context.at(report, work, leg, "XU")
        .message(said("The face is cut to {} and no further, no other cut goes on from there, and the bar is "
                      "solid: what stands in front of {} inside of that stays. Go to X0 or a nose radius "
                      "below it.",
                      context.x(x), context.z(leg.to.z_mm)));
    return true;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    for (const Work* work : part.works) {
        if (opens_a_hole(*work)) return;
        for (std::size_t i = 0; i < work->legs.size(); ++i) {
            const Leg& leg = work->legs[i];
            const double x = leg.to.x_radius_mm;
            if (faces(leg, work->unit_mm) && tell_core(context, part, *work, leg, report)) return;
            if (!faces(leg, work->unit_mm) || x <= 0 || x * work->unit_mm > widest_pip_mm) continue;
            const bool tiny = x * work->unit_mm <= tiny_pip_mm;
            // Another cut may take the rest, and facing that goes on so every time is a hole left in the bar.
            const bool goes_on = std::any_of(part.works.begin(), part.works.end(), [&](const Work* other) {
                return std::any_of(other->legs.begin(), other->legs.end(), [&](const Leg& later) {
                    return &later != &leg && later.kind == Leg::Kind::feed && later.known && later.dx() < 0 &&
                           later.to.z_mm < leg.to.z_mm + 1e-6 &&
                           (leg.to.z_mm - later.to.z_mm) * work->unit_mm < face_within_mm &&
                           later.to.x_radius_mm < (tiny ? x - 1e-6 : x + 1e-6) &&
                           other->where != Work::Where::on_centre;
                });
            });
            if (goes_on) return;
            context.at(report, *work, leg, "XU")
                .message(said("The face is cut to {} and no further: a pip of that diameter is left on "
                              "the centre, and the next tool meets it. Is the minus lost? Go to X0 or "
                              "a nose radius below it.",
                              context.x(x)));
            return;
        }
    }
}

/// All faces are cut in front of Z0, and the edge or the contour behind them begins at Z0: the last face is
/// lost.
void look_at_depth(const WorksContext& context, const Workpiece& part, Report& report) {
    constexpr double far_mm = 0.7, near_mm = 0.06, deepest_mm = 8, same = 1e-6;
    const Work* faced_by = nullptr;
    const Leg* face = nullptr;
    bool edge = false;
    for (const Work* work : part.works) {
        const double mm = work->unit_mm;
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return;
            if (!leg.cuts() || work->driven_tool || work->where == Work::Where::on_centre) continue;
            const bool along_face = leg.dz() == 0 && std::abs(leg.dx()) * mm > least_cut_mm;
            const bool outside = work->where != Work::Where::inside;
            if (along_face && leg.to.z_mm * mm < near_mm && leg.to.z_mm * mm > -near_mm) return; // It is cut
            // No way on which a tool is fed to where its edge begins.
            const Leg* next = next_of(*work, leg);
            const bool is_face = leg.of_cycle || (leg.side == motion::Side::off && next &&
                                                  next->kind == Leg::Kind::rapid && next->dz() > 0);
            constexpr double inward = 0.6;
            if (along_face && outside && is_face && leg.to.x_radius_mm < inward * leg.from.x_radius_mm &&
                leg.to.z_mm * mm >= near_mm && (!face || leg.to.z_mm < face->to.z_mm)) {
                face = &leg;
                faced_by = work;
            }
            // From Z0 outward and down, or through it, as an edge is broken.
            const bool slants = leg.kind == Leg::Kind::feed && outside && leg.dx() > 0 && leg.dz() < 0 &&
                                -leg.dz() * mm < deepest_mm && leg.from.z_mm * mm > -same &&
                                leg.to.z_mm < 0 && (leg.is_arc || leg.dx() > -0.3 * leg.dz());
            edge = edge || (face && slants);
        }
    }
    if (!face || !edge || face->to.z_mm * faced_by->unit_mm < far_mm ||
        face->to.z_mm * faced_by->unit_mm > deepest_mm)
        return;
    context.at(report, *faced_by, *face, "ZW")
        .message(said("The last face is cut at {}, and none at Z0, where the edge behind it begins: {} is "
                      "left standing in "
                      "front of the part, and its length and its edge are wrong. Is the block with Z0 lost?",
                      context.z(face->to.z_mm), spoken(std::round(face->to.z_mm * 1e4) / 1e4)));
}

void works(const WorksContext& context, Report& report) {
    // A part that comes from the other spindle may have its hole.
    if (!spans_giving(context.spans, context.reader.settings().machine, MachineCode::Does::second_close)
             .empty())
        return;
    for (const Workpiece& part : context.parts) {
        look_at(context, part, report);
        look_at_depth(context, part, report);
    }
}

} // namespace

extern const Check check{
    .id = "face_stops_short",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Face that stops a little short of the centre",
    .documentation =
        "The first face of the bar ends within 2 mm of the centre, no tool has made a hole before, and "
        "nothing "
        "cuts the rest. A pip stays: a centre drill or a drill that meets it runs off or breaks. Mostly the "
        "minus of X-1.6 is lost. Go to X0 or below it by the nose radius. Faces that end farther out are "
        "taken "
        "for tube or a boss."
        " Where a later blade cuts solid bar to the centre and no other cut goes over the face, they are "
        "told as well. "
        "Faces that all lie in front of Z0, where the edge begins, are told, too.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X62. Z5.
G94 X-1.6 Z2. F0.2
Z1.
;^^ warning: face_stops_short
G00 X42. Z2.
G01 X50. Z-2. F0.12
Z-25.
X62.
G00 X100. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X2.2 Z.2
Z.08
G01 X-.06 F.01
G00 Z.2
X2.2
Z0.
G01 X-.06
G00 Z.1
X1.6
G01 X1.85 Z-.06 F.006
Z-1.
X2.2
G00 X6. Z4.
M30
)"},
            // A core in solid bar, which is cut off to the centre; the same with a hole; and a second cut.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X44. Z0
G01 X16. F.2
;   ^^^^ warning: face_stops_short
G00 X38. Z1.
G01 Z-40. F.2
X44.
G00 X80. Z50.
T0505
G97 S700 M03
G00 X44. Z-38.
G01 X-.6 F.06
G00 X80.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X44. Z0
G01 X16. F.2
G00 X38. Z1.
G01 Z-40. F.2
X44.
G00 X80. Z50.
T0303
G97 S700 M03
G00 X0 Z5.
G01 Z-45. F.2
G00 Z50.
X80.
T0505
G97 S700 M03
G00 X44. Z-38.
G01 X-.6 F.06
G00 X80.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z0.
G01 X1.6 F0.2
;   ^^^^ warning: face_stops_short
G00 Z2.
T0404
G00 X0. Z5.
G01 Z-20. F0.1
G00 Z5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.2 Z0
G01 X.0625 F.006
;   ^^^^^^ warning: face_stops_short
G00 Z.1
X1.
G01 Z-1. F.01
X1.2
G00 Z.1
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z0.2
G01 X1. F0.2
G00 Z2.
X52.
Z0.
G01 X-1.6
G00 Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X0 Z5.
G01 Z-40. F0.1
G00 Z5.
T0101
G00 X52. Z0
G01 X3. F0.2
G00 Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X36. Z3.
G01 Z0 F0.3
X1.6 F0.15
;^^^ warning: face_stops_short
G00 Z2.
X0.
G01 Z0 F0.1
G03 X28. Z-14. I0 K-14.
G00 X36.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z0.2
G01 X-1.6 F0.2
G00 Z2.
T0202
G00 X52. Z0.
G01 X1.6 F0.1
;   ^^^^ warning: face_stops_short
G00 Z2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::face_stops_short
