// A plunge to the centre behind what later tools still work on: the part lies in the chips by then.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::worked_behind_part_off {

namespace {

constexpr double at_centre_mm = 0.6;       ///< Radius of what breaks off
constexpr double at_centre_of_start = 0.2; ///< Of where the plunge begins: thin parts have thin necks
constexpr double behind_mm = 1;            ///< Of what has been turned in front of it
constexpr double in_front_mm = 1;

/// It goes through what another cut has turned on past it.
bool goes_through_part(const Workpiece& part, const Leg& plunge, double unit_mm) {
    const double z = plunge.to.z_mm;
    if (z * unit_mm > -behind_mm) return false;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs) {
            if (&leg == &plunge) return false; // Only what was cut before
            if (leg.kind != Leg::Kind::feed || !leg.known || work->where != Work::Where::outside) continue;
            const auto [low, high] = std::minmax(leg.from.z_mm, leg.to.z_mm);
            if ((high - z) * unit_mm > behind_mm && (low - z) * unit_mm < 0.5) return true;
        }
    return false;
}

bool reaches_centre(const Work& work, const Leg& leg) {
    return is_plunge(leg) && !leg.of_cycle && !leg.spindle_stands && leg.dx() < 0 &&
           leg.from.x_radius_mm > 0 && leg.to.x_radius_mm * work.unit_mm <= at_centre_mm &&
           leg.to.x_radius_mm <= at_centre_of_start * leg.from.x_radius_mm;
}

/// A cut on the part in front of the plunge; not the face of the next one.
const Leg* cut_in_front(const Work& work, double z) {
    for (const Leg& leg : work.legs) {
        if (reaches_centre(work, leg)) return nullptr;
        if (!leg.cuts() || !leg.known || leg.dz() == 0) continue;
        const double high = std::max(leg.from.z_mm, leg.to.z_mm), low = std::min(leg.from.z_mm, leg.to.z_mm);
        if ((high - z) * work.unit_mm > in_front_mm && low < 0) return &leg;
    }
    return nullptr;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    for (std::size_t i = 0; i + 1 < part.works.size(); ++i) {
        const Work& work = *part.works[i];
        if (work.driven_tool || work.where == Work::Where::inside) continue;
        for (const Leg& leg : work.legs) {
            if (!reaches_centre(work, leg) || !goes_through_part(part, leg, work.unit_mm)) continue;
            // A face that is cut behind it is that of the next part.
            const Work& next = *part.works[i + 1];
            const bool next_part = std::any_of(
                part.works.begin() + static_cast<std::ptrdiff_t>(i) + 1, part.works.end(),
                [](const Work* later) {
                    return later->driven_tool ||
                           std::any_of(later->legs.begin(), later->legs.end(), [&](const Leg& face) {
                               return reaches_centre(*later, face) &&
                                      face.to.z_mm * later->unit_mm > -behind_mm;
                           });
                });
            const Leg* later = cut_in_front(next, leg.to.z_mm);
            if (next_part || !later) return;
            context.at(report, work, leg, "XU")
                .message(said(
                    "This cut goes to {} at {}: the part is cut off here, and T{:02} is still to work on it. "
                    "Is X right, is a code lost in front of it (a dwell), or does this tool come last?",
                    context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm), std::max(next.tool, 0)))
                .related(context.place(next, *later), said("the work that comes too late"));
            return;
        }
    }
}

