// Values for the word that is typed, from the program, its sequence and its threads.
#include "checks/named_tool.h"
#include "features/hover_load.h"
#include "features/hover_parts.h"
#include "features/offers.h"
#include "features/sequence_writer.h"
#include "features/speech.h"
#include "features/word_edits.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <map>

namespace turnwright::features {

using codes::Meaning;
using codes::Quantity;

namespace {

class ValueOffers {
public:
    explicit ValueOffers(Offers& offers)
        : offers_(offers), typing_(offers.typing), document_(offers.typing.document) {}

    void add_values() {
        const codes::Code* code = code_in_charge(document_, typing_.block);
        // A cycle in two lines is the row that takes the letter that is typed.
        if (code && offers_.is_letter_typed() && !codes::word_use(code, typing_.letter)) {
            std::string letters(1, typing_.letter);
            for (const machine::Word& word : typing_.block.reading.words) letters += word.letter;
            if (const codes::Code* other = codes::find_with_words(typing_.settings().system, code->letter,
                                                                  code->number_tenths / 10.0, letters);
                other && codes::word_use(other, typing_.letter))
                code = other;
        }
        const Quantity quantity = codes::quantity_in(code, typing_.letter);
        switch (quantity) {
        case Quantity::label:
            add_contour_numbers();
            break;
        case Quantity::length_x:
            add_diameters();
            break;
        case Quantity::program:
            add_programs();
            break;
        case Quantity::speed:
            add_speeds();
            break;
        case Quantity::feed:
            add_feeds();
            break;
        case Quantity::lead:
            add_lead();
            break;
        default:
            break;
        }
        if (code && code->meaning == Meaning::thread_cycle) add_thread_words(quantity);
    }

    /// Labels of this program, those below the cursor first.
    void add_labels() {
        add_labels_from(typing_.place, [](BlockPlace, std::int32_t) { return true; });
    }

private:
    template <class Wanted>
    void add_labels_from(BlockPlace start, Wanted wanted) {
        const machine::ProgramPart* program = program_at(document_, typing_.place);
        const BlockPlace first = program ? program->first : BlockPlace{0, 0};
        const BlockPlace last =
            program ? program->last : document_.place_of_line(document_.buffer().line_count());
        const auto add_from = [&](BlockPlace from, BlockPlace to) {
            for (std::size_t run = from.run; run <= to.run && run < document_.analysis().size(); ++run)
                for (const machine::Label& label : document_.analysis().result(run)->shape->labels) {
                    const BlockPlace place{run, label.block};
                    if (offers_.items.size() >= most_numbers) return;
                    if (place < from || to < place || place == typing_.place || !wanted(place, label.number))
                        continue;
                    const std::string text = offers_.letter_text() + std::to_string(label.number);
                    offers_.add(CompletionKind::label, text,
                                said("line {}: {}", document_.line_of(place) + 1,
                                     readable(document_.buffer().line(document_.line_of(place)))),
                                text);
                }
        };
        add_from(start, last);
        add_from(first, start);
    }

    /// Numbers of blocks, not of sequences; for Q those behind the one that P names. Else two that are free.
    void add_contour_numbers() {
        BlockPlace start = typing_.place;
        const machine::Word* p = typing_.letter == 'Q' ? typing_.block.reading.word('P') : nullptr;
        if (p && p->value.known())
            if (const auto named = label_place(document_, typing_.place, p->value.number)) start = *named;
        const std::size_t before = offers_.items.size();
        add_labels_from(start, [&](BlockPlace place, std::int32_t number) {
            const machine::Sequence* sequence = sequence_at(document_, place);
            if (sequence && sequence->number == number) return false;
            return !p || !p->value.known() || number != p->value.number;
        });
        if (offers_.items.size() != before || !offers_.is_letter_typed()) return;
        const auto [first, last] = free_contour(document_);
        const int number = typing_.letter == 'Q' ? last : first;
        const std::string text = offers_.letter_text() + std::to_string(number);
        offers_.add(CompletionKind::label, text,
                    said("free number for a contour that is still to be written"), text);
    }

