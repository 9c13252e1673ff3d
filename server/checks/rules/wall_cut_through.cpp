// A bore cut wider than the outside is turned there, or an outside turned smaller than the bore.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::wall_cut_through {

namespace {

constexpr double over_mm = 0.3;   ///< On radius; less may be a sharp edge
constexpr double behind_mm = 0.4; ///< Behind the face: chamfers meet at it
constexpr double least_way_mm = 1;

/// What the tools so far other than blades leave outside and inside: a part-off goes through the bore.
struct Wall {
    Profile outside, bore;
    void cut(const Work& work) {
        if (plunges_into_face(work)) return; // It leaves metal on both sides
        for (const Leg& leg : work.legs) {
            if (!leg.cuts() || !leg.known || leg.kind == Leg::Kind::thread) continue;
            if (work.where == Work::Where::outside && leg.dz() != 0) outside.lower(leg);
            if (work.where == Work::Where::inside) bore.raise(leg);
        }
    }
};

/// Where along the leg the wall is gone by more than an edge, the other side's X; else nullopt.
std::optional<double> beyond(const Leg& leg, const Profile& other, double unit_mm, bool inside) {
    constexpr int samples = 8;
    for (int i = 1; i <= samples; ++i) {
        const Point at = motion::point_at(leg.segment(), static_cast<double>(i) / samples);
        if (-at.z_mm * unit_mm < behind_mm) continue;
        const auto height = other.at(at.z_mm);
        if (!height) continue;
        const double over = inside ? at.x_radius_mm - *height : *height - at.x_radius_mm;
        if (over * unit_mm > over_mm) return height;
    }
    return std::nullopt;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    Wall wall{Profile(part.z_min, part.z_max), Profile(part.z_min, part.z_max)};
    for (const Work* work : part.works) {
        const bool inside = work->where == Work::Where::inside;
        if (work->driven_tool || is_blade(*work) || plunges_into_face(*work) ||
            (!inside && work->where != Work::Where::outside))
            continue;
        for (const Leg& leg : work->legs) {
            if (!leg.cuts() || !leg.known || leg.kind == Leg::Kind::thread || leg.of_cycle) continue;
            // Outside, a face goes in over the bore and chamfers its edge.
            if (!inside && std::abs(leg.dz()) * work->unit_mm < least_way_mm) continue;
            const auto other = beyond(leg, inside ? wall.outside : wall.bore, work->unit_mm, inside);
            if (!other) continue;
            context.at(report, *work, leg, "XUZW")
                .message(inside ? said("The bore is cut to {} here, and the outside is turned to {}: no "
                                       "wall is left. Is X right?",
                                       context.x(leg.to.x_radius_mm), context.x(*other))
                                : said("The outside is turned to {} here, and the bore is {}: no wall is "
                                       "left. Is X right?",
                                       context.x(leg.to.x_radius_mm), context.x(*other)));
            return;
        }
        wall.cut(*work);
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        if (!part.outside.empty()) look_at(context, part, report);
}

} // namespace

extern const Check check{
    .id = "wall_cut_through",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Bore wider than the outside",
    .documentation =
        "A tool in the bore cuts to a larger X than another tool turns the outside to at the same Z, or an "
        "outside is turned smaller than the bore: no wall is left between the two. A digit of X is wrong, or "
        "a diameter stands where the program writes radius. Blades are not looked at, since a part-off goes "
        "through the bore, nor is the first 0.4 mm, where chamfers meet.",
    .works = works,
    .examples =
        {
            // A groove in the face beside a bored hub: each plunge goes out again along Z.
            {System::C, R"(
G71 G90 G95
T0101
G97 S600 M03
G00 X150. Z2.
G01 Z-27. F0.2
X154.
G00 Z2.
T0303
G00 X0 Z5.
G01 Z-50. F0.2
G00 Z5.
T0404
G00 X40. Z2.
G01 Z-18. F0.1
X38.
G00 Z2.
T0606
G00 X110. Z2.
Z-13.
G01 Z-18. F0.08
G00 Z-13.
X108.
G01 Z-18.
G00 Z5.
M30
)"},
            {System::B, R"(
(ALL X VALUES ARE RADIUS)
G21 G90 G95
T0101
G97 S800 M03
G00 X32. Z2.
X27.5
G01 Z-55. F.2
X31.
G00 X60. Z50.
T0303
G00 X19. Z2.
G01 Z-55. F.2
X18.5
G00 Z2.
X22.
G01 X40. Z-1. F.1
;   ^^^ warning: wall_cut_through
Z-55.
X19.
G00 Z80.
M30
)"},
            {System::A, R"(
G20 G99
T0303
G97 S800 M03
G00 X1. Z.1
G01 Z-1. F.006
X.9
G00 Z.1
X1.2
G01 Z-1.
X1.1
G00 Z.1
T0101
G00 X2.1 Z.1
X1.8
G01 Z-.5 F.008
X2.1
G00 Z.1
X1.08
G01 Z-.5
;   ^^^^ warning: wall_cut_through
X2.1
G00 Z1.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X60. Z2.
X50.
G01 Z-40. F.2
X60.
G00 Z2.
T0303
G00 X30. Z2.
G01 Z-45. F.1
X28.
G00 Z2.
X52.
G01 Z0
X46. Z-3.
Z-20.
X28.
G00 Z2.
T0505
G00 X62. Z-42.
G01 X29. F.08
G00 X62.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z2.
G01 Z-45. F.1
X18.
G00 Z2.
T0101
G00 X60. Z0
G01 X18. F.2
G00 X19. Z1.
G01 X24. Z-1.
G00 X60. Z2.
X50.
G01 Z-40. F.2
X60.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X3.7 Z0
G01 X-.065 F.008
G00 X3.375 Z.1
G01 Z-1.7 F.012
X3.55
G00 Z.1
T0202 (DRILL 7/8)
G97 S1400 M03
G00 X0 Z.2
#1=.5
WHILE[#1LE2.5]DO1
G01 Z-#1 F.008
G00 Z.2
#1=#1+.5
END1
G01 Z-2.72 F.006
G00 Z.2
T0404
G97 S900 M03
G00 X1. Z.1
G01 Z-2.48 F.008
X.9
G00 Z.1
M30
)"},
            // A groove in the face, its edges broken from both sides; a hook that is pulled from the far
            // side.
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X126. Z0
G01 X-1. F0.2
G00 X124. Z1.
X120.
G01 Z-15. F0.2
X126.
G28 X200. Z100.
T0505
G96 S120 M03
G00 X60.4 Z2.
G01 Z-5.9 F0.08
G00 Z2.
X57. Z0.5
G01 X60. Z-1. F0.1
Z-6. F0.06
X66.
G00 Z2.
T0515
G00 X83. Z0.5
G01 X80. Z-1. F0.1
Z-6. F0.06
X73.
G00 Z2.
G28 X200. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0909
G96 S150 M03
G00 X40.6 Z2.
G01 Z-21. F0.15
U-0.6
G00 Z1.
X41.
G01 Z-21. F0.1
U-0.6
G00 Z5.
G28 U0 W0
T1111
G97 S900 M03
G00 X38. Z3.
G01 Z-22. F1.
X45. F0.5
Z-21.
X40. Z-18.5 F0.1
X38.
G00 Z5.
G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::wall_cut_through
