// All findings of a program, kept beside its runs and sequences.

#include "checks/sequence_facts.h"
#include "checks/works.h"
#include "machine/whole_number.h"
#include "syntax/both_cores.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace turnwright::checks {

using machine::BlockView;

namespace {

/// What decides whether something found is still true: the text of a run and what its blocks mean.
struct RunKey {
    syntax::RunPointer text;
    machine::RunResultPointer result;
    bool operator==(const RunKey&) const = default;
};

/// A cycle and the N numbers of the contour that it runs.
struct ContourCycle {
    std::size_t block = 0; ///< In the run
    std::int32_t first_label = -1, last_label = -1;
    bool operator==(const ContourCycle&) const = default;
};

/// What paths of a run looked at in the run before or behind it.
struct Neighbour {
    motion::Beside seen = motion::Beside::nothing;
    RunKey key; ///< As it was then; empty: no run was there
};

struct Entry {
    RunKey key;
    std::vector<Finding> findings;
    std::vector<Allowance> allowances;
    Habits habits;
    // Paths look at blocks elsewhere: the contour that P and Q name, a cycle's first line, the other move of
    // a corner. What stood there is kept with them.
    std::vector<ContourCycle> contour_cycles; ///< In order
    std::vector<RunKey> seen_elsewhere;       ///< Contours
    Neighbour above, below;
};

struct SpanRecord {
    std::vector<RunKey> runs;
    std::size_t first_block = 0, last_block = 0;
    std::int32_t number = -1, tool = -1, offset = -1, program = 0;
    bool is_head = false, has_stop = false, in_subprogram = false, only_one = false;
    /// Its compensated moves were followed, whose corners may lie beyond its ends: the runs beside its own
    /// count, too.
    bool looks_beyond = false;
    RunKey above, below;
    std::shared_ptr<const SequenceFacts> facts;
    std::vector<Report::Placed> findings;       ///< Runs counted from the span's first
    std::vector<Report::Placed> entry_findings; ///< The same, of rules on its facts
    bool fresh = true;                          ///< Entry rules have still to run
    std::shared_ptr<SpanWorks> works;           ///< Made when they are first asked for
};

bool before(const Results::Placed& a, const Results::Placed& b) {
    const Finding &x = *a.finding, &y = *b.finding;
    return std::tie(a.run, x.begin, x.length, x.check->id, x.message) <
           std::tie(b.run, y.begin, y.length, y.check->id, y.message);
}

/// Blocks a silencing note covers.
struct Cover {
    BlockPlace place;
    const Allowance* allowance;
    std::vector<bool> used; ///< One an id
};

bool block_has_words(const syntax::Run& run, std::size_t block) {
    for (const syntax::Item& item : run.items_of(run.blocks[block]))
        if (item.is_word() || syntax::holds_expression(item.kind)) return true;
    return false;
}

} // namespace

struct Results::Implementation {
    static constexpr std::size_t few_runs = 64; ///< Checked sooner than a thread starts
    // So what a path reads above and below is in the run before and the run behind.
    static_assert(std::max(motion::lines_seen_above, motion::lines_seen_below) <=
                  text::Buffer::target_lines / 2);
    const machine::Analysis* analysis = nullptr;
    const shop::Shop* shop = nullptr;
    std::vector<const Check*> block_checks, sequence_checks, entry_checks, file_checks;
    const Check* unused_check = nullptr;

    std::vector<Entry> row;
    machine::Outline outline;
    std::vector<Span> spans;
    std::vector<SpanRecord> records; ///< Parallel to spans
    std::set<std::int32_t> labels_twice;
    Habits habits;
    Across across;
    stock::Course stock;
    std::vector<Report::Placed> file_findings, silencing_findings;
    std::vector<Placed> shown;
    std::vector<Silenced> silenced;

    Severity severity_of(const Check& check, Severity given) const {
        auto at = shop->checks.find(std::string(check.id));
        return at == shop->checks.end() ? given : at->second;
    }
    /// What was reported, with the shop's severities.
    std::vector<Report::Placed> found_by(Report& report) const {
        if (!shop->checks.empty())
            for (Report::Placed& placed : report.found)
                placed.finding.severity = severity_of(*placed.finding.check, placed.finding.severity);
        return std::move(report.found);
    }
    bool is_on(const Check& check) const { return severity_of(check, Severity::warning) != Severity::off; }

    void choose_checks() {
        block_checks.clear();
        sequence_checks.clear();
        entry_checks.clear();
        file_checks.clear();
        for (const Check* check : all_checks()) {
            if (!is_on(*check)) continue;
            if (check->block) block_checks.push_back(check);
            if (check->sequence) sequence_checks.push_back(check);
            if (check->entry) entry_checks.push_back(check);
            if (check->file) file_checks.push_back(check);
        }
        unused_check = find_check("unused_silencing");
        if (unused_check && !is_on(*unused_check)) unused_check = nullptr;
    }

    // --- Blocks -----------------------------------------------------------------------------------------

    void check_block(const BlockView& view, Report& report, Entry* entry) const {
        if (view.text.item_count == 0 || !view.reading.is_read || !view.before.reachable) return;
        if (entry && view.reading.motion == machine::MotionKind::contour_cycle)
            if (const machine::Value first = view.reading.value('P'), last = view.reading.value('Q');
                first.known() && last.known())
                entry->contour_cycles.push_back(
                    {view.block, machine::whole_number(first.number), machine::whole_number(last.number)});
        report.forget_path();
        for (const Check* check : block_checks) {
            report.current = check;
            check->block(view, report);
        }
        if (const motion::BlockPath* path = report.asked_path(); path && entry) {
            entry->above.seen = std::max(entry->above.seen, path->above);
            entry->below.seen = std::max(entry->below.seen, path->below);
        }
    }

