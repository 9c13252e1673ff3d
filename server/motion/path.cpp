// The moves of one block: the thin layer between a block as read and the geometry.
#include "motion/path.h"
#include "motion/cycles.h"

#include <algorithm>
#include <cmath>

namespace turnwright::motion {

using codes::Meaning;
using machine::BlockPlace;
using machine::MotionKind;
using machine::Value;
using machine::Why;

void leave_open(BlockPath& path, Why why) {
    path.complete = false;
    if (path.why == Why::known) path.why = why == Why::known ? Why::never_set : why;
}

namespace {

bool names_an_axis(const syntax::Run& run, const syntax::Block& block) {
    auto items = run.items_of(block);
    return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
        return item.is_word() &&
               (item.letter == 'X' || item.letter == 'Z' || item.letter == 'U' || item.letter == 'W');
    });
}

/// The plain forms stand on a straight feed move only; on an arc the same letters are its radius and centre.
bool may_have_corner(const syntax::Run& run, const syntax::Block& block, bool is_line) {
    auto items = run.items_of(block);
    return std::any_of(items.begin(), items.end(), [is_line](const syntax::Item& item) {
        if (item.kind == syntax::ItemKind::comma_word || item.kind == syntax::ItemKind::comma_computed)
            return item.letter == 'C' || item.letter == 'R';
        return is_line && item.is_word() &&
               (item.letter == 'C' || item.letter == 'R' || item.letter == 'I' || item.letter == 'K');
    });
}

/// Lines between two moves of a corner that hold no move of their own (notes, blank lines, M codes).
constexpr int lines_between_moves = 8;

std::optional<BlockPlace> next_axis_block(const machine::Reader& reader, BlockPlace place, bool forward) {
    for (int i = 0; i < lines_between_moves; ++i) {
        const auto next = reader.neighbour(place, forward);
        if (!next) return std::nullopt;
        place = *next;
        const syntax::Run& run = reader.line(place);
        if (names_an_axis(run, run.blocks[place.block])) return place;
    }
    return std::nullopt;
}

Move read_move(const machine::Reader& reader, BlockPlace place, machine::State state) {
    machine::State before = state;
    machine::Reading reading;
    machine::interpret(reader.line(place), place.block, reader.settings(), state, reading);
    return plain_move({before, state, reading, reader.settings(), place});
}

/// The tool's place is not told, and no word is at fault.
bool is_of_place(Why why) {
    return why == Why::at_reference || why == Why::never_set || why == Why::datum_changed;
}
bool ends_known_or_home(const Value& end) {
    return end.known() || is_of_place(end.why);
}

/// The move before this one when it cuts a corner off their meeting.
std::optional<Move> move_with_corner_before(const Step& step, const machine::Reader& reader) {
    if (step.reading.motion == MotionKind::rapid || step.reading.motion == MotionKind::thread)
        return std::nullopt;
    auto previous = next_axis_block(reader, step.place, false);
    if (!previous) return std::nullopt;
    const syntax::Run& run = reader.line(*previous);
    bool is_line = step.before.may_be(Meaning::feed_line);
    if (!may_have_corner(run, run.blocks[previous->block], is_line)) return std::nullopt;
    Move move = read_move(reader, *previous, reader.before(*previous));
    move.troubles.clear(); // Told at their own block.
    if (move.corner.kind == Corner::Kind::none) return std::nullopt;
    return move;
}

std::optional<Move> next_move(const Step& step, const machine::Reader& reader) {
    auto next = next_axis_block(reader, step.place, true);
    if (!next) return std::nullopt;
    Move move = read_move(reader, *next, step.after);
    move.troubles.clear();
    move.corner = {};
    return move;
}

/// Two lines by their angles: the first by its angle alone, the second by its end point and its angle. They
/// meet where both hold.
const Value* angle_of(const machine::Reading& reading) {
    if (reading.motion != MotionKind::feed) return nullptr;
    for (const machine::Word& word : reading.words)
        if (word.letter == 'A' && word.quantity == codes::Quantity::angle) return &word.value;
    return nullptr;
}

struct AngledLine {
    Point at; ///< Start of the first line, end of the second
    double angle = 0;
};

std::optional<Point> meeting(const AngledLine& first, const AngledLine& second) {
    const auto along = [](double angle) { return Point{std::sin(angle), std::cos(angle)}; };
    const Point a = along(first.angle), b = along(second.angle), between = second.at - first.at;
    const double cross = a.z_mm * b.x_radius_mm - a.x_radius_mm * b.z_mm;
    if (std::abs(cross) < 1e-9) return std::nullopt; // Along each other
    const double way = (between.z_mm * b.x_radius_mm - between.x_radius_mm * b.z_mm) / cross;
    return way > 0 ? std::optional(first.at + a * way) : std::nullopt;
}

bool is_angle_alone(const machine::Reading& reading) {
    return angle_of(reading) && !reading.moves_x && !reading.moves_z;
}

std::optional<AngledLine> angled_line(const Value& x, const Value& z, const machine::Reading& reading,
                                      double mm) {
    const Value* angle = angle_of(reading);
    if (!angle || first_unknown({x, z, *angle}) != Why::known) return std::nullopt;
    return AngledLine{{x.number * mm, z.number * mm}, angle->number * pi / 180};
}

