#include "features/uses.h"

#include "features/speech.h"

#include <algorithm>
#include <array>

namespace turnwright::features {

using codes::Quantity;
using machine::FlowKind;
using machine::Landmark;
using syntax::Expression;
using syntax::Item;
using syntax::ItemKind;
using syntax::Operation;

namespace {

constexpr int last_local_variable = 33;

std::int32_t whole(double number) {
    return number >= 0 && number < 1e9 && number == static_cast<std::int32_t>(number)
               ? static_cast<std::int32_t>(number)
               : -1;
}

/// Reads the uses of one block.
class BlockUses {
public:
    BlockUses(const syntax::Run& run, BlockPlace place, codes::System system)
        : run_(run), place_(place), system_(system), items_(run.items_of(run.blocks[place.block])) {}

    std::vector<Use> read() {
        find_codes();
        for (const Item& item : items_) {
            if (item.kind == ItemKind::word)
                read_word(item);
            else if (syntax::holds_expression(item.kind))
                read_expression(item);
        }
        std::sort(uses_.begin(), uses_.end(), [](const Use& a, const Use& b) { return a.begin < b.begin; });
        return std::move(uses_);
    }

private:
    void find_codes() {
        std::size_t count = 0;
        for (const Item& item : items_)
            if (item.is_word() && item.letter != 'G' && item.letter != 'M' && item.letter != 'N' &&
                count < letters_.size())
                letters_[count++] = item.letter;
        letter_count_ = count;
        for (const Item& item : items_) {
            if (item.kind != ItemKind::word || (item.letter != 'G' && item.letter != 'M')) continue;
            const codes::Code* code = codes::find_with_words(system_, item.letter, item.value,
                                                             std::span(letters_.data(), letter_count_));
            if (code && !code->is_modal()) code_ = code;
            if (code && code->meaning == codes::Meaning::modal_call) code_ = code;
        }
    }

    Quantity quantity_of(const Item& item) const {
        if (item.letter == 'N') return Quantity::label;
        if (item.letter == 'O') return Quantity::program;
        const codes::WordUse* use = codes::word_use(code_, item.letter);
        return use ? use->quantity : Quantity::none;
    }

    void add(NamedKind kind, std::int32_t number, const Item& item, std::uint32_t number_begin,
             bool defines) {
        uses_.push_back({{kind, number}, place_, item.begin, item.end(), number_begin, item.end(), defines});
    }

    void read_word(const Item& item) {
        if (item.letter != 'N' && item.letter != 'O' && item.letter != 'P' && item.letter != 'Q') return;
        const std::int32_t number = whole(item.value);
        if (number < 0 || item.has_point || item.has_sign || item.odd_number) return;
        std::uint32_t begin = item.begin + 1;
        while (begin < item.end() && !(run_.text->bytes[begin] >= '0' && run_.text->bytes[begin] <= '9'))
            ++begin;
        switch (quantity_of(item)) {
        case Quantity::label:
            add(NamedKind::label, number, item, begin, item.letter == 'N');
            break;
        case Quantity::program: {
            // M98 P51234 calls program 1234 five times: the last four digits are the program.
            const bool packed = item.letter == 'P' && number > 9999 && code_ &&
                                code_->meaning == codes::Meaning::subprogram_call;
            if (packed) begin = item.end() - 4;
            add(NamedKind::program, packed ? number % 10000 : number, item, begin, item.letter == 'O');
            break;
        }
        default:
            break;
        }
    }

    const Expression* node(std::int32_t index) const {
        return index >= 0 && static_cast<std::size_t>(index) < run_.expressions.size()
                   ? &run_.expressions[static_cast<std::size_t>(index)]
                   : nullptr;
    }

    void read_expression(const Item& item) {
        const auto root = static_cast<std::int32_t>(item.expression);
        const Expression* statement = node(root);
        if (!statement) return;
        if (item.kind == ItemKind::go_to) add_jump(node(statement->left));
        if (item.kind == ItemKind::if_goto) add_jump(node(statement->right));
        walk(root, false);
    }

    void add_jump(const Expression* target) {
        if (!target || target->operation != Operation::number) return;
        const std::int32_t number = whole(target->number);
        if (number < 0) return;
        const std::uint32_t end = target->begin + target->length;
        uses_.push_back({{NamedKind::label, number}, place_, target->begin, end, target->begin, end, false});
    }

