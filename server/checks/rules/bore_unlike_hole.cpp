// A boring bar against the hole that it goes into: the tools before it, and the note of the blank, tell how
// wide the hole is and how deep.
//
// The limits: common practice, no source.
#include "checks/bore.h"
#include "checks/cuts_so_far.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::bore_unlike_hole {

namespace {

constexpr double front_mm = -0.5;    ///< In front of it nothing is taken to stand
constexpr double least_hit_mm = 0.4; ///< On radius: holes are not of their size
constexpr int samples = 100;

/// A contour that a later tool, or a later block, writes down may be cut by a cycle above it.
bool has_contour_behind(const Workpiece& part, const Leg* leg, const Work& of) {
    bool behind = false;
    for (const Work* work : part.works) {
        const bool own = work == &of;
        if (work->where == Work::Where::inside && (behind || own))
            for (const Leg& other : work->legs)
                if (other.in_contour && (!own || &other > leg)) return true;
        behind = behind || own;
    }
    return false;
}

/// What a message says of the hole.
std::string hole_words(const Bore::Width& hole) {
    if (!hole.by) return said("the hole that the part comes with is {} wide", spoken(2 * *hole.most));
    return said("T{:02} has opened the hole to {}", std::max(hole.by->work->tool, 0),
                spoken(2 * hole.radius));
}

/// By rapid into the wall.
bool look_at_rapid(const WorksContext& context, const Workpiece& part, const Bore& bore, const Work& work,
                   const Leg& leg, Report& report) {
    if (!leg.known || leg.kind != Leg::Kind::rapid || leg.of_cycle || leg.in_contour) return false;
    const double mm = work.unit_mm;
    if (std::min(leg.from.z_mm, leg.to.z_mm) * mm > front_mm) return false;
    for (int i = 1; i <= samples; ++i) {
        const Point at = leg.from + (leg.to - leg.from) * (static_cast<double>(i) / samples);
        if (at.z_mm * mm > front_mm) continue;
        const Bore::Width hole = bore.before(work, &leg, at.z_mm);
        if (!hole.most || *hole.most <= 0) continue;
        const double in_wall = (at.x_radius_mm - *hole.most) * mm;
        if (in_wall < least_hit_mm) continue;
        // What later tools leave there is told by the rule on rapids into metal.
        const auto later = part.bore.at(at.z_mm);
        if (!later || at.x_radius_mm > *later + 0.3 / mm) continue;
        if (has_contour_behind(part, &leg, work)) return false;
        context.at(report, work, leg, leg.dx() != 0 ? "XU" : "ZW")
            .message(said(
                "This rapid goes to {} {}, and {} there so far: the bar runs into the wall at full rate. "
                "Stop in front of it, or feed.",
                context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm), hole_words(hole)));
        return true;
    }
    return false;
}

/// Another cut of the part ends at that Z.
bool others_end_at(const Workpiece& part, double z, const Leg& but) {
    constexpr double same = 1e-4;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (&leg != &but && leg.cuts() && leg.known && std::abs(leg.to.z_mm - z) < same) return true;
    return false;
}

/// Where the hole is narrower behind than in front, along a cut.
struct Take {
    double least = HUGE_VAL, most = 0; ///< Off the wall, a side
    double least_length = 0, most_length = 0;
    double begins_z = 0; ///< Of the most
    Bore::Width front, behind;
};
std::optional<Take> take_of(const Bore& bore, const Work& work, const Leg& leg) {
    struct At {
        double z, takes;
        Bore::Width hole;
    };
    std::vector<At> all;
    for (int i = 0; i <= samples; ++i) {
        const Point at = leg.from + (leg.to - leg.from) * (static_cast<double>(i) / samples);
        if (at.z_mm * work.unit_mm > front_mm) continue;
        const Bore::Width hole = bore.before(work, &leg, at.z_mm);
        // Where nobody has been it is a matter of depths, which another rule tells.
        if (!hole.most || *hole.most <= 0) continue;
        all.push_back({at.z_mm, at.x_radius_mm - *hole.most, hole});
    }
    if (all.size() < 2) return std::nullopt;
    const double step = std::abs(all.front().z - all.back().z) / static_cast<double>(all.size() - 1);
    Take take;
    for (const At& at : all) {
        if (at.takes < take.least) take.least = at.takes, take.front = at.hole;
        if (at.takes > take.most) take.most = at.takes, take.behind = at.hole, take.begins_z = at.z;
    }
    for (const At& at : all) {
        if (at.takes > 0.9 * take.most) take.most_length += step;
        if (at.takes < take.least + 0.1 * (take.most - take.least)) take.least_length += step;
    }
    return take;
}