    void check_blocks(std::size_t run, Report& report, Entry* entry) const {
        analysis->visit(run, [&](const BlockView& view) { check_block(view, report, entry); });
    }

    /// The runs of the contours that a run names: from the first to the last block with one of the labels.
    std::vector<RunKey> runs_seen_from(std::size_t run, const Entry& entry) const {
        std::vector<RunKey> keys;
        for (const ContourCycle& cycle : entry.contour_cycles) {
            auto firsts = analysis->labels(cycle.first_label), lasts = analysis->labels(cycle.last_label);
            // The contour chosen is the nearest below or above the cycle.
            auto below = std::lower_bound(firsts.begin(), firsts.end(), BlockPlace{run, 0});
            auto from = below - std::min<std::ptrdiff_t>(2, below - firsts.begin());
            auto to = below + std::min<std::ptrdiff_t>(4, firsts.end() - below);
            auto see = [&](BlockPlace first) {
                auto last = std::lower_bound(lasts.begin(), lasts.end(), first);
                std::size_t end = last == lasts.end() ? first.run : std::min(last->run, first.run + 40);
                for (std::size_t r = first.run; r <= end; ++r) keys.push_back(key_of(r));
            };
            // Where none is on its own side, the first of the file.
            if (from != firsts.begin()) see(firsts.front());
            std::for_each(from, to, see);
        }
        return keys;
    }

    /// Empty for a run before the first or behind the last.
    RunKey key_of(std::size_t run) const {
        if (run >= row.size()) return {};
        return {analysis->forest().run(run), analysis->result(run)};
    }

    /// An entry without what its blocks show.
    Entry begun(std::size_t run) const {
        Entry entry;
        entry.key = key_of(run);
        entry.allowances = allowances_in(*entry.key.text);
        entry.habits = habits_of(*entry.key.text);
        return entry;
    }

    void finish(std::size_t run, Report& report, Entry& entry) const {
        entry.seen_elsewhere = runs_seen_from(run, entry);
        if (entry.above.seen != motion::Beside::nothing) entry.above.key = key_of(run - 1);
        if (entry.below.seen != motion::Beside::nothing) entry.below.key = key_of(run + 1);
        for (Report::Placed& placed : found_by(report)) entry.findings.push_back(std::move(placed.finding));
    }

    Entry checked(std::size_t run) const {
        Entry entry = begun(run);
        Report report(*analysis, *shop, false);
        check_blocks(run, report, &entry);
        finish(run, report, entry);
        return entry;
    }

    /// What the last change did to a run, where only some of its blocks read otherwise.
    const machine::Analysis::Changed* changed_in_part(std::size_t run) const {
        const auto at = std::find_if(kept.changed.begin(), kept.changed.end(),
                                     [&](const auto& changed) { return changed.run == run; });
        return at == kept.changed.end() ? nullptr : &*at;
    }

    /// Whether blocks that changed may stand in the contour of a cycle.
    bool reaches_contour(const machine::Analysis::Changed& changed, const ContourCycle& cycle) const {
        const auto firsts = analysis->labels(cycle.first_label), lasts = analysis->labels(cycle.last_label);
        auto at = std::lower_bound(firsts.begin(), firsts.end(), BlockPlace{changed.run, 0});
        if (at != firsts.begin()) --at; // It may end in this run
        for (; at != firsts.end() && *at < BlockPlace{changed.run, changed.end}; ++at) {
            const auto last = std::lower_bound(lasts.begin(), lasts.end(), *at);
            if (last != lasts.end() && *last >= BlockPlace{changed.run, changed.first}) return true;
        }
        return false;
    }

    /// The same contours seen as before, but for what this run itself holds.
    static bool saw_same_contours(const Entry& before, const Entry& now) {
        return before.contour_cycles == now.contour_cycles &&
               std::equal(before.seen_elsewhere.begin(), before.seen_elsewhere.end(),
                          now.seen_elsewhere.begin(), now.seen_elsewhere.end(),
                          [&](const RunKey& was, const RunKey& is) {
                              return was == is || (was == before.key && is == now.key);
                          });
    }

    /// The same as `checked`, from what was found before and the blocks that read otherwise, with those whose
    /// paths may have read them.
    Entry checked_again(std::size_t run, const Entry* before) const {
        const machine::Analysis::Changed* changed = changed_in_part(run);
        if (!before || !changed || before->key != RunKey{changed->text_before, changed->result_before})
            return checked(run);
        Entry entry = begun(run);
        entry.above = before->above;
        entry.below = before->below;
        if (is_other(entry.above, key_of(run - 1), true) || is_other(entry.below, key_of(run + 1), false))
            return checked(run);
        const std::vector<syntax::Block>& blocks = entry.key.text->blocks;
        const std::size_t from = changed->first - std::min(changed->first, motion::lines_seen_below);
        const std::size_t to = std::min(changed->end + motion::lines_seen_above, blocks.size());
        std::vector<std::size_t> cycles; // Elsewhere in the run, but of a contour with such blocks
        for (const ContourCycle& cycle : before->contour_cycles) {
            if (cycle.block >= from && cycle.block < to) continue;
            if (reaches_contour(*changed, cycle))
                cycles.push_back(cycle.block);
            else
                entry.contour_cycles.push_back(cycle);
        }
        const auto is_looked_at = [&](std::size_t block) {
            return (block >= from && block < to) || std::binary_search(cycles.begin(), cycles.end(), block);
        };
        for (Finding finding : before->findings) {
            if (is_looked_at(finding.block)) continue;
            finding.begin += blocks[finding.block].begin - changed->text_before->blocks[finding.block].begin;
            entry.findings.push_back(std::move(finding));
        }
        Report report(*analysis, *shop, false);
        const std::size_t first = cycles.empty() ? from : std::min(from, cycles.front());
        const std::size_t end = cycles.empty() ? to : std::max(to, cycles.back() + 1);
        machine::Analysis::Passed passed = changed->passed;
        if (first < end)
            analysis->visit_span({run, first}, {run, end - 1}, passed, [&](const BlockView& view) {
                if (is_looked_at(view.block)) check_block(view, report, &entry);
            });
        const auto by_block = [](const auto& a, const auto& b) { return a.block < b.block; };
        std::stable_sort(entry.contour_cycles.begin(), entry.contour_cycles.end(), by_block);
        finish(run, report, entry);
        if (!before->contour_cycles.empty() && !saw_same_contours(*before, entry)) return checked(run);
        std::stable_sort(entry.findings.begin(), entry.findings.end(), by_block);
        return entry;
    }

