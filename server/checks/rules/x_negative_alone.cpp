// A place far below the centreline where the tool's other moves are above it: a minus too much.
//
// The limits: common practice, no source.
#include "checks/works.h"

#include <cmath>

namespace turnwright::checks::rules::x_negative_alone {

namespace {

/// Faces and contours begin or end as far below as a nose radius and some clearance.
constexpr double past_centre_mm = 3.0;

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const Leg* found = nullptr;
    std::size_t above = 0, others = 0;
    for (const Leg& leg : work.legs) {
        if (leg.kind == Leg::Kind::home || !leg.arrives) continue;
        const double x = leg.to.x_radius_mm;
        if (x > 0) ++above;
        if (x * work.unit_mm > -past_centre_mm || !leg.moves_x) continue;
        if (!found)
            found = &leg;
        else if (std::abs(x - found->to.x_radius_mm) > 1e-6)
            ++others; // Works below the centre on purpose
    }
    if (!found || others > 0 || above < 2 || found->spindle_stands) return;
    const bool told_elsewhere = found->kind == Leg::Kind::feed && !found->of_cycle && !found->in_contour &&
                                found->known && found->from.x_radius_mm > 0;
    if (told_elsewhere) return; // By the rule on cuts across the centre
    context.at(report, work, *found, "XU")
        .message(
            fmt::format("{} lies below the centre, the other places of this tool above it: the tool goes "
                        "across the part. Is the minus one too much? {} is the same place above.",
                        context.x(found->to.x_radius_mm), context.x(-found->to.x_radius_mm)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "x_negative_alone",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One X below the centre among others above",
    .documentation =
        "One X of a tool has a minus and lies more than 3 mm below the centreline, all others lie "
        "above. The tool goes across the part, in a rapid through it. Tools that work below the "
        "centre have more than one place there and are let pass; so are faces that end a little "
        "past the centre.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X-34. Z1.
;   ^^^^^ warning: x_negative_alone
G01 X30. Z-1. F0.1
Z-20.
X36.
G00 Z5.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G73 U.1 R.02
G73 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-.5
X-1.2
;^^^^ warning: x_negative_alone
Z-1.
X1.6
N20 X2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0606
G97 S800 M04
G00 X-30. Z2.
G01 Z-10. F0.1
X-28.
G00 Z2.
X50.
X60.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X-3. Z3.
G01 G42 X-2. Z0. F0.1
X20.
Z-10.
X30.
G40 G00 X60. Z20.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::x_negative_alone
