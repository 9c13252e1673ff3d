// A boring bar sent home with X while it still stands deep in its bore.
//
// Common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::home_from_inside_bore {

namespace {

/// As deep below where it began to cut as no chamfer and no recess in a face is.
constexpr double deep_mm = 5;

bool by_x_alone(const Leg& leg) {
    return leg.moves_x && !leg.moves_z && !leg.of_cycle && !leg.in_contour && leg.kind != Leg::Kind::home;
}

/// Where the tool came from: the largest Z that a cut of it begins at, or from where it was brought straight
/// in.
std::optional<double> front_of(const Work& work) {
    std::optional<double> front;
    for (const Leg& leg : work.legs) {
        const bool straight_in = leg.kind == Leg::Kind::rapid && leg.dx() == 0 && leg.dz() < 0;
        if (leg.known && (leg.cuts() || straight_in))
            front = std::max(front.value_or(leg.from.z_mm), leg.from.z_mm);
    }
    return front;
}

/// Its passes are threads, taken from inside the bore that a tool before has made there.
bool threads_inside(const Workpiece& part, const Work& work, Point at) {
    const auto bored = part.bore.at(at.z_mm);
    if (!bored || at.x_radius_mm >= *bored) return false;
    const Leg* before = nullptr;
    bool any = false;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::thread && before && before->kind != Leg::Kind::thread) {
            if (!before->known || before->dx() <= 0) return false;
            any = true;
        }
        before = &leg;
    }
    return any;
}

/// It comes off its wall inward, and never outward: no tool in a contour that falls toward the chuck.
bool comes_off_inward(const Work& work, double deep_z) {
    bool inward = false;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &cut = work.legs[i - 1], &off = work.legs[i];
        if (!by_x_alone(off) || off.from.z_mm > deep_z) continue;
        if (off.kind == Leg::Kind::rapid && off.x_sign > 0) return false;
        inward = inward || (off.x_sign < 0 && cut.cuts() && cut.moves_z && !cut.moves_x);
    }
    return inward;
}

/// On the way it goes to a place that is named: `G28 U0 Z5.`
bool by_a_place_in_z(const WorksContext& context, const Work& work, const Leg& home) {
    for (char letter : {'Z', 'W'})
        if (const syntax::Item* item = find_letter(context.reader, context.place(work, home), letter))
            return item->value != 0;
    return false;
}

/// In a groove in the face, between the diameters that it has plunged at.
void look_at_face_groove(const WorksContext& context, const Work& work, Report& report) {
    constexpr double least_mm = 0.3, beside_mm = 0.1, deepest_mm = 15; // Deeper it is a bar in a bore
    if (work.driven_tool || !plunges_into_face(work)) return;
    double least = HUGE_VAL, most = 0;
    for (const Leg& leg : work.legs) {
        if (leg.cuts() && !leg.known) return;
        if (!leg.cuts() || leg.dx() != 0 || leg.dz() >= 0 || leg.from.z_mm <= 0) continue;
        least = std::min(least, leg.to.x_radius_mm);
        most = std::max(most, leg.to.x_radius_mm);
    }
    for (const Leg& leg : work.legs) {
        const bool goes = (leg.kind == Leg::Kind::home || leg.kind == Leg::Kind::rapid) && leg.known &&
                          leg.moves_x && !leg.of_cycle;
        const double beside = beside_mm / work.unit_mm;
        const double depth = -leg.from.z_mm * work.unit_mm;
        if (!goes || depth < least_mm || depth > deepest_mm || leg.from.x_radius_mm < least - beside ||
            leg.from.x_radius_mm > most + beside)
            continue;
        if (leg.kind == Leg::Kind::rapid &&
            (leg.to.x_radius_mm >= least - beside && leg.to.x_radius_mm <= most + beside))
            continue;
        if (leg.kind == Leg::Kind::home && by_a_place_in_z(context, work, leg)) continue;
        context.at(report, work, leg, "XU")
            .message(said("Goes away {} from {} {}, still in the groove that it has cut into the face: the "
                          "blade is broken off sideways. Go out in Z first.",
                          leg.moves_z ? said("in X and Z together") : "in X", context.x(leg.from.x_radius_mm),
                          context.z(leg.from.z_mm)));
        return;
    }
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    if (work.driven_tool || work.where != Work::Where::inside) return;
    const auto front = front_of(work);
    if (!front) return;
    const double deep_z = *front - deep_mm / work.unit_mm;
    const auto home = std::find_if(work.legs.begin(), work.legs.end(),
                                   [](const Leg& leg) { return leg.kind == Leg::Kind::home; });
    if (home == work.legs.end() || !home->moves_x || !home->known || home->from.z_mm > deep_z) return;
    if (!comes_off_inward(work, deep_z) && !threads_inside(part, work, home->from)) return;
    if (by_a_place_in_z(context, work, *home)) return;
    context.at(report, work, *home, "XU")
        .message(said("Goes home {} from {} {}, still inside the bore it came into from {}: the bar is "
                      "driven into the wall. Go out in Z first.",
                      home->moves_z ? said("in X and Z together") : "in X", context.x(home->from.x_radius_mm),
                      context.z(home->from.z_mm), context.z(*front)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            look_at(context, part, *work, report);
            look_at_face_groove(context, *work, report);
        }
}

} // namespace