    void put(std::size_t run, Entry entry) {
        habits.with_point += entry.habits.with_point - row[run].habits.with_point;
        habits.without_point += entry.habits.without_point - row[run].habits.without_point;
        row[run] = std::move(entry);
    }

    void check_run(std::size_t run) { put(run, checked(run)); }

    /// `before(run)` is what was found in a run before the change; may be nullptr.
    template <class Before>
    void check_runs(std::span<const std::size_t> runs, Before&& before) {
        if (runs.size() <= few_runs || analysis->has_flow()) {
            for (std::size_t run : runs) put(run, checked_again(run, before(run)));
            return;
        }
        std::vector<Entry> made(runs.size());
        syntax::on_both_cores(runs.size(), few_runs,
                              [&](std::size_t i) { made[i] = checked_again(runs[i], before(runs[i])); });
        for (std::size_t i = 0; i < runs.size(); ++i) put(runs[i], std::move(made[i]));
    }

    /// Runs that were looked at again by the last change.
    struct Touched {
        std::size_t first = 0, last = 0;
        bool any = false;
        void add(std::size_t run) {
            first = any ? std::min(first, run) : run;
            last = any ? std::max(last, run) : run;
            any = true;
        }
        bool meets(std::size_t from, std::size_t to) const { return any && first <= to && from <= last; }
        bool contains(std::size_t run) const { return meets(run, run); }
    } touched;
    machine::Analysis::Kept kept;
    // Few of the runs and spans, in order, so that a change need not go over all of them.
    std::vector<std::size_t> contour_runs;             ///< Runs that name a contour by its labels
    std::vector<std::size_t> allowing_runs;            ///< Runs with silencing notes
    std::vector<std::size_t> runs_with_any;            ///< Runs with findings
    std::vector<std::size_t> spans_with_any;           ///< Spans with findings
    std::pair<std::size_t, std::size_t> seam;          ///< Runs beside what the last change put in
    bool facts_changed = true;                         ///< Those that rules on the file ask for
    std::pair<std::size_t, std::size_t> checked_spans; ///< Whose entry rules may have run
    bool stock_given = false;                          ///< For any program of the file

    /// Runs that were replaced by this change, and the labels on their blocks.
    struct Gone {
        std::vector<RunKey> keys;
        std::set<std::int32_t> labels;
        std::size_t first = 0;
        std::vector<Entry> entries; ///< What stood at `first` and behind, where as many runs came as went
        const Entry* entry(std::size_t run) const {
            return run >= first && run - first < entries.size() ? &entries[run - first] : nullptr;
        }
        void add(const RunKey& key) {
            if (!key.result) return;
            keys.push_back(key);
            for (const machine::Label& label : key.result->shape->labels) labels.insert(label.number);
        }
    };

    bool is_stale(std::size_t run, const Entry& entry, const Gone& gone) const {
        constexpr std::size_t many = 64;
        bool compare = gone.keys.size() > many;
        for (const ContourCycle& cycle : entry.contour_cycles)
            compare |= gone.labels.contains(cycle.first_label) || gone.labels.contains(cycle.last_label);
        if (compare) return entry.seen_elsewhere != runs_seen_from(run, entry);
        for (const RunKey& seen : entry.seen_elsewhere)
            for (const RunKey& key : gone.keys)
                if (seen == key) return true;
        return false;
    }

    /// The lines at one end of a run, as many as a path beside it may read.
    static std::string_view edge(const syntax::Run& run, bool is_above) {
        const std::vector<std::uint32_t>& starts = run.text->line_starts;
        const std::string_view bytes = run.text->bytes;
        if (is_above)
            return starts.size() <= motion::lines_seen_above
                       ? bytes
                       : bytes.substr(starts[starts.size() - motion::lines_seen_above]);
        return starts.size() <= motion::lines_seen_below ? bytes
                                                         : bytes.substr(0, starts[motion::lines_seen_below]);
    }

    /// Whether what was looked at in a neighbour is another thing now. Where it is not, the neighbour as it
    /// is now is remembered.
    static bool is_other(Neighbour& neighbour, RunKey now, bool is_above) {
        if (neighbour.seen == motion::Beside::nothing || neighbour.key == now) return false;
        if (!neighbour.key.text || !now.text) return true;
        if (neighbour.seen == motion::Beside::move && neighbour.key.result != now.result) return true;
        if (edge(*neighbour.key.text, is_above) != edge(*now.text, is_above)) return true;
        neighbour.key = std::move(now);
        return false;
    }

    bool saw_other_neighbours(std::size_t run) {
        Entry& entry = row[run];
        const bool above = is_other(entry.above, key_of(run - 1), true);
        return is_other(entry.below, key_of(run + 1), false) || above;
    }

