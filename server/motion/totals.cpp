// Sums of a block's moves, and of spans of blocks.
#include "motion/geometry.h"
#include "motion/path.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

using codes::Meaning;

namespace {

void widen(std::optional<double>& least, std::optional<double>& most, double low, double high) {
    least = least ? std::min(*least, low) : low;
    most = most ? std::max(*most, high) : high;
}

/// The spindle's change of speed by this block, at the ramp of the shop file or an assumed one. A ramp that
/// runs while the slides move is counted in full: the control waits for the speed before it cuts.
double ramp_seconds(const machine::BlockView& view) {
    auto ramp = view.settings.rates().spindle_ramp_rpm_per_second;
    if (!ramp || *ramp <= 0) return 0;
    const machine::Parts spindle_parts = machine::part(codes::Group::spindle_direction) |
                                         machine::part(codes::Group::spindle_mode) |
                                         machine::part(machine::Part::speed);
    if (!(view.reading.sets & spindle_parts)) return 0;
    auto speed_of = [&](const machine::State& state) -> std::optional<double> {
        Spindle spindle = spindle_of(state, view.settings);
        // Before anything turned it on a spindle stands.
        if (spindle.turning == false || state.of(codes::Group::spindle_direction).surely_unset()) return 0.0;
        if (spindle.turning != true) return std::nullopt;
        if (spindle.surface_speed == false) return spindle.rpm;
        if (!state.x_radius.known()) return std::nullopt;
        double mm = state.is(Meaning::inch) ? mm_per_inch : 1;
        auto rpm = rpm_at(spindle, state.x_radius.number * mm);
        if (!rpm) return std::nullopt;
        return view.after.is(Meaning::spindle_reverse) && &state == &view.after ? -*rpm : *rpm;
    };
    auto from = speed_of(view.before), to = speed_of(view.after);
    return from && to ? std::abs(*to - *from) / *ramp : 0;
}

/// A call takes the time of what it calls, and a loop or jump repeats or skips blocks: neither is in a sum of
/// blocks as they stand.
bool time_lies_elsewhere(const machine::BlockView& view) {
    using machine::FlowKind;
    switch (view.reading.flow) {
    case FlowKind::none:
        return view.before.is(Meaning::modal_call) && (view.reading.moves_x || view.reading.moves_z);
    case FlowKind::modal_call:
    case FlowKind::modal_call_off:
    case FlowKind::program_return:
    case FlowKind::program_end:
        return false;
    default:
        return true;
    }
}

/// Of the C axis from one hole to the next, of a lathe of middle size: common practice, no source.
constexpr double usual_turn_seconds = 0.5;

bool goes_by_turns(const Segment& segment) {
    return segment.kind == SegmentKind::thread ||
           (segment.kind == SegmentKind::feed && segment.feed.mode == Feed::Mode::per_rev);
}

bool rests_on_assumed_modes(const machine::State& state) {
    for (codes::Group group : {codes::Group::units, codes::Group::feed_mode, codes::Group::spindle_mode})
        if (state.of(group).is_assumed()) return true;
    return state.of(codes::Group::spindle_direction).is_assumed() || state.speed.is_assumed() ||
           (state.is(codes::Meaning::surface_speed) && state.speed_limit.is_assumed());
}

} // namespace

Totals& Totals::operator+=(const Totals& other) {
    cut_seconds += other.cut_seconds;
    rapid_seconds += other.rapid_seconds;
    dwell_seconds += other.dwell_seconds;
    change_seconds += other.change_seconds;
    cut_mm += other.cut_mm;
    rapid_mm += other.rapid_mm;
    blocks_without_time += other.blocks_without_time;
    about = about || other.about;
    blocks_by_assumed += other.blocks_by_assumed;
    blocks_waiting += other.blocks_waiting;
    if (other.min_x_radius_mm)
        widen(min_x_radius_mm, max_x_radius_mm, *other.min_x_radius_mm, *other.max_x_radius_mm);
    if (other.min_z_mm) widen(min_z_mm, max_z_mm, *other.min_z_mm, *other.max_z_mm);
    return *this;
}

