// All findings of a program, kept beside its runs and sequences.

#include "checks/acts.h"
#include "checks/clamping.h"
#include "checks/former_ids.h"
#include "checks/head_stock.h"
#include "checks/most_findings.h"
#include "checks/second_sides.h"
#include "checks/sequence_facts.h"
#include "checks/taking_over.h"
#include "checks/two_paths.h"
#include "checks/works.h"
#include "language/said.h"
#include "machine/followed.h"
#include "motion/work.h"
#include "syntax/both_cores.h"

#include <algorithm>
#include <cctype>
#include <map>
#include <mutex>
#include <numeric>
#include <set>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace turnwright::checks {

using machine::BlockView;
using machine::Memo;
using machine::Reader;
using machine::Whole;

namespace {

/// What the blocks of a run show by themselves.
struct RunFound {
    syntax::RunPointer text;
    std::vector<Finding> findings; ///< In order of block
    std::vector<Allowance> allowances;
    Habits habits;
    std::vector<std::size_t> with_path; ///< Blocks whose path was asked for: it hangs on other blocks, too
    /// That the path of each of these took.
    std::vector<std::uint64_t> cycle_work;
    std::uint64_t all_work = 0;
};

/// What of the outline tells a span from another.
struct SpanKey {
    Near last, tool_call;
    std::optional<Near> note, optional_stop;
    std::int32_t number = -1, tool = -1, offset = -1, program = 0;
    bool is_head = false, calls_tool = false, in_subprogram = false, only_one = false;
    bool operator==(const SpanKey&) const = default;
    /// All that rules on the sequence itself know of it; the rest is for rules on its facts.
    bool same_blocks(const SpanKey& other) const { return last == other.last && tool == other.tool; }
};

struct SpanFound {
    std::shared_ptr<const SequenceFacts> facts;
    std::vector<Report::Placed> findings; ///< Runs counted from the span's first
};

struct SpanRecord {
    SpanKey key;
    std::size_t first_block = 0; ///< In its first run
    Memo<SpanFound> found;
    Memo<std::shared_ptr<SpanWorks>> works;
    Memo<TurnedRound> turned;                   ///< In front of its tool call
    std::vector<Report::Placed> entry_findings; ///< Of rules on its facts

    void move_to(std::size_t block) {
        for (auto* list : {&found.value.findings, &entry_findings})
            for (Report::Placed& placed : *list)
                if (placed.run == 0)
                    placed.finding.block =
                        static_cast<std::uint16_t>(placed.finding.block - first_block + block);
        first_block = block;
    }
};

struct FileRule {
    const Check* check;
    Memo<std::vector<Report::Placed>> found;
};

bool before(const Results::Placed& a, const Results::Placed& b) {
    const Finding &x = *a.finding, &y = *b.finding;
    return std::tie(a.run, x.block, x.begin, x.length, x.check->id, x.message) <
           std::tie(b.run, y.block, y.begin, y.length, y.check->id, y.message);
}

/// Blocks a silencing note covers.
struct Cover {
    BlockPlace place, end; ///< The blocks, both in
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
    static constexpr std::size_t few_runs = 64;         ///< Checked sooner than a thread starts
    static constexpr std::size_t few_rules = 24;        ///< The same of rules on the file
    static constexpr std::size_t runs_at_a_time = 1024; ///< Until the findings are counted
    const machine::Analysis* analysis = nullptr;
    const shop::Shop* shop = nullptr;
    std::vector<const Check*> block_checks, sequence_checks, entry_checks;
    const Check* unused_check = nullptr;
    const Check* unread_check = nullptr; ///< Tells where the rest is not checked

    machine::Versions versions;
    std::vector<Memo<RunFound>> row;
    BlockPlace checked_end; ///< Blocks from here on are not checked
    Habits behind_end;      ///< Of its run, what stands behind it
    enum class EndsAt : std::uint8_t { findings, cycles, flow } ends_at{}; ///< What there is too much of
    BlockPlace followed_to;                                                ///< By the analysis
    machine::Outline outline;
    std::vector<Span> spans;
    std::vector<SpanRecord> records; ///< Parallel to spans
    std::set<std::int32_t> labels_twice;
    Habits habits;
    Across across;
    stock::Course stock;
    std::vector<stock::JointStock> joint;
    std::vector<Clamping> clampings_of_works;
    mutable std::mutex making; ///< Of what rules on the file ask for together
    // Of this update, once asked for.
    mutable std::shared_ptr<const ClampingPrograms> clamping_programs;
    mutable std::shared_ptr<const SecondSpindle> second_spindle;
    mutable std::shared_ptr<const std::vector<TwoPaths>> paths; ///< Of this update, once asked for
    mutable OtherPrograms other_programs;
    std::uint64_t outline_of_works = 0;
    bool stock_given = false;          ///< For any program of the file
    bool is_begun = false;             ///< What hangs on the file is not looked at yet
    std::vector<Workpiece> workpieces; ///< Of files that are not too long
    std::vector<FileRule> file_rules;
    std::vector<Report::Placed> silencing_findings, end_findings;
    std::vector<Finding> told_once; ///< First ones of many, with their count
    std::vector<Placed> shown;
    std::vector<Silenced> silenced;
    // Few of the runs and spans, in order, so that a change need not go over all of them.
    std::vector<std::size_t> allowing_runs;  ///< Runs with silencing notes
    std::vector<std::size_t> runs_with_any;  ///< Runs with findings
    std::vector<std::size_t> spans_with_any; ///< Spans with findings

    Severity severity_of(const Check& check, Severity given) const {
        if (shop->checks.empty()) return given;
        if (auto at = shop->checks.find(std::string(check.id)); at != shop->checks.end()) return at->second;
        for (const FormerId& known : former_ids())
            if (known.present == check.id)
                if (auto at = shop->checks.find(std::string(known.former)); at != shop->checks.end())
                    return at->second;
        return given;
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
        for (const Check* check : all_checks()) {
            if (!is_on(*check)) continue;
            if (check->block) block_checks.push_back(check);
            if (check->sequence) sequence_checks.push_back(check);
            if (check->entry) entry_checks.push_back(check);
            if (check->landmarks || check->file || check->stock || check->works)
                file_rules.push_back({check, {}});
        }
        unused_check = find_check("unused_silencing");
        if (unused_check && !is_on(*unused_check)) unused_check = nullptr;
        unread_check = find_check("unreadable_text");
    }

