// A place far below the centreline where the tool's other moves are above it: a minus too much.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::x_negative_alone {

namespace {

/// Faces and contours begin or end as far below as a nose radius and some clearance.
constexpr double past_centre_mm = 3.0;
constexpr std::size_t enough_of_others = 6;

struct Places {
    const Leg* far_below = nullptr; ///< The first
    std::size_t above = 0, others = 0;
};
Places places_of(const Work& work) {
    Places found;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::home || !leg.arrives) continue;
        const double x = work.beyond_centre ? -leg.to.x_radius_mm : leg.to.x_radius_mm;
        if (x > 0) ++found.above;
        if (x * work.unit_mm > -past_centre_mm || !leg.moves_x) continue;
        if (!found.far_below)
            found.far_below = &leg;
        else if (std::abs(std::abs(x) - std::abs(found.far_below->to.x_radius_mm)) > 1e-6)
            ++found.others; // Works below the centre on purpose
    }
    return found;
}

/// Of a tool with few places of its own, as one that only starts a cycle: what the other tools do.
bool others_stay_above(const WorksContext& context, const Work& but) {
    std::size_t above = 0;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work == &but) continue;
            const Places places = places_of(*work);
            if (places.far_below) return false;
            above += places.above;
        }
    return above >= enough_of_others;
}

/// In front of the face, and from there to the centre: room to begin compensation of a ball or a point.
bool comes_to_centre_in_front(const Work& work, const Leg& start) {
    const Leg* leg = &start; // Where it comes from need not be known
    for (int moves = 0; leg && leg->kind != Leg::Kind::home && (moves == 0 ? leg->arrives : leg->known) &&
                        leg->to.z_mm >= 0 && moves < 4;
         ++moves, leg = next_of(work, *leg))
        if (leg->to.x_radius_mm == 0) return true;
    return false;
}

/// Fed across the centre by X alone, and then on along Z.
bool mills_on_along_z(const Work& work, const Leg& leg) {
    const Leg* next = next_of(work, leg);
    return leg.known && leg.from.x_radius_mm > 0 && leg.dz() == 0 && next && next->kind == Leg::Kind::feed &&
           next->known && next->dx() == 0 && next->dz() != 0;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const Places places = places_of(work);
    const Leg* found = places.far_below;
    if (!found || places.others > 0) return;
    // A driven tool cuts below the centre on purpose, from the other side or in the plane of X and C: not
    // where it mills on along Z there.
    if (work.driven_tool ? found->kind != Leg::Kind::rapid && !mills_on_along_z(work, *found)
                         : found->spindle_stands)
        return;
    if (work.driven_tool && found->of_cycle) return;
    if (places.above < 2 && !others_stay_above(context, work)) return;
    const bool told_elsewhere = !work.driven_tool && found->kind == Leg::Kind::feed && !found->of_cycle &&
                                !found->in_contour && found->known && found->from.x_radius_mm > 0;
    if (told_elsewhere) return; // By the rule on cuts across the centre
    if (comes_to_centre_in_front(work, *found)) return;
    if (work.beyond_centre) { // Its legs are mirrored
        context.at(report, work, *found, "XU")
            .message(
                said("{} lies below the centre, the other places of {} above it: the tool goes across the "
                     "part. Is the minus one too much?",
                     context.x(found->to.x_radius_mm),
                     places.above < 2 ? said("the program") : said("this tool")));
        return;
    }
    context.at(report, work, *found, "XU")
        .message(said("{} lies below the centre, the other places of {} above it: the tool goes "
                      "across the part. Is the minus one too much? {} is the same place above.",
                      context.x(found->to.x_radius_mm),
                      places.above < 2 ? said("the program") : said("this tool"),
                      context.x(-found->to.x_radius_mm)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "x_negative_alone",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One X below the centre among others above",
    .documentation =
        "One X of a tool has a minus and lies more than 3 mm below the centreline, all others lie "
        "above. The tool goes across the part, in a rapid through it. Of a tool that only starts a cycle the "
        "other tools tell that. Tools that work below the "
        "centre have more than one place there and are let pass; so are faces that end a little "
        "past the centre.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X-34. Z1.
;   ^^^^^ warning: x_negative_alone
G01 X30. Z-1. F0.1
Z-20.
X36.
G00 Z5.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G73 U.1 R.02
G73 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-.5
X-1.2
;^^^^ warning: x_negative_alone
Z-1.
X1.6
N20 X2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0606
G97 S800 M04
G00 X-30. Z2.
G01 Z-10. F0.1
X-28.
G00 Z2.
X50.
X60.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X-3. Z3.
G01 G42 X-2. Z0. F0.1
X20.
Z-10.
X30.
G40 G00 X60. Z20.
M30
)"},
            // The way off of a driven tool.
            {System::A, R"(
(M13 LIVE ON, M15 LIVE OFF)
G21 G98 G97
T0606
S1400 M13
G00 X60. Z-20. C0
G87 X30. R-2. Q3000 F160
G80
G00 X-80.
;   ^^^^ warning: x_negative_alone
G00 Z20.
M15
M30
)"},
            {System::B, R"(
(M13 LIVE ON, M15 LIVE OFF)
G21 G90 G94 G97
T0606
S1400 M13
G00 X60. Z-20. C0
G01 X-60. F160
G00 X80.
Z20.
M15
M30
)"},
            {System::C, R"(
(M13 LIVE ON, M15 LIVE OFF)
G70 G90 G94 G97
T0606
S1800 M13
G00 X2.4 Z-1. C0
G01 X-2. F4.
;   ^^^^ warning: x_negative_alone
Z-2. F8.
G00 X2.8
Z2.
M15
M30
)"},
            // It only starts a cycle: the other tools tell.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X44. Z2.
G71 U2. R.5
G71 P1 Q2 U.5 W.1 F.3
N1 G00 X16.
G01 X24. Z-2. F.15
Z-28.
X38.
N2 X44.
G00 X100. Z50.
T0303
G00 X-44. Z2.
;   ^^^^^ warning: x_negative_alone
G70 P1 Q2
G00 X100. Z50.
T0505
X44. Z-28.
G01 X21. F.06
X44.
G00 X100. Z50.
M30
)"},
            // A boring tool set below the centre, and nothing told of it.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X-44. Z2.
G71 U2. R.5
G71 P1 Q2 U-.5 W.1 F.3
N1 G00 X-16.
G01 X-24. Z-2. F.15
Z-28.
X-38.
N2 X-44.
G00 X100. Z50.
T0303
G00 X-44. Z2.
G70 P1 Q2
G00 X100. Z50.
M30
)"},
            // Room for compensation in front of a ball.
            {System::A, R"(
G21 G99
T0505
G97 S1600 M03
G00 X-8. Z3.
G42 G01 Z0 F0.12
X0
G03 X14. Z-28.266 R15.
G01 Z-43.
X28. Z-45.5
X33.
G40 G00 X38.
Z3.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::x_negative_alone
