#include "features/hints.h"
#include "language/said.h"

#include "features/assumed.h"
#include "features/beside.h"
#include "features/hover_parts.h"
#include "features/outline.h"
#include "features/speech.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::Quantity;

namespace {

/// Hints of one block; positions by its own line.
class BlockHints {
public:
    BlockHints(const Document& document, const HintOptions& options, std::vector<InlayHint>& hints)
        : document_(document), options_(options), hints_(hints) {}

    void look(const machine::BlockView& view) {
        view_ = &view;
        line_ = static_cast<std::uint32_t>(document_.line_of({view.run_index, view.block}));
        for (const machine::Word& word : view.reading.words) look(word);
    }

private:
    void add(const machine::Word& word, std::string text, std::string tooltip) {
        hints_.push_back(
            {{line_, word.item->end() - view_->text.begin}, std::move(text), std::move(tooltip)});
    }

    void look(const machine::Word& word) {
        if (!word.value.known()) return;
        const bool moves = view_->reading.motion != machine::MotionKind::none;
        switch (word.quantity) {
        case Quantity::speed:
            add_rpm(word);
            break;
        case Quantity::feed:
            add_feed(word);
            break;
        case Quantity::length_x:
            if (moves) add_move_rpm(word);
            break;
        default:
            break;
        }
        add_increments(word);
        if (moves) add_result(word);
    }

    void add_rpm(const machine::Word& word) {
        if (!options_.rpm || !view_->after.is(Meaning::surface_speed)) return;
        const std::optional<double> rpm = rpm_in(view_->after, view_->settings);
        if (rpm)
            add(word, said("{:.0f} rpm", *rpm),
                said("Spindle speed at the X where the tool stands after this block"));
    }

    void add_move_rpm(const machine::Word& word) {
        if (!options_.rpm || !view_->after.is(Meaning::surface_speed)) return;
        using machine::MotionKind;
        if (view_->reading.motion != MotionKind::feed && view_->reading.motion != MotionKind::arc) return;
        const std::optional<double> from = rpm_in(view_->before, view_->settings);
        const std::optional<double> to = rpm_in(view_->after, view_->settings);
        if (to && (!from || std::abs(*from - *to) >= 1))
            add(word, said("{:.0f} rpm", *to), said("Spindle speed where this move ends"));
    }

    void add_feed(const machine::Word& word) {
        if (!options_.feed_per_minute || !view_->after.is(Meaning::feed_per_rev)) return;
        const std::optional<double> rpm = rpm_in(view_->after, view_->settings);
        const std::string_view unit = length_unit(view_->after);
        if (rpm && !unit.empty())
            add(word, fmt::format("{} {}/min", plain(word.value.number * *rpm, unit == "in" ? 2 : 0), unit),
                said("Feed a minute at {:.0f} rpm", *rpm) +
                    assumed_words(view_->after, {codes::Group::units, codes::Group::feed_mode},
                                  view_->settings));
    }

    void add_increments(const machine::Word& word) {
        if (!options_.increments || word.item->has_point || word.value.number == word.item->value) return;
        if (!codes::reads_in_increments(word.quantity) && word.quantity != Quantity::length_units) return;
        if (word.item->kind != syntax::ItemKind::word) return;
        add(word, fmt::format("= {}", plain(word.value.number, 6)),
            said("Written without a decimal point: read in least increments"));
    }

    void add_result(const machine::Word& word) {
        if (!options_.absolute_result || word.after_comma) return;
        const bool x = word.quantity == Quantity::increment_x;
        const bool z = word.quantity == Quantity::increment_z;
        const bool incremental_mode = view_->after.is(Meaning::incremental);
        const bool x_too = incremental_mode && word.quantity == Quantity::length_x && word.letter == 'X';
        const bool z_too = incremental_mode && word.quantity == Quantity::length_z && word.letter == 'Z';
        const machine::Value& end = x || x_too ? view_->reading.target_x_radius : view_->reading.target_z;
        if (!(x || z || x_too || z_too) || word.letter == 'V' || !end.known()) return;
        if (view_->reading.motion == machine::MotionKind::contour_cycle) return; // allowances, no distances
        const double shown = x || x_too ? checks::x_as_written(end.number, view_->settings) : end.number;
        add(word, fmt::format("{}{}", x || x_too ? 'X' : 'Z', checks::written(shown)),
            said("Where this incremental move ends"));
    }

    const Document& document_;
    const HintOptions& options_;
    std::vector<InlayHint>& hints_;
    const machine::BlockView* view_ = nullptr;
    std::uint32_t line_ = 0;
};

void add_times(const Document& document, BlockPlace first, BlockPlace last, std::vector<InlayHint>& hints) {
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences) {
            if (sequence.first < first || last < sequence.first) continue;
            const motion::Totals totals = document.times().between(sequence.first, sequence.last);
            if (totals.seconds() <= 0) continue;
            hints.push_back(
                {document.range_of(sequence.first).end, time_text(totals), said("Time of this sequence")});
        }
}

/// The row of the restart table for a sequence; rows come in order of place.
const checks::RestartRow* row_of(const std::vector<checks::RestartRow>& table,
                                 const machine::Sequence& sequence) {
    const auto row =
        std::lower_bound(table.begin(), table.end(), sequence.first,
                         [](const checks::RestartRow& one, BlockPlace first) { return one.first < first; });
    return row != table.end() && row->first == sequence.first ? &*row : nullptr;
}

/// "takes over G96"; empty: there is no row.
std::string restart_words(const checks::RestartRow* row) {
    if (!row) return {};
    return row->safe ? said("sets all it reads") : said("takes over ") + list_parts(row->inherited);
}

