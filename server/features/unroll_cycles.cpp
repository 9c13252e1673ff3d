// Cycles that another control does not have, written as the single moves that they make.
#include "features/equal_moves.h"
#include "features/single_moves.h"
#include "features/transfer.h"
#include "features/word_edits.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using motion::Segment;

namespace {

bool is_of_contour(Meaning meaning) {
    return meaning == Meaning::finish_cycle || meaning == Meaning::rough_turning ||
           meaning == Meaning::rough_facing || meaning == Meaning::pattern_repeat;
}

/// Taps turn the spindle with the feed, and single moves do not.
bool is_only_moves(Meaning meaning) {
    return meaning != Meaning::tap_face && meaning != Meaning::tap_side && meaning != Meaning::bore_stop;
}

class CycleUnroller {
public:
    CycleUnroller(const Document& document, const std::vector<Meaning>& lacks, LeftBlocks& left)
        : document_(document), lacks_(lacks), left_(left),
          reader_(machine::Reader(document.analysis()).of_stated()) {}

    Unrolled unroll() {
        if (std::none_of(lacks_.begin(), lacks_.end(), is_only_moves)) return {};
        look();
        if (cycles_.empty() && refused_.empty()) return {};
        if (contour_refused_)
            for (const Cycle& cycle : cycles_)
                if (cycle.of_contour)
                    refused_.push_back(
                        {cycle.line, said("another cycle with a contour cannot be unrolled.")});
        if (contour_refused_) std::erase_if(cycles_, [](const Cycle& cycle) { return cycle.of_contour; });
        Unrolled unrolled = write();
        if (!cycles_.empty() && !is_the_same(unrolled)) {
            for (const Cycle& cycle : cycles_)
                if (cycle.differs)
                    refused_.push_back({cycle.line, said("its single moves would not be the same.")});
            cycles_.clear();
            contour_refused_ = true;
            unrolled = {};
        }
        if (cycles_.empty()) unrolled = {};
        for (LeftBlock& block : refused_) {
            if (!unrolled.text.empty())
                block.line = static_cast<std::size_t>(
                    std::find(unrolled.line_was.begin(), unrolled.line_was.end(), block.line) -
                    unrolled.line_was.begin());
            left_.push_back(std::move(block));
        }
        return unrolled;
    }

private:
    struct Cycle {
        std::size_t line;
        bool of_contour;
        std::vector<Segment> segments;
        std::vector<std::string> lines;
        std::size_t first_line = 0; ///< In the new text
        bool differs = false;
    };

    bool lacked(Meaning meaning) const {
        if (!is_only_moves(meaning)) return false;
        if (is_of_contour(meaning)) // The contour goes with the first of them
            return std::any_of(lacks_.begin(), lacks_.end(), is_of_contour) && uses_lacked_contour_;
        return std::find(lacks_.begin(), lacks_.end(), meaning) != lacks_.end();
    }

    void each(const std::function<void(const BlockView&)>& look) const {
        for (std::size_t run = 0; run < document_.forest().size(); ++run) reader_.visit(run, look);
    }

    void look() {
        bool turns = false;
        each([&](const BlockView& view) {
            const machine::Reading& reading = view.reading;
            using machine::FlowKind;
            turns = turns || reading.flow == FlowKind::jump || reading.flow == FlowKind::maybe_jump ||
                    reading.flow == FlowKind::loop_start;
            if (machine::is_cycle(reading.motion) && is_of_contour(reading.motion_meaning) &&
                std::find(lacks_.begin(), lacks_.end(), reading.motion_meaning) != lacks_.end())
                uses_lacked_contour_ = true;
        });
        each([&](const BlockView& view) {
            const machine::Reading& reading = view.reading;
            const std::size_t line = document_.line_of({view.run_index, view.block});
            if (reading.in_contour && uses_lacked_contour_) gone_.push_back(line);
            if (reading.sets_up_cycle &&
                std::any_of(reading.words.begin(), reading.words.end(), [&](const machine::Word& word) {
                    return word.code && lacked(word.code->meaning);
                }))
                set_up_.push_back({line, is_contour_set_up(reading)});
            if (machine::is_cycle(reading.motion) && lacked(reading.motion_meaning) && !reading.sets_up_cycle)
                cycle(view, line, turns);
        });
    }

    static bool is_contour_set_up(const machine::Reading& reading) {
        return std::any_of(reading.words.begin(), reading.words.end(), [](const machine::Word& word) {
            return word.code && is_of_contour(word.code->meaning);
        });
    }

    void cycle(const BlockView& view, std::size_t line, bool turns) {
        const bool of_contour = is_of_contour(view.reading.motion_meaning);
        const auto refuse = [&](std::string reason) {
            refused_.push_back({line, std::move(reason)});
            contour_refused_ = contour_refused_ || of_contour;
        };
        const machine::Modal& side = view.after.of(Group::nose_compensation);
        motion::BlockPath path = motion::path_of(view, reader_);
        if (!path.complete || path.segments.empty())
            return refuse(
                said("where the cycle goes is not known, so it cannot be written as single moves."));
        if (!side.surely_unset() && !side.is(Meaning::compensation_off))
            return refuse(said("single moves are compensated otherwise than the cycle."));
        if (of_contour && turns) return refuse(said("the program jumps, and may jump into the contour."));
        if (view.settings.system != codes::System::A && !view.after.is(Meaning::absolute))
            return refuse(said("it stands under incremental distances."));
        if (!view.after.of(Group::units).known() || !view.after.of(Group::feed_mode).known())
            return refuse(said("unit or feed mode are not known here."));
        if (view.reading.has('M') || view.reading.has('T') || computes(view))
            return refuse(said("more than the cycle stands in its block."));
        auto lines = single_moves(view, path.segments);
        if (!lines || lines->empty()) return refuse(said("its feed is not known."));
        add_rest(view, *lines);
        cycles_.push_back({line, of_contour, std::move(path.segments), std::move(*lines), 0, false});
    }