    /// Brings a list of members up to date: `holds` is asked of those looked at again, or of all where some
    /// have moved.
    template <class Holds>
    static void list_again(std::vector<std::size_t>& list, std::size_t size, bool moved,
                           std::span<const std::size_t> again, Holds&& holds) {
        if (moved) {
            list.clear();
            for (std::size_t i = 0; i < size; ++i)
                if (holds(i)) list.push_back(i);
            return;
        }
        for (std::size_t i : again) {
            auto at = std::lower_bound(list.begin(), list.end(), i);
            const bool there = at != list.end() && *at == i;
            if (holds(i) == there) continue;
            if (there)
                list.erase(at);
            else
                list.insert(at, i);
        }
    }

    // --- Blocks -----------------------------------------------------------------------------------------

    /// True: the block's path was asked for.
    bool check_block(const BlockView& view, Report& report) const {
        if (view.text.item_count == 0 || !view.reading.is_read || !view.before.reachable) return false;
        for (const Check* check : block_checks) {
            report.current = check;
            check->block(view, report);
        }
        return report.forget_path();
    }

    /// Blocks of a run that are looked at again; the others read as they did.
    static bool is_looked_at(std::size_t block, const machine::Analysis::Changed& changed,
                             const RunFound& before) {
        return (block >= changed.first && block < changed.end) ||
               std::binary_search(before.with_path.begin(), before.with_path.end(), block);
    }

    /// Rules see what is stated: none is made true or false by what is assumed.
    RunFound check_run(std::size_t run, const RunFound& before, const Reader& asked) const {
        const Reader reader = asked.of_stated();
        RunFound found;
        found.text = analysis->forest().run(run);
        found.allowances = allowances_in(*found.text);
        found.habits = habits_of(found.text->items);
        const auto& all_changed = analysis->kept().changed;
        const auto changed = std::find_if(all_changed.begin(), all_changed.end(), [&](const auto& some) {
            return some.run == run && before.text && some.text_before == before.text;
        });
        const bool in_part = changed != all_changed.end();
        if (in_part)
            for (const Finding& finding : before.findings)
                if (!is_looked_at(finding.block, *changed, before)) found.findings.push_back(finding);
        Report report(reader, *shop, false);
        reader.visit(run, [&](const BlockView& view) {
            if (in_part && !is_looked_at(view.block, *changed, before)) return;
            const std::uint64_t work_before = motion::cycle_work();
            if (!check_block(view, report)) return;
            found.with_path.push_back(view.block); // Paths are all made again
            found.cycle_work.push_back(motion::cycle_work() - work_before);
            found.all_work += found.cycle_work.back();
        });
        for (Report::Placed& placed : found_by(report)) found.findings.push_back(std::move(placed.finding));
        if (in_part)
            std::stable_sort(found.findings.begin(), found.findings.end(),
                             [](const Finding& a, const Finding& b) { return a.block < b.block; });
        return found;
    }

    void check_runs(std::span<const std::size_t> runs) {
        for (std::size_t run : runs) count(row[run].value.habits, -1);
        syntax::on_both_cores(runs.size(), few_runs, [&](std::size_t i) {
            const RunFound before = std::move(row[runs[i]].value);
            row[runs[i]] = Memo<RunFound>::make(*analysis, versions, {runs[i], 0}, [&](const Reader& reader) {
                return check_run(runs[i], before, reader);
            });
        });
        for (std::size_t run : runs) count(row[run].value.habits, 1);
    }

    void count(const Habits& some, int by) {
        const auto sign = static_cast<std::uint64_t>(by); // Wraps around
        habits.with_point += sign * some.with_point;
        habits.without_point += sign * some.without_point;
    }

    bool is_cut_short() const { return checked_end.run < row.size(); }

    /// What is checked is counted block by block, so that it does not hang on where runs begin.
    struct Counted {
        std::size_t findings = 0, blocks = 0;
        std::uint64_t work = 0;
        bool too_much_work() const { return work > motion::most_cycle_work(blocks); }
        bool too_much() const { return findings > most_findings || too_much_work(); }
    };

    /// Adds the blocks of a run as far as may be: behind the last of them.
    std::size_t count_blocks(std::size_t run, Counted& counted) const {
        const RunFound& found = row[run].value;
        const std::size_t all_blocks = analysis->forest().run(run)->blocks.size();
        const std::size_t blocks = run == followed_to.run ? followed_to.block : all_blocks;
        Counted all = counted;
        all.findings += found.findings.size();
        all.work += found.all_work;
        if (blocks == all_blocks && !all.too_much()) { // Nowhere in it
            all.blocks += blocks;
            counted = all;
            return blocks;
        }
        std::size_t finding = 0, path = 0, block = 0;
        while (block < blocks && !counted.too_much()) {
            for (; finding < found.findings.size() && found.findings[finding].block <= block; ++finding)
                ++counted.findings;
            for (; path < found.with_path.size() && found.with_path[path] == block; ++path)
                counted.work += found.cycle_work[path];
            ++counted.blocks;
            ++block;
        }
        return block;
    }

