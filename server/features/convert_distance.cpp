// X and Z to distances from where the tool stands, and back.
#include "features/equal_moves.h"
#include "features/rewriting.h"
#include "features/speech.h"
#include "features/word_edits.h"
#include "language/said.h"

#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::System;
using machine::BlockView;
using machine::Word;

namespace {

class DistanceConverter {
public:
    DistanceConverter(const Document& document, Range range, Meaning to)
        : document_(document), edits_(document), incremental_(to == Meaning::incremental),
          by_letter_(document.settings().system == System::A),
          first_(document.place_of_line(range.begin.line)), last_(document.place_of_line(range.end.line)) {}

    Rewrite convert() {
        edits_.each_in(first_, last_, [&](const BlockView& view) { block(view); });
        if (mode_stated_) state_behind();
        return edits_.finish(document_.shop_pointer());
    }

private:
    void block(const BlockView& view) {
        if (view.reading.motion == machine::MotionKind::none) return;
        if (!is_plain_move(view.reading.motion)) {
            if (!by_letter_ && mode_stated_)
                edits_.refuse(
                    view,
                    said("this block moves otherwise than in a line or arc, and the mode would change it."));
            return;
        }
        bool changed = false;
        for (const Word& word : view.reading.words) {
            if (edits_.refused()) return;
            changed = convert(view, word) || changed;
        }
        if (!by_letter_ && !mode_stated_ && changed) {
            mode_stated_ = true;
            edits_.insert(view, codes::written_as(document_.settings().system,
                                                  incremental_ ? Meaning::incremental : Meaning::absolute));
        }
    }

    bool convert(const BlockView& view, const Word& word) {
        if (word.after_comma) return false;
        if (word.code && codes::group_of(word.code->meaning) == codes::Group::distance) {
            edits_.refuse(view, said("the block changes between absolute and incremental itself."));
            return false;
        }
        const bool x = word.letter == 'X' || word.letter == 'U', z = word.letter == 'Z' || word.letter == 'W';
        if (!x && !z) return false;
        const bool is_distance =
            by_letter_ ? word.letter == 'U' || word.letter == 'W' : view.before.is(Meaning::incremental);
        if (!by_letter_ && !is_distance && !view.before.is(Meaning::absolute)) {
            edits_.refuse(view, said("whether positions are absolute or incremental is not known here."));
            return false;
        }
        if (is_distance == incremental_) return false;
        const machine::Value& from = x ? view.before.x_radius : view.before.z;
        const machine::Value& to = x ? view.reading.target_x_radius : view.reading.target_z;
        for (const machine::Value& value : {from, to})
            if (!value.known()) {
                edits_.refuse(view, said("the position is {}.", unknown_text(value.why)));
                return false;
            }
        if (word.item->kind != syntax::ItemKind::word) {
            edits_.refuse(view, said("a macro computes this value."));
            return false;
        }
        const double number = incremental_ ? to.number - from.number : to.number;
        const double shown = x ? checks::x_as_written(number, document_.settings()) : number;
        const char letter = !by_letter_ ? word.letter : incremental_ ? (x ? 'U' : 'W') : (x ? 'X' : 'Z');
        edits_.word(view, *word.item, std::string(1, letter) + with_point(shown, places_in(view) + 1));
        return true;
    }

    /// The mode that held before, stated again in the next block with words.
    void state_behind() {
        bool done = false;
        const BlockPlace end = document_.place_of_line(document_.buffer().line_count());
        BlockPlace next = document_.place_of_line(document_.line_of(last_) + 1);
        if (next <= last_) return;
        edits_.each_in(next, end, [&](const BlockView& view) {
            if (done || view.reading.words.empty()) return;
            done = true;
            const Meaning back = incremental_ ? Meaning::absolute : Meaning::incremental;
            for (const Word& word : view.reading.words)
                if (word.code && codes::group_of(word.code->meaning) == codes::Group::distance) return;
            edits_.insert(view, codes::written_as(document_.settings().system, back));
        });
    }

    const Document& document_;
    WordEdits edits_;
    bool incremental_, by_letter_;
    BlockPlace first_, last_;
    bool mode_stated_ = false;
};

} // namespace

Rewrite convert_distance(const Document& document, Range range, Meaning to) {
    if (to != Meaning::absolute && to != Meaning::incremental)
        return {{}, said("Distances are absolute or incremental.")};
    range = {document.buffer().clamp(range.begin), document.buffer().clamp(range.end)};
    return DistanceConverter(document, range, to).convert();
}

} // namespace turnwright::features
