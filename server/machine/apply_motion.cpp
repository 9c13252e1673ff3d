// Where a block's axis words lead. Positions are program units, X as radius; what cannot be known stays
// unknown.

#include "machine/interpreter.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

namespace turnwright::machine {

using codes::Group;
using codes::Meaning;

namespace {

struct Axis {
    char absolute, incremental;
    Part bit;
    double factor; ///< From the written number to the radius
};

/// The end point on one axis. `written` false when the block does not name the axis.
Value target(const Settings& settings, const State& state, Reading& reading, const Axis& axis,
             Value current) {
    auto scaled = [&](Value value) {
        if (value.known()) value.number *= axis.factor;
        return value;
    };
    auto moved_by = [&](Value distance) {
        reading.reads |= part(axis.bit);
        if (!distance.known()) return distance;
        if (!current.known()) return current;
        return Value::of(current.number + distance.number * axis.factor);
    };
    if (const Word* increment = reading.word(axis.incremental)) return moved_by(increment->value);
    const Word* word = reading.word(axis.absolute);
    if (!word) return current;
    if (settings.system == codes::System::A) return scaled(word->value);
    const Modal& distance = state.of(Group::distance);
    if (!(reading.sets & part(Group::distance))) reading.reads |= part(Group::distance);
    if (distance.is(Meaning::absolute)) return scaled(word->value);
    if (distance.is(Meaning::incremental)) return moved_by(word->value);
    return Value::unknown(distance.why == Why::known ? Why::joined : distance.why);
}

/// The first block of a cycle's two-line form: it only sets values for the second and moves nothing.
bool only_sets_cycle_values(const Reading& reading) {
    switch (reading.motion) {
    case MotionKind::contour_cycle:
        return !(reading.has('P') && reading.has('Q'));
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return !reading.moves_x && !reading.moves_z;
    default:
        return false;
    }
}

/// Where an angle to plus Z (counter-clockwise) gives one coordinate of a line, the other follows from it.
void apply_angle(const State& state, Reading& reading) {
    if (reading.motion != MotionKind::feed && reading.motion != MotionKind::rapid) return;
    const Word* angle = nullptr;
    for (const Word& word : reading.words)
        if (word.letter == 'A' && word.quantity == codes::Quantity::angle) angle = &word;
    if (!angle || (reading.moves_x && reading.moves_z)) return;
    Value& x = reading.target_x_radius;
    Value& z = reading.target_z;
    Value open = Value::unknown(angle->value.known() ? Why::next_line : angle->value.why);
    reading.reads |= part(Part::x) | part(Part::z);
    if (!angle->value.known() || (!reading.moves_x && !reading.moves_z)) {
        // An angle alone ends where the next block's line meets it.
        x = z = open;
        return;
    }
    double radians = angle->value.number * std::numbers::pi / 180;
    double rise = std::sin(radians), run = std::cos(radians);
    Value& follows = reading.moves_x ? z : x;
    // Along the other axis the line never comes to the coordinate that is written.
    if (std::abs(reading.moves_x ? rise : run) < 1e-9) {
        follows = open;
        return;
    }
    for (const Value& start : {state.x_radius, state.z})
        if (!start.known()) {
            follows = Value::unknown(start.why);
            return;
        }
    if (reading.moves_x)
        z = x.known() ? Value::of(state.z.number + (x.number - state.x_radius.number) * run / rise) : x;
    else
        x = z.known() ? Value::of(state.x_radius.number + (z.number - state.z.number) * rise / run) : z;
}

/// "W0 H0": no axis moves, and no feed is needed.
bool goes_nowhere(const Reading& reading) {
    bool zero = false;
    for (const Word& word : reading.words) {
        if (word.implied) continue;
        if (word.letter == 'X' || word.letter == 'Z' || word.letter == 'Y' || word.letter == 'C')
            return false;
        if (word.letter != 'U' && word.letter != 'W' && word.letter != 'V' && word.letter != 'H') continue;
        if (!word.value.is(0)) return false;
        zero = true;
    }
    return zero;
}

/// The slide of a second spindle, which holds no tool.
bool moves_slide_alone(const Reading& reading) {
    return reading.moves_other && !reading.moves_x && !reading.moves_z &&
           std::none_of(reading.words.begin(), reading.words.end(), [](const Word& word) {
               return std::string_view("CHYV").find(word.letter) != std::string_view::npos;
           });
}

/// What every move depends on, whatever it is.
void note_reads(const Settings& settings, const State& state, Reading& reading) {
    if (only_sets_cycle_values(reading)) {
        reading.reads |= part(Group::units) & ~reading.sets;
        return;
    }
    Parts needs = part(Group::units);
    const bool slide_alone = moves_slide_alone(reading);
    if (!slide_alone) needs |= part(Group::datum) | part(Part::tool) | part(Part::offset);
    bool cuts = false;
    switch (reading.motion) {
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::skip:
        if (goes_nowhere(reading)) break;
        needs |= part(Group::feed_mode) | part(Part::feed);
        if (slide_alone) break;
        cuts = true;
        needs |= part(Group::nose_compensation);
        break;
    case MotionKind::thread:
    case MotionKind::single_cycle:
    case MotionKind::drill_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
    case MotionKind::contour_cycle:
        cuts = true;
        needs |= part(Part::feed) | part(Part::x) | part(Part::z);
        if (reading.motion != MotionKind::thread && reading.motion_meaning != Meaning::single_threading &&
            reading.motion != MotionKind::thread_cycle)
            needs |= part(Group::feed_mode);
        // The finishing cut runs at the feeds written in the contour.
        if (reading.motion_meaning == Meaning::finish_cycle) needs &= ~part(Part::feed);
        break;
    case MotionKind::rapid:
        needs |= part(Group::nose_compensation);
        break;
    default:
        break;
    }
    // The finishing cycle cuts with the feeds of its contour.
    if (reading.motion_meaning == Meaning::finish_cycle) needs &= ~part(Part::feed);
    if (reading.motion == MotionKind::arc) needs |= part(Group::plane) | part(Part::x) | part(Part::z);
    if (cuts)
        needs |= part(Group::spindle_mode) | part(Group::spindle_direction) | part(Part::speed) |
                 part(Group::coolant);
    // Rigid taps and live tools are turned by their cycle.
    switch (reading.motion_meaning) {
    case Meaning::tap_face:
    case Meaning::tap_side:
    case Meaning::drill_side:
    case Meaning::bore_side:
        needs &= ~part(Group::spindle_direction);
        break;
    default:
        break;
    }
    if (cuts && state.is(Meaning::surface_speed) && !settings.machine.max_rpm)
        needs |= part(Part::speed_limit);
    // A move of one axis goes along the other's present place.
    if (reading.moves_x != reading.moves_z) needs |= part(reading.moves_x ? Part::z : Part::x);
    reading.reads |= needs & ~reading.sets;
}

void leave_machine_frame(State& state, bool x, bool z) {
    if (x) {
        state.machine_x_radius = Value::unknown(Why::datum_changed);
        state.at_reference_x = false;
    }
    if (z) {
        state.machine_z = Value::unknown(Why::datum_changed);
        state.at_reference_z = false;
    }
}

/// A way by distance keeps the place in the machine datum known, where compensation does not shift it.
void go_on_in_machine_frame(const Settings& settings, State& state, Reading& reading, const Axis& axis,
                            Value& place) {
    const bool by_distance =
        reading.has(axis.incremental) ||
        (settings.system != codes::System::A && state.is(Meaning::incremental) && reading.has(axis.absolute));
    const bool shifted = state.is(Meaning::compensation_left) || state.is(Meaning::compensation_right);
    if (by_distance && !shifted && place.known() && reading.motion != MotionKind::from_reference)
        place = target(settings, state, reading, axis, place);
    else
        place = Value::unknown(Why::datum_changed);
}

void arrive(State& state, Reading& reading, bool x, bool z) {
    if (x) {
        state.x_radius = reading.target_x_radius;
        reading.sets |= part(Part::x);
    }
    if (z) {
        state.z = reading.target_z;
        reading.sets |= part(Part::z);
    }
    leave_machine_frame(state, x, z);
}

void go_on(const Settings& settings, State& state, Reading& reading, const Axis& x, const Axis& z) {
    Value machine_x = state.machine_x_radius, machine_z = state.machine_z;
    // An angle moves the axis that is not written as well.
    const bool in_x = reading.moves_x || reading.target_x_radius != state.x_radius;
    const bool in_z = reading.moves_z || reading.target_z != state.z;
    if (in_x) go_on_in_machine_frame(settings, state, reading, x, machine_x);
    if (in_z) go_on_in_machine_frame(settings, state, reading, z, machine_z);
    arrive(state, reading, in_x, in_z);
    state.machine_x_radius = machine_x;
    state.machine_z = machine_z;
}

void go_to_machine_position(const Settings& settings, State& state, Reading& reading) {
    double half = settings.machine.x == shop::XReading::diameter ? 0.5 : 1.0;
    auto place = [&](Value& program, Value& machine, bool& at_reference, const Word* word, double factor,
                     Part bit) {
        if (!word) return;
        program = Value::unknown(Why::at_reference);
        machine = word->value;
        if (machine.known()) machine.number *= factor;
        at_reference = machine.is(0);
        reading.sets |= part(bit);
    };
    place(state.x_radius, state.machine_x_radius, state.at_reference_x, reading.word('X'), half, Part::x);
    place(state.z, state.machine_z, state.at_reference_z, reading.word('Z'), 1.0, Part::z);
}

void go_to_reference(State& state, Reading& reading) {
    bool second = reading.motion_meaning == Meaning::reference_return_second;
    auto place = [&](Value& program, Value& machine, bool& at_reference, Part bit) {
        program = Value::unknown(Why::at_reference);
        machine = Value::unknown(Why::at_reference);
        at_reference = !second;
        reading.sets |= part(bit);
    };
    if (reading.moves_x) place(state.x_radius, state.machine_x_radius, state.at_reference_x, Part::x);
    if (reading.moves_z) place(state.z, state.machine_z, state.at_reference_z, Part::z);
    // Its reference point is where C is 0 (common practice, no source).
    if (reading.has('C') || reading.has('H')) {
        state.c = second ? Value::unknown(Why::at_reference) : Value::of(0);
        reading.sets |= part(Part::c);
    }
}

void keep_cycle_word(Value& kept, const Reading& reading, char letter) {
    if (const Word* word = reading.word(letter)) kept = word->value;
}

bool drills_side(Meaning meaning) {
    return meaning == Meaning::drill_side || meaning == Meaning::tap_side || meaning == Meaning::bore_side;
}

/// Where the drill comes back to under return to the R level. In B and C alone, so R is the level, or a
/// distance under incremental; below zero it may be either.
Value r_level(const Settings& settings, const State& state, const Modal& level, const Value& start,
              bool side) {
    if (!level.is(Meaning::return_r_level))
        return Value::unknown(level.why == Why::known ? Why::joined : level.why);
    if (state.cycle_r.surely_unset()) return start;
    if (!state.cycle_r.known()) return state.cycle_r;
    const double r =
        state.cycle_r.number * (side && settings.machine.x == shop::XReading::diameter ? 0.5 : 1.0);
    // Below zero some controls count it from where the tool stands: common practice, no source.
    if (state.is(Meaning::absolute))
        return r < 0 && !(start.known() && start.number <= r) ? Value::unknown(Why::machine_specific)
                                                              : Value::of(r);
    if (state.is(Meaning::incremental)) return start.known() ? Value::of(start.number + r) : start;
    const Modal& distance = state.of(Group::distance);
    return Value::unknown(distance.why == Why::known ? Why::joined : distance.why);
}

bool goes_by_distance(const State& state, const Settings& settings, const Reading& reading, bool side) {
    return reading.has(side ? 'W' : 'U') ||
           (settings.system != codes::System::A && state.is(Meaning::incremental));
}

/// Single and drilling cycles repeat with the words they had; the next block needs to give only what changes.
void run_modal_cycle(const Settings& settings, State& state, Reading& reading) {
    if (reading.moves_x)
        state.cycle_x_radius = reading.target_x_radius;
    else
        reading.target_x_radius = state.cycle_x_radius.known() ? state.cycle_x_radius : state.x_radius;
    if (reading.moves_z)
        state.cycle_z = reading.target_z;
    else
        reading.target_z = state.cycle_z.known() ? state.cycle_z : state.z;
    keep_cycle_word(state.cycle_r, reading, 'R');
    keep_cycle_word(state.cycle_q, reading, 'Q');
    keep_cycle_word(state.cycle_p, reading, 'P');
    reading.sets |= part(Part::cycle_words);
    if (reading.motion == MotionKind::single_cycle) return; // Ends where it began.

    const bool side = drills_side(reading.motion_meaning);
    Value& depth_axis = side ? state.x_radius : state.z;
    Value& place_axis = side ? state.z : state.x_radius;
    const Value& place = side ? reading.target_z : reading.target_x_radius;
    const Modal& level = state.of(Group::return_level);
    const bool to_initial = level.is(Meaning::return_initial_level) || level.surely_unset();
    if (!to_initial) depth_axis = r_level(settings, state, level, depth_axis, side);
    if (side ? reading.moves_z : reading.moves_x) {
        // A distance is gone once for each hole.
        const double more = repeats_of(reading) - 1;
        if (more > 0 && goes_by_distance(state, settings, reading, side) && place.known() &&
            place_axis.known())
            place_axis = Value::of(place.number + more * (place.number - place_axis.number));
        else
            place_axis = place;
    }
    reading.sets |= part(Part::x) | part(Part::z);
    leave_machine_frame(state, true, true);
}

void follow_other_axes(const Settings& settings, State& state, Reading& reading) {
    const Value c_before = state.c;
    Axis y{'Y', 'V', Part::y, 1.0};
    Axis c{'C', 'H', Part::c, 1.0};
    if (reading.has('Y') || reading.has('V')) {
        state.y = target(settings, state, reading, y, state.y);
        reading.sets |= part(Part::y);
    }
    if (reading.has('C') || reading.has('H')) {
        state.c = target(settings, state, reading, c, state.c);
        reading.sets |= part(Part::c);
        // "H45. K7": the distance is gone once for each hole.
        const bool by_distance =
            reading.has('H') || (settings.system != codes::System::A && state.is(Meaning::incremental));
        const double more = reading.motion == MotionKind::drill_cycle ? repeats_of(reading) - 1 : 0;
        if (more > 0 && by_distance && state.c.known() && c_before.known())
            state.c = Value::of(state.c.number + more * (state.c.number - c_before.number));
    }
}

} // namespace

int repeats_of(const Reading& reading) {
    const Word* count = reading.word('K');
    if (!count || count->quantity != codes::Quantity::count || !count->value.known()) return 1;
    return static_cast<int>(std::clamp(count->value.number, 0.0, 9999.0));
}

void apply_motion(const Settings& settings, State& state, Reading& reading) {
    reading.target_x_radius = state.x_radius;
    reading.target_z = state.z;
    if (reading.motion == MotionKind::none) return;
    double half = settings.machine.x == shop::XReading::diameter ? 0.5 : 1.0;
    Axis x{'X', 'U', Part::x, half};
    Axis z{'Z', 'W', Part::z, 1.0};
    if (reading.motion != MotionKind::contour_cycle) {
        reading.target_x_radius = target(settings, state, reading, x, state.x_radius);
        reading.target_z = target(settings, state, reading, z, state.z);
    }
    if (reading.sets_up_cycle) return;
    apply_angle(state, reading);
    note_reads(settings, state, reading);
    if (!(reading.sets & part(Group::motion)) && codes::group_of(reading.motion_meaning) == Group::motion &&
        reading.motion != MotionKind::unknown_motion)
        reading.reads |= part(Group::motion);

    switch (reading.motion) {
    case MotionKind::none:
    case MotionKind::contour_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        break; // End where they began.
    case MotionKind::rapid:
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::thread:
    case MotionKind::from_reference:
        go_on(settings, state, reading, x, z);
        follow_other_axes(settings, state, reading);
        break;
    case MotionKind::single_cycle:
    case MotionKind::drill_cycle:
        run_modal_cycle(settings, state, reading);
        // A drilling cycle ends over its hole.
        if (reading.motion == MotionKind::drill_cycle) leave_machine_frame(state, true, true);
        follow_other_axes(settings, state, reading);
        break;
    case MotionKind::reference:
        go_to_reference(state, reading);
        break;
    case MotionKind::machine_rapid:
        go_to_machine_position(settings, state, reading);
        break;
    case MotionKind::skip:
        reading.target_x_radius = reading.moves_x ? Value::unknown(Why::measured) : state.x_radius;
        reading.target_z = reading.moves_z ? Value::unknown(Why::measured) : state.z;
        arrive(state, reading, reading.moves_x, reading.moves_z);
        break;
    case MotionKind::unknown_motion: {
        // The axis words lead somewhere known in most modes, but a cycle would come back: not known.
        const bool unknown_code =
            std::any_of(reading.words.begin(), reading.words.end(), [](const Word& word) {
                return word.is_unknown_g() ||
                       (word.letter == 'M' && !word.after_comma && !word.code && !word.own);
            });
        Why why = unknown_code                                ? Why::machine_specific
                  : state.of(Group::motion).why == Why::known ? Why::joined
                                                              : state.of(Group::motion).why;
        if (reading.moves_x) reading.target_x_radius = Value::unknown(why);
        if (reading.moves_z) reading.target_z = Value::unknown(why);
        arrive(state, reading, reading.moves_x, reading.moves_z);
        break;
    }
    }
}

} // namespace turnwright::machine
