// A thread that goes on into a shoulder, past its relief.
#include "checks/noted_blade.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::thread_into_shoulder {

namespace {

/// A shoulder stands out more than crests differ, and the insert is in it by more than a profile is fine.
constexpr double shoulder_mm = 0.3, deep_in_mm = 0.3;

/// A blade leaves nothing between plunges that lie no farther apart than it may be wide.
constexpr double widest_blade_mm = 6;

/// What the turning tools leave, with no threads in it.
Profile turned_of(const Workpiece& part, Work::Where where) {
    Profile turned(part.z_min, part.z_max);
    const bool outside = where == Work::Where::outside;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != where) continue;
        std::vector<Leg> plunges; ///< The deepest at each Z, in order
        for (const Leg& leg : work->legs) {
            if (leg.kind != Leg::Kind::feed || !leg.known) continue;
            outside ? turned.lower(leg) : turned.raise(leg);
            if (!is_plunge(leg) || (leg.dx() < 0) != outside) continue;
            if (plunges.empty() || plunges.back().to.z_mm != leg.to.z_mm)
                plunges.push_back(leg);
            else if (outside == (leg.to.x_radius_mm < plunges.back().to.x_radius_mm))
                plunges.back() = leg;
        }
        for (std::size_t i = 1; i < plunges.size(); ++i) {
            Leg between = plunges[i];
            between.from = plunges[i - 1].to;
            if (std::abs(between.dz()) * work->unit_mm > widest_blade_mm) continue;
            const double one = between.from.x_radius_mm, other = between.to.x_radius_mm;
            between.from.x_radius_mm = between.to.x_radius_mm =
                outside ? std::max(one, other) : std::min(one, other);
            outside ? turned.lower(between) : turned.raise(between);
        }
    }
    return turned;
}

struct Shoulder {
    double crest = 0, x = 0, z = 0; ///< Where it begins
};

/// X of the pass at a Z: a taper thread goes up with its cone.
double pass_at(const Leg& leg, double z) {
    return leg.from.x_radius_mm + leg.dx() * (z - leg.from.z_mm) / leg.dz();
}

/// `outward`: 1 for a thread outside, -1 for one in a bore.
/// `share`: so much of its way tells the height of its crest.
std::optional<Shoulder> shoulder_in(const Leg& leg, const Profile& turned, double outward, double unit_mm,
                                    double share) {
    const double step = std::copysign(turned.step(), leg.dz());
    const double half = leg.from.z_mm + leg.dz() * share;
    const double end =
        leg.to.z_mm - std::copysign(std::max(deep_in_mm / unit_mm, 2 * turned.step()), leg.dz());
    std::optional<Shoulder> found;
    std::optional<double> profile; ///< Depth of the thread under its crest
    for (double z = leg.from.z_mm; step < 0 ? z > end : z < end; z += step) {
        const auto height = turned.at(z);
        if (!height) continue;
        const double depth = outward * (*height - pass_at(leg, z));
        const bool first_half = step < 0 ? z > half : z < half;
        if (first_half) {
            profile = std::max(profile.value_or(depth), depth);
            continue;
        }
        if (!profile) return std::nullopt;
        const double least = shoulder_mm / unit_mm;
        if (depth - std::max(*profile, 0.0) <= least)
            found.reset();
        else if (!found)
            found = Shoulder{pass_at(leg, z) + outward * *profile, *height, z};
    }
    // Cut outward, it ends in front of the face, where the ways to the cuts begin: no shoulder.
    constexpr double most_in_front_mm = 5;
    if (found && step > 0 && (leg.to.z_mm - found->z) * unit_mm < most_in_front_mm) found.reset();
    return found;
}

/// The pull-out of a pass rises by its height, and comes into what stands higher than that.
std::optional<Shoulder> shoulder_in_pull_out(const Leg& leg, const Leg& out, const Profile& turned,
                                             double outward, double unit_mm) {
    constexpr double least_deep_mm = 0.5;
    if (out.kind != Leg::Kind::thread || !out.known || out.dz() * leg.dz() <= 0 || out.dx() * outward <= 0)
        return std::nullopt;
    const double step = std::copysign(turned.step(), leg.dz());
    const auto before = turned.at(leg.to.z_mm - step);
    if (!before) return std::nullopt;
    const double crest = outward * (*before - leg.to.x_radius_mm);
    for (double z = out.from.z_mm; step < 0 ? z > out.to.z_mm : z < out.to.z_mm; z += step) {
        const auto height = turned.at(z);
        if (height && outward * (*height - pass_at(out, z)) - std::max(crest, 0.0) > least_deep_mm / unit_mm)
            return Shoulder{*before, *height, z};
    }
    return std::nullopt;
}

