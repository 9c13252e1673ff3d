// N numbers made anew, with everything that names them.
#include "features/rewriting.h"
#include "features/uses.h"
#include "language/said.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>

namespace turnwright::features {

using machine::ProgramPart;
using syntax::Item;
using syntax::ItemKind;

namespace {

constexpr std::int32_t largest_number = 99999;

/// One program's renumbering.
class Renumberer {
public:
    Renumberer(const Document& document, const ProgramPart& program, const Renumbering& how)
        : document_(document), program_(program), how_(how) {}

    /// Empty, or why it cannot be done.
    std::string plan() {
        const Scope scope{program_.first, program_.last};
        if (const auto place = computed_jump(document_, scope))
            return said("Line {} jumps to a computed number, so it cannot be told which blocks it means.",
                        document_.line_of(*place) + 1);
        if (std::string reason = collect(); !reason.empty()) return reason;
        if (std::string reason = choose(); !reason.empty()) return reason;
        return check();
    }

    void write(std::vector<TextEdit>& edits) const {
        for (const auto& [place, number] : numbers_) {
            const auto label = labels_.find(place);
            if (label != labels_.end())
                edits.push_back({number_range(document_, label->second), std::to_string(number)});
            else
                edits.push_back({insertion(place), fmt::format("N{} ", number)});
        }
        for (const Use& use : uses_)
            if (const auto moved = renamed_.find(use.named.number); moved != renamed_.end())
                edits.push_back({number_range(document_, use), std::to_string(moved->second)});
    }

private:
    std::string collect() {
        for (std::size_t run = program_.first.run; run <= program_.last.run; ++run)
            for (std::size_t block = 0; block < document_.run(run).blocks.size(); ++block) {
                const BlockPlace place{run, block};
                if (place < program_.first || program_.last < place) continue;
                for (const Use& use : uses_in_block(document_.run(run), place, document_.settings().system)) {
                    if (use.named.kind != NamedKind::label) continue;
                    if (!use.defines && returns_to_caller(place))
                        return said(
                            "Line {} returns to a block of the calling program, whose numbers are not "
                            "changed with it.",
                            document_.line_of(place) + 1);
                    if (use.defines)
                        labels_.emplace(place, use);
                    else
                        uses_.push_back(use);
                }
            }
        return {};
    }

    bool returns_to_caller(BlockPlace place) const {
        for (const Item& item : document_.items(place))
            if (item.letter == 'M' && item.kind == ItemKind::word && item.value == 99)
                return program_.is_subprogram;
        return false;
    }

    std::string choose() {
        switch (how_.what) {
        case Renumbering::What::sequences: {
            std::int32_t number = how_.start;
            for (const machine::Sequence& sequence : program_.sequences) {
                numbers_[sequence.first] = number;
                number += how_.step;
            }
            return {};
        }
        case Renumbering::What::by_tool:
            for (const machine::Sequence& sequence : program_.sequences) {
                if (sequence.tool <= 0)
                    return said("The sequence in line {} has no tool number of its own.",
                                document_.line_of(sequence.first) + 1);
                numbers_[sequence.first] = sequence.tool;
            }
            return {};
        case Renumbering::What::all_blocks:
            choose_all();
            return {};
        }
        return {};
    }

    void choose_all() {
        std::int64_t number = how_.start;
        const std::size_t last = document_.line_of(program_.last);
        for (std::size_t line = document_.line_of(program_.first); line <= last; ++line) {
            const BlockPlace place = document_.place_of_line(line);
            if (!takes_number(place)) continue;
            numbers_[place] = static_cast<std::int32_t>(std::min<std::int64_t>(number, largest_number + 1));
            number += how_.step;
        }
    }

    /// Blocks with words or statements, but not the program's own number.
    bool takes_number(BlockPlace place) const {
        bool words = false;
        for (const Item& item : document_.items(place)) {
            if (item.letter == 'O' || item.kind == ItemKind::tape_mark || item.kind == ItemKind::unknown)
                return false;
            words = words || item.is_word() ||
                    (item.kind >= ItemKind::assignment && item.kind <= ItemKind::go_to);
        }
        return words;
    }

    /// No number twice, no reference that would come to mean another block.
    std::string check() {
        std::map<std::int32_t, BlockPlace> taken;
        for (const auto& [place, label] : labels_)
            if (!numbers_.contains(place)) taken.emplace(label.named.number, place);
        for (const auto& [place, number] : numbers_) {
            if (number < 1 || number > largest_number)
                return said("Number {} for line {} is outside 1 to {}. Choose a smaller start or step.",
                            number, document_.line_of(place) + 1, largest_number);
            const auto [other, fresh] = taken.emplace(number, place);
            if (!fresh)
                return said("Lines {} and {} would both be N{}.",
                            std::min(document_.line_of(other->second), document_.line_of(place)) + 1,
                            std::max(document_.line_of(other->second), document_.line_of(place)) + 1, number);
        }
        std::map<std::int32_t, int> times;
        for (const auto& [place, label] : labels_) {
            ++times[label.named.number];
            if (const auto at = numbers_.find(place); at != numbers_.end())
                renamed_[label.named.number] = at->second;
        }
        for (const Use& use : uses_) {
            const int count = times.contains(use.named.number) ? times[use.named.number] : 0;
            const std::size_t line = document_.line_of(use.place) + 1;
            if (count == 0) return said("Line {} names N{}, which no block has.", line, use.named.number);
            if (count > 1)
                return said("Line {} names N{}, which {} blocks have.", line, use.named.number, count);
        }
        return {};
    }

    /// In front of the first word, behind block delete.
    Range insertion(BlockPlace place) const {
        for (const Item& item : document_.items(place)) {
            if (item.kind == ItemKind::block_delete) continue;
            const Range range = document_.range_of(place, item);
            return {range.begin, range.begin};
        }
        const Range range = document_.range_of(place);
        return {range.begin, range.begin};
    }

    const Document& document_;
    const ProgramPart& program_;
    const Renumbering& how_;
    std::map<BlockPlace, Use> labels_;
    std::vector<Use> uses_;
    std::map<BlockPlace, std::int32_t> numbers_;
    std::map<std::int32_t, std::int32_t> renamed_;
};

} // namespace

Rewrite renumber(const Document& document, const Renumbering& how) {
    Rewrite rewrite;
    if (how.start < 1 || how.step < 1) {
        rewrite.refused = said("Start and step are whole numbers from 1.");
        return rewrite;
    }
    std::vector<TextEdit> edits;
    for (const ProgramPart& program : document.outline().programs) {
        Renumberer renumberer(document, program, how);
        rewrite.refused = renumberer.plan();
        if (!rewrite.done()) return rewrite;
        renumberer.write(edits);
    }
    std::erase_if(edits,
                  [&](const TextEdit& edit) { return document.buffer().slice(edit.range) == edit.text; });
    if (edits.empty()) {
        rewrite.refused = written_so_already();
        return rewrite;
    }
    std::sort(edits.begin(), edits.end(),
              [](const TextEdit& a, const TextEdit& b) { return a.range < b.range; });
    rewrite.files.push_back({{}, std::move(edits)});
    return rewrite;
}

} // namespace turnwright::features
