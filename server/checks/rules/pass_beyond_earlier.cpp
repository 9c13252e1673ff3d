// A pass on a smaller diameter that goes farther along the bar than every pass before it: it runs on into
// metal at its full depth.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::pass_beyond_earlier {

namespace {

/// A finish ends a little behind its roughing, and a corner behind its shoulder.
constexpr double least_beyond_mm = 2.5;
/// Less than that is taken off at once.
constexpr double least_depth_mm = 2;

bool is_pass(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.in_contour && leg.dx() == 0 && leg.dz() < 0 &&
           leg.from.x_radius_mm > 0 && leg.to.z_mm < 0;
}

/// What the part's cuts begin at outside: the bar, or a little more.
double bar_of(const Workpiece& part) {
    double most = 0;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (!work->driven_tool && leg.cuts() && leg.known)
                most = std::max({most, leg.from.x_radius_mm, leg.to.x_radius_mm});
    return most;
}

/// The same tool comes again behind it, with a stop between, and is called anew to measure: what it has cut
/// was a test.
bool is_test_cut(const Workpiece& part, std::size_t i) {
    return i + 1 < part.works.size() && part.works[i]->tool >= 0 &&
           part.works[i + 1]->tool == part.works[i]->tool;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    double deepest = 0, narrowest = HUGE_VAL;
    std::size_t passes = 0;
    for (std::size_t w = 0; w < part.works.size(); ++w) {
        const Work* work = part.works[w];
        if (work->driven_tool || work->where != Work::Where::outside || is_blade(*work) ||
            plunges_into_face(*work) || is_test_cut(part, w))
            continue;
        for (const Leg& leg : work->legs) {
            if (leg.in_contour || (leg.cuts() && (!leg.known || leg.dx() < 0 || leg.dz() > 0)) ||
                leg.kind == Leg::Kind::thread) {
                // A face takes nothing along the bar; of all else nobody knows what stands behind it.
                if (leg.known && !leg.in_contour && leg.dz() == 0 && leg.to.z_mm > -1e-6) continue;
                return;
            }
            if (!is_pass(leg)) {
                if (leg.cuts()) deepest = std::min(deepest, leg.to.z_mm);
                continue;
            }
            const double beyond = (deepest - leg.to.z_mm) * work->unit_mm;
            const double depth = (bar_of(part) - leg.to.x_radius_mm) * work->unit_mm;
            if (passes > 0 && leg.to.x_radius_mm < narrowest - 1e-6 && beyond > least_beyond_mm &&
                depth > least_depth_mm && leg.from.z_mm > deepest) {
                context.at(report, *work, leg, "ZW")
                    .message(said("This pass at {} goes on to {}, and the passes before it on larger "
                                  "diameters end at {} at the latest: from there on the tool runs into "
                                  "metal that nothing has taken off. Is a digit of Z wrong?",
                                  context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm), context.z(deepest)));
                return;
            }
            ++passes;
            deepest = std::min(deepest, leg.to.z_mm);
            narrowest = std::min(narrowest, leg.to.x_radius_mm);
        }
    }
}

/// Nothing else of the part goes to its Z.
bool is_alone(const Workpiece& part, const Leg& pass, double unit_mm) {
    constexpr double same_mm = 0.65; // Allowances
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (&leg != &pass && leg.arrives && leg.moves_z && leg.block != pass.block &&
                std::abs(leg.to.z_mm - pass.to.z_mm) * unit_mm < same_mm)
                return false;
    return true;
}

