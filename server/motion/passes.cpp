// Pecks, thread passes, single cycles and holes.
#include "motion/cycles.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {
namespace {

using Kind = SegmentKind;
using Role = SegmentRole;

double sign_of(double value) {
    return value < 0 ? -1 : 1;
}

} // namespace

// --- Pecking on the face and into the side ---------------------------------------------------------------

namespace {

/// One column in the frame: cuts toward smaller Z at the X where the tool stands.
void peck_column(const Peck& cycle, double top, double bottom, Unrolled& out) {
    double x = out.at.x_radius_mm, depth = top - bottom;
    double peck = cycle.peck_mm > 0 ? cycle.peck_mm : depth;
    for (double done = 0; done < depth - same_point_mm;) {
        done = std::min(depth, done + peck);
        out.add(Kind::feed, Role::cycle_pass, {x, top - done}, cycle.feed);
        if (done < depth - same_point_mm)
            out.add(Kind::rapid, Role::cycle_retract, {x, std::min(top, top - done + cycle.retract_mm)});
    }
}

} // namespace

Unrolled peck(const Peck& cycle) {
    Frame frame;
    frame.swap = cycle.side;
    Point start = frame.into(cycle.start), end = frame.into(cycle.end);
    frame.x_sign = end.x_radius_mm > start.x_radius_mm ? -1 : 1;
    frame.z_sign = end.z_mm > start.z_mm ? -1 : 1;
    start = frame.into(cycle.start);
    end = frame.into(cycle.end);
    Unrolled out;
    out.at = start;
    double width = start.x_radius_mm - end.x_radius_mm, depth = start.z_mm - end.z_mm;
    bool columns = width > same_point_mm && cycle.step_mm > 0;
    double count = (columns ? width / cycle.step_mm : 0) + 1;
    double pecks = cycle.peck_mm > 0 ? depth / cycle.peck_mm : 1;
    if (!(count * pecks <= most_passes)) {
        out.trouble(Trouble::too_many_passes, count * pecks, most_passes);
        return out;
    }
    for (double x = start.x_radius_mm;;) {
        out.add(Kind::rapid, Role::cycle_infeed, {x, start.z_mm});
        peck_column(cycle, start.z_mm, end.z_mm, out);
        double relief = columns ? cycle.relief_mm : 0;
        out.add(Kind::rapid, Role::cycle_retract, {x + relief, out.at.z_mm});
        out.add(Kind::rapid, Role::cycle_retract, {out.at.x_radius_mm, start.z_mm});
        if (!columns || x <= end.x_radius_mm + same_point_mm) break;
        x = std::max(end.x_radius_mm, x - cycle.step_mm);
    }
    out.add(Kind::rapid, Role::cycle_return, start);
    for (Segment& segment : out.segments) segment = frame.back(segment);
    return out;
}

// --- Threads -------------------------------------------------------------------------------------------

// The chip's section is a triangle, so equal chips make the depth after n passes the first depth times the
// root of n. Where that step falls below the least depth, the least depth is the step.
std::vector<double> thread_depths(const ThreadPasses& cycle, Unrolled& out) {
    std::vector<double> depths;
    double rough_height = cycle.height_mm - cycle.finish_mm, last = 0;
    if (cycle.first_depth_mm <= 0) {
        out.trouble(Trouble::zero_depth, cycle.first_depth_mm, 0, 'Q');
        return depths;
    }
    for (int pass = 1; last < rough_height - same_point_mm; ++pass) {
        if (pass > most_passes) {
            out.trouble(Trouble::too_many_passes, pass, most_passes);
            return {};
        }
        double depth = cycle.first_depth_mm * std::sqrt(static_cast<double>(pass));
        if (pass > 1 && depth - last < cycle.least_depth_mm) depth = last + cycle.least_depth_mm;
        last = std::min(depth, rough_height);
        depths.push_back(last);
    }
    int finishing = std::min(std::max(cycle.finish_passes, cycle.finish_mm > 0 ? 1 : 0), 99);
    for (int i = 0; i < finishing; ++i) depths.push_back(cycle.height_mm);
    return depths;
}

namespace {

void add_thread(Unrolled& out, Role role, Point to, double lead) {
    std::size_t before = out.segments.size();
    out.add(Kind::thread, role, to);
    if (out.segments.size() > before) out.segments.back().lead_mm = lead;
}

} // namespace