std::string hole_behind_words(const Bore::Width& hole) {
    if (!hole.by) return said("the hole that the part comes with is {} wide", spoken(2 * *hole.most));
    return said("the hole is {} wide", spoken(2 * hole.radius));
}

/// The cut takes far more off the wall than a bar can, or begins to where the hole before it has ended.
bool look_at_cut(const WorksContext& context, const Workpiece& part, const Bore& bore, const Work& work,
                 const Leg& leg, Report& report) {
    constexpr double most_mm = 4.5, least_mm = 2.2, share = 0.5, least_length_mm = 1.5;
    if (!cuts_along(leg) || leg.in_contour || leg.dz() >= 0 || leg.is_arc || leg.kind != Leg::Kind::feed)
        return false;
    const double mm = work.unit_mm;
    const auto take = take_of(bore, work, leg);
    if (!take || take->most_length * mm < least_length_mm || take->most * mm < least_mm) return false;
    const bool steps = leg.dx() == 0 && take->least < share * take->most &&
                       take->least_length * mm > least_length_mm && take->front.by &&
                       take->least > -0.01 / mm;
    if (!steps && take->most * mm < most_mm) return false;
    if (has_contour_behind(part, &leg, work)) return false;
    const auto rounded = [&](double length) {
        return spoken(std::round(length * (mm > 1 ? 1e3 : 1e2)) / (mm > 1 ? 1e3 : 1e2));
    };
    if (!steps) {
        context.at(report, work, giver_of_x(work, leg), "XU")
            .message(said(
                "At {} this cut takes {} a side off the wall, for {} so far: no bar stands that. Is a digit "
                "of X wrong, or a pass lost?",
                context.x(leg.to.x_radius_mm), rounded(take->most), hole_behind_words(take->behind)));
        return true;
    }
    const Opening& front = *take->front.by;
    const double ends = front.to_z;
    const bool front_is_wrong =
        others_end_at(part, leg.to.z_mm, leg) && !others_end_at(part, ends, *front.leg);
    const Work& at_work = front_is_wrong ? *front.work : work;
    const Leg& at_leg = front_is_wrong ? *front.leg : leg;
    context.at(report, at_work, at_leg, "ZW")
        .message(said(
            "The hole is {} wide to {} only, and the bar goes on at {} to {}: behind that it takes {} a side "
            "instead of {} and breaks. {}",
            spoken(2 * take->front.radius), context.z(ends), context.x(leg.to.x_radius_mm),
            context.z(leg.to.z_mm), rounded(take->most), rounded(std::max(take->least, 0.0)),
            front_is_wrong ? said("Is this cut to go deeper?") : said("Is Z of the bar right?")))
        .related(context.place(front_is_wrong ? work : *front.work, front_is_wrong ? leg : *front.leg),
                 front_is_wrong ? said("the boring bar") : said("the hole"));
    return true;
}

/// All that a bar cuts along Z lies in what a drill has opened.
bool look_at_air(const WorksContext& context, const Bore& bore, const Work& work, Report& report) {
    constexpr double least_over_mm = 0.05, least_length_mm = 5;
    const Leg* first = nullptr;
    const Opening* by = nullptr;
    double length = 0, widest = 0;
    for (const Leg& leg : work.legs) {
        if (!leg.cuts()) continue;
        if (!leg.known || leg.kind == Leg::Kind::thread || leg.in_contour || leg.is_arc) return false;
        if (std::max(leg.from.z_mm, leg.to.z_mm) * work.unit_mm > front_mm &&
            std::min(leg.from.z_mm, leg.to.z_mm) * work.unit_mm > front_mm)
            continue;
        for (int i = 0; i <= 10; ++i) {
            const Point at = leg.from + (leg.to - leg.from) * (i / 10.0);
            if (at.z_mm * work.unit_mm > front_mm) continue;
            const Bore::Width hole = bore.before(work, work.legs.data(), at.z_mm);
            if (!hole.by || !hole.by->drilled ||
                (hole.radius - at.x_radius_mm) * work.unit_mm < least_over_mm)
                return false;
            by = hole.by;
        }
        widest = std::max({widest, leg.from.x_radius_mm, leg.to.x_radius_mm});
        if (leg.dz() < 0) length -= leg.dz();
        if (!first && leg.dz() < 0) first = &leg;
    }
    if (!first || !by || length * work.unit_mm < least_length_mm) return false;
    context.at(report, work, giver_of_x(work, *first), "XU")
        .message(said("All that this bar cuts lies in air: it goes to {}, and T{:02} has drilled the hole {} "
                      "wide. Is X "
                      "right, and the size of the drill?",
                      context.x(widest), std::max(by->work->tool, 0), spoken(by->to_x * 2)))
        .related(context.place(*by->work, *by->leg), said("the drill"));
    return true;
}

