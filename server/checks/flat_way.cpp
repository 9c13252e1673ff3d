#include "checks/flat_way.h"

#include "checks/acts.h"
#include "motion/geometry.h"

#include <cmath>
#include <numbers>

namespace turnwright::checks {

using codes::Meaning;
using machine::BlockView;
using machine::MotionKind;

namespace {

constexpr double least_apart_mm = 1e-6;

/// The middle of an arc by R; nullopt: R is too small.
std::optional<Flat> centre_by_radius(Flat from, Flat to, double radius, bool clockwise, double allowed) {
    const Flat way = to - from;
    const double half = std::abs(way) / 2, r = std::abs(radius);
    if (half < least_apart_mm || r < half - allowed) return std::nullopt;
    const double off = std::sqrt(std::max(0.0, r * r - half * half));
    // To the left of the way for G03 and the shorter arc.
    const double sign = (clockwise ? -1 : 1) * (radius < 0 ? -1 : 1);
    return from + way / 2.0 + way / std::abs(way) * Flat(0, sign * off);
}

class FlatWalker {
public:
    explicit FlatWalker(const FileContext& context) : context_(context) {}

    std::vector<FlatWay> walk() {
        for (std::size_t run = 0; run < context_.runs(); ++run)
            context_.reader().visit(run, [&](const BlockView& view) { take(view); });
        end();
        return std::move(ways_);
    }

private:
    void end() {
        if (!now_.legs.empty()) ways_.push_back(std::move(now_));
        now_ = {};
        is_in_ = false;
    }

    void take(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        if (!reading.is_read || !view.before.reachable || view.text.deleted) return end();
        const machine::State &before = view.before, &after = view.after;
        const bool was = before.is_laid_out(), is = after.is_laid_out();
        if (!was || !is || reading.has('O') || machine::calls_program(reading.flow)) end();
        if (!was || !is || reading.motion == MotionKind::none || reading.in_contour) return;
        const bool polar = after.is(Meaning::polar_on);
        if (is_in_ && polar != now_.polar) end();
        if (!is_in_) {
            is_in_ = true;
            now_.polar = polar;
            now_.mm = after.is(Meaning::inch) ? motion::mm_per_inch : 1;
        }
        now_.legs.push_back(leg_of(view));
    }

    FlatLeg leg_of(const BlockView& view) const {
        const machine::Reading& reading = view.reading;
        const machine::State &before = view.before, &after = view.after;
        FlatLeg leg;
        leg.place = {view.run_index, view.block};
        leg.feeds = reading.motion == MotionKind::feed || reading.motion == MotionKind::arc;
        leg.is_arc = reading.motion == MotionKind::arc;
        leg.clockwise = reading.motion_meaning == Meaning::arc_clockwise;
        leg.side = motion::side_of(after);
        leg.moves_across = now_.polar ? reading.moves_z : reading.moves_x;
        const double per_deg = now_.polar ? 1 : after.cylinder_radius.number * std::numbers::pi / 180;
        const bool c_first = !now_.polar && after.is(Meaning::plane_yz);
        const bool plane_told = now_.polar || c_first || after.is(Meaning::plane_zx);
        const auto point = [&](const machine::State& state, Flat& at) {
            const machine::Value& other = now_.polar ? state.x_radius : state.z;
            if (!plane_told || !other.known() || !state.c.known()) return false;
            const double c = state.c.number * per_deg;
            at = c_first ? Flat(c, other.number) : Flat(other.number, c);
            return true;
        };
        leg.from_known = point(before, leg.from);
        leg.to_known = point(after, leg.to);
        if (leg.is_arc && leg.known()) take_arc(view, c_first, leg);
        return leg;
    }

    void take_arc(const BlockView& view, bool c_first, FlatLeg& leg) const {
        const machine::Reading& reading = view.reading;
        const double allowed =
            view.settings.machine.arc_tolerance_mm.value_or(motion::default_arc_tolerance_mm) / now_.mm;
        if (reading.has('R')) {
            const machine::Value radius = reading.value('R');
            if (!radius.known() || radius.number == 0) return;
            leg.radius = std::abs(radius.number);
            leg.centre = centre_by_radius(leg.from, leg.to, radius.number, leg.clockwise, allowed);
            if (!leg.centre && std::abs(leg.to - leg.from) > least_apart_mm) leg.too_small = leg.radius;
            return;
        }
        const char first = now_.polar ? 'I'
                           : c_first  ? 'J'
                                      : 'K',
                   second = now_.polar || !c_first ? 'J' : 'K';
        Flat way;
        for (const char letter : {first, second}) {
            if (!reading.has(letter)) continue;
            const machine::Value value = reading.value(letter);
            if (!value.known()) return;
            way += letter == first ? Flat(value.number, 0) : Flat(0, value.number);
        }
        // On the cylinder other letters may be meant for C.
        if (way == Flat() || (!now_.polar && reading.has('I'))) return;
        leg.by_centre = true;
        leg.centre = leg.from + way;
        leg.radius = std::abs(way);
        leg.full_circle = std::abs(leg.to - leg.from) < least_apart_mm;
        const double apart = std::abs(std::abs(leg.to - *leg.centre) - leg.radius);
        leg.apart = apart > allowed ? apart : 0;
    }

    const FileContext& context_;
    std::vector<FlatWay> ways_;
    FlatWay now_;
    bool is_in_ = false;
};

} // namespace

Flat FlatLeg::direction(int at) const {
    if (!is_arc || !centre) return (to - from) / std::max(std::abs(to - from), 1e-12);
    const Flat out = (at == 0 ? from : to) - *centre;
    return out * Flat(0, clockwise ? -1 : 1) / std::max(std::abs(out), 1e-12);
}

std::vector<FlatWay> flat_ways(const FileContext& context) {
    const std::vector<ToolOfSpan> tools = tools_of(context);
    const bool any = std::any_of(tools.begin(), tools.end(), [](const ToolOfSpan& tool) {
        return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                           [](const Act& act) { return act.polar || act.cylinder; });
    });
    if (!any) return {};
    return FlatWalker(context).walk();
}

} // namespace turnwright::checks
