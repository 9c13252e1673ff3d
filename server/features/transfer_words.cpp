// The words that each lathe has its own of: codes of its builder, T words, the change position, numbers
// without a point, and what it is switched on in.
#include "features/speech.h"
#include "features/transfer.h"
#include "features/word_edits.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using codes::Quantity;
using machine::BlockView;
using machine::Word;
using Sort = TransferRemark::Sort;

namespace {

double least_increment(const shop::Machine& machine, const machine::State& state) {
    return state.is(Meaning::inch) ? machine.least_increment_inch : machine.least_increment_mm;
}

/// Where a number without a point may be read otherwise. Feeds a minute in whole millimetres are not.
bool wants_point(const BlockView& view, const Word& word) {
    if (word.quantity == Quantity::feed)
        return !(view.after.is(Meaning::feed_per_minute) && view.after.is(Meaning::millimetre));
    return word.quantity == Quantity::lead || codes::reads_in_increments(word.quantity);
}

class WordTransfer {
public:
    WordTransfer(const Document& document, WordsTransfer& work)
        : document_(document), edits_(document, &work.left), from_(document.settings().machine), to_(work.to),
          work_(work) {}

    Rewrite make() {
        edits_.each([&](const BlockView& view) { block(view); });
        Rewrite rewrite = edits_.finish(nullptr);
        if (!refused_.empty()) return {{}, refused_};
        return rewrite;
    }

private:
    void block(const BlockView& view) {
        name_machine(view);
        for (const Word& word : view.reading.words) {
            if (word.implied || word.after_comma || word.quantity == Quantity::argument) continue;
            if (word.letter == 'T')
                tool(view, word);
            else if (word.letter == 'M' || word.letter == 'G')
                code(view, word);
        }
        if (view.reading.motion == machine::MotionKind::machine_rapid) change_position(view);
        if (view.reading.code(Meaning::work_shift))
            look(view, said("the datum is set from where the tool stands: {} stands elsewhere.", to_.name));
        called_elsewhere(view);
    }

    /// A note that names the machine goes by the other's name.
    void name_machine(const BlockView& view) {
        if (from_.name.empty()) return;
        for (const syntax::Item& item : view.run.items_of(view.text)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const std::string text(view.run.text_of(item));
            const std::string compact_text = compact(text);
            if (compact_text.rfind("(MACHINE", 0) != 0) continue;
            const std::size_t at = in_capitals(text).find(in_capitals(from_.name));
            if (at == std::string::npos) continue;
            work_.names_machine = true;
            edits_.word(view, item, text.substr(0, at) + to_.name + text.substr(at + from_.name.size()));
        }
    }

    void code(const BlockView& view, const Word& word) {
        if (!word.value.known()) return edits_.refuse(view, said("a macro computes which code this is."));
        if (word.code && has(to_.lacks, word.code->meaning))
            return edits_.refuse(view, said("{} does not have {} ({}).", to_.name,
                                            compact(view.run.text_of(*word.item)),
                                            codes::title(word.code->meaning)));
        if (word.code && from_.mirrored != to_.mirrored &&
            codes::mirrored(word.code->meaning) != word.code->meaning) {
            const Meaning there = to_.mirrored ? codes::mirrored(word.code->meaning) : word.code->meaning;
            edits_.word(view, *word.item, codes::written_as(*to_.system, there));
            ++work_.renamed["arcs and sides of compensation the other way round"];
            return;
        }
        const double number = word.value.number;
        if (number < 0 || number > 99999 || number != std::floor(number)) return;
        const Counterpart other = counterpart_of(word.letter, static_cast<int>(number), from_, to_);
        if (other.harmful && refused_.empty())
            refused_ = said("Line {}: {}", document_.line_of({view.run_index, view.block}) + 1, other.reason);
        if (other.written.empty()) return edits_.refuse(view, other.reason);
        if (word.own || other.written != fmt::format("{}{:02}", word.letter, static_cast<int>(number)))
            rename(view, word, other.written, static_cast<int>(number));
    }

