// A thread that is cut out of its relief toward the face and ends in the wall before it: the sign of Z.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::thread_ends_in_metal {

namespace {

constexpr double least_depth_mm = 0.15;
/// As wide as blades are: what stands beside a plunge is not known so far to either side.
constexpr double widest_blade_mm = 6;

/// What the cuts of all tools but threads leave.
struct Wall {
    Profile outside, bore;
    std::vector<Point> plunges;
    explicit Wall(const Workpiece& part) : outside(part.z_min, part.z_max), bore(part.z_min, part.z_max) {
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            for (const Leg& leg : work->legs) {
                if (leg.kind != Leg::Kind::feed || !leg.known) continue;
                if (is_plunge(leg)) plunges.push_back(leg.to);
                if (work->where == Work::Where::inside) bore.raise(leg);
                if (work->where == Work::Where::outside || is_blade(*work)) outside.lower(leg);
            }
        }
    }
    bool stands_at(double z, double x, bool inside, double unit_mm) const {
        const auto surface = inside ? bore.at(z) : outside.at(z);
        return surface && (inside ? x - *surface : *surface - x) * unit_mm > least_depth_mm;
    }
    bool beside_plunge(Point at, double unit_mm) const {
        return std::any_of(plunges.begin(), plunges.end(), [&](Point plunge) {
            return std::abs(at.z_mm - plunge.z_mm) * unit_mm < widest_blade_mm;
        });
    }
};

void look_at(const WorksContext& context, const Wall& wall, const Work& work, Report& report) {
    const Leg *first = nullptr, *last = nullptr;
    bool inside = false;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &leg = work.legs[i], &before = work.legs[i - 1];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || before.kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() <= 0 || std::abs(leg.dx()) > 1e-6) return;
        if (first && std::abs(leg.to.z_mm - first->to.z_mm) > 1e-6) return;
        if (!first) {
            first = &leg;
            inside = before.dx() > 0;
        }
        last = &leg;
    }
    if (!first) return;
    const Point end = last->to;
    if (end.z_mm * work.unit_mm > -0.5 || wall.beside_plunge(end, work.unit_mm)) return;
    // On to the face it stands as high.
    for (const double z : {end.z_mm, end.z_mm / 2})
        if (!wall.stands_at(z, end.x_radius_mm, inside, work.unit_mm)) return;
    context.at(report, work, *first, "ZW")
        .message(
            said("These passes go toward the face and end at {} in full metal, with no relief there: the "
                 "insert is torn out of the thread at each, and up to the face none is cut. Is {} meant, "
                 "in front of the face?",
                 context.z(end.z_mm), context.z(-end.z_mm)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        if (part.outside.empty()) continue;
        std::optional<Wall> wall;
        for (const Work* work : part.works) {
            const bool threads = std::any_of(work->legs.begin(), work->legs.end(),
                                             [](const Leg& leg) { return leg.kind == Leg::Kind::thread; });
            if (!threads || work->driven_tool || work->where == Work::Where::on_centre) continue;
            if (!wall) wall.emplace(part);
            look_at(context, *wall, *work, report);
        }
    }
}

} // namespace

extern const Check check{
    .id = "thread_ends_in_metal",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread toward the face that ends in the wall",
    .documentation =
        "The passes of a thread start in a relief and go toward the face, as those of a left-hand thread do, "
        "and end before they are there: by the program's own cuts metal stands at their end and on to the "
        "face, and no relief is cut near it. The minus before their Z is one too many. Threads that end in "
        "front of the face or in a relief of their own are left alone.",
    .works = works,
    .examples =
        {
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X.35 Z.1
G01 X.617 Z-.0335 F.006
Z-1.2
X.65
G00 X2. Z1.
T0202
G00 X.7 Z-1.2
G01 X.55 F.003
G00 X.7
Z-1.1
G01 X.55
G00 X2.
T0303
G00 X.72 Z-1.1
G21 X.602 Z-.25 F.05556
;         ^^^^^ warning: thread_ends_in_metal
X.59
X.557
G00 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-30. F.2
X30.
G00 X60. Z50.
T0202
G00 X28. Z-28.
G01 X20. F.08
G00 X60.
T0303
G97 S600 M03
G00 X28. Z-27.
G92 X23.2 Z-5. F1.5
;         ^^^^ warning: thread_ends_in_metal
X22.6
X22.16
G00 X60.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-30. F.2
X30.
G00 X60. Z50.
T0202
G00 X28. Z-28.
G01 X20. F.08
G00 X60.
T0303
G97 S600 M03
G00 X28. Z-27.
G78 X23.2 Z5. F1.5
X22.6
X22.16
G00 X60.
M30
)"},
            // From one relief to the other, and cut from the face.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-30. F.2
X30.
G00 X60. Z50.
T0202
G00 X28. Z-28.
G01 X20. F.08
G00 X28.
Z-6.
G01 X20.
G00 X60.
T0303
G97 S600 M03
G00 X28. Z-27.
G92 X23.2 Z-5. F1.5
X22.6
X22.16
G00 X60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_ends_in_metal