/// With no relief, up to the shoulder itself: the insert is wider than its point.
std::optional<Shoulder> shoulder_at_end(const Workpiece& part, const Leg& leg, const Profile& turned,
                                        double outward, double unit_mm) {
    constexpr double higher_mm = 1, widest_relief_mm = 10;
    const double step = std::copysign(turned.step(), leg.dz());
    for (const Work* work : part.works)
        for (const Leg& plunge : work->legs)
            if (is_plunge(plunge) && plunge.kind != Leg::Kind::thread && plunge.dx() * outward < 0 &&
                std::abs(plunge.to.z_mm - leg.to.z_mm) * unit_mm < widest_relief_mm &&
                outward * (plunge.to.x_radius_mm - leg.to.x_radius_mm) <= 0)
                return std::nullopt;
    const auto before = turned.at(leg.to.z_mm - 2 * step), behind = turned.at(leg.to.z_mm + 2 * step);
    if (!before || !behind || outward * (*behind - *before) * unit_mm < higher_mm) return std::nullopt;
    if (outward * (*before - leg.to.x_radius_mm) < 0) return std::nullopt;
    return Shoulder{*before, *behind, leg.to.z_mm};
}

void tell_at_end(const WorksContext& context, const Work& work, const Leg& leg, const Shoulder& shoulder,
                 Report& report) {
    context.at(report, work, leg, "ZW")
        .message(
            said("The thread goes on to {}, up to the shoulder at {}, and no relief is cut there: the "
                 "insert is wider than its point and runs into the face. End it a few leads in front, or "
                 "cut a relief first.",
                 context.z(leg.to.z_mm), context.x(std::round(shoulder.x * 100) / 100)));
}

void tell(const WorksContext& context, const Work& work, const Leg& leg, const Shoulder& shoulder,
          Report& report) {
    const auto rounded = [](double value) { return std::round(value * 100) / 100; };
    context.at(report, work, leg, "ZW")
        .message(said("The thread goes on to {} where the part stands at {}, {} its crest at {}: the insert "
                      "runs into the shoulder at its lead and breaks. End the thread in front of about {}.",
                      context.z(leg.to.z_mm), context.x(rounded(shoulder.x)),
                      shoulder.x > shoulder.crest ? said("above") : said("inside"),
                      context.x(rounded(shoulder.crest)), context.z(rounded(shoulder.z))));
}

/// Also where the tool does nothing but this: a cycle in a bore begins inside of its passes.
bool is_inside(const Work& work, const Leg& leg) {
    if (work.where != Work::Where::unknown || &leg == work.legs.data())
        return work.where == Work::Where::inside;
    const Leg& before = *(&leg - 1);
    return before.arrives && before.from.x_radius_mm < leg.to.x_radius_mm;
}

/// Of one part, worked out when a thread asks.
struct Turned {
    std::optional<Profile> outside, inside;
    const Profile& of(const Workpiece& part, bool is_inside) {
        std::optional<Profile>& side = is_inside ? inside : outside;
        if (!side) side = turned_of(part, is_inside ? Work::Where::inside : Work::Where::outside);
        return *side;
    }
};

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Turned& all,
             Report& report) {
    for (const Leg& leg : work.legs) {
        if (leg.kind != Leg::Kind::thread || !leg.known || leg.dz() == 0) continue;
        const bool inside = is_inside(work, leg);
        const Profile& turned = all.of(part, inside);
        const auto shoulder = shoulder_in(leg, turned, inside ? -1 : 1, work.unit_mm, 0.5);
        if (shoulder) {
            tell(context, work, leg, *shoulder, report);
            return;
        }
        const Leg* out = next_of(work, leg);
        const bool pulls_out = out && out->kind == Leg::Kind::thread;
        if (const auto met = pulls_out
                                 ? shoulder_in_pull_out(leg, *out, turned, inside ? -1 : 1, work.unit_mm)
                                 : std::nullopt) {
            tell(context, work, leg, *met, report);
            return;
        }
        if (const auto met = !pulls_out && !inside && leg.dz() < 0
                                 ? shoulder_at_end(part, leg, turned, 1, work.unit_mm)
                                 : std::nullopt) {
            tell_at_end(context, work, leg, *met, report);
            return;
        }
        // Its point is a place off: all that it belongs on lies in front of the shoulder.
        constexpr double least_high_mm = 1;
        const double end = leg.to.z_mm / 10;
        const double share = (end - leg.from.z_mm) / leg.dz();
        if (leg.from.z_mm < 0 || leg.dz() > 0 || share < 0.05 || share > 0.4) return;
        const auto early = shoulder_in(leg, turned, inside ? -1 : 1, work.unit_mm, share);
        if (early && std::abs(early->x - early->crest) * work.unit_mm > least_high_mm && early->z < end)
            tell(context, work, leg, *early, report);
        return; // All passes go as far
    }
}

