// One cut along the part that takes far more than every other: a digit or the letter of its X is wrong.
//
// The limits: common practice, no source.
#include "checks/cuts_so_far.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::cut_deeper_than_rest {

namespace {

constexpr double least_mm = 3.5, times = 2.5, least_way_mm = 2, share_known = 0.6;
constexpr double widest_blade_mm = 6, deepest_face_groove_mm = 12;
constexpr std::size_t enough = 3;

struct Depth {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
    double mm = 0;
};

/// The depth that half of the way takes at the least; nullopt: too little of it is known.
std::optional<double> depth_of(const CutsSoFar& cuts, const Work& work, const Leg& leg) {
    std::vector<double> depths;
    std::size_t all = 0;
    cuts.along(leg, [&](const CutsSoFar::Cut& cut, double x) {
        ++all;
        if (cut.leg) depths.push_back(cuts.metal(cut, x) * work.unit_mm);
    });
    if (static_cast<double>(all) * cuts.step() * work.unit_mm < least_way_mm) return std::nullopt;
    if (static_cast<double>(depths.size()) < share_known * static_cast<double>(all)) return std::nullopt;
    const auto middle = depths.begin() + static_cast<std::ptrdiff_t>(depths.size() / 2);
    std::nth_element(depths.begin(), middle, depths.end());
    return *middle;
}

/// In front of the face, in and back out by the feed at the same X: a groove in the face.
bool into_face(const Work& work, const Leg& leg) {
    const Leg* next = &leg + 1 == work.legs.data() + work.legs.size() ? nullptr : &leg + 1;
    return leg.from.z_mm > 0 && leg.dx() == 0 &&
           std::abs(leg.to.z_mm) * work.unit_mm < deepest_face_groove_mm && next && next->cuts() &&
           next->known && next->dx() == 0 && next->to.z_mm > 0;
}

void add_depths(const Workpiece& part, bool inside, std::vector<Depth>& depths) {
    CutsSoFar cuts(part.z_min, part.z_max, inside);
    for (const Work* work : part.works) {
        if (std::any_of(work->legs.begin(), work->legs.end(),
                        [](const Leg& leg) { return leg.cuts() && !leg.known; }))
            return;
        const bool blade = is_blade(*work);
        if (work->driven_tool || work->where != (inside ? Work::Where::inside : Work::Where::outside) ||
            plunges_into_face(*work))
            continue;
        for (const Leg& leg : work->legs) {
            if (blade && is_plunge(leg)) cuts.forget_near(leg.to.z_mm, widest_blade_mm / work->unit_mm);
            if (!cuts_along(leg)) continue;
            // Let in at feed behind the face, as into a cast recess: how deep is not told.
            const Leg* before = &leg == work->legs.data() ? nullptr : &leg - 1;
            const bool let_in = before && is_plunge(*before) && before->from.z_mm < 0;
            const bool along = !let_in && !into_face(*work, leg) &&
                               std::abs(leg.dz()) > 2 * std::abs(leg.dx()) && !leg.in_contour && !blade;
            if (const auto depth = along ? depth_of(cuts, *work, leg) : std::nullopt)
                depths.push_back({work, &leg, *depth});
            cuts.cut(*work, leg);
        }
    }
}

/// What a straight cut of a finished contour takes, on radius, and by whom it was left.
struct Taken {
    const Leg* leg = nullptr;
    double mm = 0;
    CutsSoFar::Cut before;
};

/// Along the middle of it; nullopt: it is short, or what stands there is not known.
std::optional<Taken> taken_by(const CutsSoFar& cuts, const Work& work, const Leg& leg) {
    std::vector<Taken> places;
    std::size_t all = 0;
    cuts.along(leg, [&](const CutsSoFar::Cut& cut, double x) {
        ++all;
        if (cut.leg) places.push_back({&leg, cuts.metal(cut, x) * work.unit_mm, cut});
    });
    if (static_cast<double>(all) * cuts.step() * work.unit_mm < least_way_mm) return std::nullopt;
    if (static_cast<double>(places.size()) < share_known * static_cast<double>(all)) return std::nullopt;
    const auto middle = places.begin() + static_cast<std::ptrdiff_t>(places.size() / 2);
    std::nth_element(places.begin(), middle, places.end(),
                     [](const Taken& a, const Taken& b) { return a.mm < b.mm; });
    return *middle;
}

/// One diameter of a contour that is finished by hand gets many times what the others get.
bool tell_thick(const WorksContext& context, const Work& work, const std::vector<Taken>& taken,
                Report& report) {
    constexpr double most_of_finish_mm = 1.2, least_of_finish_mm = 0.02, least_off_mm = 0.75, times_two = 3,
                     times_one = 5;
    if (taken.size() < 2) return false;
    const auto thick = std::max_element(taken.begin(), taken.end(),
                                        [](const Taken& a, const Taken& b) { return a.mm < b.mm; });
    double rest = 0;
    std::size_t count = 0;
    for (const Taken& other : taken) {
        if (&other == &*thick) continue;
        if (other.mm < least_of_finish_mm) return false; // Roughed to size, or below it
        rest = std::max(rest, other.mm);
        ++count;
    }
    if (rest > most_of_finish_mm || thick->mm - rest < least_off_mm ||
        thick->mm < (count > 1 ? times_two : times_one) * rest)
        return false;
    // The other turret may have cut between.
    if (waits_above(context.reader, context.place(work, *thick->leg))) return true;
    const auto in_unit = [&](double mm) { return spoken(std::round(mm / work.unit_mm * 1000) / 1000); };
    context.at(report, work, giver_of_x(work, *thick->leg), "XU")
        .message(
            said("This finishing cut at {} takes {} on radius, and the others of the contour {} at most: "
                 "the cut before it has left {} there. It bends the part or breaks the edge. Is X right, "
                 "here and in roughing?",
                 context.x(thick->leg->to.x_radius_mm), in_unit(thick->mm), in_unit(rest),
                 context.x(std::round(thick->before.x * 1e4) / 1e4)))
        .related(context.place(*thick->before.work, *thick->before.leg), said("the cut before"));
    return true;
}

/// Contours that are finished by hand: feeds on from each other, straight ways of them along Z.
void look_at_finish(const WorksContext& context, const Workpiece& part, bool inside, Report& report) {
    const double out = inside ? -1 : 1;
    CutsSoFar cuts(part.z_min, part.z_max, inside);
    for (const Work* work : part.works) {
        if (std::any_of(work->legs.begin(), work->legs.end(),
                        [](const Leg& leg) { return leg.cuts() && (!leg.known || leg.in_contour); }))
            return;
        const bool blade = is_blade(*work);
        if (work->driven_tool || work->where != (inside ? Work::Where::inside : Work::Where::outside) ||
            plunges_into_face(*work))
            continue;
        for (std::size_t i = 0; i < work->legs.size();) {
            if (!work->legs[i].cuts() || work->legs[i].kind != Leg::Kind::feed) {
                ++i;
                continue;
            }
            std::size_t end = i;
            std::vector<Taken> taken;
            for (; end < work->legs.size() && work->legs[end].kind == Leg::Kind::feed; ++end) {
                const Leg& leg = work->legs[end];
                if (blade && is_plunge(leg)) cuts.forget_near(leg.to.z_mm, widest_blade_mm / work->unit_mm);
                // Down into a recess it meets what nothing has roughed.
                const bool down = end > i && work->legs[end - 1].dx() * out < 0;
                if (cuts_along(leg) && leg.dx() == 0 && leg.dz() < 0 && !leg.of_cycle && !blade && !down)
                    if (const auto one = taken_by(cuts, *work, leg)) taken.push_back(*one);
            }
            if (tell_thick(context, *work, taken, report)) return;
            for (; i < end; ++i)
                if (cuts_along(work->legs[i])) cuts.cut(*work, work->legs[i]);
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (bool inside : {false, true}) look_at_finish(context, part, inside, report);
    if (context.stock_is_given) return;
    std::vector<Depth> depths;
    for (const Workpiece& part : context.parts)
        for (bool inside : {false, true}) add_depths(part, inside, depths);
    if (depths.size() <= enough) return;
    const auto less = [](const Depth& a, const Depth& b) { return a.mm < b.mm; };
    const auto deepest = std::max_element(depths.begin(), depths.end(), less);
    // What lies beside it is as deep for the same reason.
    const auto beside = [&](const Depth& other) {
        return other.work == deepest->work && std::abs(other.leg - deepest->leg) <= 1;
    };
    double rest = 0;
    std::size_t count = 0;
    for (const Depth& depth : depths) {
        if (beside(depth)) continue;
        rest = std::max(rest, depth.mm);
        count += depth.mm > 0.05;
    }
    if (count < enough || deepest->mm < least_mm || deepest->mm < times * rest) return;
    const Depth& deep = *std::find_if(depths.begin(), depths.end(), [&](const Depth& depth) {
        return beside(depth) && depth.mm > least_mm && depth.mm > times * rest;
    });
    // The other turret may have cut between.
    if (waits_above(context.reader, context.place(*deep.work, *deep.leg))) return;
    const double unit = deep.work->unit_mm;
    const auto in_unit = [&](double mm) { return spoken(std::round(mm / unit * 1000) / 1000); };
    context.at(report, *deep.work, giver_of_x(*deep.work, *deep.leg), "XUZW")
        .message(said("This cut at {} takes {} on radius at once, and no other cut along the part more "
                      "than {}: the edge breaks, or the part is torn out. Is X right?",
                      context.x(deep.leg->to.x_radius_mm), in_unit(deep.mm), in_unit(rest)));
}

} // namespace

extern const Check check{
    .id = "cut_deeper_than_rest",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One cut far deeper than all others",
    .documentation =
        "By the program's own cuts one pass takes two and a half times as much as every other and more than "
        "3.5 mm a side. A digit of X is lost, two words of a block or two variables of a macro changed "
        "places, or passes before it are gone. Nothing is said of the first cut, whose stock is not known."
        " Of the diameters of a contour that is finished by hand, one that gets three times what the others "
        "get is told, too.",
    .works = works,
    .examples =
        {
            // Of three diameters that are finished one has been left by a pass too little, and the same with
            // it.
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X62. Z2.
G20 X54. Z-60. F0.3
X50.6
X46. Z-40.
X40.6
X33. Z-20.
G00 X100. Z50.
T0303
G96 S250 M03
G00 X30. Z2.
;   ^^^^ warning: cut_deeper_than_rest
G01 Z-20. F0.12
X40.
Z-40.
X50.
Z-60.
X62.
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X62. Z2.
G20 X54. Z-60. F0.3
X50.6
X46. Z-40.
X40.6
X33. Z-20.
X30.6
G00 X100. Z50.
T0303
G96 S250 M03
G00 X30. Z2.
G01 Z-20. F0.12
X40.
Z-40.
X50.
Z-60.
X62.
G00 X100. Z50.
M30
)"},
            // A face groove: X is where the tool stands, and Z how deep.
            {System::A, R"(
G21 G99
T0404
G96 S110 M03
G00 X90. Z3.
G01 Z-3.9 F0.07
G00 Z1.
X92.
G01 Z-3.9
G00 Z1.
X88.
G01 Z-3.9
G00 Z1.
X93.
G01 Z0.2 F0.1
X92. Z-0.3 F0.05
Z-4.
X89.
G00 Z5.
X250. Z150.
T0606
G97 S450 M03
G00 X52. Z3.
G74 R1.
G74 Z-24.4 Q4000 F0.06
G00 Z5.
X250. Z150.
T0808
G96 S150 M03
G00 X61. Z3.
G90 X63. Z-25.6 F0.2
X63.6
X64.
G00 Z50.
M30
)"},
            // Out of it by the feed.
            {System::B, R"(
G21 G90 G95
T0303
G97 S500 M03
G00 X50. Z2.
G77 X56. Z-62. F.28
X60.
X64. Z-12.
X69.
X74.
X80.
G00 Z50.
T0707
G97 S300 M03
G00 X100. Z2.
G01 Z-3. F.08
G04 X.5
G01 Z1. F.5
G00 X102.
G01 Z-3. F.08
X100. F.1
G00 Z50.
M30
)"},
            // What a blade has opened by plunges in steps, and a ball turned over it.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X34. Z2.
G77 X30.8 Z-42. F.25
G00 X34. Z2.
X26.8
G01 Z0.
X30.8 Z-6.
G00 X60. Z50.
T0303
G97 S700 M03
G00 X34. Z-35.9
G01 X16.4 F.08
G00 X32.
Z-33.4
G01 X16.4
G00 X32.
Z-30.9
G01 X16.4
G00 X32.
Z-28.8
G01 X19.5
G00 X34.
Z-36.
G01 X16. F.06
Z-29.8
G00 X34.
X60. Z50.
T0505
G97 S1500 M03
G00 X10. Z1.5
G42 X10. Z1.
G01 Z0. F.1
X12.
G03 X16. Z-26.436 I-6. K-13.748
G01 Z-30.
X34. F.3
G40 G00 X38.
X60. Z50.
M30
)"},
            // The same in a recess that was turned before.
            {System::A, R"(
G20 G99
T0101
G97 S180 M03
G00 X8.4 Z.1
G94 X4.8 Z-.06 F.008
Z-.12
G00 X8.3 Z.1
G90 X8.1 Z-.4 F.01
X8.02
X8.
G28 U0
G28 W0
T0303
G97 S550 M03
G00 X2.1 Z.2
G90 X2.38 Z-1.8 F.01
X2.47
X2.5
G28 U0
G28 W0
T0404
G97 S180 M03
G00 X5.65 Z.1
Z-.11
G01 Z-.28 F.003
G04 P500
G00 Z-.1
X5.5
G01 Z-.28
X5.65 F.004
G00 Z.3
G28 U0
G28 W0
M30
)"},
            {System::A, R"(
G21 G99
#1=18.
#3=1.5
T0101
G97 S800 M03
G00 X34. Z2.
X28.
G01 Z-40. F.25
X32.
G00 Z2.
#20=25.
WHILE[#20GT18.5]DO1
G00 X#20
G01 Z-31.9 F.25
U1.
G00 Z2.
#20=#20-3.
END1
G00 X11.
G01 X#3 Z-#1 F.12
;   ^^^ warning: cut_deeper_than_rest
Z-32.
X34.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G20 X48. Z-40. F.25
X45.
X42.
X39.
G20 X36. Z-20.
X33.
X13.
;^^^ warning: cut_deeper_than_rest
G00 X60. Z50.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G77 X48. Z-40. F.25
X45.
X42.
X39.
G77 X36. Z-20.
X33.
X30.
G00 X60. Z50.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2.1 Z.1
G90 X1.9 Z-2. F.012
X1.7
X1.1
G00 X4. Z4.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cut_deeper_than_rest
