// What the words of one block do to the state, in the order a control takes them: modes, feed, speed, tool,
// spindle, coolant, then the move, then stops and ends.

#include "machine/interpreter.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>

namespace turnwright::machine {

using codes::Group;
using codes::Meaning;
using codes::Quantity;

ToolCall read_tool_word(const Word& word, const shop::Machine& machine, const State& state) {
    if (!word.value.known()) return {Value::unknown(word.value.why), Value::unknown(word.value.why)};
    double number = word.value.number;
    // Five digits and more are split differently by controls: T01101 is station 1 or 11.
    const bool ambiguous = !machine.tool_digits && word.item->digits > 4;
    if (number < 0 || number > 99999 || number != std::floor(number) || ambiguous)
        return {Value::unknown(Why::machine_specific), Value::unknown(Why::machine_specific)};
    int digits = machine.tool_digits.value_or(word.item->digits);
    double station = number;
    Value offset = Value::unknown(Why::never_set);
    auto split = [&](double by) {
        station = std::floor(number / by);
        offset = Value::of(number - station * by);
    };
    // T0101 and T101: two digits of offset. T11: one digit each. T1 and T0: the station alone, T0 and T00
    // cancel.
    if (digits >= 3 || number > 99)
        split(100);
    else if (digits == 2)
        split(10);
    if (number == 0) return {state.tool, Value::of(0)};
    if (station == 0) return {state.tool, offset};
    return {Value::of(station), offset};
}

namespace {

void scale(Value& value, double factor) {
    if (value.known()) value.number *= factor;
}

/// Positions keep their place when the unit changes; their numbers do not.
void change_units(State& state, Meaning to) {
    const Modal before = state.of(Group::units).stated();
    // Stated for the first time it says what all above was written in.
    if (before.is(to) || before.surely_unset()) return;
    bool from_other = before.known();
    double factor = to == Meaning::millimetre ? 25.4 : 1 / 25.4;
    for (Value* value :
         {&state.x_radius, &state.z, &state.y, &state.machine_x_radius, &state.machine_z,
          &state.cycle_x_radius, &state.cycle_z, &state.cycle_r, &state.cycle_q, &state.cylinder_radius}) {
        if (from_other)
            scale(*value, factor);
        else if (value->known())
            *value = Value::unknown(Why::units_unknown);
    }
    if (state.feed.known()) state.feed = Value::unknown(Why::mode_changed);
    if (state.speed.known() && !state.of(Group::spindle_mode).stated().is(Meaning::constant_rpm))
        state.speed = Value::unknown(Why::mode_changed);
    if (!state.is(Meaning::constant_rpm)) state.speed = state.speed.stated();
}

void forget_position(State& state, Why why) {
    for (Value* value : {&state.x_radius, &state.z})
        if (value->known()) *value = Value::unknown(why);
}

void forget_cycle_words(State& state) {
    for (Value* value :
         {&state.cycle_x_radius, &state.cycle_z, &state.cycle_r, &state.cycle_q, &state.cycle_p})
        *value = Value::unknown(Why::never_set);
}

/// X and C are a flat plane from here on, with C as its second length; and the other way round.
void change_polar(State& state, Reading& reading, bool on) {
    reading.sets |= part(Part::c);
    if (on) {
        state.c = Value::of(0);
        return;
    }
    if (state.c.is(0)) return;
    // X was one length of the plane; as a radius it is known with the other one alone.
    reading.sets |= part(Part::x);
    if (state.x_radius.known())
        state.x_radius = state.c.known() ? Value::of(std::hypot(state.x_radius.number, state.c.number))
                                         : Value::unknown(Why::mode_changed);
    state.c = Value::unknown(Why::mode_changed);
}

void apply_modal(State& state, Reading& reading, Meaning meaning) {
    Group group = codes::group_of(meaning);
    reading.sets |= part(group);
    // An assumption is no proof: what was set under it may have been meant otherwise.
    const Modal before = state.of(group).stated();
    switch (group) {
    case Group::units:
        change_units(state, meaning);
        break;
    case Group::polar:
        if (!before.is(meaning)) change_polar(state, reading, meaning == Meaning::polar_on);
        break;
    case Group::feed_mode:
        if (!before.is(meaning) && state.feed.known()) state.feed = Value::unknown(Why::mode_changed);
        break;
    case Group::spindle_mode:
        if (!before.is(meaning) && state.speed.known()) state.speed = Value::unknown(Why::mode_changed);
        if (!state.is(meaning)) state.speed = state.speed.stated();
        break;
    case Group::datum:
        if (!before.is(meaning) || meaning == Meaning::datum_extended)
            forget_position(state, Why::datum_changed);
        break;
    case Group::drill_cycle:
    case Group::motion: {
        bool same = before.is(meaning);
        if (!same) forget_cycle_words(state);
        // A motion code ends a drilling cycle, and a drilling cycle stands in for the motion code.
        const Modal drilling = state.of(Group::drill_cycle);
        if (group == Group::motion && drilling.possible != 0 && !drilling.is(Meaning::drill_cycle_off)) {
            state.set(Meaning::drill_cycle_off);
            reading.sets |= part(Group::drill_cycle);
        }
        break;
    }
    default:
        break;
    }
    state.set(meaning);
}

void apply_codes(State& state, Reading& reading) {
    for (const Word& word : reading.words) {
        if (!word.code || !word.code->is_modal()) continue;
        Group group = word.code->group();
        if (group == Group::spindle_direction || group == Group::coolant || group == Group::spoken_to ||
            (group == Group::units && is_other_systems_cycle(state, reading)))
            continue;
        apply_modal(state, reading, word.code->meaning);
    }
}

} // namespace

bool gives_arguments(const Reading& reading) {
    return reading.code(Meaning::macro_call) || reading.code(Meaning::modal_call);
}

bool is_kept_by_shop(const Reading& reading) {
    return reading.flow_target.known() && reading.flow_target.number >= first_kept_by_shop;
}

std::optional<int> station_called(const Reading& reading, const Settings& settings) {
    const Word* tool = reading.word('T');
    if (!tool) return std::nullopt;
    if (gives_arguments(reading)) {
        if (!reading.code(Meaning::macro_call) || !is_kept_by_shop(reading) || !tool->value.known() ||
            reading.has('X') || reading.has('Z'))
            return std::nullopt;
        const int number = whole_number(tool->value.number);
        const int station = number > 99 ? number / 100 : number;
        return station > 0 && station < 100 ? std::optional(station) : std::nullopt;
    }
    const ToolCall call = read_tool_word(*tool, settings.machine, State{});
    return call.station.known() && call.station.number > 0 ? std::optional(whole_number(call.station.number))
                                                           : std::nullopt;
}

namespace {

void apply_feed(State& state, Reading& reading) {
    const Word* feed = reading.word('F');
    if (!feed || feed->quantity == Quantity::argument || feed->quantity == Quantity::none) return;
    if (reading.code(Meaning::dwell) || gives_arguments(reading)) return;
    if (!(reading.sets & part(Group::feed_mode)) && feed->quantity == Quantity::feed)
        reading.reads |= part(Group::feed_mode);
    state.feed = feed->value;
    reading.sets |= part(Part::feed);
}

void apply_speed(const Settings& settings, State& state, Reading& reading) {
    const Word* speed = reading.word('S');
    if (gives_arguments(reading)) return;
    // With axis words the same code is a work shift; its S is still the limit.
    bool sets_limit = reading.code(Meaning::speed_limit) || reading.code(Meaning::work_shift);
    if (speed && sets_limit) {
        state.speed_limit = speed->value;
        reading.sets |= part(Part::speed_limit);
    } else if (speed) {
        if (!(reading.sets & part(Group::spindle_mode))) reading.reads |= part(Group::spindle_mode);
        state.speed = speed->value;
        reading.sets |= part(Part::speed);
    }
    if (reading.code(Meaning::surface_speed) && !settings.machine.max_rpm)
        reading.reads |= part(Part::speed_limit);
}

void apply_tool(const Settings& settings, State& state, Reading& reading) {
    const Word* tool = reading.word('T');
    if (!tool || gives_arguments(reading)) return;
    ToolCall call = read_tool_word(*tool, settings.machine, state);
    bool same = call.station == state.tool && call.offset == state.offset && call.station.known() &&
                call.offset.known();
    if (!same) {
        forget_position(state, Why::datum_changed);
        // The slides stand still, but the next way by distance takes the other offset with it.
        state.machine_x_radius = state.machine_z = Value::unknown(Why::datum_changed);
    }
    if (call.station != state.tool || call.station.known()) reading.sets |= part(Part::tool);
    reading.sets |= part(Part::offset);
    state.tool = call.station;
    state.offset = call.offset;
}

void apply_data_setting(State& state, Reading& reading) {
    if (reading.code(Meaning::data_setting)) {
        forget_position(state, Why::data_set);
        state.machine_x_radius = state.machine_z = Value::unknown(Why::data_set);
    }
    if (reading.code(Meaning::datum_preset)) forget_position(state, Why::datum_changed);
    // A local datum shifts the axes that it names.
    if (reading.code(Meaning::local_datum)) {
        if ((reading.has('X') || reading.has('U')) && state.x_radius.known())
            state.x_radius = Value::unknown(Why::datum_changed);
        if ((reading.has('Z') || reading.has('W')) && state.z.known())
            state.z = Value::unknown(Why::datum_changed);
    }
}

/// The code of a cylinder surface: its C or H is the radius, 0 ends it. Without either it is not known.
void apply_cylinder(State& state, Reading& reading) {
    if (!reading.code(Meaning::cylindrical)) return;
    const Word* radius = reading.word('C');
    if (!radius) radius = reading.word('H');
    state.cylinder_radius = radius ? radius->value : Value::unknown(Why::machine_specific);
    reading.sets |= part(Part::cylinder);
}

void apply_work_shift(const Settings& settings, State& state, Reading& reading) {
    const Word* shift = reading.code(Meaning::work_shift);
    // One code may hold both: a speed limit with S, a shift with X, Z, U or W.
    if (!shift && !(reading.code(Meaning::speed_limit) && (reading.moves_x || reading.moves_z))) return;
    double half = settings.machine.x == shop::XReading::diameter ? 0.5 : 1.0;
    auto give = [&](Value& axis, char absolute, char incremental, double factor, Part bit) {
        if (const Word* word = reading.word(absolute)) {
            axis = word->value;
            scale(axis, factor);
            reading.sets |= part(bit);
        } else if (const Word* shifted = reading.word(incremental)) {
            if (axis.known() && shifted->value.known())
                axis.number += shifted->value.number * factor;
            else
                axis = Value::unknown(shifted->value.known() ? axis.why : shifted->value.why);
        }
    };
    give(state.x_radius, 'X', 'U', half, Part::x);
    give(state.z, 'Z', 'W', 1.0, Part::z);
}

// --- Lathes with more than one spindle -----------------------------------------------------------------

constexpr Parts spindle_parts = part(Group::spindle_mode) | part(Group::spindle_direction) |
                                part(Part::speed) | part(Part::speed_limit) | part(Group::spoken_to);

void speak_to(State& state, Reading& reading, Spindle which) {
    if (state.spoken_to() == which) return;
    state.speak_to(which);
    reading.sets |= spindle_parts;
}

void turn(State& state, Reading& reading, Spindle which, Meaning direction) {
    SpindleState spindle = state.spindle(which);
    spindle.direction = Modal::of(direction);
    state.set_spindle(which, spindle);
    if (state.spoken_to() == which) reading.sets |= part(Group::spindle_direction);
}

/// The word that gives a code its number is P of another code.
bool is_of_other_code(const Reading& reading) {
    return std::any_of(reading.words.begin(), reading.words.end(), [](const Word& word) {
        if (!word.code || word.code->meaning == Meaning::surface_speed) return false;
        return std::any_of(word.code->words.begin(), word.code->words.end(),
                           [](const codes::WordUse& use) { return use.letter == 'P'; });
    });
}

/// P beside M03, M04 and M05: 1 is the main spindle and 2 the second one (common practice, no source), where
/// there is more than one. nullopt: none is written; else nothing but those two is known.
struct NamedSpindle {
    std::optional<Spindle> which;
};
std::optional<NamedSpindle> spindle_by_p(const Reading& reading) {
    const Word* p = reading.word('P');
    if (!p || is_of_other_code(reading)) return std::nullopt;
    if (p->value.is(1)) return NamedSpindle{Spindle::main};
    if (p->value.is(2)) return NamedSpindle{Spindle::second};
    return NamedSpindle{};
}

bool live_tool_turns(const State& state) {
    return state.is(Meaning::live_tool_on) || state.is(Meaning::live_tool_reverse);
}

/// Whether the live tool has a code of its own, so that M03 is none of it.
bool live_tool_has_code(const Settings& settings) {
    return std::any_of(
        settings.machine.effects.begin(), settings.machine.effects.end(), [](const auto& code) {
            return std::any_of(code.second.does.begin(), code.second.does.end(),
                               [](Meaning meaning) { return codes::group_of(meaning) == Group::live_tool; });
        });
}

/// Whether the second spindle is started by a code of its own, so that M03, M04 and M05 are the main one's.
bool second_has_code(const Settings& settings) {
    bool starts = false;
    for (const auto& code : settings.machine.effects)
        for (const Meaning meaning : code.second.does) {
            if (codes::group_of(meaning) == Group::spoken_to) return false; // M03 goes where S goes
            starts = starts || meaning == Meaning::second_forward || meaning == Meaning::second_reverse;
        }
    return starts;
}

/// And stopped by one.
bool second_has_stop_code(const Settings& settings) {
    return second_has_code(settings) &&
           std::any_of(settings.machine.effects.begin(), settings.machine.effects.end(),
                       [](const auto& code) {
                           const auto& does = code.second.does;
                           return std::find(does.begin(), does.end(), Meaning::second_stop) != does.end();
                       });
}

bool c_axis_has_code(const Settings& settings) {
    return std::any_of(
        settings.machine.effects.begin(), settings.machine.effects.end(), [](const auto& code) {
            return std::any_of(code.second.does.begin(), code.second.does.end(),
                               [](Meaning meaning) { return codes::group_of(meaning) == Group::c_axis; });
        });
}

/// No spindle that turns is sent to the reference point of C: whatever code has engaged it, it is an axis.
void take_c_return(const Settings& settings, State& state, Reading& reading) {
    if (reading.motion != MotionKind::reference || state.is_axis()) return;
    if ((!reading.has('C') && !reading.has('H')) || c_axis_has_code(settings) ||
        !live_tool_has_code(settings)) // Else M03 may be either's
        return;
    const Spindle which = state.turning_spindle();
    state.set(which == Spindle::second ? Meaning::second_c_axis_on : Meaning::c_axis_on);
    reading.sets |= part(Group::c_axis);
    turn(state, reading, which, Meaning::spindle_stop);
    speak_to(state, reading, Spindle::live);
}

/// Which spindle the block's S, G96 and M03 speak to: by a code of the builder whose sense is told, or by P.
void choose_spindle(const Settings& settings, State& state, Reading& reading) {
    constexpr std::uint32_t telling = group_bit(Group::c_axis) | group_bit(Group::live_tool) |
                                      group_bit(Group::spoken_to) | group_bit(Group::one_shot);
    if (reading.groups & telling)
        for (const Word& word : reading.words) {
            if (!word.code || !word.implied) continue;
            switch (word.code->meaning) {
            case Meaning::c_axis_on: // As an axis it stands
                turn(state, reading, Spindle::main, Meaning::spindle_stop);
                speak_to(state, reading, Spindle::live);
                break;
            case Meaning::second_c_axis_on:
                turn(state, reading, Spindle::second, Meaning::spindle_stop);
                speak_to(state, reading, Spindle::live);
                break;
            case Meaning::live_tool_on:
            case Meaning::live_tool_reverse:
            case Meaning::live_spoken_to:
                speak_to(state, reading, Spindle::live);
                break;
            case Meaning::second_forward:
            case Meaning::second_reverse:
            case Meaning::second_spoken_to:
                speak_to(state, reading, Spindle::second);
                break;
            case Meaning::main_spoken_to:
                speak_to(state, reading, Spindle::main);
                break;
            default:
                break;
            }
        }
    take_c_return(settings, state, reading);
    if (!(reading.groups & group_bit(Group::spindle_direction))) return;
    const bool starts = reading.code(Meaning::spindle_forward) || reading.code(Meaning::spindle_reverse);
    if (!starts) {
        // While both turn as one M05 stops both.
        const bool stops_main = state.spoken_to() == Spindle::second && reading.code(Meaning::spindle_stop) &&
                                !reading.code(Meaning::second_stop) && !spindle_by_p(reading) &&
                                !state.is(Meaning::spindles_joined) && second_has_stop_code(settings);
        if (stops_main) speak_to(state, reading, Spindle::main);
        return;
    }
    if (const auto named = spindle_by_p(reading)) {
        if (named->which) return speak_to(state, reading, *named->which);
        // P of a machine that counts otherwise: from here on no spindle is known.
        const SpindleState unknown = SpindleState::unknown(Why::machine_specific);
        state.speak_to(Spindle::second);
        state.set_spindle(Spindle::second, unknown);
        state.set_spindle(Spindle::main, unknown);
        state.of(Group::spoken_to) = Modal::unknown(Why::machine_specific);
        reading.sets |= spindle_parts;
        return;
    }
    if (state.spoken_to() == Spindle::second && second_has_code(settings) &&
        !reading.code(Meaning::second_forward) && !reading.code(Meaning::second_reverse))
        return speak_to(state, reading, Spindle::main);
    if (state.spoken_to() != Spindle::live) return;
    if (state.is_axis() && live_tool_has_code(settings) && !c_axis_has_code(settings)) {
        // It turns again: a code that nothing tells has let it go.
        state.of(Group::c_axis) = Modal::unknown(Why::machine_specific);
        return speak_to(state, reading, state.turning_spindle());
    }
    // M03 of the spindle that turns the part, unless it is an axis now and the tool has no code, or S was
    // sent to the tool by a code for it.
    if (state.is_axis() && reading.code(Meaning::surface_speed)) // No tool is turned by that
        return speak_to(state, reading, state.turning_spindle());
    const bool by_choice = !state.is_axis() && state.of(Group::live_tool).surely_unset();
    if (by_choice || (state.is_axis() && !live_tool_has_code(settings))) return;
    speak_to(state, reading, state.turning_spindle());
}

/// What the codes of the builder turn and stop, behind S and M03.
void turn_other_spindles(State& state, Reading& reading) {
    constexpr std::uint32_t telling = group_bit(Group::c_axis) | group_bit(Group::live_tool) |
                                      group_bit(Group::spindles_together) | group_bit(Group::one_shot);
    if (reading.groups & telling)
        for (const Word& word : reading.words) {
            if (!word.code || !word.implied) continue;
            switch (word.code->meaning) {
            case Meaning::live_tool_on:
                turn(state, reading, Spindle::live, Meaning::spindle_forward);
                break;
            case Meaning::live_tool_reverse:
                turn(state, reading, Spindle::live, Meaning::spindle_reverse);
                break;
            case Meaning::live_tool_off:
                turn(state, reading, Spindle::live, Meaning::spindle_stop);
                if (!state.is_axis()) speak_to(state, reading, state.turning_spindle());
                break;
            case Meaning::c_axis_off:
                if (!live_tool_turns(state)) speak_to(state, reading, state.turning_spindle());
                break;
            case Meaning::second_forward:
                turn(state, reading, Spindle::second, Meaning::spindle_forward);
                break;
            case Meaning::second_reverse:
                turn(state, reading, Spindle::second, Meaning::spindle_reverse);
                break;
            case Meaning::second_stop:
                turn(state, reading, Spindle::second, Meaning::spindle_stop);
                break;
            case Meaning::spindles_parted:
                // Whether it turns on by itself differs.
                state.set_spindle(state.spoken_to() == Spindle::second ? Spindle::main : Spindle::second,
                                  SpindleState::unknown(Why::machine_specific));
                break;
            default:
                break;
            }
        }
    if (!state.is(Meaning::spindles_joined)) return;
    const std::optional<Spindle> leads = state.spoken_to();
    if (leads == Spindle::main || leads == Spindle::second) {
        const Spindle other = leads == Spindle::main ? Spindle::second : Spindle::main;
        const SpindleState of_both = state.spindle(*leads);
        if (state.spindle(other) != of_both) state.set_spindle(other, of_both);
    }
}

/// M05 with the P of a spindle that is not spoken to stops that one.
bool stops_other(State& state, Reading& reading, Meaning meaning) {
    if (meaning != Meaning::spindle_stop) return false;
    const auto named = spindle_by_p(reading);
    if (!named || !named->which || state.spoken_to() == named->which) return false;
    turn(state, reading, *named->which, Meaning::spindle_stop);
    return true;
}

void apply_machine_functions(State& state, Reading& reading) {
    for (const Word& word : reading.words) {
        if (!word.code || word.letter != 'M') continue;
        Group group = word.code->group();
        if (group == Group::spindle_direction && stops_other(state, reading, word.code->meaning)) continue;
        if (word.code->is_modal() && group != Group::spoken_to) {
            reading.sets |= part(group);
            state.set(word.code->meaning);
        }
    }
}

/// Calls, returns and ends. The end of a program stops spindle and coolant.
void apply_program_flow(State& state, Reading& reading) {
    for (const Word& word : reading.words) {
        if (!word.code) continue;
        switch (word.code->meaning) {
        case Meaning::program_end:
        case Meaning::program_end_rewind:
            reading.flow = FlowKind::program_end;
            state.of(Group::spoken_to) = {};
            state.spindles.reset();
            state.set(Meaning::spindle_stop);
            state.set(Meaning::coolant_off);
            state.reachable = false;
            state.ended = true;
            break;
        case Meaning::subprogram_end:
            reading.flow = FlowKind::program_return;
            reading.flow_target = reading.value('P');
            state.reachable = false;
            state.ended = true;
            break;
        case Meaning::subprogram_call:
            reading.flow = FlowKind::subprogram_call;
            reading.flow_target = reading.value('P');
            reading.repeats = reading.has('L') ? reading.value('L') : Value::of(1);
            // M98 P51234: more than four digits hold the count in front.
            if (reading.flow_target.known() && reading.flow_target.number > 9999) {
                double packed = std::floor(reading.flow_target.number);
                reading.flow_target = Value::of(std::fmod(packed, 10000));
                if (!reading.has('L')) reading.repeats = Value::of(std::floor(packed / 10000));
            }
            break;
        case Meaning::modal_call:
            reading.flow = FlowKind::modal_call;
            state.modal_program = reading.value('P');
            break;
        case Meaning::macro_call:
            reading.flow = FlowKind::macro_call;
            reading.flow_target = word.implied ? word.value : reading.value('P');
            reading.repeats = reading.has('L') ? reading.value('L') : Value::of(1);
            break;
        default:
            break;
        }
    }
}

} // namespace

void apply_words(const Settings& settings, State& state, Reading& reading) {
    choose_spindle(settings, state, reading);
    apply_codes(state, reading);
    apply_feed(state, reading);
    apply_speed(settings, state, reading);
    apply_tool(settings, state, reading);
    apply_machine_functions(state, reading);
    turn_other_spindles(state, reading);
    apply_data_setting(state, reading);
    apply_cylinder(state, reading);
    apply_work_shift(settings, state, reading);
    apply_motion(settings, state, reading);
    apply_program_flow(state, reading);
}

} // namespace turnwright::machine