/// Through the relief that ends it, and on over what stands as high behind.
void look_past_relief(const WorksContext& context, const Workpiece& part, const Work& work, Turned& all,
                      Report& report) {
    const Leg *first = nullptr, *last = nullptr;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() >= 0 || leg.dx() != 0 || leg.from.z_mm <= 0) return;
        if (first && first->to.z_mm != leg.to.z_mm) return;
        if (!first) first = &leg;
        last = &leg;
    }
    if (!first || first->feed <= 0) return;
    const bool inside = is_inside(work, *first);
    const double mm = work.unit_mm, outward = inside ? -1 : 1, root = last->to.x_radius_mm;
    const Profile& turned = all.of(part, inside);
    const double past_mm = std::max(1.5, first->feed * mm);
    for (const Work* blade : part.works) {
        if (blade == &work) break;
        if (blade->driven_tool || (inside ? blade->where == Work::Where::outside : !is_blade(*blade)))
            continue;
        for (const Leg& leg : blade->legs) {
            if (!is_plunge(leg) || leg.kind == Leg::Kind::thread || (leg.dx() < 0) == inside) continue;
            const double under = (root - leg.to.x_radius_mm) * outward * mm;
            if (under < -0.02 || under > 0.5 + 0.1 * root * mm) continue;
            const auto stretch = noted_blade(context, *blade).at(leg.to.z_mm);
            if (!stretch || (stretch->low - last->to.z_mm) * mm < past_mm || stretch->high >= 0) continue;
            // Metal for the crests stands behind it, as in front.
            const double behind = stretch->low - past_mm / 2 / mm, front = stretch->high + past_mm / 2 / mm;
            const auto at_end = turned.at(behind), at_front = turned.at(front);
            if (!at_end || !at_front || std::abs(*at_end - *at_front) * mm > shoulder_mm ||
                (*at_end - root) * outward * mm < 0.3)
                continue;
            context.at(report, work, *first, "ZW")
                .message(
                    said("The relief that this thread is to end in lies from {} to {}, and the passes go "
                         "on to {}: the insert runs into its far wall at the lead, and threads what "
                         "stands behind. Is {} meant?",
                         context.z(std::round(stretch->high * 1e4) / 1e4),
                         context.z(std::round(stretch->low * 1e4) / 1e4), context.z(last->to.z_mm),
                         context.z(std::round((stretch->low + stretch->high) / 2 * 1e3) / 1e3)))
                .related(context.place(*blade, leg), said("the relief"));
            return;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        Turned turned;
        for (const Work* work : part.works)
            if (!work->driven_tool && work->where != Work::Where::on_centre)
                look_past_relief(context, part, *work, turned, report);
        for (const Work* work : part.works)
            if (work->where != Work::Where::on_centre) look_at(context, part, *work, turned, report);
    }
}

} // namespace

extern const Check check{
    .id = "thread_into_shoulder",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread into a shoulder",
    .documentation =
        "A thread ends behind its relief, where the other tools leave the part higher than the crest of the "
        "thread (in a bore: narrower). The slide follows the spindle at the lead and cannot stop: the insert "
        "runs into the shoulder. End the thread in the relief, or check the digits of Z. What no other cut "
        "of the program tells the height of is not looked at. A thread that goes on through the relief of "
        "its depth, over what stands as high behind, is told, too, where notes give the width and the corner "
        "of the blade. A pull-out that comes into the shoulder is told as well, and a thread up to a high "
        "shoulder with no relief in front of it.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X34. Z2.
G01 X26.8 F0.2
Z-30.
X30.
Z-60.
X44.
G00 X100. Z100.
T0505
G97 S700 M03
G00 X34. Z-30.
G01 X23. F0.06
G00 X34.
X100. Z100.
T0707
G97 S800 M03
G00 X31. Z5.
G76 P020060 Q60 R0.03
G76 X25.16 Z-32.8 P920 Q280 F1.5
;         ^^^^^^ warning: thread_into_shoulder
G00 X100. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S900 M03
G00 X1.2 Z.1
G01 X.75 F.008
Z-1.
X1.
Z-2.
X1.3
G00 X4. Z4.
T0707
G97 S800 M03
G00 X.8 Z.3
G78 X.72 Z-.95 F.0625
X.69
G00 X4. Z4.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S900 M03
G00 X32. Z2.
G01 Z-20. F0.15
X24.
Z-40.
X22.
G00 Z2.
X100. Z100.
T0808
G97 S600 M03
G00 X30. Z4.
G92 X33. Z-26. F1.5
;       ^^^^^ warning: thread_into_shoulder
G00 X100. Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S900 M03
G00 X34. Z2.
G01 X26.8 F0.2
Z-30.
X30.
Z-60.
X44.
G00 X100. Z100.
T0707
G97 S800 M03
G00 X31. Z5.
G78 P020060 Q60 R0.03
G78 X25.16 Z-27.8 P920 Q280 F1.5
G00 X100. Z100.
M30
)"},
            // The point a place off.
            {System::C, R"(
G71 G90 G95
T0303
G97 S900 M03
G00 X34. Z2.
G01 X29.8 F0.2
Z-30.
X40.
Z-110.
X44.
G00 X100. Z100.
T0707
G97 S800 M03
G00 X34. Z5.
G78 P020060 Q60 R0.03
G78 X27.546 Z-255. P1227 Q350 F2.
;           ^^^^^ warning: thread_into_shoulder
G00 X100. Z100.
M30
)"},
            // A relief that a cycle plunges wide: the blade leaves nothing between.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X64. Z2.
