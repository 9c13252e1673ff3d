// A thread that is not where its tool can begin: its passes start in the wall, or its cycle on the wrong side
// of it.
#include "checks/noted_blade.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::thread_starts_in_metal {

namespace {

constexpr double least_depth_mm = 0.15;
/// What goes in along X in front of this is a face, and no groove that a thread could start in.
constexpr double behind_face_mm = -0.5;
/// As wide as blades are: what stands beside a plunge is not known so far to either side.
constexpr double widest_blade_mm = 6;

/// What the cuts of all tools but threads leave.
struct Wall {
    Profile outside, bore;
    struct Plunge {
        Point to;
        double front, back; ///< Z that the blade may have opened
    };
    std::vector<Plunge> plunges;
    Wall(const WorksContext& context, const Workpiece& part)
        : outside(part.z_min, part.z_max), bore(part.z_min, part.z_max) {
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            // A feed of a threading tool is its way to the thread.
            if (std::any_of(work->legs.begin(), work->legs.end(),
                            [](const Leg& leg) { return leg.kind == Leg::Kind::thread; }) &&
                work->where == Work::Where::inside)
                continue;
            std::optional<NotedBlade> blade;
            for (const Leg& leg : work->legs) {
                if (leg.kind != Leg::Kind::feed || !leg.known) continue;
                if (is_plunge(leg) && leg.to.z_mm * work->unit_mm < behind_face_mm) {
                    if (!blade) blade = noted_blade(context, *work);
                    plunges.push_back(plunge_of(*blade, leg.to, work->unit_mm));
                }
                if (work->where == Work::Where::inside) bore.raise(leg);
                if (work->where == Work::Where::outside || is_blade(*work)) outside.lower(leg);
            }
        }
    }
    static Plunge plunge_of(const NotedBlade& blade, Point to, double unit_mm) {
        constexpr double insert_mm = 0.5; // The threading tool's point stands within its own width
        const double width = blade.width ? *blade.width + insert_mm / unit_mm : widest_blade_mm / unit_mm;
        const double other = insert_mm / unit_mm;
        const bool known = blade.width && blade.corner != BladeCorner::unknown;
        return {to, to.z_mm + (known && blade.corner == BladeCorner::right ? other : width),
                to.z_mm - (known && blade.corner == BladeCorner::left ? other : width)};
    }
    bool beside_plunge(Point at, bool inside) const {
        return std::any_of(plunges.begin(), plunges.end(), [&](const Plunge& plunge) {
            return at.z_mm < plunge.front && at.z_mm > plunge.back &&
                   (inside ? plunge.to.x_radius_mm >= at.x_radius_mm
                           : plunge.to.x_radius_mm <= at.x_radius_mm);
        });
    }
};

/// The passes of a work that have one start and end; their X from the first to the last.
struct Passes {
    const Leg* first = nullptr;
    const Leg* last = nullptr;
    const Leg* infeed = nullptr; ///< Of the first
};
std::optional<Passes> passes_of(const Work& work) {
    Passes passes;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &leg = work.legs[i], &before = work.legs[i - 1];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || before.kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() == 0 || !before.known || before.cuts()) return std::nullopt;
        if (!passes.first) {
            passes.first = &leg;
            passes.infeed = &before;
        }
        passes.last = &leg;
    }
    if (!passes.first || passes.infeed->dx() == 0) return std::nullopt;
    return passes;
}

/// A bore is there, the passes lie around it, and by the outside the cycle starts in the wall.
bool is_thread_of_bore(const Workpiece& part, const Passes& passes, const Wall& wall, const Work& work) {
    constexpr double largest_height_mm = 4;
    const double z = (passes.first->from.z_mm + 2 * passes.first->to.z_mm) / 3;
    const auto bore = wall.bore.at(z), outside = wall.outside.at(z);
    const double last = passes.last->from.x_radius_mm, start = passes.infeed->from.x_radius_mm;
    // Where nothing turns the outside it stands as far out as the face is cut from.
    const double stands = outside.value_or(part.first_clear_x);
    const double height = bore ? last - *bore : -1;
    const bool of_lead = outside || height < passes.last->feed;
    return height >= 0 && of_lead && height * work.unit_mm < largest_height_mm &&
           stands > start + least_depth_mm / work.unit_mm;
}

