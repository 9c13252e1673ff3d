#include "report/written.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/speech.h"
#include "motion/motion.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using codes::Quantity;
using features::plain;
using machine::MotionKind;
using machine::Reading;
using machine::Word;
using syntax::Item;
using syntax::ItemKind;

namespace {

const Word* word_for(const Reading& reading, const Item& item) {
    for (const Word& word : reading.words)
        if (word.item && word.item->begin == item.begin) return &word;
    return nullptr;
}

/// Least increments and whole units differ: the point is part of the number.
std::string number_as_read(const Item& item) {
    const std::string number = plain(item.value, 6);
    return number + (item.has_point && number.find('.') == std::string::npos ? "." : "");
}

std::string words_of(const features::Document& document, const syntax::Run& run, const syntax::Block& block,
                     machine::BlockPlace place, const Reading* reading, bool follow);

/// A label means the block it stands on, whatever its number.
std::string target(const features::Document& document, machine::BlockPlace from, double number) {
    const auto place = features::label_place(document, from, number);
    if (!place) return fmt::format("N{}", plain(number));
    return said("block ") +
           words_of(document, document.run(place->run), document.block(*place), *place, nullptr, false);
}

std::string words_of(const features::Document& document, const syntax::Run& run, const syntax::Block& block,
                     machine::BlockPlace place, const Reading* reading, bool follow) {
    std::string out;
    for (const Item& item : run.items_of(block)) {
        switch (item.kind) {
        case ItemKind::word:
        case ItemKind::comma_word: {
            if (item.letter == 'N') break;
            const Word* word = reading ? word_for(*reading, item) : nullptr;
            if (follow && word && word->quantity == Quantity::label) {
                out += fmt::format("{}-> {} ", item.letter, target(document, place, item.value));
                break;
            }
            out += item.kind == ItemKind::comma_word ? "," : "";
            out += fmt::format("{}{} ", item.letter, number_as_read(item));
            break;
        }
        case ItemKind::note:
        case ItemKind::unclosed_note:
        case ItemKind::tape_mark:
        case ItemKind::block_delete:
        case ItemKind::end_of_block:
        case ItemKind::after_end:
            break;
        case ItemKind::go_to:
        case ItemKind::if_goto: {
            std::string text = features::compact(run.text_of(item));
            const std::size_t at = text.rfind("GOTO");
            if (follow && reading && reading->flow_target.known() && at != std::string::npos)
                text = text.substr(0, at + 4) + "-> " + target(document, place, reading->flow_target.number);
            out += text + " ";
            break;
        }
        default:
            out += features::compact(run.text_of(item)) + " ";
        }
    }
    if (!out.empty()) out.pop_back();
    return out;
}

/// "G54.1", "X12.5", "#100" behind a letter as what it comes to.
std::string shown_word(const Word& word) {
    const std::string comma = word.after_comma ? "," : "";
    const bool written = word.item->kind == ItemKind::word || word.item->kind == ItemKind::comma_word;
    const std::string letter = comma + word.letter;
    // Pairs of digits: the first may begin with a nought.
    if (written && word.quantity == Quantity::packed)
        return fmt::format("{}{:06.0f}", letter, word.value.number);
    return letter + (written ? number_as_read(*word.item) : plain(word.value.number, 6));
}

/// Letters whose words are seen in the moves of a block.
std::string_view letters_in_moves(const Reading& reading) {
    switch (reading.motion) {
    case MotionKind::none:
        return reading.code(Meaning::dwell)                                              ? "XUP"
               : reading.code(Meaning::work_shift) || reading.code(Meaning::speed_limit) ? "XZUW"
                                                                                         : "";
    case MotionKind::rapid:
        return "XZUWA";
    case MotionKind::feed:
        return "XZUWARCIK";
    case MotionKind::arc:
        return "XZUWRIK";
    case MotionKind::thread:
        return reading.motion_meaning == Meaning::thread_varying_lead ? "XZUWK" : "XZUW";
    case MotionKind::single_cycle: // The older forms give the taper with I or K
        return reading.motion_meaning == Meaning::single_facing ? "XZUWRK" : "XZUWRI";
    case MotionKind::drill_cycle:
        return "XZUWRQPK";
    case MotionKind::contour_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return "XZUWRIKPQDA";
    default:
        return "XZUW";
    }
}

double value_of(const Word& word, const machine::BlockView& view) {
    double value = word.value.number;
    if (!codes::is_length(word.quantity) && word.quantity != Quantity::length_units &&
        word.quantity != Quantity::lead)
        return value;
    const bool x = word.quantity == Quantity::length_x || word.quantity == Quantity::increment_x;
    if (x && view.settings.machine.x == shop::XReading::diameter) value /= 2;
    return view.after.is(Meaning::inch) ? value * motion::mm_per_inch : value;
}

/// The code that a word is written behind, or the first one of the block.
const Word* code_at(const Reading& reading, const Word& asked) {
    const Word* found = nullptr;
    for (const Word& word : reading.words) {
        if (&word == &asked && found) break;
        if (word.code && !word.after_comma) found = &word;
    }
    return found;
}

} // namespace

