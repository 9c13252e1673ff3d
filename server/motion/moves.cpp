// Rapid, feed, arc and threading moves of one block, and the corner words beside them.
#include "motion/path.h"

#include <cmath>

namespace turnwright::motion {

using codes::Group;
using codes::Meaning;
using machine::MotionKind;
using machine::Value;
using machine::Why;

constexpr double unreachable = 1e9;

machine::Why first_unknown(std::initializer_list<Value> values) {
    for (const Value& value : values)
        if (!value.known()) return value.why;
    for (const Value& value : values)
        if (!(std::abs(value.number) < unreachable)) return Why::out_of_reach;
    return Why::known;
}

double half_of_x(const machine::Settings& settings) {
    return settings.machine.x == shop::XReading::diameter ? 0.5 : 1.0;
}

double arc_tolerance(const machine::Settings& settings) {
    return settings.machine.arc_tolerance_mm.value_or(default_arc_tolerance_mm);
}

bool c_is_chamfer(const Step& step) {
    const machine::State& after = step.after;
    if (after.is_axis() || after.is_laid_out()) return false;
    const machine::Modal direction = after.spindle(after.turning_spindle()).direction;
    return !direction.may_be(Meaning::spindle_stop) && after.is(Meaning::feed_per_rev) &&
           step.reading.moves_x != step.reading.moves_z;
}

namespace {

void add_trouble(Move& move, Trouble trouble, double found = 0, double wanted = 0, char letter = 0) {
    move.troubles.push_back({trouble, move.place, found, wanted, letter});
}

/// Where an angle word gives one coordinate: the other follows from the angle to plus Z (counter-clockwise).
void apply_angle(const Step& step, Value& x, Value& z, Move& move) {
    const machine::Word* angle = nullptr;
    for (const machine::Word& word : step.reading.words)
        if (word.letter == 'A' && word.quantity == codes::Quantity::angle) angle = &word;
    if (!angle || (step.reading.moves_x && step.reading.moves_z)) return;
    if (!angle->value.known() || (!step.reading.moves_x && !step.reading.moves_z)) {
        // An angle alone ends where the next block's line meets it.
        x = z = Value::unknown(angle->value.known() ? Why::next_line : angle->value.why);
        return;
    }
    if (!step.before.x_radius.known() || !step.before.z.known()) return;
    double radians = angle->value.number * pi / 180, rise = std::sin(radians), run = std::cos(radians);
    double& given = step.reading.moves_x ? rise : run;
    if (std::abs(given) < 1e-9) {
        // Along the other axis: it never comes to the coordinate that is written.
        add_trouble(move, Trouble::missing_word, 0, 0, step.reading.moves_x ? 'Z' : 'X');
        return;
    }
    if (step.reading.moves_x && x.known())
        z = Value::of(step.before.z.number + (x.number - step.before.x_radius.number) * run / rise);
    if (step.reading.moves_z && z.known())
        x = Value::of(step.before.x_radius.number + (z.number - step.before.z.number) * rise / run);
}

/// The corner words of a block, in any form.
Corner corner_of(const Step& step, double mm, Move& move) {
    Corner corner;
    bool is_line = step.reading.motion == MotionKind::feed;
    auto take = [&](const machine::Word& word, Corner::Kind kind, bool axis_x, bool is_signed) {
        if (Why why = first_unknown({word.value}); why != Why::known) return void(move.why = why);
        if (word.value.number == 0) return;
        corner.kind = kind;
        corner.size_mm = std::abs(word.value.number) * mm;
        if (is_signed) (axis_x ? corner.toward_x : corner.toward_z) = word.value.number < 0 ? -1 : 1;
    };
    for (const machine::Word& word : step.reading.words) {
        if (word.after_comma) {
            if (word.letter == 'C') take(word, Corner::Kind::chamfer, false, false);
            if (word.letter == 'R') take(word, Corner::Kind::round, false, false);
            continue;
        }
        if (!is_line) continue;
        // The plain forms stand on a move of one axis; the sign says where the other axis goes next.
        bool one_axis = step.reading.moves_x != step.reading.moves_z, next_x = step.reading.moves_z;
        if (word.letter == 'R') take(word, Corner::Kind::round, next_x, one_axis);
        if (word.letter == 'I' && next_x && one_axis) take(word, Corner::Kind::chamfer, true, true);
        if (word.letter == 'K' && !next_x && one_axis) take(word, Corner::Kind::chamfer, false, true);
        if (word.letter == 'C' && c_is_chamfer(step)) take(word, Corner::Kind::chamfer, next_x, true);
    }
    return corner;
}

void make_arc(const Step& step, double mm, Segment& segment, Move& move) {
    // Only the turning plane is a picture of Z and X; an unstated plane on a lathe is that one.
    if (!step.after.may_be(Meaning::plane_zx) || step.after.is(Meaning::polar_on)) {
        move.why = Why::machine_specific;
        return;
    }
    bool clockwise = step.reading.motion_meaning == Meaning::arc_clockwise ||
                     step.reading.motion_meaning == Meaning::thread_arc_clockwise;
    Value r = step.reading.value('R'), i = step.reading.value('I'), k = step.reading.value('K');
    double tolerance = arc_tolerance(step.settings);
    Arc arc;
    if (step.reading.has('R')) {
        if (Why why = first_unknown({r}); why != Why::known) return void(move.why = why);
        arc = arc_by_radius(segment.from, segment.to, r.number * mm, clockwise, tolerance);
    } else if (step.reading.has('I') || step.reading.has('K')) {
        for (auto [letter, value] : {std::pair{'I', i}, {'K', k}})
            if (Why why = first_unknown({value}); step.reading.has(letter) && why != Why::known)
                return void(move.why = why);
        Point offset{(i.known() ? i.number : 0) * mm, (k.known() ? k.number : 0) * mm};
        arc = arc_by_centre(segment.from, segment.to, segment.from + offset, clockwise, tolerance);
    } else {
        arc.trouble = Trouble::arc_without_centre;
    }
    if (arc.trouble) add_trouble(move, *arc.trouble, arc.found, arc.wanted);
    if (arc.sweep == 0) return; // Shown as a straight line: nothing better is known.
    segment.is_arc = true;
    segment.centre = arc.centre;
    segment.sweep = arc.sweep;
}

} // namespace

double lead_of(const Step& step, double mm, const std::function<void(Trouble, char)>& trouble, Why& why) {
    Value lead = Value::unknown(Why::never_set);
    for (const machine::Word& word : step.reading.words) {
        if (word.quantity == codes::Quantity::threads_per_inch && word.value.known() && word.value.number > 0)
            return mm_per_inch / word.value.number;
        // A second lead word means different things on different controls.
        if (word.letter == 'E') lead = Value::unknown(Why::machine_specific);
        if (word.letter == 'F') lead = word.value;
    }
    bool written = step.reading.has('F') || step.reading.has('E');
    // ISO 6983-1: I is the lead along X and K the lead along Z; the longer way of the move goes by its own.
    const bool by_axis = !written && step.reading.motion_meaning == Meaning::thread &&
                         step.settings.system != codes::System::A &&
                         (step.reading.has('I') || step.reading.has('K'));
    if (by_axis) {
        const Value x = step.after.x_radius, z = step.after.z, x0 = step.before.x_radius, z0 = step.before.z;
        if (!x.known() || !z.known() || !x0.known() || !z0.known()) {
            why = first_unknown({x, z, x0, z0});
            return 0;
        }
        const bool along_z = std::abs(z.number - z0.number) >= std::abs(x.number - x0.number);
        lead = step.reading.has(along_z ? 'K' : 'I') ? step.reading.value(along_z ? 'K' : 'I')
                                                     : Value::unknown(Why::machine_specific);
    }
    written = written || by_axis;
    if (!written) {
        // By the minute nobody feeds so little: it is the lead of the thread above.
        constexpr double coarsest_lead_mm = 12;
        const Value& feed = step.after.feed;
        const bool of_thread = step.after.is(Meaning::feed_per_minute) && feed.known() && feed.number > 0 &&
                               feed.number * mm <= coarsest_lead_mm;
        lead = step.after.is(Meaning::feed_per_rev) || of_thread ? feed : Value::unknown(Why::mode_changed);
    }
    if (!written && step.after.feed.surely_unset()) {
        trouble(Trouble::no_lead, 'F');
        why = Why::never_set;
        return 0;
    }
    if (Why unknown = first_unknown({lead}); unknown != Why::known) {
        why = unknown;
        return 0;
    }
    if (lead.number <= 0) trouble(Trouble::zero_lead, 'F');
    return lead.number * mm;
}

namespace {

/// A lead that changes by K every turn: the mean lead that takes as many turns over this length.
double mean_lead(double first_lead, double change, double length) {
    if (change == 0 || length <= 0) return first_lead;
    double under_root = first_lead * first_lead + 2 * change * length;
    if (under_root <= 0) return 0; // The lead shrinks to nothing on the way.
    double turns = (std::sqrt(under_root) - first_lead) / change;
    return turns > 0 ? length / turns : 0;
}

void make_thread(const Step& step, double mm, Segment& segment, Move& move) {
    segment.kind = SegmentKind::thread;
    auto trouble = [&](Trouble which, char letter) { add_trouble(move, which, 0, 0, letter); };
    segment.lead_mm = lead_of(step, mm, trouble, move.why);
    if (step.reading.motion_meaning == Meaning::thread_varying_lead) {
        Value change = step.reading.value('K');
        if (!step.reading.has('K')) return trouble(Trouble::missing_word, 'K');
        if (!change.known()) return void(move.why = change.why);
        double length = std::max(std::abs(segment.to.x_radius_mm - segment.from.x_radius_mm),
                                 std::abs(segment.to.z_mm - segment.from.z_mm));
        double mean = mean_lead(segment.lead_mm, change.number * mm, length);
        if (segment.lead_mm > 0 && mean <= 0) trouble(Trouble::zero_lead, 'K');
        segment.lead_mm = mean;
    }
    if (step.reading.motion_meaning == Meaning::thread_arc_clockwise ||
        step.reading.motion_meaning == Meaning::thread_arc_counterclockwise)
        make_arc(step, mm, segment, move);
}

} // namespace

Move plain_move(const Step& step) {
    Move move;
    move.place = step.place;
    MotionKind kind = step.reading.motion;
    if (kind != MotionKind::rapid && kind != MotionKind::feed && kind != MotionKind::arc &&
        kind != MotionKind::thread)
        return move;
    move.moves = true;
    auto mm = mm_per_unit(step.after);
    if (!mm) {
        move.why = Why::units_unknown;
        return move;
    }
    Value x = step.reading.target_x_radius, z = step.reading.target_z;
    if (kind == MotionKind::feed) apply_angle(step, x, z, move);
    move.why = first_unknown({step.before.x_radius, step.before.z, x, z});
    if (move.why != Why::known) return move;
    // A block may change the unit; the position before it then counts in the old one.
    double before_mm = mm_per_unit(step.before).value_or(*mm);
    Segment segment;
    segment.from = {step.before.x_radius.number * before_mm, step.before.z.number * before_mm};
    segment.to = {x.number * *mm, z.number * *mm};
    segment.kind = kind == MotionKind::rapid ? SegmentKind::rapid : SegmentKind::feed;
    if (kind != MotionKind::rapid) segment.feed = feed_of(step.after, step.settings);
    if (kind == MotionKind::arc) make_arc(step, *mm, segment, move);
    if (kind == MotionKind::thread) make_thread(step, *mm, segment, move);
    if (kind == MotionKind::feed || kind == MotionKind::arc) {
        move.corner = corner_of(step, *mm, move);
        bool c_axis = step.reading.has('C') && !(kind == MotionKind::feed && c_is_chamfer(step));
        bool other_axis = step.reading.has('Y') || step.reading.has('V') || step.reading.has('H') || c_axis;
        // The tool's way in the Z-X picture is right, its length and time are not.
        if (other_axis || step.after.is(Meaning::polar_on)) move.why = Why::machine_specific;
    }
    move.segment = segment;
    return move;
}

} // namespace turnwright::motion
