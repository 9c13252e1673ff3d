// Inch to millimetre and back: every length, feed, lead and surface speed, and the codes that state the unit.
#include "checks/noted_tool.h"
#include "features/equal_moves.h"
#include "features/rewriting.h"
#include "features/speech.h"
#include "features/turned_axis.h"
#include "features/word_edits.h"
#include "language/said.h"
#include "stock/note.h"
#include "stock/stock.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <map>

namespace turnwright::features {

using codes::Meaning;
using codes::Quantity;
using machine::BlockView;
using machine::Word;

namespace {

constexpr double metres_per_foot =
    0.3048; // exact, from the yard of 0.9144 m (NBS Circular 572 addendum, 1960)

class UnitConverter {
public:
    UnitConverter(const Document& document, Meaning to)
        : document_(document), edits_(document), to_(to), to_mm_(to == Meaning::millimetre) {}

    Rewrite convert() {
        find_unit();
        find_turns();
        edits_.each([&](const BlockView& view) { block(view); });
        if (!stated_)
            edits_.refuse(said("The program does not state its unit, so it cannot be told what it is now."));
        Rewrite rewrite = edits_.finish(document_.shop_pointer());
        if (rewrite.done())
            rewrite.told = reckoned_text(reckoned_, to_mm_ ? said("times 25.4") : said("divided by 25.4"));
        return rewrite;
    }

private:
    /// A note is in the unit that the program states first, wherever it stands.
    void find_unit() {
        const machine::Analysis& analysis = document_.analysis();
        for (std::size_t run = 0; run < analysis.size() && !unit_; ++run)
            analysis.visit(run, [&](const BlockView& view) {
                for (const Word& word : view.reading.words)
                    if (!unit_ && word.code && codes::group_of(word.code->meaning) == codes::Group::units)
                        unit_ = word.code->meaning;
            });
    }

    /// What each F counts, till the next: an F of C alone is degrees a minute in either unit.
    void find_turns() {
        const machine::Analysis& analysis = document_.analysis();
        Counts* in_force = nullptr;
        for (std::size_t run = 0; run < analysis.size(); ++run)
            analysis.visit(run, [&](const BlockView& view) {
                if (view.reading.word('F')) in_force = &counts_[{run, view.block}];
                if (!in_force) return;
                if (turns_c(step_of(view)))
                    (turns_c_alone(step_of(view)) ? in_force->turns : in_force->both) = true;
                else if (view.reading.motion != machine::MotionKind::none &&
                         view.reading.motion != machine::MotionKind::rapid &&
                         view.reading.motion != machine::MotionKind::reference)
                    in_force->lines = true;
            });
    }
    void feed(const BlockView& view, const Word& word) {
        if (view.after.is(Meaning::feed_inverse_time)) return;
        if (!view.after.is(Meaning::feed_per_rev) && !view.after.is(Meaning::feed_per_minute))
            return edits_.refuse(view, said("the feed mode is not known here."));
        const auto counted = counts_.find({view.run_index, view.block});
        const Counts counts = counted == counts_.end() ? Counts{} : counted->second;
        if (counts.both && applies(view, word))
            return edits_.refuse(view,
                                 said("{} is for a move of C together with X, Z or Y: degrees and lengths "
                                      "in one number, which have no form in the other unit.",
                                      compact(view.run.text_of(*word.item))));
        if (counts.turns && counts.lines && applies(view, word))
            return edits_.refuse(view, said("{} is degrees a minute for C, and a length for the other moves "
                                            "behind it: write an F to each.",
                                            compact(view.run.text_of(*word.item))));
        if (counts.turns) return;
        length(view, word, view.after.is(Meaning::feed_per_rev) ? (to_mm_ ? 4 : 6) : (to_mm_ ? 1 : 3));
    }

    void stock_note(const BlockView& view) {
        if (!unit_ || *unit_ == to_) return;
        for (const syntax::Item& item : view.run.items_of(view.text)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const std::string_view text = view.run.text_of(item);
            std::string written = stock::with_lengths(
                text, [&](double length) { return with_point(length * factor(), places()); });
            const bool is_ours = stock::read_stock_note(syntax::note_text(text)).has_value();
            if (!is_ours && view.before.tool.surely_unset()) written = with_stock_sizes(text);
            edits_.word(view, item, written);
        }
    }