std::vector<checks::RestartRow> restart_table(const Document& document) {
    return checks::restart_table(document.analysis(), document.results().spans(), document.shop());
}

std::string time_title(const motion::Totals& totals) {
    if (totals.seconds() <= 0) return totals.blocks_without_time ? said("time not known") : said("no time");
    return time_text(totals);
}

} // namespace

std::vector<InlayHint> inlay_hints(const Document& document, Range range, const HintOptions& options) {
    std::vector<InlayHint> hints;
    range = {document.buffer().clamp(range.begin), document.buffer().clamp(range.end)};
    const BlockPlace first = document.place_of_line(range.begin.line);
    const BlockPlace last = document.place_of_line(range.end.line);
    BlockHints block_hints(document, options, hints);
    for (std::size_t run = first.run; run <= last.run; ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) {
            const BlockPlace place{view.run_index, view.block};
            if (first <= place && place <= last) block_hints.look(view);
        });
    if (options.sequence_time) add_times(document, first, last, hints);
    std::stable_sort(hints.begin(), hints.end(),
                     [](const InlayHint& a, const InlayHint& b) { return a.at < b.at; });
    return hints;
}

std::vector<CodeLens> code_lenses(const Document& document) {
    std::vector<CodeLens> lenses;
    const std::vector<checks::RestartRow> table = restart_table(document);
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences) {
            CodeLens lens;
            lens.range = document.range_of(sequence.first);
            lens.title = tool_word_of(document, sequence.tool_call);
            if (!lens.title.empty()) lens.title += ", ";
            lens.title += time_title(document.times().between(sequence.first, sequence.last));
            if (const std::string restart = restart_words(row_of(table, sequence)); !restart.empty())
                lens.title += ", " + restart;
            lens.command = {
                lens.title, "turnwright.explainSequence", {std::to_string(document.line_of(sequence.first))}};
            lenses.push_back(std::move(lens));
        }
    return lenses;
}

std::vector<SequenceRow> sequence_rows(const Document& document, std::size_t line) {
    const Symbols symbols(document);
    const machine::Sequence* here = sequence_at(document, document.place_of_line(line));
    const std::vector<checks::RestartRow> table = restart_table(document);
    std::vector<SequenceRow> rows;
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences) {
            const checks::RestartRow* const restart = row_of(table, sequence);
            SequenceRow row{document.range_of(sequence.first),
                            symbols.of(sequence).name,
                            time_title(document.times().between(sequence.first, sequence.last)),
                            restart_words(restart),
                            restart && !restart->safe,
                            here && here->first == sequence.first};
            rows.push_back(std::move(row));
        }
    return rows;
}

SequenceSummary summarise(const Document& document, const machine::Sequence& sequence) {
    SequenceSummary summary;
    summary.totals = document.times().between(sequence.first, sequence.last);
    const std::vector<checks::RestartRow> table = restart_table(document);
    if (const checks::RestartRow* row = row_of(table, sequence)) {
        summary.may_restart = row->safe;
        summary.inherited = row->inherited;
        for (const checks::RestartRow::Left& left : row->left) summary.left_on.push_back(left.meaning);
    }
    return summary;
}

std::string sequence_report(const Document& document, std::size_t line) {
    const machine::Sequence* sequence = sequence_at(document, document.place_of_line(line));
    if (!sequence) return {};
    const SequenceSummary summary = summarise(document, *sequence);
    std::string text;
    if (sequence->number >= 0) text += fmt::format("N{} ", sequence->number);
    text += tool_word_of(document, sequence->tool_call);
    if (sequence->note) text += fmt::format(" ({})", note_of(document, *sequence->note));
    text += said(": {}; {:.0f} mm cut, {:.0f} mm rapid. ", time_title(summary.totals), summary.totals.cut_mm,
                 summary.totals.rapid_mm);
    text += summary.may_restart
                ? said("It states all its modes, so a restart here takes nothing over. ")
                : said("Entered here after a stop it takes over {}. ", list_parts(summary.inherited));
    std::string left;
    for (Meaning meaning : summary.left_on)
        left += fmt::format("{}{}", left.empty() ? "" : ", ", codes::title(meaning));
    if (!left.empty()) text += said("It leaves on: {}. ", left);
    return text + said("This is no proof: prove the entry at the machine.");
}

std::string time_text(double seconds) {
    if (!(seconds >= 0) || seconds > 1e9) return said("time not known");
    // Sums of the same times differ in their last digit by the order in which they were added up.
    seconds += 1e-6;
    if (seconds < 9.95) return fmt::format("{:.1f} s", seconds);
    const long whole = std::lround(seconds);
    if (whole < 60) return fmt::format("{} s", whole);
    if (whole < 3600) return fmt::format("{} min {:02} s", whole / 60, whole % 60);
    return fmt::format("{} h {:02} min", whole / 3600, whole % 3600 / 60);
}

std::string time_text(const motion::Totals& totals) {
    return std::string(totals.blocks_without_time ? said("at least ") : "") +
           (totals.about ? said("about ") : "") + time_text(totals.seconds());
}

std::string list_parts(machine::Parts parts) {
    std::string text;
    for (; parts != 0; parts &= parts - 1) {
        const bool last = (parts & (parts - 1)) == 0;
        if (!text.empty()) text += last ? said(" and ") : ", ";
        text += machine::part_title(std::countr_zero(parts));
    }
    return text.empty() ? said("nothing") : text;
}

} // namespace turnwright::features