    void check_changed_runs(Gone gone) {
        std::vector<std::size_t> changed;
        touched = {};
        std::size_t from = kept.shapes ? kept.first : 0, to = kept.shapes ? kept.end : row.size();
        for (std::size_t r = from; r < to; ++r) {
            const Entry& entry = row[r];
            bool same = entry.key.result && entry.key.text.get() == analysis->forest().run(r).get() &&
                        entry.key.result.get() == analysis->result(r).get();
            if (same) continue;
            changed.push_back(r);
            gone.add(entry.key);
            gone.add(key_of(r)); // A label that is new counts like one that is gone
        }
        if (!kept.shapes)
            for (std::size_t r : changed) count_labels_of(row[r]);
        check_runs(changed, [&](std::size_t r) { return row[r].key.text ? &row[r] : gone.entry(r); });
        if (!kept.shapes)
            for (std::size_t r : changed) count_labels_of(row[r]);
        for (std::size_t r : changed) touched.add(r);
        // A run that looks at another one has kept its key; what it saw has not.
        std::set<std::size_t> redo;
        auto look_again = [&](std::size_t r) {
            if (r < row.size() && saw_other_neighbours(r)) redo.insert(r);
        };
        for (std::size_t r : changed) {
            look_again(r - 1);
            look_again(r + 1);
        }
        // Runs that an edit has left as they were may stand beside others now.
        for (std::size_t r = seam.first; r != seam.second; ++r) look_again(r);
        look_again(seam.second);
        find_contour_runs(changed);
        for (std::size_t r : contour_runs)
            if (!std::binary_search(changed.begin(), changed.end(), r) && is_stale(r, row[r], gone))
                redo.insert(r);
        for (std::size_t r : redo) {
            check_run(r);
            touched.add(r);
        }
        if (!redo.empty()) find_contour_runs(std::vector(redo.begin(), redo.end()));
    }

    /// Brings a list up to date: `holds` is asked of the touched members, or of all when places have moved.
    template <class Holds>
    void list_again(std::vector<std::size_t>& list, std::size_t size, std::span<const std::size_t> changed,
                    Holds&& holds) const {
        if (!kept.shapes) {
            list.clear();
            for (std::size_t i = 0; i < size; ++i)
                if (holds(i)) list.push_back(i);
            return;
        }
        for (std::size_t i : changed) {
            auto at = std::lower_bound(list.begin(), list.end(), i);
            const bool there = at != list.end() && *at == i;
            if (holds(i) == there) continue;
            if (there)
                list.erase(at);
            else
                list.insert(at, i);
        }
    }

    void find_contour_runs(std::span<const std::size_t> changed) {
        list_again(contour_runs, row.size(), changed,
                   [&](std::size_t r) { return !row[r].contour_cycles.empty(); });
    }

    /// Behind all checks: where there is anything to show.
    void find_findings() {
        std::vector<std::size_t> runs, near;
        for (std::size_t r = touched.first; touched.any && r <= touched.last; ++r) runs.push_back(r);
        list_again(allowing_runs, row.size(), runs,
                   [&](std::size_t r) { return !row[r].allowances.empty(); });
        list_again(runs_with_any, row.size(), runs, [&](std::size_t r) { return !row[r].findings.empty(); });
        for (std::size_t i = checked_spans.first; i < checked_spans.second; ++i) near.push_back(i);
        list_again(spans_with_any, spans.size(), near, [&](std::size_t i) {
            return !records[i].findings.empty() || !records[i].entry_findings.empty();
        });
    }

    void count_labels_of(const Entry& entry) {
        if (!entry.key.result) return;
        const auto& counts = analysis->label_counts();
        for (const machine::Label& label : entry.key.result->shape->labels) {
            auto at = counts.find(label.number);
            if (at != counts.end() && at->second > 1)
                labels_twice.insert(label.number);
            else
                labels_twice.erase(label.number);
        }
    }

    // --- Sequences --------------------------------------------------------------------------------------

    SpanRecord key_of_span(const Span& span) const {
        SpanRecord record;
        for (std::size_t r = span.first.run; r <= span.last.run && r < row.size(); ++r)
            record.runs.push_back(row[r].key);
        record.first_block = span.first.block;
        record.last_block = span.last.block;
        record.is_head = span.sequence == nullptr;
        record.in_subprogram = span.program->is_subprogram;
        record.program = span.program->number;
        record.only_one = span.program->sequences.size() < 2;
        if (span.sequence) {
            record.number = span.sequence->number;
            record.tool = span.sequence->tool;
            record.offset = span.sequence->offset;
            record.has_stop = span.sequence->optional_stop.has_value();
        }
        return record;
    }

    /// Is what was found for a span still true? Looked at for every span after every change, so it copies
    /// nothing.
    bool holds(const SpanRecord& record, const Span& span) const {
        if (!is_same_span(record, span)) return false;
        for (std::size_t i = 0; i < record.runs.size(); ++i)
            if (!(record.runs[i] == row[span.first.run + i].key)) return false;
        return !record.looks_beyond ||
               (record.above == key_of(span.first.run - 1) && record.below == key_of(span.last.run + 1));
    }

