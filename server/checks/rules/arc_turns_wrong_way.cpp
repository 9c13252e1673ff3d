// G02 for G03 or the reverse, told by the lines on either side.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>
#include <optional>

namespace turnwright::checks::rules::arc_turns_wrong_way {

namespace {

/// Rounded corner points leave less than this between a fillet and its line; corners that are meant are more.
constexpr double tangent_deg = 4, corner_deg = 20;
/// The broken edge of a face: a quarter of a circle of no more than this.
constexpr double edge_radius_mm = 6, quarter_rad = 1.6, square_deg = 80;

/// The same arc programmed with the other code.
motion::Segment other_way(const Leg& leg) {
    motion::Segment arc = leg.segment();
    if (leg.by_centre) {
        arc.sweep += arc.sweep > 0 ? -2 * motion::pi : 2 * motion::pi;
        return arc;
    }
    const Point middle = (leg.from + leg.to) * 0.5;
    arc.centre = middle + (middle - leg.centre);
    arc.sweep = -arc.sweep;
    return arc;
}

/// Degrees that an arc breaks from the line before and the line behind it.
struct Breaks {
    double before, behind;
};
Breaks breaks_of(const motion::Segment& arc, const Leg& before, const Leg& behind) {
    return {degrees_between(motion::direction_at(before.segment(), 1), motion::direction_at(arc, 0)),
            degrees_between(motion::direction_at(arc, 1), motion::direction_at(behind.segment(), 0))};
}

bool is_line_of_contour(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && (leg.dx() != 0 || leg.dz() != 0);
}

/// A tool comes from a rapid along Z to a face: one that was cut, or Z0.
bool ends_on_face(const Workpiece& part, const Work& work, std::size_t i) {
    const Leg& lead = work.legs[i];
    if (lead.dx() != 0 || lead.dz() >= 0 || i == 0 || work.legs[i - 1].cuts()) return false;
    if (lead.to.z_mm == 0) return true;
    for (const Work* other : part.works)
        for (const Leg& leg : other->legs) {
            if (&leg == &lead) return false;
            if (leg.kind == Leg::Kind::feed && leg.known && leg.dz() == 0 && leg.dx() < 0 &&
                leg.to.z_mm == lead.to.z_mm && leg.from.x_radius_mm > lead.to.x_radius_mm)
                return true;
        }
    return false;
}

/// The arc runs on from a line that lies in front of the face, and breaks from the one that cuts.
bool hollows_edge(const Workpiece& part, const Work& work, std::size_t i, const Breaks& now,
                  const Breaks& then) {
    const Leg& leg = work.legs[i];
    return now.before < tangent_deg && then.behind < tangent_deg && now.behind > square_deg &&
           then.before > square_deg && std::abs(leg.sweep) < quarter_rad &&
           std::hypot((leg.from - leg.centre).x_radius_mm, (leg.from - leg.centre).z_mm) * work.unit_mm <=
               edge_radius_mm &&
           ends_on_face(part, work, i - 1);
}

/// Degrees to square to the axis, where the arc begins or ends on the centreline.
std::optional<double> from_square_at_centre(const Leg& leg, const motion::Segment& arc) {
    if (leg.from.x_radius_mm == 0) return degrees_between({1, 0}, motion::direction_at(arc, 0));
    if (leg.to.x_radius_mm == 0) return degrees_between({-1, 0}, motion::direction_at(arc, 1));
    return std::nullopt;
}

/// A ball or a rounded end: the other way it would leave the centre square to the axis.
bool look_at_centre(const WorksContext& context, const Work& work, const Leg& leg, Report& report) {
    constexpr double dives_deg = 60;
    if (!leg.is_arc || !leg.known || std::abs(leg.sweep) > 2 * motion::pi - 0.01) return false;
    const auto now = from_square_at_centre(leg, leg.segment()),
               then = from_square_at_centre(leg, other_way(leg));
    if (!now || *now < dives_deg || *then > tangent_deg) return false;
    const bool clockwise = leg.clockwise != work.beyond_centre; // As written
    const Meaning meant = clockwise ? Meaning::arc_counterclockwise : Meaning::arc_clockwise;
    const Meaning found = clockwise ? Meaning::arc_clockwise : Meaning::arc_counterclockwise;
    report_at_code(report, context.reader, context.place(work, leg), found)
        .message(said("{} stands {:.0f} degrees off square to the axis at X0: the tool dives into the "
                      "end of the part; {} meets the centre square, as a ball or a rounded end does. "
                      "Write {}.",
                      code(context.reader.settings(), found), *now, code(context.reader.settings(), meant),
                      code(context.reader.settings(), meant)));
    return true;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, std::size_t i,
             Report& report) {
    const Leg &leg = work.legs[i], &before = work.legs[i - 1], &behind = work.legs[i + 1];
    if (look_at_centre(context, work, leg, report)) return;
    if (!leg.is_arc || !is_line_of_contour(before) || !is_line_of_contour(behind)) return;
    if (std::abs(leg.sweep) > 2 * motion::pi - 0.01) return;
    const motion::Segment other = other_way(leg);
    const Breaks now = breaks_of(leg.segment(), before, behind), then = breaks_of(other, before, behind);
    const bool hollow = hollows_edge(part, work, i, now, then);
    if (!hollow && (then.before > tangent_deg || then.behind > tangent_deg)) return;
    if (!hollow && (now.before < corner_deg || now.behind < corner_deg)) return;
    const bool clockwise = leg.clockwise != work.beyond_centre; // As written
    const Meaning meant = clockwise ? Meaning::arc_counterclockwise : Meaning::arc_clockwise;
    const Meaning found = clockwise ? Meaning::arc_clockwise : Meaning::arc_counterclockwise;
    auto entry = report_at_code(report, context.reader, context.place(work, leg), found);
    if (hollow) {
        entry.message(said("{} at the face cuts a hollow into the edge and breaks from the next line "
                           "by {:.0f} degrees; {} rounds the edge and runs smoothly on. Write {}.",
                           code(context.reader.settings(), found), now.behind,
                           code(context.reader.settings(), meant), code(context.reader.settings(), meant)));
        return;
    }
    entry.message(said(
        "{} breaks from the line before it by {:.0f} degrees and from the next by {:.0f}; {} runs smoothly "
        "into "
        "both{}. Write {}.",
        code(context.reader.settings(), found), now.before, now.behind,
        code(context.reader.settings(), meant),
        std::abs(leg.sweep) > motion::pi + 0.01
            ? said(", and this way it is {:.0f} degrees round", std::abs(leg.sweep) * 180 / motion::pi)
            : std::string(),
        code(context.reader.settings(), meant)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            for (std::size_t i = 1; i + 1 < work->legs.size(); ++i) look_at(context, part, *work, i, report);
}

} // namespace

extern const Check check{
    .id = "arc_turns_wrong_way",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Arc that turns the wrong way round",
    .documentation = "The arc meets neither of its neighbouring lines smoothly, and the same arc programmed "
                     "the other way round "
                     "would meet both: a corner radius becomes a hollow, a fillet a bump, or the tool takes "
                     "the long way round "
                     "through the part. So does the rounded edge of a face, up to 6 mm, that the tool comes "
                     "to along Z: what "
                     "lies before it is air. A ball or a rounded end leaves the centre square to the axis: "
                     "an arc that would "
                     "do so the other way round only dives into the part. Write G03 for G02, or G02 for G03.",
    .works = works,
    .examples =
        {
            // A ball.
            {System::A, R"(
G21 G99
T0505
G97 S1600 M03
G00 X0 Z3.
G01 Z0 F0.12
G02 X14. Z-28.266 R15.
;^^ warning: arc_turns_wrong_way
G01 Z-43.
X33.
G00 Z3.
M30
)"},
            // The same as it should be, and a face that is hollow on purpose.
            {System::B, R"(
G21 G90 G95
T0505
G97 S1600 M03
G00 X0 Z3.
G01 Z-4. F0.12
G02 X24. Z-2.5 R48.75
G01 X33.
G00 Z3.
X0
G01 Z-5.
G03 X14. Z-33.266 R15.
G01 Z-43.
X33.
G00 Z3.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X20. Z1.
G01 Z-20. F0.2
X30.
G02 X36. Z-23. R3.
;^^ warning: arc_turns_wrong_way
G01 Z-40.
X52.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X-.1 Z.1
G01 Z0 F.006
X0
G02 X1. Z-.5 I0 K-.5
;^^ warning: arc_turns_wrong_way
G01 Z-1.
X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-20. F0.12
G03 X26. Z-23. R3.
;^^ warning: arc_turns_wrong_way
G01 X40.
N20 X52.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X20. Z1.
G01 Z-20. F0.2
G02 X26. Z-23. R3.
G01 X30.
G03 X36. Z-26. R3.
G01 Z-40.
G02 X36. Z-50. R8.
G01 Z-60.
X52.
G00 X60. Z5.
X0
G01 Z0
G03 X18. Z-27. I0 K-15.
G01 Z-31.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X14. Z2.
G01 Z0. F0.1
G02 X20. Z-3. R3.
;^^ warning: arc_turns_wrong_way
G01 Z-20.
X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X1.2 Z-.1
G01 X-.06 F.006
G00 Z.1
X1.
G01 Z-.1
G02 X1.2 Z-.2 R.1
;^^ warning: arc_turns_wrong_way
G01 Z-1.
X2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X30. Z2.
G01 Z0 F0.1
G03 X26. Z-2. R2.
;^^ warning: arc_turns_wrong_way
G01 Z-20.
X24.
G00 Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X14. Z2.
G01 Z0 F0.1
G03 X20. Z-3. R3.
G01 Z-20.
G00 X24.
Z2.
X14.
G01 Z-10.
G02 X20. Z-13. R3.
G01 Z-20.
G00 X24.
Z2.
X14.
G01 Z0
G02 X20. Z-3. R3.
G01 X30.
G00 Z2.
X10.
G01 Z0
G02 X40. Z-15. R15.
G01 Z-20.
X52.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::arc_turns_wrong_way