G01 X39.9 F0.2
Z-132.
X55.
G00 X100. Z100.
T0505
G00 X64. Z2.
Z-124.
X46.
G75 R0.5
G75 X31. Z-132. P2000 Q3500 F0.1
G00 X64.
X100. Z100.
T0707
G97 S110 M03
G00 X46. Z14.
G76 P030030 Q100 R0.05
G76 X32. Z-126. P3950 Q350 F7.
G00 X100. Z100.
M30
)"},
            // On through its relief, over what stands as high; and a groove in front of a thread's end that
            // is none.
            {System::A, R"(
(T5 GROOVE .125 LEFT CORNER)
G20 G99
T0303
G97 S900 M03
G00 X.745 Z.05
G01 Z-1.125 F.006
X.75 Z-1.1275
Z-2.5
X1.56
G00 X3. Z3.
T0505
S700 M03
G00 X.85 Z-1.125
G01 X.66 F.003
G00 X3.
Z3.
T0707
S900 M03
G00 X.85 Z.2
G92 X.73 Z-1.5 F.0625
;        ^^^^^ warning: thread_into_shoulder
X.7
X.6733
G00 X3.
M30
)"},
            {System::A, R"(
(T5 GROOVE .125 LEFT CORNER)
G20 G99
T0303
G97 S900 M03
G00 X.745 Z.05
G01 Z-1.125 F.006
X.75 Z-1.1275
Z-2.5
X1.56
G00 X3. Z3.
T0505
S700 M03
G00 X.85 Z-1.125
G01 X.66 F.003
G00 X3.
Z3.
T0707
S900 M03
G00 X.85 Z.2
G92 X.73 Z-1.05 F.0625
X.7
X.6733
G00 X3.
M30
)"},
            // The pull-out at the end rises by the crest alone; and in front of the shoulder.
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.2863 Z.1
G01 Z0. F.006
X1.3425 Z-.9
Z-1.
X1.565
Z-1.75
X1.8
G00 X3. Z3.
T0404
G97 S450 M03
G00 X1.75 Z.2
G76 P021060 Q20 R.002
G76 X1.2003 Z-1.05 R-.0344 P696 Q120 F.08696
;          ^^^^^^^ warning: thread_into_shoulder
G00 X3. Z3.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.2863 Z.1
G01 Z0. F.006
X1.3425 Z-.9
Z-1.
X1.565
Z-1.75
X1.8
G00 X3. Z3.
T0404
G97 S450 M03
G00 X1.75 Z.2
G76 P021060 Q20 R.002
G76 X1.2003 Z-.9 R-.0344 P696 Q120 F.08696
G00 X3. Z3.
M30
)"},
            // Up to the shoulder with no relief; with one.
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X.498 Z.1
G01 Z-1.5 F.004
X.75
Z-1.9
X.9
G00 X1. Z1.
T0303
S900 M03
G00 X.6 Z.25
G21 X.48 Z-1.5 F.07692
;        ^^^^^ warning: thread_into_shoulder
X.448
X.4056
G00 X1. Z1.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X.498 Z.1
G01 Z-1.5 F.004
X.75
Z-1.9
X.9
G00 X1. Z1.
T0202
S700 M03
G00 X.85 Z-1.5
G01 X.38 F.003
G00 X1.
Z1.
T0303
S900 M03
G00 X.6 Z.25
G21 X.48 Z-1.45 F.07692
X.448
X.4056
G00 X1. Z1.
M30
)"},
            right_turning_a,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_into_shoulder