    /// "(BAR 60 DIA C45)": of a note in a shop's own words the sizes of stock that are read from it, where it
    /// names no unit itself.
    std::string with_stock_sizes(std::string_view text) const {
        const double unit = to_mm_ ? motion::mm_per_inch : 1, other = to_mm_ ? 1 : motion::mm_per_inch;
        const auto sizes = [](std::string_view note, double mm_per_unit) {
            const checks::NotedStock stock = checks::stock_by_note(syntax::note_text(note), mm_per_unit);
            return std::array{stock.diameter_mm, stock.length_mm, stock.bore_mm};
        };
        const auto wanted = sizes(text, unit);
        if (!wanted[0] || wanted == sizes(text, other)) return std::string(text);
        std::string out;
        std::array<bool, 3> done{};
        for (std::size_t at = 0; at < text.size();) {
            const std::size_t end = std::min(text.find_first_not_of("0123456789.", at), text.size());
            std::string token(text.substr(at, std::max<std::size_t>(end - at, 1)));
            at += token.size();
            for (std::size_t i = 0; i < wanted.size() && end > at - token.size(); ++i)
                if (!done[i] && wanted[i] && std::abs(std::atof(token.c_str()) * unit - *wanted[i]) < 1e-6) {
                    done[i] = true;
                    token = with_point(*wanted[i] / other, places());
                    break;
                }
            out += token;
        }
        const auto now = sizes(out, other);
        for (std::size_t i = 0; i < wanted.size(); ++i)
            if (wanted[i].has_value() != now[i].has_value() ||
                (wanted[i] && std::abs(*wanted[i] - *now[i]) > 0.01))
                return std::string(text);
        return out;
    }

    void block(const BlockView& view) {
        stock_note(view);
        if (computes(view))
            if (const std::string why = why_not_reckoned(view); !why.empty()) return edits_.refuse(view, why);
        for (const Word& word : view.reading.words) {
            if (edits_.refused()) return;
            if (word.code &&
                (word.code->meaning == Meaning::inch || word.code->meaning == Meaning::millimetre)) {
                stated_ = true;
                edits_.word(view, *word.item, codes::written_as(document_.settings().system, to_));
            } else {
                convert(view, word);
            }
        }
    }

    /// Decimals of a converted length: one least increment is 0.001 mm or 0.0001 in.
    int places() const { return to_mm_ ? 3 : 4; }
    double factor() const { return to_mm_ ? motion::mm_per_inch : 1 / motion::mm_per_inch; }

    void convert(const BlockView& view, const Word& word) {
        switch (word.quantity) {
        case Quantity::length_x:
        case Quantity::length_z:
        case Quantity::radius_x:
        case Quantity::length:
            return length(view, word, places());
        case Quantity::increment_x:
            return increment(view, word, true);
        case Quantity::increment_z:
            return increment(view, word, false);
        case Quantity::length_units:
            return increments(view, word);
        case Quantity::lead:
            return length(view, word, to_mm_ ? 5 : 6);
        case Quantity::feed:
            return feed(view, word);
        case Quantity::speed:
            return speed(view, word);
        case Quantity::threads_per_inch:
            return edits_.refuse(view, said("threads per inch have no millimetre form."));
        case Quantity::argument:
            // They are numbers of a program that takes them as lengths where it writes them so.
            if (calls_own_program(document_, view)) return;
            return edits_.refuse(view, said("a macro is called, and what its values mean cannot be told."));
        case Quantity::angle:
            if (is_chamfer(step_of(view), word)) return length(view, word, places());
            if (word.letter != 'B' || word.value.is(0) || !applies(view, word)) return;
            return edits_.refuse(view,
                                 said("{} may be the way of a slide or the angle of a head, which cannot "
                                      "be told.",
                                      compact(view.run.text_of(*word.item))));
        default:
            return;
        }
    }