    /// In order, up to where there are too many findings: what is checked is told by the text alone.
    void check_stale_runs(bool moved) {
        const BlockPlace before = checked_end;
        std::vector<std::size_t> stale;
        std::size_t run = 0;
        Counted counted;
        checked_end = {};
        followed_to = machine::end_of_following(*analysis).value_or(BlockPlace{row.size(), 0});
        const std::size_t behind = std::min(row.size(), followed_to.run + 1);
        // Few at first: a handful of lines may call for all the work.
        for (std::size_t lot = 1; run < behind && !counted.too_much();
             lot = std::min(2 * lot, runs_at_a_time)) {
            const std::size_t end = std::min(behind, run + lot);
            const std::size_t first_stale = stale.size();
            for (std::size_t i = run; i < end; ++i)
                if (!row[i].holds(*analysis, versions, {i, 0})) stale.push_back(i);
            check_runs(std::span(stale).subspan(first_stale));
            for (; run < end && !counted.too_much(); ++run) checked_end = {run, count_blocks(run, counted)};
        }
        behind_end = {};
        if (run > 0) {
            const syntax::Run& last = *analysis->forest().run(checked_end.run);
            if (checked_end.block == last.blocks.size())
                checked_end = {run, 0};
            else
                behind_end =
                    habits_of(std::span(last.items).subspan(last.blocks[checked_end.block].first_item));
        }
        ends_at = counted.too_much_work() ? EndsAt::cycles
                  : counted.too_much()    ? EndsAt::findings
                                          : EndsAt::flow;
        for (; run < row.size(); ++run) {
            if (!row[run].made) continue;
            count(row[run].value.habits, -1);
            row[run] = {};
        }
        const bool all = moved || is_cut_short() || before.run < row.size();
        list_again(allowing_runs, row.size(), all, stale,
                   [&](std::size_t r) { return !row[r].value.allowances.empty(); });
        list_again(runs_with_any, row.size(), all, stale,
                   [&](std::size_t r) { return !row[r].value.findings.empty(); });
    }

    /// Rules on sequences and on the file would speak of what was not looked at.
    void leave_out_all_but_blocks() {
        static const SequenceFacts nothing = [] {
            SequenceFacts facts;
            facts.acts.held = std::make_shared<const Acts>();
            return facts;
        }();
        outline = machine::outline(*analysis);
        spans = spans_of(outline, *analysis);
        for (Span& span : spans) span.facts = &nothing;
        ++versions.of(Whole::outline);
        ++versions.of(Whole::facts);
        ++versions.of(Whole::stock);
        records.clear();
        records.resize(spans.size());
        across = {};
        stock = {};
        stock_given = false;
        clampings_of_works.clear();
        workpieces.clear();
        clamping_programs.reset();
        second_spindle.reset();
        paths.reset();
        spans_with_any.clear();
        for (FileRule& rule : file_rules) rule.found = {};
    }

    void tell_end() {
        end_findings.clear();
        if (!is_cut_short()) return;
        Report report(*analysis, *shop, false);
        report.current = unread_check;
        if (ends_at == EndsAt::flow)
            report.at(checked_end)
                .message(said(
                    "The jumps, loops and calls up to here take more work than is done for one program: what "
                    "follows is not checked, nor are tools, sequences and the program as a whole. Split the "
                    "program, or look whether this is a part program."));
        else if (ends_at == EndsAt::cycles)
            report.at(checked_end)
                .message(said(
                    "The cycles up to here call for more passes than are followed in one program: what "
                    "follows is not checked, nor are tools, sequences and the program as a whole. Look at "
                    "depths, repeats and contours of the cycles above."));
        else
            report.at(checked_end)
                .message(
                    said("More than {} warnings up to here: what follows is not checked, nor are tools, "
                         "sequences and the program as a whole. Mend the first ones, or look whether this "
                         "is a part program.",
                         most_findings));
        end_findings = std::move(report.found);
    }

    /// Puts empty entries where runs came for others. Several edits at once come as one splice over all of
    /// them: what lies between is as it was.
    void take_runs(const text::Splice& splice) {
        if (splice.removed == splice.inserted) return; // Nothing moves
        const auto at = row.begin() + static_cast<std::ptrdiff_t>(splice.first);
        const auto end = at + static_cast<std::ptrdiff_t>(splice.removed);
        std::unordered_map<const syntax::Run*, Memo<RunFound>*> were;
        for (auto entry = at; entry != end; ++entry) {
            count(entry->value.habits, -1);
            were.emplace(entry->value.text.get(), &*entry);
        }
        std::vector<Memo<RunFound>> fresh(splice.inserted);
        for (std::size_t i = 0; i < splice.inserted; ++i) {
            auto was = were.find(analysis->forest().run(splice.first + i).get());
            if (was == were.end()) continue;
            fresh[i] = std::exchange(*was->second, {});
            count(fresh[i].value.habits, 1);
            were.erase(was);
        }
        row.insert(row.erase(at, end), std::make_move_iterator(fresh.begin()),
                   std::make_move_iterator(fresh.end()));
    }

    void count_labels() {
        const auto& counts = analysis->label_counts();
        for (std::int32_t number : analysis->kept().labels) {
            const auto at = counts.find(number);
            if (at != counts.end() && at->second > 1)
                labels_twice.insert(number);
            else
                labels_twice.erase(number);
        }
    }

    // --- Sequences --------------------------------------------------------------------------------------

    static SpanKey key_of(const Span& span) {
        SpanKey key;
        key.last = Near::of(span.last, span.first);
        key.is_head = span.sequence == nullptr;
        key.in_subprogram = span.program->is_subprogram;
        key.program = span.program->number;
        key.only_one = span.program->sequences.size() < 2;
        if (!span.sequence) return key;
        const machine::Sequence& sequence = *span.sequence;
        key.number = sequence.number;
        key.tool = sequence.tool;
        key.offset = sequence.offset;
        key.calls_tool = sequence.calls_tool;
        key.tool_call = Near::of(sequence.tool_call, span.first);
        if (sequence.note) key.note = Near::of(*sequence.note, span.first);
        if (sequence.optional_stop) key.optional_stop = Near::of(*sequence.optional_stop, span.first);
        return key;
    }

    static bool compensates(const std::vector<Step>& steps) {
        return std::any_of(steps.begin(), steps.end(), [](const Step& step) {
            return step.is(codes::Meaning::compensation_left) || step.is(codes::Meaning::compensation_right);
        });
    }

    std::size_t blocks_in(const Span& span) const {
        if (span.first.run == span.last.run) return span.last.block + 1 - span.first.block;
        std::size_t blocks = span.last.block + 1;
        for (std::size_t run = span.first.run; run < span.last.run; ++run)
            blocks += analysis->forest().run(run)->blocks.size();
        return blocks - span.first.block;
    }

    /// Runs a rule until it has found as many as are told of a program.
    template <class Run>
    static void as_far_as_told(const Check& check, Report& report, Run&& run) {
        report.current = &check;
        try {
            run();
        } catch (const FoundTooMany&) { // What it found so far stands
        }
    }

