// The way off the end of a cut goes into the part: a digit of its X is lost, or two have changed places.
//
// The limits: common practice, no source.
#include "checks/slips.h"
#include "checks/tool_of_work.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::way_out_goes_in {

namespace {

/// Shallower it may be a relief behind the shoulder.
constexpr double least_mm = 2;

bool is_feed(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle;
}

/// Deeper and steeper than an edge made for turning goes behind what it has turned.
bool goes_steeply_in(const Work& work, const Leg& leg) {
    constexpr double steep = 1.75; // 60 degrees
    return is_feed(leg) && !leg.is_arc && !leg.by_letters && leg.to.x_radius_mm > 0 && leg.to.z_mm < 0 &&
           leg.dz() <= 0 && -leg.dx() * work.unit_mm >= least_mm && -leg.dx() >= -steep * leg.dz();
}

/// The cut has come from in front of the face, and only along the part or outward.
bool came_from_face(const Work& work, std::size_t i) {
    while (i-- > 0) {
        const Leg& leg = work.legs[i];
        if (!is_feed(leg) || leg.dx() < 0 || leg.dz() > 0) return false;
        if (leg.from.z_mm >= 0) return leg.to.z_mm < 0 || i > 0;
    }
    return false;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, std::size_t i,
             Report& report) {
    const Leg &leg = work.legs[i], &before = work.legs[i - 1];
    const Leg* next = next_of(work, leg);
    if (!goes_steeply_in(work, leg) || !is_feed(before) || !next || !came_from_face(work, i)) return;
    // Blades that turn, too, go on along Z in the neck that they have opened.
    if (next->cuts() && next->dx() == 0) return;
    // What it should have been lies outside.
    const double sign = x_as_written(1, context.reader.settings());
    double meant = 0;
    for (const Work* other : part.works)
        for (const Leg& cut : other->legs) {
            const double x = cut.to.x_radius_mm;
            if (!cut.arrives || x <= leg.from.x_radius_mm || cut.kind == Leg::Kind::home) continue;
            if (slip_between(sign * leg.to.x_radius_mm, sign * x) != Slip::none && (meant == 0 || x < meant))
                meant = x;
        }
    context.at(report, work, leg, "X")
        .message(said("Behind the cut at {} this feed goes steeply into the part, to {} at {}, where "
                      "a turning tool goes on along "
                      "Z or outward: it plunges {} deep and the edge breaks. Is a digit of X wrong?{}",
                      context.x(leg.from.x_radius_mm), context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm),
                      spoken(std::round(-leg.dx() * 1000) / 1000),
                      meant > 0 ? said(" {} is meant, perhaps.", context.x(meant)) : ""));
}

/// The floor of a groove in the face: from both walls to one place on it.
bool goes_into_face(const Work& work) {
    const auto along_floor = [](const Leg& leg, bool inward) {
        return is_feed(leg) && !leg.is_arc && leg.dz() == 0 && leg.from.z_mm < 0 &&
               (inward ? leg.dx() < 0 : leg.dx() > 0);
    };
    return plunges_into_face(work) || std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& in) {
               return along_floor(in, true) &&
                      std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& out) {
                          return along_floor(out, false) && out.to.x_radius_mm == in.to.x_radius_mm &&
                                 out.to.z_mm == in.to.z_mm;
                      });
           });
}

bool is_noted_otherwise(const WorksContext& context, const Work& work) {
    using Kind = NamedTool::Kind;
    return tool_of_work(context, work, [](const NamedTool& tool) {
               return tool.kind == Kind::groove || tool.kind == Kind::part_off || tool.kind == Kind::bore;
           }) != nullptr;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || work->where == Work::Where::inside || is_blade(*work) ||
                goes_into_face(*work) || is_noted_otherwise(context, *work))
                continue;
            // A tool that plunges elsewhere, too, is made for it.
            const auto plunges = std::count_if(work->legs.begin(), work->legs.end(),
                                               [&](const Leg& leg) { return goes_steeply_in(*work, leg); });
            if (plunges != 1) continue;
            for (std::size_t i = 1; i < work->legs.size(); ++i) look_at(context, part, *work, i, report);
        }
}

} // namespace

extern const Check check{
    .id = "way_out_goes_in",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Way off the end of a cut that goes into the part",
    .documentation =
        "A tool has turned along the part from its face, and the next feed, which should go on or take it "
        "off the "
        "shoulder, goes inward by 2 mm a side or more, steeper than 60 degrees: a digit of X is lost, or two "
        "have changed "
        "places. It plunges into the part with an edge that is not made for it, and the part has a groove. "
        "Write the X outside of the part. Boring bars, blades, tools that plunge elsewhere, too, and feeds "
        "to "
        "the centre are left alone.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X57. Z1.
G01 Z-44. F0.25
X26.
;^^^ warning: way_out_goes_in
G00 X150. Z80.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0202
G96 S500 M03
G00 X1.5 Z.1
G01 Z0 F.008
X1.6 Z-.05
Z-2.
X1.
;^^ warning: way_out_goes_in
G00 X4. Z4.
M30
)"},
            // Out of a groove in a bore.
            {System::A, R"(
G21 G99
T0404 (INTERNAL GROOVE 2 WIDE)
G97 S700 M03
G00 X28. Z3.
G01 Z-12. F.2
X33. F.04
X28. F.2
G00 Z5.
X150. Z100.
M30
)"},
            // A relief and what follows it, a part-off by the same tool, a boring bar and a blade that turns.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X57. Z1.
G01 Z-44. F0.25
X54.
G00 X60.
Z1.
X50.
G01 Z-20.
X44.
Z-22.
X60.
G00 X150. Z80.
T0303
G00 X40. Z1.
G01 Z-10. F0.1
X-0.4
G00 X150. Z80.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S600 M03
G00 X0 Z3.
G01 Z-40. F0.15
G00 Z3.
X80. Z80.
T0707
G00 X44. Z1.
G01 Z-20. F0.15
X36.
G00 Z1.
X40.
G01 Z-20.
X34.
G00 Z80.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G97 S600 M03
G00 X60. Z-20.
G01 X40. F0.1
G00 X60.
Z1.
X56.
G01 Z-10. F0.1
X40.
G00 X60.
M30
)"},
            // Along the floor of a groove in the face.
            {System::A, R"(
G21 G99
T0606
G97 S600 M03
G00 X78. Z1.
G01 Z-6. F0.05
X74.
G00 Z1.
X70.
G01 Z-6. F0.05
X74.
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::way_out_goes_in
