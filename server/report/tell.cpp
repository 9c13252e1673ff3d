#include "report/tell.h"
#include "language/said.h"
#include "motion/work.h"

#include "checks/checks.h"
#include "features/assumed.h"
#include "features/block_at.h"
#include "features/speech.h"
#include "machine/whole_number.h"
#include "report/picture.h"
#include "report/telling.h"
#include "report/telling_move.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <map>

namespace turnwright::report {

using machine::FlowKind;

std::size_t Telling::blocks() const {
    std::size_t count = 0;
    for (const ToldSequence& sequence : sequences) count += sequence.blocks.size();
    return count;
}

namespace {

std::string spoken_lines(std::size_t first, std::size_t last) {
    return first == last ? said("Line {}", first + 1) : said("Lines {} to {}", first + 1, last + 1);
}

/// T7, T07 and T0707 are the same station.
int station_in(std::string_view word) {
    int number = -1;
    if (word.size() < 2 || word[0] != 'T') return -1;
    const char* const end = word.data() + word.size();
    const auto [at, bad] = std::from_chars(word.data() + 1, end, number);
    if (bad != std::errc{} || at != end) return -1;
    return number >= 100 ? number / 100 : number;
}

bool is_meant(const checks::Span& span, const std::string& name, const std::string& wanted) {
    if (span.sequence && station_in(wanted) >= 0 && span.sequence->tool == station_in(wanted)) return true;
    const std::string all = " " + features::in_capitals(name) + " ";
    return all.find(" " + wanted + " ") != all.npos;
}

class ProgramTeller {
public:
    ProgramTeller(const features::Document& document, const TellWhat& what)
        : document_(document), what_(what), spans_(document.results().spans()) {}

    Telling tell() {
        const motion::CycleBudget bounded(document_.buffer().line_count());
        begin();
        walk(document_, [this](const WalkedBlock& block) { look(block); });
        for (const Loop& loop : loops_) tell_loop(loop);
        finish();
        return std::move(telling_);
    }

private:
    struct Row {
        std::size_t span, index;
    };
    struct Loop {
        Row row;
        std::size_t rounds = 0, visits = 0, end_line = 0;
        bool inside = false; ///< Another loop
    };

    /// From where to where in X something is cut.
    struct Reach {
        std::optional<double> low_mm, high_mm;
        void take(double x_radius_mm) {
            low_mm = std::min(low_mm.value_or(x_radius_mm), x_radius_mm);
            high_mm = std::max(high_mm.value_or(x_radius_mm), x_radius_mm);
        }
    };

    /// Why a number with no point is not known is told at the first one.
    std::string said_once(std::string text) {
        const std::string why(machine::explain(machine::Why::no_point));
        for (std::size_t at = text.find(why); at != text.npos; at = text.find(why, at + 1))
            if (no_point_told_)
                text.replace(at, why.size(), said("no decimal point, as above"));
            else
                no_point_told_ = true;
        for (std::size_t at = text.find(no_point_begin); at != text.npos;
             at = text.find(no_point_begin, at + 1)) {
            const std::size_t end = text.find(no_point_end, at);
            if (end == text.npos) break;
            if (no_point_told_)
                text.replace(at, end + std::string_view(no_point_end).size() - at,
                             said(" (no point, as above)"));
            no_point_told_ = true;
        }
        return text;
    }

    void begin() {
        telling_.title = program_name(document_);
        telling_.note = program_note(document_);
        telling_.is_part = what_.line || !what_.sequence.empty();
        const machine::Settings& settings = document_.settings();
        telling_.remarks.push_back(
            said("Read in G-code system {}. X is written as a {}. Z grows away from the chuck.",
                 codes::system_letter(settings.system),
                 settings.machine.x == shop::XReading::diameter ? said("diameter") : said("radius")));
        for (const features::AssumedHere& assumed : features::assumed_here(document_))
            telling_.remarks.push_back(said("Assumed: ") + features::assumed_line(assumed) + ".");
        for (const features::AssumedHere& noted : setup_here(document_))
            telling_.remarks.push_back(said("Assumed: ") + features::assumed_line(noted) + ".");
        for (const checks::Span& span : spans_) {
            ToldSequence sequence;
            sequence.name = span_name(document_, span);
            sequence.note = span_note(document_, span);
            sequence.first_line = document_.line_of(span.first);
            sequence.last_line = document_.line_of(span.last);
            wanted_.push_back(what_.sequence.empty() ||
                              is_meant(span, sequence.name, features::in_capitals(what_.sequence)));
            telling_.sequences.push_back(std::move(sequence));
        }
        if (spans_.empty()) {
            telling_.sequences.emplace_back();
            wanted_.push_back(what_.sequence.empty());
        }
        totals_.resize(telling_.sequences.size());
        cuts_.resize(telling_.sequences.size());
    }

