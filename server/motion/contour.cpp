// Contour cycles: the blocks from P to Q read from the cycle's own start, and the cycle around them.
#include "motion/cycles.h"
#include "motion/work.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

using codes::Meaning;
using machine::BlockPlace;
using machine::Reading;
using machine::Value;
using machine::Why;

namespace {

std::optional<std::int32_t> label_of(const Step& step, char letter, BlockPath& path) {
    const machine::Word* word = step.reading.word(letter);
    if (!word) {
        path.troubles.push_back({Trouble::missing_word, step.place, 0, 0, letter});
        leave_open(path, Why::never_set);
        return std::nullopt;
    }
    if (!word->value.known()) {
        leave_open(path, word->value.why);
        return std::nullopt;
    }
    return static_cast<std::int32_t>(std::clamp(word->value.number, -1.0, 2e9));
}

struct ContourRead {
    std::vector<Segment> segments; ///< With corners cut
    std::vector<Side> sides;       ///< Of each segment
    bool first_names_both = false;
    Why why = Why::known;
};

void read_contour(const Step& step, const machine::Reader& reader, BlockPlace from, BlockPlace to,
                  BlockPath& path, ContourRead& contour) {
    machine::State entering = step.after;
    entering.x_radius = step.before.x_radius;
    entering.z = step.before.z;
    entering.contour = {};
    entering.reachable = true;
    entering.ended = false;
    std::vector<Move> moves;
    std::vector<Side> sides;
    bool first = true;
    reader.visit_from(from, to, entering, [&](const machine::BlockView& view) {
        const Reading& reading = view.reading;
        BlockPlace place{view.run_index, view.block};
        if (reading.flow != machine::FlowKind::none) contour.why = Why::other_program;
        Move move = plain_move({view.before, view.after, reading, view.settings, place});
        bool is_cycle = reading.motion != machine::MotionKind::none && !move.moves;
        if (is_cycle)
            contour.why =
                reading.motion == machine::MotionKind::unknown_motion ? Why::joined : Why::machine_specific;
        if (!move.moves) return;
        if (first) contour.first_names_both = reading.moves_x && reading.moves_z;
        first = false;
        if (move.why != Why::known && contour.why == Why::known) contour.why = move.why;
        move.troubles.clear(); // Told at their own block.
        moves.push_back(std::move(move));
        sides.push_back(side_of(view.after).value_or(Side::off));
    });
    Chain chain = cut_corners(moves);
    for (const std::size_t owner : chain.owner) contour.sides.push_back(sides[owner]);
    contour.segments = std::move(chain.segments);
    if (contour.why != Why::known) leave_open(path, contour.why);
}

/// The allowance on an axis: U as X is written, W along Z.
double allowance(const Step& step, char letter, double mm, BlockPath& path) {
    const machine::Word* word = step.reading.word(letter);
    if (!word) return 0;
    if (Why why = first_unknown({word->value}); why != Why::known) {
        leave_open(path, why);
        return 0;
    }
    return word->value.number * mm * (letter == 'U' ? half_of_x(step.settings) : 1);
}

/// A length from the cycle's own line or its first line. nullopt and an open path when it is nowhere.
struct CycleWord {
    const Reading& reading;
    char letter;
};
std::optional<double> number_of(std::initializer_list<CycleWord> places, BlockPath& path) {
    for (const CycleWord& place : places) {
        const machine::Word* word = place.reading.word(place.letter);
        if (!word) continue;
        Why why = first_unknown({word->value});
        if (why == Why::known) return word->value.number;
        leave_open(path, why);
        return std::nullopt;
    }
    return std::nullopt;
}

void add_roughing(const Step& step, const machine::Reader& reader, double mm, Point start,
                  const ContourRead& contour, const ContourShape& shape, BlockPath& path) {
    const Reading& reading = step.reading;
    Roughing cycle;
    cycle.facing = reading.motion_meaning == Meaning::rough_facing;
    cycle.start = start;
    cycle.approach = contour.segments.front();
    cycle.contour.assign(contour.segments.begin() + 1, contour.segments.end());
    cycle.pockets = contour.first_names_both;
    cycle.allowance = {allowance(step, 'U', mm, path), allowance(step, 'W', mm, path)};
    cycle.feed = feed_of(step.after, step.settings);
    cycle.retract_mm = assumed_clearance_mm;
    std::optional<double> depth;
    if (reading.has('D')) {
        depth = number_of({{reading, 'D'}}, path);
        if (auto retract = number_of({{reading, 'R'}}, path)) cycle.retract_mm = std::abs(*retract) * mm;
        // Allowances for a cut of its own before the finish: controls differ in what they do with them.
        if (reading.has('I') || reading.has('K')) leave_open(path, Why::machine_specific);
    } else if (auto first = first_line(step, reader)) {
        depth = number_of({{*first, cycle.facing ? 'W' : 'U'}}, path);
        if (auto retract = number_of({{*first, 'R'}}, path)) cycle.retract_mm = std::abs(*retract) * mm;
    }
    bool along_cut = cycle.facing ? shape.monotonic_x : shape.monotonic_z;
    bool along_step = cycle.facing ? shape.monotonic_z : shape.monotonic_x;
    if (!along_cut || (!along_step && !cycle.pockets))
        path.troubles.push_back({Trouble::contour_not_monotonic, step.place, 0, 0, along_cut ? 'X' : 'Z'});
    Left left = left_by(cycle.allowance, cycle.contour, tool_is_right(cycle));
    path.least_left_mm = left.least;
    path.most_left_mm = left.most;
    // The depth of an earlier cycle, or a parameter of the control, is in force.
    if (!depth) return leave_open(path, Why::never_set);
    cycle.depth_mm = std::abs(*depth) * mm;
    take(path, rough(cycle), step.place);
}

void add_pattern(const Step& step, const machine::Reader& reader, double mm, Point start,
                 const ContourRead& contour, BlockPath& path) {
    const Reading& reading = step.reading;
    PatternRepeat cycle;
    cycle.start = start;
    cycle.approach = contour.segments.front();
    cycle.contour.assign(contour.segments.begin() + 1, contour.segments.end());
    cycle.allowance = {allowance(step, 'U', mm, path), allowance(step, 'W', mm, path)};
    cycle.feed = feed_of(step.after, step.settings);
    std::optional<double> passes;
    bool one_line = reading.has('I') || reading.has('K') || reading.has('D') || reading.has('R');
    if (one_line) {
        cycle.relief = {number_of({{reading, 'I'}}, path).value_or(0) * mm,
                        number_of({{reading, 'K'}}, path).value_or(0) * mm};
        passes = number_of({{reading, 'D'}, {reading, 'R'}}, path);
    } else if (auto first = first_line(step, reader)) {
        cycle.relief = {number_of({{*first, 'U'}}, path).value_or(0) * mm,
                        number_of({{*first, 'W'}}, path).value_or(0) * mm};
        passes = number_of({{*first, 'R'}}, path);
    }
    if (!passes) return leave_open(path, Why::never_set);
    cycle.passes = static_cast<int>(std::clamp(std::round(*passes), 0.0, 1e6));
    take(path, repeat_pattern(cycle), step.place);
}

/// The way back is the cycle's own: what the contour switched on is left on it.
void add_sides(const ContourRead& contour, BlockPath& path) {
    std::size_t next = 1;
    for (const Segment& segment : path.segments)
        path.sides.push_back(segment.role == SegmentRole::finish         ? contour.sides[next++]
                             : segment.role == SegmentRole::cycle_infeed ? contour.sides.front()
                                                                         : Side::off);
}

} // namespace

