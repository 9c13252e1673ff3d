// Angles as the program counts them: seen from the tailstock toward the chuck counter-clockwise, which is the
// way of ISO 841 for a tool that goes round the part.
#include "report/round_axis.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace turnwright::report {

using codes::Meaning;
using machine::MotionKind;

namespace {

constexpr double step_deg = 4, step_rad = step_deg * std::numbers::pi / 180;
constexpr std::size_t most_points = 2000;

double degrees_of(double radians) {
    return radians * 180 / std::numbers::pi;
}

/// A plane of two lengths, or of a length and an angle rolled off.
struct Flat {
    double u = 0, v = 0;
};

bool goes_clockwise(const machine::Reading& reading) {
    return reading.motion_meaning == Meaning::arc_clockwise;
}

/// Points of a line or arc in a flat plane, the start among them. nullopt: an arc that cannot be made.
std::vector<Flat> flat_way(Flat from, Flat to, bool is_arc, bool clockwise, std::optional<double> radius,
                           std::optional<Flat> middle_from_start) {
    std::vector<Flat> way{from};
    if (is_arc) {
        Flat middle{};
        const double du = to.u - from.u, dv = to.v - from.v, chord = std::hypot(du, dv);
        bool made = false;
        if (radius && chord > 1e-9) {
            const double r = std::max(std::abs(*radius), chord / 2);
            double off = std::sqrt(std::max(0.0, r * r - chord * chord / 4));
            if (clockwise != (*radius < 0))
                off = -off; // To the left of the chord for a short way counter-clockwise
            middle = {(from.u + to.u) / 2 - dv / chord * off, (from.v + to.v) / 2 + du / chord * off};
            made = true;
        } else if (middle_from_start) {
            middle = {from.u + middle_from_start->u, from.v + middle_from_start->v};
            made = std::hypot(middle_from_start->u, middle_from_start->v) > 1e-9;
        }
        if (made) {
            const double r = std::hypot(from.u - middle.u, from.v - middle.v);
            const double start = std::atan2(from.v - middle.v, from.u - middle.u);
            double sweep = std::atan2(to.v - middle.v, to.u - middle.u) - start;
            if (clockwise && sweep > -1e-9) sweep -= 2 * std::numbers::pi;
            if (!clockwise && sweep < 1e-9) sweep += 2 * std::numbers::pi;
            const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(sweep) / step_rad)));
            for (int i = 1; i < parts; ++i) {
                const double at = start + sweep * i / parts;
                way.push_back({middle.u + r * std::cos(at), middle.v + r * std::sin(at)});
            }
        }
    }
    way.push_back(to);
    return way;
}

/// mm behind a word, as a length that is no diameter.
std::optional<double> length_at(const machine::Reading& reading, char letter, double mm) {
    const machine::Value value = reading.value(letter);
    return value.known() ? std::optional(value.number * mm) : std::nullopt;
}

} // namespace

/// Where C goes: by its word, or by H from where it is; `per_unit` 1 for degrees.
std::optional<double> RoundAxis::wanted(const WalkedBlock& block, double per_unit, double now) const {
    const machine::Reading& reading = block.view.reading;
    const bool by_distance =
        document_.settings().system != codes::System::A && block.view.after.is(Meaning::incremental);
    if (const machine::Value c = reading.value('C'); c.known())
        return by_distance ? now + c.number * per_unit : c.number * per_unit;
    if (const machine::Value h = reading.value('H'); h.known()) return now + h.number * per_unit;
    return std::nullopt;
}

void RoundAxis::take_modes(const WalkedBlock& block, double mm) {
    const machine::Reading& reading = block.view.reading;
    const machine::State& after = block.view.after;
    for (const machine::Word& word : reading.words)
        if (word.code && word.code->meaning == Meaning::cylindrical) {
            const machine::Value radius = reading.has('C') ? reading.value('C') : reading.value('H');
            cylinder_mm_ = radius.known() ? std::abs(radius.number) * mm : 0;
            plane_ = radius.known() && radius.number == 0 ? Plane::none : Plane::cylinder;
        }
    if (reading.code(Meaning::polar_on)) {
        plane_ = Plane::polar;
        polar_x_mm_ = after.x_radius.known() ? after.x_radius.number * mm : 0;
        polar_c_mm_ = 0;
    }
    if (reading.code(Meaning::polar_off) && plane_ == Plane::polar) {
        plane_ = Plane::none;
        degrees_ = degrees_of(std::atan2(polar_c_mm_, polar_x_mm_));
    }
}

