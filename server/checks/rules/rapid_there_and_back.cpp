// A rapid toward the part, and another one straight back: nothing was cut.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rapid_there_and_back {

namespace {

/// Toward the centre or the chuck along one axis.
bool goes_in(const Leg& leg) {
    return (leg.dx() < 0 && leg.dz() == 0) || (leg.dz() < 0 && leg.dx() == 0);
}

/// Back the way it came, or off the wall first and then back.
bool comes_back(const Leg& in, const Leg& out, const Leg* behind) {
    if (in.to.x_radius_mm < 0) return out.dx() > 0 || out.dz() > 0; // No cut ends so but a face
    if (in.dx() < 0) return out.dx() > 0 && out.dz() == 0;
    if (out.dz() > 0) return true;
    return behind && behind->kind == Leg::Kind::rapid && behind->known && out.dz() == 0 && behind->dz() > 0;
}

bool is_plain_rapid(const Leg& leg) {
    return leg.kind == Leg::Kind::rapid && leg.known && !leg.of_cycle && !leg.in_contour;
}

/// Nothing but a dwell stands between the two, while the part turns.
bool dwells_between(const WorksContext& context, const Work& work, const Leg& in, const Leg& out) {
    const BlockPlace end = context.place(work, out);
    bool dwells = false;
    if (in.run_at || out.run_at) return false;
    for (auto at = context.reader.neighbour(context.place(work, in), true); at && *at < end;
         at = context.reader.neighbour(*at, true)) {
        if (context.reader.items(*at).empty()) continue;
        if (!find_code(context.reader, *at, Meaning::dwell)) return false;
        const machine::State after = context.reader.after(*at);
        dwells = after.is(Meaning::spindle_forward) || after.is(Meaning::spindle_reverse);
        if (!dwells) return false;
    }
    return dwells;
}

/// A dwell behind a rapid and in front of another one: for the groove that is not cut.
void look_for_dwell(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 0; i + 1 < work.legs.size(); ++i) {
        const Leg &in = work.legs[i], &out = work.legs[i + 1];
        if (!is_plain_rapid(in) || !is_plain_rapid(out) || !out.behind_other || in.spindle_stands) continue;
        if (in.to.z_mm * work.unit_mm > -0.5 || in.to.x_radius_mm == 0) continue;
        if (!dwells_between(context, work, in, out)) continue;
        context.at(report, work, in, "XUZW")
            .message(said("The tool comes to {} {} at rapid, dwells there and goes away at rapid: nothing "
                          "is cut. Is the block with the cut lost in front of the dwell?",
                          context.x(in.to.x_radius_mm), context.z(in.to.z_mm)));
        return;
    }
}

/// To the height of the face beside the part, and straight away along Z: the face is not cut.
void look_for_face(const WorksContext& context, const Work& work, Report& report) {
    constexpr double nearest_mm = 0.6, least_way_mm = 0.4, most_nearer = 0.1;
    for (std::size_t i = 0; i + 1 < work.legs.size(); ++i) {
        const Leg &in = work.legs[i], &out = work.legs[i + 1];
        const bool arrives = in.kind == Leg::Kind::rapid && in.arrives && !in.of_cycle && !in.in_contour &&
                             in.moves_z && (!in.known || in.dz() < 0);
        if (!arrives || !is_plain_rapid(out) || out.behind_other || in.spindle_stands) continue;
        if (in.to.x_radius_mm <= 0 || std::abs(in.to.z_mm) * work.unit_mm > nearest_mm) continue;
        // On to where a cycle starts, a little nearer.
        const bool stays_beside = out.dx() <= 0 && -out.dx() <= most_nearer * in.to.x_radius_mm;
        if (!stays_beside || out.dz() * work.unit_mm < least_way_mm) continue;
        context.at(report, work, in, "ZW")
            .message(said("The tool comes to {} beside the part at rapid and goes straight back to {}: the "
                          "face is not cut. Is the block with the cut along X lost?",
                          context.z(in.to.z_mm), context.z(out.to.z_mm)));
        return;
    }
}