/// The way back of a cycle, at the X that it starts from, lies in the blank of the thread.
std::optional<Point> metal_on_way_back(const Passes& passes, const Wall& wall, bool inside, double unit_mm) {
    constexpr int places = 40;
    const Leg& pass = *passes.last;
    const double lead = pass.feed;
    // Of two threads; fed in at an angle they shift by less than a lead.
    if (std::abs(passes.first->from.z_mm - pass.from.z_mm) > lead ||
        std::abs(passes.first->to.z_mm - pass.to.z_mm) > 2 * lead)
        return std::nullopt;
    if (!pass.of_cycle || lead <= 0 || pass.from.x_radius_mm <= 0) return std::nullopt;
    constexpr double highest = 1.2; // Of the lead: what stands higher is a shoulder that it goes into
    const double start = passes.infeed->from.x_radius_mm;
    std::optional<Point> worst;
    for (int i = 1; i < places; ++i) {
        const double z = pass.from.z_mm + pass.dz() * i / places;
        if (z * unit_mm > -0.5) continue;
        const auto surface = inside ? wall.bore.at(z) : wall.outside.at(z);
        if (!surface) continue;
        const double deep = inside ? start - *surface : *surface - start;
        const double x = pass.from.x_radius_mm + pass.dx() * i / places;
        if (deep * unit_mm < least_depth_mm || std::abs(*surface - x) > highest * lead) continue;
        if (!worst || deep > (inside ? start - worst->x_radius_mm : worst->x_radius_mm - start))
            worst = Point{*surface, z};
    }
    return worst;
}

void look_at(const WorksContext& context, const Workpiece& part, const Wall& wall, const Work& work,
             Report& report) {
    const auto passes = passes_of(work);
    if (!passes) return;
    const Leg& pass = *passes->last;
    const bool inside = passes->infeed->dx() > 0;
    const double start = passes->infeed->from.x_radius_mm;
    // The passes of a thread in a bore grow; begun outside of the last the tool comes from the wall.
    const bool grows = pass.from.x_radius_mm > passes->first->from.x_radius_mm;
    const bool of_bore = !inside && (is_thread_of_bore(part, *passes, wall, work) ||
                                     (grows && wall.bore.at(pass.to.z_mm * 0.5 + pass.from.z_mm * 0.5)));
    if (of_bore) {
        const Leg* at = passes->infeed; // Where the tool was brought to
        while (at != work.legs.data() && (at->of_cycle || at->cuts())) --at;
        context.at(report, work, *at, "XU")
            .message(said("The thread lies in the bore, and its passes start at {}, outside of it: the "
                          "tool comes to each pass through the wall. Start inside of the bore.",
                          context.x(start)));
        return;
    }
    if (const auto metal = metal_on_way_back(*passes, wall, inside, work.unit_mm)) {
        const Leg* at = passes->infeed; // Where the tool was brought to
        while (at != work.legs.data() && (at->of_cycle || at->cuts() || !at->moves_x)) --at;
        context.at(report, work, *at, "XU")
            .message(
                said("The passes of this thread start from {}, and at {} the part stands at {}: the tool "
                     "goes back at rapid through the crests that it has cut, and breaks. Start {} of that.",
                     context.x(start), context.z(std::round(metal->z_mm * 100) / 100),
                     context.x(std::round(metal->x_radius_mm * 1e4) / 1e4),
                     inside ? said("inside") : said("outside")));
        return;
    }
    const Point at = pass.from;
    if (at.z_mm * work.unit_mm > -0.5 || wall.beside_plunge(at, inside)) return;
    const auto surface = inside ? wall.bore.at(at.z_mm) : wall.outside.at(at.z_mm);
    if (!surface) return;
    const double depth = (inside ? at.x_radius_mm - *surface : *surface - at.x_radius_mm) * work.unit_mm;
    if (depth < least_depth_mm) return;
    const Leg* placed = passes->infeed;
    while (placed != work.legs.data() && (placed->of_cycle || placed->cuts() || !placed->moves_z)) --placed;
    context.at(report, work, *placed, "ZW")
        .message(said(
            "The passes of this thread start at {} in full metal: the wall stands at {} there and the thread "
            "goes to {}. The tool is driven in at rapid and breaks. Start in front of the thread or in a "
            "relief.",
            context.z(at.z_mm), context.x(*surface), context.x(at.x_radius_mm)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        if (part.outside.empty()) continue;
        std::optional<Wall> wall;
        for (const Work* work : part.works) {
            if (!threads(*work) || work->driven_tool) continue;
            if (!wall) wall.emplace(context, part);
            look_at(context, part, *wall, *work, report);
        }
    }
}

} // namespace

