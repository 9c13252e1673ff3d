// What a code or a word does, and how its value is read.
#include "features/assumed.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "features/turned_axis.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using codes::Quantity;
using codes::System;
using machine::Value;

namespace {

std::string title_line(std::string_view word, std::string_view title) {
    return fmt::format("**{}** {}\n\n", in_markdown(word), title);
}

std::string sentence_case(std::string_view text) {
    std::string out(text);
    if (!out.empty() && out[0] >= 'a' && out[0] <= 'z') out[0] = static_cast<char>(out[0] - 'a' + 'A');
    return out;
}

/// What it changes: "Replaces G97 constant rpm."
std::string group_text(const Asked& asked, const codes::Code& code) {
    if (code.meaning == Meaning::speed_limit || code.meaning == Meaning::work_shift ||
        code.meaning == Meaning::local_datum)
        return said(" Stays until another one is given.");
    if (code.meaning == Meaning::data_setting) return said(" What it writes stays in the control's memory.");
    if (!code.is_modal()) return said(" Acts in this block only.");
    // What held was another spindle's.
    if (code.group() == Group::spindle_direction &&
        (asked.block.before.spoken_to() != asked.block.after.spoken_to() || asked.block.reading.has('P')))
        return {};
    const machine::Modal& held = asked.block.before.of(code.group());
    if (held.is(code.meaning))
        return held.is_assumed() ? said(" Assumed so far, stated here.")
                                 : said(" In force already: nothing changes.");
    if (held.possible) return said(" Replaces ") + modal_text(held, code.group(), asked.settings()) + ".";
    return {};
}

/// " In G-code system B; single turning cycle in A." for a number that means something else elsewhere.
std::string system_note(const Asked& asked, const codes::Code& code, double number) {
    const System here = asked.settings().system;
    std::string others;
    for (const System system : {System::A, System::B, System::C}) {
        const codes::Code* other = system == here ? nullptr : codes::find(system, code.letter, number);
        if (!other || other->meaning == code.meaning ||
            codes::written_as(here, other->meaning) == code.written())
            continue;
        const std::string title(codes::title(other->meaning));
        others +=
            others.ends_with(title) ? "" : fmt::format("; {} in {}", title, codes::system_letter(system));
    }
    return others.empty() ? others : said(" (In G-code system {}{}.)", codes::system_letter(here), others);
}

/// What to watch is said where the code changes something, and not of a row of modes at the head.
bool matters(const Asked& asked, const codes::Code& code) {
    if (code.is_modal() && asked.block.before.of(code.group()).is(code.meaning)) return false;
    const auto& words = asked.block.reading.words;
    return std::count_if(words.begin(), words.end(),
                         [](const machine::Word& word) { return word.code && word.code->is_modal(); }) < 3;
}

/// A code's own text: what it does, and what to watch where that matters.
std::string own_text(const Asked& asked, const codes::Code& code) {
    const machine::State& behind = asked.block.after;
    const bool of_other = asked.block.reading.has('P') || behind.spoken_to() != machine::Spindle::main;
    if (code.meaning == Meaning::spindle_stop && of_other)
        return asked.block.reading.has('P')
                   ? said("The spindle that P names stops; in a block with a move it stops after the move, "
                          "though some controls do it at once.\n\n")
                   : said("The spindle spoken to stops; in a block with a move it stops after the move, "
                          "though "
                          "some controls do it at once.\n\n");
    const std::string_view text = code.text;
    const std::size_t watch = text.find("Watch ");
    std::string out(text.substr(0, watch));
    while (!out.empty() && out.back() == ' ') out.pop_back();
    if (!out.empty()) out += "\n\n";
    if (watch != std::string_view::npos && matters(asked, code))
        out += fmt::format("{}\n\n", text.substr(watch));
    return out;
}

std::string shop_code_name(const Asked& asked, const Value& number) {
    const auto& names =
        asked.item.letter == 'M' ? asked.settings().machine.m_codes : asked.settings().machine.g_codes;
    if (!number.known()) return {};
    const auto found = names.find(machine::whole_number(number.number));
    return found == names.end() ? std::string{} : found->second;
}

/// "By the shop file: M03 spindle forward, chuck closed; calls O9010 ...".
std::string effect_text(const Asked& asked) {
    std::string does, calls, watch;
    for (const machine::Word& word : asked.block.reading.words) {
        if (word.item != asked.word->item || !word.implied) continue;
        if (word.code->meaning == Meaning::macro_call) {
            calls = said("It calls O{:04.0f} with the letters of this block as arguments, as G65 does.",
                         word.value.number);
            continue;
        }
        const std::string written = word.code->written();
        does += fmt::format("{}{}{}{}", does.empty() ? "" : ", ", written, written.empty() ? "" : " ",
                            codes::title(word.code->meaning));
        if (matters(asked, *word.code) && written.empty() && !word.code->text.empty())
            watch += fmt::format("\n\n{}", word.code->text);
    }
    const shop::CodeEffect* effect =
        asked.word->value.known()
            ? asked.settings().machine.effect_of(asked.word->letter, asked.word->value.number)
            : nullptr;
    if (effect && effect->by_note)
        return said("By a note of the program, or by its place beside an S word: {}.", does) + watch;
    std::string text = does.empty() && calls.empty()
                           ? said("By the shop file it changes nothing that is followed here.")
                       : does.empty() ? said("By the shop file: ") + calls
                                      : said("By the shop file it does this: {}.", does);
    if (!does.empty() && !calls.empty()) text += " " + calls;
    return text + watch;
}

/// Of a code that only notes tell, what it does is its name.
std::string titles_of_effect(const Asked& asked) {
    std::string titles;
    for (const machine::Word& word : asked.block.reading.words)
        if (word.item == asked.word->item && word.implied)
            titles += fmt::format("{}{}", titles.empty() ? "" : ", ", codes::title(word.code->meaning));
    return titles.empty() ? said("Named in a note.") : sentence_case(titles) + ".";
}

/// What controls do otherwise than it is reckoned here. Common practice, no source.
std::string where_controls_differ(const Asked& asked, const codes::Code& code) {
    if (code.meaning == Meaning::bore_face || code.meaning == Meaning::bore_side)
        return said("Reckoned to come out at its feed: some controls come out at twice the feed.\n\n");
    const bool drills = code.meaning == Meaning::drill_face || code.meaning == Meaning::drill_side;
    if (drills && asked.block.reading.has('Q'))
        return said(
            "How far it draws back between pecks is set in the control: way and time differ by that.\n\n");
    return {};
}

/// The words of this block that the code takes: "X-1.6 end in X, F0.2 feed; Z is missing: ...".
std::string own_words(const Asked& asked, const codes::Code& code) {
    std::string text, missing;
    for (const codes::WordUse& use : code.words) {
        if (const machine::Word* word = asked.block.reading.word(use.letter))
            text += fmt::format("{}{} {}", text.empty() ? "" : ", ",
                                in_markdown(compact(asked.run().text_of(*word->item))), use.meaning);
        else if (use.required)
            missing += said("{}{} is missing: {}", missing.empty() ? "" : "; ", use.letter, use.meaning);
    }
    if (!missing.empty()) text = missing + (text.empty() ? "" : "; ") + text;
    return text.empty() ? text : text + ".\n\n";
}

} // namespace