    /// A word that a macro computes reckons on with its value, which may be another one each time.
    bool reckon(const BlockView& view, const Word& word, std::string_view by) {
        if (word.item->kind != syntax::ItemKind::computed_word) return false;
        if (view.after.is(to_)) return true;
        if (!view.after.is(to_mm_ ? Meaning::inch : Meaning::millimetre)) {
            edits_.refuse(view, said("the unit in force is not known here."));
            return true;
        }
        edits_.computed(view, *word.item, by);
        ++reckoned_;
        return true;
    }
    std::string_view by() const { return to_mm_ ? "*25.4" : "/25.4"; }

    /// Whether the block's lengths are to be changed; refuses when that cannot be told.
    bool applies(const BlockView& view, const Word& word) {
        if (view.after.is(to_)) return false;
        if (!view.after.is(to_mm_ ? Meaning::inch : Meaning::millimetre)) {
            edits_.refuse(view, said("the unit in force is not known here."));
            return false;
        }
        if (!word.value.known()) {
            edits_.refuse(view, said("{} has a value that is {}.", compact(view.run.text_of(*word.item)),
                                     unknown_text(word.value.why)));
            return false;
        }
        return true;
    }

    void length(const BlockView& view, const Word& word, int places) {
        if (reckon(view, word, by())) return;
        if (applies(view, word))
            edits_.number(view, *word.item, with_point(word.value.number * factor(), places));
    }

    /// A distance is the difference of two rounded positions, so that a chain of distances does not drift.
    void increment(const BlockView& view, const Word& word, bool x) {
        if (reckon(view, word, by())) return;
        if (!applies(view, word)) return;
        const bool y = word.letter == 'V';
        const machine::Value& from = x ? view.before.x_radius : y ? view.before.y : view.before.z;
        const machine::Value& to = x   ? view.reading.target_x_radius
                                   : y ? view.after.y
                                       : view.reading.target_z;
        const bool plain = view.reading.motion == machine::MotionKind::rapid ||
                           view.reading.motion == machine::MotionKind::feed ||
                           view.reading.motion == machine::MotionKind::arc;
        if (!plain || !from.known() || !to.known()) return length(view, word, places());
        const auto converted = [&](double number) {
            const double written = x ? checks::x_as_written(number, document_.settings()) : number;
            return rounded(written * factor(), places());
        };
        edits_.number(view, *word.item, with_point(converted(to.number) - converted(from.number), places()));
    }

    void increments(const BlockView& view, const Word& word) {
        if (word.item->kind == syntax::ItemKind::computed_word)
            return edits_.refuse(view, said("a macro computes a number that counts in least increments."));
        if (!applies(view, word)) return;
        if (word.item->has_point) return length(view, word, places());
        const shop::Machine& machine = document_.settings().machine;
        const double least = to_mm_ ? machine.least_increment_mm : machine.least_increment_inch;
        edits_.number(view, *word.item,
                      fmt::format("{:.0f}", std::round(word.value.number * factor() / least)));
    }

    void speed(const BlockView& view, const Word& word) {
        if (view.after.is(Meaning::constant_rpm)) return;
        if (!view.after.is(Meaning::surface_speed))
            return edits_.refuse(view, said("it cannot be told whether S is rpm or surface speed here."));
        if (reckon(view, word, to_mm_ ? "*0.3048" : "/0.3048")) return;
        if (!applies(view, word)) return;
        const double number = word.value.number * (to_mm_ ? metres_per_foot : 1 / metres_per_foot);
        edits_.number(view, *word.item, fmt::format("{:.0f}", number));
    }

    const Document& document_;
    WordEdits edits_;
    Meaning to_;
    bool to_mm_;
    bool stated_ = false;
    std::size_t reckoned_ = 0; ///< Words that a macro computes
    std::optional<Meaning> unit_;
    struct Counts {
        bool lines = false, turns = false, both = false;
    };
    std::map<machine::BlockPlace, Counts> counts_; ///< Of the F in a block
};

} // namespace

Rewrite convert_units(const Document& document, Meaning to) {
    if (to != Meaning::inch && to != Meaning::millimetre) return {{}, said("Units are inch or millimetre.")};
    return UnitConverter(document, to).convert();
}

} // namespace turnwright::features