    std::shared_ptr<const SequenceFacts> check_span(const Span& span, const Reader& asked, Report& report,
                                                    machine::Analysis::Passed& passed) const {
        const Reader reader = asked.of_stated();
        const Collected collected = collect(reader, span.first, span.last, passed, blocks_in(span));
        std::vector<motion::TroubleAt> nose;
        if (!shop->tools.empty() && compensates(collected.steps))
            nose = motion::nose_troubles(reader, *shop, span.first, span.last);
        const SequenceContext context{
            reader, *shop, span.sequence ? span.sequence->tool : -1, collected.steps, *collected.facts, nose};
        for (const Check* check : sequence_checks)
            as_far_as_told(*check, report, [&] { check->sequence(context, report); });
        return collected.facts;
    }

    void make(SpanRecord& record, const Span& span, machine::Analysis::Passed& passed) const {
        record.key = key_of(span);
        record.first_block = span.first.block;
        record.works = {}; // It may end elsewhere
        record.found = Memo<SpanFound>::make(*analysis, versions, span.first, [&](const Reader& reader) {
            SpanFound found;
            Report report(reader.of_stated(), *shop, false);
            found.facts = check_span(span, reader, report, passed);
            found.findings = found_by(report);
            for (Report::Placed& placed : found.findings) placed.run -= span.first.run;
            return found;
        });
    }

    /// Spans in their order now, each with the record of the one that stood there before, if any.
    void take_outline() {
        const machine::Analysis::Kept& kept = analysis->kept();
        if (kept.shapes && (!kept.shift || machine::move(outline, *kept.shift))) {
            for (Span& span : spans) {
                if (!kept.shift || span.last.run < kept.shift->run || span.first.run > kept.shift->run)
                    continue;
                span.first = kept.shift->moved(span.first);
                span.last = kept.shift->moved(span.last);
            }
            return;
        }
        ++versions.of(Whole::outline);
        outline = machine::outline(*analysis);
        spans = spans_of(outline, *analysis);
        std::size_t front = 0, back = 0, old = records.size(), now = spans.size();
        const auto is_same = [&](std::size_t record, std::size_t span) {
            return records[record].key == key_of(spans[span]);
        };
        while (front < std::min(now, old) && is_same(front, front)) ++front;
        while (back < std::min(now, old) - front && is_same(old - 1 - back, now - 1 - back)) ++back;
        const auto at = records.begin() + static_cast<std::ptrdiff_t>(front);
        if (now > old)
            records.insert(at, now - old, {});
        else
            records.erase(at, at + static_cast<std::ptrdiff_t>(old - now));
    }

    /// The spans whose rules on facts are to be asked again.
    std::vector<std::size_t> check_stale_spans() {
        const machine::Analysis::Kept& kept = analysis->kept();
        std::vector<std::size_t> stale, other_key;
        for (std::size_t i = 0; i < spans.size(); ++i) {
            SpanRecord& record = records[i];
            const SpanKey key = kept.shapes && !kept.shift ? record.key : key_of(spans[i]);
            if (!record.key.same_blocks(key) || !record.found.holds(*analysis, versions, spans[i].first)) {
                stale.push_back(i);
                continue;
            }
            if (record.first_block != spans[i].first.block) record.move_to(spans[i].first.block);
            if (std::exchange(record.key, key) != key) other_key.push_back(i);
        }
        std::vector<std::shared_ptr<const SequenceFacts>> before;
        std::vector<BlockPlace> stood;
        for (std::size_t i : stale) {
            before.push_back(records[i].found.value.facts);
            stood.push_back({spans[i].first.run, records[i].first_block});
        }
        // Some spans behind each other at a time: they share runs.
        constexpr std::size_t at_a_time = 16;
        const std::size_t lots = (stale.size() + at_a_time - 1) / at_a_time;
        syntax::on_both_cores(lots, few_runs / at_a_time, [&](std::size_t lot) {
            machine::Analysis::Passed passed;
            std::shared_ptr<const SequenceFacts> above;
            for (std::size_t i = lot * at_a_time; i < std::min(stale.size(), (lot + 1) * at_a_time); ++i) {
                make(records[stale[i]], spans[stale[i]], passed);
                // Of a hundred thousand little programs those that are alike hold their facts once.
                std::shared_ptr<const SequenceFacts>& facts = records[stale[i]].found.value.facts;
                if (above && *above == *facts) facts = above;
                above = facts;
            }
        });
        for (std::size_t i = 0; i < stale.size(); ++i)
            if (!before[i] ||
                moved(*before[i], stood[i], spans[stale[i]].first) != *records[stale[i]].found.value.facts) {
                ++versions.of(Whole::facts);
                break;
            }
        for (std::size_t i = 0; i < spans.size(); ++i) spans[i].facts = records[i].found.value.facts.get();
        const auto behind = stale.insert(stale.end(), other_key.begin(), other_key.end());
        std::inplace_merge(stale.begin(), behind, stale.end());
        return stale;
    }

    /// Facts of a span before the change, with the places as they are behind it.
    FileFacts moved(const FileFacts& facts, BlockPlace stood, BlockPlace first) const {
        FileFacts out = facts;
        const auto& shift = analysis->kept().shift;
        if (!shift) return out;
        for (auto place : {&FileFacts::safety_block, &FileFacts::first_move, &FileFacts::first_unreachable,
                           &FileFacts::move_without_units, &FileFacts::last_code, &FileFacts::return_move,
                           &FileFacts::tool_call, &FileFacts::last_off})
            if (std::optional<Near>& near = out.*place)
                near = Near::of(shift->moved(near->from(stood)), first);
        return out;
    }

    void check_entry(const Span& span, const SequenceFacts& facts, Report& report) const {
        const EntryContext context{analysis->settings(), *shop, span, facts, across};
        for (const Check* check : entry_checks) {
            report.current = check;
            check->entry(context, report);
        }
    }