std::string code_text(const Asked& asked) {
    if (!asked.word)
        return title_line(asked.text(), said("An empty variable: as if the word were not there."));
    const Value& number = asked.word->value;
    const std::string shop_name = shop_code_name(asked, number);
    const codes::Code* code = asked.word->code;
    if (!code) {
        if (!number.known())
            return title_line(asked.text(), said("A code whose number is ") + unknown_text(number.why) + ".");
        if (asked.word->own)
            return title_line(asked.text(),
                              shop_name.empty() ? titles_of_effect(asked) : in_markdown(shop_name)) +
                   effect_text(asked) + "\n\n";
        if (!shop_name.empty())
            return title_line(asked.text(), in_markdown(shop_name)) +
                   said("Special to this machine, named in the shop file. What it changes is not known "
                        "here.\n\n");
        // As unknown codes are followed: one without axis words moves nothing.
        if (!asked.block.reading.moves_x && !asked.block.reading.moves_z)
            return title_line(asked.text(), said("Not known here.")) +
                   said("No code of G-code system {} with this number is in the table: your machine's book "
                        "says "
                        "what it does, and the shop file can name it. With no axis word beside it, it is "
                        "taken "
                        "to move nothing and to leave the G codes in force.\n\n",
                        codes::system_letter(asked.settings().system));
        if (asked.block.reading.motion != machine::MotionKind::unknown_motion &&
            asked.block.reading.motion != machine::MotionKind::none)
            return title_line(asked.text(), said("Not known here.")) +
                   said("No code of G-code system {} with this number is in the table: your machine's book "
                        "says what it does, and the shop file can name it. The move beside it is followed as "
                        "it is written; whether this code changes it is not known.\n\n",
                        codes::system_letter(asked.settings().system));
        return title_line(asked.text(), said("Not known here.")) +
               said("No code of G-code system {} with this number is in the table: your machine's book says "
                    "what it does, and the shop file can name it. Where the axes stand after it is not "
                    "known.\n\n",
                    codes::system_letter(asked.settings().system));
    }
    std::string text =
        fmt::format("**{}** {}.{}{}\n\n", in_markdown(asked.text()), code->title, group_text(asked, *code),
                    system_note(asked, *code, number.known() ? number.number : 0));
    if (!shop_name.empty()) text += said("On this machine: {}\n\n", in_markdown(shop_name));
    return text + own_words(asked, *code) + where_controls_differ(asked, *code) + own_text(asked, *code);
}

