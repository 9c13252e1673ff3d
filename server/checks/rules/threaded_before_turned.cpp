// A thread that is cut before the tool that turns or bores its blank.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::threaded_before_turned {

namespace {

/// Over the root, in leads, on radius: a blank stands no higher over it.
constexpr double highest_blank = 1.3;
constexpr double least_share = 0.6; ///< Of the thread, along which the blank is cut

struct Thread {
    const Leg *first = nullptr, *last = nullptr;
    bool inside = false;
};
std::optional<Thread> thread_of(const Work& work) {
    std::optional<Thread> thread;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() >= 0 || leg.from.x_radius_mm <= 0) return std::nullopt;
        if (thread && thread->first->to.z_mm != leg.to.z_mm) return std::nullopt;
        if (!thread) thread = Thread{&leg, &leg, work.legs[i - 1].dx() > 0};
        thread->last = &leg;
    }
    return thread && thread->first->feed > 0 ? thread : std::nullopt;
}

/// So much of the thread's way has a cut of the work along it at the height of its blank.
double share_cut(const Work& work, const Thread& thread, const Leg*& along) {
    const double low = thread.last->to.z_mm, high = std::min(thread.last->from.z_mm, 0.0);
    const double root = thread.last->to.x_radius_mm, most = highest_blank * thread.first->feed;
    double best = 0;
    for (const Leg& leg : work.legs) {
        if (leg.kind != Leg::Kind::feed || !leg.known || leg.dz() == 0 || leg.is_arc) continue;
        const double over = (leg.to.x_radius_mm - root) * (thread.inside ? -1 : 1);
        if (over < 0 || over > most || std::abs(leg.dx()) > 0.1 * std::abs(leg.dz())) continue;
        const double from = std::max(low, std::min(leg.from.z_mm, leg.to.z_mm)),
                     to = std::min(high, std::max(leg.from.z_mm, leg.to.z_mm));
        if (high > low && (to - from) / (high - low) >= std::max(best, 0.01)) {
            best = (to - from) / (high - low);
            along = &leg;
        }
    }
    return best;
}

void look_at(const WorksContext& context, const Workpiece& part, std::size_t at, Report& report) {
    const Work& work = *part.works[at];
    const auto thread = thread_of(work);
    if (!thread) return;
    const auto where = thread->inside ? Work::Where::inside : Work::Where::outside;
    const Leg* along = nullptr;
    for (std::size_t i = 0; i < at; ++i) {
        const Work& before = *part.works[i];
        if (std::any_of(before.legs.begin(), before.legs.end(),
                        [](const Leg& leg) { return leg.cuts() && !leg.known; }) ||
            (!threads(before) && share_cut(before, *thread, along) > 0.3))
            return; // It has its blank, or may have
    }
    for (std::size_t i = at + 1; i < part.works.size(); ++i) {
        const Work& later = *part.works[i];
        if (later.driven_tool || later.where != where || threads(later) || is_blade(later)) continue;
        if (share_cut(later, *thread, along) < least_share) continue;
        context.at(report, work, *thread->first, "XUZW")
            .message(
                said("This thread is cut here, and T{:02} {} its blank to {} only afterwards: the insert "
                     "goes into the full metal, and what is turned last takes the crests away. Does this "
                     "tool come later?",
                     std::max(later.tool, 0), thread->inside ? said("bores") : said("turns"),
                     context.x(along->to.x_radius_mm)))
            .related(context.place(later, *along), said("its blank"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (std::size_t i = 0; i < part.works.size(); ++i)
            if (!part.works[i]->driven_tool && threads(*part.works[i])) look_at(context, part, i, report);
}

} // namespace

extern const Check check{
    .id = "threaded_before_turned",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread before its blank is turned",
    .documentation =
        "The first tool that turns or bores the diameter that a thread stands in comes behind the tool that "
        "cuts the thread: its insert goes into the full metal and breaks, and the cut behind it takes the "
        "crests off. A pass over a thread whose blank was there before is let be.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X0. Z3.
G01 Z-34. F.1
G00 Z50.
T0707
G00 X27. Z5.
G92 X28.75 Z-25. F1.5
;   ^^^^^^ warning: threaded_before_turned
X29.3
X29.7
X30.
G00 Z50.
T0505
G00 X25. Z2.
G90 X27.4 Z-27.5 F.15
X28.4
G00 Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X0. Z3.
G01 Z-34. F.1
G00 Z50.
T0505
G00 X25. Z2.
G90 X27.4 Z-27.5 F.15
X28.4
G00 Z50.
T0707
G00 X27. Z5.
G92 X28.75 Z-25. F1.5
X29.3
X29.7
X30.
G00 Z50.
M30
)"},
            // Over its crests again.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X.75 Z.1
G01 Z-1.2 F.008
X1.2
G00 X4. Z4.
T0707
S600 M03
G00 X.85 Z.2
G78 X.73 Z-1. F.0625
X.7
X.6733
G00 X4. Z4.
T0303
S900 M03
G00 X.745 Z.1
G01 Z-1.2 F.004
X1.2
G00 X4. Z4.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S600 M03
G00 X.85 Z.2
G21 X.73 Z-1. F.0625
;   ^^^^ warning: threaded_before_turned
X.7
X.6733
G00 X4. Z4.
T0303
S900 M03
G00 X.745 Z.1
G01 Z-1.2 F.004
X1.2
G00 X4. Z4.
M30
)"},
            // Before the bore that it is cut in, before the diameter; and behind it.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X0 Z3.
G01 Z-30. F0.2
G00 Z50.
X150.
T0707
G97 S900 M03
G00 X25. Z5.
G92 X28.75 Z-25. F1.5
;   ^^^^^^ warning: threaded_before_turned
X29.05
X29.5
X30.
G00 Z50.
X150.
T0505
G97 S1500 M03
G00 X25. Z2.
G90 X27.4 Z-27.5 F.15
X28.2
G00 X32.4 Z1.
G01 X28.4 Z-1. F.1
Z-27.5
X27.
G00 Z50.
X150.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S600 M03
G00 X1.1 Z.2
G78 X.73 Z-.8 F.0625
;   ^^^^ warning: threaded_before_turned
X.714
X.702
X.684
G00 X4. Z4.
T0101
G97 S900 M03
G00 X.65 Z.05
G01 X.75 Z-.05 F.005
Z-1.
X1.1
G00 X4. Z4.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X.65 Z.05
G01 X.75 Z-.05 F.005
Z-1.
X1.1
G00 X4. Z4.
T0606
G97 S600 M03
G00 X1.1 Z.2
G78 X.73 Z-.8 F.0625
X.714
X.702
X.684
G00 X4. Z4.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::threaded_before_turned