Spindle spindle_in_time(const BlockPath& path, const machine::BlockView& view) {
    Spindle spindle = spindle_during(view);
    if (!view.settings.assumed_way_home_seconds ||
        std::none_of(path.segments.begin(), path.segments.end(), goes_by_turns))
        return spindle;
    if (spindle.turning == false) spindle.turning = true;
    if (!spindle.limit_rpm) spindle.limit_surely_missing = true;
    return spindle;
}

Totals totals_of(const BlockPath& path, const machine::BlockView& view) {
    Totals totals;
    if (view.reading.in_contour || !view.reading.is_read) return totals;
    const shop::Machine& machine = view.settings.rates();
    const Spindle spindle = spindle_in_time(path, view);
    const Spindle known = spindle_during(view);
    const bool waits = spindle.turning != known.turning;
    const bool no_limit =
        spindle.surface_speed == true && spindle.limit_surely_missing != known.limit_surely_missing;
    const bool way_home = path.is_way_home && view.settings.assumed_way_home_seconds;
    const bool turns = path.turns_to_hole && view.settings.assumed_rates;
    const bool turned = path.turned && path.turned->seconds;
    bool timed = path.complete || way_home || turns || turned;
    // By distances alone it is as long from wherever it begins.
    std::optional<Segment> by_distance;
    if (way_home && view.reading.motion == machine::MotionKind::rapid)
        by_distance = way_by_distance(
            {view.before, view.after, view.reading, view.settings, {view.run_index, view.block}}, view.run);
    const auto rapid_seconds =
        by_distance ? seconds_of(*by_distance, spindle, machine) : view.settings.assumed_way_home_seconds;
    if (way_home) totals.rapid_seconds += rapid_seconds.value_or(*view.settings.assumed_way_home_seconds);
    if (by_distance) totals.rapid_mm += by_distance->length_mm();
    if (turns) totals.rapid_seconds += usual_turn_seconds;
    bool by_assumed = !path.segments.empty() && rests_on_assumed_modes(view.after);
    for (const Segment& segment : path.segments) {
        auto seconds = turned ? std::optional(0.0) : seconds_of(segment, spindle, machine);
        if (!seconds) timed = false;
        bool is_rapid = segment.kind == SegmentKind::rapid, is_dwell = segment.kind == SegmentKind::dwell;
        by_assumed = by_assumed || (is_rapid && view.settings.assumed_rates);
        (is_dwell   ? totals.dwell_seconds
         : is_rapid ? totals.rapid_seconds
                    : totals.cut_seconds) += seconds.value_or(0);
        if (is_dwell) continue;
        if (!path.turned) (is_rapid ? totals.rapid_mm : totals.cut_mm) += segment.length_mm();
        Extent extent = extent_of(segment);
        widen(totals.min_x_radius_mm, totals.max_x_radius_mm, extent.x_min, extent.x_max);
        widen(totals.min_z_mm, totals.max_z_mm, extent.z_min, extent.z_max);
    }
    if (path.turned) totals.cut_mm += path.turned->length_mm;
    if (turned) totals.cut_seconds += *path.turned->seconds;
    totals.blocks_without_time = timed && !time_lies_elsewhere(view) ? 0 : 1;
    // The same station called again, or an offset only, turns no turret.
    bool new_tool =
        view.after.tool.known() && view.reading.has('T') && !(view.before.tool == view.after.tool);
    if (new_tool && machine.tool_change_seconds) totals.change_seconds += *machine.tool_change_seconds;
    by_assumed = by_assumed || (new_tool && view.settings.assumed_rates);
    const double ramp = ramp_seconds(view);
    by_assumed = by_assumed || (ramp > 0 && !view.settings.machine.spindle_ramp_rpm_per_second);
    totals.blocks_by_assumed = by_assumed ? 1 : 0;
    totals.blocks_waiting = waits && timed ? 1 : 0;
    totals.about = by_assumed || (way_home && (!by_distance || view.settings.assumed_rates)) || turns ||
                   waits || no_limit || (turned && path.turned->by_usual_reading);
    totals.change_seconds += ramp;
    return totals;
}

} // namespace turnwright::motion
