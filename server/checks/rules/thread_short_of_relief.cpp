// A thread that ends long before the relief that is made for its end.
//
// The limits: common practice, no source.
#include "checks/noted_blade.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace turnwright::checks::rules::thread_short_of_relief {

namespace {

/// So much of the way to the relief a thread leaves that was meant to end elsewhere.
constexpr double most_of_way = 0.6;
constexpr double widest_relief_mm = 8;
constexpr double same_mm = 0.05;

struct Relief {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
};

/// Outward in a bore, from where a rapid has brought the tool in.
bool opens_in_bore(const Work& work, const Leg& leg) {
    const Leg* before = &leg == work.legs.data() ? nullptr : &leg - 1;
    return leg.dx() > 0 && work.where != Work::Where::outside && leg.from.z_mm * work.unit_mm < -0.5 &&
           before && before->kind == Leg::Kind::rapid;
}

/// A blade's plunge past the root of the thread, farther on than it ends: the nearest.
Relief relief_behind(const Workpiece& part, const Leg& pass, bool inside, double same) {
    Relief found;
    for (const Work* work : part.works) {
        if (work->driven_tool) continue;
        const bool blade = is_blade(*work) || work->where == Work::Where::inside;
        for (const Leg& leg : work->legs) {
            if (!is_plunge(leg) || leg.kind == Leg::Kind::thread || (leg.dx() > 0) != inside) continue;
            if (!blade && !opens_in_bore(*work, leg)) continue;
            const double past = (leg.to.x_radius_mm - pass.to.x_radius_mm) * (inside ? 1 : -1);
            // So far past it the part is cut off, or a groove of another sort.
            const double most = (0.5 + 0.1 * pass.to.x_radius_mm * work->unit_mm) / work->unit_mm;
            if (past < -same || leg.to.x_radius_mm <= 0 || past > most) continue;
            if (leg.to.z_mm > pass.to.z_mm - same) continue;
            if (!found.leg || leg.to.z_mm > found.leg->to.z_mm) found = {work, &leg};
        }
    }
    return found;
}

/// What a slip of a hand makes of the Z, between here and there.
std::vector<double> slips_into(double z, double low, double high) {
    std::vector<double> found;
    for (const double meant : slips_of(z)) {
        const Slip slip = slip_between(z, meant);
        // With digits behind the point a lost one makes nearly any number.
        const bool likely = slip == Slip::digits_swapped || slip == Slip::point_moved ||
                            (slip == Slip::digit_lost && z == std::round(z));
        if (likely && -meant >= low && -meant <= high) found.push_back(-meant);
    }
    return found;
}

/// Behind the relief the part is thicker than in front of it, where the thread has ended: it is made for its
/// end.
bool has_shoulder(const Workpiece& part, double front, double back, bool inside, double mm) {
    constexpr double beside_mm = 0.4, least_mm = 0.3;
    const Profile& profile = inside ? part.bore : part.outside;
    const auto before = profile.at(front + beside_mm / mm), behind = profile.at(back - beside_mm / mm);
    return before && behind && (*behind - *before) * (inside ? -1 : 1) * mm > least_mm;
}

/// The way between the end of the thread and the edge of its relief; 0: it comes into it, or may.
double way_left(const WorksContext& context, const Workpiece& part, const Leg& pass, const Relief& relief,
                bool inside) {
    constexpr double wide_blade_mm = 4, least_mm = 1.5, most_mm = 6, least_leads = 1.2, most_share = 0.3;
    const double mm = relief.work->unit_mm, z = relief.leg->to.z_mm;
    const NotedBlade blade = noted_blade(context, *relief.work);
    const double width = blade.width.value_or(wide_blade_mm / mm);
    const double front = blade.corner == BladeCorner::right ? z : z + width;
    double back = front - width;
    // A relief that is cut in several plunges ends behind the last of them.
    for (bool wider = true; std::exchange(wider, false);)
        for (const Leg& leg : relief.work->legs) {
            const double end = leg.to.z_mm - (blade.corner == BladeCorner::right ? width : 0);
            if (!is_plunge(leg) || (leg.dx() > 0) != inside || end >= back || end < back - width) continue;
            back = end;
            wider = true;
        }
    const double way = pass.to.z_mm - front;
    // Of several starts the lead is many times what one groove is wide, which its height tells.
    constexpr double least_height_share = 0.5;
    const auto blank = (inside ? part.bore : part.outside).at(front + 0.4 / mm);
    const double pitch = blank ? std::abs(*blank - pass.to.x_radius_mm) / least_height_share : pass.feed;
    const double least = std::max(least_mm, least_leads * std::min(pass.feed, pitch) * mm);
    // So far in front of a relief it belongs to something else.
    const double most = std::max(most_mm, -most_share * z * mm);
    return way * mm > least && way * mm < most && has_shoulder(part, front, back, inside, mm) ? way : 0;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    const Leg *first = nullptr, *deepest = nullptr;
    bool inside = false;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() >= 0 || std::abs(leg.dx()) > 1e-6) return;
        if (!first) inside = work.legs[i - 1].dx() > 0;
        if (!first) first = &leg;
        // Of two threads each may have its relief.
        if (std::abs(leg.to.z_mm - first->to.z_mm) > 1e-6) return;
        deepest = &leg;
    }
    if (!deepest || deepest->to.z_mm >= 0) return;
    const double same = same_mm / work.unit_mm;
    const Relief relief = relief_behind(part, *deepest, inside, same);
    if (!relief.leg) return;
    if (const double way = way_left(context, part, *deepest, relief, inside)) {
        context.at(report, work, *first, "ZW")
            .message(said("The thread ends at {}, {} before the relief at {} begins: over that way no thread "
                          "is cut, and the other part does not go on to the shoulder. Let it end in the "
                          "relief.",
                          context.z(deepest->to.z_mm), spoken(std::round(way * 1e3) / 1e3),
                          context.z(relief.leg->to.z_mm)))
            .related(context.place(*relief.work, *relief.leg), said("the relief"));
        return;
    }
    if (deepest->to.z_mm < most_of_way * relief.leg->to.z_mm) return;
    const double z = relief.leg->to.z_mm, width = widest_relief_mm / work.unit_mm;
    const std::vector<double> meant = slips_into(deepest->to.z_mm, z, std::min(z + width, most_of_way * z));
    if (meant.empty()) return;
    const std::string one = context.z(*std::min_element(meant.begin(), meant.end(), [&](double a, double b) {
        const auto swapped = [&](double value) {
            return slip_between(deepest->to.z_mm, value) != Slip::digits_swapped;
        };
        return std::pair(swapped(a), -a) < std::pair(swapped(b), -b);
    }));
    context.at(report, work, *first, "ZW")
        .message(
            said("The thread ends at {}, and the relief that it is to run out in lies at {}: between the two "
                 "no thread is cut, and the other part does not go on. Is {} meant?",
                 context.z(deepest->to.z_mm), context.z(z), one))
        .related(context.place(*relief.work, *relief.leg), said("the relief"));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool && work->where != Work::Where::on_centre)
                look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "thread_short_of_relief",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread that ends long before its relief",
    .documentation =
        "A blade has made a relief, a little deeper than the root of the thread, and all passes "
        "of the thread end "
        "before they are half or so of the way to it. One slip in Z (two digits swapped, one lost, the "
        "point) would end them in the relief. A thread that ends near its relief, one of two on "
        "a part, and one "
        "that no slip brings there are left alone."
        " Where a shoulder stands behind the relief, one that ends more than a lead in front of it is told, "
        "too.",
    .works = works,
    .examples =
        {
            // Three leads before its relief, with the shoulder behind that; into it; and no shoulder there.
            {System::A, R"(
(T05 GROOVE 3 WIDE, LEFT CORNER)
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-25. F.2
X36.
Z-40.
G00 X60. Z50.
T0505
G97 S900 M03
G00 X38. Z-25.
G01 X21. F.08
G00 X60. Z50.
T0303
G97 S600 M03
G00 X28. Z6.
G92 X23.2 Z-17.5 F1.5
;         ^^^^^^ warning: thread_short_of_relief
X22.5
X22.1
G00 X60. Z50.
M30
)"},
            {System::A, R"(
(T05 GROOVE 3 WIDE, LEFT CORNER)
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-25. F.2
X36.
Z-40.
G00 X60. Z50.
T0505
G97 S900 M03
G00 X38. Z-25.
G01 X21. F.08
G00 X60. Z50.
T0303
G97 S600 M03
G00 X28. Z6.
G92 X23.2 Z-23.5 F1.5
X22.5
X22.1
G00 X60. Z50.
M30
)"},
            {System::C, R"(
(T05 GROOVE .125 WIDE, LEFT CORNER)
G70 G90 G95
T0101
G97 S800 M03
G00 X1.1 Z.1
X.995
G01 Z-2.5 F.008
X1.6
G00 X4. Z3.
T0505
G97 S900 M03
G00 X1.2 Z-1.25
G01 X.9 F.003
G00 X4. Z3.
T0303
G97 S600 M03
G00 X1.2 Z.2
G21 X.96 Z-1. F.05
X.94
G00 X4. Z3.
M30
)"},
            // Outside, a digit lost.
            {System::A, R"(
G21 G99
T0505
G97 S700 M03
G00 X36. Z-32.
G01 X27. F0.08
G00 X36.
G28 U0
G28 W0
T0707
G97 S600 M03
G00 X34. Z5.
G92 X29.2 Z-3. F2.
;         ^^^ warning: thread_short_of_relief
X28.6
X28.1
X27.55
G28 U0
G28 W0
M30
)"},
            // In a bore, digits swapped.
            {System::C, R"(
G70 G90 G95
T0202
G97 S800 M03
G00 X1.395 Z.1
G01 Z-.974 F.008
G00 X1.37
Z.1
X1.7298
G01 X1.4098 Z-.06 F.004
Z-.975
X1.37
G00 Z.3
X4. Z4.
T0303
G97 S700 M03
G00 X1.35 Z.2
Z-.975
G01 X1.54 F.002
G00 X1.35
Z.3
X4. Z4.
T0404
G97 S600 M03
G00 X1.36 Z.3
G78 P020060 Q20 R.001
G78 X1.5 Z-.19 P451 Q80 F.083333
;       ^^^^^ warning: thread_short_of_relief
G00 Z.5
M30
)"},
            // The point.
            {System::B, R"(
G21 G90 G95
T0505
G97 S700 M03
G00 X36. Z-32.
G01 X27. F0.08
G00 X36.
X100. Z100.
T0707
G97 S600 M03
G00 X34. Z5.
G78 X29.2 Z-3.05 F2.
;         ^^^^^^ warning: thread_short_of_relief
X28.6
X28.1
X27.55
G00 X100. Z100.
M30
)"},
            // It ends in its relief, near it, and what lies farther on is a groove of another sort.
            {System::A, R"(
G21 G99
T0505
G97 S700 M03
G00 X36. Z-32.
G01 X27. F0.08
G00 X36.
G28 U0
G28 W0
T0707
G97 S600 M03
G00 X34. Z5.
G92 X29.2 Z-30. F2.
X28.6
X28.1
X27.55
G28 U0
G28 W0
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S700 M03
G00 X1.4 Z-1.25
G01 X1.06 F.003
G00 X1.4
X4. Z4.
T0707
G97 S600 M03
G00 X1.3 Z.2
G78 X1.15 Z-.56 F.0833
X1.12
X1.0975
G00 X4. Z4.
M30
)"},
            // Two threads.
            {System::C, R"(
G71 G90 G95
T0505
G97 S700 M03
G00 X36. Z-32.
G01 X27. F0.08
G00 X36.
X100. Z100.
T0707
G97 S600 M03
G00 X34. Z5.
G21 X29.2 Z-3. F2.
X28.1
X27.55
G00 Z-14.
G21 X29.2 Z-30. F2.
X28.1
X27.55
G00 X100. Z100.
M30
)"},
            // In system C, six short of the relief.
            {System::C, R"(
(T05 STECHER 4 LINKE ECKE)
G71 G90 G95
T0101
G97 S900 M03
G00 X34. Z2.
X29.95
G01 Z-46. F0.2
X40.
Z-86.
X50.
G00 Z50.
T0505
G97 S800 M03
G00 X44. Z-46.
G01 X27. F0.07
G00 X34.
Z-44.
G01 X27.
G00 X50.
T0707
G97 S300 M03
G00 X34. Z14.
G21 X29.5 Z-34. F4.
;         ^^^^ warning: thread_short_of_relief
X28.5
X27.6
G00 X50.
M30
)"},
            {System::C, R"(
(T05 STECHER 4 LINKE ECKE)
G71 G90 G95
T0101
G97 S900 M03
G00 X34. Z2.
X29.95
G01 Z-46. F0.2
X40.
Z-86.
X50.
G00 Z50.
T0505
G97 S800 M03
G00 X44. Z-46.
G01 X27. F0.07
G00 X34.
Z-44.
G01 X27.
G00 X50.
T0707
G97 S300 M03
G00 X34. Z14.
G21 X29.5 Z-43. F4.
X28.5
X27.6
G00 X50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_short_of_relief
