// Between G-code systems A, B and C, and X between diameter and radius.
//
// A code keeps its meaning and takes the other system's number. System A says by the letter (U, W) what B and
// C say by a mode (G91), so distances change their form as well.
#include "features/equal_moves.h"
#include "features/rewriting.h"
#include "features/speech.h"
#include "features/word_edits.h"
#include "language/said.h"

#include <algorithm>
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
    SystemConverter(const Document& document, System to, LeftBlocks* left)
        : document_(document), edits_(document, left), from_(document.settings().system), to_(to) {}

    Rewrite convert() {
        edits_.each([&](const BlockView& view) { block(view); });
        if (back_)
            edits_.refuse(
                said("the last block moves by a distance, and nothing after it can state G90 again."));
        return edits_.finish(shop_with(document_, to_, std::nullopt));
    }

private:
    void block(const BlockView& view) {
        const bool may_be_distances = to_ == System::A && !view.after.is(Meaning::absolute) &&
                                      !view.after.of(codes::Group::distance).surely_unset();
        const std::string_view distances = from_ == System::A ? "UW" : may_be_distances ? "XZ" : "-";
        if (const std::string why = why_passed_over(view, distances); !why.empty())
            return edits_.refuse(view, why);
        const bool by_distance = returns_by_distance(view);
        if (back_ && !by_distance) state_absolute_again(view);
        bool gives_modal_code = false;
        for (const Word& word : view.reading.words) {
            if (edits_.refused()) return;
            if (word.letter == 'G' && !word.after_comma && !word.implied) code(view, word);
            if (word.code && word.letter == 'G' && word.code->is_modal()) gives_modal_code = true;
            if (word.letter == 'R' && !word.after_comma && (from_ == System::A) != (to_ == System::A) &&
                view.reading.motion == machine::MotionKind::drill_cycle)
                level(view, word);
            if (from_ == System::A)
                to_position(view, word);
            else
                refuse_letter(view, word);
            if (from_ != System::A && to_ == System::A) to_distance(view, word);
        }
        if (from_ != System::A) return;
        if (by_distance)
            move_by_distance(view);
        else if (gives_modal_code)
            state_absolute(view);
    }

    /// Of X and Z, of Y and of C as an axis.
    static bool is_distance(const Word& word) {
        if (word.after_comma || word.quantity == Quantity::argument) return false;
        return word.letter == 'U' || word.letter == 'W' || is_other_distance(word);
    }
    static bool is_other_distance(const Word& word) {
        return !word.after_comma && ((word.letter == 'V' && word.quantity == Quantity::increment_z) ||
                                     (word.letter == 'H' && word.quantity == Quantity::angle));
    }
    static char position_of(char distance) {
        constexpr std::string_view distances = "UVWH", positions = "XYZC";
        return positions[distances.find(distance)];
    }
    static char distance_of(char position) {
        constexpr std::string_view distances = "UVWH", positions = "XYZC";
        return distances[positions.find(position)];
    }

    /// A return whose way leads over distances: X and Z under G91 there.
    bool returns_by_distance(const BlockView& view) const {
        if (from_ != System::A || view.reading.motion != machine::MotionKind::reference) return false;
        const auto& words = view.reading.words;
        return std::any_of(words.begin(), words.end(), is_distance);
    }

    void move_by_distance(const BlockView& view) {
        if (view.reading.has('X') || view.reading.has('Z') || view.reading.has('Y') || view.reading.has('C'))
            return edits_.refuse(view,
                                 said("a return over a position and a distance at once has no like there."));
        for (const Word& word : view.reading.words)
            if (is_distance(word)) {
                const std::string_view text = view.run.text_of(*word.item);
                edits_.word(view, *word.item, position_of(word.letter) + std::string(text.substr(1)));
            }
        if (!back_) edits_.insert(view, codes::written_as(to_, Meaning::incremental));
        back_ = true;
    }

    /// Behind such a return positions are absolute again; where the block may be left out, in the next one
    /// too.
    void state_absolute_again(const BlockView& view) {
        const auto& words = view.reading.words;
        const bool says = std::any_of(words.begin(), words.end(), [](const Word& word) {
            return word.letter != 'N' && word.letter != 'O';
        });
        const auto items = view.run.items_of(view.text);
        const bool statement = std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            return item.kind >= syntax::ItemKind::assignment && item.kind <= syntax::ItemKind::go_to;
        });
        if (statement)
            return edits_.refuse(
                view, said("a macro statement follows a return by a distance, and G90 cannot stand "
                           "beside it."));
        if (!says) return;
        edits_.insert(view, codes::written_as(to_, Meaning::absolute));
        if (!view.text.deleted) back_ = false;
        stated_ = true;
        stated_for_ = sequence_at(document_, {view.run_index, view.block});
    }

    /// In B and C distances are told by G91. Controls differ in what U and W are there: another axis, the
    /// same distance, or an alarm.
    void refuse_letter(const BlockView& view, const Word& word) {
        using machine::MotionKind;
        if (!is_distance(word) || view.reading.motion == MotionKind::contour_cycle ||
            view.reading.code(Meaning::dwell))
            return;
        edits_.refuse(view, said("what {} is in system {} is not the same on all controls.",
                                 compact(view.run.text_of(*word.item)), codes::system_letter(from_)));
    }

    void code(const BlockView& view, const Word& word) {
        if (!word.value.known()) return edits_.refuse(view, said("a macro computes which code this is."));
        if (!word.code) {
            // A number the table does not hold may mean something else over there.
            if (codes::find(to_, 'G', word.value.number))
                edits_.refuse(view, said("{} is not known in system {} and means something in system {}.",
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
            return edits_.refuse(view, said("system {} has no code for {}.", codes::system_letter(to_),
                                            codes::title(meaning)));
        if (written != codes::written_as(from_, meaning)) edits_.word(view, *word.item, written);
    }

    /// U and W as X and Z, for systems where the letters are no distances.
    void to_position(const BlockView& view, const Word& word) {
        using machine::MotionKind;
        if (!is_distance(word)) return;
        const MotionKind motion = view.reading.motion;
        // Depths and allowances, and returns, which keep their distances.
        if (motion == MotionKind::contour_cycle || motion == MotionKind::reference) return;
        if (view.reading.code(Meaning::dwell)) {
            const std::string_view text = view.run.text_of(*word.item);
            return edits_.word(view, *word.item, 'X' + std::string(text.substr(1)));
        }
        if (motion == MotionKind::none || motion == MotionKind::machine_rapid)
            return edits_.refuse(view,
                                 said("{} is a distance here that system {} writes otherwise.",
                                      compact(view.run.text_of(*word.item)), codes::system_letter(to_)));
        if (motion == MotionKind::drill_cycle && machine::repeats_of(view.reading) != 1)
            return edits_.refuse(view, said("the distance is gone once for each hole."));
        // As a position C may turn the other way round, or not at all.
        if (word.letter == 'H')
            return edits_.refuse(view,
                                 said("{} is a distance here that system {} writes otherwise.",
                                      compact(view.run.text_of(*word.item)), codes::system_letter(to_)));
        const bool x = word.letter == 'U';
        const machine::Value& end = x                    ? view.reading.target_x_radius
                                    : word.letter == 'V' ? view.after.y
                                                         : view.reading.target_z;
        if (!end.known())
            return edits_.refuse(view, said("where {} ends is {}.", compact(view.run.text_of(*word.item)),
                                            unknown_text(end.why)));
        if (computes(view)) return edits_.refuse(view, said("a macro computes in this block."));
        const double shown = x ? checks::x_as_written(end.number, document_.settings()) : end.number;
        edits_.word(view, *word.item,
                    std::string(1, position_of(word.letter)) + with_point(shown, places_in(view) + 1));
    }

    /// R of a drilling cycle: in system A the distance from where the tool stands to the R level, on radius;
    /// in B and C the level itself.
    void level(const BlockView& view, const Word& word) {
        const Meaning meaning = view.reading.motion_meaning;
        const bool side =
            meaning == Meaning::drill_side || meaning == Meaning::tap_side || meaning == Meaning::bore_side;
        const machine::Value& start = side ? view.before.x_radius : view.before.z;
        if (!start.known() || !word.value.known() || computes(view))
            return edits_.refuse(view,
                                 said("where {} lies is not known.", compact(view.run.text_of(*word.item))));
        const machine::Settings& settings = document_.settings();
        const double factor = side && settings.machine.x == shop::XReading::diameter ? 2 : 1;
        if (from_ != System::A && word.value.number < 0 && !side)
            return edits_.refuse(view, said("{} is a level below Z0, or a distance on lathes set so.",
                                            compact(view.run.text_of(*word.item))));
        const double written = from_ == System::A ? (start.number + word.value.number) * factor
                                                  : word.value.number / factor - start.number;
        edits_.word(view, *word.item, "R" + with_point(written, places_in(view) + 1));
    }

    /// Under G91 the letters X and Z of a move become U and W.
    void to_distance(const BlockView& view, const Word& word) {
        const bool other = (word.letter == 'Y' && word.quantity == Quantity::length_z) ||
                           (word.letter == 'C' && word.quantity == Quantity::angle);
        if (word.after_comma || (word.letter != 'X' && word.letter != 'Z' && !other)) return;
        if (view.after.is(Meaning::absolute) || view.reading.motion == machine::MotionKind::none) return;
        if (!view.after.is(Meaning::incremental)) {
            if (view.after.of(codes::Group::distance).surely_unset()) return; // absolute by common practice
            return edits_.refuse(view,
                                 said("whether positions are absolute or incremental is not known here."));
        }
        // A drill's return is told otherwise, and a contour's cycle names no end.
        if (view.reading.motion == machine::MotionKind::contour_cycle) return;
        if ((view.reading.motion == machine::MotionKind::drill_cycle && !other) ||
            view.reading.motion == machine::MotionKind::machine_rapid)
            return edits_.refuse(view, said("a cycle with incremental distances has no like in system A."));
        const std::string_view text = view.run.text_of(*word.item);
        edits_.word(view, *word.item, std::string(1, distance_of(word.letter)) + std::string(text.substr(1)));
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
    bool back_ = false; ///< G91 is in force, and G90 must be stated again
    const machine::Sequence* stated_for_ = nullptr;
};

} // namespace

Rewrite convert_system(const Document& document, System to, LeftBlocks* left) {
    if (document.settings().system == to)
        return {{}, said("The program is read in system {} already.", codes::system_letter(to))};
    return SystemConverter(document, to, left).convert();
}

Rewrite convert_x_reading(const Document& document, shop::XReading to, LeftBlocks* left) {
    if (document.settings().machine.x == to)
        return {{},
                to == shop::XReading::diameter ? said("X is read as a diameter already.")
                                               : said("X is read as a radius already.")};
    const double factor = to == shop::XReading::radius ? 0.5 : 2;
    WordEdits edits(document, left);
    std::size_t reckoned = 0;
    edits.each([&](const BlockView& view) {
        if (computes(view))
            if (const std::string why = why_not_reckoned(view, "XU"); !why.empty())
                return edits.refuse(view, why);
        for (const Word& word : view.reading.words) {
            if (word.quantity == Quantity::argument && calls_own_program(document, view)) continue;
            if (word.quantity == Quantity::argument)
                return edits.refuse(view,
                                    said("a macro is called, and what its values mean cannot be told."));
            if (word.quantity != Quantity::length_x && word.quantity != Quantity::increment_x) continue;
            if (word.item->kind == syntax::ItemKind::computed_word) {
                edits.computed(view, *word.item, to == shop::XReading::radius ? "/2" : "*2");
                ++reckoned;
                continue;
            }
            if (!word.value.known())
                return edits.refuse(view,
                                    said("{} has a value that is {}.", compact(view.run.text_of(*word.item)),
                                         unknown_text(word.value.why)));
            if (word.value.number != 0)
                edits.number(view, *word.item, with_point(word.value.number * factor, places_in(view) + 1));
        }
    });
    Rewrite rewrite = edits.finish(shop_with(document, std::nullopt, to));
    if (rewrite.done())
        rewrite.told =
            reckoned_text(reckoned, to == shop::XReading::radius ? said("divided by 2") : said("times 2"));
    return rewrite;
}

} // namespace turnwright::features