void add_contour_cycle(const Step& step, const machine::Reader& reader, BlockPath& path) {
    auto p = label_of(step, 'P', path), q = label_of(step, 'Q', path);
    if (!p || !q) return;
    const machine::ContourPlace stands =
        reader.contour(step.place, *p, *q, step.reading.motion_meaning == Meaning::finish_cycle);
    if (!stands.blocks) {
        path.troubles.push_back({Trouble::contour_missing, step.place, static_cast<double>(*p),
                                 static_cast<double>(*q), stands.has_first ? 'Q' : 'P'});
        return leave_open(path, Why::never_set);
    }
    Why why = first_unknown({step.before.x_radius, step.before.z});
    if (why != Why::known) return leave_open(path, why);
    double mm = *mm_per_unit(step.after);
    Point start{step.before.x_radius.number * mm, step.before.z.number * mm};
    ContourRead contour;
    read_contour(step, reader, stands.blocks->first, stands.blocks->second, path, contour);
    if (contour.segments.size() < 2 || contour.segments.front().is_arc) {
        if (path.complete) path.troubles.push_back({Trouble::contour_starts_wrong, step.place, 0, 0, 'P'});
        return leave_open(path, contour.why);
    }
    add_cycle_work(4 * contour.segments.size());
    auto surface = std::span<const Segment>(contour.segments).subspan(1);
    ContourShape shape = shape_of(surface);
    path.monotonic_x = shape.monotonic_x;
    path.monotonic_z = shape.monotonic_z;
    if (shape.crosses_itself)
        path.troubles.push_back({Trouble::contour_crosses_itself, step.place, shape.crossing.x_radius_mm,
                                 shape.crossing.z_mm, 0});
    // Half a contour would show cuts that no one wrote.
    if (contour.why != Why::known) return;
    switch (step.reading.motion_meaning) {
    case Meaning::finish_cycle:
        take(path, finish(start, contour.segments.front(), surface), step.place);
        add_sides(contour, path);
        break;
    case Meaning::pattern_repeat:
        add_pattern(step, reader, mm, start, contour, path);
        break;
    default:
        add_roughing(step, reader, mm, start, contour, shape, path);
    }
}

} // namespace turnwright::motion
