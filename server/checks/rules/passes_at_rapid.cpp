// Passes in a row at rapid: the block that turned the cycle on is lost.
//
// That nobody goes in by small rapids: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::passes_at_rapid {

namespace {

constexpr double most_step_mm = 3; ///< On radius

/// A rapid along X alone by as much as a pass takes.
double step_of(const Work& work, const Leg& leg) {
    const bool is_step = leg.kind == Leg::Kind::rapid && leg.known && !leg.of_cycle && !leg.in_contour &&
                         leg.dz() == 0 && !leg.by_letters && !leg.spindle_stands && !leg.behind_other;
    return is_step && std::abs(leg.dx()) * work.unit_mm <= most_step_mm ? leg.dx() : 0;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 0; i + 1 < work.legs.size(); ++i) {
        const Leg &leg = work.legs[i], &next = work.legs[i + 1];
        if (leg.run_at || next.run_at) continue;
        const double first = step_of(work, leg), second = step_of(work, next);
        if (first * second <= 0) continue;
        context.at(report, work, leg, "X")
            .message(said("Rapids to {} and {}, one behind the other and with no cut between: they look like "
                          "passes of a cycle that is not on. Is the block with the cycle and its first pass "
                          "lost?",
                          context.x(leg.to.x_radius_mm), context.x(next.to.x_radius_mm)));
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
    .id = "passes_at_rapid",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Passes at rapid: the cycle is not on",
    .documentation = "Two rapids along X by a small step each, one behind the other, and nothing is cut "
                     "between: such rows "
                     "are passes of a turning or threading cycle, of which only the first block states the "
                     "code. That block "
                     "is lost, G00 is still in force, and the tool goes down step by step at full rate in "
                     "front of the part "
                     "and cuts nothing. Write the cycle with its first pass again.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X33. Z5.
X29.2
;^^^^ warning: passes_at_rapid
X28.8
X28.5
G28 U0 W0
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z.1
X1.9
;^^^ warning: passes_at_rapid
X1.8
X1.7
G28 X0 Z0
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X33. Z5.
G92 X29.5 Z-20. F1.5
X29.2
X28.8
G28 U0 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S800 M03
G00 X80. Z5.
X54.
X50.
G01 Z-20. F.2
X56.
G28 X0 Z0
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S800 M03
G00 X54. Z5.
X50.
G01 Z-20. F.2
G00 X51.
Z2.
X46.
G01 Z-20.
G00 X54.
G28 X0 Z0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::passes_at_rapid
