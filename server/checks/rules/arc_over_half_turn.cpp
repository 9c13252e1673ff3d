// An arc of a turned contour that goes round more than half a circle: no part of a lathe has such a profile.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::arc_over_half_turn {

namespace {

constexpr double least_deg = 181; // Rounded points may go a hair beyond the half

void look_at(const WorksContext& context, const Work& work, Report& report) {
    for (const Leg& leg : work.legs) {
        const double deg = std::abs(leg.sweep) * 180 / motion::pi;
        if (!leg.is_arc || !leg.known || leg.by_centre || leg.kind != Leg::Kind::feed || deg < least_deg)
            continue;
        if (leg.of_cycle && !leg.in_contour) continue;
        const syntax::Item* r = find_letter(context.reader, context.place(work, leg), 'R');
        if (!r) continue;
        context.at(report, work, leg, "R")
            .message(
                said("A negative R takes the long way round the circle: this arc goes through {} degrees, "
                     "down to {}, and cuts into the part. In turning no arc is longer than half a circle: "
                     "write R without the minus, which goes through {} degrees.",
                     spoken(std::round(deg)),
                     context.x(std::min(
                         {leg.centre.x_radius_mm - std::hypot(leg.to.x_radius_mm - leg.centre.x_radius_mm,
                                                              leg.to.z_mm - leg.centre.z_mm),
                          leg.from.x_radius_mm, leg.to.x_radius_mm})),
                     spoken(std::round(360 - deg))));
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
    .id = "arc_over_half_turn",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Turned arc longer than half a circle",
    .documentation = "The arc's R is negative, which means the longer of the two arcs with this radius, by "
                     "more than half a "
                     "circle. A turned profile has none: the tool goes round into the part or out in a loop. "
                     "Write R without "
                     "the minus. Arcs of live tools are left alone, and those by I and K.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G96 S200 M03
G00 X30. Z2.
G01 Z-36. F0.12
G02 X38. Z-40. R-4.
;              ^^^^ warning: arc_over_half_turn
G01 X46.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G96 S600 M03
G00 X1. Z.1
G01 Z-1. F.006
G02 X1.25 Z-1.125 R-.125
;                 ^^^^^^ warning: arc_over_half_turn
G01 X2.
G00 X4. Z3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G96 S200 M03
G00 X0 Z2.
G01 Z0 F0.12
G03 X40. Z-20. R20.
G01 Z-30.
G00 X100. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::arc_over_half_turn