std::string written_words(const features::Document& document, const WalkedBlock& block, bool follow) {
    return words_of(document, block.view.run, block.view.text, {block.view.run_index, block.view.block},
                    &block.view.reading, follow);
}

std::vector<UnusedWord> unused_words(const WalkedBlock& block) {
    const Reading& reading = block.view.reading;
    std::vector<UnusedWord> unused;
    if (reading.flow != machine::FlowKind::none) return unused; // Arguments and counts of a call
    const std::string_view in_moves = letters_in_moves(reading);
    for (const Word& word : reading.words) {
        if (std::string_view("GMNOTSF").find(word.letter) != std::string_view::npos || !word.item) continue;
        if (in_moves.find(word.letter) != std::string_view::npos) continue;
        const Word* code = code_at(reading, word);
        UnusedWord out;
        if (code) {
            out.name = shown_word(*code) + ' ';
            const Group group = code->code->group();
            out.stays = group != Group::one_shot && group != Group::motion && group != Group::drill_cycle;
        }
        out.name += word.letter;
        const std::string start = code ? shown_word(*code) + ' ' : "";
        if (word.value.known()) {
            out.shown = start + shown_word(word);
            out.value = value_of(word, block.view);
        } else {
            out.shown = start + features::compact(block.view.run.text_of(*word.item));
            out.name = out.shown;
        }
        unused.push_back(std::move(out));
    }
    return unused;
}

bool has_cycle_words(const Reading& reading) {
    return machine::is_cycle(reading.motion) || (reading.in_contour && reading.motion != MotionKind::none);
}

CycleWords cycle_words(const WalkedBlock& block) {
    const Reading& reading = block.view.reading;
    CycleWords out;
    const bool ends_in_moves = !reading.in_contour && reading.motion != MotionKind::contour_cycle;
    for (const Word& word : reading.words) {
        if (word.letter == 'N' || word.quantity == Quantity::label || !word.item || !word.value.known())
            continue;
        if (std::string_view("MTSF").find(word.letter) != std::string_view::npos) continue; // Settings
        if (word.letter == 'G' && !word.after_comma) {
            out.shown = shown_word(word) + (out.shown.empty() ? "" : " ") + out.shown;
            continue;
        }
        out.shown += (out.shown.empty() ? "" : " ") + shown_word(word);
        // An end may be written in two ways and the level of a drill's return too: the moves tell them.
        const bool end = std::string_view("XZUW").find(word.letter) != std::string_view::npos;
        if (ends_in_moves && (end || (word.letter == 'R' && reading.motion == MotionKind::drill_cycle)))
            continue;
        out.letters += word.letter;
        out.values.push_back(value_of(word, block.view));
    }
    return out;
}

namespace {

/// The variable that an assignment writes; -1 when its number is computed.
int variable_written(const syntax::Run& run, const Item& item) {
    const auto at = [&](std::int32_t index) { return run.expressions[static_cast<std::size_t>(index)]; };
    syntax::Expression statement = at(static_cast<std::int32_t>(item.expression));
    if (statement.operation == syntax::Operation::if_then && statement.right >= 0)
        statement = at(statement.right);
    if (statement.operation != syntax::Operation::assign || statement.left < 0) return -1;
    const syntax::Expression variable = at(statement.left);
    if (variable.operation != syntax::Operation::variable || variable.left < 0) return -1;
    const syntax::Expression number = at(variable.left);
    return number.operation == syntax::Operation::number ? static_cast<int>(number.number) : -1;
}

/// Common variables from here on keep their values when the machine is switched off, and the system's own
/// follow (common practice, no source).
constexpr int first_that_stays = 500;

} // namespace

bool statement_is_open(const features::Document& document, const WalkedBlock& block, bool calls_lost) {
    const machine::BlockView& view = block.view;
    for (const Item& item : view.run.items_of(view.text)) {
        switch (item.kind) {
        case ItemKind::computed_word:
        case ItemKind::comma_computed: {
            const Word* word = word_for(view.reading, item);
            if (!word || !word->value.known()) return true;
            break;
        }
        case ItemKind::assignment:
        case ItemKind::if_then: {
            const int variable = variable_written(view.run, item);
            if (calls_lost || variable <= 0 || variable >= first_that_stays) return true;
            if (!view.after.variable(variable).known()) return true;
            break;
        }
        case ItemKind::go_to:
        case ItemKind::if_goto: {
            if (view.reading.flow == machine::FlowKind::none) break; // Its condition does not hold
            if (view.reading.flow != machine::FlowKind::jump || !view.reading.flow_target.known())
                return true;
            const machine::BlockPlace here{view.run_index, view.block};
            const auto there = features::label_place(document, here, view.reading.flow_target.number);
            if (!there || *there <= here) return true; // Round and round
            break;
        }
        case ItemKind::while_do:
        case ItemKind::do_only:
        case ItemKind::end_do:
            return true;
        default:
            break;
        }
    }
    return false;
}

} // namespace turnwright::report