    /// N, speed, other codes and notes of the cycle's block stay in front of its first move; block delete
    /// stands before all of them.
    static void add_rest(const BlockView& view, std::vector<std::string>& lines) {
        std::string front, note, deleted;
        for (const syntax::Item& item : view.run.items_of(view.text)) {
            const std::string text(view.run.text_of(item));
            if (item.kind == syntax::ItemKind::block_delete) deleted = text + " ";
            if (item.kind == syntax::ItemKind::note) note += " " + text;
            if (item.kind != syntax::ItemKind::word) continue;
            const machine::Word* word = word_of(view.reading, item);
            const bool other_code = item.letter == 'G' && word && word->code && word->code->is_modal() &&
                                    word->code->group() != Group::motion &&
                                    word->code->group() != Group::drill_cycle;
            if (item.letter == 'N' || item.letter == 'S' || other_code) front += text + " ";
        }
        lines.front() = front + lines.front() + note;
        for (std::string& line : lines) line.insert(0, deleted);
    }

    Unrolled write() {
        Unrolled unrolled;
        const std::string_view line_end =
            document_.buffer().whole().find("\r\n") == std::string::npos ? "\n" : "\r\n";
        std::size_t next = 0;
        const auto add = [&](std::string_view text, std::size_t line, bool with_end) {
            unrolled.text += text;
            if (with_end) unrolled.text += line_end;
            unrolled.line_was.push_back(line);
        };
        const std::size_t count = document_.buffer().line_count();
        for (std::size_t line = 0; line < count; ++line) {
            if (next < cycles_.size() && cycles_[next].line == line) {
                cycles_[next].first_line = unrolled.line_was.size();
                for (const std::string& text : cycles_[next].lines) add(text, line, true);
                ++next;
                ++unrolled.cycles;
            } else if (!goes(line)) {
                add(document_.buffer().line(line), line, line + 1 < count);
            }
        }
        return unrolled;
    }

    bool goes(std::size_t line) const {
        if (!contour_refused_ && std::binary_search(gone_.begin(), gone_.end(), line)) return true;
        const auto set_up = std::lower_bound(set_up_.begin(), set_up_.end(), std::pair(line, false));
        return set_up != set_up_.end() && set_up->first == line && !(set_up->second && contour_refused_) &&
               serves(line);
    }
    /// The line sets up a cycle that is unrolled: the next cycle behind it.
    bool serves(std::size_t line) const {
        const auto cycle =
            std::find_if(cycles_.begin(), cycles_.end(), [&](const Cycle& each) { return each.line > line; });
        const auto refused = std::find_if(refused_.begin(), refused_.end(),
                                          [&](const LeftBlock& each) { return each.line > line; });
        return cycle != cycles_.end() && (refused == refused_.end() || cycle->line < refused->line);
    }

    bool is_the_same(const Unrolled& unrolled) {
        const Document after(unrolled.text, document_.shop_pointer(), document_.path(), document_.library());
        std::vector<Segment> segments;
        std::size_t at = 0;
        bool same = true;
        const double tolerance = tolerance_of(document_, document_);
        const auto finish = [&] {
            cycles_[at].differs = !same_segments(cycles_[at].segments, segments, tolerance);
            same = same && !cycles_[at].differs;
            segments.clear();
            ++at;
        };
        const machine::Reader reader = machine::Reader(after.analysis()).of_stated();
        for (std::size_t run = 0; run < after.forest().size(); ++run)
            reader.visit(run, [&](const BlockView& view) {
                const std::size_t line = after.line_of({view.run_index, view.block});
                if (at < cycles_.size() && line >= cycles_[at].first_line + cycles_[at].lines.size())
                    finish();
                if (at >= cycles_.size() || line < cycles_[at].first_line) return;
                const motion::BlockPath path = motion::path_of(view, reader);
                segments.insert(segments.end(), path.segments.begin(), path.segments.end());
            });
        while (at < cycles_.size()) finish();
        return same;
    }

    const Document& document_;
    const std::vector<Meaning>& lacks_;
    LeftBlocks& left_;
    machine::Reader reader_;
    std::vector<Cycle> cycles_;
    LeftBlocks refused_;
    std::vector<std::size_t> gone_;                    ///< Blocks of contours
    std::vector<std::pair<std::size_t, bool>> set_up_; ///< First lines of cycles in two lines; of a contour
    bool uses_lacked_contour_ = false, contour_refused_ = false;
};

} // namespace

Unrolled unroll_cycles(const Document& document, const std::vector<Meaning>& lacks, LeftBlocks& left) {
    return CycleUnroller(document, lacks, left).unroll();
}

} // namespace turnwright::features
