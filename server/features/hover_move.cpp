// The move of a block: from where to where, how far, how long, at what speed.
#include "features/hints.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "features/turned_axis.h"
#include "language/said.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::features {

using motion::Segment;
using motion::SegmentKind;

namespace {

std::string_view kind_title(const machine::Reading& reading) {
    using machine::MotionKind;
    switch (reading.motion) {
    case MotionKind::rapid:
        return said("Rapid");
    case MotionKind::machine_rapid:
        return said("Rapid in the machine datum");
    case MotionKind::feed:
        return said("Feed move");
    case MotionKind::arc:
        return said("Arc");
    case MotionKind::thread:
        return said("Thread");
    case MotionKind::reference:
        return said("Reference return");
    case MotionKind::from_reference:
        return said("Move from the reference point");
    case MotionKind::skip:
        return said("Measuring move");
    default:
        return said("Cycle");
    }
}

std::string segment_point(const motion::Point& point, const machine::State& state,
                          const machine::Settings& settings) {
    return point_text(machine::Value::of(from_mm(point.x_radius_mm, state)),
                      machine::Value::of(from_mm(point.z_mm, state)), settings);
}

/// " C90." of axes that a move names beside X and Z, where they are known.
std::string other_axes(const machine::BlockView& view, const machine::State& state) {
    const machine::Reading& reading = view.reading;
    std::string text;
    const bool chamfer = reading.motion == machine::MotionKind::feed && motion::c_is_chamfer(step_of(view));
    if (!reading.moves_other || chamfer) return text;
    if ((reading.has('C') || reading.has('H')) && state.c.known())
        text += " C" + checks::written(state.c.number);
    if ((reading.has('Y') || reading.has('V')) && state.y.known())
        text += " Y" + checks::written(state.y.number);
    return text;
}

} // namespace

std::string rpm_span(const machine::BlockView& view, const std::vector<Segment>& segments) {
    const motion::Spindle spindle = motion::spindle_during(view);
    if (spindle.turning == false) return {};
    std::optional<double> low, high;
    for (const Segment& segment : segments) {
        if (segment.kind != SegmentKind::feed && segment.kind != SegmentKind::thread) continue;
        motion::BlockPath alone;
        alone.segments = {segment};
        const motion::Totals over = motion::totals_of(alone, view);
        if (!over.min_x_radius_mm) continue;
        std::vector<double> places{*over.min_x_radius_mm, *over.max_x_radius_mm};
        // A move over the centre is fastest there.
        if (places[0] < 0 && places[1] > 0) places.push_back(0);
        for (double x : places) {
            const std::optional<double> rpm = motion::rpm_at(spindle, x);
            if (!rpm) return {};
            low = low ? std::min(*low, *rpm) : *rpm;
            high = high ? std::max(*high, *rpm) : *rpm;
        }
    }
    if (!low) return {};
    if (*high - *low < 0.5) return said(", {:.0f} rpm", *low);
    return said(", {:.0f} to {:.0f} rpm", *low, *high);
}

std::string why_no_time(const machine::BlockView& view, const motion::BlockPath& path) {
    const motion::Spindle spindle = motion::spindle_during(view);
    for (const Segment& segment : path.segments) {
        if (motion::seconds_of(segment, spindle, view.settings.rates())) continue;
        if (spindle.turning == false && segment.feed.mode != motion::Feed::Mode::per_minute)
            return said("no time (the spindle is stopped)");
        return said("time not known (feed or speed is not)");
    }
    return said("time not known");
}

std::string move_text(const Document& document, const BlockAt& block) {
    const machine::Reading& reading = block.reading;
    if (reading.motion == machine::MotionKind::none || !reading.is_read) return {};
    const machine::Modal& motion_before = block.before.of(codes::Group::motion);
    if (reading.motion == machine::MotionKind::unknown_motion && motion_before.why == machine::Why::known)
        return said("How this block moves is not known here.\n\n");
    if (reading.motion == machine::MotionKind::unknown_motion)
        return said("How this block moves is ") + unknown_text(motion_before.why) + ".\n\n";
    const machine::BlockView passing = block.view(document);
    // A contour block shows the move that the cycles make of it.
    machine::Reading own = reading;
    own.in_contour = false;
    const machine::BlockView view{passing.run,    passing.run_index, passing.block, passing.text,
                                  passing.before, passing.after,     own,           passing.settings};
    const motion::BlockPath path = motion::path_of(view, document.analysis());
    if (path.turned && path.segments.empty() && !path.complete) {
        const motion::Totals totals = motion::totals_of(path, view);
        const std::string_view unit =
            length_unit(block.after).empty() ? std::string_view("mm") : length_unit(block.after);
        const std::string length =
            plain(from_mm(totals.cut_mm + totals.rapid_mm, block.after), unit == "in" ? 3 : 2);
        const std::string time = totals.blocks_without_time == 0 && totals.blocks_waiting == 0
                                     ? time_text(totals)
                                     : why_no_time(view, path);
        return said("{} by a distance: {} {}, {}. From where is {}.\n\n", kind_title(reading), length, unit,
                    time, unknown_text(path.why));
    }
    if (path.segments.empty())
        return path.complete ? std::string{}
                             : said("{}: the way is {}.\n\n", kind_title(reading), unknown_text(path.why));
    const motion::Totals totals = motion::totals_of(path, view);
    const machine::State& units = block.after;
    const std::string_view unit = length_unit(units).empty() ? "mm" : length_unit(units);
    std::string text(kind_title(reading));
    const int passes = path.passes;
    if (path.segments.size() == 1 || passes == 0)
        text +=
            said(" from {}{} to {}{}", segment_point(path.segments.front().from, units, document.settings()),
                 other_axes(view, block.before),
                 segment_point(path.segments.back().to, units, document.settings()),
                 other_axes(view, block.after));
    else
        text += said(" of {} {}", passes, passes == 1 ? said("pass") : said("passes"));
    // How fast C turns, and Y goes, at rapid is not told.
    const bool untimed = reading.moves_other && reading.motion == machine::MotionKind::rapid;
    if (untimed && totals.rapid_mm == 0) return text + said("; how long that takes is not counted.\n\n");
    text += fmt::format(": {} {}",
                        plain(from_mm(totals.cut_mm + totals.rapid_mm, units), unit == "in" ? 3 : 2), unit);
    if (totals.blocks_without_time == 0 && totals.blocks_waiting == 0)
        text += fmt::format(", {}", time_text(totals));
    else
        text += ", " + why_no_time(view, path);
    text += rpm_span(view, path.segments);
    // With C or Y it is not in the drawing's plane, but known.
    if (!path.complete && !path.turned) text += said("; part of the way is {}", unknown_text(path.why));
    return text + ".\n\n";
}

} // namespace turnwright::features