    /// The same where runs have changed, but none of the span's blocks: the record is then of the runs as
    /// they are now.
    bool holds_between_changes(SpanRecord& record, const Span& span) const {
        if (kept.changed.empty() || !is_same_span(record, span) || record.looks_beyond) return false;
        for (std::size_t i = 0; i < record.runs.size(); ++i) {
            const std::size_t run = span.first.run + i;
            if (record.runs[i] == row[run].key) continue;
            const machine::Analysis::Changed* changed = changed_in_part(run);
            if (!changed || record.runs[i] != RunKey{changed->text_before, changed->result_before})
                return false;
            const std::size_t from = i == 0 ? span.first.block : 0;
            const std::size_t last = run == span.last.run ? span.last.block : static_cast<std::size_t>(-1);
            if (from < changed->end && changed->first <= last) return false;
            // Its bytes may have moved.
            for (const auto* list : {&record.findings, &record.entry_findings})
                for (const Report::Placed& found : *list)
                    if (found.run == i) return false;
        }
        for (std::size_t i = 0; i < record.runs.size(); ++i) record.runs[i] = row[span.first.run + i].key;
        return true;
    }

    static bool is_same_span(const SpanRecord& record, const Span& span) {
        bool head = span.sequence == nullptr;
        if (record.first_block != span.first.block || record.last_block != span.last.block ||
            record.is_head != head || record.in_subprogram != span.program->is_subprogram ||
            record.program != span.program->number ||
            record.only_one != (span.program->sequences.size() < 2) ||
            record.runs.size() != span.last.run - span.first.run + 1)
            return false;
        if (!head && (record.number != span.sequence->number || record.tool != span.sequence->tool ||
                      record.offset != span.sequence->offset ||
                      record.has_stop != span.sequence->optional_stop.has_value()))
            return false;
        return true;
    }

    static bool compensates(const std::vector<Step>& steps) {
        return std::any_of(steps.begin(), steps.end(), [](const Step& step) {
            return step.is(codes::Meaning::compensation_left) || step.is(codes::Meaning::compensation_right);
        });
    }

    /// True: blocks beyond its ends may have been looked at.
    bool check_span(const Span& span, Report& report, std::shared_ptr<const SequenceFacts>& facts,
                    machine::Analysis::Passed& passed) const {
        Collected collected = collect(*analysis, span.first, span.last, passed);
        facts = collected.facts;
        machine::Sequence made_up;
        made_up.first = span.first;
        made_up.last = span.last;
        std::vector<motion::TroubleAt> nose;
        const bool follows_nose = !shop->tools.empty() && compensates(collected.steps);
        if (follows_nose) nose = motion::nose_troubles(*analysis, *shop, span.first, span.last);
        SequenceContext context{*analysis,
                                outline,
                                *span.program,
                                span.sequence ? *span.sequence : made_up,
                                *shop,
                                span.sequence == nullptr,
                                collected.steps,
                                *collected.facts,
                                nose};
        for (const Check* check : sequence_checks) {
            report.current = check;
            check->sequence(context, report);
        }
        return follows_nose;
    }

    /// Some blocks came or went that the outline does not ask for.
    void move_spans() {
        if (!machine::move(outline, *kept.shift)) {
            kept.shapes = false;
            return;
        }
        const auto [from, to] = spans_meeting(kept.shift->run, kept.shift->run);
        for (std::size_t i = from; i < to; ++i) {
            spans[i].first = kept.shift->moved(spans[i].first);
            spans[i].last = kept.shift->moved(spans[i].last);
        }
    }

    /// The spans that hold any of these runs, as a half-open range.
    std::pair<std::size_t, std::size_t> spans_meeting(std::size_t first_run, std::size_t last_run) const {
        const auto from = std::partition_point(spans.begin(), spans.end(),
                                               [&](const Span& span) { return span.last.run < first_run; });
        const auto to = std::partition_point(from, spans.end(),
                                             [&](const Span& span) { return span.first.run <= last_run; });
        return {static_cast<std::size_t>(from - spans.begin()), static_cast<std::size_t>(to - spans.begin())};
    }

    /// Those that hold a touched run, and those that end beside one: they may have looked beyond their ends.
    std::pair<std::size_t, std::size_t> touched_spans() const {
        return spans_meeting(touched.first - std::min<std::size_t>(touched.first, 1), touched.last + 1);
    }

    /// The outline is as it was: only these spans are looked at.
    void check_touched_spans() {
        facts_changed = false;
        if (!touched.any) return;
        const auto [from, to] = touched_spans();
        machine::Analysis::Passed passed;
        for (std::size_t i = from; i < to; ++i) {
            if (holds(records[i], spans[i]) || holds_between_changes(records[i], spans[i])) continue;
            begin_near(spans[i].first, passed);
            const std::shared_ptr<const SequenceFacts> before = records[i].facts;
            records[i] = made_for(spans[i], passed);
            facts_changed = facts_changed || moved(*before, spans[i].first.run) != *records[i].facts;
            spans[i].facts = records[i].facts.get();
        }
    }

    /// Facts of a span before the change, with the places as they are behind it.
    FileFacts moved(const FileFacts& facts, std::size_t first_run) const {
        FileFacts out = facts;
        if (!kept.shift) return out;
        for (auto place : {&FileFacts::safety_block, &FileFacts::first_move, &FileFacts::first_unreachable,
                           &FileFacts::move_without_units, &FileFacts::last_code, &FileFacts::return_move,
                           &FileFacts::tool_call, &FileFacts::last_off})
            if (std::optional<Near>& near = out.*place)
                near->block = static_cast<std::uint32_t>(
                    kept.shift->moved({first_run + near->runs, near->block}).block);
        return out;
    }

    /// Where the visit of a span may begin with what the analysis has passed near above it.
    void begin_near(BlockPlace first, machine::Analysis::Passed& passed) const {
        const machine::Analysis::Changed* changed = changed_in_part(first.run);
        const bool nearer = passed.state && passed.next.run == first.run && passed.next <= first;
        if (!changed || nearer || changed->passed.next > first) return;
        passed = changed->passed;
    }

