// Feeds with C and Y: on the plane of X and C, on a cylinder, and with the part turned as an axis.
//
// On the plane and on the cylinder F counts along the way on the part (common practice, no source). Elsewhere
// it counts degrees a minute, and of a move with X or Z in it the root of all squares, a degree as one
// millimetre or inch (common practice, no source; some controls count X and Z alone).
#include "motion/path.h"

#include <cmath>

namespace turnwright::motion {

using codes::Group;
using codes::Meaning;
using machine::MotionKind;
using machine::Value;

namespace {

/// A flat plane, in program units.
struct Flat {
    double a = 0, b = 0;
};

/// The length of an arc from `from` to `to`; nullopt: no centre, or one that does not fit.
std::optional<double> arc_length(const Step& step, Flat from, Flat to, char centre_a, char centre_b) {
    const machine::Reading& reading = step.reading;
    const double chord = std::hypot(to.a - from.a, to.b - from.b);
    if (const Value r = reading.value('R'); r.known() && r.number != 0) {
        const double radius = std::abs(r.number);
        if (chord <= 0 || chord > 2 * radius * (1 + 1e-6)) return std::nullopt;
        const double sweep = 2 * std::asin(std::min(1.0, chord / (2 * radius)));
        return radius * (r.number > 0 ? sweep : 2 * pi - sweep);
    }
    const Value a = reading.value(centre_a), b = reading.value(centre_b);
    if (!a.known() && !b.known()) return std::nullopt;
    const Flat centre{from.a + (a.known() ? a.number : 0), from.b + (b.known() ? b.number : 0)};
    const double radius = std::hypot(from.a - centre.a, from.b - centre.b);
    const double other = std::hypot(to.a - centre.a, to.b - centre.b);
    const double mm = mm_per_unit(step.after).value_or(1);
    if (radius <= 0 || std::abs(radius - other) * mm > arc_tolerance(step.settings) + 0.01)
        return std::nullopt;
    double sweep =
        std::atan2(to.b - centre.b, to.a - centre.a) - std::atan2(from.b - centre.b, from.a - centre.a);
    const bool clockwise = reading.motion_meaning == Meaning::arc_clockwise;
    if (clockwise) sweep = -sweep;
    while (sweep <= 1e-9) sweep += 2 * pi;
    return radius * sweep;
}

/// Minutes for a way in program units, by the feed in force.
std::optional<double> minutes_of(const Step& step, double length) {
    const machine::State& after = step.after;
    if (!after.feed.known() || after.feed.number <= 0) return std::nullopt;
    if (after.is(Meaning::feed_per_minute)) return length / after.feed.number;
    if (after.is(Meaning::feed_inverse_time)) return 1 / after.feed.number;
    if (!after.is(Meaning::feed_per_rev)) return std::nullopt;
    // By the turns of the spindle that S speaks to; one under surface speed has no single speed here.
    const Spindle spindle = spindle_of(after, step.settings);
    if (spindle.surface_speed != false || !spindle.rpm || *spindle.rpm <= 0 || spindle.turning == false)
        return std::nullopt;
    return length / (after.feed.number * *spindle.rpm);
}

} // namespace

std::optional<TurnedWay> turned_way(const Step& step) {
    const machine::Reading& reading = step.reading;
    const machine::State &before = step.before, &after = step.after;
    const bool is_arc = reading.motion == MotionKind::arc;
    if (reading.motion != MotionKind::feed && !is_arc) return std::nullopt;
    const bool names_c = (reading.has('C') || reading.has('H')) && !c_is_chamfer(step);
    const bool polar = after.is(Meaning::polar_on);
    const bool names_y = reading.has('Y') || reading.has('V');
    if (!names_c && !polar && !names_y) return std::nullopt;
    const auto mm = mm_per_unit(after);
    if (!mm || before.of(Group::units) != after.of(Group::units)) return std::nullopt;
    const auto distance = [](const Value& from, const Value& to) -> std::optional<double> {
        if (!from.known() || !to.known()) return std::nullopt;
        return to.number - from.number;
    };
    const auto dx = reading.moves_x ? distance(before.x_radius, reading.target_x_radius) : 0.0;
    const auto dz = reading.moves_z ? distance(before.z, reading.target_z) : 0.0;
    const auto dc = names_c ? distance(before.c, after.c) : 0.0;
    const auto dy = names_y ? distance(before.y, after.y) : 0.0;
    if (!dx || !dz || !dc || !dy) return std::nullopt;
    TurnedWay way;
    double counted = 0; // What F counts, in program units
    if (polar) {
        if (!before.x_radius.known() || !before.c.known()) return std::nullopt;
        const Flat from{before.x_radius.number, before.c.number};
        const Flat to{from.a + *dx, from.b + *dc};
        const auto flat = is_arc ? arc_length(step, from, to, 'I', 'J') : std::hypot(*dx, *dc);
        if (!flat) return std::nullopt;
        counted = std::hypot(*flat, *dz);
        const double turn = std::atan2(to.b, to.a) - std::atan2(from.b, from.a);
        way.degrees = std::abs(std::remainder(turn, 2 * pi)) * 180 / pi;
        way.length_mm = counted * *mm;
    } else if (names_c && after.is_laid_out()) {
        const double radius = std::abs(after.cylinder_radius.number);
        const double along = *dc * pi / 180 * radius;
        const auto flat = is_arc ? arc_length(step, {0, 0}, {*dz, along}, 'K', 'J') : std::hypot(*dz, along);
        if (!flat) return std::nullopt;
        counted = std::hypot(*flat, *dx);
        way.degrees = std::abs(*dc);
        way.length_mm = counted * *mm;
    } else if (names_c) {
        if (is_arc) return std::nullopt;
        counted = std::hypot(std::hypot(*dx, *dz, *dy), *dc);
        way.degrees = std::abs(*dc);
        way.by_usual_reading = *dc != 0 && counted != std::abs(*dc);
        const double radius = before.x_radius.known() ? std::abs(before.x_radius.number) : 0;
        way.length_mm = std::hypot(std::hypot(*dx, *dz, *dy), *dc * pi / 180 * radius) * *mm;
    } else if (is_arc) {
        if (!after.is(Meaning::plane_xy) && !after.is(Meaning::plane_yz)) return std::nullopt;
        const bool of_x = after.is(Meaning::plane_xy);
        const double first = of_x ? *dx : *dy, second = of_x ? *dy : *dz, across = of_x ? *dz : *dx;
        const auto flat = arc_length(step, {0, 0}, {first, second}, of_x ? 'I' : 'J', of_x ? 'J' : 'K');
        if (!flat) return std::nullopt;
        counted = std::hypot(*flat, across);
        way.length_mm = counted * *mm;
    } else {
        counted = std::hypot(*dx, *dy, *dz);
        way.length_mm = counted * *mm;
    }
    if (const auto minutes = counted > 0 ? minutes_of(step, counted) : std::optional(0.0))
        way.seconds = *minutes * 60;
    return way;
}

} // namespace turnwright::motion
