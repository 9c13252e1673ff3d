// Between G-code systems A, B and C, and X between diameter and radius.
//
// A code keeps its meaning and takes the other system's number. System A says by the letter (U, W) what B and
// C say by a mode (G91), so distances change their form as well.
#include "features/equal_moves.h"
#include "features/rewriting.h"
#include "features/speech.h"
#include "features/word_edits.h"

#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::Quantity;
using codes::System;
using machine::BlockView;
using machine::Word;

namespace {

class SystemConverter {
public:
    SystemConverter(const Document& document, System to)
        : document_(document), edits_(document), from_(document.settings().system), to_(to) {}

    Rewrite convert() {
        edits_.each([&](const BlockView& view) { block(view); });
        return edits_.finish(shop_with(document_, to_, std::nullopt));
    }

private:
    void block(const BlockView& view) {
        bool gives_modal_code = false;
        for (const Word& word : view.reading.words) {
            if (edits_.refused()) return;
            if (word.letter == 'G' && !word.after_comma) code(view, word);
            if (word.code && word.letter == 'G' && word.code->is_modal()) gives_modal_code = true;
            if (from_ == System::A && to_ != System::A) to_position(view, word);
            if (from_ != System::A && to_ == System::A) to_distance(view, word);
        }
        if (from_ == System::A && to_ != System::A && gives_modal_code) state_absolute(view);
    }

    void code(const BlockView& view, const Word& word) {
        if (!word.value.known()) return edits_.refuse(view, "a macro computes which code this is.");
        if (!word.code) {
            // A number the table does not hold may mean something else over there.
            if (codes::find(to_, 'G', word.value.number))
                edits_.refuse(view,
                              fmt::format("{} is not known in system {} and means something in system {}.",
                                          compact(view.run.text_of(*word.item)), codes::system_letter(from_),
                                          codes::system_letter(to_)));
            return;
        }
        const Meaning meaning = word.code->meaning;
        if (codes::group_of(meaning) == codes::Group::distance && to_ == System::A)
            return edits_.remove(view, *word.item);
        if (meaning == Meaning::return_initial_level && to_ == System::A)
            return edits_.remove(view, *word.item);
        const std::string written = codes::written_as(to_, meaning);
        if (written.empty())
            return edits_.refuse(view, fmt::format("system {} has no code for {}.", codes::system_letter(to_),
                                                   codes::title(meaning)));
        if (written != codes::written_as(from_, meaning)) edits_.word(view, *word.item, written);
    }

    /// U and W of a move as X and Z, for systems where the letters are no distances.
    void to_position(const BlockView& view, const Word& word) {
        const bool x = word.quantity == Quantity::increment_x, z = word.quantity == Quantity::increment_z;
        if ((!x && !z) || word.after_comma || !moves_by(view, word)) return;
        if (word.letter != 'U' && word.letter != 'W')
            return edits_.refuse(view, fmt::format("{} is a distance here that system {} writes otherwise.",
                                                   word.letter, codes::system_letter(to_)));
        const machine::Value& end = x ? view.reading.target_x_radius : view.reading.target_z;
        if (!end.known())
            return edits_.refuse(view,
                                 fmt::format("where {} ends is {}.", compact(view.run.text_of(*word.item)),
                                             unknown_text(end.why)));
        if (computes(view)) return edits_.refuse(view, "a macro computes in this block.");
        const double shown = x ? checks::x_as_written(end.number, document_.settings()) : end.number;
        edits_.word(view, *word.item, std::string(1, x ? 'X' : 'Z') + with_point(shown, places_in(view) + 1));
    }

    /// Whether U or W is the move's own end and no allowance or depth.
    static bool moves_by(const BlockView& view, const Word&) {
        using machine::MotionKind;
        return is_plain_move(view.reading.motion) || view.reading.motion == MotionKind::single_cycle ||
               view.reading.motion == MotionKind::machine_rapid ||
               view.reading.motion == MotionKind::drill_cycle;
    }

    /// Under G91 the letters X and Z of a move become U and W.
    void to_distance(const BlockView& view, const Word& word) {
        if (word.after_comma || (word.letter != 'X' && word.letter != 'Z')) return;
        if (view.after.is(Meaning::absolute) || view.reading.motion == machine::MotionKind::none) return;
        if (!view.after.is(Meaning::incremental)) {
            if (view.after.of(codes::Group::distance).surely_unset()) return; // absolute by common practice
            return edits_.refuse(view, "whether positions are absolute or incremental is not known here.");
        }
        if (!is_plain_move(view.reading.motion))
            return edits_.refuse(view, "a cycle with incremental distances has no like in system A.");
        const std::string_view text = view.run.text_of(*word.item);
        edits_.word(view, *word.item,
                    std::string(1, word.letter == 'X' ? 'U' : 'W') + std::string(text.substr(1)));
    }

    /// G90 in the head and in every sequence's first block with a code that stays, so that each may be
    /// entered.
    void state_absolute(const BlockView& view) {
        const machine::Sequence* sequence = sequence_at(document_, {view.run_index, view.block});
        if (stated_ && sequence == stated_for_) return;
        stated_ = true;
        stated_for_ = sequence;
        edits_.insert(view, codes::written_as(to_, Meaning::absolute));
    }

    const Document& document_;
    WordEdits edits_;
    System from_, to_;
    bool stated_ = false;
    const machine::Sequence* stated_for_ = nullptr;
};

} // namespace

Rewrite convert_system(const Document& document, System to) {
    if (document.settings().system == to)
        return {{}, fmt::format("The program is read in system {} already.", codes::system_letter(to))};
    return SystemConverter(document, to).convert();
}

Rewrite convert_x_reading(const Document& document, shop::XReading to) {
    if (document.settings().machine.x == to)
        return {{},
                to == shop::XReading::diameter ? "X is read as a diameter already."
                                               : "X is read as a radius already."};
    const double factor = to == shop::XReading::radius ? 0.5 : 2;
    WordEdits edits(document);
    edits.each([&](const BlockView& view) {
        if (computes(view))
            return edits.refuse(view, "a macro computes here, and which numbers are X cannot be told.");
        for (const Word& word : view.reading.words) {
            if (word.quantity == Quantity::argument)
                return edits.refuse(view, "a macro is called, and what its values mean cannot be told.");
            if (word.quantity != Quantity::length_x && word.quantity != Quantity::increment_x) continue;
            if (!word.value.known())
                return edits.refuse(view, fmt::format("{} has a value that is {}.",
                                                      compact(view.run.text_of(*word.item)),
                                                      unknown_text(word.value.why)));
            if (word.value.number != 0)
                edits.number(view, *word.item, with_point(word.value.number * factor, places_in(view) + 1));
        }
    });
    return edits.finish(shop_with(document, std::nullopt, to));
}

} // namespace turnwright::features