    /// X of the contours around, else of the feed moves of this tool, from the largest.
    void add_diameters() {
        std::map<double, std::size_t, std::greater<>> of_contour, of_moves;
        visit_around([&](const machine::BlockView& view) {
            const machine::Value& x = view.reading.target_x_radius;
            if (is_own(view) || !x.known() || !view.reading.has('X')) return;
            const BlockPlace place{view.run_index, static_cast<std::uint32_t>(view.block)};
            const double written = checks::x_as_written(x.number, typing_.settings());
            if (view.reading.in_contour)
                of_contour.try_emplace(written, document_.line_of(place));
            else if (view.reading.motion == machine::MotionKind::feed &&
                     view.after.tool == typing_.block.after.tool)
                of_moves.try_emplace(written, document_.line_of(place));
        });
        std::size_t count = 0;
        for (const auto& [x, line] : of_contour.empty() ? of_moves : of_contour) {
            if (++count > 12) break;
            value(x, 5, said("{} in line {}", of_contour.empty() ? said("cut") : said("contour"), line + 1));
        }
    }

    bool is_own(const machine::BlockView& view) const {
        return view.run_index == typing_.place.run && view.block == typing_.place.block;
    }
    /// Values of another tool say little about this one.
    bool is_of_this_tool(const machine::BlockView& view) const {
        const machine::Value& tool = typing_.block.after.tool;
        return !tool.known() || view.after.tool == tool;
    }
    const shop::Tool* tool() const {
        const machine::Value& station = typing_.block.after.tool;
        return station.known() ? document_.shop().tool(static_cast<int>(station.number)) : nullptr;
    }

    void value(double number, int places, std::string detail) {
        std::string text = checks::written(rounded_to(number, places));
        text.insert(text.begin(), typing_.letter);
        offers_.add(CompletionKind::value, text, std::move(detail), text);
    }
    void whole_value(double number, std::string detail) {
        const std::string text = fmt::format("{}{:.0f}", typing_.letter, number);
        offers_.add(CompletionKind::value, text, std::move(detail), text);
    }
    static double rounded_to(double number, int places) {
        const double scale = std::pow(10.0, places);
        return std::round(number * scale) / scale;
    }

    void add_programs() {
        for (const machine::ProgramPart& program : document_.outline().programs) {
            if (program.number <= 0) continue;
            const std::string text = fmt::format("P{}", program.number);
            offers_.add(
                CompletionKind::program, text,
                program.is_subprogram ? said("subprogram in this file") : said("program in this file"), text);
        }
    }

    /// Under rpm: the rpm of the sequence's surface speeds at the diameter where the tool stands.
    void add_speeds() {
        const machine::State& state = typing_.block.after;
        const auto around = speeds_around();
        for (const auto& [speed, is_surface] : around) {
            if (is_surface && state.is(Meaning::constant_rpm) && state.x_radius.known() &&
                state.x_radius.number > 0 && !length_unit(state).empty()) {
                const double diameter_mm = 2 * to_mm(state.x_radius.number, state);
                const double metres = state.is(Meaning::inch) ? speed * 0.3048 : speed;
                whole_value(
                    motion::rpm_for(metres, diameter_mm),
                    said("rpm of {} {} at X{}", plain(speed), surface_unit(state),
                         checks::written(checks::x_as_written(state.x_radius.number, typing_.settings()))));
            } else if (is_surface == state.is(Meaning::surface_speed)) {
                whole_value(speed,
                            is_surface ? said("surface speed of this tool") : said("rpm of this tool"));
            }
        }
        if (around.empty() && !length_unit(state).empty()) add_speed_of_material();
    }

    /// Where nothing of this tool tells: of the material, under rpm at the diameter where it stands to turn.
    void add_speed_of_material() {
        const machine::State& state = typing_.block.after;
        const std::string material = material_to_start_with(document_, typing_.place);
        if (material_group(material) == 0) return;
        const std::string in =
            said("to start with in ") + (material.empty() ? said("steel, assumed") : readable(material));
        const double metres = surface_m_per_min(document_, typing_.place);
        if (state.is(Meaning::surface_speed))
            return whole_value(state.is(Meaning::inch) ? std::round(metres / 0.3048 / 10) * 10 : metres, in);
        using Kind = checks::NamedTool::Kind;
        const Kind kind = checks::tool_named(notes_around(document_, typing_.place)).kind;
        const bool turns = kind == Kind::turn || kind == Kind::bore || kind == Kind::none;
        if (!turns || !state.is(Meaning::constant_rpm) || !state.x_radius.known() ||
            state.x_radius.number <= 0)
            return;
        const double rpm = motion::rpm_for(metres, 2 * to_mm(state.x_radius.number, state));
        const double most = cut_of(tool(), typing_.settings().machine).rpm_limit;
        whole_value(std::floor(std::min(rpm, most) / 10) * 10, in);
    }

