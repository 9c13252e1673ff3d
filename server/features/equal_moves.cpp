#include "features/equal_moves.h"
#include "features/turned_axis.h"

#include <algorithm>
#include <cmath>

namespace turnwright::features {

using motion::BlockPath;

namespace {

/// What is compared of one block.
struct Moves {
    BlockPath path;
    bool cycle = false; ///< Made of passes whose count may change by rounding
    bool drills = false;
};

std::vector<Moves> moves_of_run(const Document& document, std::size_t run) {
    std::vector<Moves> moves(document.run(run).blocks.size());
    // What is assumed of the one text may not be of the other.
    const machine::Reader reader = machine::Reader(document.analysis()).of_stated();
    reader.visit(run, [&](const machine::BlockView& view) {
        if (view.reading.motion == machine::MotionKind::none && !view.reading.code(codes::Meaning::dwell))
            return;
        moves[view.block] = {motion::path_of(view, reader), machine::is_cycle(view.reading.motion),
                             view.reading.motion == machine::MotionKind::drill_cycle};
        // Degrees are the same in any unit.
        if (turns_c_alone(step_of(view)) && view.after.feed.known())
            for (motion::Segment& segment : moves[view.block].path.segments)
                if (segment.feed.mm) segment.feed.mm = view.after.feed.number;
    });
    return moves;
}

bool near(double a, double b, double tolerance) {
    return std::abs(a - b) <= tolerance;
}
bool near(const motion::Point& a, const motion::Point& b, double tolerance) {
    return near(a.x_radius_mm, b.x_radius_mm, tolerance) && near(a.z_mm, b.z_mm, tolerance);
}

bool same_feed(const motion::Feed& a, const motion::Feed& b) {
    if (a.mode != b.mode || a.mm.has_value() != b.mm.has_value()) return false;
    return !a.mm || near(*a.mm, *b.mm, std::max(0.0005, 0.002 * std::abs(*a.mm)));
}

bool same_segment(const motion::Segment& a, const motion::Segment& b, double tolerance) {
    if (a.kind != b.kind || a.is_arc != b.is_arc) return false;
    if (!near(a.dwell_seconds, b.dwell_seconds, 0.0005) || !near(a.lead_mm, b.lead_mm, tolerance))
        return false;
    if (!near(a.from, b.from, tolerance) || !near(a.to, b.to, tolerance)) return false;
    // A centre is worked out from rounded ends: it may lie a few increments off while the arc does not.
    if (a.is_arc && (a.sweep > 0) != (b.sweep > 0)) return false;
    return a.kind != motion::SegmentKind::feed || same_feed(a.feed, b.feed);
}

struct Extent {
    motion::Point least{1e9, 1e9}, most{-1e9, -1e9};
    explicit Extent(const BlockPath& path) {
        for (const motion::Segment& segment : path.segments)
            for (const motion::Point& point : {segment.from, segment.to}) {
                least = {std::min(least.x_radius_mm, point.x_radius_mm), std::min(least.z_mm, point.z_mm)};
                most = {std::max(most.x_radius_mm, point.x_radius_mm), std::max(most.z_mm, point.z_mm)};
            }
    }
};

bool same_moves(const Moves& a, const Moves& b, double tolerance) {
    if (a.path.complete != b.path.complete || a.path.segments.empty() != b.path.segments.empty())
        return false;
    if (a.path.segments.empty()) return true;
    if (a.cycle || b.cycle) {
        if (a.cycle != b.cycle) return false;
        // How far a drill comes by rapid does not show in where it reaches.
        if (a.drills && !near(a.path.segments.front().to, b.path.segments.front().to, 4 * tolerance))
            return false;
        const Extent one(a.path), other(b.path);
        // A depth of cut is rounded once a pass; what counts is where the cycle reaches and ends.
        return near(one.least, other.least, 4 * tolerance) && near(one.most, other.most, 4 * tolerance) &&
               near(a.path.segments.back().to, b.path.segments.back().to, tolerance);
    }
    if (a.path.segments.size() != b.path.segments.size()) return false;
    for (std::size_t i = 0; i < a.path.segments.size(); ++i)
        if (!same_segment(a.path.segments[i], b.path.segments[i], tolerance)) return false;
    return true;
}

} // namespace

std::shared_ptr<const shop::Shop> shop_with(const Document& document, std::optional<codes::System> system,
                                            std::optional<shop::XReading> x,
                                            std::optional<codes::Meaning> units) {
    shop::Shop copy = document.shop();
    for (std::vector<shop::Machine>* machines : {&copy.machines, &copy.for_job})
        for (shop::Machine& machine : *machines) {
            if (system) machine.system = system;
            if (units) machine.units = units;
            if (!x) continue;
            machine.x = *x;
            machine.x_told = true;
        }
    return std::make_shared<const shop::Shop>(std::move(copy));
}

double tolerance_of(const Document& a, const Document& b) {
    const auto least = [](const shop::Machine& machine) {
        return std::max(machine.least_increment_mm, machine.least_increment_inch * motion::mm_per_inch);
    };
    return std::max(least(a.settings().machine), least(b.settings().machine)) * 1.001;
}

namespace {

/// Calls `differs` with every line whose moves differ, until it returns false.
void each_difference(const Document& before, const Document& after,
                     const std::function<bool(std::size_t)>& differs) {
    if (before.buffer().line_count() != after.buffer().line_count()) {
        differs(0);
        return;
    }
    const double tolerance = tolerance_of(before, after);
    std::vector<Moves> other;
    std::size_t other_run = after.forest().size();
    std::size_t line = 0;
    for (std::size_t run = 0; run < before.forest().size(); ++run) {
        for (const Moves& moves : moves_of_run(before, run)) {
            const machine::BlockPlace place = after.place_of_line(line);
            if (place.run != other_run) {
                other_run = place.run;
                other = moves_of_run(after, other_run);
            }
            if (!same_moves(moves, other[place.block], tolerance) && !differs(line)) return;
            ++line;
        }
    }
}

} // namespace

std::optional<std::size_t> first_difference(const Document& before, const Document& after) {
    std::optional<std::size_t> first;
    each_difference(before, after, [&](std::size_t line) {
        first = line;
        return false;
    });
    return first;
}

std::vector<std::size_t> differences(const Document& before, const Document& after) {
    std::vector<std::size_t> lines;
    each_difference(before, after, [&](std::size_t line) {
        lines.push_back(line);
        return true;
    });
    return lines;
}

bool same_segments(std::span<const motion::Segment> a, std::span<const motion::Segment> b,
                   double tolerance_mm) {
    const auto next = [&](std::span<const motion::Segment>& row) {
        while (!row.empty() && row.front().kind != motion::SegmentKind::dwell && !row.front().is_arc &&
               near(row.front().from, row.front().to, tolerance_mm))
            row = row.subspan(1);
        return !row.empty();
    };
    while (next(a) && next(b)) {
        if (!same_segment(a.front(), b.front(), tolerance_mm)) return false;
        a = a.subspan(1);
        b = b.subspan(1);
    }
    return !next(a) && !next(b);
}

std::string edited(const Document& document, const std::vector<TextEdit>& edits) {
    std::string text;
    std::vector<TextEdit> sorted = edits;
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const TextEdit& a, const TextEdit& b) { return a.range.begin < b.range.begin; });
    Position from;
    for (const TextEdit& edit : sorted) {
        text += document.buffer().slice({from, edit.range.begin});
        text += edit.text;
        from = edit.range.end;
    }
    return text + document.buffer().slice({from, document.buffer().end()});
}

} // namespace turnwright::features