    SpanRecord made_for(const Span& span, machine::Analysis::Passed& passed) const {
        SpanRecord record = key_of_span(span);
        Report report(*analysis, *shop, false);
        record.looks_beyond = check_span(span, report, record.facts, passed);
        if (record.looks_beyond) {
            record.above = key_of(span.first.run - 1);
            record.below = key_of(span.last.run + 1);
        }
        record.findings = found_by(report);
        for (Report::Placed& placed : record.findings) placed.run -= span.first.run;
        return record;
    }

    void check_changed_spans() {
        facts_changed = true;
        outline = machine::outline(*analysis);
        spans = spans_of(outline, *analysis);
        std::size_t front = 0, back = 0, old = records.size(), now = spans.size();
        while (front < now && front < old && holds(records[front], spans[front])) ++front;
        while (back < now - front && back < old - front &&
               holds(records[old - 1 - back], spans[now - 1 - back]))
            ++back;
        std::vector<SpanRecord> made(now - back - front);
        // Some spans behind each other at a time: they share runs.
        constexpr std::size_t at_a_time = 16;
        const std::size_t lots = (made.size() + at_a_time - 1) / at_a_time;
        const std::size_t few = analysis->has_flow() ? lots : few_runs / at_a_time;
        syntax::on_both_cores(lots, few, [&](std::size_t lot) {
            machine::Analysis::Passed passed;
            for (std::size_t i = lot * at_a_time; i < std::min(made.size(), (lot + 1) * at_a_time); ++i)
                made[i] = made_for(spans[front + i], passed);
        });
        auto at = records.erase(records.begin() + static_cast<std::ptrdiff_t>(front),
                                records.end() - static_cast<std::ptrdiff_t>(back));
        records.insert(at, std::make_move_iterator(made.begin()), std::make_move_iterator(made.end()));
        for (std::size_t i = 0; i < spans.size(); ++i) spans[i].facts = records[i].facts.get();
    }

    void check_entry(const Span& span, Report& report) const {
        EntryContext context{*analysis, outline, *shop, span, across};
        for (const Check* check : entry_checks) {
            report.current = check;
            check->entry(context, report);
        }
    }

    void check_changed_entries() {
        bool all = false;
        if (facts_changed) {
            Across now = across_of(spans, *shop, analysis->settings().system);
            all = now != across;
            across = std::move(now);
        }
        checked_spans =
            !all && kept.shapes ? touched_spans() : std::pair<std::size_t, std::size_t>(0, spans.size());
        const auto [from, to] = checked_spans;
        for (std::size_t i = from; i < to; ++i) {
            if (!all && !records[i].fresh) continue;
            Report report(*analysis, *shop, false);
            check_entry(spans[i], report);
            records[i].entry_findings = found_by(report);
            for (Report::Placed& placed : records[i].entry_findings) placed.run -= spans[i].first.run;
            records[i].fresh = false;
        }
    }

    // --- The file ---------------------------------------------------------------------------------------

    /// Whether rules of the file would find what they found before: nothing that they are given has changed,
    /// and no text that they look into.
    bool file_is_as_before() const {
        if (!kept.shapes || facts_changed || !analysis->flow_problems().empty()) return false;
        for (const Report::Placed& found : file_findings) {
            if (touched.contains(found.run)) return false;
            for (const auto& related : found.finding.related)
                if (touched.contains(related.block.run)) return false;
        }
        for (const machine::ProgramPart& program : outline.programs) {
            if (touched.contains(program.first.run)) return false;
            // Behind the end nothing is read, but looked at.
            if (touched.meets((program.end ? *program.end : program.last).run, program.last.run))
                return false;
        }
        return true;
    }

    bool has_works() const { return analysis->size() <= most_runs_of_works; }

    /// What the tools do to the part, over the whole file; the moves of spans that are as they were are kept.
    std::vector<Workpiece> parts_of_file() {
        std::vector<Work*> works;
        std::vector<std::size_t> clamping; ///< Of each
        std::size_t clampings = 0;
        for (std::size_t i = 0; i < spans.size(); ++i) {
            if (i > 0 && spans[i].program != spans[i - 1].program) ++clampings;
            if (spans[i].program->is_subprogram) continue;
            std::shared_ptr<SpanWorks>& of_span = records[i].works;
            if (!of_span || of_span->looks_elsewhere)
                of_span = std::make_shared<SpanWorks>(
                    works_between(*analysis, *shop, spans[i].first, spans[i].last));
            for (Work& work : of_span->works) {
                if (work.legs.empty()) continue;
                work.span = i;
                works.push_back(&work);
                clamping.push_back(clampings);
            }
            if (of_span->ends_by_stop) ++clampings;
        }
        return parts_of(works, clamping);
    }

    void check_file(Report& report) {
        FileContext context{*analysis, outline, *shop, spans, labels_twice, habits, across, stock};
        const std::vector<Workpiece> parts = has_works() ? parts_of_file() : std::vector<Workpiece>();
        const WorksContext works{*analysis, *shop, spans, parts};
        const WorksAtHand at_hand(has_works() ? &works : nullptr);
        for (const Check* check : file_checks) {
            report.current = check;
            check->file(context, report);
        }
    }

    // --- Silencing and order ------------------------------------------------------------------------------

    bool in_head(BlockPlace place) const {
        for (const machine::ProgramPart& program : outline.programs)
            if (!program.sequences.empty()) return place < program.sequences.front().tool_call;
        return true;
    }

    std::vector<Cover> covers_of_notes() const {
        std::vector<Cover> covers;
        for (std::size_t r : allowing_runs)
            for (const Allowance& allowance : row[r].allowances)
                covers.push_back({{r, allowance.block}, &allowance, std::vector<bool>(allowance.ids.size())});
        return covers;
    }