    std::vector<std::pair<double, bool>> speeds_around() const {
        std::vector<std::pair<double, bool>> speeds;
        visit_around([&](const machine::BlockView& view) {
            if (is_own(view) || !is_of_this_tool(view)) return;
            const machine::Word* word = view.reading.word('S');
            if (!word || !word->value.known() || word->quantity != Quantity::speed) return;
            const bool surface = view.after.is(Meaning::surface_speed);
            if (!surface && !view.after.is(Meaning::constant_rpm)) return;
            const std::pair<double, bool> found{word->value.number, surface};
            if (std::find(speeds.begin(), speeds.end(), found) == speeds.end()) speeds.push_back(found);
        });
        if (speeds.size() > 12) speeds.resize(12);
        return speeds;
    }

    void add_feeds() {
        std::vector<double> feeds;
        const machine::Modal mode = typing_.block.after.of(codes::Group::feed_mode);
        visit_around([&](const machine::BlockView& view) {
            if (is_own(view) || !is_of_this_tool(view)) return;
            const machine::Word* word = view.reading.word('F');
            if (!word || !word->value.known() || word->quantity != Quantity::feed) return;
            if (view.after.of(codes::Group::feed_mode) != mode) return;
            if (std::find(feeds.begin(), feeds.end(), word->value.number) == feeds.end())
                feeds.push_back(word->value.number);
        });
        std::sort(feeds.begin(), feeds.end());
        if (feeds.size() > 12) feeds.resize(12);
        for (double feed : feeds) value(feed, 5, said("feed of this tool"));
        const machine::State& state = typing_.block.after;
        if (!feeds.empty() || !state.is(Meaning::feed_per_rev) || length_unit(state).empty()) return;
        const Cut cut = cut_of(tool(), typing_.settings().machine);
        const int places = state.is(Meaning::inch) ? 4 : 3;
        const auto start = [&](double feed, std::string_view work, bool by_nose = false) {
            value(from_mm(feed, state), places,
                  said("to {} with{}", work, by_nose ? said(" this nose radius") : ""));
        };
        using Kind = checks::NamedTool::Kind;
        const std::string notes = notes_around(document_, typing_.place);
        const bool nose = tool() && tool()->nose_radius_mm;
        switch (checks::tool_named(notes).kind) {
        case Kind::groove:
        case Kind::part_off:
            return start(cut.groove_feed, said("plunge"));
        case Kind::drill:
        case Kind::centre:
        case Kind::ream:
            return start(cut.finish_feed, said("drill"));
        case Kind::thread:
        case Kind::tap:
        case Kind::stop:
            return;
        default:
            break;
        }
        const std::string held = in_capitals(notes);
        const bool finishes = held.find("FINISH") != held.npos && held.find("ROUGH") == held.npos;
        if (finishes) start(cut.finish_feed, said("finish"), nose);
        start(cut.rough_feed, said("rough"), nose);
        if (!finishes) start(cut.finish_feed, said("finish"), nose);
    }

    template <class Look>
    void visit_around(Look look) const {
        for (const BlockSpan& span : spans_around(document_, typing_.place))
            document_.analysis().visit(span.run, [&](const machine::BlockView& view) {
                if (span.holds(view.block)) look(view);
            });
    }

    void add_lead() {
        if (const auto thread = thread_named_around(document_, typing_.place)) {
            const std::string text =
                typing_.letter + with_point(from_mm(thread->size.pitch_mm, typing_.block.after), 6);
            offers_.add(CompletionKind::value, text, said("lead of ") + thread->name, text);
        }
    }

    void add_thread_words(Quantity quantity) {
        const auto thread = thread_named_around(document_, typing_.place);
        const machine::State& state = typing_.block.after;
        if (!thread || length_unit(state).empty()) return;
        const bool inch = state.is(Meaning::inch);
        if (typing_.letter == 'X')
            value(checks::x_as_written(from_mm(thread->size.minor_outside_mm, state) / 2, typing_.settings()),
                  inch ? 4 : 3, said("root of ") + thread->name + said(", external"));
        if (typing_.letter == 'P' && quantity == Quantity::length_units)
            whole_value(thread->size.depth_outside_mm / least_mm(inch),
                        said("height of ") + thread->name + said(", external"));
    }
    double least_mm(bool inch) const {
        const shop::Machine& machine = typing_.settings().machine;
        return inch ? machine.least_increment_inch * motion::mm_per_inch : machine.least_increment_mm;
    }

    Offers& offers_;
    const Typing& typing_;
    const Document& document_;
};

} // namespace

void add_values(Offers& offers) {
    ValueOffers(offers).add_values();
}
void add_labels(Offers& offers) {
    ValueOffers(offers).add_labels();
}

} // namespace turnwright::features
