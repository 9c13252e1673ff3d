// A groove that leaves hardly anything of a part that is worked on: the point of its X is a place off.
//
// The limits: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::groove_nearly_through {

namespace {

/// No groove leaves so thin a neck of what it begins on.
constexpr double most_of_outside = 0.2;
constexpr double same_place_mm = 0.5;

bool goes_in(const Work& work, const Leg& leg) {
    return leg.cuts() && leg.known && !leg.in_contour && leg.dx() < 0 && leg.dz() == 0 &&
           leg.from.z_mm * work.unit_mm < -0.5;
}

/// What is bored or drilled before makes it a ring.
bool is_solid(const Workpiece& part) {
    return std::none_of(part.works.begin(), part.works.end(), [](const Work* work) {
        return work->where == Work::Where::inside || work->where == Work::Where::on_centre ||
               std::any_of(work->legs.begin(), work->legs.end(),
                           [](const Leg& leg) { return leg.cuts() && !leg.known; });
    });
}

/// Later a tool cuts on in the same part, or parts it farther back, and none is to part it there.
bool is_worked_on(const Workpiece& part, std::size_t at, Point bottom) {
    const double z = bottom.z_mm;
    // Parts that all hang on such a neck are broken off by hand.
    constexpr double neck = 2;
    bool worked = false;
    for (std::size_t w = at + 1; w < part.works.size(); ++w)
        for (const Leg& leg : part.works[w]->legs) {
            const Work& work = *part.works[w];
            if (!leg.cuts()) continue;
            if (goes_in(work, leg) && std::abs(leg.to.z_mm - z) * work.unit_mm < same_place_mm) return false;
            const bool hangs = goes_in(work, leg) && leg.to.x_radius_mm > 0 &&
                               leg.to.x_radius_mm < neck * bottom.x_radius_mm;
            worked = worked || leg.to.z_mm > z || (!hangs && leg.to.z_mm < z);
        }
    return worked;
}

void look_at(const WorksContext& context, const Workpiece& part, std::size_t at, Report& report) {
    const Work& work = *part.works[at];
    for (const Leg& leg : work.legs) {
        if (!goes_in(work, leg) || leg.to.x_radius_mm <= 0) continue;
        double outside = leg.from.x_radius_mm;
        if (leg.of_cycle) // It may go in by pecks
            for (const Leg& peck : work.legs)
                if (peck.block == leg.block && peck.run_at == leg.run_at)
                    outside = std::max(outside, peck.from.x_radius_mm);
        const double ten_times = 10 * leg.to.x_radius_mm;
        if (leg.to.x_radius_mm > most_of_outside * outside || ten_times >= outside) continue;
        if (!is_worked_on(part, at, leg.to)) continue;
        context.at(report, work, leg, "X")
            .message(said(
                "This groove at {} goes from {} to {}: a neck of that size is left of solid bar, and later "
                "tools cut on in the same part, which breaks off there. Is {} meant?",
                context.z(leg.to.z_mm), context.x(outside), context.x(leg.to.x_radius_mm),
                context.x(ten_times)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        if (!is_solid(part)) continue;
        for (std::size_t at = 0; at + 1 < part.works.size(); ++at)
            if (!part.works[at]->driven_tool) look_at(context, part, at, report);
    }
}

} // namespace

extern const Check check{
    .id = "groove_nearly_through",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Groove that leaves hardly anything of the part",
    .documentation =
        "A plunge or a grooving cycle goes to less than a fifth of the diameter that it begins at, in solid "
        "bar, and later tools cut on in front of it, or part off farther back: the part breaks off there. X "
        "with its point a place "
        "farther on would lie within. Parting in two steps is known by the second tool at the same Z, and a "
        "neck that the last tool leaves, to break the part off by hand, is not looked at.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X42. Z-44.
G01 X2.8 F0.08
;   ^^^^ warning: groove_nearly_through
G00 X42.
G00 X100. Z80.
T0707
G97 S600
G00 X40. Z5.
G92 X35.2 Z-40. F1.5
X34.6
G00 X100. Z80.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0505
G97 S800 M03
G00 X1.7 Z-1.5
G77 R.01
G77 X.11 Z-1.6 P400 Q800 F.003
;   ^^^^ warning: groove_nearly_through
G00 X4. Z4.
T0202
G00 X1.4 Z.1
G01 Z-1. F.008
X1.8
G00 X4. Z4.
M30
)"},
            // Parted in two steps, a ring, and a neck that the last tool leaves.
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X42. Z-44.
G01 X4. F0.08
G00 X42.
X100. Z80.
T0202
G00 X30. Z2.
G01 Z-10. F0.1
X44.
G00 X100. Z80.
T0707
G00 X42. Z-44.
G01 X-0.4 F0.05
G00 X100. Z80.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0202
G97 S800 M03
G00 X30. Z2.
G01 Z-10. F0.1
X44.
G00 X100. Z80.
T0505
G00 X42. Z-44.
G01 X2. F0.08
G00 X42.
X100. Z80.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X0 Z3.
G01 Z-60. F0.1
G00 Z3.
X100. Z80.
T0505
G00 X42. Z-44.
G01 X4. F0.08
G00 X42.
X100. Z80.
T0202
G00 X30. Z2.
G01 Z-10. F0.1
X44.
G00 X100. Z80.
M30
)"},
            // The part is cut off farther back.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X25. Z2.
G01 Z-74. F0.2
X30.
G00 X100. Z80.
T0404
G00 X27. Z-22.
G01 X1.85 F0.06
;   ^^^^^ warning: groove_nearly_through
G00 X27.
X100. Z80.
T0606
G00 X34. Z-73.
G01 X-0.4 F0.05
G00 X34.
X100. Z80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-3. F.008
X1.2
G00 X4. Z4.
T0404
G00 X1.1 Z-.8
G01 X.075 F.003
;   ^^^^^ warning: groove_nearly_through
G00 X1.1
X4. Z4.
T0606
G00 X1.2 Z-2.9
G01 X-.02 F.003
G00 X1.2
X4. Z4.
M30
)"},
            // Parts that hang on necks alike are broken off by hand.
            {System::C, R"(
G71 G90 G95
T0606
G97 S800 M03
G00 X34. Z-23.
G01 X2. F0.05
G00 X34.
X100. Z80.
T0606
G00 X34. Z-46.
G01 X2. F0.05
G00 X34.
X100. Z80.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::groove_nearly_through
