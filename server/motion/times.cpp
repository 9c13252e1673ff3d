#include "motion/motion.h"

#include <algorithm>

namespace turnwright::motion {

namespace {

/// Contours longer than this many runs are not read, so they need not be watched.
constexpr std::size_t most_contour_runs = 200;
constexpr std::size_t recent_runs = 8;
/// A run is cut into few spans: those of the sequences in it.
constexpr std::size_t most_parts = 32;

syntax::RunPointer text_at(const machine::Analysis& analysis, std::size_t run) {
    return run < analysis.size() ? analysis.forest().run(run) : nullptr;
}

} // namespace

void Times::rebuild(const machine::Analysis& analysis, const shop::Shop& shop) {
    analysis_ = &analysis;
    shop_ = &shop;
    row_.assign(analysis.size(), {});
    recent_.clear();
}

void Times::update(const machine::Analysis& analysis, const text::Splice& splice) {
    analysis_ = &analysis;
    recent_.clear();
    std::size_t first = std::min(splice.first, row_.size());
    std::size_t removed = std::min(splice.removed, row_.size() - first);
    auto at = row_.begin() + static_cast<std::ptrdiff_t>(first);
    if (removed == splice.inserted && row_.size() == analysis.size()) {
        std::fill_n(at, removed, Entry{}); // Nothing moves
        return;
    }
    at = row_.erase(at, at + static_cast<std::ptrdiff_t>(removed));
    row_.insert(at, splice.inserted, Entry{});
    row_.resize(analysis.size());
}

Times::RunPointers Times::contours_of(const std::vector<std::int32_t>& labels) const {
    RunPointers runs;
    std::size_t first = analysis_->size(), last = 0;
    for (std::int32_t label : labels) {
        for (machine::BlockPlace place : analysis_->labels(label)) {
            first = std::min(first, place.run);
            last = std::max(last, place.run);
        }
    }
    for (std::size_t run = first; run <= last && run < analysis_->size() && runs.size() < most_contour_runs;
         ++run)
        runs.push_back(analysis_->forest().run(run));
    return runs;
}

bool Times::is_fresh(std::size_t run) const {
    const Entry& entry = row_[run];
    if (!entry.of || entry.of != analysis_->result(run)) return false;
    if (entry.text != text_at(*analysis_, run) || entry.text_behind != text_at(*analysis_, run + 1))
        return false;
    if (entry.text_before != (run > 0 ? text_at(*analysis_, run - 1) : nullptr)) return false;
    if (entry.before != (run > 0 ? analysis_->result(run - 1) : nullptr)) return false;
    return entry.labels.empty() || entry.contours == contours_of(entry.labels);
}

const Times::Blocks& Times::add_up(std::size_t run) const {
    Blocks blocks{run, analysis_->result(run), {}};
    Entry entry;
    entry.of = blocks.of;
    entry.text = text_at(*analysis_, run);
    entry.text_behind = text_at(*analysis_, run + 1);
    if (run > 0) {
        entry.text_before = text_at(*analysis_, run - 1);
        entry.before = analysis_->result(run - 1);
    }
    blocks.totals.resize(entry.text->blocks.size());
    analysis_->visit(run, [&](const machine::BlockView& view) {
        BlockPath path = path_of(view, *analysis_, *shop_);
        entry.labels.insert(entry.labels.end(), path.contour_labels.begin(), path.contour_labels.end());
        blocks.totals[view.block] = totals_of(path, view);
        entry.totals += blocks.totals[view.block];
    });
    std::sort(entry.labels.begin(), entry.labels.end());
    entry.labels.erase(std::unique(entry.labels.begin(), entry.labels.end()), entry.labels.end());
    if (!entry.labels.empty()) entry.contours = contours_of(entry.labels);
    if (is_fresh(run)) entry.parts = std::move(row_[run].parts);
    row_[run] = std::move(entry);
    if (recent_.size() >= recent_runs) recent_.erase(recent_.begin());
    recent_.push_back(std::move(blocks));
    return recent_.back();
}

const Totals& Times::whole_run(std::size_t run) const {
    if (!is_fresh(run)) add_up(run);
    return row_[run].totals;
}

const std::vector<Totals>& Times::blocks_of(std::size_t run) const {
    if (is_fresh(run))
        for (const Blocks& blocks : recent_)
            if (blocks.run == run && blocks.of == row_[run].of) return blocks.totals;
    std::erase_if(recent_, [run](const Blocks& blocks) { return blocks.run == run; });
    return add_up(run).totals;
}

const Totals& Times::part_of_run(std::size_t run, std::size_t from, std::size_t to) const {
    if (is_fresh(run))
        for (const Part& part : row_[run].parts)
            if (part.from == from && part.to == to) return part.totals;
    const std::vector<Totals>& blocks = blocks_of(run);
    Part part{from, to, {}};
    for (std::size_t block = from; block < std::min(to, blocks.size()); ++block) part.totals += blocks[block];
    std::vector<Part>& parts = row_[run].parts;
    if (parts.size() >= most_parts) parts.erase(parts.begin());
    parts.push_back(part);
    return parts.back().totals;
}

Totals Times::between(machine::BlockPlace first, machine::BlockPlace last) const {
    Totals sum;
    if (!analysis_) return sum;
    for (std::size_t run = first.run; run <= last.run && run < row_.size(); ++run) {
        std::size_t size = analysis_->forest().run(run)->blocks.size();
        std::size_t from = run == first.run ? first.block : 0;
        std::size_t to = run == last.run ? std::min(last.block + 1, size) : size;
        if (from < to) sum += from == 0 && to == size ? whole_run(run) : part_of_run(run, from, to);
    }
    return sum;
}

} // namespace turnwright::motion