    void check_spans() {
        const machine::Versions were = versions;
        take_outline();
        std::vector<std::size_t> stale = check_stale_spans();
        const bool other_outline = were.of(Whole::outline) != versions.of(Whole::outline);
        if (other_outline || were.of(Whole::facts) != versions.of(Whole::facts)) {
            Across now = across_of(spans, *shop, analysis->settings().system);
            if (now != across) {
                stale.resize(spans.size());
                std::iota(stale.begin(), stale.end(), std::size_t{0});
            }
            across = std::move(now);
        }
        for (std::size_t i : stale) {
            Report report(*analysis, *shop, false);
            check_entry(spans[i], *records[i].found.value.facts, report);
            records[i].entry_findings = found_by(report);
            for (Report::Placed& placed : records[i].entry_findings) placed.run -= spans[i].first.run;
        }
        list_again(spans_with_any, spans.size(), other_outline, stale, [&](std::size_t i) {
            return !records[i].found.value.findings.empty() || !records[i].entry_findings.empty();
        });
    }

    // --- The file ---------------------------------------------------------------------------------------

    /// The stock is followed by what is assumed too, so those rules see it.
    void check_file(const Check& check, const Reader& asked, Report& report) const {
        const Reader reader = check.stock ? asked : asked.of_stated();
        const FileParts parts{*shop,  outline,           spans,          labels_twice, across,        stock,
                              making, clamping_programs, second_spindle, paths,        other_programs};
        as_far_as_told(check, report, [&] {
            if (check.landmarks) check.landmarks({reader, parts}, report);
            if (check.file) check.file({reader, parts}, report);
            if (check.stock) check.stock({reader, parts}, report);
            if (check.works) reader.whole(Whole::text);
            if (check.works) check.works({reader, *shop, spans, workpieces, stock_given}, report);
        });
        if (check.works) keep_first_of_each_block(check, report.found);
        if (check.works) speak_beyond_centre(check, report.found);
    }

    /// Works on the far side of the centre are looked at mirrored; their X is told with the sign that the
    /// program gives it.
    void speak_beyond_centre(const Check& check, std::vector<Report::Placed>& found) const {
        if (found.empty()) return;
        std::set<BlockPlace> beyond;
        for (const Workpiece& part : workpieces)
            for (const Work* work : part.works) {
                if (!work->beyond_centre) continue;
                for (const Leg& leg : work->legs)
                    beyond.insert(leg.run_at ? *leg.run_at : spans[work->span].place(leg.block));
            }
        if (beyond.empty()) return;
        for (Report::Placed& placed : found)
            if (placed.finding.check == &check && beyond.contains({placed.run, placed.finding.block}))
                placed.finding.message = with_minus_at_x(placed.finding.message);
    }
    /// "X52." as "X-52."; names of threads as "M30X1.5" stay.
    static std::string with_minus_at_x(std::string_view text) {
        const auto is_of_word = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
        std::string out;
        for (std::size_t i = 0; i < text.size(); ++i) {
            out += text[i];
            const bool begins = text[i] == 'X' && (i == 0 || !is_of_word(text[i - 1]));
            if (!begins || i + 1 == text.size()) continue;
            const bool is_number =
                std::isdigit(static_cast<unsigned char>(text[i + 1])) || text[i + 1] == '.';
            if (!is_number) continue;
            // Nought has no sign
            const std::size_t end = std::min(text.find_first_not_of("0123456789.", i + 1), text.size());
            if (text.substr(i + 1, end - i - 1).find_first_of("123456789") != std::string_view::npos)
                out += '-';
        }
        return out;
    }

    /// A block of a loop or of a called program is run more than once and told once.
    static void keep_first_of_each_block(const Check& check, std::vector<Report::Placed>& found) {
        std::set<std::tuple<std::size_t, std::size_t, std::uint32_t>> told;
        std::erase_if(found, [&](const Report::Placed& placed) {
            return placed.finding.check == &check &&
                   !told.emplace(placed.run, placed.finding.block, placed.finding.begin).second;
        });
    }

    /// The span that a block stands in.
    std::size_t span_at(BlockPlace place, std::size_t otherwise) const {
        const auto behind = std::upper_bound(spans.begin(), spans.end(), place,
                                             [](BlockPlace p, const Span& span) { return p < span.first; });
        return behind == spans.begin() ? otherwise : static_cast<std::size_t>(behind - spans.begin()) - 1;
    }

    using Listed = std::vector<std::pair<std::int32_t, NamedTool>>;
    /// A note of its sequence, else the list of its program's head, calls it a boring bar.
    static bool is_noted_bar(const Span& span, const Listed* listed, int station) {
        using Kind = NamedTool::Kind;
        if (const Kind kind = span.facts->acts.held->named.kind; kind != Kind::none || !listed)
            return kind == Kind::bore;
        return std::any_of(listed->begin(), listed->end(), [&](const auto& row) {
            return row.first == station && row.second.kind == Kind::bore;
        });
    }

