#include "motion/motion.h"

#include <algorithm>
#include <numeric>

namespace turnwright::motion {

namespace {

constexpr std::size_t recent_runs = 8;
/// A run is cut into few spans: those of the sequences in it.
constexpr std::size_t most_parts = 32;

Totals sum(std::span<const Totals> blocks) {
    Totals all;
    for (const Totals& block : blocks) all += block;
    return all;
}

} // namespace

void Times::rebuild(const machine::Analysis& analysis) {
    row_.clear();
    update(analysis, {0, 0, analysis.size()});
}

void Times::update(const machine::Analysis& analysis, const text::Splice& splice) {
    analysis_ = &analysis;
    for (std::uint64_t& version : versions_) ++version;
    recent_.clear();
    if (splice.removed == splice.inserted && row_.size() == analysis.size()) return; // Nothing moves
    const std::size_t first = std::min(splice.first, row_.size());
    const auto at = row_.begin() + static_cast<std::ptrdiff_t>(first);
    row_.erase(at, at + static_cast<std::ptrdiff_t>(std::min(splice.removed, row_.size() - first)));
    row_.insert(row_.begin() + static_cast<std::ptrdiff_t>(first), splice.inserted, Entry{});
    row_.resize(analysis.size());
}

const std::vector<Totals>& Times::blocks_of(std::size_t run, const machine::Reader& reader) const {
    Blocks blocks{run, {}};
    reader.visit(run, [&](const machine::BlockView& view) {
        blocks.totals.push_back(totals_of(path_of(view, reader), view));
    });
    if (recent_.size() >= recent_runs) recent_.erase(recent_.begin());
    return recent_.emplace_back(std::move(blocks)).totals;
}

Times::Entry& Times::entry_of(std::size_t run) const {
    Entry& entry = row_[run];
    const std::uint64_t now = versions_.front();
    if (entry.looked_at == now) return entry;
    if (!entry.memo.made || !entry.memo.log.holds(*analysis_, versions_, {run, 0})) {
        entry.parts.clear();
        entry.memo =
            machine::Memo<Totals>::make(*analysis_, versions_, {run, 0}, [&](const machine::Reader& reader) {
                return sum(blocks_of(run, reader));
            });
    }
    entry.looked_at = now;
    return entry;
}

const Totals& Times::part_of_run(std::size_t run, std::size_t from, std::size_t to) const {
    std::vector<Entry::Part>& parts = entry_of(run).parts;
    for (const Entry::Part& part : parts)
        if (part.from == from && part.to == to) return part.totals;
    const auto known = std::find_if(recent_.begin(), recent_.end(),
                                    [run](const Blocks& blocks) { return blocks.run == run; });
    const std::vector<Totals>& blocks = known != recent_.end() ? known->totals : blocks_of(run, *analysis_);
    if (parts.size() >= most_parts) parts.erase(parts.begin());
    return parts.emplace_back(Entry::Part{from, to, sum(std::span(blocks).subspan(from, to - from))}).totals;
}

Totals Times::between(machine::BlockPlace first, machine::BlockPlace last) const {
    Totals all;
    if (!analysis_) return all;
    for (std::size_t run = first.run; run <= last.run && run < row_.size(); ++run) {
        const std::size_t size = analysis_->forest().run(run)->blocks.size();
        const std::size_t from = run == first.run ? first.block : 0;
        const std::size_t to = run == last.run ? std::min(last.block + 1, size) : size;
        if (from < to) all += from == 0 && to == size ? entry_of(run).memo.value : part_of_run(run, from, to);
    }
    return all;
}

} // namespace turnwright::motion
