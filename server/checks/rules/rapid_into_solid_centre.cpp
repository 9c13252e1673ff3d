// A tool on the centre goes in a rapid where nothing has drilled.
#include "checks/bore.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rapid_into_solid_centre {

namespace {

constexpr double tolerance_mm = 0.3;
/// Of centre drills and spots, and of levels in front of a hole: common practice, no source.
constexpr double deepest_spot_mm = 8, farthest_level_mm = 5;

/// Every R of drilling cycles in the file is below nought: a lathe that reads it as a distance from where the
/// tool stands, in systems B and C, too.
bool r_is_distance(const WorksContext& context) {
    if (context.reader.settings().system == codes::System::A) return false;
    bool any = false;
    for (const Span& span : context.spans) {
        const Acts& work = *span.facts->acts.held;
        for (const Act& act : work.acts) {
            if (act.motion != MotionKind::drill_cycle) continue;
            for (const ActWord& word : work.words_of(act)) {
                if (word.letter != 'R' || word.number == 0) continue;
                if (word.number > 0) return false;
                any = true;
            }
        }
    }
    return any;
}

/// Where drilling cycles begin, of a place in front of what is drilled: no farther from it than that.
bool is_level(double z, double depth, double unit_mm) {
    return z >= depth && (z - depth) * unit_mm <= farthest_level_mm;
}

/// A drill comes by rapid to the bottom of a spot, which holds no more than its point, to go on far deeper.
bool ends_in_spot(const Work& work, const Leg& leg, double depth) {
    if (depth * work.unit_mm > -tolerance_mm || depth * work.unit_mm < -deepest_spot_mm) return false;
    if (leg.of_cycle || (leg.to.z_mm - depth) * work.unit_mm > tolerance_mm) return false;
    double deepest = 0;
    for (const Leg& cut : work.legs)
        if (cut.cuts() && cut.known) deepest = std::min(deepest, cut.to.z_mm);
    return deepest < 3 * depth;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    double depth = 0; // Of the hole so far
    for (const Work* work : part.works) {
        if (work->driven_tool) continue;
        if (work->where == Work::Where::inside) return; // What it leaves open on the centre is not known
        const bool drills = work->where == Work::Where::on_centre;
        bool is_first = true; // It comes to the hole
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return;
            if (!leg.arrives || leg.kind == Leg::Kind::home || leg.in_contour) continue;
            const bool on_centre =
                leg.to.x_radius_mm == 0 && (!leg.known || leg.from.x_radius_mm == 0 || drills);
            if (!on_centre) continue;
            if (leg.cuts()) {
                depth = std::min(depth, leg.to.z_mm);
                continue;
            }
            const bool deeper = leg.to.z_mm * work->unit_mm < depth * work->unit_mm - tolerance_mm;
            const bool to_spot = is_first && ends_in_spot(*work, leg, depth);
            is_first = false;
            if (!drills || leg.spindle_stands || !(deeper || to_spot)) continue;
            // By distance it stops as far in front of where it began as R says.
            if (leg.of_cycle && leg.known && is_level(leg.from.z_mm + leg.to.z_mm, depth, work->unit_mm) &&
                r_is_distance(context))
                continue;
            context.at(report, *work, leg, leg.of_cycle ? "R" : "ZW")
                .message(depth == 0 && leg.of_cycle
                             ? said("The cycle goes at rapid to {}, where nothing is drilled before: the "
                                    "drill runs into solid metal at full rate. Is the point or a digit of "
                                    "R wrong?",
                                    context.z(leg.to.z_mm))
                         : !deeper
                             ? said("This rapid goes to {}, and no more than a spot is drilled, to {}: the "
                                    "tool runs into its bottom at full rate. Is a minus too much?",
                                    context.z(leg.to.z_mm), context.z(depth))
                         : depth == 0
                             ? said("This rapid goes to {} on the centre, where nothing is drilled before: "
                                    "the tool runs into solid metal at full rate. Is a minus too much?",
                                    context.z(leg.to.z_mm))
                             : said("This rapid goes to {}, the hole is drilled to {} so far: the tool "
                                    "runs into solid metal at full rate. Stop in front of that.",
                                    context.z(leg.to.z_mm), context.z(depth)));
            return;
        }
    }
}

/// A drill or reamer comes by rapid into a hole that is narrower than it from some place on.
void look_at_sizes(const WorksContext& context, const Workpiece& part, Report& report) {
    constexpr double same_mm = 0.04; ///< On radius: what sizes of a drill are rounded by
    const Bore bore(context, part);
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != Work::Where::on_centre) continue;
        const double mm = work->unit_mm;
        const NamedTool* tool = tool_of_work(
            context, *work, [&](const NamedTool& named) { return named.diameter_mm(mm).has_value(); });
        const NamedTool* kind = tool_of_work(
            context, *work, [](const NamedTool& named) { return named.kind != NamedTool::Kind::none; });
        if (kind && (kind->kind == NamedTool::Kind::centre || kind->kind == NamedTool::Kind::tap ||
                     kind->kind == NamedTool::Kind::stop))
            continue;
        if (!tool || !bore.is_known_before(*work)) return;
        const double radius = *tool->diameter_mm(mm) / mm / 2;
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return;
            if (!leg.arrives || leg.kind == Leg::Kind::home || leg.to.x_radius_mm != 0) continue;
            const double z = leg.to.z_mm;
            if (leg.cuts() || leg.of_cycle || leg.spindle_stands || (leg.known && leg.from.x_radius_mm != 0))
                continue;
            const Opening* wide = bore.deepest_of_width(radius - same_mm / mm, *work, &leg);
            const Opening* any = bore.deepest_of_width(0, *work, &leg);
            const double open = wide ? std::min(wide->to_z, 0.0) : 0,
                         deepest = any ? std::min(any->to_z, 0.0) : 0;
            if ((open - z) * mm < tolerance_mm || (deepest - z) * mm > tolerance_mm) continue;
            const double narrower = bore.before(*work, &leg, std::max(z, deepest)).radius;
            context.at(report, *work, leg, "ZW")
                .message(
                    open == 0
                        ? said("This rapid goes to {}, and the hole there is {} wide, for a tool of {}: it "
                               "runs into the metal at full rate. Feed from the face on.",
                               context.z(z), spoken(2 * narrower), spoken(2 * radius))
                        : said("This rapid goes to {}, and behind {} the hole is {} wide, for a tool of {}: "
                               "it runs into the metal at full rate. Stop in front of that.",
                               context.z(z), context.z(open), spoken(2 * narrower), spoken(2 * radius)));
            return;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // It tells more, and the same
    for (const Workpiece& part : context.parts) {
        look_at(context, part, report);
        look_at_sizes(context, part, report);
    }
}

} // namespace