extern const Check check{
    .id = "thread_starts_in_metal",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread that starts in the wall",
    .documentation =
        "By the program's own cuts metal stands where the passes of the thread begin: the tool is driven "
        "into it at rapid, with no way to run in. Or the thread lies in a bore and its cycle starts outside "
        "of the bore, so that it comes to every pass through the wall. Z or X of the start has a wrong "
        "digit. So is a cycle that starts within the blank of its thread: between the passes it goes back at "
        "rapid at that X, through the crests.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X44. Z2.
X24.85
G01 Z-80. F.2
X38.
G00 Z2.
T0707
G00 X30. Z-25.
G01 X19. F.05
G00 X60.
T0909
G00 Z-36.
; ^^^^ warning: thread_starts_in_metal
X28.
G76 P021060 Q80 R.05
G76 X23.16 Z-55. P920 Q300 F1.5
G00 X60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X24. Z2.
G01 X34.5 F.1
Z-22.
X24.
G00 Z4.
T1010
G00 X38. Z5.
;   ^^^ warning: thread_starts_in_metal
G21 X34.9 Z-19. F1.5
X35.2
X35.6
X36.
G00 Z10.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X24. Z2.
G01 X34.5 F.1
Z-22.
X24.
G00 Z4.
T1010
G00 X33. Z5.
G92 X34.9 Z-19. F1.5
X35.2
X35.6
X36.
G00 Z10.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X44. Z2.
X19.85
G01 Z-30. F.2
X32.
G00 Z2.
T0303
G00 X32. Z-30.
G01 X17. F.06
X32. F.3
G00 Z-27.5
G01 X17. F.06
X32. F.3
T0505
G00 X24. Z-28.
X19.3
G33 Z4. F1.5
G00 X24.
Z-28.
X18.9
G33 Z4. F1.5
G00 X60.
M30
)"},
            // A minus gained: the thread begins behind its front; from in front of the face.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X44. Z0
G01 X-1.6 F0.2
G00 X12.85 Z2.
G01 X19.85 Z-1.5 F0.14
Z-22.
X24.
G00 X100. Z100.
T0404
G97 S800 M03
G00 X23. Z-5.
;        ^^^^ warning: thread_starts_in_metal
G78 X19.3 Z-18. F1.5
X18.9
X18.16
G00 X100. Z100.
M30
)"},
            // A thread of the bore begun outside of it, where nothing turns the outside.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X66. Z0