void RoundAxis::add_polar(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves) {
    const machine::Reading& reading = block.view.reading;
    const machine::State &before = block.view.before, &after = block.view.after;
    const double to_x = after.x_radius.known() ? after.x_radius.number * mm : polar_x_mm_;
    const double to_c = wanted(block, mm, polar_c_mm_).value_or(polar_c_mm_);
    const double z0 = before.z.known() ? before.z.number * mm : 0,
                 z1 = after.z.known() ? after.z.number * mm : z0;
    const bool is_arc = reading.motion == MotionKind::arc;
    std::optional<Flat> middle;
    const auto i = length_at(reading, 'I', mm), j = length_at(reading, 'J', mm);
    if (i || j) middle = Flat{i.value_or(0), j.value_or(0)};
    const std::vector<Flat> way = flat_way({polar_x_mm_, polar_c_mm_}, {to_x, to_c}, is_arc,
                                           goes_clockwise(reading), length_at(reading, 'R', mm), middle);
    RoundMove move{reading.motion == MotionKind::rapid ? RoundMove::Kind::rapid : RoundMove::Kind::feed, {}};
    for (std::size_t k = 0; k < way.size() && k < most_points; ++k) {
        const double share =
            way.size() > 1 ? static_cast<double>(k) / static_cast<double>(way.size() - 1) : 1;
        move.points.push_back({z0 + (z1 - z0) * share, std::hypot(way[k].u, way[k].v),
                               degrees_of(std::atan2(way[k].v, way[k].u))});
    }
    polar_x_mm_ = to_x;
    polar_c_mm_ = to_c;
    if (way.size() > 1) moves.push_back(std::move(move));
}

void RoundAxis::add_cylinder(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves) {
    const machine::Reading& reading = block.view.reading;
    const machine::State &before = block.view.before, &after = block.view.after;
    if (!degrees_) degrees_ = 0;
    const double to = wanted(block, 1, *degrees_).value_or(*degrees_);
    if (!before.z.known() || !after.z.known()) {
        degrees_ = to;
        return;
    }
    const double per_deg = cylinder_mm_ * std::numbers::pi / 180; // mm on the cylinder a degree
    const double x0 = before.x_radius.known() ? before.x_radius.number * mm : cylinder_mm_;
    const double x1 = after.x_radius.known() ? after.x_radius.number * mm : x0;
    const Flat from{before.z.number * mm, *degrees_ * per_deg}, end{after.z.number * mm, to * per_deg};
    std::optional<Flat> middle;
    const auto k = length_at(reading, 'K', mm), j = length_at(reading, 'J', mm);
    if (k || j) middle = Flat{k.value_or(0), j.value_or(0)};
    // The plane of Z and C is seen from outside with Z to the right and C up; in a plane that C begins, the
    // other way round.
    const bool clockwise = goes_clockwise(reading) != after.is(Meaning::plane_yz);
    std::vector<Flat> way = flat_way(from, end, reading.motion == MotionKind::arc, clockwise,
                                     length_at(reading, 'R', mm), middle);
    RoundMove move{reading.motion == MotionKind::rapid ? RoundMove::Kind::rapid : RoundMove::Kind::feed, {}};
    for (std::size_t n = 0; n < way.size() && n < most_points; ++n) {
        const double share =
            way.size() > 1 ? static_cast<double>(n) / static_cast<double>(way.size() - 1) : 1;
        const double angle = per_deg > 0 ? way[n].v / per_deg : *degrees_ + (to - *degrees_) * share;
        move.points.push_back({way[n].u, x0 + (x1 - x0) * share, angle});
    }
    degrees_ = to;
    moves.push_back(std::move(move));
}

void RoundAxis::add_plain(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves) {
    const machine::Reading& reading = block.view.reading;
    const machine::State &before = block.view.before, &after = block.view.after;
    const std::optional<double> from = degrees_;
    if (reading.motion == MotionKind::reference) {
        if (reading.has('C') || reading.has('H')) degrees_ = 0;
        return;
    }
    if (const auto to = wanted(block, 1, degrees_.value_or(0))) degrees_ = to;
    if (!degrees_) return;
    const auto add = [&](bool is_feed, RoundPoint a, RoundPoint b) {
        RoundMove move{is_feed ? RoundMove::Kind::feed : RoundMove::Kind::rapid, {a}};
        const int parts = std::clamp(static_cast<int>(std::ceil(std::abs(b.degrees - a.degrees) / step_deg)),
                                     1, static_cast<int>(most_points));
        for (int i = 1; i <= parts; ++i) {
            const double share = static_cast<double>(i) / parts;
            move.points.push_back({a.z_mm + (b.z_mm - a.z_mm) * share,
                                   a.x_radius_mm + (b.x_radius_mm - a.x_radius_mm) * share,
                                   a.degrees + (b.degrees - a.degrees) * share});
        }
        moves.push_back(std::move(move));
    };
    if (!block.path.segments.empty()) {
        // The work turns first where a cycle drills, else on the way.
        const bool turns_first = machine::is_cycle(reading.motion);
        double angle = turns_first ? *degrees_ : from.value_or(*degrees_);
        const double change = (*degrees_ - angle) / static_cast<double>(block.path.segments.size());
        for (const motion::Segment& segment : block.path.segments) {
            if (segment.kind == motion::SegmentKind::dwell) continue;
            const double next = angle + change;
            add(segment.kind != motion::SegmentKind::rapid,
                {segment.from.z_mm, segment.from.x_radius_mm, angle},
                {segment.to.z_mm, segment.to.x_radius_mm, next});
            angle = next;
        }
        return;
    }
    const bool known =
        before.x_radius.known() && before.z.known() && after.x_radius.known() && after.z.known();
    const bool plain = reading.motion == MotionKind::rapid || reading.motion == MotionKind::feed;
    if (!known || !plain) return;
    add(reading.motion == MotionKind::feed,
        {before.z.number * mm, before.x_radius.number * mm, from.value_or(*degrees_)},
        {after.z.number * mm, after.x_radius.number * mm, *degrees_});
}

