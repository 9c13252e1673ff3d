#include "machine/reader.h"

#include "machine/read_once.h"

#include <algorithm>
#include <atomic>
#include <utility>

namespace turnwright::machine {

namespace {

/// Where line 0 of a read stands in its run.
std::ptrdiff_t origin_in(const syntax::Run& run, std::int32_t from_asker, std::size_t asker_block) {
    if (from_asker < 0) return static_cast<std::ptrdiff_t>(run.blocks.size());
    return from_asker == 0 ? static_cast<std::ptrdiff_t>(asker_block) : 0;
}

bool same_lines(const syntax::Run& a, std::size_t in_a, const syntax::Run& b, std::size_t in_b,
                std::size_t count) {
    if (count == 0) return true;
    const auto bytes = [count](const syntax::Run& run, std::size_t first) {
        const syntax::Block& last = run.blocks[first + count - 1];
        const std::uint32_t begin = run.blocks[first].begin;
        return std::string_view(run.text->bytes).substr(begin, last.begin + last.length - begin);
    };
    return bytes(a, in_a) == bytes(b, in_b);
}

/// The state before a block of a plain run.
State state_before(const syntax::Run& run, const State& in, std::size_t block, const Settings& settings) {
    State state = in;
    Reading reading;
    for (std::size_t i = 0; i < block && i < run.blocks.size(); ++i)
        if (run.blocks[i].item_count > 0) interpret(run, i, settings, state, reading);
    return state;
}

BlockPlace from_asker(BlockPlace place, BlockPlace asker) {
    // Places above the asker wrap around, and come back when they are added to it.
    return {place.run - asker.run, place.run == asker.run ? place.block - asker.block : place.block};
}

ContourPlace from_asker(ContourPlace place, BlockPlace asker) {
    if (place.blocks)
        place.blocks = {from_asker(place.blocks->first, asker), from_asker(place.blocks->second, asker)};
    return place;
}

ContourPlace find_contour(const Analysis& analysis, BlockPlace cycle, std::int32_t first_label,
                          std::int32_t last_label, bool backward) {
    const std::span<const BlockPlace> firsts = analysis.labels(first_label),
                                      lasts = analysis.labels(last_label);
    ContourPlace found{!firsts.empty(), {}};
    // A contour cannot hold the block that calls it: it ends above or begins below.
    const auto above = [&](bool nearest) -> std::optional<std::pair<BlockPlace, BlockPlace>> {
        const auto behind = std::lower_bound(lasts.begin(), lasts.end(), cycle);
        if (behind == lasts.begin() || firsts.empty()) return std::nullopt;
        const auto beyond = std::upper_bound(firsts.begin(), firsts.end(), *std::prev(behind));
        if (beyond == firsts.begin()) return std::nullopt;
        const BlockPlace first = nearest ? *std::prev(beyond) : firsts.front();
        return std::pair(first, *analysis.label_from(last_label, first));
    };
    const auto below = [&]() -> std::optional<std::pair<BlockPlace, BlockPlace>> {
        const auto first = analysis.label_from(first_label, {cycle.run, cycle.block + 1});
        const auto last = first ? analysis.label_from(last_label, *first) : std::nullopt;
        return last ? std::optional(std::pair(*first, *last)) : std::nullopt;
    };
    found.blocks = backward ? above(true) : below();
    if (!found.blocks) found.blocks = backward ? below() : above(false);
    return found;
}

thread_local bool reads_once = false;

bool is_read_once(const Versions& versions) {
    return (versions.of(Whole::text) & ReadOnce::mark) != 0;
}

/// For a test that takes single reads away: `LeftOut::sort` is "read 12", and the twelfth that is kept is
/// forgotten.
std::atomic<std::size_t> numbered_reads{0};

bool is_numbered_out() {
    constexpr std::string_view read = "read ";
    if (!Log::left_out.sort || !Log::left_out.sort->starts_with(read)) return false;
    std::size_t number = 0;
    for (const char digit : Log::left_out.sort->substr(read.size()))
        number = number * 10 + static_cast<std::size_t>(digit - '0');
    return ++numbered_reads == number;
}

} // namespace

/// How many were numbered since this was last asked.
std::size_t count_numbered_reads();
std::size_t count_numbered_reads() {
    return numbered_reads.exchange(0);
}

ReadOnce::ReadOnce() : outer_(std::exchange(reads_once, true)) {}
ReadOnce::~ReadOnce() {
    reads_once = outer_;
}
bool ReadOnce::is_here() {
    return reads_once;
}

Versions::Versions(const Analysis& analysis) : Versions() {
    of(Whole::text) = analysis.kept().text_version;
    of(Whole::shapes) = analysis.kept().shapes_version;
}

// --- The log ----------------------------------------------------------------------------------------------

void Log::add(Read read) {
    const bool is_lines = read.text && !read.with_state && !read.with_result;
    const auto covers = [&](const Read& other) {
        return other.run == read.run && other.with_length >= read.with_length &&
               (other.with_result || (other.first <= read.first && read.end <= other.end));
    };
    if (is_lines && !reads_.empty() && (covers(reads_.front()) || covers(reads_.back()))) return;
    if (!reads_.empty() && read.result && reads_.back().result == read.result && covers(reads_.back()))
        return;
    if (left_out.sort) {
        const std::string_view sort = !read.text         ? "no run"
                                      : read.with_result ? "result"
                                      : read.with_state  ? "state and lines"
                                      : read.with_length ? "lines and length"
                                                         : "lines";
        if (sort == *left_out.sort) return;
    }
    // A walk goes on beside what it has just read.
    if (is_lines && !reads_.empty() && reads_.back().run == read.run &&
        reads_.back().with_length == read.with_length) {
        Read& last = reads_.back();
        if (read.first == last.end) {
            last.end = read.end;
            return;
        }
        if (read.end == last.first && !last.with_state) {
            last.first = read.first;
            return;
        }
    }
    first_run_ = std::min(first_run_, read.run);
    last_run_ = std::max(last_run_, read.run);
    reads_.push_back(std::move(read));
}

void Log::end() {
    if (!left_out.sort) return;
    // Where any edit makes it anew, nothing else in it is needed.
    const auto is_text = [](const auto& whole) { return whole.first == Whole::text; };
    if (std::any_of(wholes_.begin(), wholes_.end(), is_text)) return;
    const auto take_away = [](auto& entries) {
        std::erase_if(entries, [](const auto&) { return is_numbered_out(); });
    };
    take_away(reads_);
    take_away(contours_);
    take_away(wholes_);
}

bool Log::may_have_changed(const Analysis::Kept& kept, BlockPlace was, BlockPlace asker) const {
    const text::Splice& splice = kept.splice;
    if (was.run >= splice.first + splice.removed) was.run += splice.inserted - splice.removed;
    if (was != asker) return true;
    // Where runs came or went, those beside them stand beside others now.
    const auto first = static_cast<std::ptrdiff_t>(std::min(kept.first, splice.first)) - 1;
    const auto end = static_cast<std::ptrdiff_t>(std::max(kept.end, splice.first + splice.inserted)) + 1;
    const auto run = static_cast<std::ptrdiff_t>(asker.run);
    if (run + first_run_ < end && run + last_run_ >= first) return true;
    return std::any_of(contours_.begin(), contours_.end(), [&](const Contour& contour) {
        return std::binary_search(kept.labels.begin(), kept.labels.end(), contour.first_label) ||
               std::binary_search(kept.labels.begin(), kept.labels.end(), contour.last_label);
    });
}

bool Log::same_wholes(const Versions& versions) const {
    return std::all_of(wholes_.begin(), wholes_.end(), [&](const auto& whole) {
        return versions[static_cast<std::size_t>(whole.first)] == whole.second;
    });
}

bool Log::still_holds(const Read& read, const Analysis& now, BlockPlace asker) const {
    const std::size_t run = asker.run + static_cast<std::size_t>(static_cast<std::ptrdiff_t>(read.run));
    if (run >= now.size()) return !read.text;
    if (!read.text) return false;
    const syntax::RunPointer& text = now.forest().run(run);
    const RunResultPointer& result = now.result(run);
    const bool same_place = read.run != 0 || asker.block == asker_block_;
    if (text == read.text && same_place && (!read.result || read.result == result)) return true;
    if (read.with_result || (read.with_state && !now.is_plain(run))) return false;
    if (read.with_length && !(same_place && text->blocks.size() == read.text->blocks.size())) return false;
    const std::ptrdiff_t origin = origin_in(*text, read.run, asker.block);
    const auto was = static_cast<std::size_t>(origin_in(*read.text, read.run, asker_block_) + read.first);
    const auto count = static_cast<std::size_t>(read.end - read.first);
    if (origin + read.first < 0 || static_cast<std::size_t>(origin + read.end) > text->blocks.size())
        return false;
    const auto is = static_cast<std::size_t>(origin + read.first);
    if (!same_lines(*read.text, was, *text, is, count)) return false;
    if (read.with_state) {
        const bool same_way =
            was == is && read.result->in == result->in && same_lines(*read.text, 0, *text, 0, is);
        if (!same_way && !(state_before(*read.text, read.result->in, was, now.settings()) ==
                           state_before(*text, result->in, is, now.settings())))
            return false;
    }
    return true;
}

bool Log::still_stands(const Contour& contour, const Analysis& now, BlockPlace asker) const {
    BlockPlace cycle{asker.run + contour.cycle.run, contour.cycle.block};
    if (cycle.run == asker.run) cycle.block += asker.block;
    const ContourPlace found =
        find_contour(now, cycle, contour.first_label, contour.last_label, contour.backward);
    return contour.answer == from_asker(found, asker);
}

bool Log::holds(const Analysis& now, const Versions& versions, BlockPlace asker) {
    const auto same_lines = [&](const Read& read) { return still_holds(read, now, asker); };
    const auto same_place = [&](const Contour& contour) { return still_stands(contour, now, asker); };
    if (!same_wholes(versions) || !std::all_of(reads_.begin(), reads_.end(), same_lines) ||
        !std::all_of(contours_.begin(), contours_.end(), same_place))
        return false;
    asker_block_ = asker.block;
    for (Read& read : reads_) {
        if (!read.text) continue;
        const std::size_t run = asker.run + static_cast<std::size_t>(static_cast<std::ptrdiff_t>(read.run));
        if (read.text != now.forest().run(run)) read.text = now.forest().run(run);
        if (read.result && read.result != now.result(run)) read.result = now.result(run);
    }
    return true;
}

// --- The reader -------------------------------------------------------------------------------------------

void Reader::log_run(std::ptrdiff_t run, std::size_t first, std::size_t end, bool with_state,
                     bool with_length) const {
    if (!log_) return;
    // Any edit ends what has read the text as a whole: nothing else in its log counts.
    for (const auto& known : log_->wholes_)
        if (known.first == Whole::text) return;
    if (is_read_once(*versions_)) {
        whole(Whole::text);
        return;
    }
    Log::Read read;
    read.run = static_cast<std::int32_t>(run - static_cast<std::ptrdiff_t>(asker_.run));
    if (run >= 0 && run < static_cast<std::ptrdiff_t>(analysis_->size())) {
        const auto at = static_cast<std::size_t>(run);
        read.text = analysis_->forest().run(at);
        const std::ptrdiff_t origin = origin_in(*read.text, read.run, asker_.block);
        read.first = static_cast<std::int32_t>(static_cast<std::ptrdiff_t>(first) - origin);
        read.end = static_cast<std::int32_t>(
            static_cast<std::ptrdiff_t>(std::min(end, read.text->blocks.size())) - origin);
        read.with_length = with_length || places_count_;
        read.with_result = with_state && !analysis_->is_plain(at);
        read.with_state = with_state && !read.with_result;
        if (with_state) read.result = analysis_->result(at);
    }
    log_->add(std::move(read));
}

const syntax::Run& Reader::line(BlockPlace place) const {
    log_run(static_cast<std::ptrdiff_t>(place.run), place.block, place.block + 1, false);
    return *analysis_->forest().run(place.run);
}

BlockPlace Reader::end_of(std::size_t run) const {
    const std::size_t blocks = analysis_->forest().run(run)->blocks.size();
    log_run(static_cast<std::ptrdiff_t>(run), blocks - 1, blocks, false, true);
    return {run, blocks - 1};
}

std::optional<BlockPlace> Reader::neighbour(BlockPlace place, bool forward) const {
    const auto blocks = [&](std::size_t run) { return analysis_->forest().run(run)->blocks.size(); };
    const bool crosses = forward ? place.block + 1 >= blocks(place.run) : place.block == 0;
    if (!crosses) return BlockPlace{place.run, forward ? place.block + 1 : place.block - 1};
    end_of(place.run);
    const std::size_t beside = forward ? place.run + 1 : place.run - 1; // Above the first wraps around
    if (beside < analysis_->size()) return BlockPlace{beside, forward ? 0 : blocks(beside) - 1};
    log_run(forward ? static_cast<std::ptrdiff_t>(beside) : -1, 0, 0, false);
    return std::nullopt;
}

bool Reader::comes_to(BlockPlace place) const {
    log_visit({place.run, 0}, {place.run, static_cast<std::size_t>(-2)});
    return analysis_->result(place.run)->comes_to(place.block);
}

State Reader::before(BlockPlace place) const {
    log_run(static_cast<std::ptrdiff_t>(place.run), place.block, place.block, true);
    return analysis_->before(place, assumed_);
}

State Reader::after(BlockPlace place) const {
    log_run(static_cast<std::ptrdiff_t>(place.run), place.block, place.block + 1, true);
    return analysis_->after(place, assumed_);
}

void Reader::log_visit(BlockPlace first, BlockPlace last) const {
    for (std::size_t run = first.run; run <= last.run && run < analysis_->size(); ++run)
        log_run(static_cast<std::ptrdiff_t>(run), run == first.run ? first.block : 0,
                run == last.run ? last.block + 1 : static_cast<std::size_t>(-1), true,
                run != last.run || last.block >= analysis_->forest().run(run)->blocks.size());
}

void Reader::visit(std::size_t run, const Visitor& visitor) const {
    log_visit({run, 0}, {run, static_cast<std::size_t>(-2)});
    analysis_->visit(run, visitor, assumed_);
}

void Reader::visit_span(BlockPlace first, BlockPlace last, Analysis::Passed& passed,
                        const Visitor& visitor) const {
    log_visit(first, last);
    analysis_->visit_span(first, last, passed, visitor, assumed_);
}

void Reader::visit_span(BlockPlace first, BlockPlace last, const Visitor& visitor) const {
    Analysis::Passed none;
    visit_span(first, last, none, visitor);
}

void Reader::visit_from(BlockPlace first, BlockPlace last, State entering, const Visitor& visitor) const {
    bool any_calls = false;
    for (std::size_t run = first.run; run <= last.run && run < analysis_->size(); ++run) {
        log_run(static_cast<std::ptrdiff_t>(run), run == first.run ? first.block : 0,
                run == last.run ? last.block + 1 : static_cast<std::size_t>(-1), false, run != last.run);
        if (analysis_->is_plain(run)) continue;
        // What a block does that jumps or calls hangs on where that leads.
        const std::vector<FlowMark>& flow = analysis_->shape(run).flow;
        any_calls = any_calls || std::any_of(flow.begin(), flow.end(), [](const FlowMark& mark) {
                        return mark.kind != FlowKind::program_return && mark.kind != FlowKind::program_end;
                    });
        whole(Whole::shapes);
    }
    if (any_calls) whole(Whole::text);
    analysis_->visit_from(first, last, std::move(entering), visitor);
}

std::optional<BlockPlace> Reader::loop_end(BlockPlace start) const {
    if (analysis_->is_plain(start.run)) return std::nullopt;
    return whole(Whole::shapes).loop_end(start);
}

ContourPlace Reader::contour(BlockPlace cycle, std::int32_t first_label, std::int32_t last_label,
                             bool backward) const {
    const ContourPlace found = find_contour(*analysis_, cycle, first_label, last_label, backward);
    if (log_ && is_read_once(*versions_))
        whole(Whole::text);
    else if (log_ && Log::left_out.sort != "contour")
        log_->contours_.push_back(
            {from_asker(cycle, asker_), first_label, last_label, backward, from_asker(found, asker_)});
    return found;
}

const Analysis& Reader::whole(Whole what) const {
    if (!log_) return *analysis_;
    if (is_read_once(*versions_)) what = Whole::text; // After any edit it is another
    const std::pair now{what, versions_->of(what)};
    if (std::find(log_->wholes_.begin(), log_->wholes_.end(), now) == log_->wholes_.end() &&
        Log::left_out.whole != what)
        log_->wholes_.push_back(now);
    return *analysis_;
}

} // namespace turnwright::machine