extern const Check check{
    .id = "rapid_into_solid_centre",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid into the solid on the centre",
    .documentation =
        "A drill, tap or reamer goes in a rapid deeper than any tool has drilled before: a "
        "minus too much in the approach, a peck that comes back too far, or G00 in place of "
        "G01. The tool breaks. Come to a place in front of the face, and back to just before "
        "the depth reached. Holes that stood in the part before the program are not known: "
        "where there is one, say so by a note with the name of this warning. A drill that comes "
        "by rapid to the very bottom of a spot, to go on far deeper, is told as well. A drill or reamer that "
        "comes by rapid into a hole which by the notes is narrower than it is, is told, too.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X0. Z-10.
;       ^^^^^ warning: rapid_into_solid_centre
G01 Z-40. F0.1
G00 Z5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S800 M03
G00 X0 Z.2
G01 Z-.5 F.006
G00 Z.1
Z-.6
;^^^ warning: rapid_into_solid_centre
G01 Z-1. F.006
G00 Z.2
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X0 Z2.
G01 Z-10. F0.1
G00 Z2.
Z-9.5
G01 Z-20.
G00 Z5.
T0505
G00 X0 Z5.
Z-15.
G01 Z-25. F0.1
G00 Z5.
M30
)"},
            {System::A, R"(
G20 G99
T0505
G97 S1200 M03
G00 X0 Z.2
G83 Z-1.8 R-1. Q2500 F.006
;         ^^^^ warning: rapid_into_solid_centre
G80
G00 Z1.
M30
)"},
            {System::A, R"(
G20 G99
T0505
G97 S1200 M03
G00 X0 Z.2
G83 Z-1.8 R-.1 Q2500 F.006
G80
G00 Z1.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S1200 M03
G00 X0 Z20.
G98 G83 Z-40. R2. Q8000 F.16
G80
G00 Z50.
M30
)"},
            // To the bottom of what a centre drill has made.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X0 Z5.
G01 Z-3. F.08
G00 Z50.
T0303
G97 S700 M03
G00 X0 Z-3.
;      ^^^^ warning: rapid_into_solid_centre
G83 Z-48. Q6000 F.16
G80
G00 Z50.
M30
)"},
            // No distance that R tells would end so far in front of the hole.
            {System::B, R"(
G21 G90 G95
T0202
G97 S2000 M03
G00 X0 Z10.
G83 Z-55. R-2. Q8000 F.15
;         ^^^^ warning: rapid_into_solid_centre
G80
G00 Z20.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X0 Z5.
G01 Z-12. F.08
G00 Z50.
T0303
G97 S700 M03
G00 X0 Z5.
Z-11.5
G01 Z-48. F.16
G00 Z50.
M30
)"},
            // A reamer behind where the hole is as wide as it; and where a bar has opened it.
            {System::A, R"(
(T4 DRILL 47/64, T2 DRILL 1.000, T8 REAMER .750)
G20 G99
G28 U0. W0.
T0404
G97 S460 M03
G00 X0. Z.2
G83 Z-3.5 R-.1 Q6000 F.008
G80
G00 Z.5
T0202
G97 S290 M03
G00 X0. Z.2
G01 Z-1.6 F.009
G00 Z.5
T0808
G97 S170 M03
G00 X0. Z.2
Z-1.8
;^^^^ warning: rapid_into_solid_centre
G01 Z-3.45 F.012
Z-1.5 F.03
G00 Z.5
M30
)"},
            {System::B, R"(
(T4 BOHRER 18, T6 BOHRER 30)
G21 G90 G95
T0404
G97 S900 M03
G00 X0. Z5.
G01 Z-70. F.2
G00 Z5.
T0606
G97 S500 M03
G00 X0. Z5.
Z-8.
;^^^ warning: rapid_into_solid_centre
G01 Z-40. F.2
G00 Z5.
M30
)"},
            {System::A, R"(
(T4 DRILL 17.5, T5 BORING BAR, T8 REAMER 18)
G21 G99
T0404
G97 S900 M03
G00 X0. Z5.
G01 Z-70. F.2
G00 Z5.
T0505
G97 S1200 M03
G00 X24. Z2.
G01 Z-30. F.12
X16.
G00 Z5.
T0808
G97 S200 M03
G00 X0. Z5.
Z-28.
G01 Z-62. F.3
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_into_solid_centre
