// The first feed of an outside blade goes outward, from where it stands clear: it cuts nothing.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::plunge_away_from_part {

namespace {

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    if (work.driven_tool || work.where == Work::Where::inside || work.legs.empty()) return;
    const Leg* before = nullptr;
    for (const Leg& leg : work.legs) {
        if (leg.of_cycle || leg.in_contour || !leg.arrives || (leg.cuts() && !leg.known)) return;
        const bool in_part = leg.from.z_mm * work.unit_mm < -0.5 && leg.from.z_mm >= part.z_min;
        if (leg.cuts()) {
            if (!before || before->kind != Leg::Kind::rapid || !is_plunge(leg) || leg.dx() <= 0 || !in_part)
                return;
            const auto surface = part.outside.at(leg.from.z_mm);
            if (!surface || leg.from.x_radius_mm < *surface) return;
            context.at(report, work, leg, "XU")
                .message(
                    said("The first cut of this tool goes outward, from {} to {}: the part lies inside of "
                         "it and nothing is cut. Is X a diameter where a radius is meant, or the "
                         "reverse?",
                         context.x(leg.from.x_radius_mm), context.x(leg.to.x_radius_mm)));
            return;
        }
        before = &leg;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        bool opened = false; // Where there is a hole, a blade may be in it
        for (const Work* work : part.works) {
            if (!opened || work->where == Work::Where::outside) look_at(context, part, *work, report);
            opened = opened || work->where == Work::Where::on_centre || work->where == Work::Where::inside;
        }
    }
}

} // namespace

extern const Check check{
    .id = "plunge_away_from_part",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Plunge that goes away from the part",
    .documentation = "The tool has come to a place outside of the part and its first feed goes further out: "
                     "it cuts nothing, and "
                     "the groove or relief that the next tool needs is not there. Mostly X is a diameter in "
                     "a program of radius "
                     "values, or the reverse, or a digit is lost.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X1.1 Z.1
X.9
G01 Z-.7 F.006
X1.
G00 X1.2 Z.1
T0303
G00 X1.1 Z-.7
G01 X1.3 F.003
;   ^^^^ warning: plunge_away_from_part
G04 U.3
G01 X1.1 F.02
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X40. Z1.
G01 Z-30. F0.2
X45.
G00 Z5.
T0303
G00 X44. Z-20.
G01 X60. F0.05
;   ^^^^ warning: plunge_away_from_part
G00 X70.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X40. Z1.
G01 Z-30. F0.2
X45.
G00 Z5.
T0202
G00 X0 Z5.
G01 Z-30.
G00 Z5.
T0303
G00 X20. Z5.
Z-20.
G01 X30. F0.05
G00 X20.
Z5.
T0505
G00 X44. Z-20.
G01 X36.
X44.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::plunge_away_from_part