/// The line by its angle alone, up to the line of the next block.
void end_at_next_line(const Step& step, const machine::Reader& reader, Move& own) {
    auto mm = mm_per_unit(step.after);
    auto next = next_axis_block(reader, step.place, true);
    if (!mm || !next) return;
    machine::State state = step.after;
    machine::Reading reading;
    machine::interpret(reader.line(*next), next->block, step.settings, state, reading);
    if (!reading.moves_x || !reading.moves_z) return;
    auto first = angled_line(step.before.x_radius, step.before.z, step.reading, *mm);
    auto second = angled_line(reading.target_x_radius, reading.target_z, reading, *mm);
    auto corner = first && second ? meeting(*first, *second) : std::nullopt;
    if (!corner) return;
    own.segment = line(first->at, *corner);
    own.segment->kind = SegmentKind::feed;
    own.segment->feed = feed_of(step.after, step.settings);
    own.why = Why::known;
}

/// The line with end point and angle behind one by its angle alone.
void begin_at_line_before(const Step& step, const machine::Reader& reader, Move& own) {
    auto mm = mm_per_unit(step.after);
    auto previous = reader.neighbour(step.place, false);
    if (!mm || !previous) return;
    const machine::State before = reader.before(*previous);
    machine::State state = before;
    machine::Reading reading;
    machine::interpret(reader.line(*previous), previous->block, step.settings, state, reading);
    if (!is_angle_alone(reading)) return;
    auto first = angled_line(before.x_radius, before.z, reading, *mm);
    auto second = angled_line(step.reading.target_x_radius, step.reading.target_z, step.reading, *mm);
    auto corner = first && second ? meeting(*first, *second) : std::nullopt;
    if (!corner) return;
    own.segment = line(*corner, second->at);
    own.segment->kind = SegmentKind::feed;
    own.segment->feed = feed_of(step.after, step.settings);
    own.why = Why::known;
}

/// Its length and, but under a surface speed, which hangs on X, its time.
std::optional<TurnedWay> turned_by_distance(const Step& step, const machine::Reader& reader) {
    const auto way = way_by_distance(step, reader.line(step.place));
    if (!way) return std::nullopt;
    const Spindle spindle = spindle_of(step.after, step.settings);
    const bool by_x = way->feed.mode == Feed::Mode::per_rev && spindle.surface_speed != false;
    return TurnedWay{way->length_mm(), 0,
                     by_x ? std::nullopt : seconds_of(*way, spindle, step.settings.machine)};
}

/// A move with the corners it shares with its neighbours.
void add_plain_move(const Step& step, const machine::Reader& reader, BlockPath& path) {
    Move own = plain_move(step);
    if (own.why == Why::next_line) {
        if (is_angle_alone(step.reading))
            end_at_next_line(step, reader, own);
        else if (angle_of(step.reading) && step.reading.moves_x && step.reading.moves_z)
            begin_at_line_before(step, reader, own);
    }
    if (own.why != Why::known) leave_open(path, own.why);
    const Value &x = step.reading.target_x_radius, &z = step.reading.target_z;
    // What a program out of sight has left the tool at is a place like the reference point, once it is left.
    const bool from_elsewhere = own.why == Why::other_program && x.known() && z.known();
    path.is_way_home =
        step.reading.motion == MotionKind::rapid &&
        (from_elsewhere || (is_of_place(own.why) && ends_known_or_home(x) && ends_known_or_home(z)));
    const bool cuts = step.reading.motion != MotionKind::rapid && step.reading.motion != MotionKind::thread;
    if (cuts && !own.segment && (is_of_place(own.why) || own.why == Why::other_program))
        path.turned = turned_by_distance(step, reader);
    auto before = move_with_corner_before(step, reader);
    if (!before && own.corner.kind == Corner::Kind::none) {
        if (own.segment) path.segments.push_back(*own.segment);
        path.troubles = std::move(own.troubles);
        return;
    }
    std::vector<Move> moves;
    if (before) moves.push_back(std::move(*before));
    std::size_t index = moves.size();
    std::optional<Move> next;
    if (own.corner.kind != Corner::Kind::none) next = next_move(step, reader);
    if (next && next->moves && !next->segment && next->why != Why::known) {
        // Where the next move goes is not known, so neither is the corner; no trouble to report.
        leave_open(path, next->why);
        own.corner = {};
        next.reset();
    }
    moves.push_back(std::move(own));
    if (next) moves.push_back(std::move(*next));
    Chain chain = cut_corners(moves);
    for (std::size_t i = 0; i < chain.segments.size(); ++i)
        if (chain.owner[i] == index) path.segments.push_back(chain.segments[i]);
    for (const TroubleAt& trouble : chain.troubles)
        if (trouble.block == step.place) path.troubles.push_back(trouble);
}

