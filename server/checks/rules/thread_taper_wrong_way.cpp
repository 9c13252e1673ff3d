// A pipe thread whose cone runs the wrong way.
//
// The taper of 1 in 16 on diameter: ASME B1.20.1, as engineersedge.com gives it.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::thread_taper_wrong_way {

namespace {

/// A side, to length; threads are written with few digits.
constexpr double taper = 1.0 / 32, slack = 0.04, same = 1e-6;

bool is_pipe_thread(const Leg& leg) {
    return leg.kind == Leg::Kind::thread && leg.known && leg.dz() < 0 &&
           std::abs(std::abs(leg.dx() / leg.dz()) - taper) < slack * taper;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const Leg* last = nullptr; ///< The last move along X alone before the pass: outside it goes in
    for (const Leg& leg : work.legs) {
        if (leg.known && leg.dx() != 0 && leg.dz() == 0) last = &leg;
        if (!is_pipe_thread(leg) || !last || std::abs(last->to.x_radius_mm - leg.from.x_radius_mm) > same)
            continue;
        const bool outside = last->dx() < 0;
        if ((leg.dx() > 0) == outside) return;
        context.at(report, work, leg, "RIX")
            .message(
                said("The taper runs the wrong way: {} the thread starts at {} and ends at {} toward the "
                     "chuck. {} pipe thread is {} at its front. Change the sign.",
                     outside ? said("outside") : said("inside"), context.x(leg.from.x_radius_mm),
                     context.x(leg.to.x_radius_mm), outside ? said("An outside") : said("An inside"),
                     outside ? said("smallest") : said("largest")));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "thread_taper_wrong_way",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Pipe thread that tapers the wrong way",
    .documentation =
        "A thread with a taper of 1 in 16 (1 in 32 a side) is a pipe thread: outside it is smallest at the "
        "front of the part, inside it is largest there. This one runs the other way: the sign of R (or of I, "
        "or the end in X) is wrong. The thread is cut off at one end, and nothing screws onto it. Other "
        "tapers, and threads cut away from the chuck, are not looked at.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G20 G99
N6 T0606
G97 S700 M03
G00 X1. Z.25
G92 X.82 Z-.62 R.0272 F.0714
;              ^^^^^^ warning: thread_taper_wrong_way
X.80
X.78
G00 X1.5
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S700 M03
G00 X16. Z4.
G78 X19.2 Z-12. R-.5 F1.814
;               ^^^^ warning: thread_taper_wrong_way
X19.8
X20.2
G00 Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S700 M03
G00 X26. Z4.
X20.8
G33 X21.8 Z-12. F1.814
G00 X26.
Z4.
X20.4
G33 X21.4 Z-12. F1.814
G00 X26.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S700 M03
G00 X16. Z4.
G92 X19.2 Z-12. R.5 F1.814
X19.8
G00 Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S700 M03
G00 X30. Z4.
G92 X25. Z-12. R2. F1.5
X24.6
G00 Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_taper_wrong_way