    void walk(std::int32_t index, bool assigned) {
        const Expression* at = node(index);
        if (!at) return;
        if (at->operation == Operation::variable) {
            if (const std::optional<int> number = variable_number(run_, index);
                number && run_.text->bytes.compare(at->begin, 2, "#[") != 0) {
                const std::uint32_t end = at->begin + at->length;
                uses_.push_back(
                    {{NamedKind::variable, *number}, place_, at->begin, end, at->begin + 1, end, assigned});
                return;
            }
        }
        walk(at->left, at->operation == Operation::assign);
        walk(at->right, false);
    }

    const syntax::Run& run_;
    BlockPlace place_;
    codes::System system_;
    std::span<const Item> items_;
    std::array<char, 32> letters_{};
    std::size_t letter_count_ = 0;
    const codes::Code* code_ = nullptr;
    std::vector<Use> uses_;
};

/// The T word of a landmark, its digits parted into station and offset.
std::optional<Use> tool_use(const Document& document, std::size_t run_index, const Landmark& mark,
                            NamedKind kind) {
    const std::int32_t number = kind == NamedKind::tool ? mark.tool : mark.offset;
    if (mark.kind != Landmark::Kind::tool_call || number < 0) return std::nullopt;
    const BlockPlace place{run_index, mark.block};
    for (const Item& item : document.items(place)) {
        if (item.letter != 'T' || item.kind != ItemKind::word) continue;
        // Station first, offset behind it, each half of the digits or all of them when no offset is written.
        const std::uint32_t first_digit = item.end() - item.digits;
        const std::uint32_t offset_digits = mark.offset < 0 ? 0 : item.digits >= 3 ? 2 : item.digits / 2;
        const std::uint32_t split = item.end() - offset_digits;
        if (kind == NamedKind::offset && offset_digits == 0) return std::nullopt;
        return Use{{kind, number},
                   place,
                   item.begin,
                   item.end(),
                   kind == NamedKind::tool ? first_digit : split,
                   kind == NamedKind::tool ? split : item.end(),
                   false};
    }
    return std::nullopt;
}

std::optional<Use> tool_use_at(const Document& document, BlockPlace place, std::uint32_t byte) {
    for (const Landmark& mark : document.analysis().result(place.run)->shape->landmarks) {
        if (mark.block != place.block || mark.kind != Landmark::Kind::tool_call) continue;
        for (NamedKind kind : {NamedKind::offset, NamedKind::tool}) {
            const std::optional<Use> use = tool_use(document, place.run, mark, kind);
            if (!use || byte < use->begin || byte > use->end) continue;
            if (kind == NamedKind::tool || byte >= use->number_begin) return use;
        }
    }
    return std::nullopt;
}

/// Whether a run can hold a use at all, from what is known about it without reading its words.
bool may_hold(const machine::RunShape& shape, const syntax::Run& run, Named named) {
    switch (named.kind) {
    case NamedKind::label:
        if (!shape.contour_labels.empty() || !shape.flow.empty()) return true;
        return std::any_of(shape.labels.begin(), shape.labels.end(),
                           [&](const machine::Label& label) { return label.number == named.number; });
    case NamedKind::program:
        return std::any_of(shape.landmarks.begin(), shape.landmarks.end(), [](const Landmark& mark) {
            return mark.kind == Landmark::Kind::program_start || mark.kind == Landmark::Kind::call;
        });
    default:
        return !run.expressions.empty();
    }
}

template <class Keep>
void collect_from_run(const syntax::Run& run, std::size_t index, codes::System system, Keep keep) {
    for (std::size_t block = 0; block < run.blocks.size(); ++block) {
        if (run.blocks[block].item_count == 0) continue;
        for (Use& use : uses_in_block(run, {index, block}, system)) keep(use);
    }
}

} // namespace

std::vector<Use> uses_in_block(const syntax::Run& run, BlockPlace place, codes::System system) {
    return BlockUses(run, place, system).read();
}

std::optional<Use> use_at(const Document& document, Position at) {
    at = document.buffer().clamp(at);
    const BlockPlace place = document.place_of_line(at.line);
    const std::uint32_t byte = document.block(place).begin + at.column;
    std::optional<Use> ends_here;
    for (const Use& use : uses_in_block(document.run(place.run), place, document.settings().system)) {
        if (use.begin <= byte && byte < use.end) return use;
        if (use.end == byte) ends_here = use;
    }
    const std::optional<Use> tool = tool_use_at(document, place, byte);
    if (tool && (byte < tool->end || !ends_here)) return tool;
    return ends_here;
}

Scope scope_of(const Document& document, const Use& use) {
    const bool in_program = use.named.kind == NamedKind::label || (use.named.kind == NamedKind::variable &&
                                                                   use.named.number <= last_local_variable);
    if (in_program)
        if (const machine::ProgramPart* program = program_at(document, use.place))
            return {program->first, program->last};
    return {{0, 0}, document.place_of_line(document.buffer().line_count())};
}

std::vector<Use> uses_of(const Document& document, Named named, Scope scope) {
    std::vector<Use> uses;
    bool first_call = true;
    for (std::size_t run = scope.first.run; run <= scope.last.run && run < document.analysis().size();
         ++run) {
        const machine::RunShape& shape = *document.analysis().result(run)->shape;
        if (named.kind == NamedKind::tool || named.kind == NamedKind::offset) {
            for (const Landmark& mark : shape.landmarks) {
                std::optional<Use> use = tool_use(document, run, mark, named.kind);
                if (!use || use->named != named) continue;
                use->defines = first_call;
                first_call = false;
                uses.push_back(*use);
            }
        } else if (may_hold(shape, document.run(run), named)) {
            collect_from_run(document.run(run), run, document.settings().system, [&](const Use& use) {
                if (use.named == named && scope.first <= use.place && use.place <= scope.last)
                    uses.push_back(use);
            });
        }
    }
    return uses;
}

Range word_range(const Document& document, const Use& use) {
    return document.range_in_run(use.place.run, use.begin, use.end - use.begin);
}
Range number_range(const Document& document, const Use& use) {
    return document.range_in_run(use.place.run, use.number_begin, use.number_end - use.number_begin);
}

std::vector<Use> program_uses(const WorkspaceFile& file, codes::System system, std::int32_t number) {
    std::vector<Use> uses;
    for (std::size_t run = 0; run < file.forest->size(); ++run)
        collect_from_run(*file.forest->run(run), run, system, [&](const Use& use) {
            if (use.named == Named{NamedKind::program, number}) uses.push_back(use);
        });
    return uses;
}

std::vector<Use> program_starts(const WorkspaceFile& file, codes::System system) {
    std::vector<Use> starts;
    for (std::size_t run = 0; run < file.forest->size(); ++run) {
        const syntax::Run& blocks = *file.forest->run(run);
        for (std::size_t block = 0; block < blocks.blocks.size(); ++block) {
            const auto items = blocks.items_of(blocks.blocks[block]);
            if (std::none_of(items.begin(), items.end(), [](const Item& item) { return item.letter == 'O'; }))
                continue;
            for (const Use& use : uses_in_block(blocks, {run, block}, system))
                if (use.named.kind == NamedKind::program && use.defines) starts.push_back(use);
        }
    }
    return starts;
}

namespace {
Range range_in(const WorkspaceFile& file, const Use& use, std::uint32_t begin, std::uint32_t end) {
    const auto line =
        static_cast<std::uint32_t>(file.buffer->first_line_of_leaf(use.place.run) + use.place.block);
    const std::uint32_t start = file.forest->run(use.place.run)->blocks[use.place.block].begin;
    return {{line, begin - start}, {line, end - start}};
}
} // namespace

Range word_range(const WorkspaceFile& file, const Use& use) {
    return range_in(file, use, use.begin, use.end);
}
Range number_range(const WorkspaceFile& file, const Use& use) {
    return range_in(file, use, use.number_begin, use.number_end);
}

std::optional<BlockPlace> computed_jump(const Document& document, Scope scope) {
    for (std::size_t run = scope.first.run; run <= scope.last.run && run < document.analysis().size(); ++run)
        for (const machine::FlowMark& mark : document.analysis().result(run)->shape->flow) {
            const BlockPlace place{run, mark.block};
            if (place < scope.first || scope.last < place) continue;
            if ((mark.kind == FlowKind::jump || mark.kind == FlowKind::maybe_jump) && mark.number < 0)
                return place;
        }
    return std::nullopt;
}

} // namespace turnwright::features
