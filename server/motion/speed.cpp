// Spindle speed and feed as numbers in mm, from a state in program units.
#include "motion/motion.h"
#include "motion/path.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

using codes::Group;
using codes::Meaning;

std::optional<double> mm_per_unit(const machine::State& state) {
    if (state.is(Meaning::millimetre)) return 1.0;
    if (state.is(Meaning::inch)) return mm_per_inch;
    return std::nullopt;
}

namespace {

/// Feet a minute in an inch program, metres a minute in a metric one (common practice, no source).
std::optional<double> metres_per_speed_unit(const machine::State& state) {
    if (state.is(Meaning::millimetre)) return 1.0;
    if (state.is(Meaning::inch)) return 12 * mm_per_inch / 1000;
    return std::nullopt;
}

void set_limit(Spindle& spindle, const machine::State& state, const shop::Machine& lathe) {
    std::optional<double> most;
    if (spindle.which == machine::Spindle::main) most = lathe.max_rpm;
    if (spindle.which == machine::Spindle::second) most = lathe.second_max_rpm;
    if (spindle.which == machine::Spindle::live) most = lathe.live_max_rpm;
    if (state.speed_limit.known() || state.speed_limit.is_assumed()) {
        spindle.limit_rpm = state.speed_limit.number;
        if (most) spindle.limit_rpm = std::min(*spindle.limit_rpm, *most);
        return;
    }
    if (!state.speed_limit.surely_unset()) return;
    spindle.limit_rpm = most;
    spindle.limit_surely_missing = !most;
}

} // namespace

Spindle spindle_of(const machine::State& state, const machine::Settings& settings) {
    Spindle spindle;
    spindle.which = state.spoken_to();
    const machine::Modal& mode = state.of(Group::spindle_mode);
    if (mode.known()) spindle.surface_speed = mode.is(Meaning::surface_speed);
    const bool has_speed = state.speed.known() || state.speed.is_assumed();
    if (spindle.surface_speed == true && has_speed) {
        if (auto metres = metres_per_speed_unit(state))
            spindle.surface_m_per_min = state.speed.number * *metres;
    }
    if (spindle.surface_speed == false && has_speed) spindle.rpm = state.speed.number;
    set_limit(spindle, state, settings.machine);
    const machine::Modal& direction = state.of(Group::spindle_direction);
    if (!direction.may_be(Meaning::spindle_stop))
        spindle.turning = true;
    else if (direction.is(Meaning::spindle_stop))
        spindle.turning = false;
    if (direction.known() && spindle.turning == true)
        spindle.forward = direction.is(Meaning::spindle_forward);
    return spindle;
}

Spindle spindle_during(const machine::BlockView& view) {
    Spindle spindle = spindle_of(view.after, view.settings);
    if (view.reading.motion != machine::MotionKind::none && view.reading.code(Meaning::spindle_stop)) {
        const Spindle before = spindle_of(view.before, view.settings);
        spindle.turning = before.turning;
        spindle.forward = before.forward;
    }
    return spindle;
}

std::optional<double> rpm_at(const Spindle& spindle, double x_radius_mm) {
    if (!spindle.surface_speed) return std::nullopt;
    if (!*spindle.surface_speed) return spindle.rpm;
    if (!spindle.surface_m_per_min) return std::nullopt;
    double radius = std::abs(x_radius_mm), speed = *spindle.surface_m_per_min;
    if (speed <= 0) return 0;
    if (spindle.limit_rpm) {
        // At the centre the speed has no bound of its own.
        if (radius * 2 * std::numbers::pi * *spindle.limit_rpm <= 1000 * speed) return spindle.limit_rpm;
    } else if (!spindle.limit_surely_missing || radius <= 0) {
        return std::nullopt;
    }
    return rpm_for(speed, 2 * radius);
}

Feed feed_of(const machine::State& state, const machine::Settings&) {
    Feed feed;
    const machine::Modal& mode = state.of(Group::feed_mode);
    if (mode.is(Meaning::feed_per_minute)) feed.mode = Feed::Mode::per_minute;
    if (mode.is(Meaning::feed_per_rev)) feed.mode = Feed::Mode::per_rev;
    if (mode.is(Meaning::feed_inverse_time)) feed.mode = Feed::Mode::inverse_time;
    if (!state.feed.known()) return feed;
    // Inverse time is one divided by minutes: a number without a length in it.
    if (feed.mode == Feed::Mode::inverse_time)
        feed.mm = state.feed.number;
    else if (auto unit = mm_per_unit(state))
        feed.mm = state.feed.number * *unit;
    return feed;
}

} // namespace turnwright::motion