// --- Values -----------------------------------------------------------------------------------------------

namespace {

motion::Step step_of(const Asked& asked) {
    return {asked.block.before, asked.block.after, asked.block.reading, asked.settings(), asked.block.place};
}

/// What the word means in its block by a code that takes it, or by the motion; empty when none says so.
std::string_view meaning_of_word(const Asked& asked) {
    const char letter = asked.item.letter;
    const machine::Reading& reading = asked.block.reading;
    if (asked.word && asked.word->after_comma) {
        switch (letter) {
        case 'C':
            return said("Chamfer at the end of this move");
        case 'R':
            return said("Round at the end of this move");
        case 'A':
            return said("Angle of this move to the Z axis");
        default:
            return said("Word after a comma");
        }
    }
    if (asked.word && is_chamfer(step_of(asked), *asked.word)) return said("Chamfer at the end of this move");
    if (letter == 'A' && asked.word && asked.word->quantity == codes::Quantity::length)
        return said("Where a slide goes to, as the second spindle's");
    if ((letter == 'C' || letter == 'H') && reading.moves_other && asked.block.after.is(Meaning::polar_on))
        return said("End point across X in the plane that X and C make");
    // "G96 S200 M03 P2" of a lathe with several: not the P of G96.
    if (letter == 'P' && asked.block.after.spindles &&
        (reading.code(Meaning::spindle_forward) || reading.code(Meaning::spindle_reverse)))
        return said("Spindle that it is for, on lathes with several");
    for (const machine::Word& word : reading.words)
        if (const codes::WordUse* use = codes::word_use(word.code, letter)) return use->meaning;
    if (letter == 'P' && reading.motion == machine::MotionKind::none)
        for (const Meaning spindle : {Meaning::spindle_forward, Meaning::spindle_reverse,
                                      Meaning::spindle_stop, Meaning::surface_speed, Meaning::constant_rpm})
            if (reading.code(spindle)) return said("Spindle that it is for, on lathes with several");
    if (reading.motion != machine::MotionKind::none &&
        reading.motion != machine::MotionKind::unknown_motion) {
        const codes::Code* code = codes::code_for(asked.settings().system, reading.motion_meaning);
        if (const codes::WordUse* use = codes::word_use(code, letter)) return use->meaning;
    }
    return {};
}

std::string with_unit(double number, std::string_view unit) {
    return unit.empty() ? plain(number, 5) + said(" (unit not stated)")
                        : fmt::format("{} {}", plain(number, 5), unit);
}

std::string coordinate_x(const Asked& asked, double number) {
    const std::string_view unit = length_unit(asked.block.after);
    if (asked.settings().machine.x == shop::XReading::diameter)
        return said("{} on diameter, radius {}", with_unit(number, unit), plain(number / 2, 5));
    return said("{} on radius, diameter {}", with_unit(number, unit), plain(number * 2, 5));
}

std::string ends_at(const Asked& asked, bool x) {
    const Value& end = x ? asked.block.reading.target_x_radius : asked.block.reading.target_z;
    if (!end.known()) return {};
    const double shown = x ? checks::x_as_written(end.number, asked.settings()) : end.number;
    return said(", to {}{}", x ? 'X' : 'Z', checks::written(shown));
}

/// Peak to valley by feed and nose radius, where the shop file gives the radius.
std::string roughness(const Asked& asked, double feed_mm) {
    const machine::Value& station = asked.block.after.tool;
    if (!station.known() || feed_mm <= 0) return {};
    const shop::Tool* tool = asked.document.shop().tool(static_cast<int>(station.number));
    if (!tool || !tool->nose_radius_mm || *tool->nose_radius_mm <= 0) return {};
    return said(". Theoretical roughness {} \u00b5m peak to valley (f\u00b2/8r, an estimate)",
                plain(motion::roughness_um(feed_mm, *tool->nose_radius_mm), 2));
}

std::string feed_value(const Asked& asked, double number) {
    const machine::State& state = asked.block.after;
    if (turns_c(step_of(asked))) {
        const bool alone = turns_c_alone(step_of(asked));
        const std::string_view by = state.is(Meaning::feed_per_minute) ? said("a minute")
                                    : state.is(Meaning::feed_per_rev)  ? said("a turn")
                                                                       : std::string_view();
        if (!by.empty() && alone) return said("{} degrees {}", plain(number, 5), by);
        if (!by.empty())
            return said("{} {} of degrees and lengths together, as most controls count it; some count the "
                        "lengths alone",
                        plain(number, 5), by);
    }
    const std::string_view unit = length_unit(state).empty() ? said("units") : length_unit(state);
    const std::optional<double> rpm = rpm_in(state, asked.settings());
    if (state.is(Meaning::feed_per_rev)) {
        std::string text = said("{} {} a turn", plain(number, 5), unit);
        if (rpm)
            text += said(", {} {}/min at {:.0f} rpm", plain(number * *rpm, unit == "in" ? 2 : 0), unit, *rpm);
        return length_unit(state).empty() ? text : text + roughness(asked, to_mm(number, state));
    }
    if (state.is(Meaning::feed_per_minute))
        return said("{} {} a minute{}", plain(number, 5), unit,
                    rpm && *rpm > 0 ? said(", {} {} a turn at {:.0f} rpm", plain(number / *rpm), unit, *rpm)
                                    : std::string{});
    return said("{}, by the feed mode, which is {}", plain(number, 5),
                modal_text(state.of(Group::feed_mode), Group::feed_mode, asked.settings()));
}

/// Below which diameter the limit holds the speed back.
std::string where_limit_holds(const Asked& asked) {
    const motion::Spindle spindle = motion::spindle_of(asked.block.after, asked.settings());
    if (!spindle.limit_rpm || !spindle.surface_m_per_min || *spindle.limit_rpm <= 0) return {};
    const double diameter_mm = 1000 * *spindle.surface_m_per_min / (std::numbers::pi * *spindle.limit_rpm);
    return said(
        ". The limit of {} rpm holds below diameter {}", plain(*spindle.limit_rpm, 0),
        plain(from_mm(diameter_mm, asked.block.after), length_unit(asked.block.after) == "in" ? 3 : 2));
}

std::string speed_value(const Asked& asked, double number) {
    const machine::State& state = asked.block.after;
    if (state.is(Meaning::constant_rpm)) return said("{} rpm", plain(number));
    if (!state.is(Meaning::surface_speed))
        return said("{}, rpm or surface speed: the spindle mode is {}", plain(number),
                    modal_text(state.of(Group::spindle_mode), Group::spindle_mode, asked.settings()));
    std::string text = said("{} {} of surface speed", plain(number),
                            surface_unit(state).empty() ? said("m/min or ft/min") : surface_unit(state));
    if (const auto rpm = rpm_in(state, asked.settings()))
        text += said(", {:.0f} rpm at X{}", *rpm,
                     checks::written(checks::x_as_written(state.x_radius.number, asked.settings())));
    return text + where_limit_holds(asked);
}

/// G76 P011060.
std::string packed_value(double number) {
    const int packed = machine::whole_number(number);
    return said("{} finish {}, run-out {} times the lead, thread angle {} degrees", packed / 10000,
                packed / 10000 == 1 ? said("pass") : said("passes"), plain((packed / 100 % 100) / 10.0, 1),
                packed % 100);
}

/// ", to C315": where the part stands behind it, of a way from where it stood.
std::string ends_at_c(const Asked& asked) {
    const Value& end = asked.block.after.c;
    if (asked.item.letter != 'H' || !end.known()) return {};
    return said(", to {}{}", 'C', checks::written(end.number));
}

std::string length_value(const Asked& asked, double number) {
    return with_unit(number, length_unit(asked.block.after));
}

std::string in_increments(const Asked& asked, double number) {
    if (asked.item.has_point) return length_value(asked, number);
    return said("{} least increments, {}", plain(asked.item.value), length_value(asked, number));
}

std::string lead_value(const Asked& asked, double number) {
    std::string text = length_value(asked, number) + said(" a turn");
    if (asked.block.after.is(Meaning::inch) && number > 0)
        text += said(", {} threads per inch", plain(1 / number, 2));
    return text;
}

/// Variables that a macro call's letters fill (argument list I; common practice, no source).
std::string argument_value(char letter, double number) {
    constexpr std::pair<char, int> variables[] = {
        {'A', 1},  {'B', 2},  {'C', 3},  {'D', 7},  {'E', 8},  {'F', 9},  {'H', 11},
        {'I', 4},  {'J', 5},  {'K', 6},  {'M', 13}, {'Q', 17}, {'R', 18}, {'S', 19},
        {'T', 20}, {'U', 21}, {'V', 22}, {'W', 23}, {'X', 24}, {'Y', 25}, {'Z', 26}};
    for (const auto& [name, variable] : variables)
        if (name == letter) return said("{}, as #{} in the macro", plain(number, 5), variable);
    return plain(number, 5);
}

bool dwells_in_turns(const Asked& asked) {
    return asked.settings().machine.dwell_in_revolutions.value_or(false) &&
           asked.block.after.is(Meaning::feed_per_rev);
}

/// A whole number of seconds, taken as it stands where the shop file does not say how such numbers are read.
bool is_assumed_seconds(const Asked& asked) {
    return asked.settings().machine.no_point == shop::NoPoint::unknown && !asked.item.has_point &&
           asked.item.kind == syntax::ItemKind::word && asked.item.value != 0;
}

std::string known_value(const Asked& asked, double number) {
    switch (asked.word->quantity) {
    case Quantity::length_x:
        return coordinate_x(asked, number);
    case Quantity::increment_x:
        return coordinate_x(asked, number) + ends_at(asked, true);
    case Quantity::increment_z:
        // R of a drilling cycle is counted from the level where the tool stands.
        if (asked.item.letter == 'R')
            return length_value(asked, number) +
                   (asked.block.before.z.known()
                        ? said(", to Z{}", checks::written(asked.block.before.z.number + number))
                        : "");
        if (asked.item.letter == 'V') {
            const Value& end = asked.block.after.y;
            return length_value(asked, number) +
                   (end.known() ? said(", to {}{}", 'Y', checks::written(end.number)) : "");
        }
        return length_value(asked, number) + ends_at(asked, false);
    case Quantity::radius_x:
        return said("{} on radius, {} on diameter", length_value(asked, number), plain(number * 2, 5));
    case Quantity::length_z:
    case Quantity::length:
        return length_value(asked, number);
    case Quantity::length_units:
        return in_increments(asked, number);
    case Quantity::angle:
        if (is_chamfer(step_of(asked), *asked.word)) return length_value(asked, number);
        if (asked.item.letter == 'B')
            return said("{}: an angle, or a length of a slide's way", plain(number, 4));
        return plain(number, 4) + said(" degrees") + ends_at_c(asked);
    case Quantity::angle_units:
        return plain(number, 4) + said(" degrees");
    case Quantity::feed:
        return feed_value(asked, number) +
               assumed_words(asked.block.after, {Group::units, Group::feed_mode}, asked.settings());
    case Quantity::lead:
        return lead_value(asked, number);
    case Quantity::threads_per_inch:
        return said("{} threads per inch, lead {} in", plain(number),
                    number > 0 ? plain(1 / number, 5) : "?");
    case Quantity::speed:
        return speed_value(asked, number) +
               assumed_words(asked.block.after, {Group::spindle_mode}, asked.settings());
    case Quantity::speed_rpm:
        return plain(number) + said(" rpm");
    case Quantity::seconds:
        if (dwells_in_turns(asked)) return plain(number) + said(" turns of the spindle");
        if (is_assumed_seconds(asked))
            return said("assumed: {0} s; without a point it is {0} s or {1} s, by the control's setting",
                        plain(asked.item.value), plain(asked.item.value * 0.001, 6));
        return plain(number) + " s";
    case Quantity::milliseconds:
        if (asked.block.reading.code(Meaning::dwell) && dwells_in_turns(asked))
            return plain(number / 1000) + said(" turns of the spindle");
        return fmt::format("{} ms, {} s", plain(number), plain(number / 1000));
    case Quantity::label:
        return label_text(asked.document, asked.block.place, number);
    case Quantity::packed:
        return packed_value(number);
    case Quantity::argument:
        return argument_value(asked.item.letter, number);
    case Quantity::program:
        return said("program O{:04.0f}", number);
    default:
        return plain(number, 5);
    }
}

/// A number with no point whose reading the shop file does not tell.
std::string two_readings(const Asked& asked) {
    const shop::Machine& machine = asked.settings().machine;
    const double least =
        asked.block.after.is(Meaning::inch) ? machine.least_increment_inch : machine.least_increment_mm;
    if (asked.word->quantity == Quantity::seconds)
        return said("No decimal point: {0} s or {1} s, by the control's setting, which is not known here. "
                    "Write {2}{3} or {2}{4}",
                    plain(asked.item.value), plain(asked.item.value * 0.001, 6), asked.item.letter,
                    checks::written(asked.item.value), checks::written(asked.item.value * 0.001));
    if (asked.word->quantity == Quantity::feed)
        return said("No decimal point: {}, {} or {}, for controls count a feed without a point in whole "
                    "units, hundredths or thousandths. Write it with its point",
                    plain(asked.item.value), plain(asked.item.value * 0.01, 6),
                    plain(asked.item.value * 0.001, 6));
    const std::string_view unit = length_unit(asked.block.after);
    if (unit.empty())
        return said("No decimal point: {} whole units or {} least increments, by the control's setting, "
                    "which is not known here. Write {}{}",
                    plain(asked.item.value), plain(asked.item.value), asked.item.letter,
                    checks::written(asked.item.value));
    return said("No decimal point: {0} {2} or {1} {2}, by the control's setting, which is not known "
                "here. Write {3}{4} or {3}{5}",
                plain(asked.item.value), plain(asked.item.value * least, 6), unit, asked.item.letter,
                checks::written(asked.item.value), checks::written(asked.item.value * least));
}

} // namespace