    /// Every block that a note covers: its own and, alone on its line, those to the next one with words.
    std::multimap<BlockPlace, std::size_t> covered_blocks(const std::vector<Cover>& covers) const {
        std::multimap<BlockPlace, std::size_t> blocks;
        for (std::size_t i = 0; i < covers.size(); ++i) {
            if (covers[i].allowance->whole_file) continue;
            BlockPlace at = covers[i].place;
            blocks.emplace(at, i);
            if (!covers[i].allowance->alone) continue;
            for (int steps = 0; steps < 200; ++steps) {
                ++at.block;
                if (at.block >= row[at.run].key.text->blocks.size()) {
                    if (++at.run >= row.size()) break;
                    at.block = 0;
                }
                blocks.emplace(at, i);
                if (block_has_words(*row[at.run].key.text, at.block)) break;
            }
        }
        return blocks;
    }

    static Cover* allows(Cover& cover, std::string_view id) {
        for (std::size_t i = 0; i < cover.allowance->ids.size(); ++i) {
            if (cover.allowance->ids[i] != id) continue;
            cover.used[i] = true;
            return &cover;
        }
        return nullptr;
    }

    std::vector<Placed> everything() const {
        std::vector<Placed> placed;
        for (std::size_t r : runs_with_any)
            for (const Finding& finding : row[r].findings) placed.push_back({r, &finding});
        for (std::size_t i : spans_with_any)
            for (const auto* list : {&records[i].findings, &records[i].entry_findings})
                for (const Report::Placed& found : *list)
                    placed.push_back({found.run + spans[i].first.run, &found.finding});
        for (const Report::Placed& found : file_findings) placed.push_back({found.run, &found.finding});
        return placed;
    }

    void sort_out() {
        shown.clear();
        silenced.clear();
        silencing_findings.clear();
        std::vector<Cover> covers = covers_of_notes();
        auto blocks = covered_blocks(covers);
        for (const Placed& placed : everything()) {
            const Check& check = *placed.finding->check;
            if (check.applies && !check.applies(habits)) continue;
            Cover* by = nullptr;
            if (!covers.empty()) {
                auto [from, to] = blocks.equal_range({placed.run, placed.finding->block});
                for (auto at = from; at != to && !by; ++at) by = allows(covers[at->second], check.id);
                for (Cover& cover : covers)
                    if (!by && cover.allowance->whole_file && in_head(cover.place))
                        by = allows(cover, check.id);
            }
            if (by)
                silenced.push_back({placed.run, placed.finding, by->place});
            else
                shown.push_back(placed);
        }
        report_unused(covers);
        for (const Report::Placed& found : silencing_findings) shown.push_back({found.run, &found.finding});
        std::sort(shown.begin(), shown.end(), before);
        std::sort(silenced.begin(), silenced.end(), [](const Silenced& a, const Silenced& b) {
            return before({a.run, a.finding}, {b.run, b.finding});
        });
    }

    void report_unused(const std::vector<Cover>& covers) {
        if (!unused_check || covers.empty()) return;
        Report report(*analysis, *shop, true);
        report.current = unused_check;
        for (const Cover& cover : covers) report_unused_in(cover, report);
        silencing_findings = found_by(report);
    }

    void report_unused_in(const Cover& cover, Report& report) const {
        const syntax::Run& run = *row[cover.place.run].key.text;
        const syntax::Item* note = nullptr;
        for (const syntax::Item& item : run.items_of(run.blocks[cover.place.block]))
            if (item.begin == cover.allowance->begin) note = &item;
        if (!note) return;
        std::string idle, left;
        for (std::size_t i = 0; i < cover.used.size(); ++i) {
            std::string& list = cover.used[i] ? left : idle;
            list += (list.empty() ? "" : ", ") + cover.allowance->ids[i];
        }
        if (idle.empty() && !cover.used.empty()) return;
        const syntax::Block& block = run.blocks[cover.place.block];
        bool misplaced = cover.allowance->whole_file && !in_head(cover.place);
        std::string what =
            cover.used.empty() ? "This note names no warning" : "Nothing to silence here: " + idle;
        if (misplaced) what = "IN FILE only counts above the first tool call; here it silences nothing";
        for (const std::string& id : cover.allowance->ids)
            if (!find_check(id)) what += ". There is no warning called " + id;
        std::string scope = cover.allowance->whole_file ? "IN FILE " : "";
        report.at(cover.place, *note).message(what + ".").tag(Tag::unnecessary).fix([&] {
            bool all = left.empty();
            return Fix{all ? "Take the note away" : "Leave only " + left,
                       {{cover.place, note->begin - block.begin, note->end() - block.begin,
                         all ? "" : "(TURNWRIGHT: ALLOW " + scope + left + ")"}},
                       true,
                       true};
        });
    }

    void check_first(std::size_t count) {
        row.resize(analysis->size());
        std::vector<std::size_t> first(std::min(count, row.size()));
        std::iota(first.begin(), first.end(), std::size_t{0});
        check_runs(first, [](std::size_t) { return nullptr; });
        std::set<std::string_view> allowed;
        for (std::size_t r : first) {
            count_labels_of(row[r]);
            for (const Allowance& allowance : row[r].allowances)
                allowed.insert(allowance.ids.begin(), allowance.ids.end());
        }
        for (std::size_t r : first)
            for (const Finding& finding : row[r].findings)
                if (!finding.check->applies && !allowed.contains(finding.check->id))
                    shown.push_back({r, &finding});
        std::sort(shown.begin(), shown.end(), before);
    }