/// The blade breaks the edge of the part when it has cut it off.
void look_at_edge(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    constexpr double same_place_mm = 0.5, most_mm = 6;
    if (work.driven_tool || work.where == Work::Where::inside) return;
    const double mm = work.unit_mm;
    const Leg* off = nullptr;
    for (const Leg& leg : work.legs) {
        if (!leg.known || leg.spindle_stands) continue;
        const auto bore = part.bore.at(leg.to.z_mm);
        const bool through =
            reaches_centre(work, leg) || (bore && is_plunge(leg) && !leg.of_cycle && leg.dx() < 0 &&
                                          is_blade(work) && leg.to.x_radius_mm < *bore);
        if (through && goes_through_part(part, leg, mm)) off = off ? off : &leg;
        if (!off || &leg == off) continue;
        const bool slants = leg.kind == Leg::Kind::feed && leg.dx() < 0 && leg.dz() < 0 &&
                            std::abs(leg.dz()) * mm < most_mm && std::abs(leg.dx()) < 4 * std::abs(leg.dz());
        // The edge of the bar lies behind the cut.
        if (!slants || std::abs(leg.to.z_mm - off->to.z_mm) * mm > same_place_mm ||
            leg.to.x_radius_mm <= off->to.x_radius_mm)
            continue;
        context.at(report, work, *off, "XU")
            .message(
                said("The part is cut off here, at {}, and its edge is to be broken only afterwards, from "
                     "{} to {}: it has fallen by then. Break the edge before this cut goes through.",
                     context.z(off->to.z_mm), context.z(leg.from.z_mm), context.z(leg.to.z_mm)))
            .related(context.place(work, leg), said("the work that comes too late"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        look_at(context, part, report);
        for (const Work* work : part.works) look_at_edge(context, part, *work, report);
    }
}

} // namespace

extern const Check check{
    .id = "worked_behind_part_off",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Part cut off before the last tool",
    .documentation = "A tool cuts in to the centre behind what has been turned, and another tool goes on in "
                     "front of that place: "
                     "the part has fallen by then, or hangs in the way. A digit of X is lost, the G04 in "
                     "front of a dwell is, or "
                     "the tools stand in the wrong order. A face that is cut next belongs to the next part "
                     "from the bar, and is "
                     "let pass."
                     " So is an edge of the part that the blade breaks only when it has gone through.",
    .works = works,
    .examples =
        {
            // The edge of the part when it has fallen; before that; and the edge of the next bar.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X42. Z2.
X40.
G01 Z-48. F.2
X46.
G00 X80. Z50.
T0404
G97 S900 M03
G00 X44. Z-45.
G01 X34. F.08
X-.6
;^^^ warning: worked_behind_part_off
G00 X42.
Z-43.
G01 X36. Z-45. F.06
G00 X80.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X42. Z2.
X40.
G01 Z-48. F.2
X46.
G00 X80. Z50.
T0404
G97 S900 M03
G00 X44. Z-45.
G01 X34. F.08
G00 X42.
Z-43.
G01 X36. Z-45. F.06
X-.6
G00 X80.
M30
)"},
            {System::B, R"(
G90 G95
T0101
G96 S180 M03
G00 X32. Z2.
G01 X29.8 F0.2
Z-50.
X52.
G00 X120. Z90.
T0404
G97 S700 M03
G00 X43. Z-30.
G01 X26.5 F0.06
X.4
;^^ warning: worked_behind_part_off
G00 X43.
X120. Z90.
T0606
G97 S600 M03
G00 X34. Z8.
G78 X29.2 Z-28. F2.
X28.7
G00 X120. Z90.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-2. F.01
X1.2
G00 X4. Z4.
T0909
G00 X1.2 Z-1.6
G01 X-.02 F.003
;   ^^^^^ warning: worked_behind_part_off
G00 X4.
Z4.
T0303
G00 X.8 Z.1
G01 X1. Z-.05 F.005
Z-1.6
X1.2
G00 X4. Z4.
M30
)"},
            // The next part from the bar.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X40. Z2.
G01 Z-32. F0.2
X44.
G00 X80. Z60.
T0909
G00 X44. Z-30.
G01 X-0.5 F0.06
G00 X80.
Z60.
T0101
G00 X44. Z0.
G01 X-1.6 F0.2
G00 Z2.
X38.
G01 Z-32.
X44.
G00 X80. Z60.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z0.
G01 X-1.6 F0.2
G00 Z2.
X48.
G01 Z-60.
X54.
G00 X80. Z60.
T0303
G00 X48. Z2.
G01 X46. F0.1
Z-60.
X54.
G00 X80. Z60.
T0909
G00 X54. Z-56.
G01 X-0.5 F0.06
G00 X80.
Z60.
M30
)"},
            {System::C, R"(
(THE RELIEF OF A THREAD OF 1.5 MM, NOT THE PART-OFF)
G71 G90 G95
T0101
G97 S5000 M03
G00 X2.5 Z.1
G01 Z-8. F.02
X3.
G00 Z.1
X1.5
G01 Z-3.
X2.8
G00 X50. Z50.
T0303
S3500
G00 X2.8 Z-3.
G01 X1.15 F.01
G00 X2.8
X50. Z50.
T0404
S1500
G00 X2. Z1.
G21 X1.3 Z-2.7 F.35
X1.15
G00 X50. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::worked_behind_part_off
