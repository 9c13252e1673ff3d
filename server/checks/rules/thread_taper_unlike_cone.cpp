// A tapered thread on a cone of another taper.
//
// The taper of pipe threads, 1 in 16 on diameter: ASME B1.20.1, as engineersedge.com gives it.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::thread_taper_unlike_cone {

namespace {

constexpr double apart_share = 0.2, least_mm = 0.08; ///< Of the slope; on radius over the common length
constexpr double common_share = 0.5;                 ///< Of the thread in front of its end
constexpr double steepest = 0.2;
constexpr double near_leads = 2.5; ///< Between crest and root
constexpr double pipe_slope = 1.0 / 32, pipe_slack = 0.05;

double slope_of(const Leg& leg) {
    return leg.dx() / leg.dz();
}
bool is_pipe(double slope) {
    return std::abs(std::abs(slope) - pipe_slope) < pipe_slack * pipe_slope;
}

struct Cone {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
    double length = 0; ///< Along Z in common with the thread
};

/// What an earlier tool has turned or bored last along most of the thread, as a slanting line.
Cone cone_under(const Workpiece& part, const Work& thread, const Leg& pass, double lead) {
    Cone found;
    const double front = std::min(std::max(pass.from.z_mm, pass.to.z_mm), 0.0),
                 end = std::min(pass.from.z_mm, pass.to.z_mm);
    for (const Work* work : part.works) {
        if (work == &thread) break;
        if (work->driven_tool || work->where == Work::Where::on_centre) continue;
        for (const Leg& leg : work->legs) {
            if (!leg.known || leg.kind != Leg::Kind::feed || leg.is_arc || leg.of_cycle || leg.dz() == 0)
                continue;
            if (std::abs(slope_of(leg)) > steepest) continue; // A chamfer
            const double low = std::min(leg.from.z_mm, leg.to.z_mm),
                         high = std::max(leg.from.z_mm, leg.to.z_mm);
            const double common = std::min(front, high) - std::max(end, low);
            if (common <= 0) continue;
            const double middle = std::max(end, low) + common / 2;
            const double apart = std::abs(leg.from.x_radius_mm + slope_of(leg) * (middle - leg.from.z_mm) -
                                          pass.from.x_radius_mm - slope_of(pass) * (middle - pass.from.z_mm));
            if (apart > near_leads * lead || common < common_share * (front - end)) continue;
            found = {work, &leg, common};
        }
    }
    return found;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    const Leg* first_pass = nullptr;
    for (const Leg& leg : work.legs) {
        // The pull-out of a cycle follows its pass.
        const bool is_way_out = &leg != work.legs.data() && (&leg - 1)->kind == Leg::Kind::thread;
        if (leg.kind == Leg::Kind::thread && !is_way_out && leg.known && leg.dz() < 0 &&
            std::abs(leg.dx()) < steepest * -leg.dz()) {
            first_pass = &leg;
            break;
        }
    }
    if (!first_pass || std::abs(first_pass->dx()) < 1e-6) return;
    if (first_pass->feed <= 0) return;
    const Cone cone = cone_under(part, work, *first_pass, first_pass->feed);
    if (!cone.leg || cone.leg->dx() == 0) return; // A cylinder is threaded without its crests in front
    const double thread = slope_of(*first_pass), under = slope_of(*cone.leg);
    const double apart = std::abs(thread - under);
    // On a cone of 1 in 16 a thread of another taper fits no pipe.
    constexpr double apart_of_pipe_share = 0.1, least_of_pipe_mm = 0.04;
    const bool of_pipe = is_pipe(under) && !is_pipe(thread);
    if (apart < (of_pipe ? apart_of_pipe_share : apart_share) * std::max(std::abs(thread), std::abs(under)) ||
        apart * cone.length * work.unit_mm < (of_pipe ? least_of_pipe_mm : least_mm))
        return;
    const auto one_in = [](double slope) { return spoken(std::round(std::abs(0.5 / slope) * 10) / 10); };
    const bool cone_is_odd = is_pipe(thread) || !is_pipe(under);
    auto entry = cone_is_odd ? context.at(report, *cone.work, *cone.leg, "XU")
                             : context.at(report, work, *first_pass, "RIX");
    entry
        .message(said(
            "The cone under the thread goes from {} {} to {} {}, 1 in {} on diameter, and the thread "
            "on it is cut 1 in {}: it has no crests at one end and is too deep at the other. Is a "
            "digit of one of them wrong?",
            context.x(cone.leg->from.x_radius_mm), context.z(cone.leg->from.z_mm),
            context.x(cone.leg->to.x_radius_mm), context.z(cone.leg->to.z_mm), one_in(under), one_in(thread)))
        .related(cone_is_odd ? context.place(work, *first_pass) : context.place(*cone.work, *cone.leg),
                 cone_is_odd ? said("the thread") : said("the cone"));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "thread_taper_unlike_cone",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread and its cone at two tapers",
    .documentation =
        "A tapered thread is cut on a cone that an earlier tool has turned or bored, and the two slopes "
        "differ "
        "by a fifth or more: crests are missing at one end. A digit of the cone's end is wrong, or R of the "
        "thread; where one of them has the 1 in 16 of pipe threads, the other is told. A cylinder under a "
        "tapered thread is left alone.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X.6 Z.1
G01 X.8187 Z-.05 F.005
X.8265 Z-.75
;^^^^^ warning: thread_taper_unlike_cone
X1.02
G00 X8. Z8.
T0606
G97 S800 M03
G00 X1.1 Z.2
G76 P011060 Q20 R.002
G76 X.7388 Z-.6 R-.025 P571 Q120 F.071429
G00 X8. Z8.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X18. Z2.
G01 X20.8 Z-1. F.1
X21.8 Z-17.
X26.
G00 X80. Z80.
T0606
G97 S800 M03
G00 X30. Z5.
G78 X20.3 Z-14. R-2.95 F1.814
;               ^^^^^^ warning: thread_taper_unlike_cone
X19.6
X18.9
G00 X80. Z80.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X.6 Z.1
G01 X.8187 Z-.05 F.005
X.8625 Z-.75
X1.02
G00 X8. Z8.
T0606
G97 S800 M03
G00 X1.1 Z.2
G78 P011060 Q20 R.002
G78 X.7388 Z-.6 R-.025 P571 Q120 F.071429
G00 X8. Z8.
M30
)"},
            // On a cone of 1 in 16, begun farther off with the same R.
            {System::A, R"(
(1-11.5 NPT MALE END)
G20 G99
T0101
G97 S900 M03
G00 X1.6 Z.1
X1.2
G01 X1.2575 Z-.06 F.006
X1.3213 Z-1.08
X1.6
G00 Z1.
T0303
G97 S500 M03
G00 X1.5 Z.55
G76 P021060 Q25 R.001
G76 X1.174 Z-.9 R-.0375 P695 Q120 F.086957
;               ^^^^^^^ warning: thread_taper_unlike_cone
G00 X2.
M30
)"},
            {System::A, R"(
(1-11.5 NPT MALE END)
G20 G99
T0101
G97 S900 M03
G00 X1.6 Z.1
X1.2
G01 X1.2575 Z-.06 F.006
X1.3213 Z-1.08
X1.6
G00 Z1.
T0303
G97 S500 M03
G00 X1.5 Z.3
G76 P021060 Q25 R.001
G76 X1.174 Z-.9 R-.0375 P695 Q120 F.086957
G00 X2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_taper_unlike_cone
