// The first cut comes down on the part at a slant from where the tool was cleared: the block that goes to the
// beginning of the chamfer is lost.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::first_cut_slants_in {

namespace {

/// The corner that the cut comes to lies no deeper than a chamfer.
constexpr double deepest_corner_mm = 6;
/// Shorter it breaks the edge of a wall.
constexpr double least_way_mm = 0.8;
/// Of the way along X to that along Z: flatter is a taper.
constexpr double least_slant = 0.3, across_face = 3;

bool is_line(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && !leg.is_arc && !leg.by_letters;
}

/// From in front of the face to a corner of the part, and on along Z into it.
bool comes_to_corner(const Work& work, const Leg& leg) {
    const Leg* next = next_of(work, leg);
    return is_line(leg) && leg.moves_x && leg.moves_z && leg.from.z_mm >= 0 && leg.to.z_mm < 0 &&
           -leg.to.z_mm * work.unit_mm <= deepest_corner_mm &&
           std::abs(leg.dx()) * work.unit_mm >= least_way_mm && next && is_line(*next) && next->dx() == 0 &&
           next->dz() < leg.to.z_mm;
}

/// In front of the face it begins in what is gone there: a cut along the wall from the mouth on, of this tool
/// or of another, lies at its start's X or beyond. No cone begins so.
bool begins_clear(const Workpiece& part, const Leg& leg, bool inside) {
    double most = inside ? HUGE_VAL : 0, at_mouth = inside ? 0 : HUGE_VAL;
    for (const Work* work : part.works) {
        if (work->driven_tool || (work->where == Work::Where::inside) != inside) continue;
        for (const Leg& other : work->legs) {
            if (&other == &leg || !other.cuts() || !other.known || other.dz() >= 0 || other.to.z_mm >= 0)
                continue;
            const double x = other.to.x_radius_mm;
            most = inside ? std::min(most, x) : std::max(most, x);
            if (other.dx() != 0 || other.from.z_mm < 0 || other.to.z_mm > leg.to.z_mm ||
                other.kind == Leg::Kind::thread)
                continue;
            at_mouth = inside ? std::max(at_mouth, x) : std::min(at_mouth, x);
        }
    }
    const double x = leg.from.x_radius_mm;
    return inside ? x <= most + 1e-6 || x <= at_mouth : x >= most - 1e-6 || x >= at_mouth;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    const bool inside = work.where == Work::Where::inside;
    if (!inside && work.where != Work::Where::outside) return;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        if (work.legs[i - 1].kind != Leg::Kind::rapid && work.legs[i - 1].dx() != 0) continue;
        if (!comes_to_corner(work, leg)) continue;
        const double outward = inside ? -leg.dx() : leg.dx(), along = -leg.dz();
        const bool wrong_way = outward < -least_slant * along && begins_clear(part, leg, inside);
        const bool over_face = outward > across_face * along && leg.side == motion::Side::off;
        if (!wrong_way && !over_face) continue;
        const double x = leg.to.x_radius_mm + (inside ? along : -along);
        const std::string begin = x > 0 ? said(" A chamfer of 45 degrees from {} would begin at {}.",
                                               context.z(leg.from.z_mm), context.x(x))
                                        : std::string();
        const std::string from_x = context.x(leg.from.x_radius_mm), from_z = context.z(leg.from.z_mm),
                          to_x = context.x(leg.to.x_radius_mm), to_z = context.z(leg.to.z_mm);
        std::string text;
        if (!wrong_way)
            text = said(
                "The first cut comes from {} {} and slants over the face to {} {}: no chamfer begins so, "
                "and the face becomes a cone. Is the block lost that goes to the beginning of the "
                "chamfer?{}",
                from_x, from_z, to_x, to_z, begin);
        else if (inside)
            text = said(
                "The first cut comes from {} {} and slants outward to {} {}: no chamfer of a bore begins "
                "so, and the corner is cut off at a slant. Is the block lost that goes to the beginning "
                "of the chamfer?{}",
                from_x, from_z, to_x, to_z, begin);
        else
            text = said(
                "The first cut comes from {} {} and slants inward to {} {}: no chamfer begins so, and the "
                "corner is cut off at a slant. Is the block lost that goes to the beginning of the "
                "chamfer?{}",
                from_x, from_z, to_x, to_z, begin);
        context.at(report, work, leg, "XZ").message(text);
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool && !is_blade(*work) && !plunges_into_face(*work))
                look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "first_cut_slants_in",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "First cut comes down on the part at a slant",
    .documentation =
        "From in front of the face the first cut slants to the corner that the part's first diameter begins "
        "at, from the side that it cannot come from: outside from a larger X, in a bore from a smaller one, "
        "or from near the centre over the whole face. As it stands a chamfer the wrong way round is cut, and "
        "the nose plunges into the corner. Mostly the block that goes to the beginning of the chamfer is "
        "lost. Put it in front of the cut. Flat tapers are left alone, and those that begin among the other "
        "cuts.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G96 S200 M03
G00 X54. Z2.
G01 X30. Z-1. F0.12
;   ^^^^ warning: first_cut_slants_in
Z-25.
X52.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G96 S600 M03
G00 X1.3 Z.1
G01 X4.72 Z-.05 F.006
;   ^^^^^ warning: first_cut_slants_in
Z-1.
X5.
G00 X8. Z3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S600 M03
G00 X0 Z3.
G01 Z-40. F0.15
G00 Z50.
T0606
G96 S160 M03
G00 X20. Z2.
G01 Z-32. F0.15
G00 X19. Z2.
G01 X24. Z-1. F0.1
;   ^^^^ warning: first_cut_slants_in
Z-32.
G00 X19.
Z50.
M30
)"},
            // A cone that is larger at the face.
            {System::A, R"(
G21 G99
T0303
G96 S200 M03
G00 X42. Z1.
G01 X30. Z-5. F0.12
Z-25.
X52.
G00 Z2.
X46.
G01 Z-3.
X54.
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G96 S200 M03
G00 X24. Z2.
G01 X30. Z-1. F0.12
Z-25.
X52.
G00 X100. Z50.
M30
)"},
            // Of a bore that is roughed at its mouth, from the face and in front of it; and as it is meant.
            {System::A, R"(
G21 G99
T0707
G97 S900 M04
G00 X33. Z3.
G90 X36.5 Z-92. F0.2
X39.6
G01 Z0. F0.3
X40.012 Z-3. F0.1
;^^^^^^ warning: first_cut_slants_in
Z-92.
G00 X38.
Z10.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X36. Z3.
G20 X42. Z-71. F0.2
X44.6
X54.5 Z-34.9
G00 X51. Z1.
G01 X55. Z-2. F0.1
;   ^^^^ warning: first_cut_slants_in
Z-35.
X47.
G00 Z150.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X36. Z3.
G20 X42. Z-71. F0.2
X44.6
X54.5 Z-34.9
G00 X61. Z1.
G01 X55. Z-2. F0.1
Z-35.
X47.
G00 Z150.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::first_cut_slants_in