    /// What the tools do to the part: of every span as long as it is kept, put together anew when one
    /// changes.
    void follow_works() {
        const bool too_long = analysis->size() > most_runs_of_works;
        bool same = workpieces.empty() == too_long && versions.of(Whole::outline) == outline_of_works;
        outline_of_works = versions.of(Whole::outline);
        std::vector<Work*> works;
        std::vector<Clamping> clampings; ///< Of each
        Clamping clamping;
        const Listed* listed = nullptr; ///< In the head of the program
        const std::vector<std::size_t> taking_over =
            too_long ? std::vector<std::size_t>{}
                     : spans_giving(spans, analysis->settings().machine, MachineCode::Does::second_close);
        const SecondSpindle second =
            too_long ? SecondSpindle{} : second_spindle_of(spans, *shop, analysis->settings().machine);
        for (std::size_t i = 0; i < spans.size() && !too_long; ++i) {
            if (i > 0 && spans[i].program != spans[i - 1].program) {
                ++clamping.number;
                clamping.other_datum = false;
            }
            if (!spans[i].sequence) listed = &spans[i].facts->acts.held->listed;
            if (spans[i].program->is_subprogram) continue;
            Memo<std::shared_ptr<SpanWorks>>& of_span = records[i].works;
            if (!of_span.holds(*analysis, versions, spans[i].first)) {
                same = false;
                of_span = Memo<std::shared_ptr<SpanWorks>>::make(
                    *analysis, versions, spans[i].first, [&](const Reader& reader) {
                        return std::make_shared<SpanWorks>(
                            works_between(reader.of_stated(), spans[i].first, spans[i].last));
                    });
            }
            const bool takes_over = std::binary_search(taking_over.begin(), taking_over.end(), i);
            std::optional<Near> closed; // Until it is counted
            if (takes_over)
                closed = last_giving(spans[i], spans, analysis->settings().machine,
                                     MachineCode::Does::second_close);
            const bool is_told = closed.has_value();
            for (Work& work : of_span.value->works) {
                if (work.legs.empty()) continue;
                const Near first = work.legs.front().block;
                if (closed && std::pair(closed->runs, closed->block) < std::pair(first.runs, first.block)) {
                    ++clamping.taken_over;
                    closed.reset();
                }
                const Leg& leg = work.legs.front();
                const BlockPlace begins = leg.run_at.value_or(spans[i].place(first));
                clamping.in_second = second.holds(begins);
                clamping.drawn = second.pulls_above(begins);
                work.span = work.called_at ? span_at(*work.called_at, i) : i;
                const bool noted_inside = is_noted_bar(spans[work.span], listed, work.tool);
                if (std::exchange(work.noted_inside, noted_inside) != noted_inside) same = false;
                works.push_back(&work);
                clampings.push_back(clamping);
                clamping.other_datum = false;
            }
            if (of_span.value->ends_part) ++clamping.number;
            clamping.other_datum = clamping.other_datum || of_span.value->shifts_datum;
            if (takes_over && (closed || !is_told)) ++clamping.taken_over;
        }
        same = same && clampings == clampings_of_works;
        if (too_long)
            workpieces.clear();
        else if (!same)
            workpieces = parts_of(works, clampings);
        clampings_of_works = std::move(clampings);
    }

    void check_file_rules() {
        clamping_programs.reset(); // Points into the spans of the last update
        second_spindle.reset();
        std::vector<FileRule*> stale;
        for (FileRule& rule : file_rules)
            if (!rule.found.holds(*analysis, versions, {})) stale.push_back(&rule);
        syntax::on_both_cores(stale.size(), few_rules, [&](std::size_t i) {
            FileRule& rule = *stale[i];
            rule.found =
                Memo<std::vector<Report::Placed>>::of_file(*analysis, versions, [&](const Reader& reader) {
                    Report report(rule.check->stock ? reader : reader.of_stated(), *shop, false);
                    check_file(*rule.check, reader, report);
                    return found_by(report);
                });
        });
    }

    /// As turned_round_places, kept from change to change, and where a second spindle takes the part over.
    std::vector<stock::Setup::TurnedRound> turned_round() {
        std::vector<stock::Setup::TurnedRound> places;
        bool first_time = true;
        for (std::size_t i = 1; i < spans.size(); ++i) {
            const Span &span = spans[i], &above = spans[i - 1];
            if (span.program != above.program) first_time = true;
            if (span.program != above.program || span.program->is_subprogram || !span.sequence ||
                !above.sequence)
                continue;
            Memo<TurnedRound>& kept = records[i].turned;
            if (!kept.holds(*analysis, versions, span.first))
                kept = Memo<TurnedRound>::make(*analysis, versions, span.first, [&](const Reader& reader) {
                    reader.whole(Whole::outline); // How far up it may look
                    return turned_round_above(reader, span.sequence->tool_call, above.first);
                });
            if (!kept.value.counts(first_time)) continue;
            first_time = false;
            places.push_back({span.first});
        }
        if (analysis->size() <= most_runs_of_works)
            add_second_spindle(places, spans, *shop, analysis->settings().machine);
        return places;
    }

    void follow_stock() {
        paths.reset();
        joint.clear();
        if (analysis->settings().machine.has_paths()) {
            paths = std::make_shared<std::vector<TwoPaths>>(
                pairs_of_file(*analysis, outline, *shop, other_programs));
            joint = joint_of_pairs(*paths);
        }
        stock.turn_round(turned_round());
        stock.follow(*analysis, *shop, outline, stock::most_moves, false, joint);
        // Given before or now: what the rules see of it may have changed.
        const bool was_given = stock_given;
        stock_given = std::any_of(stock.programs().begin(), stock.programs().end(),
                                  [](const stock::ProgramCourse& program) { return program.is_given(); });
        if (was_given || stock_given) ++versions.of(Whole::stock);
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
            for (const Allowance& allowance : row[r].value.allowances) {
                if (BlockPlace{r, allowance.block} >= checked_end) break;
                covers.push_back({{r, allowance.block},
                                  {r, allowance.block},
                                  &allowance,
                                  std::vector<bool>(allowance.ids.size())});
            }
        find_ends(covers);
        return covers;
    }

    /// A note covers its own block and, alone on its line, those to the next one with words. Ends come in
    /// order.
    void find_ends(std::vector<Cover>& covers) const {
        BlockPlace last;
        for (Cover& cover : covers) {
            const syntax::Run& run = *analysis->forest().run(last.run);
            const bool is_end = last.block >= run.blocks.size();
            const bool is_found = cover.place < last && (is_end || block_has_words(run, last.block));
            if (cover.allowance->alone && !cover.allowance->whole_file && !is_found)
                last = std::max(last, next_with_words(cover.place));
            cover.end = last = std::max(last, cover.place);
        }
    }

    /// Or the end of the file, behind its last block.
    BlockPlace next_with_words(BlockPlace at) const {
        while (true) {
            ++at.block;
            if (at.block >= analysis->forest().run(at.run)->blocks.size()) {
                if (at.run + 1 >= row.size()) break;
                at = {at.run + 1, 0};
            }
            if (block_has_words(*analysis->forest().run(at.run), at.block)) break;
        }
        return at;
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
            for (const Finding& finding : row[r].value.findings)
                if (BlockPlace{r, finding.block} < checked_end) placed.push_back({r, &finding});
        for (std::size_t i : spans_with_any)
            for (const auto* list : {&records[i].found.value.findings, &records[i].entry_findings})
                for (const Report::Placed& found : *list)
                    placed.push_back({found.run + spans[i].first.run, &found.finding});
        if (is_begun) return placed;
        for (const FileRule& rule : file_rules)
            for (const Report::Placed& found : rule.found.value)
                placed.push_back({found.run, &found.finding});
        return placed;
    }