    void refresh(Gone gone) {
        row.resize(analysis->size());
        check_changed_runs(std::move(gone));
        if (kept.shift) move_spans();
        kept.shapes ? check_touched_spans() : check_changed_spans();
        check_changed_entries();
        stock.follow(*analysis, *shop, outline);
        // Given before or now: what the rules see of it may have changed.
        const bool was_given = stock_given;
        stock_given = std::any_of(stock.programs().begin(), stock.programs().end(),
                                  [](const stock::ProgramCourse& program) { return program.is_given(); });
        if (was_given || stock_given || has_works() || !file_is_as_before()) {
            Report report(*analysis, *shop, false);
            check_file(report);
            file_findings = found_by(report);
        }
        find_findings();
        sort_out();
    }

    bool is_shown(const Report::Placed& wanted) const {
        for (const Placed& placed : shown) {
            const Finding &a = *placed.finding, &b = wanted.finding;
            if (placed.run == wanted.run && a.check == b.check && a.begin == b.begin &&
                a.length == b.length && a.message == b.message)
                return true;
        }
        return false;
    }
};

Results::Results() : implementation_(std::make_unique<Implementation>()) {}
Results::~Results() = default;
Results::Results(Results&&) noexcept = default;
Results& Results::operator=(Results&&) noexcept = default;

void Results::rebuild(const machine::Analysis& analysis, const shop::Shop& shop) {
    begin(analysis, shop, 0);
    finish();
}

void Results::begin(const machine::Analysis& analysis, const shop::Shop& shop, std::size_t first_runs) {
    implementation_ = std::make_unique<Implementation>();
    implementation_->analysis = &analysis;
    implementation_->shop = &shop;
    implementation_->choose_checks();
    implementation_->check_first(first_runs);
}

void Results::finish() {
    implementation_->refresh({});
}

void Results::update(const machine::Analysis& analysis, const text::Splice& splice) {
    Implementation& own = *implementation_;
    if (!own.shop) return;
    own.analysis = &analysis;
    own.kept = analysis.kept();
    own.seam = {splice.first - 1, splice.first + splice.inserted};
    auto at = own.row.begin() + static_cast<std::ptrdiff_t>(std::min(splice.first, own.row.size()));
    auto end = at + static_cast<std::ptrdiff_t>(
                        std::min<std::size_t>(splice.removed, static_cast<std::size_t>(own.row.end() - at)));
    std::vector<Entry> gone(std::make_move_iterator(at), std::make_move_iterator(end));
    std::vector<Entry> fresh(splice.inserted);
    // Several edits at once come as one splice over all of them: what lies between is as it was.
    std::unordered_map<const syntax::Run*, Entry*> were;
    for (Entry& entry : gone) were.emplace(entry.key.text.get(), &entry);
    for (std::size_t i = 0; i < splice.inserted; ++i) {
        auto was = were.find(analysis.forest().run(splice.first + i).get());
        if (was == were.end()) continue;
        fresh[i] = std::exchange(*was->second, Entry{});
        were.erase(was);
    }
    if (splice.removed == splice.inserted) {
        std::move(fresh.begin(), fresh.end(), at); // Nothing moves
    } else {
        at = own.row.erase(at, end);
        own.row.insert(at, std::make_move_iterator(fresh.begin()), std::make_move_iterator(fresh.end()));
    }
    Implementation::Gone replaced;
    replaced.first = splice.first;
    for (const Entry& entry : gone) {
        own.habits.with_point -= entry.habits.with_point;
        own.habits.without_point -= entry.habits.without_point;
        if (!own.kept.shapes) own.count_labels_of(entry);
        replaced.add(entry.key);
    }
    if (splice.removed == splice.inserted) replaced.entries = std::move(gone);
    own.refresh(std::move(replaced));
}

std::vector<Results::Placed> Results::all() const {
    return implementation_->shown;
}
std::span<const Results::Placed> Results::shown() const {
    return implementation_->shown;
}

std::vector<Results::Placed> Results::in_run(std::size_t run) const {
    const auto& shown = implementation_->shown;
    auto from =
        std::partition_point(shown.begin(), shown.end(), [&](const Placed& p) { return p.run < run; });
    auto to = std::partition_point(from, shown.end(), [&](const Placed& p) { return p.run == run; });
    return {from, to};
}

std::vector<Report::Placed> Results::with_fixes(std::size_t run) const {
    Implementation& own = *implementation_;
    if (!own.analysis || run >= own.row.size()) return {};
    Report report(*own.analysis, *own.shop, true);
    own.check_blocks(run, report, nullptr);
    machine::Analysis::Passed passed;
    for (const Span& span : own.spans) {
        if (span.last.run < run || span.first.run > run) continue;
        std::shared_ptr<const SequenceFacts> facts;
        own.check_span(span, report, facts, passed);
        own.check_entry(span, report);
    }
    own.check_file(report);
    std::vector<Report::Placed> found = std::move(report.found);
    found.insert(found.end(), own.silencing_findings.begin(), own.silencing_findings.end());
    std::erase_if(found,
                  [&](const Report::Placed& placed) { return placed.run != run || !own.is_shown(placed); });
    for (Report::Placed& placed : found)
        placed.finding.severity = own.severity_of(*placed.finding.check, placed.finding.severity);
    std::sort(found.begin(), found.end(), [](const Report::Placed& a, const Report::Placed& b) {
        return before({a.run, &a.finding}, {b.run, &b.finding});
    });
    return found;
}

std::vector<Results::Silenced> Results::silenced() const {
    return implementation_->silenced;
}
const machine::Outline& Results::outline() const {
    return implementation_->outline;
}
std::span<const Span> Results::spans() const {
    return implementation_->spans;
}
const stock::Course& Results::stock() const {
    return implementation_->stock;
}

} // namespace turnwright::checks