/// A thread goes on where no bar has made its core hole, but a drill a narrower one.
bool look_at_thread(const WorksContext& context, const Bore& bore, const Work& work, Report& report) {
    constexpr double least_step_mm = 0.3, least_length_mm = 2.5, least_leads = 2, front_share = 0.5;
    const Leg *first = nullptr, *before = nullptr;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::thread && !first && leg.known && leg.dz() < 0 && before &&
            before->dx() > 0)
            first = &leg;
        before = &leg;
    }
    if (!first || std::abs(first->dx()) > 1e-6) return false;
    const double mm = work.unit_mm;
    double core = HUGE_VAL, step_at = 0, narrow = 0, length = 0;
    const Opening* bored = nullptr;
    for (int i = 0; i <= samples; ++i) {
        const Point at = first->from + (first->to - first->from) * (static_cast<double>(i) / samples);
        if (at.z_mm * mm > front_mm) continue;
        const Bore::Width hole = bore.before(work, work.legs.data(), at.z_mm);
        if (!hole.is_known || !hole.by) return false;
        const bool in_front = at.z_mm > front_share * first->to.z_mm;
        if (in_front) {
            if (hole.radius < core) core = hole.radius, bored = hole.by;
            continue;
        }
        if (!hole.by->drilled || (core - hole.radius) * mm < least_step_mm) continue;
        if (length == 0) step_at = at.z_mm, narrow = hole.radius;
        length += std::abs(first->dz()) / samples;
    }
    // Less behind it is where the part ends, or the run-out.
    const double least = std::max(least_length_mm, least_leads * first->feed * mm);
    if (!bored || bored->drilled || length * mm < least) return false;
    context.at(report, work, *first, "ZW")
        .message(said("The thread goes on to {}, and behind {} its core hole is not bored: there the hole is "
                      "{} wide, in "
                      "front {}. The insert is in the full wall and breaks. Is Z right?",
                      context.z(first->to.z_mm), context.z(bored->to_z), spoken(2 * narrow),
                      spoken(2 * core)))
        .related(context.place(*bored->work, *bored->leg), said("the core hole"));
    return step_at < 0;
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // It tells more, and the same
    for (const Workpiece& part : context.parts) {
        if (part.bore.empty()) continue;
        const Bore bore(context, part);
        for (const Work* work : part.works) {
            if (work->driven_tool || work->where != Work::Where::inside) continue;
            if (look_at_air(context, bore, *work, report) || look_at_thread(context, bore, *work, report))
                continue;
            for (const Leg& leg : work->legs)
                if (look_at_rapid(context, part, bore, *work, leg, report) ||
                    look_at_cut(context, part, bore, *work, leg, report))
                    break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "bore_unlike_hole",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Boring bar against the hole before it",
    .documentation =
        "How wide a hole is at each depth is told by the tools so far: drills and reamers whose size a note "
        "gives, "
        "the passes of the bars, and the hole that the note of the blank speaks of. Told are: a bar that "
        "goes at "
        "rapid into a wall which nobody has opened so wide or so deep; a cut that takes more than 4.5 mm a "
        "side, or "
        "that goes on where the hole in front of it has ended, and takes more than twice as much there; a "
        "bar that "
        "cuts nothing, since the drill before it is as wide as the bore; a thread that goes on where its "
        "core hole is "
        "not bored. Castings and parts from another program, whose hole no note gives, are left alone.",
    .works = works,
    .examples =
        {
            // The wide drill ends too early, and both passes of the bar go on behind it.
            {System::B, R"(
(ROHTEIL 90 X 70 C45)
(T2 BOHRER 18, T4 WENDEPLATTENBOHRER 32, T6 BOHRSTANGE R0.4)
G21 G90 G95
T0202
G97 S700 M03
G00 X0 Z5.
G83 Z-74. R2. Q10000 F0.18
G80
G00 Z20.
T0404
G97 S1000 M03
G00 X0 Z3.
G01 Z-24. F0.12
;   ^^^^ warning: bore_unlike_hole
G00 Z20.
T0606
G97 S1300 M03
G00 X34. Z2.
G01 Z-38. F0.2
G00 X32.
Z2.
X36.
G01 Z-38. F0.1
G00 X33.
Z20.
M30
)"},
            {System::B, R"(
(ROHTEIL 90 X 70 C45)
(T2 BOHRER 18, T4 WENDEPLATTENBOHRER 32, T6 BOHRSTANGE R0.4)
G21 G90 G95
T0202
G97 S700 M03
G00 X0 Z5.
G83 Z-74. R2. Q10000 F0.18
G80
G00 Z20.
T0404
G97 S1000 M03
G00 X0 Z3.
G01 Z-42. F0.12
G00 Z20.
T0606
G97 S1300 M03
G00 X34. Z2.
G01 Z-38. F0.2
G00 X32.
Z2.
X36.
G01 Z-38. F0.1
G00 X33.
Z20.
M30
)"},
            // The hole of the blank by its note, and a rapid into its wall.
            {System::C, R"(
(DECKEL, ROHTEIL 110 X 40, BOHRUNG 28 DURCH)
G71 G90 G95
T0303 (BOHRSTANGE 20)
G97 S900 M04
G00 X26. Z2.
X31. Z-10.
;^^^ warning: bore_unlike_hole
G01 Z-41. F0.2
G00 X29.
Z2.
X33.
G01 Z-20. F0.1
G00 X30.
Z5.
M30
)"},
            {System::C, R"(
(DECKEL, ROHTEIL 110 X 40, BOHRUNG 28 DURCH)
G71 G90 G95
T0303 (BOHRSTANGE 20)
G97 S900 M04
G00 X26. Z2.
X31.
G01 Z-41. F0.2
G00 X29.
Z-10.
Z2.
X33.
G01 Z-20. F0.1
G00 X30.
Z5.
M30
)"},
            // A digit too much, on the far side of the centre.
            {System::A, R"(
(SLEEVE, 2-1/2 ROUND 1045, 3.0 LONG)
(T2 DRILL 1.250, T4 BORING BAR, FAR SIDE)
G20 G99
T0202
G97 S300 M03
G00 X0. Z.2
G01 Z-3.2 F.01
G00 Z.3
T0404
G97 S700 M04
G00 X-1.85 Z.1
;  ^^^^^^ warning: bore_unlike_hole
G01 Z-2. F.01
G00 X-1.2
Z.1
X-1.48
G01 Z-2. F.006
G00 X-1.3
Z.5
M30
)"},
            {System::A, R"(
(SLEEVE, 2-1/2 ROUND 1045, 3.0 LONG)
(T2 DRILL 1.250, T4 BORING BAR, FAR SIDE)
G20 G99
T0202
G97 S300 M03
G00 X0. Z.2
G01 Z-3.2 F.01
G00 Z.3
T0404
G97 S700 M04
G00 X-1.35 Z.1
G01 Z-2. F.01
G00 X-1.2
Z.1
X-1.48
G01 Z-2. F.006
G00 X-1.3
Z.5
M30
)"},
            // The drill is as wide as the bore.
            {System::A, R"(
(BAR 60 CK45)
(T2 DRILL 38, T4 BORING BAR)
G21 G99
T0202
G97 S500 M03
G00 X0 Z5.
G01 Z-48. F0.2
G00 Z5.
T0404
G97 S900 M03
G00 X29. Z2.
;  ^^^^ warning: bore_unlike_hole
G01 Z-40. F0.15
G00 X27.
Z2.
X30.
G01 Z-40. F0.1
G00 X27.
Z5.
M30
)"},
            // The thread goes on behind its core hole, into what the drill has left.
            {System::B, R"(
(RING, RD 3.0 X 2.0)
(T3 DRILL 1.000, T5 BAR .75)
G20 G90 G95
T0303
G97 S400 M03
G00 X0 Z.2
G01 Z-2.3 F.008
G00 Z.2
T0505
G97 S900 M03
G00 X1.1 Z.1
G01 Z-1.5 F.01
G00 X1.02
Z.1
X1.2
G01 Z-1.5 F.006
G00 X1.1
Z.3
T0707 (THREAD 1-5/16-12)
G97 S500 M03
G00 X1.15 Z.3
G78 X1.225 Z-1.8 F.083333
;           ^^^^ warning: bore_unlike_hole
X1.25
X1.27
X1.29
X1.3125
G00 Z1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::bore_unlike_hole