    bool applies(const Check& check) const {
        return !check.applies || check.applies({habits.with_point - behind_end.with_point,
                                                habits.without_point - behind_end.without_point});
    }

    /// A rule that stopped at so many has more to tell, if it is told of at all.
    bool any_is_full(const std::map<std::string_view, Cover*>& silenced_in_file) const {
        const auto is_full = [&](const std::vector<Report::Placed>& found) {
            if (found.size() < most_findings) return false;
            const Check& check = *found.back().finding.check;
            return applies(check) && !silenced_in_file.contains(check.id);
        };
        return std::any_of(file_rules.begin(), file_rules.end(),
                           [&](const FileRule& rule) { return is_full(rule.found.value); }) ||
               std::any_of(spans_with_any.begin(), spans_with_any.end(),
                           [&](std::size_t i) { return is_full(records[i].found.value.findings); }) ||
               is_full(silencing_findings);
    }

    /// Of what all rules tell as much as one person can read, and that there is more.
    void end_what_is_shown(bool more) {
        if (is_cut_short() || (!more && shown.size() <= most_findings)) return;
        if (shown.size() > most_findings) shown.resize(most_findings);
        if (shown.empty()) return;
        Report report(*analysis, *shop, false);
        report.current = unread_check;
        report.at(BlockPlace{shown.back().run, shown.back().finding->block})
            .message(said("More than {} warnings in this program: those further down are not told. Mend the "
                          "first ones, or look whether this is a part program.",
                          most_findings));
        end_findings = std::move(report.found);
        for (const Report::Placed& found : end_findings) shown.push_back({found.run, &found.finding});
    }

    void sort_out() {
        shown.clear();
        silenced.clear();
        silencing_findings.clear();
        std::vector<Cover> covers = covers_of_notes();
        std::map<std::string_view, Cover*> of_file;
        for (Cover& cover : covers)
            if (cover.allowance->whole_file && in_head(cover.place))
                for (const std::string& id : cover.allowance->ids) of_file.emplace(id, &cover);
        for (const Placed& placed : everything()) {
            const Check& check = *placed.finding->check;
            if (!applies(check)) continue;
            Cover* by = nullptr;
            if (!covers.empty()) {
                const BlockPlace place{placed.run, placed.finding->block};
                // They stand in order, and so do their ends.
                auto cover = std::lower_bound(covers.begin(), covers.end(), place,
                                              [](const Cover& c, BlockPlace p) { return c.end < p; });
                for (; cover != covers.end() && cover->place <= place && !by; ++cover)
                    if (!cover->allowance->whole_file) by = allows(*cover, check.id);
                const auto whole = of_file.find(check.id);
                if (!by && whole != of_file.end()) by = allows(*whole->second, check.id);
            }
            if (by)
                silenced.push_back({placed.run, placed.finding, by->place});
            else
                shown.push_back(placed);
        }
        report_unused(covers);
        for (const auto* list : {&silencing_findings, &end_findings})
            for (const Report::Placed& found : *list) shown.push_back({found.run, &found.finding});
        std::sort(shown.begin(), shown.end(), before);
        leave_out_of_mistyped();
        leave_out_told();
        tell_alike_once();
        end_what_is_shown(any_is_full(of_file));
        std::sort(silenced.begin(), silenced.end(), [](const Silenced& a, const Silenced& b) {
            return before({a.run, a.finding}, {b.run, b.finding});
        });
    }

    /// Of a word that is mistyped the others have read a part: what they say of it is wrong or no news.
    void leave_out_of_mistyped() {
        std::vector<Placed> mistyped;
        for (const Placed& placed : shown)
            if (placed.finding->check->id == "value_mistyped") mistyped.push_back(placed);
        if (mistyped.empty()) return;
        std::erase_if(shown, [&](const Placed& placed) {
            const Finding& one = *placed.finding;
            const auto from = std::lower_bound(
                mistyped.begin(), mistyped.end(), placed, [](const Placed& a, const Placed& b) {
                    return std::pair(a.run, a.finding->block) < std::pair(b.run, b.finding->block);
                });
            for (auto at = from;
                 at != mistyped.end() && at->run == placed.run && at->finding->block == one.block; ++at) {
                const Finding& word = *at->finding;
                if (word.check != one.check && one.begin < word.begin + word.length &&
                    word.begin < one.begin + one.length)
                    return true;
            }
            return false;
        });
    }

    /// A number that nothing agrees with is no news where another rule tells what its block does.
    void leave_out_told() {
        const auto block_of = [](const Placed& one) { return std::pair(one.run, one.finding->block); };
        const auto is_number = [](const Placed& one) {
            return one.finding->check->id == "number_unlike_part";
        };
        if (std::none_of(shown.begin(), shown.end(), is_number)) return;
        std::set<std::pair<std::size_t, std::uint16_t>> told;
        for (const Placed& one : shown)
            if (!is_number(one) && one.finding->check->family != Family::restart) told.insert(block_of(one));
        std::erase_if(shown,
                      [&](const Placed& one) { return is_number(one) && told.contains(block_of(one)); });
    }