extern const Check check{
    .id = "home_from_inside_bore",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Boring bar goes home out of the bore sideways",
    .documentation =
        "A tool that works inside the part, and comes off its wall inward, is sent home in X, or in X and Z "
        "together, while it still stands deep in the bore: the rapid in Z in front of it was lost. The bar "
        "goes through the wall, and the part comes out of the jaws. Go out in Z first, then home."
        " The same holds in a groove that a blade has cut into the face.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X0 Z5.
G01 Z-65. F.1
G00 Z5.
G28 U0 W0
T0707
G97 S400 M03
G00 X38. Z5.
X42.
G01 X40. Z-2. F0.15
Z-60.
X38.
G53 X0.
;   ^^^ warning: home_from_inside_bore
G53 Z0.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S800 M03
G00 X.985 Z.1
G01 Z-1.66 F.007
X.94
G00 Z.1
X1.1
G01 X1. Z-.06
Z-1.66
X.94
G91 G28 X0 Z0
;       ^^ warning: home_from_inside_bore
G90
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S800 M03
G00 X26. Z2.
G01 Z-30. F0.15
X25.
G00 Z2.
X28.
G01 Z-30.
X25.
G00 Z2.
G91 G28 X0 Z0
G90
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S400 M03
G00 X38. Z5.
G01 X40. F0.15
Z-60.
X38.
G00 Z5.
X42.
G01 X40. Z-2.
Z-60.
X38.
G28 W0
G28 U0
M30
)"},
            {System::A, R"(
G20 G99
T0505
G97 S800 M03
G00 X.985 Z.1
G01 Z-1.66 F.007
X.94
G00 Z.1
X1.1
G01 X1. Z-.06
Z-1.66
X.94
G28 U0 Z.5
M30
)"},
            {System::B, R"(
G21 G90 G95
(BALL END)
T0303
G96 S160 M03
G00 X20. Z2.
X0
G01 Z0 F0.1
G03 X30. Z-15. R15.
G03 X18. Z-27. R15.
G01 X16. Z-34.
X15. Z-40.
G91 G28 X0
G28 Z0
M30
)"},
            // A thread behind a counterbore: the cycle ends where it began.
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X45. Z2.
G01 Z-40. F0.2
X44.
G00 Z2.
G00 X55.
G01 Z-12.
X44.
G00 Z5.
G28 U0 W0
T0404
G97 S600
G00 X44. Z5.
Z-6.
G76 P010060 Q80 R0.04
G76 X48. Z-38. P1083 Q250 F2.
G28 U0 W0
;   ^^ warning: home_from_inside_bore
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X1.8 Z.1
G01 Z-1.6 F.008
X1.75
G00 Z.1
X2.2
G01 Z-.5
X1.75
G00 Z.2
G28 U0 W0
T0404
G97 S600
G00 X1.75 Z.2
Z-.3
G78 X1.83 Z-1.5 F.0833
X1.86
X1.9
G28 U0 W0
;   ^^ warning: home_from_inside_bore
M30
)"},
            // In front of the face, and out in Z first.
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X45. Z2.
G01 Z-40. F0.2
X44.
G00 Z5.
G28 U0 W0
T0404
G97 S600
G00 X44. Z5.
G76 P010060 Q80 R0.04
G76 X48. Z-38. P1083 Q250 F2.
G28 U0 W0
T0606
G00 X44. Z5.
Z-6.
G92 X46.2 Z-38. F2.
X48.
G00 Z5.
G28 U0 W0
M30
)"},
            // Sideways out of a groove in the face; and as it is meant.
            {System::A, R"(
G20 G99
T0202
G97 S600 M03
G00 X6.2 Z.1
Z0
G01 X1.9 F.008
G00 Z1.
G00 G53 X0
G00 G53 Z0
T0606
G97 S500 M03
G00 X3.1 Z.5
Z.05
G01 Z-.088 F.003
G00 Z.05
X3.
G01 Z-.09 F.003
X3.1
G00 G53 X0
;       ^^ warning: home_from_inside_bore
G00 G53 Z0
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S280 M04
G00 X156. Z2.
Z0.
G01 X56. F0.2
G00 X300. Z150.
T0404
G97 S280 M04
G00 X104. Z3.
G01 Z-4.9 F0.06
G00 Z1.
X100.
G01 Z-5.
X104.
G00 X300. Z150.
;   ^^^^^ warning: home_from_inside_bore
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G97 S280 M04
G00 X104. Z3.
G01 Z-4.9 F0.06
G00 Z1.
X100.
G01 Z-5.
X104.
G00 Z50.
X300. Z150.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::home_from_inside_bore