Unrolled thread(const ThreadPasses& cycle) {
    Unrolled out;
    out.at = cycle.start;
    if (cycle.lead_mm <= 0) out.trouble(Trouble::zero_lead, cycle.lead_mm, 0, 'F');
    if (cycle.height_mm <= 0) {
        out.trouble(Trouble::zero_depth, cycle.height_mm, 0, 'P');
        return out;
    }
    double into = sign_of(cycle.end.x_radius_mm - cycle.start.x_radius_mm);
    double along = sign_of(cycle.end.z_mm - cycle.start.z_mm);
    double length = std::abs(cycle.end.z_mm - cycle.start.z_mm);
    double run_out = std::min(cycle.run_out_leads * cycle.lead_mm, length);
    double flank = std::tan(cycle.angle_deg / 2 * pi / 180);
    // A tool that starts nearer than the crest would cut a full-depth thread at once.
    double crest_at_start = cycle.end.x_radius_mm + cycle.taper_mm - into * cycle.height_mm;
    if ((crest_at_start - cycle.start.x_radius_mm) * into < -same_point_mm)
        out.trouble(Trouble::pass_outside_contour, cycle.start.x_radius_mm, crest_at_start, 'X');
    for (double depth : thread_depths(cycle, out)) {
        double above = into * (depth - cycle.height_mm); // from the root, on radius
        // Stepping in along one flank moves the start toward the end by what the flank leans.
        double start_z = cycle.start.z_mm + along * depth * flank;
        double x_from = cycle.end.x_radius_mm + cycle.taper_mm + above, x_to = cycle.end.x_radius_mm + above;
        double share = length > 0 ? 1 - run_out / length : 1;
        out.add(Kind::rapid, Role::cycle_infeed, {cycle.start.x_radius_mm, start_z});
        out.add(Kind::rapid, Role::cycle_infeed, {x_from, start_z});
        Point pull_out{x_from + (x_to - x_from) * share, cycle.end.z_mm - along * run_out};
        add_thread(out, Role::cycle_pass, pull_out, cycle.lead_mm);
        // The run-out leaves at 45 degrees, no further than the start's X.
        double way_out = std::min(run_out, std::abs(cycle.start.x_radius_mm - pull_out.x_radius_mm));
        Point gone = pull_out + Point{-into * way_out, along * way_out};
        if (run_out > 0) add_thread(out, Role::cycle_retract, gone, cycle.lead_mm);
        out.add(Kind::rapid, Role::cycle_retract, {cycle.start.x_radius_mm, out.at.z_mm});
        out.add(Kind::rapid, Role::cycle_return, cycle.start);
    }
    return out;
}

// --- Single cycles -------------------------------------------------------------------------------------

Unrolled single_pass(const SinglePass& cycle) {
    Unrolled out;
    out.at = cycle.start;
    Point start = cycle.start, end = cycle.end;
    if (cycle.kind == SinglePass::Kind::facing) {
        out.add(Kind::rapid, Role::cycle_infeed, {start.x_radius_mm, end.z_mm + cycle.taper_mm});
        out.add(Kind::feed, Role::cycle_pass, end, cycle.feed);
        out.add(Kind::feed, Role::cycle_retract, {end.x_radius_mm, start.z_mm}, cycle.feed);
    } else {
        bool threading = cycle.kind == SinglePass::Kind::threading;
        out.add(Kind::rapid, Role::cycle_infeed, {end.x_radius_mm + cycle.taper_mm, start.z_mm});
        if (threading)
            add_thread(out, Role::cycle_pass, end, cycle.lead_mm);
        else
            out.add(Kind::feed, Role::cycle_pass, end, cycle.feed);
        out.add(threading ? Kind::rapid : Kind::feed, Role::cycle_retract, {start.x_radius_mm, end.z_mm},
                cycle.feed);
    }
    out.add(Kind::rapid, Role::cycle_return, start);
    return out;
}

// --- Holes ---------------------------------------------------------------------------------------------

Unrolled drill(const Hole& cycle) {
    Frame frame;
    frame.swap = cycle.side;
    Point start = frame.into(cycle.start), place = frame.into(cycle.place);
    frame.z_sign = place.z_mm > start.z_mm ? -1 : 1;
    start = frame.into(cycle.start);
    place = frame.into(cycle.place);
    double level = cycle.level_mm * frame.z_sign, bottom = place.z_mm, x = place.x_radius_mm;
    Unrolled out;
    out.at = start;
    double depth = level - bottom;
    double peck = cycle.peck_mm > 0 ? cycle.peck_mm : std::max(depth, 0.0);
    if (peck > 0 && !(depth / peck <= most_passes)) {
        out.trouble(Trouble::too_many_passes, depth / peck, most_passes, 'Q');
        peck = depth;
    }
    out.add(Kind::rapid, Role::cycle_infeed, {x, start.z_mm});
    out.add(Kind::rapid, Role::cycle_infeed, {x, level});
    for (double done = 0; done < depth - same_point_mm;) {
        double next = std::min(depth, done + peck);
        if (done > 0) {
            // Out to the R level to clear the chips, and back to just above the last depth.
            out.add(Kind::rapid, Role::cycle_retract, {x, level});
            out.add(Kind::rapid, Role::cycle_infeed, {x, level - std::max(0.0, done - assumed_clearance_mm)});
        }
        out.add(Kind::feed, Role::cycle_pass, {x, level - next}, cycle.feed);
        done = next;
    }
    if (cycle.dwell_seconds > 0) {
        Segment dwell = line(out.at, out.at);
        dwell.kind = Kind::dwell;
        dwell.dwell_seconds = cycle.dwell_seconds;
        out.segments.push_back(dwell);
    }
    out.add(cycle.feed_out ? Kind::feed : Kind::rapid, Role::cycle_retract, {x, level}, cycle.feed);
    if (!cycle.return_to_level) out.add(Kind::rapid, Role::cycle_return, {x, start.z_mm});
    for (Segment& segment : out.segments) segment = frame.back(segment);
    return out;
}

} // namespace turnwright::motion
