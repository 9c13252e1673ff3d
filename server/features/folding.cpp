// What can be folded, and what a growing selection takes in.
#include "features/outline.h"
#include "features/uses.h"

#include <algorithm>

namespace turnwright::features {

using syntax::Item;
using syntax::ItemKind;

namespace {

std::uint32_t line_at(const Document& document, BlockPlace place) {
    return static_cast<std::uint32_t>(document.line_of(place));
}

/// Trailing blank lines stay visible between two folds.
std::uint32_t last_filled_line(const Document& document, BlockPlace first, BlockPlace last) {
    std::uint32_t line = line_at(document, last);
    const std::uint32_t stop = line_at(document, first);
    while (line > stop && document.block(document.place_of_line(line)).item_count == 0) --line;
    return line;
}

class Folds {
public:
    explicit Folds(const Document& document) : document_(document) {}

    std::vector<FoldingRange> find() {
        for (const machine::ProgramPart& program : document_.outline().programs) {
            add(FoldingRange::Kind::program, program.first, program.last);
            for (const machine::Sequence& sequence : program.sequences)
                add(FoldingRange::Kind::sequence, sequence.first, sequence.last);
        }
        for (std::size_t run = 0; run < document_.forest().size(); ++run) look_at_run(run);
        end_notes(document_.buffer().line_count());
        std::stable_sort(ranges_.begin(), ranges_.end(), [](const FoldingRange& a, const FoldingRange& b) {
            return a.first_line != b.first_line ? a.first_line < b.first_line : a.last_line > b.last_line;
        });
        // One range a start line: editors show only one mark there.
        ranges_.erase(std::unique(ranges_.begin(), ranges_.end(),
                                  [](const FoldingRange& a, const FoldingRange& b) {
                                      return a.first_line == b.first_line && a.last_line == b.last_line;
                                  }),
                      ranges_.end());
        return std::move(ranges_);
    }

private:
    void add(FoldingRange::Kind kind, BlockPlace first, BlockPlace last) {
        add_lines(kind, line_at(document_, first), last_filled_line(document_, first, last));
    }
    void add_lines(FoldingRange::Kind kind, std::uint32_t first, std::uint32_t last) {
        if (first < last) ranges_.push_back({kind, first, last});
    }

    void look_at_run(std::size_t index) {
        const syntax::Run& run = document_.run(index);
        const machine::RunShape& shape = *document_.analysis().result(index)->shape;
        const std::size_t first_line = document_.buffer().first_line_of_leaf(index);
        for (std::size_t i = 0; i < run.blocks.size(); ++i) {
            const syntax::Block& block = run.blocks[i];
            const bool only_note = block.has_note && block.item_count == 1;
            if (only_note && !notes_from_) notes_from_ = first_line + i;
            if (!only_note) end_notes(first_line + i);
            if (block.has_statement) look_for_loops(run, block, static_cast<std::uint32_t>(first_line + i));
            if (!shape.contour_labels.empty()) look_for_contour({index, i});
        }
    }

    void end_notes(std::size_t line) {
        if (notes_from_)
            add_lines(FoldingRange::Kind::notes, static_cast<std::uint32_t>(*notes_from_),
                      static_cast<std::uint32_t>(line - 1));
        notes_from_.reset();
    }

    void look_for_loops(const syntax::Run& run, const syntax::Block& block, std::uint32_t line) {
        for (const Item& item : run.items_of(block)) {
            if (!syntax::holds_expression(item.kind) || item.expression >= run.expressions.size()) continue;
            const double number = run.expressions[item.expression].number;
            if (item.kind == ItemKind::while_do || item.kind == ItemKind::do_only)
                loops_.push_back({number, line});
            if (item.kind != ItemKind::end_do) continue;
            // An END closes its own DO; one that was never closed inside it is dropped.
            const auto open = std::find_if(loops_.rbegin(), loops_.rend(),
                                           [&](const auto& loop) { return loop.first == number; });
            if (open == loops_.rend()) continue;
            add_lines(FoldingRange::Kind::loop, open->second, line);
            loops_.erase(std::prev(open.base()), loops_.end());
        }
    }

    void look_for_contour(BlockPlace place) {
        bool p = false, q = false;
        for (const Item& item : document_.items(place)) {
            p = p || (item.letter == 'P' && item.kind == ItemKind::word);
            q = q || (item.letter == 'Q' && item.kind == ItemKind::word);
        }
        if (!p || !q) return;
        std::vector<BlockPlace> ends;
        for (const Use& use : uses_in_block(document_.run(place.run), place, document_.settings().system)) {
            if (use.named.kind != NamedKind::label || use.defines) continue;
            if (const auto label = label_below(place, use.named.number)) ends.push_back(*label);
        }
        if (ends.size() == 2 && ends[0] < ends[1]) add(FoldingRange::Kind::contour, ends[0], ends[1]);
    }

