// A relief that is not as deep as the thread that ends in it.
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::relief_above_root {

namespace {

/// The relief lies around the thread's end as far as this, in leads.
constexpr double leads_around = 3;
constexpr double least_mm = 0.05; ///< On radius

struct Relief {
    const Work* work = nullptr;
    const Leg* leg = nullptr; ///< Its deepest plunge
};

/// The deepest that a blade has plunged to around the thread's end, on the side
/// the thread is cut from.
std::optional<Relief> relief_at(const Workpiece& part, const Leg& pass, double lead, bool inside) {
    Relief found;
    for (const Work* work : part.works) {
        if (work->driven_tool || (!is_blade(*work) && work->where != Work::Where::inside)) continue;
        for (const Leg& leg : work->legs) {
            if (!is_plunge(leg) || leg.kind == Leg::Kind::thread || (leg.dx() > 0) != inside) continue;
            if (std::abs(leg.to.z_mm - pass.to.z_mm) > leads_around * lead) continue;
            const bool deeper = !found.leg || (inside ? leg.to.x_radius_mm > found.leg->to.x_radius_mm
                                                      : leg.to.x_radius_mm < found.leg->to.x_radius_mm);
            if (deeper) found = {work, &leg};
        }
    }
    return found.leg ? std::optional(found) : std::nullopt;
}

/// What plunges behind the thread cuts the part off.
bool is_before(const Workpiece& part, const Work& one, const Work& other) {
    for (const Work* work : part.works) {
        if (work == &other) return false;
        if (work == &one) return true;
    }
    return false;
}

/// Far below the root, where one slip in its X ends it right behind it.
bool look_at_depth(const WorksContext& context, const Relief& relief, double root, bool inside, double height,
                   Report& report) {
    constexpr double far_mm = 1.5, close_mm = 1; ///< On radius
    constexpr double times_height = 2;
    const double unit = relief.work->unit_mm, groove = relief.leg->to.x_radius_mm;
    const auto below = [&](double x) { return (inside ? x - root : root - x) * unit; };
    if (below(groove) < std::max(far_mm, times_height * height * unit) || relief.leg->by_letters)
        return false;
    const double per_radius = x_as_written(1, context.reader.settings());
    const double as_written = std::round(groove * per_radius * 1e4) / 1e4;
    if (as_written <= 0) return false;
    std::optional<double> meant;
    for (const double value : slips_of(as_written)) {
        const Slip slip = slip_between(as_written, value);
        const double x = value / per_radius;
        const bool is_plain = slip == Slip::digits_swapped || slip == Slip::point_moved ||
                              slip == Slip::digit_lost || slip == Slip::digit_added;
        if (!is_plain || below(x) < 0 || below(x) > close_mm) continue;
        if (!meant || std::abs(below(x)) < std::abs(below(*meant / per_radius))) meant = value;
    }
    if (!meant) return false;
    context.at(report, *relief.work, *relief.leg, "XU")
        .message(said("This relief goes to {}, {} below the root of the thread "
                      "that ends in it, at {}: the part "
                      "is nearly cut off there, or breaks. X{} would clear the "
                      "root. Is a digit wrong?",
                      context.x(groove), spoken(std::round(below(groove) / unit * 1e4) / 1e4),
                      context.x(root), written(*meant)));
    return true;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    const Leg* deepest = nullptr;
    const Leg* outermost = nullptr;
    bool inside = false;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || std::abs(leg.dx()) > 1e-6) return; // Tapers have no relief of one depth
        if (!outermost) {
            outermost = &leg;
            inside = work.legs[i - 1].dx() > 0;
        }
        deepest = &leg;
    }
    if (!deepest || deepest->dz() >= 0) return;
    const double lead = deepest->feed;
    if (lead <= 0) return;
    const auto relief = relief_at(part, *deepest, lead, inside);
    if (!relief) return;
    const double groove = relief->leg->to.x_radius_mm, root = deepest->to.x_radius_mm;
    if (is_before(part, *relief->work, work) &&
        look_at_depth(context, *relief, root, inside, std::abs(outermost->from.x_radius_mm - root), report))
        return;
    const double above = (inside ? root - groove : groove - root) * work.unit_mm;
    // A blade that goes nowhere near the thread's depth makes something else.
    const double height = std::abs(relief->leg->from.x_radius_mm - root);
    if (above < least_mm || above > height * work.unit_mm) return;
    if (inside ? groove < outermost->from.x_radius_mm - lead : groove > outermost->from.x_radius_mm + lead)
        return;
    context.at(report, *relief->work, *relief->leg, "XU")
        .message(said("This relief goes to {}, and the thread that ends in it to "
                      "{}: its tool runs into "
                      "the wall of the relief at the end of every pass and "
                      "breaks. Make the relief "
                      "deeper than the root.",
                      context.x(groove), context.x(root)))
        .related(context.place(work, *deepest), said("the thread"));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "relief_above_root",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Relief not as deep as its thread",
    .documentation = "A blade has cut a relief where the thread ends, and the "
                     "last passes of the thread go "
                     "deeper than its "
                     "bottom: they end in full metal, and the tip breaks. A "
                     "digit of the relief's X is "
                     "wrong, or one of the "
                     "thread's root. Reliefs are made deeper than the root "
                     "(ISO 4755). One that goes far below "
                     "it is told where one slip in its X would end it right "
                     "behind the root.",
    .works = works,
    .examples =
        {
            // Two digits swapped: the shaft is nearly cut off.
            {System::C, R"(
G71 G90 G95
T0505
G97 S600 M03
G00 X34. Z-25.
X31.
G01 X12.5 F.08
;   ^^^^^ warning: relief_above_root
G00 X60.
T0707
G00 X28. Z6.
G78 P020060 Q70 R.03
G78 X22.16 Z-22.8 P920 Q240 F1.5
G00 X60.
M30
)"},
            {System::A, R"(
G20 G99
T0505
G97 S600 M03
G00 X1.1 Z-1.
X.95
G01 X.848 F.003
G00 X2.
T0707
G00 X1.1 Z.2
G76 P020060 Q30 R.001
G76 X.8504 Z-.9 P383 Q100 F.0625
G00 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S500 M03
G00 X52. Z-85.9
X42.
G75 R.5
G75 X33.5 Z-76. P3000 Q4500 F.1
;   ^^^^^ warning: relief_above_root
G00 X60.
T0404
G00 X44. Z14.
G76 P010030 Q50 R.03
G76 X32. Z-78. P4000 Q250 F7.
G00 X60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S600 M03
G00 X54. Z-28.
X37.
G01 X29.6 F.1
;   ^^^^^ warning: relief_above_root
G00 X54.
T0707
G00 X32. Z5.
G21 X29.4 Z-26. F1.5
X28.95
X28.6
X28.35
X28.16
G00 X64.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S600 M03
G00 X54. Z-28.
X37.
G01 X27.6 F.1
G00 X54.
T0707
G00 X32. Z5.
G78 X29.4 Z-26. F1.5
X28.95
X28.6
X28.35
X28.16
G00 X64.
M30
)"},
            {System::A, R"(
G20 G99
T0505
G97 S600 M03
G00 X1.2 Z-1.5
G01 X.9 F.004
G00 X1.2
T0707
G00 X.85 Z.25
G92 X.732 Z-.8 F.0625
X.7
X.683
X.6733
G00 X1.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::relief_above_root
