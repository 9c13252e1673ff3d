// From the words of a cycle's block, and of its first line where it has two, to the cycle's plain inputs.
#include "motion/cycles.h"
#include "motion/work.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

using codes::Meaning;
using machine::MotionKind;
using machine::Reading;
using machine::Value;
using machine::Why;

void take(BlockPath& path, Unrolled unrolled, machine::BlockPlace place) {
    if (unrolled.cut_short) leave_open(path, Why::cut_short);
    add_cycle_work(unrolled.segments.size());
    const int passes = unrolled.passes > 0
                           ? unrolled.passes
                           : static_cast<int>(std::count_if(
                                 unrolled.segments.begin(), unrolled.segments.end(),
                                 [](const Segment& s) { return s.role == SegmentRole::cycle_pass; }));
    path.passes += passes;
    if (path.segments.empty())
        path.segments = std::move(unrolled.segments);
    else
        path.segments.insert(path.segments.end(), unrolled.segments.begin(), unrolled.segments.end());
    for (const Unrolled::Finding& finding : unrolled.troubles) {
        path.troubles.push_back({finding.trouble, place, finding.found, finding.wanted, finding.letter});
        if (finding.trouble == Trouble::too_many_passes) leave_open(path, Why::cut_short);
    }
}

namespace {

bool has_cycle_code(std::span<const syntax::Item> items) {
    return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
        return item.is_word() && item.letter == 'G' && item.value >= 70 && item.value < 79;
    });
}

} // namespace

bool is_first_line(const Reading& reading) {
    switch (reading.motion) {
    case MotionKind::contour_cycle:
        return reading.motion_meaning != Meaning::finish_cycle && !reading.has('P') && !reading.has('Q');
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return !reading.moves_x && !reading.moves_z;
    default:
        return false;
    }
}

std::optional<Reading> first_line(const Step& step, const machine::Reader& reader) {
    // The two lines stand together; notes and blank lines may come between. What the line gives stays in
    // force for later cycles of the same code (common practice, no source), so that the second side needs
    // none.
    constexpr int lines_between = 16, most_lines = 400;
    const bool is_far = step.reading.motion != MotionKind::peck_cycle;
    machine::BlockPlace place = step.place;
    for (int i = 0; i < (is_far ? most_lines : lines_between); ++i) {
        const auto above = reader.neighbour(place, false);
        if (!above) return std::nullopt;
        place = *above;
        const syntax::Run& run = reader.line(place);
        const auto items = run.items_of(run.blocks[place.block]);
        if (items.empty()) continue;
        if (i >= lines_between && !has_cycle_code(items)) continue;
        machine::State state = step.before;
        Reading reading;
        machine::interpret(run, place.block, step.settings, state, reading);
        bool same_code =
            reading.motion_meaning == step.reading.motion_meaning && reading.motion == step.reading.motion;
        if (same_code && is_first_line(reading)) return reading;
    }
    return std::nullopt;
}

namespace {

/// A cycle's words as mm; what is not known is told to the path once.
struct Words {
    const Step& step;
    double mm;
    BlockPath& path;