    void rename(const BlockView& view, const Word& word, const std::string& written, int number) {
        const std::string was = fmt::format("{}{:02}", word.letter, number);
        if (written == was) return;
        edits_.word(view, *word.item, written);
        const auto& names = word.letter == 'M' ? from_.m_codes : from_.g_codes;
        const auto name = names.find(number);
        const std::string sense = name != names.end() && !name->second.empty()
                                      ? fmt::format(" ({})", readable(name->second))
                                      : std::string();
        ++work_.renamed[said("{} is {}{}", was, written, sense)];
    }

    void tool(const BlockView& view, const Word& word) {
        if (!word.value.known()) return edits_.refuse(view, said("a macro computes the tool."));
        const machine::Value &station = view.after.tool, &offset = view.after.offset;
        const bool has_offset = offset.known();
        const bool cancels = word.value.number == 0;
        if (!cancels && !station.known())
            return edits_.refuse(
                view, said("which station {} is cannot be told.", compact(view.run.text_of(*word.item))));
        const int was = cancels ? 0 : static_cast<int>(station.number);
        const auto mapped = work_.order.stations.find(was);
        const int there = mapped == work_.order.stations.end() ? was : mapped->second;
        const int digits = to_.tool_digits.value_or(from_.tool_digits.value_or(word.item->digits));
        const int digits_here = from_.tool_digits.value_or(word.item->digits);
        if (there == was && digits == digits_here) return;
        // An offset of the station's own number goes with the station.
        const int number = !has_offset ? 0 : offset.number == was ? there : static_cast<int>(offset.number);
        const bool own_station = cancels || view.before.tool != station || word.value.number >= 10;
        if (!own_station || (!has_offset && digits > 1) || (digits == 2 && (there > 9 || number > 9)))
            return edits_.refuse(view, said("{} cannot be written with the {} digits of {}.",
                                            compact(view.run.text_of(*word.item)), digits, to_.name));
        const std::string written = !has_offset   ? fmt::format("T{}", there)
                                    : digits == 2 ? fmt::format("T{}{}", there, number)
                                    : digits == 3 ? fmt::format("T{}{:02}", there, number)
                                                  : fmt::format("T{:02}{:02}", there, number);
        const std::string before = compact(view.run.text_of(*word.item));
        if (written == before) return;
        edits_.word(view, *word.item, written);
        ++work_.renamed[said("{} is {}", before, written)];
    }

    void change_position(const BlockView& view) {
        axis(view, 'X', view.after.machine_x_radius, from_.change_x_radius_mm, to_.change_x_radius_mm);
        axis(view, 'Z', view.after.machine_z, from_.change_z_mm, to_.change_z_mm);
    }
    void axis(const BlockView& view, char letter, const machine::Value& place, std::optional<double> here,
              std::optional<double> there) {
        const Word* word = view.reading.word(letter);
        if (!word) return;
        const std::string shown = compact(view.run.text_of(*word->item));
        if (!place.known() || word->item->kind != syntax::ItemKind::word)
            return look(view, said("where {} of the machine datum is, is not known.", shown));
        const bool unit_known = view.after.of(Group::units).known();
        const double mm = unit_known ? to_mm(place.number, view.after) : place.number;
        const double least = unit_known ? to_mm(least_increment(from_, view.after), view.after) : 0;
        const bool is_change_position = here && unit_known && std::abs(mm - *here) <= least;
        if (!is_change_position) {
            // The datum itself is where each machine has it.
            if (mm != 0 && places_.insert(shown).second)
                look(view, said("{} is counted from the machine datum, and is another place on {}.", shown,
                                to_.name));
            return;
        }
        if (!there) {
            if (places_.insert(shown).second)
                look(view,
                     said("{} is the change position here, and that of {} is not told.", shown, to_.name));
            return;
        }
        if (*there == *here) return;
        const double number = from_mm(*there, view.after);
        const double shown_there =
            letter == 'X' ? checks::x_as_written(number, document_.settings()) : number;
        edits_.number(view, *word->item, with_point(shown_there, places_in(view)));
        ++work_.renamed[said("change position: {} is {}{}", shown, letter,
                             with_point(shown_there, places_in(view)))];
    }