    void look(const WalkedBlock& block) {
        totals_[block.span] += block.totals;
        for (const motion::Segment& segment : block.path.segments)
            if (segment.kind == motion::SegmentKind::feed || segment.kind == motion::SegmentKind::thread) {
                cuts_[block.span].take(segment.from.x_radius_mm);
                cuts_[block.span].take(segment.to.x_radius_mm);
            }
        if (!wanted_[block.span] || (what_.line && block.line != *what_.line)) return;
        const bool in_own = block.called.empty();
        const auto key =
            std::tuple{in_own ? 0 : caller_, block.called, block.view.run_index, block.view.block};
        const auto known = rows_.find(key);
        std::string text = tell_block(document_, block);
        if (known != rows_.end()) {
            if (in_own) caller_ = known->second.second;
            return again(known->second.first, block, std::move(text));
        }
        const bool is_loop = block.turn_by_turn && block.view.reading.flow == FlowKind::loop_start;
        if (text.empty() && !is_loop) return;
        ToldSequence& sequence = telling_.sequences[block.span];
        ToldBlock told;
        told.line = block.line;
        told.called = block.called;
        told.written = features::readable(block.view.run.text_of(block.view.text));
        told.text = std::move(text);
        const Row row{block.span, sequence.blocks.size()};
        sequence.blocks.push_back(std::move(told));
        if (in_own) caller_ = ++row_count_;
        rows_.emplace(key, std::pair{row, caller_});
        follow_loop(row, block);
    }

    /// Each round is told with the first one.
    void again(Row row, const WalkedBlock& block, std::string text) {
        ToldBlock& told = telling_.sequences[row.span].blocks[row.index];
        if (block.view.reading.flow == FlowKind::loop_end) return follow_loop(row, block);
        ++told.times;
        told.last = text == told.text ? std::string() : std::move(text);
        follow_loop(row, block);
    }

    void follow_loop(Row row, const WalkedBlock& block) {
        if (!block.turn_by_turn) return;
        const machine::Reading& reading = block.view.reading;
        const int number =
            reading.flow_target.known() ? machine::whole_number(reading.flow_target.number) : -1;
        if (reading.flow == FlowKind::loop_start) {
            const auto [at, is_new] = loop_rows_.try_emplace({row.span, row.index}, loops_.size());
            if (is_new) loops_.push_back({row, 0, 0, 0, !open_.empty()});
            Loop& loop = loops_[at->second];
            ++loop.visits;
            const bool goes_in = !reading.condition.is(0);
            loop.rounds += goes_in;
            if (goes_in)
                open_[number] = at->second;
            else
                open_.erase(number);
        } else if (reading.flow == FlowKind::loop_end) {
            if (const auto open = open_.find(number); open != open_.end())
                loops_[open->second].end_line = block.own_line + 1;
        }
    }

    void tell_loop(const Loop& loop) {
        ToldBlock& told = telling_.sequences[loop.row.span].blocks[loop.row.index];
        told.last.clear();
        told.times = 1;
        told.text =
            loop.rounds == 0
                ? said("A loop whose condition does not hold: the blocks down to its END are left out.")
            : loop.end_line == 0
                ? said("A loop, gone through {} {}.", loop.rounds,
                       loop.rounds == 1 ? said("time") : said("times"))
                : said("A loop: the blocks down to line {} run {} {}{}.", loop.end_line, loop.rounds,
                       loop.rounds == 1 ? said("time") : said("times"), loop.inside ? said(" in all") : "");
    }

    void finish() {
        const machine::Settings& settings = document_.settings();
        const LengthUnit unit = unit_of(document_);
        const double mm = unit == LengthUnit::inch ? motion::mm_per_inch : 1;
        const std::string_view x =
            settings.machine.x == shop::XReading::diameter ? said("diameter") : said("radius");
        std::vector<ToldSequence> kept;
        for (std::size_t i = 0; i < telling_.sequences.size(); ++i) {
            ToldSequence& sequence = telling_.sequences[i];
            if (!wanted_[i] || sequence.blocks.empty()) continue;
            const motion::Totals& totals = totals_[i];
            sequence.headline = spoken_lines(sequence.first_line, sequence.last_line);
            if (totals.seconds() > 0 || totals.blocks_without_time)
                sequence.headline += ", " + time_or_unknown(totals);
            if (cuts_[i].low_mm && unit != LengthUnit::unknown) {
                const auto place = [&](double radius_mm) {
                    return features::plain(checks::x_as_written(radius_mm / mm, settings));
                };
                const std::string low = place(*cuts_[i].low_mm), high = place(*cuts_[i].high_mm);
                sequence.headline += low == high ? said("; feeds at {} {}", x, low)
                                                 : said("; feeds between {} {} and {}", x, low, high);
            }
            for (ToldBlock& told : sequence.blocks) {
                told.text = said_once(std::move(told.text));
                told.last = said_once(std::move(told.last));
            }
            kept.push_back(std::move(sequence));
        }
        telling_.sequences = std::move(kept);
    }

    const features::Document& document_;
    const TellWhat& what_;
    std::span<const checks::Span> spans_;
    Telling telling_;
    std::vector<bool> wanted_;
    std::vector<motion::Totals> totals_;
    std::vector<Reach> cuts_;
    /// By the row of the call, the place in the called program, the block; with the row and its number.
    std::map<std::tuple<std::size_t, std::string, std::size_t, std::size_t>, std::pair<Row, std::size_t>>
        rows_;
    bool no_point_told_ = false;
    std::size_t caller_ = 0, row_count_ = 0;
    std::vector<Loop> loops_;
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> loop_rows_;
    std::map<int, std::size_t> open_; ///< By the number behind DO
};

} // namespace

Telling tell(const features::Document& document, const TellWhat& what) {
    return ProgramTeller(document, what).tell();
}

} // namespace turnwright::report