/// One pass of a row in the middle of others that all end at one Z.
void look_at_rows(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    constexpr double same_mm = 0.02, least_mm = 1.5, least_step_mm = 0.2;
    const double mm = work.unit_mm;
    std::vector<const Leg*> passes;
    for (const Leg& leg : work.legs) {
        if (leg.cuts() && !leg.known) return;
        if (is_pass(leg) && !leg.run_at && !leg.by_letters) passes.push_back(&leg);
    }
    for (std::size_t i = 1; i + 1 < passes.size(); ++i) {
        const Leg &before = *passes[i - 1], &pass = *passes[i], &behind = *passes[i + 1];
        const double step = pass.to.x_radius_mm - before.to.x_radius_mm,
                     next_step = behind.to.x_radius_mm - pass.to.x_radius_mm;
        const bool in_row = std::abs(before.to.z_mm - behind.to.z_mm) * mm < same_mm &&
                            step * next_step > 0 &&
                            std::min(std::abs(step), std::abs(next_step)) * mm > least_step_mm &&
                            (step > 0) == (work.where == Work::Where::inside);
        if (!in_row || (before.to.z_mm - pass.to.z_mm) * mm < least_mm || !is_alone(part, pass, mm)) continue;
        const auto ends = std::count_if(passes.begin(), passes.end(), [&](const Leg* other) {
            return std::abs(other->to.z_mm - before.to.z_mm) * mm < same_mm;
        });
        if (ends < 3) continue;
        context.at(report, work, pass, "ZW")
            .message(said(
                "This pass at {} goes on to {}, and the passes before and behind it end at {}, as {} "
                "of this tool do: from there on it runs into metal that nothing has taken off. Is a "
                "digit of Z wrong?",
                context.x(pass.to.x_radius_mm), context.z(pass.to.z_mm), context.z(before.to.z_mm), ends));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return;
    for (const Workpiece& part : context.parts) {
        look_at(context, part, report);
        for (const Work* work : part.works)
            if (!work->driven_tool && !is_blade(*work) &&
                (work->where == Work::Where::outside || work->where == Work::Where::inside))
                look_at_rows(context, part, *work, report);
    }
}

} // namespace

extern const Check check{
    .id = "pass_beyond_earlier",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Pass that runs on beyond the passes before it",
    .documentation = "Passes along Z on smaller and smaller diameters end where the one before ended, or "
                     "before it: there the "
                     "full bar begins. This one goes farther, so that its end is cut at the whole depth from "
                     "the bar. Mostly a "
                     "digit of Z is wrong, or a minus or a block of the passes before is lost. Write the Z "
                     "that is meant, or take "
                     "the metal off by a pass on a larger diameter first. Parts with contours of cycles are "
                     "left alone, and "
                     "those whose stock is known."
                     " So is one pass in a row, outside or in a bore, whose neighbours end at one Z.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X54. Z2.
X48.
G01 Z-42. F0.25
X52.
G00 Z2.
X43.
G01 Z-47.5
;   ^^^^^^ warning: pass_beyond_earlier
X50.
G00 Z2.
X38.
G01 Z-40.
X45.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S500 M03
G00 X2.1 Z.1
G77 X1.9 Z-1.5 F.01
X1.7 Z-2.4
;    ^^^^^ warning: pass_beyond_earlier
X1.5 Z-1.3
G00 X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X54. Z2.
X48.
G01 Z-42. F0.25
X52.
G00 Z2.
X43.
G01 Z-40.
X50.
G00 Z2.
X42.
G01 Z-40.2
X54.
G00 X100. Z50.
M30
)"},
            // One pass of a bore among others; and the same row without it.
            {System::A, R"(
G20 G99
T0303
G97 S900 M03
G00 X1.45 Z.1
X1.625
G01 Z-1.1 F.008
G00 X1.58
Z.1
X1.75
G01 Z-1.4
;   ^^^^^ warning: pass_beyond_earlier
G00 X1.7
Z.1
X1.85
G01 Z-1.1
G00 X1.8
Z.1
X1.9
G01 Z-1.1
G00 X1.85
Z.3
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X62. Z2.
G20 X58. Z-40. F0.25
X54. Z-30.
X50. Z-42.
;    ^^^^^ warning: pass_beyond_earlier
X46. Z-30.
X42.
X38.
G00 X80. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X62. Z2.
G20 X58. Z-42. F0.25
X54. Z-30.
X50.
X46.
X42. Z-20.
X38.
G00 X80. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::pass_beyond_earlier