    void called_elsewhere(const BlockView& view) {
        if (!machine::calls_program(view.reading.flow)) return;
        if (!view.reading.flow_target.known())
            return look(view, said("which program is called is not known: see that it is there."));
        const auto number = static_cast<std::int32_t>(view.reading.flow_target.number);
        const auto& programs = document_.outline().programs;
        const bool here = std::any_of(programs.begin(), programs.end(),
                                      [&](const auto& program) { return program.number == number; });
        if (!here && called_.insert(number).second)
            look(view,
                 work_.library && work_.library->find_program(number)
                     ? said("O{:04} is called and stands in another file, which is not written "
                            "here: turnwright transfer writes both for {}.",
                            number, to_.name)
                     : said("O{:04} is called and not in this file: {} wants it, too.", number, to_.name));
    }

    void look(const BlockView& view, std::string text) {
        work_.remarks.push_back(
            {Sort::look, document_.line_of({view.run_index, view.block}), std::move(text)});
    }
    static bool has(const std::vector<Meaning>& all, Meaning meaning) {
        return std::find(all.begin(), all.end(), meaning) != all.end();
    }

    const Document& document_;
    WordEdits edits_;
    const shop::Machine &from_, &to_;
    WordsTransfer& work_;
    std::string refused_;
    std::set<std::int32_t> called_; ///< Told of
    std::set<std::string> places_;  ///< Told of
};

} // namespace

Rewrite transfer_words(const Document& document, WordsTransfer& work) {
    return WordTransfer(document, work).make();
}

Rewrite write_points(const Document& document, const shop::Machine& to, LeftBlocks& left) {
    const shop::Machine& from = document.settings().machine;
    const bool same_steps = from.least_increment_mm == to.least_increment_mm &&
                            from.least_increment_inch == to.least_increment_inch;
    const bool same_reading =
        from.no_point == to.no_point && (same_steps || from.no_point == shop::NoPoint::whole_units);
    WordEdits edits(document, &left);
    edits.each([&](const BlockView& view) {
        for (const Word& word : view.reading.words) {
            if (word.implied || word.item->kind != syntax::ItemKind::word || word.item->has_point ||
                word.item->value == 0)
                continue;
            const std::string shown = compact(view.run.text_of(*word.item));
            if (word.value.why == machine::Why::no_point) {
                edits.refuse(view, said("{} has no decimal point, and how it is read is not told.", shown));
            } else if (word.quantity == Quantity::length_units && !same_steps) {
                if (!view.after.of(Group::units).known()) {
                    edits.refuse(view,
                                 said("{} counts in least increments of a unit not known here.", shown));
                    continue;
                }
                const double steps =
                    word.item->value * least_increment(from, view.after) / least_increment(to, view.after);
                edits.number(view, *word.item, fmt::format("{:.0f}", std::round(steps)));
            } else if (!same_reading && wants_point(view, word) && word.value.known()) {
                const bool fine = word.quantity == Quantity::feed || word.quantity == Quantity::lead;
                edits.number(view, *word.item, with_point(word.value.number, fine ? 6 : places_in(view) + 1));
            }
        }
    });
    return edits.finish(nullptr);
}

Rewrite state_power_on(const Document& document, const shop::Machine& to, std::string& stated) {
    machine::Settings there = document.settings();
    there.machine = to;
    there.assumed = {};
    machine::State off = machine::power_on_state(there), here;
    machine::Parts set = 0, relied_on = 0;
    bool first = true;
    WordEdits edits(document);
    edits.each([&](const BlockView& view) {
        if (std::exchange(first, false)) here = view.before;
        relied_on |= view.reading.reads & ~set;
        set |= view.reading.sets;
    });
    for (std::size_t i = 0; i < codes::group_count; ++i) {
        const auto group = static_cast<Group>(i);
        const machine::Modal& modal = here.of(group);
        if (!(relied_on & machine::part(group)) || !modal.known() || off.of(group) == modal) continue;
        const std::string code = codes::written_as(
            *to.system, codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(modal.possible))));
        if (!code.empty()) stated += (stated.empty() ? "" : " ") + code;
    }
    if (stated.empty()) return {{}, std::string(written_so_already())};
    bool done = false;
    edits.each([&](const BlockView& view) {
        if (done || view.text.deleted || view.reading.words.empty() || view.reading.has('O')) return;
        done = true;
        edits.insert(view, stated);
    });
    return edits.finish(document.shop_pointer());
}

} // namespace turnwright::features
