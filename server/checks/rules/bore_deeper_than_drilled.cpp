// A boring bar that goes on where the drill before it stopped: into the solid.
//
// The limits: common practice, no source.
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::bore_deeper_than_drilled {

namespace {

/// A flat bottom is bored as far as the drill's point; deeper than that by more is metal.
constexpr double beyond_point_mm = 1;
constexpr double least_share = 0.5, least_hole_mm = 10;

struct Cut {
    const Work* work = nullptr;
    const Leg* leg = nullptr;
};
void take_deepest(const Work& work, Cut& deepest) {
    for (const Leg& leg : work.legs)
        if (leg.kind == Leg::Kind::feed && leg.known && (!deepest.leg || leg.to.z_mm < deepest.leg->to.z_mm))
            deepest = {&work, &leg};
}

/// The depth that the other tools agree with more: which of the two is wrong.
bool others_side_with(double one, double other, const Workpiece& part, const Work* of_one,
                      const Work* of_other) {
    double nearest_one = HUGE_VAL, nearest_other = HUGE_VAL;
    for (const Work* work : part.works) {
        if (work == of_one || work == of_other) continue;
        for (const Leg& leg : work->legs) {
            if (!leg.cuts() || !leg.known) continue;
            nearest_one = std::min(nearest_one, std::abs(leg.to.z_mm - one));
            nearest_other = std::min(nearest_other, std::abs(leg.to.z_mm - other));
        }
    }
    return nearest_one < nearest_other;
}

bool is_called_drill(const WorksContext& context, const Work& work) {
    const NamedTool* tool = tool_of_work(
        context, work, [](const NamedTool& named) { return named.kind != NamedTool::Kind::none; });
    return tool && tool->kind == NamedTool::Kind::drill;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        Cut hole;
        for (const Work* work : part.works) {
            if (work->driven_tool) break;
            if (work->where == Work::Where::on_centre) {
                take_deepest(*work, hole);
                continue;
            }
            if (work->where != Work::Where::inside) continue;
            if (!hole.leg) break; // A hole that was there before
            Cut bar;
            take_deepest(*work, bar);
            if (!bar.leg) continue;
            const double drilled = hole.leg->to.z_mm, bored = bar.leg->to.z_mm, mm = work->unit_mm;
            if (bored * mm > drilled * mm - beyond_point_mm) continue;
            // "DRILL 3/4 THRU": a little behind it nothing is solid.
            constexpr double little = 1.25;
            const bool through =
                tool_of_work(context, *hole.work, [](const NamedTool& named) { return named.through; });
            if (through && bored > little * drilled) continue;
            // A spot in the face makes no hole to bore; nobody pecks one.
            const bool is_spot = drilled * mm > -least_hole_mm || drilled > least_share * bored;
            const bool a_tenth = 10 * drilled * mm < bored * mm + beyond_point_mm && drilled > bored / 7;
            if (is_spot && !hole.leg->of_cycle && !a_tenth && !is_called_drill(context, *hole.work)) break;
            // A bar that goes there more than once means it.
            const auto goes_there = std::count_if(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
                return leg.cuts() && leg.known && leg.dz() < 0 && std::abs(leg.to.z_mm - bored) < 1e-4;
            });
            const bool drill_is_wrong =
                is_spot || through || others_side_with(bored, drilled, part, work, hole.work) ||
                (goes_there > 1 && !others_side_with(drilled, bored, part, work, hole.work));
            const Cut& wrong = drill_is_wrong ? hole : bar;
            const Cut& right = drill_is_wrong ? bar : hole;
            context.at(report, *wrong.work, *wrong.leg, "ZW")
                .message(said(
                    "The hole is drilled to {} with its point, and the boring bar goes to {}: behind "
                    "the hole it runs into the solid and breaks. {}",
                    context.z(drilled), context.z(bored),
                    drill_is_wrong ? said("Is the drill to go deeper?") : said("Is Z of the bar right?")))
                .related(context.place(*right.work, *right.leg),
                         drill_is_wrong ? said("the boring bar") : said("the drill"));
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "bore_deeper_than_drilled",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Boring bar that goes deeper than the hole",
    .documentation = "The hole is drilled in this program, and the boring bar behind the drill feeds deeper "
                     "than the drill's "
                     "point has come: it has no room there, pushes into the solid and breaks. The Z of the "
                     "drill or that of the "
                     "bar is wrong; it is told at the one that the other tools disagree with. A hole that "
                     "nothing drills here is "
                     "taken to be there, a spot in the face for none.",
    .works = works,
    .examples =
        {
            // The list calls it a drill: no spot.
            {System::B, R"(
(T2 DRILL D25 - T4 BAR D20)
G21 G90 G95
T0101
G96 S180 M03
G00 X62. Z0
G01 X-1.6 F.2
G00 Z2.
X100. Z50.
T0202
G97 S1400 M03
G00 X0 Z3.
G01 Z-5.3 F.1
;   ^^^^^ warning: bore_deeper_than_drilled
G00 Z50.
X100.
T0404
G97 S1000 M03
G00 X30. Z2.
G01 Z-52. F.18
X28.
G00 Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0202 (DRILL 20)
G97 S800 M03
G00 X0 Z3.
G01 Z-47. F0.15
;   ^^^^^ warning: bore_deeper_than_drilled
G00 Z3.
X100. Z100.
T0303
G97 S1000 M03
G00 X24. Z2.
G01 Z-55. F0.12
X20.
G00 Z2.
X100. Z100.
T0505
G97 S600 M03
G00 X52. Z-55.
G01 X18. F0.05
G00 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X0 Z.1
G01 Z-1.2 F.006
G00 Z.1
X4. Z4.
T0303
G97 S1000 M03
G00 X1. Z.1
G01 Z-1.5 F.004
;   ^^^^^ warning: bore_deeper_than_drilled
X.8
G00 Z.1
X4. Z4.
T0505
G97 S600 M03
G00 X2.1 Z-1.25
G01 X.7 F.002
G00 X2.1
M30
)"},
            // As deep as the point; a hole that was there; a spot only.
            {System::C, R"(
G71 G90 G95
T0202
G97 S800 M03
G00 X0 Z3.
G01 Z-47. F.15
G00 Z3.
X100. Z100.
T0303
G97 S1000 M03
G00 X24. Z2.
G01 Z-47.5 F.12
X20.
G00 Z2.
X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X0 Z3.
G01 Z-4. F0.1
G00 Z3.
X100. Z100.
T0303
G97 S1000 M03
G00 X24. Z2.
G01 Z-55. F0.12
X20.
G00 Z2.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X0 Z5.
G83 Z-5.1 Q10000 F.18
;   ^^^^^ warning: bore_deeper_than_drilled
G80
G00 Z20.
T0404
G00 X19. Z2.
G71 U1. R.3
G71 P430 Q460 U-.3 W0 F.18
N430 G00 X30.
G01 X24. Z-1. F.1
Z-44.
N460 X19.
G00 Z20.
M30
)"},
            // A tenth of what the bar needs is no spot.
            {System::B, R"(
G21 G90 G95
T0202
G97 S800 M03
G00 X0 Z3.
G01 Z-5.3 F0.1
;   ^^^^^ warning: bore_deeper_than_drilled
G00 Z50.
X100. Z100.
T0303
G97 S1000 M03
G00 X24. Z2.
G01 X30. F0.12
Z-52.
X24.
G00 Z2.
X100. Z100.
T0505
G97 S600 M03
G00 X62. Z2.
G01 X58. Z0 F0.1
X60. Z-1.
Z-50.
X64.
G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::bore_deeper_than_drilled