namespace {
bool is_finer_than_increment(const Asked& asked, double number) {
    const shop::Machine& machine = asked.settings().machine;
    const double least =
        asked.block.after.is(Meaning::inch) ? machine.least_increment_inch : machine.least_increment_mm;
    const double steps = number / least;
    return std::abs(steps - std::round(steps)) > 1e-4;
}
} // namespace

namespace {

/// " (assumed: inch by its feeds, X as a diameter)" behind a length.
std::string length_assumed(const Asked& asked, bool computed) {
    const Quantity quantity = asked.word->quantity;
    const bool along_x =
        quantity == Quantity::length_x || quantity == Quantity::increment_x || quantity == Quantity::radius_x;
    const bool is_length = along_x || quantity == Quantity::length_z || quantity == Quantity::increment_z ||
                           quantity == Quantity::length || quantity == Quantity::length_units ||
                           quantity == Quantity::lead;
    if (!is_length) return {};
    const bool without_point =
        !computed && !asked.item.has_point && asked.item.value != 0 && codes::reads_in_increments(quantity);
    return assumed_of_length(asked.block.after, asked.document, along_x, without_point);
}

} // namespace

std::string value_text(const Asked& asked) {
    const codes::Letter* row = codes::letter(asked.item.letter);
    const std::string_view meaning = meaning_of_word(asked);
    const std::string_view title = !meaning.empty() ? meaning
                                   : row            ? std::string_view(row->title)
                                                    : said("Letter without a meaning here");
    std::string text = fmt::format("**{}** {}", in_markdown(asked.text()), sentence_case(title));
    if (!asked.word) return text + said(": an empty variable, as if the word were not there.\n\n");
    const Value& value = asked.word->value;
    const bool computed = syntax::holds_expression(asked.item.kind);
    if (value.known()) {
        text += computed ? said(", computed: ") : ": ";
        text += known_value(asked, value.number);
        if (!asked.item.has_point && !computed && codes::reads_in_increments(asked.word->quantity) &&
            value.number != asked.item.value)
            text += said(" (no decimal point: {} least increments)", plain(asked.item.value));
        text += length_assumed(asked, computed);
    } else if (value.why == machine::Why::no_point) {
        text += ". " + two_readings(asked);
    } else if (asked.item.odd_number) {
        text += said(". The number cannot be read by a control");
    } else {
        text += said(". Its value is ") + unknown_text(value.why);
    }
    const bool is_length =
        asked.word->quantity == Quantity::length_x || asked.word->quantity == Quantity::length_z;
    if (computed && value.known() && is_length && is_finer_than_increment(asked, value.number))
        text += said(". The control brings it to its least increment; whether it rounds or cuts off differs");
    text += text.ends_with('.') ? "\n\n" : ".\n\n"; // "to Z2."
    if (computed) text += macro_text(asked);
    // The letter's own text only where no code says what the word is.
    if (row && meaning.empty()) text += fmt::format("{}\n\n", row->text);
    return text;
}

} // namespace turnwright::features