/// Seconds of a dwell counted in turns of the spindle; nullopt (and the path left open) when its speed is not
/// known.
std::optional<double> seconds_of_turns(const Step& step, double turns, BlockPath& path) {
    auto mm = mm_per_unit(step.before);
    double x = step.before.x_radius.known() && mm ? step.before.x_radius.number * *mm : 0;
    Spindle spindle = spindle_of(step.after, step.settings);
    bool needs_x = spindle.surface_speed != false;
    auto rpm = needs_x && !(step.before.x_radius.known() && mm) ? std::nullopt : rpm_at(spindle, x);
    if (rpm && *rpm > 0) return turns * 60 / *rpm;
    leave_open(path, Why::never_set);
    return std::nullopt;
}

/// P in milliseconds, X or U in seconds; where the shop file says so, thousandths of turns and turns of the
/// spindle under feed per revolution.
void add_dwell(const Step& step, BlockPath& path) {
    Value time = Value::unknown(Why::never_set);
    double factor = 1;
    for (const machine::Word& word : step.reading.words) {
        if (word.letter != 'P' && word.letter != 'X' && word.letter != 'U') continue;
        time = word.value;
        factor = word.letter == 'P' ? 0.001 : 1;
    }
    Segment segment;
    segment.kind = SegmentKind::dwell;
    if (time.why == Why::never_set) {
        path.troubles.push_back({Trouble::missing_word, step.place, 0, 0, 'P'});
        return;
    }
    if (!time.known()) return leave_open(path, time.why);
    segment.dwell_seconds = std::max(0.0, time.number * factor);
    if (step.settings.machine.dwell_in_revolutions.value_or(false)) {
        const machine::Modal& mode = step.after.of(codes::Group::feed_mode);
        if (!mode.known()) return leave_open(path, mode.why == Why::known ? Why::joined : mode.why);
        if (mode.is(Meaning::feed_per_rev)) {
            auto seconds = seconds_of_turns(step, segment.dwell_seconds, path);
            if (!seconds) return;
            segment.dwell_seconds = *seconds;
        }
    }
    if (auto mm = mm_per_unit(step.before)) {
        segment.from.x_radius_mm = step.before.x_radius.known() ? step.before.x_radius.number * *mm : 0;
        segment.from.z_mm = step.before.z.known() ? step.before.z.number * *mm : 0;
        segment.to = segment.from;
    }
    path.segments.push_back(segment);
}

/// Through the point on the way, and on to a place that program coordinates do not tell.
void add_reference(const Step& step, BlockPath& path) {
    auto mm = mm_per_unit(step.after);
    leave_open(path, Why::at_reference);
    path.is_way_home = true;
    if (!mm) return;
    Value x = step.reading.target_x_radius, z = step.reading.target_z;
    if (first_unknown({step.before.x_radius, step.before.z, x, z}) != Why::known) return;
    Segment segment = line({step.before.x_radius.number * *mm, step.before.z.number * *mm},
                           {x.number * *mm, z.number * *mm});
    if (!same(segment.from, segment.to)) path.segments.push_back(segment);
}

void add_unknown(const Step& step, BlockPath& path) {
    Why why = first_unknown({step.reading.target_x_radius, step.reading.target_z});
    if (why == Why::known) why = first_unknown({step.after.x_radius, step.after.z});
    leave_open(path, why);
}

} // namespace

std::optional<Segment> way_by_distance(const Step& step, const syntax::Run& line) {
    std::optional<Segment> way;
    for (const double place : {0.0, 1.0}) {
        machine::State before = step.before;
        for (Value* axis : {&before.x_radius, &before.z})
            if (!axis->known()) *axis = Value::of(place);
        before.at_reference_x = before.at_reference_z = false;
        machine::State after = before;
        machine::Reading reading;
        machine::interpret(line, step.place.block, step.settings, after, reading);
        const Move move = plain_move({before, after, reading, step.settings, step.place});
        if (!move.segment || move.why != Why::known || move.corner.kind != Corner::Kind::none)
            return std::nullopt;
        Segment moved = *move.segment;
        moved.to = moved.to - moved.from;
        moved.centre = moved.centre - moved.from;
        moved.from = {};
        if (way && !same(way->to, moved.to)) return std::nullopt;
        way = moved;
    }
    return way;
}

BlockPath path_of(const machine::BlockView& view, const machine::Reader& reader) {
    BlockPath path;
    if (!view.reading.is_read) return path;
    Step step{view.before, view.after, view.reading, view.settings, {view.run_index, view.block}};
    switch (view.reading.motion) {
    case MotionKind::none:
        if (view.reading.code(Meaning::dwell)) add_dwell(step, path);
        break;
    case MotionKind::rapid:
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::thread:
        add_plain_move(step, reader, path);
        if (!path.turned) path.turned = turned_way(step);
        break;
    case MotionKind::reference:
        add_reference(step, path);
        break;
    case MotionKind::machine_rapid:
        add_unknown(step, path);
        path.is_way_home = is_of_place(path.why);
        break;
    case MotionKind::from_reference:
    case MotionKind::skip:
    case MotionKind::unknown_motion:
        add_unknown(step, path);
        break;
    default:
        add_cycle(step, reader, path);
        break;
    }
    return path;
}

} // namespace turnwright::motion