/// With Y off the plane of the axis: the tool stands beside it.
bool RoundAxis::is_beside(const WalkedBlock& block) const {
    const machine::Value &from = block.view.before.y, &to = block.view.after.y;
    return block.view.reading.has('Y') || (from.known() && from.number != 0) ||
           (to.known() && to.number != 0);
}

void RoundAxis::add_beside(const WalkedBlock& block, double mm, std::vector<RoundMove>& moves) const {
    const machine::Reading& reading = block.view.reading;
    const machine::State &before = block.view.before, &after = block.view.after;
    const bool plain = reading.motion == MotionKind::rapid || reading.motion == MotionKind::feed;
    for (const machine::State* state : {&before, &after})
        if (!plain || !state->x_radius.known() || !state->z.known() || !state->y.known()) return;
    RoundMove::Beside way{before.x_radius.number * mm, before.y.number * mm, after.x_radius.number * mm,
                          after.y.number * mm,         degrees_.value_or(0), {}};
    if (after.is(Meaning::plane_yz)) way.radial = true;
    if (after.is(Meaning::plane_xy)) way.radial = false;
    RoundMove move{reading.motion == MotionKind::rapid ? RoundMove::Kind::rapid : RoundMove::Kind::feed, {}};
    const double x = way.to_x_mm - way.from_x_mm, y = way.to_y_mm - way.from_y_mm;
    const int parts = std::clamp(static_cast<int>(std::ceil(std::hypot(x, y))), 1, 40);
    for (int i = 0; i <= parts; ++i) {
        const double share = static_cast<double>(i) / parts;
        const double here_x = way.from_x_mm + x * share, here_y = way.from_y_mm + y * share;
        move.points.push_back({(before.z.number + (after.z.number - before.z.number) * share) * mm,
                               std::hypot(here_x, here_y),
                               way.c_deg + degrees_of(std::atan2(here_y, here_x))});
    }
    move.beside = way;
    moves.push_back(std::move(move));
}

std::vector<RoundMove> RoundAxis::read(const WalkedBlock& block) {
    const machine::Reading& reading = block.view.reading;
    const machine::State& after = block.view.after;
    std::vector<RoundMove> moves;
    is_at_work_ = false;
    const double mm = after.is(Meaning::inch) ? motion::mm_per_inch : 1;
    take_modes(block, mm);
    if (reading.motion == MotionKind::none || reading.in_contour || !block.view.before.reachable)
        return moves;
    // A C word of a turning block is a chamfer, and H may be anything: a feed in both X and Z says so.
    const bool turns = reading.moves_other && (reading.has('C') || reading.has('H')) &&
                       (!block.path.complete || block.path.turns_to_hole ||
                        reading.motion == MotionKind::rapid || reading.motion == MotionKind::reference);
    is_at_work_ = plane_ != Plane::none || (turns && reading.motion != MotionKind::reference);
    switch (plane_) {
    case Plane::polar:
        add_polar(block, mm, moves);
        break;
    case Plane::cylinder:
        add_cylinder(block, mm, moves);
        break;
    case Plane::none:
        if (turns || degrees_) add_plain(block, mm, moves);
        if (is_beside(block)) {
            is_at_work_ = is_at_work_ || reading.motion == MotionKind::feed;
            moves.clear();
            add_beside(block, mm, moves);
        }
        break;
    }
    const bool cycles = reading.motion == MotionKind::drill_cycle || reading.motion == MotionKind::peck_cycle;
    const machine::Value by = reading.value('H');
    for (RoundMove& move : moves) {
        move.on_polar = plane_ == Plane::polar;
        move.by_cycle = cycles;
        move.taps = cycles && (after.is(Meaning::tap_face) || after.is(Meaning::tap_side));
        move.is_line = reading.motion == MotionKind::feed;
        if (after.is(Meaning::compensation_off)) move.compensated = false;
        if (after.is(Meaning::compensation_left) || after.is(Meaning::compensation_right))
            move.compensated = true;
        if (by.known()) {
            move.repeats = std::clamp(machine::repeats_of(reading), 1, 360);
            move.repeat_deg = by.number;
        }
    }
    return moves;
}

} // namespace turnwright::report