/// Out to the X where the tool stands already, from which its other plunges begin: the plunge is lost.
void look_for_plunge(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &in = work.legs[i - 1], &null = work.legs[i], &on = work.legs[i + 1];
        if (!is_plain_rapid(null) || null.dx() != 0 || null.dz() != 0 || !null.moves_x || null.moves_z)
            continue;
        // Behind the calls of a row of grooves the last step to the next one stands.
        if (in.run_at && !null.run_at) continue;
        if (in.kind != Leg::Kind::rapid || !in.arrives || in.of_cycle || null.spindle_stands || null.run_at)
            continue;
        if (on.kind != Leg::Kind::rapid || !on.known || on.dz() == 0 || null.to.z_mm * work.unit_mm > -0.5)
            continue;
        const bool others = std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
            return is_plunge(leg) && leg.dx() < 0 && leg.from.x_radius_mm == null.to.x_radius_mm;
        });
        if (!others) continue;
        context.at(report, work, null, "XU")
            .message(
                said("The tool stands at {} already, and goes on from {} with nothing cut there: its other "
                     "plunges begin at this X. Is the block with the plunge lost above?",
                     context.x(null.to.x_radius_mm), context.z(null.to.z_mm)));
        return;
    }
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    if (!work.driven_tool) look_for_plunge(context, work, report);
    if (!work.driven_tool) look_for_dwell(context, work, report);
    if (!work.driven_tool) look_for_face(context, work, report);
    for (std::size_t i = 0; i + 1 < work.legs.size(); ++i) {
        const Leg &in = work.legs[i], &out = work.legs[i + 1];
        const Leg* behind = next_of(work, out);
        if (!is_plain_rapid(in) || !is_plain_rapid(out) || !goes_in(in) || !comes_back(in, out, behind))
            continue;
        if (in.spindle_stands || out.behind_other || (behind && behind->behind_other && in.dx() == 0))
            continue;
        // Into a relief, from which a thread or a cycle begins.
        if (behind && (behind->kind == Leg::Kind::thread || behind->of_cycle)) continue;
        // In front of the face it may be a way round something; across the centre it is not.
        const double z_mm = in.to.z_mm * work.unit_mm;
        const bool deep = z_mm < -0.5 || (in.to.x_radius_mm < 0 && z_mm < 0.5);
        if (!deep) continue;
        context.at(report, work, in, in.dx() < 0 ? "XU" : "ZW")
            .message(said("This rapid goes in to {} and the next one comes back: nothing is cut, or the "
                          "tool is driven into metal at full rate. If it is a cut, write G01 with its feed.",
                          in.dx() < 0 ? context.x(in.to.x_radius_mm) : context.z(in.to.z_mm)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "rapid_there_and_back",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid in and straight back out",
    .documentation = "The tool goes in at rapid and comes straight back without a cut, a dwell or an M code "
                     "between, or comes to a groove at rapid, dwells there and goes away at rapid, with the "
                     "spindle turning. Nobody "
                     "programs that on purpose: mostly the move in should be a cut, and G00 stands where G01 "
                     "was meant, or is "
                     "still in force. At the machine the tool is driven into metal at full rate. Write G01 "
                     "with the feed of the "
                     "cut.",
    .works = works,
    .examples =
        {
            // The face is lost.
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X54. Z0 M08
;       ^^ warning: rapid_there_and_back
Z2.
X48.
G01 Z-30. F0.25
X54.
G28 X0 Z0
M30
)"},
            // The plunge in front of the dwell is lost.
            {System::A, R"(
G21 G99
T0505
G97 S500 M03
G00 X56. Z5.
Z-24.
;^^^^ warning: rapid_there_and_back
G04 X0.5
G00 X56.
Z5.
M30
)"},
            // A bar stop waits, and a drill clears its chips.
            {System::B, R"(
G21 G90 G95
T0909
M05
G00 X0 Z10.
Z-2.
G04 X1.
G00 Z10.
T0505
G97 S800 M03
G00 X0 Z3.
G01 Z-20. F0.1
G00 Z3.
Z-19.
G04 X0.5
G00 Z3.
T0606
G00 X56. Z-24.
G01 X60. F0.05
G04 X0.5
G00 X56.
Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0909
G97 S800 M03
G00 X32. Z-63.
G00 X9.
;   ^^^ warning: rapid_there_and_back
G00 X32.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0202
G97 S800 M03
G00 X0 Z.1
G01 Z-.5 F.004
G00 Z.1
G00 Z-1.
;   ^^^^ warning: rapid_there_and_back
G00 Z.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X44. Z1.
Z-40.
;^^^^ warning: rapid_there_and_back
X52.
Z1.
M30
)"},
            {System::A, R"(
G21 G99
T0101
M05
G00 X0. Z20.
Z1.
M10
G04 X1.
M11
G00 Z20.
T0202
G97 S800 M03
G00 X60.
X0. Z5.
G01 Z-20. F0.1
G00 Z5.
Z-19.
G01 Z-30.
G00 Z5.
X60.
X40.
G01 Z-5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G96 S210 M03
F.16
G00 X68. Z0.
X-1.6
;^^^^ warning: rapid_there_and_back
Z8.
X130.
M30
)"},
            // The second side, in a datum that stands in front of its tool: Z minus is away from the part.
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE  M20 MAIN OPEN)
G21 G99 G54
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
X56.
G28 U0 W0
M05
M22
G00 B-500.
G01 B-528. F5.
M23
M20
G00 B0.
G55
T0505
G97 S800 M03
G00 X52. Z-4.
Z-.7
G01 X38. F.2
G00 Z-3.
X52.
Z0.
G01 X38. F.15
G00 Z-3.
X52.
M30
)"},
            // On to the start of a cycle with no face cut; and out to where it stands.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X64. Z0.2
;        ^^^^ warning: rapid_there_and_back
G00 X62. Z2.
G90 X58.6 Z-45. F0.25
X56.
G28 U0
G28 W0
T0505
G97 S800 M03
G00 Z-27.
X64.
G00 X64.
;   ^^^^ warning: rapid_there_and_back
Z-28.
G01 X50. F0.08
G00 X64.
G28 U0
G28 W0
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.6 Z.01
G01 X-.06 F.01
G00 X2.5 Z.1
G77 X2.3 Z-1.5 F.01
X2.2
G00 X4. Z4.
T0505
G97 S800 M03
G00 X2.6 Z-1.
X2.6
G01 X2. F.003
G00 X2.6
Z-1.1
G01 X2.
G00 X2.6
X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S300 M03
G00 X94. Z-16.5
G77 R0.3
G77 X84. Z-14. P2000 Q2500 F0.08
G00 X94.
Z-28.
G01 X87. F0.08
G00 X94.
X200. Z150.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_there_and_back
