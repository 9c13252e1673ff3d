// Turning cycles that widen a bore and begin outside of it, or turn down an outside and begin below it.
#include "checks/acts.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::cycle_start_on_other_side {

namespace {

/// A pass of a turning cycle: in along X, along Z, out, back.
struct Pass {
    const Leg* leg = nullptr; ///< Along Z
    double start_x = 0;
};

std::vector<Pass> passes_from(const Work& work, std::size_t& i, const Leg*& placed) {
    std::vector<Pass> passes;
    for (; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        if (!leg.of_cycle) {
            if (!passes.empty()) return passes;
            if (leg.arrives && leg.kind == Leg::Kind::rapid) placed = &leg;
            continue;
        }
        if (i == 0) continue;
        const Leg& in = work.legs[i - 1];
        const bool is_pass = leg.kind == Leg::Kind::feed && leg.dz() < 0 && leg.dx() == 0 && in.of_cycle &&
                             in.kind == Leg::Kind::rapid && in.dz() == 0 && in.dx() != 0;
        if (is_pass) passes.push_back({&leg, in.from.x_radius_mm});
    }
    return passes;
}

/// One pass lies on the other side of the start than two or more that begin there, too.
void look_for_one_beyond(const WorksContext& context, const Work& work, const std::vector<Pass>& passes,
                         Report& report) {
    const Pass* beyond = nullptr;
    std::size_t inward = 0, outward = 0;
    for (const Pass& pass : passes) {
        if (pass.start_x != passes.front().start_x) return;
        ++(pass.leg->to.x_radius_mm < pass.start_x ? inward : outward);
    }
    if (inward + outward < 3 || std::min(inward, outward) != 1) return;
    for (const Pass& pass : passes)
        if ((pass.leg->to.x_radius_mm < pass.start_x) == (inward == 1)) beyond = &pass;
    context.at(report, work, *beyond->leg, "XU")
        .message(said("This pass goes to {}, {} of where the cycle begins ({}), and the {} others lie {} of "
                      "it. Are two digits of X changed, or the point?",
                      context.x(beyond->leg->to.x_radius_mm), inward == 1 ? said("inside") : said("outside"),
                      context.x(beyond->start_x), passes.size() - 1,
                      inward == 1 ? said("outside") : said("inside")));
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const Leg* placed = nullptr;
    for (std::size_t i = 0; i < work.legs.size();) {
        const std::vector<Pass> passes = passes_from(work, i, placed);
        if (!passes.empty()) look_for_one_beyond(context, work, passes, report);
        for (std::size_t p = 1; p < passes.size(); ++p) {
            const Pass &before = passes[p - 1], &now = passes[p];
            const double x = now.leg->to.x_radius_mm, step = x - before.leg->to.x_radius_mm;
            const double start = now.start_x;
            // The second one cuts only air, if the part lies on the side that it begins on.
            const bool in_air = step != 0 && before.start_x == start && (start - x) * step > 0 &&
                                (start - before.leg->to.x_radius_mm) * step > 0 &&
                                now.leg->to.z_mm >= before.leg->to.z_mm &&
                                now.leg->from.z_mm == before.leg->from.z_mm;
            if (!in_air) continue;
            const bool bore = step > 0;
            const bool named = context.spans[work.span].facts->acts.held->named.kind == NamedTool::Kind::bore;
            // The last cut may be the slip: more of them, or the note, tell that the start is.
            const bool again = p + 1 < passes.size() && (passes[p + 1].leg->to.x_radius_mm - x) * step > 0;
            const bool tells =
                again || (bore && named) || work.where == (bore ? Work::Where::inside : Work::Where::outside);
            if (!tells || (bore ? work.where == Work::Where::outside && !named && !again : named)) continue;
            context.at(report, work, placed ? *placed : *now.leg, "XU")
                .message(said(
                    "The passes go {} from {} to {}, and the cycle begins at {}, {} of them: at the end of "
                    "each "
                    "the tool feeds to {} and comes back there at rapid, through the wall. Begin {}.",
                    bore ? said("outward") : said("inward"), context.x(before.leg->to.x_radius_mm),
                    context.x(x), context.x(start), bore ? said("outside") : said("inside"), context.x(start),
                    bore ? said("within the hole") : said("outside of the part")));
            return;
        }
    }
}

/// A tool that only widens a bore begins its one pass outside of it.
void look_at_lone_pass(const WorksContext& context, const Work& work, Report& report) {
    constexpr double most_left_mm = 1.5;
    if (work.where != Work::Where::inside) return;
    const Leg* placed = nullptr;
    std::size_t i = 0;
    const std::vector<Pass> passes = passes_from(work, i, placed);
    if (passes.size() != 1 || !placed || passes[0].start_x <= passes[0].leg->to.x_radius_mm) return;
    const double x = passes[0].leg->to.x_radius_mm, start = passes[0].start_x;
    // By hand it finishes the same bore then.
    for (; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        const double left = (leg.to.x_radius_mm - x) * work.unit_mm;
        if (!leg.cuts() || leg.of_cycle || leg.dx() != 0 || leg.dz() >= 0 || left <= 0 ||
            left > most_left_mm || leg.to.x_radius_mm >= start)
            continue;
        context.at(report, work, *placed, "XU")
            .message(
                said("The cycle begins at {}, outside of the bore that this tool widens to {}: at the end of "
                     "its pass the tool feeds out to {} and comes back there at rapid, through the wall. "
                     "Begin within the hole.",
                     context.x(start), context.x(leg.to.x_radius_mm), context.x(start)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) {
                look_at(context, *work, report);
                look_at_lone_pass(context, *work, report);
            }
}

} // namespace

extern const Check check{
    .id = "cycle_start_on_other_side",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Turning cycle begun on the other side of its passes",
    .documentation = "The passes of a single turning cycle widen a bore step by step, and the cycle begins "
                     "at an X outside of "
                     "them; or they turn an outside down and begin below it. The cycle comes back to the X "
                     "that it began at: "
                     "at the end of every pass the tool feeds through the wall and goes back at rapid in "
                     "full metal. A digit of "
                     "the X in front of the cycle is wrong. One pass on the other side of the start than two "
                     "or more others "
                     "is told, too: a digit of its own X is wrong.",
    .works = works,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0101
G96 S150 M03
G00 X62. Z2.
G77 X55. Z-59.8 F0.28
X50.6
X64.5 Z-34.8
;^^^^ warning: cycle_start_on_other_side
X42.6
G00 X150. Z80.
M30
)"},
            {System::A, R"(
G21 G99
T0707 (BORING BAR D20)
G96 S120 M03
G00 X38. Z2.
;   ^^^^ warning: cycle_start_on_other_side
G90 X33. Z-62. F0.2
X35.6
G00 Z20.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G96 S120 M03
G00 X20. Z2.
;   ^^^^ warning: cycle_start_on_other_side
G20 X48. Z-62. F0.2
X45.
X42.
G00 X80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707 (BORING BAR)
G96 S400 M03
G00 X1.1 Z.1
G77 X1.3 Z-2. F.008
X1.4
X1.45
G00 Z2.
M30
)"},
            // Steps of different length, the short ones behind.
            {System::A, R"(
G21 G99
T0101
G96 S120 M03
G00 X60. Z2.
G90 X52. Z-62. F0.2
X48.
X44. Z-20.
X40.
G00 X80.
M30
)"},
            // One pass, and the finish by hand.
            {System::B, R"(
G21 G90 G95
T0303
G97 S900 M03
G00 X0 Z3.
G01 Z-45. F0.15
G00 Z50.
X150.
T0505
G97 S1200 M03
G00 X36. Z3.
;   ^^^^ warning: cycle_start_on_other_side
G77 X29.5 Z-41. F0.15
G00 X36.01 Z2.
G01 X30.01 Z-1. F0.1
Z-41.
G00 X28.
Z20.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S900 M03
G00 X0 Z3.
G01 Z-45. F0.15
G00 Z50.
X150.
T0505
G97 S1200 M03
G00 X26. Z3.
G77 X29.5 Z-41. F0.15
G00 X36.01 Z2.
G01 X30.01 Z-1. F0.1
Z-41.
G00 X28.
Z20.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_start_on_other_side