G01 X34. F0.2
G00 Z3.
G28 U0 W0
T0303
G97 S800 M03
G00 X34. Z2.
X43.
G01 X40.4 Z-1.3 F0.12
Z-22.
X38.
G00 Z50.
G28 U0 W0
T0909
G97 S600 M03
G00 X48. Z5.
;   ^^^^ warning: thread_starts_in_metal
G92 X41. Z-20. F1.5
X41.5
X42.
G00 Z50.
G28 U0 W0
M30
)"},
            // In it.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X66. Z0
G01 X34. F0.2
G00 Z3.
X100. Z100.
T0303
G97 S800 M03
G00 X34. Z2.
X43.
G01 X40.4 Z-1.3 F0.12
Z-22.
X38.
G00 Z50.
X100. Z100.
T0909
G97 S600 M03
G00 X38. Z5.
G21 X41. Z-20. F1.5
X41.5
X42.
G00 Z50.
X100. Z100.
M30
)"},
            // The same of a cycle in one line.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X66. Z0
G01 X34. F0.2
G00 Z3.
G28 U0 W0
T0303
G97 S800 M03
G00 X34. Z2.
X43.
G01 X40.4 Z-1.3 F0.12
Z-22.
X38.
G00 Z50.
G28 U0 W0
T0909
G97 S600 M03
G00 X48. Z5.
;   ^^^^ warning: thread_starts_in_metal
G76 X42. Z-20. K.812 D200 F1.5 A60
G00 Z50.
G28 U0 W0
M30
)"},
            // A cycle that goes back at rapid within the blank; outside of it.
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X1.03 Z.1
G01 Z0. F.006
X1.065 Z-.6
X1.4
G00 X3. Z3.
T0404
G97 S450 M03
G00 X1. Z.2
;   ^^^ warning: thread_starts_in_metal
G21 X1.035 Z-.55 R-.0234 F.07143
X1.01
X.97
G00 X3. Z3.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X1.03 Z.1
G01 Z0. F.006
X1.065 Z-.6
X1.4
G00 X3. Z3.
T0404
G97 S450 M03
G00 X1.25 Z.2
G21 X1.035 Z-.55 R-.0234 F.07143
X1.01
X.97
G00 X3. Z3.
M30
)"},
            // As wide as the note has the blade its relief is open.
            {System::A, R"(
(T03 BOHRSTANGE R0.4, T05 EINSTECHER INNEN 3 LINKE ECKE, T07 GEWINDE)
G21 G99
T0202 (BOHRER 26)
G97 S320 M03
G00 X0 Z4.
G01 Z-38. F0.2
G00 Z4.
T0303
G97 S900 M03
G00 X28.4 Z2.
G01 Z-30. F0.1
G00 X25.
Z3.
T0505
G97 S600 M03
G00 X26. Z3.
Z-30.
G01 X31. F0.05
G00 X26.
Z-27.2
G01 X31.
G00 X26.
Z-26.
G01 X31.
G00 X26.
Z5.
T0707
G97 S600 M04
G00 X27. Z5.
Z-22.
;^^^^ warning: thread_starts_in_metal
G92 X28.9 Z5. F1.5
X29.3
X29.6
X29.85
X30.1
G00 Z10.
M30
)"},
            {System::A, R"(
(T03 BOHRSTANGE R0.4, T05 EINSTECHER INNEN 3 LINKE ECKE, T07 GEWINDE)
G21 G99
T0202 (BOHRER 26)
G97 S320 M03
G00 X0 Z4.
G01 Z-38. F0.2
G00 Z4.
T0303
G97 S900 M03
G00 X28.4 Z2.
G01 Z-30. F0.1
G00 X25.
Z3.
T0505
G97 S600 M03
G00 X26. Z3.
Z-30.
G01 X31. F0.05
G00 X26.
Z-27.2
G01 X31.
G00 X26.
Z-26.
G01 X31.
G00 X26.
Z5.
T0707
G97 S600 M04
G00 X27. Z5.
Z-27.
G92 X28.9 Z5. F1.5
X29.3
X29.6
X29.85
X30.1
G00 Z10.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_starts_in_metal
