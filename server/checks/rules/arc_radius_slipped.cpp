// A round that runs into neither of its neighbours, and would into both with another R.
//
// That rounds are drawn tangent to the lines beside them: common practice, no source.
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::arc_radius_slipped {

namespace {

constexpr double tangent_degrees = 2, off_degrees = 12;

/// Of an arc with another radius, on the side that its centre lies on: its directions at both ends.
struct Ends {
    Point at_start, at_end;
};
std::optional<Ends> ends_of(const Leg& arc, double radius) {
    const Point a = arc.from, b = arc.to;
    const double x = b.x_radius_mm - a.x_radius_mm, z = b.z_mm - a.z_mm, chord = std::hypot(x, z);
    if (chord <= 0 || radius < chord / 2 - 1e-6) return std::nullopt;
    const double cross = x * (arc.centre.z_mm - a.z_mm) - z * (arc.centre.x_radius_mm - a.x_radius_mm);
    const double side = cross > 0 ? 1 : -1;
    const double away = std::sqrt(std::max(0.0, radius * radius - chord * chord / 4));
    const double cx = a.x_radius_mm + x / 2 - side * z / chord * away,
                 cz = a.z_mm + z / 2 + side * x / chord * away;
    const auto along = [&](const Point& at) {
        const Point way{-(at.z_mm - cz), at.x_radius_mm - cx};
        const double to_end = way.x_radius_mm * x + way.z_mm * z;
        return to_end < 0 ? Point{-way.x_radius_mm, -way.z_mm} : way;
    };
    return Ends{along(a), along(b)};
}

Point way_of(const Leg& leg) {
    return {leg.dx(), leg.dz()};
}
bool is_line(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.is_arc && std::hypot(leg.dx(), leg.dz()) > 1e-6;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &before = work.legs[i - 1], &arc = work.legs[i], &next = work.legs[i + 1];
        if (!arc.is_arc || arc.by_centre || !arc.known || arc.kind != Leg::Kind::feed || arc.of_cycle ||
            !is_line(before) || !is_line(next))
            continue;
        const syntax::Item* item = find_letter(context.reader, context.place(work, arc), 'R');
        if (!item || item->kind != syntax::ItemKind::word || item->value <= 0) continue;
        const double radius =
            std::hypot(arc.from.x_radius_mm - arc.centre.x_radius_mm, arc.from.z_mm - arc.centre.z_mm);
        if (std::abs(radius - item->value) > 0.01 * radius) continue;
        const auto is_off = [&](double r, double degrees, bool both) {
            const auto ends = ends_of(arc, r);
            if (!ends) return !both;
            const double start = degrees_between(way_of(before), ends->at_start),
                         end = degrees_between(ends->at_end, way_of(next));
            return both ? start > degrees && end > degrees : start > degrees || end > degrees;
        };
        if (!is_off(radius, off_degrees, true)) continue;
        for (const double meant : slips_of(item->value)) {
            if (meant <= 0 || slip_between(item->value, meant) == Slip::none ||
                is_off(meant, tangent_degrees, false))
                continue;
            context.at(report, work, arc, "R")
                .message(
                    said("With R{} this round runs into neither the line in front of it nor the one behind "
                         "it: edges stay at {} {} and {} {}. With R{} it would run into both. Is a digit "
                         "wrong?",
                         written(item->value), context.x(arc.from.x_radius_mm), context.z(arc.from.z_mm),
                         context.x(arc.to.x_radius_mm), context.z(arc.to.z_mm), written(meant)));
            return;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "arc_radius_slipped",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Round with an R that fits neither neighbour",
    .documentation =
        "An arc between two lines leaves an edge at both of its ends, and another R by one slip of a hand (a "
        "digit gained, lost or swapped, the point moved) would make it run into both lines. The round "
        "becomes "
        "a flat, and what was roughed for it stands or is missing. Arcs by I and K, and those that run into "
        "one of the two lines as they are, are left alone.",
    .works = works,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X14. Z2.
G01 Z0. F.1
X18.
G03 X38. Z-10. R100.
;              ^^^^^ warning: arc_radius_slipped
G01 Z-43.8
X42.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1. Z.1
G01 Z-1. F.004
G02 X1.25 Z-1.125 R.215
;                 ^^^^^ warning: arc_radius_slipped
G01 X2.
G00 X5. Z5.
M30
)"},
            // As drawn; and a round that is to leave an edge.
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X14. Z2.
G01 Z0. F.1
X18.
G03 X38. Z-10. R10.
G01 Z-43.8
X42.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X14. Z2.
G01 Z-10. F.1
G03 X14. Z-30. R60.
G01 Z-43.8
X42.
G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::arc_radius_slipped