    /// A contour stands behind its cycle; the finishing cycle names the same blocks further up, which fold
    /// once.
    std::optional<BlockPlace> label_below(BlockPlace place, std::int32_t number) const {
        return document_.analysis().label_from(number, {place.run, place.block + 1});
    }

    const Document& document_;
    std::vector<FoldingRange> ranges_;
    std::optional<std::size_t> notes_from_;
    std::vector<std::pair<double, std::uint32_t>> loops_;
};

} // namespace

std::vector<FoldingRange> folding_ranges(const Document& document) {
    return Folds(document).find();
}

// --- Selection
// ----------------------------------------------------------------------------------------------

namespace {

/// Lines on each side, far enough for any pass written by hand; a longer one ends there.
constexpr std::size_t widest_pass = 1000;

/// What each block of some lines does.
std::vector<machine::MotionKind> motions(const Document& document, std::size_t first_line, std::size_t end) {
    std::vector<machine::MotionKind> kinds(end - first_line, machine::MotionKind::none);
    for (const BlockSpan& span : spans_of_lines(document, first_line, end))
        document.analysis().visit(span.run, [&](const machine::BlockView& view) {
            if (span.holds(view.block))
                kinds[document.line_of({span.run, view.block}) - first_line] = view.reading.motion;
        });
    return kinds;
}

bool is_rapid(machine::MotionKind kind) {
    using machine::MotionKind;
    return kind == MotionKind::rapid || kind == MotionKind::machine_rapid || kind == MotionKind::reference;
}

/// The blocks between two rapids around a line, when something is cut in them.
std::optional<Range> pass_around(const Document& document, std::size_t line) {
    const std::size_t from = line > widest_pass ? line - widest_pass : 0;
    const std::vector<machine::MotionKind> kinds =
        motions(document, from, std::min(line + widest_pass, document.buffer().line_count()));
    std::size_t first = line - from, last = first;
    if (kinds[first] == machine::MotionKind::none || is_rapid(kinds[first])) return std::nullopt;
    while (first > 0 && !is_rapid(kinds[first - 1])) --first;
    while (last + 1 < kinds.size() && !is_rapid(kinds[last + 1])) ++last;
    while (kinds[first] == machine::MotionKind::none) ++first;
    while (kinds[last] == machine::MotionKind::none) --last;
    return lines_between(document, document.place_of_line(from + first), document.place_of_line(from + last));
}

void add_word(const Document& document, BlockPlace place, const Item& item, std::vector<Range>& ranges) {
    const Range word = document.range_of(place, item);
    if (item.letter != 0 && item.is_word()) {
        Range value = word;
        const std::string text = document.buffer().slice(word);
        const std::size_t start = text.find_first_not_of(" \t", 1);
        if (start != std::string::npos) {
            value.begin.column += static_cast<std::uint32_t>(start);
            ranges.push_back(value);
        }
    }
    ranges.push_back(word);
}

} // namespace

std::vector<Range> selection_ranges(const Document& document, Position at) {
    std::vector<Range> ranges;
    at = document.buffer().clamp(at);
    const BlockPlace place = document.place_of_line(at.line);
    if (const Item* item = item_at(document, at)) add_word(document, place, *item, ranges);
    const std::span<const Item> items = document.items(place);
    if (!items.empty())
        ranges.push_back(
            {document.range_of(place, items.front()).begin, document.range_of(place, items.back()).end});
    ranges.push_back(document.range_of(place));
    if (const auto pass = pass_around(document, at.line)) ranges.push_back(*pass);
    if (const machine::Sequence* sequence = sequence_at(document, place))
        ranges.push_back(lines_between(document, sequence->first, sequence->last));
    if (const machine::ProgramPart* program = program_at(document, place))
        ranges.push_back(lines_between(document, program->first, program->last));
    ranges.push_back({{0, 0}, document.buffer().end()});
    // Each holds the one before and the position, and is larger.
    std::vector<Range> nested;
    for (const Range& range : ranges) {
        const Range inner = nested.empty() ? Range{at, at} : nested.back();
        if (range.begin <= inner.begin && inner.end <= range.end && (nested.empty() || range != inner))
            nested.push_back(range);
    }
    return nested;
}

} // namespace turnwright::features
