// The words of a block with their rows in the code table and their values as the control reads them.

#include "machine/interpreter.h"
#include "machine/slide.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>

namespace turnwright::machine {

using codes::Group;
using codes::Meaning;
using codes::Quantity;

namespace {

std::uint32_t letter_bit(char letter) {
    const auto place = static_cast<unsigned>(letter - 'A');
    return 1u << std::min(place, 31u);
}

} // namespace

const Word* Reading::word(char letter) const {
    if (!(letters & letter_bit(letter))) return nullptr;
    for (const Word& word : words)
        if (word.letter == letter && !word.after_comma) return &word;
    return nullptr;
}

const Word* Reading::code(Meaning meaning) const {
    if (!(groups & group_bit(codes::group_of(meaning)))) return nullptr;
    for (const Word& word : words)
        if (word.code && word.code->meaning == meaning) return &word;
    return nullptr;
}

Value Reading::value(char letter) const {
    const Word* found = word(letter);
    return found ? found->value : Value::unknown(Why::never_set);
}

namespace {

bool is_code_letter(char letter) {
    return letter == 'G' || letter == 'M';
}

bool is_axis_letter(char letter) {
    switch (letter) {
    case 'X':
    case 'Z':
    case 'Y':
    case 'C':
    case 'U':
    case 'W':
    case 'V':
    case 'H':
        return true;
    default:
        return false;
    }
}

bool is_slide_alone(const Reading& reading, const Settings& settings) {
    const auto& noted = settings.assumed.noted;
    return std::none_of(reading.words.begin(), reading.words.end(),
                        [](const Word& word) { return !word.after_comma && is_axis_letter(word.letter); }) &&
           std::any_of(noted.begin(), noted.end(), [](const auto& code) { return code.first == slide_by_a; });
}

/// Letters of the block besides G, M and N: they tell a speed limit from a work shift.
std::size_t collect_letters(std::span<const syntax::Item> items, std::array<char, 32>& letters) {
    std::size_t count = 0;
    for (const syntax::Item& item : items)
        if (item.is_word() && !is_code_letter(item.letter) && item.letter != 'N' && count < letters.size())
            letters[count++] = item.letter;
    return count;
}

/// The expression that ROUND is applied to, where it is the whole value of a word; -1 otherwise.
std::int32_t rounded_by(const syntax::Run& run, const syntax::Item& item) {
    if (item.expression >= run.expressions.size()) return -1;
    const syntax::Expression& e = run.expressions[item.expression];
    return e.operation == syntax::Operation::round ? e.left : -1;
}

/// What a code of the machine's builder does by the shop file, as if its codes stood behind it.
void add_effect(const shop::CodeEffect& effect, const Word& own, const Settings& settings, Reading& reading) {
    const auto add = [&](char letter, codes::Meaning meaning, Value value) {
        Word word;
        word.item = own.item;
        word.letter = letter;
        word.value = value;
        word.code = codes::code_for(settings.system, meaning);
        word.implied = true;
        reading.groups |= group_bit(codes::group_of(meaning));
        reading.letters |= letter_bit(letter);
        reading.words.push_back(word);
    };
    for (const codes::Meaning told : effect.does) {
        const codes::Meaning meaning = settings.machine.mirrored ? codes::mirrored(told) : told;
        const codes::Code* row = codes::code_for(settings.system, meaning);
        const bool numbered = row && row->number_tenths != codes::no_number;
        add(row && row->letter == 'G' ? 'G' : 'M', meaning,
            numbered ? Value::of(row->number_tenths / 10.0) : own.value);
    }
    if (effect.calls >= 0) add('G', codes::Meaning::macro_call, Value::of(effect.calls));
}

void find_rows(const syntax::Run& run, std::size_t block, const Settings& settings, const State& state,
               Reading& reading) {
    auto items = run.items_of(run.blocks[block]);
    std::array<char, 32> letters;
    std::size_t letter_count = collect_letters(items, letters);
    for (const syntax::Item& item : items) {
        bool after_comma =
            item.kind == syntax::ItemKind::comma_word || item.kind == syntax::ItemKind::comma_computed;
        if (!item.is_word() && !after_comma) continue;
        Word word;
        word.item = &item;
        word.letter = item.letter;
        word.after_comma = after_comma;
        if (syntax::holds_expression(item.kind)) {
            // ROUND as the whole value of a word goes to its least increment, when its unit is known.
            const std::int32_t inner = rounded_by(run, item);
            word.value = evaluate(run, block, inner >= 0 ? inner : static_cast<std::int32_t>(item.expression),
                                  state, reading.problems);
            if (inner >= 0 && word.value.why == Why::never_set) word.value = Value::of(0);
            reading.reads |= part(Part::variables);
            // An empty variable behind a letter is as if the word were not there.
            if (word.value.why == Why::never_set) continue;
        } else {
            word.value = item.odd_number ? Value::unknown(Why::computed) : Value::of(item.value);
        }
        const bool is_code = is_code_letter(word.letter) && !after_comma && word.value.known();
        const shop::CodeEffect* effect =
            is_code ? settings.machine.effect_of(word.letter, word.value.number) : nullptr;
        word.own = effect != nullptr;
        if (is_code && !effect)
            word.code = codes::find_with_words(settings.system, word.letter, word.value.number,
                                               std::span(letters.data(), letter_count));
        if (word.code && settings.machine.mirrored)
            if (const codes::Meaning other = codes::mirrored(word.code->meaning); other != word.code->meaning)
                word.code = codes::code_for(settings.system, other);
        reading.letters |= letter_bit(word.letter);
        if (word.code) reading.groups |= group_bit(word.code->group());
        reading.words.push_back(word);
        if (effect) add_effect(*effect, word, settings, reading);
    }
}

/// The code that says what the block's other words mean: one of the block itself, else the cycle or motion in
/// force.
const codes::Code* governing_code(const Settings& settings, const State& state, const Reading& reading) {
    const codes::Code* motion = nullptr;
    const codes::Code* cycle = nullptr;
    for (const Word& word : reading.words) {
        if (!word.code) continue;
        Group group = word.code->group();
        if (group == Group::one_shot && !word.code->words.empty()) return word.code;
        if (group == Group::drill_cycle && word.code->meaning != Meaning::drill_cycle_off) cycle = word.code;
        if (group == Group::motion) motion = word.code;
    }
    if (cycle) return cycle;
    if (motion) return motion;
    const Modal& drilling = state.of(Group::drill_cycle);
    if (drilling.known() && !drilling.is(Meaning::drill_cycle_off))
        return codes::code_for(settings.system,
                               codes::meaning_of(Group::drill_cycle,
                                                 static_cast<unsigned>(std::countr_zero(drilling.possible))));
    const Modal& moving = state.of(Group::motion);
    if (moving.known())
        return codes::code_for(
            settings.system,
            codes::meaning_of(Group::motion, static_cast<unsigned>(std::countr_zero(moving.possible))));
    return nullptr;
}

/// The feed mode that the block's F is read by.
const Modal feed_mode_in(const State& state, const Reading& reading) {
    for (const Word& word : reading.words)
        if (word.code && word.code->group() == Group::feed_mode) return Modal::of(word.code->meaning);
    return state.of(Group::feed_mode);
}

const Modal units_in(const State& state, const Reading& reading) {
    for (const Word& word : reading.words)
        if (word.code && word.code->group() == Group::units && !is_other_systems_cycle(state, reading))
            return Modal::of(word.code->meaning);
    return state.of(Group::units);
}

/// Feeds a minute in whole millimetres are common practice; any other feed needs its point.
bool feed_needs_point(const Modal& feed_mode, const Modal& units) {
    return !(feed_mode.is(Meaning::feed_per_minute) && units.is(Meaning::millimetre));
}

bool needs_point(Quantity quantity, const Modal& feed_mode, const Modal& units) {
    switch (quantity) {
    case Quantity::feed:
        return feed_needs_point(feed_mode, units);
    case Quantity::lead:
    case Quantity::seconds:
        return true;
    default:
        return codes::reads_in_increments(quantity);
    }
}

Value in_increments(double number, const Modal& units, const shop::Machine& machine) {
    if (units.is(Meaning::millimetre)) return Value::of(number * machine.least_increment_mm);
    if (units.is(Meaning::inch)) return Value::of(number * machine.least_increment_inch);
    return Value::unknown(Why::units_unknown);
}

void resolve(const syntax::Run& run, Word& word, const Settings& settings, const Modal& units,
             const Modal& feed_mode) {
    const syntax::Item& item = *word.item;
    if (!word.value.known() || item.kind == syntax::ItemKind::computed_word ||
        item.kind == syntax::ItemKind::comma_computed)
        return;
    if (word.quantity == Quantity::length_units) {
        if (!item.has_point) word.value = in_increments(item.value, units, settings.machine);
        return;
    }
    if (word.quantity == Quantity::angle_units) {
        if (!item.has_point) word.value = Value::of(item.value * 0.001);
        return;
    }
    if (item.has_point || item.value == 0 || !needs_point(word.quantity, feed_mode, units)) return;
    const bool is_assumed = settings.machine.no_point == shop::NoPoint::unknown;
    const bool is_feed = word.quantity == Quantity::feed || word.quantity == Quantity::lead;
    shop::NoPoint reading = is_assumed ? settings.assumed.no_point : settings.machine.no_point;
    // How fine a feed without a point is counted differs by control, and a slip may be one by any digits.
    if (is_assumed && is_feed &&
        (reading == shop::NoPoint::least_increments || settings.assumed.few_without_point))
        reading = shop::NoPoint::unknown;
    // No lead is an inch.
    const bool in_inch = units.is(Meaning::inch);
    const bool has_sense = word.quantity == Quantity::feed ? in_inch && feed_mode.is(Meaning::feed_per_minute)
                                                           : word.quantity != Quantity::lead || !in_inch;
    const bool counted = is_feed && settings.assumed.feed_step > 0;
    if (is_assumed && has_sense && !counted)
        if (const shop::NoPoint by_sense = only_one_reading(run, item, word.quantity);
            by_sense != shop::NoPoint::unknown)
            reading = by_sense;
    // By the turn, a feed is counted as its sizes tell.
    if (is_assumed && is_feed && settings.assumed.feed_step > 0 && feed_mode.is(Meaning::feed_per_rev) &&
        units.is(settings.assumed.units.meaning)) {
        word.value = Value::of(item.value * settings.assumed.feed_step);
        return;
    }
    switch (reading) {
    case shop::NoPoint::whole_units:
        return;
    case shop::NoPoint::unknown:
        word.value = Value::unknown(Why::no_point);
        return;
    case shop::NoPoint::least_increments:
        if (word.quantity == Quantity::seconds)
            word.value = Value::of(item.value * 0.001);
        else if (word.quantity == Quantity::angle)
            word.value = Value::of(item.value * 0.001);
        else
            word.value = in_increments(item.value, units, settings.machine);
    }
}

void round_to_increment(Word& word, const Settings& settings, const Modal& units) {
    if (!word.value.known()) return;
    double step = 1;
    if (word.quantity == Quantity::angle || word.quantity == Quantity::angle_units)
        step = 0.001;
    else if (codes::reads_in_increments(word.quantity)) {
        const Value increment = in_increments(1, units, settings.machine);
        if (!increment.known()) {
            word.value = increment;
            return;
        }
        step = increment.number;
    } else if (word.quantity == Quantity::feed || word.quantity == Quantity::lead) {
        return; // Which place a feed is rounded to differs by control
    }
    word.value = Value::of(std::round(word.value.number / step) * step);
}

MotionKind kind_of(Meaning meaning) {
    switch (codes::group_of(meaning)) {
    case Group::drill_cycle:
        return MotionKind::drill_cycle;
    case Group::motion:
        switch (meaning) {
        case Meaning::rapid:
            return MotionKind::rapid;
        case Meaning::feed_line:
            return MotionKind::feed;
        case Meaning::arc_clockwise:
        case Meaning::arc_counterclockwise:
            return MotionKind::arc;
        case Meaning::single_turning:
        case Meaning::single_threading:
        case Meaning::single_facing:
            return MotionKind::single_cycle;
        default:
            return MotionKind::thread;
        }
    default:
        break;
    }
    switch (meaning) {
    case Meaning::finish_cycle:
    case Meaning::rough_turning:
    case Meaning::rough_facing:
    case Meaning::pattern_repeat:
        return MotionKind::contour_cycle;
    case Meaning::peck_face:
    case Meaning::groove_side:
        return MotionKind::peck_cycle;
    case Meaning::thread_cycle:
        return MotionKind::thread_cycle;
    case Meaning::reference_return:
    case Meaning::reference_return_second:
        return MotionKind::reference;
    case Meaning::reference_leave:
        return MotionKind::from_reference;
    case Meaning::machine_datum:
        return MotionKind::machine_rapid;
    case Meaning::skip_feed:
    case Meaning::automatic_offset_x:
    case Meaning::automatic_offset_z:
        return MotionKind::skip;
    default:
        return MotionKind::none;
    }
}

/// One-shot codes whose X and Z are no move: dwell, limits, datums, calls.
bool takes_axis_words_without_moving(Meaning meaning) {
    switch (meaning) {
    case Meaning::dwell:
    case Meaning::data_setting:
    case Meaning::speed_limit:
    case Meaning::work_shift:
    case Meaning::local_datum:
    case Meaning::macro_call:
    case Meaning::reference_check:
    case Meaning::cylindrical:
    case Meaning::modal_call:
    case Meaning::travel_check_on:
        return true;
    default:
        return false;
    }
}

/// An M code that nothing tells, in front of the axis words: they may be its own, as "M137 X60.". Behind them
/// it comes with a move.
bool may_take_axis_words(const Reading& reading) {
    for (const Word& word : reading.words) {
        if (!word.after_comma && is_axis_letter(word.letter)) return false;
        if (word.letter == 'M' && !word.after_comma && !word.code && !word.own) return true;
    }
    return false;
}

void choose_motion(const State& state, Reading& reading) {
    bool other_use = false, unknown_code = may_take_axis_words(reading);
    for (const Word& word : reading.words) {
        unknown_code |= word.is_unknown_g();
        if (!word.code) continue;
        Meaning meaning = word.code->meaning;
        if (takes_axis_words_without_moving(meaning)) other_use = true;
        MotionKind kind = kind_of(meaning);
        if (kind == MotionKind::none || meaning == Meaning::drill_cycle_off) continue;
        bool stronger = reading.motion == MotionKind::none || word.code->group() == Group::one_shot ||
                        (word.code->group() == Group::drill_cycle && reading.motion != MotionKind::none &&
                         codes::group_of(reading.motion_meaning) == Group::motion);
        if (stronger) {
            reading.motion = kind;
            reading.motion_meaning = meaning;
        }
    }
    bool axis = reading.moves_x || reading.moves_z || reading.moves_other;
    // A line by its angle alone ends where the next line meets it.
    for (const Word& word : reading.words) axis |= word.letter == 'A' && word.quantity == Quantity::angle;
    // An arc by its centre alone comes back to where it began: a full circle.
    axis |= reading.motion == MotionKind::arc && (reading.has('I') || reading.has('K'));
    if (other_use) {
        reading.motion = MotionKind::none;
        return;
    }
    // U and W of a contour cycle are allowances, not moves. Its first line, and that of a threading or
    // pecking cycle, only sets what the second line runs with.
    bool two_lines = reading.motion == MotionKind::peck_cycle || reading.motion == MotionKind::thread_cycle;
    if (reading.motion == MotionKind::contour_cycle) {
        reading.moves_x = reading.moves_z = axis = false;
        reading.sets_up_cycle = !reading.has('P') && !reading.has('Q');
    }
    if (two_lines) reading.sets_up_cycle = !axis;
    bool needs_no_axis =
        two_lines || reading.motion == MotionKind::contour_cycle || reading.motion == MotionKind::reference;
    if (!axis && !needs_no_axis) {
        reading.motion = MotionKind::none;
        return;
    }
    if (reading.motion != MotionKind::none) return;
    if (unknown_code) {
        // What it does with the axis words its builder knows.
        reading.motion = MotionKind::unknown_motion;
        return;
    }
    // No motion code in the block: the cycle or the motion in force.
    const Modal& drilling = state.of(Group::drill_cycle);
    reading.reads |= part(Group::motion);
    bool cancelled_here = reading.code(Meaning::drill_cycle_off) != nullptr;
    if (!cancelled_here && drilling.known() && !drilling.is(Meaning::drill_cycle_off)) {
        reading.motion = MotionKind::drill_cycle;
        reading.motion_meaning =
            codes::meaning_of(Group::drill_cycle, static_cast<unsigned>(std::countr_zero(drilling.possible)));
        return;
    }
    const Modal& moving = state.of(Group::motion);
    if (!moving.known()) {
        reading.motion = MotionKind::unknown_motion;
        return;
    }
    reading.motion_meaning =
        codes::meaning_of(Group::motion, static_cast<unsigned>(std::countr_zero(moving.possible)));
    reading.motion = kind_of(reading.motion_meaning);
}

} // namespace

bool is_other_systems_cycle(const State& state, const Reading& reading) {
    return reading.word('P') && reading.word('Q') && state.of(Group::units).stated().known();
}

void read_words(const syntax::Run& run, std::size_t block, const Settings& settings, const State& state,
                Reading& reading) {
    find_rows(run, block, settings, state, reading);
    const codes::Code* governing = governing_code(settings, state, reading);
    Modal units = units_in(state, reading);
    Modal feed_mode = feed_mode_in(state, reading);
    for (Word& word : reading.words) {
        if (word.letter == 'N') {
            word.quantity = Quantity::label;
            if (word.value.known() && word.value.number >= 0 && word.value.number < 1e9)
                reading.number = machine::whole_number(word.value.number);
            continue;
        }
        if (is_code_letter(word.letter) && !word.after_comma) continue;
        word.quantity = word.after_comma ? (word.letter == 'A' ? Quantity::angle : Quantity::length)
                                         : codes::quantity_in(governing, word.letter);
        // On the plane of X and C it is a length.
        if (word.quantity == Quantity::angle && (word.letter == 'C' || word.letter == 'H') &&
            state.is(Meaning::polar_on))
            word.quantity = Quantity::length;
        // The angle of a thread is in whole degrees, with or without a point.
        const bool thread_angle =
            word.letter == 'A' && governing && governing->meaning == Meaning::thread_cycle;
        if (!thread_angle) resolve(run, word, settings, units, feed_mode);
        // Alone, where A is the slide of the second spindle, as B and E are: no line.
        if (word.letter == 'A' && word.quantity == Quantity::angle && !thread_angle && !word.after_comma &&
            is_slide_alone(reading, settings)) {
            word.quantity = Quantity::length;
            continue;
        }
        // No line lies at more than a turn: the place of another slide.
        constexpr double turn_deg = 360;
        if (word.letter == 'A' && word.quantity == Quantity::angle && !thread_angle && !word.after_comma &&
            word.value.known() && std::abs(word.value.number) > turn_deg) {
            word.quantity = Quantity::length;
            reading.moves_other = true;
        }
        if (syntax::holds_expression(word.item->kind) && rounded_by(run, *word.item) >= 0)
            round_to_increment(word, settings, units);
        if (!word.after_comma && is_axis_letter(word.letter)) {
            if (word.letter == 'X' || word.letter == 'U')
                reading.moves_x = true;
            else if (word.letter == 'Z' || word.letter == 'W')
                reading.moves_z = true;
            else
                reading.moves_other = true;
        }
    }
    choose_motion(state, reading);
}

} // namespace turnwright::machine