    /// What one look at the first of them tells of all: calls of one program that is not at hand, arcs
    /// without centre one behind the other. The first says how many follow.
    void tell_alike_once() {
        told_once.clear();
        const Finding* arc = nullptr; ///< The one before, while each next block goes on with its code
        std::map<std::string, std::size_t> first; ///< Place in `shown`, by what is alike
        std::map<std::size_t, std::size_t> more;
        std::set<std::size_t> left_out;
        for (std::size_t i = 0; i < shown.size(); ++i) {
            const Finding& one = *shown[i].finding;
            const std::string_view id = one.check->id;
            std::string alike;
            if (id == "program_not_found")
                alike = one.message;
            else if (id == "arc_without_centre")
                alike = id;
            else
                continue;
            if (id == "arc_without_centre" && (!std::exchange(arc, &one) || states_motion(shown[i])))
                first.erase(alike);
            const auto [at, is_first] = first.emplace(std::move(alike), i);
            if (is_first) continue;
            ++more[at->second];
            left_out.insert(i);
        }
        if (left_out.empty()) return;
        told_once.reserve(more.size());
        for (const auto& [at, count] : more) {
            told_once.push_back(*shown[at].finding);
            told_once.back().message += count == 1 ? std::string(said(" The same holds once more below."))
                                                   : said(" The same holds {} times more below.", count);
            shown[at].finding = &told_once.back();
        }
        std::vector<Placed> kept;
        for (std::size_t i = 0; i < shown.size(); ++i)
            if (!left_out.contains(i)) kept.push_back(shown[i]);
        shown = std::move(kept);
    }
    bool states_motion(const Placed& placed) const {
        const syntax::Run& run = *row[placed.run].value.text;
        for (const syntax::Item& item : run.items_of(run.blocks[placed.finding->block]))
            if (item.letter == 'G') return true;
        return false;
    }

    void report_unused(const std::vector<Cover>& covers) {
        if (!unused_check || covers.empty() || is_begun) return;
        Report report(*analysis, *shop, true);
        as_far_as_told(*unused_check, report, [&] {
            for (const Cover& cover : covers) report_unused_in(cover, report);
        });
        silencing_findings = found_by(report);
    }

    void report_unused_in(const Cover& cover, Report& report) const {
        const syntax::Run& run = *row[cover.place.run].value.text;
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
        std::string what = cover.used.empty() ? said("This note names no warning")
                                              : said("Nothing to silence here: ") + idle;
        if (misplaced) what = said("IN FILE only counts above the first tool call; here it silences nothing");
        for (const std::string& id : cover.allowance->ids)
            if (!find_check(id)) what += said(". There is no warning called ") + id;
        std::string scope = cover.allowance->whole_file ? "IN FILE " : "";
        report.at(cover.place, *note).message(what + ".").tag(Tag::unnecessary).fix([&] {
            bool all = left.empty();
            return Fix{all ? said("Take the note away") : said("Leave only ") + left,
                       {{cover.place, note->begin - block.begin, note->end() - block.begin,
                         all ? "" : "(TURNWRIGHT: ACCEPT " + scope + left + ")"}},
                       true,
                       true};
        });
    }

    void check_first(std::size_t count) {
        row.resize(analysis->size());
        std::vector<std::size_t> first(std::min(count, row.size()));
        std::iota(first.begin(), first.end(), std::size_t{0});
        check_runs(first);
        std::set<std::string_view> allowed;
        for (std::size_t r : first)
            for (const Allowance& allowance : row[r].value.allowances)
                allowed.insert(allowance.ids.begin(), allowance.ids.end());
        for (std::size_t r : first)
            for (const Finding& finding : row[r].value.findings)
                if (!finding.check->applies && !allowed.contains(finding.check->id))
                    shown.push_back({r, &finding});
        std::sort(shown.begin(), shown.end(), before);
    }

    /// `moved`: places in the row of runs are no longer what they were.
    void refresh_parts(bool moved) {
        const machine::Versions now(*analysis);
        versions.of(Whole::text) = now.of(Whole::text);
        versions.of(Whole::shapes) = now.of(Whole::shapes);
        row.resize(analysis->size());
        count_labels();
        check_stale_runs(moved);
        tell_end();
        if (is_cut_short()) {
            leave_out_all_but_blocks();
        } else {
            check_spans();
        }
    }

    void update_parts(const machine::Analysis& now, const text::Splice& splice) {
        if (!shop) return;
        analysis = &now;
        take_runs(splice);
        refresh_parts(splice.removed != splice.inserted);
    }

    void refresh_file() {
        is_begun = false;
        if (!is_cut_short()) {
            follow_stock();
            follow_works();
            check_file_rules();
        }
        sort_out();
    }

    bool is_shown(const Report::Placed& wanted) const {
        for (const Placed& placed : shown) {
            const Finding &a = *placed.finding, &b = wanted.finding;
            if (placed.run == wanted.run && a.check == b.check && a.block == b.block && a.begin == b.begin &&
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
    for (const auto& [number, count] : implementation_->analysis->label_counts())
        if (count > 1) implementation_->labels_twice.insert(number);
    implementation_->refresh_parts(true);
    implementation_->refresh_file();
}

void Results::update(const machine::Analysis& analysis, const text::Splice& splice) {
    implementation_->update_parts(analysis, splice);
    finish_update();
}

void Results::begin_update(const machine::Analysis& analysis, const text::Splice& splice) {
    Implementation& own = *implementation_;
    own.update_parts(analysis, splice);
    own.is_begun = true;
    if (own.shop) own.sort_out();
}

void Results::finish_update() {
    if (implementation_->shop) implementation_->refresh_file();
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
    const Implementation& own = *implementation_;
    if (!own.analysis || run >= own.row.size()) return {};
    const Reader reader = Reader(*own.analysis).of_stated();
    Report report(reader, *own.shop, true);
    if (run <= own.checked_end.run)
        reader.visit(run, [&](const BlockView& view) {
            if (BlockPlace{run, view.block} < own.checked_end) own.check_block(view, report);
        });
    if (!own.is_cut_short()) {
        machine::Analysis::Passed passed;
        for (const Span& span : own.spans) {
            if (span.last.run < run || span.first.run > run) continue;
            const auto facts = own.check_span(span, reader, report, passed);
            own.check_entry(span, *facts, report);
        }
        for (const FileRule& rule : own.file_rules)
            own.check_file(*rule.check, Reader(*own.analysis), report);
    }
    std::vector<Report::Placed> found = std::move(report.found);
    for (const auto* list : {&own.silencing_findings, &own.end_findings})
        found.insert(found.end(), list->begin(), list->end());
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
const std::vector<stock::JointStock>& Results::joint_stock() const {
    return implementation_->joint;
}
std::shared_ptr<const std::vector<TwoPaths>> Results::paths() const {
    return implementation_->paths;
}
const stock::Course& Results::stock() const {
    return implementation_->stock;
}

} // namespace turnwright::checks
