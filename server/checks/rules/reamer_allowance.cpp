// A hole that leaves its reamer nothing to cut, or more than it can.
//
// What a reamer takes: common practice, no source.
#include "checks/bore.h"
#include "checks/cuts_so_far.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::reamer_allowance {

namespace {

constexpr double least_mm = 0.015;                        ///< On diameter
constexpr double most_mm = 0.7, most_of_diameter = 0.035; ///< The sum of both
constexpr double least_depth_mm = 3;

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    const double mm = work.unit_mm;
    const NamedTool* reamer = tool_of_work(context, work, [&](const NamedTool& named) {
        return named.kind == NamedTool::Kind::ream && named.diameter_mm(mm).has_value();
    });
    if (!reamer || reamer->tapered || work.driven_tool || work.where != Work::Where::on_centre) return;
    const double diameter = *reamer->diameter_mm(mm);
    const Leg* deepest = nullptr;
    for (const Leg& leg : work.legs)
        if (leg.cuts() && leg.known && (!deepest || leg.to.z_mm < deepest->to.z_mm)) deepest = &leg;
    if (!deepest || deepest->to.z_mm * mm > -least_depth_mm) return;
    // In the middle of it, behind the mouth that may be wider.
    const Bore bore(context, part);
    const Bore::Width made = bore.before(work, nullptr, deepest->to.z_mm / 2);
    const Bore::Width behind = bore.before(work, nullptr, deepest->to.z_mm * 0.8);
    if (!made.is_known || !made.by || made.radius != behind.radius) return;
    const Opening& maker = *made.by;
    const double hole = 2 * made.radius * mm, left = diameter - hole;
    const bool by_bar = !maker.drilled;
    if (left < least_mm && left > -0.1 * diameter) {
        context
            .at_giver(report, *maker.work, by_bar ? giver_of_x(*maker.work, *maker.leg) : *maker.leg,
                      by_bar ? "XU" : "ZW")
            .message(said(
                "The hole is made {} wide here, and the reamer behind is {}: it finds nothing to cut, and "
                "the hole stays as this tool leaves it. Leave 0.1 to 0.4 mm on diameter.",
                spoken(2 * made.radius), spoken(diameter / mm)))
            .related(context.place(work, *deepest), said("the reamer"));
        return;
    }
    const double most = most_mm + most_of_diameter * diameter;
    if (left < most || left > 0.4 * diameter) return;
    // Nothing says how X is written, and read as a radius a bar leaves what the reamer takes.
    const machine::Settings& settings = context.reader.settings();
    if (!settings.machine.x_told && !settings.assumed.x_radius) {
        const Bore::Width bored = Bore(context, part, 2).before(work, nullptr, deepest->to.z_mm / 2);
        const double rest = diameter - 2 * bored.radius * mm;
        if (rest >= least_mm && rest < most) return;
    }
    context.at(report, work, *deepest, "ZW")
        .message(said(
            "The reamer is {}, and the hole before it {} wide: {} on diameter is more than a reamer takes; "
            "it jams, tears the wall or breaks. Drill or bore to within 0.4 mm before.",
            spoken(diameter / mm), spoken(2 * made.radius), spoken(std::round(left / mm * 1e4) / 1e4)))
        .related(context.place(*maker.work, *maker.leg), said("the hole"));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "reamer_allowance",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Reamer with nothing to cut, or with too much",
    .documentation = "The notes give the diameters of a reamer and of the drill before it, or a bar bores "
                     "the hole to a size: "
                     "where the hole is as wide as the reamer, nothing is left for it, and the fit stays "
                     "what the tool before has "
                     "made; where it is narrower by more than about 0.7 mm and 3.5 hundredths of the "
                     "diameter, the reamer jams or "
                     "breaks. It is looked at in the middle of the reamed length. Taper reamers, and holes "
                     "whose maker no note "
                     "tells, are left alone.",
    .works = works,
    .examples =
        {
            {System::A, R"(
(T4 DRILL 17, T6 BORING BAR, T8 REAMER 18H7)
G21 G99
T0404
G97 S900 M03
G00 X0 Z5.
G01 Z-40. F0.2
G00 Z5.
T0606
G97 S1500 M03
G00 X18. Z2.
;   ^^^^ warning: reamer_allowance
G01 Z-36. F0.1
G00 X16.
Z5.
T0808
G97 S250 M03
G00 X0 Z5.
G01 Z-34. F0.3
Z5. F0.6
M30
)"},
            {System::B, R"(
(T4 DRILL 5/8, T8 REAMER .750)
G20 G90 G95
T0404
G97 S600 M03
G00 X0 Z.2
G83 Z-2. R.1 Q.5 F.008
G80
G00 Z2.
T0808
G97 S200 M03
G00 X0 Z.2
G01 Z-1.5 F.012
;   ^^^^^ warning: reamer_allowance
Z.2 F.02
M30
)"},
            {System::C, R"(
(T4 BOHRER 17.8, T8 REIBAHLE 18H7)
G71 G90 G95
T0404
G97 S900 M03
G00 X0 Z5.
G01 Z-40. F0.2
G00 Z5.
T0808
G97 S250 M03
G00 X0 Z5.
G01 Z-34. F0.3
Z5. F0.6
M30
)"},
            // The front is wider, on purpose.
            {System::A, R"(
(T4 DRILL 17.8, T6 BORING BAR, T8 REAMER 18)
G21 G99
T0404
G97 S900 M03
G00 X0 Z5.
G01 Z-40. F0.2
G00 Z5.
T0606
G97 S1500 M03
G00 X24. Z2.
G01 Z-10. F0.1
X17.
G00 Z5.
T0808
G97 S250 M03
G00 X0 Z5.
G01 Z-34. F0.3
Z5. F0.6
M30
)"},
            // X may be a radius: so the bar leaves 0.2 for the reamer; else it takes nothing off a hole
            // of 10.2.
            {System::A, R"(
G21 G99
T0202 (DRILL 10.2)
G97 S900 M03
G00 X0 Z5.
G01 Z-40. F0.15
G00 Z5.
T0606 (BORING BAR)
G00 X6. Z2.
G01 Z-12. F0.1
G00 X5.
Z2.
X7.9
G01 Z-12. F0.1
G00 X5.
Z5.
T0808 (REAMER 16H7)
G97 S250
G00 X0 Z5.
G01 Z-11.5 F0.3
G00 Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0202 (DRILL 10.2)
G97 S900 M03
G00 X0 Z5.
G01 Z-40. F0.15
G00 Z5.
T0606 (BORING BAR)
G00 X12. Z2.
G01 Z-12. F0.1
G00 X10.
Z2.
X13.
G01 Z-12. F0.1
G00 X10.
Z5.
T0808 (REAMER 16H7)
G97 S250
G00 X0 Z5.
G01 Z-11.5 F0.3
;   ^^^^^ warning: reamer_allowance
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::reamer_allowance