    /// nullopt: not written, or not known (then the path is left open).
    std::optional<double> number(const Reading& reading, char letter) {
        const machine::Word* word = reading.word(letter);
        if (!word) return std::nullopt;
        Why why = first_unknown({word->value});
        if (why == Why::known) return word->value.number;
        leave_open(path, why);
        return std::nullopt;
    }
    std::optional<double> length(const Reading& reading, char letter) {
        auto value = number(reading, letter);
        if (value) *value *= mm;
        return value;
    }
    std::optional<double> length(char letter) { return length(step.reading, letter); }
    double length_or(char letter, double otherwise) { return length(letter).value_or(otherwise); }
    void trouble(Trouble trouble, char letter, double found = 0, double wanted = 0) {
        path.troubles.push_back({trouble, step.place, found, wanted, letter});
    }
    Feed feed() const { return feed_of(step.after, step.settings); }
};

std::optional<Point> point(const Value& x, const Value& z, double mm, BlockPath& path) {
    Why why = first_unknown({x, z});
    if (why != Why::known) {
        leave_open(path, why);
        return std::nullopt;
    }
    return Point{x.number * mm, z.number * mm};
}

void add_peck(Words& words, const machine::Reader& reader, Point start, Point end) {
    const Reading& reading = words.step.reading;
    Peck cycle;
    cycle.side = reading.motion_meaning == Meaning::groove_side;
    cycle.start = start;
    cycle.end = end;
    cycle.feed = words.feed();
    std::optional<double> step_x = reading.has('P') ? words.length('P') : words.length('I');
    std::optional<double> step_z = reading.has('Q') ? words.length('Q') : words.length('K');
    auto into = cycle.side ? step_x : step_z, sideways = cycle.side ? step_z : step_x;
    char into_letter = cycle.side ? 'P' : 'Q', side_letter = cycle.side ? 'Q' : 'P';
    if (into && *into == 0) words.trouble(Trouble::zero_depth, into_letter);
    double width = cycle.side ? end.z_mm - start.z_mm : end.x_radius_mm - start.x_radius_mm;
    bool written = reading.has(side_letter) || reading.has(cycle.side ? 'K' : 'I');
    if (std::abs(width) > same_point_mm && !written) words.trouble(Trouble::missing_word, side_letter);
    cycle.peck_mm = std::abs(into.value_or(0));
    cycle.step_mm = std::abs(sideways.value_or(0));
    cycle.relief_mm = std::abs(reading.has('R') ? words.length_or('R', 0) : words.length_or('D', 0));
    auto first = first_line(words.step, reader);
    cycle.retract_mm = assumed_clearance_mm;
    if (first) cycle.retract_mm = words.length(*first, 'R').value_or(assumed_clearance_mm);
    take(words.path, peck(cycle), words.step.place);
}

/// P of the first line: finish passes, run-out in tenths of the lead, angle, two digits each.
void unpack(double packed, ThreadPasses& cycle) {
    int digits = static_cast<int>(std::clamp(std::round(packed), 0.0, 999999.0));
    cycle.finish_passes = digits / 10000;
    cycle.run_out_leads = digits / 100 % 100 / 10.0;
    cycle.angle_deg = digits % 100;
}

double required(Words& words, char letter) {
    if (!words.step.reading.has(letter)) words.trouble(Trouble::missing_word, letter);
    return words.length_or(letter, 0);
}

void add_thread_cycle(Words& words, const machine::Reader& reader, Point start, Point end) {
    const Reading& reading = words.step.reading;
    ThreadPasses cycle;
    cycle.start = start;
    cycle.end = end;
    Why why = Why::known;
    auto lead_trouble = [&](Trouble trouble, char letter) {
        if (trouble == Trouble::no_lead) words.trouble(trouble, letter);
    };
    cycle.lead_mm = lead_of(words.step, words.mm, lead_trouble, why);
    if (why != Why::known) return leave_open(words.path, why);
    bool one_line = reading.has('K') || reading.has('D');
    if (one_line) {
        cycle.taper_mm = words.length_or('I', 0);
        cycle.height_mm = required(words, 'K');
        cycle.first_depth_mm = required(words, 'D');
        cycle.angle_deg = words.number(reading, 'A').value_or(0);
        cycle.finish_passes = 0;
    } else {
        cycle.taper_mm = words.length_or('R', 0);
        cycle.height_mm = required(words, 'P');
        cycle.first_depth_mm = required(words, 'Q');
        auto first = first_line(words.step, reader);
        // Without the first line the passes come from what the control has kept.
        if (!first) return leave_open(words.path, Why::never_set);
        unpack(words.number(*first, 'P').value_or(0), cycle);
        cycle.least_depth_mm = words.length(*first, 'Q').value_or(0);
        cycle.finish_mm = words.length(*first, 'R').value_or(0);
    }
    if (!words.path.complete || !words.path.troubles.empty()) return leave_open(words.path, words.path.why);
    take(words.path, thread(cycle), words.step.place);
}

void add_single(Words& words, Point start, Point end) {
    const Reading& reading = words.step.reading;
    SinglePass cycle;
    cycle.start = start;
    cycle.end = end;
    cycle.feed = words.feed();
    if (reading.motion_meaning == Meaning::single_facing) cycle.kind = SinglePass::Kind::facing;
    if (reading.motion_meaning == Meaning::single_threading) cycle.kind = SinglePass::Kind::threading;
    char older = cycle.kind == SinglePass::Kind::facing ? 'K' : 'I';
    if (reading.has(older))
        cycle.taper_mm = words.length_or(older, 0);
    else if (words.step.after.cycle_r.known())
        cycle.taper_mm = words.step.after.cycle_r.number * words.mm;
    else if (!words.step.after.cycle_r.surely_unset())
        leave_open(words.path, words.step.after.cycle_r.why);
    if (cycle.kind == SinglePass::Kind::threading) {
        Why why = Why::known;
        cycle.lead_mm = lead_of(
            words.step, words.mm, [&](Trouble t, char l) { words.trouble(t, l); }, why);
        if (why != Why::known) leave_open(words.path, why);
    }
    take(words.path, single_pass(cycle), words.step.place);
}

bool drills_side(Meaning meaning) {
    return meaning == Meaning::drill_side || meaning == Meaning::tap_side || meaning == Meaning::bore_side;
}

bool feeds_out(Meaning meaning) {
    return meaning == Meaning::tap_face || meaning == Meaning::tap_side || meaning == Meaning::bore_face ||
           meaning == Meaning::bore_side;
}

/// R is a distance from the start level in system A and under incremental, else the level itself.
std::optional<double> r_level(Words& words, double start_level, double bottom, bool side) {
    const machine::State& after = words.step.after;
    if (after.cycle_r.surely_unset()) return start_level;
    if (Why why = first_unknown({after.cycle_r}); why != Why::known) {
        leave_open(words.path, why);
        return std::nullopt;
    }
    double r = after.cycle_r.number * words.mm;
    bool in_a = words.step.settings.system == codes::System::A;
    if (in_a) return start_level + r; // on radius
    double half = side ? half_of_x(words.step.settings) : 1;
    if (after.is(Meaning::absolute)) {
        // Below zero some controls count it from where the tool stands (common practice, no source): surely
        // where as a level it would lie behind the bottom.
        const bool behind_bottom = (r * half - bottom) * (bottom - start_level) > 0;
        return r < 0 && behind_bottom ? start_level + r * half : r * half;
    }
    if (after.is(Meaning::incremental)) return start_level + r * half;
    leave_open(words.path, after.of(codes::Group::distance).why);
    return std::nullopt;
}

void add_hole(Words& words, Point start, Point place) {
    const machine::State& after = words.step.after;
    Meaning meaning = words.step.reading.motion_meaning;
    Hole cycle;
    cycle.side = drills_side(meaning);
    cycle.feed_out = feeds_out(meaning);
    cycle.start = start;
    cycle.place = place;
    cycle.feed = words.feed();
    auto level = cycle.side ? r_level(words, start.x_radius_mm, place.x_radius_mm, true)
                            : r_level(words, start.z_mm, place.z_mm, false);
    if (!level) return;
    cycle.level_mm = *level;
    if (after.cycle_q.known())
        cycle.peck_mm = std::abs(after.cycle_q.number) * words.mm;
    else if (!after.cycle_q.surely_unset())
        leave_open(words.path, after.cycle_q.why);
    if (words.step.reading.has('Q') && after.cycle_q.is(0)) words.trouble(Trouble::zero_depth, 'Q');
    if (after.cycle_p.known())
        cycle.dwell_seconds = std::max(0.0, after.cycle_p.number * 0.001);
    else if (!after.cycle_p.surely_unset())
        leave_open(words.path, after.cycle_p.why);
    cycle.return_to_level = after.is(Meaning::return_r_level);
    // The turn of the C axis to the hole takes a time that nothing here tells.
    if (words.step.reading.has('C') || words.step.reading.has('H')) {
        words.path.turns_to_hole = words.path.complete;
        leave_open(words.path, Why::machine_specific);
    }
    const int holes = machine::repeats_of(words.step.reading);
    const bool by_distance =
        words.step.reading.has(cycle.side ? 'W' : 'U') ||
        (words.step.settings.system != codes::System::A && after.is(Meaning::incremental));
    const double gap = cycle.side ? place.z_mm - start.z_mm : place.x_radius_mm - start.x_radius_mm;
    for (int hole = 0; hole < holes && words.path.segments.size() < std::size_t{10} * most_passes; ++hole) {
        take(words.path, drill(cycle), words.step.place);
        if (words.path.segments.empty()) break;
        // The next one begins where this one has come back to.
        cycle.start = words.path.segments.back().to;
        if (!by_distance) continue;
        (cycle.side ? cycle.place.z_mm : cycle.place.x_radius_mm) += gap;
    }
}

} // namespace

void add_cycle(const Step& step, const machine::Reader& reader, BlockPath& path) {
    if (is_first_line(step.reading)) return; // Stores values, moves nothing.
    auto mm = mm_per_unit(step.after);
    if (!mm) return leave_open(path, Why::units_unknown);
    if (cycle_budget_is_spent()) return leave_open(path, Why::cut_short);
    if (step.reading.motion == MotionKind::contour_cycle) return add_contour_cycle(step, reader, path);
    auto start = point(step.before.x_radius, step.before.z, *mm, path);
    auto end = point(step.reading.target_x_radius, step.reading.target_z, *mm, path);
    if (!start || !end) return;
    Words words{step, *mm, path};
    switch (step.reading.motion) {
    case MotionKind::peck_cycle:
        return add_peck(words, reader, *start, *end);
    case MotionKind::thread_cycle:
        return add_thread_cycle(words, reader, *start, *end);
    case MotionKind::single_cycle:
        return add_single(words, *start, *end);
    case MotionKind::drill_cycle:
        return add_hole(words, *start, *end);
    default:
        leave_open(path, Why::computed);
    }
}

} // namespace turnwright::motion
