// Values for the word that is typed, from the program, its sequence and its threads.
#include "features/hover_parts.h"
#include "features/offers.h"
#include "features/speech.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

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
        const Quantity quantity = codes::quantity_in(code, typing_.letter);
        switch (quantity) {
        case Quantity::label:
            add_labels();
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
        const machine::ProgramPart* program = program_at(document_, typing_.place);
        const BlockPlace first = program ? program->first : BlockPlace{0, 0};
        const BlockPlace last =
            program ? program->last : document_.place_of_line(document_.buffer().line_count());
        const auto add_from = [&](BlockPlace from, BlockPlace to) {
            for (std::size_t run = from.run; run <= to.run && run < document_.analysis().size(); ++run)
                for (const machine::Label& label : document_.analysis().result(run)->shape->labels) {
                    const BlockPlace place{run, label.block};
                    if (offers_.items.size() >= most_numbers) return;
                    if (place < from || to < place || place == typing_.place) continue;
                    const std::string text = offers_.letter_text() + std::to_string(label.number);
                    offers_.add(CompletionKind::label, text,
                                fmt::format("line {}: {}", document_.line_of(place) + 1,
                                            readable(document_.buffer().line(document_.line_of(place)))),
                                text);
                }
        };
        add_from(typing_.place, last);
        add_from(first, typing_.place);
    }

private:
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
            offers_.add(CompletionKind::program, text,
                        program.is_subprogram ? "subprogram in this file" : "program in this file", text);
        }
    }

    /// Under rpm: the rpm of the sequence's surface speeds at the diameter where the tool stands.
    void add_speeds() {
        const machine::State& state = typing_.block.after;
        for (const auto& [speed, is_surface] : speeds_around()) {
            if (is_surface && state.is(Meaning::constant_rpm) && state.x_radius.known() &&
                state.x_radius.number > 0 && !length_unit(state).empty()) {
                const double diameter_mm = 2 * to_mm(state.x_radius.number, state);
                const double metres = state.is(Meaning::inch) ? speed * 0.3048 : speed;
                whole_value(motion::rpm_for(metres, diameter_mm),
                            fmt::format("rpm of {} {} at X{}", plain(speed), surface_unit(state),
                                        checks::written(checks::x_as_written(state.x_radius.number,
                                                                             typing_.settings()))));
            } else if (is_surface == state.is(Meaning::surface_speed)) {
                whole_value(speed,
                            is_surface ? "surface speed used in this program" : "rpm used in this program");
            }
        }
    }

    std::vector<std::pair<double, bool>> speeds_around() const {
        std::vector<std::pair<double, bool>> speeds;
        visit_around([&](const machine::BlockView& view) {
            if (view.run_index == typing_.place.run && view.block == typing_.place.block) return;
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
            if (view.run_index == typing_.place.run && view.block == typing_.place.block) return;
            const machine::Word* word = view.reading.word('F');
            if (!word || !word->value.known() || word->quantity != Quantity::feed) return;
            if (view.after.of(codes::Group::feed_mode) != mode) return;
            if (std::find(feeds.begin(), feeds.end(), word->value.number) == feeds.end())
                feeds.push_back(word->value.number);
        });
        std::sort(feeds.begin(), feeds.end());
        if (feeds.size() > 12) feeds.resize(12);
        for (double feed : feeds) value(feed, 5, "feed used around here");
    }

    template <class Look>
    void visit_around(Look look) const {
        for (const BlockSpan& span : spans_around(document_, typing_.place))
            document_.analysis().visit(span.run, [&](const machine::BlockView& view) {
                if (span.holds(view.block)) look(view);
            });
    }

    void add_lead() {
        if (const auto thread = thread_named_around(document_, typing_.place))
            value(from_mm(thread->size.pitch_mm, typing_.block.after), 6, "lead of " + thread->name);
    }

    void add_thread_words(Quantity quantity) {
        const auto thread = thread_named_around(document_, typing_.place);
        const machine::State& state = typing_.block.after;
        if (!thread || length_unit(state).empty()) return;
        const bool inch = state.is(Meaning::inch);
        if (typing_.letter == 'X')
            value(checks::x_as_written(from_mm(thread->size.minor_outside_mm, state) / 2, typing_.settings()),
                  inch ? 4 : 3, "root of " + thread->name + ", external");
        if (typing_.letter == 'P' && quantity == Quantity::length_units)
            whole_value(thread->size.depth_outside_mm / least_mm(inch),
                        "height of " + thread->name + ", external");
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
