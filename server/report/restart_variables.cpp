#include "report/restart_variables.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/transfer.h"
#include "features/word_edits.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <utility>

namespace turnwright::report {

using features::Document;
using machine::BlockPlace;
using machine::Part;
using syntax::Operation;

namespace {

/// More of them nobody keys in.
constexpr std::size_t most_keyed_in = 40;
/// The deepest that calls nest on common controls is four; one more costs nothing.
constexpr int deepest_call = 5;

class VariablesRead {
public:
    VariablesRead(const Document& document, BlockPlace place, std::optional<BlockPlace> end)
        : document_(document), place_(place), end_(end) {}

    std::set<int> read;              ///< Numbers, in order
    std::set<int> set_first;         ///< Those of them that a block sets for certain before any reads them
    bool by_number_computed = false; ///< #[..]: any of them may be meant

    void look() {
        const machine::ProgramPart* program = features::program_at(document_, place_);
        if (!program) return;
        look_at_called();
        const std::set<int> by_called = std::exchange(read, {});
        called_read_ = &by_called;
        if (end_) find_what_matters(*program, by_called);
        for_each_block(*program, [&](const syntax::Run& run, const syntax::Block& block) {
            look_at(run, block, false);
        });
        for (const int number : by_called)
            if (!set_first.contains(number)) read.insert(number);
        called_read_ = nullptr;
    }

private:
    template <class Look>
    void for_each_block(const machine::ProgramPart& program, Look look) const {
        const BlockPlace behind = end_.value_or(BlockPlace{program.last.run, program.last.block + 1});
        for (std::size_t run = place_.run; run <= behind.run; ++run) {
            const syntax::Run& text = document_.run(run);
            const std::size_t end = run == behind.run ? behind.block : text.blocks.size();
            for (std::size_t block = run == place_.run ? place_.block : 0;
                 block < std::min<std::size_t>(end, text.blocks.size()); ++block)
                look(text, text.blocks[block]);
        }
    }

    /// What counts the turns of a loop is nothing to the one turn that is run.
    void find_what_matters(const machine::ProgramPart& program, const std::set<int>& by_called) {
        std::vector<std::pair<int, std::set<int>>> assigned;
        std::set<int> matter = by_called;
        for_each_block(program, [&](const syntax::Run& run, const syntax::Block& block) {
            for (const syntax::Item& item : run.items_of(block)) {
                if (!syntax::holds_expression(item.kind)) continue;
                const auto index = static_cast<std::int32_t>(item.expression);
                const auto number =
                    item.kind == syntax::ItemKind::assignment && index >= 0
                        ? features::variable_number(run, run.expressions[item.expression].left)
                        : std::nullopt;
                if (number)
                    collect(run, run.expressions[item.expression].right,
                            assigned.emplace_back(*number, std::set<int>{}).second);
                else
                    collect(run, index, matter);
            }
        });
        for (bool grew = true; grew;) {
            const std::size_t before = matter.size();
            for (const auto& [number, reads] : assigned)
                if (matter.contains(number)) matter.insert(reads.begin(), reads.end());
            grew = matter.size() > before;
        }
        matter_ = std::move(matter);
    }
    static void collect(const syntax::Run& run, std::int32_t index, std::set<int>& found) {
        if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return;
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(index)];
        if (node.operation == Operation::variable)
            if (const auto number = features::variable_number(run, index)) found.insert(*number);
        collect(run, node.left, found);
        collect(run, node.right, found);
    }

    void look_at(const syntax::Run& run, const syntax::Block& block, bool is_called) {
        using syntax::ItemKind;
        for (const syntax::Item& item : run.items_of(block)) {
            // What is in a loop with a condition is perhaps never done.
            if (!is_called && item.kind == ItemKind::end_do && in_loops_ > 0) --in_loops_;
            if (!syntax::holds_expression(item.kind)) continue;
            if (!is_called && (item.kind == ItemKind::if_goto || item.kind == ItemKind::go_to)) jumps_ = true;
            statement(run, static_cast<std::int32_t>(item.expression), is_called,
                      block.deleted || jumps_ || in_loops_ > 0);
            if (!is_called &&
                (item.kind == ItemKind::while_do || (item.kind == ItemKind::do_only && in_loops_)))
                ++in_loops_;
        }
        if (!is_called && calls(run, block)) has_called_ = true;
    }

    void statement(const syntax::Run& run, std::int32_t index, bool is_called, bool perhaps) {
        if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return;
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(index)];
        if (node.operation == Operation::if_then) {
            reads(run, node.left, is_called);
            return statement(run, node.right, is_called, true);
        }
        if (node.operation != Operation::assign) return reads(run, index, is_called);
        if (const auto number = features::variable_number(run, node.left);
            number && !is_called && matter_ && !matter_->contains(*number))
            return;
        reads(run, node.right, is_called);
        if (const auto number = features::variable_number(run, node.left)) {
            const bool was_read =
                read.contains(*number) || (has_called_ && called_read_ && called_read_->contains(*number));
            if (!perhaps && !is_called && !was_read) set_first.insert(*number);
        } else if (node.left >= 0) {
            reads(run, run.expressions[static_cast<std::size_t>(node.left)].left, is_called);
        }
    }

    void reads(const syntax::Run& run, std::int32_t index, bool is_called) {
        if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return;
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(index)];
        if (node.operation == Operation::variable) {
            if (const auto number = features::variable_number(run, index)) {
                // What a called program has of its own came with the call.
                if (!is_called || *number > machine::Variables::last_local) read.insert(*number);
                return;
            }
            by_number_computed = true;
        }
        reads(run, node.left, is_called);
        reads(run, node.right, is_called);
    }

    /// Programs of the same file, and what blocks from the place on call in others.
    void look_at_called() {
        for (const machine::ProgramPart& program : document_.outline().programs)
            if (program.is_subprogram)
                for (std::size_t run = program.first.run; run <= program.last.run; ++run) {
                    const syntax::Run& text = document_.run(run);
                    const std::size_t first = run == program.first.run ? program.first.block : 0;
                    const std::size_t end =
                        run == program.last.run ? program.last.block + 1 : text.blocks.size();
                    for (std::size_t block = first; block < std::min(end, text.blocks.size()); ++block)
                        look_at(text, text.blocks[block], true);
                }
        if (!document_.library()) return;
        std::set<std::int32_t> seen;
        std::vector<std::int32_t> wanted = features::called_elsewhere(document_);
        for (int depth = 0; depth < deepest_call && !wanted.empty(); ++depth) {
            std::vector<std::int32_t> next;
            for (const std::int32_t number : wanted) {
                if (!seen.insert(number).second) continue;
                const auto forest = document_.library()->find_program(number);
                if (!forest) continue;
                for (std::size_t run = 0; run < forest->size(); ++run)
                    for (const syntax::Block& block : forest->run(run)->blocks)
                        look_at(*forest->run(run), block, true);
                const auto more = called_numbers(*forest);
                next.insert(next.end(), more.begin(), more.end());
            }
            wanted = std::move(next);
        }
    }

    /// M98, G65 and G66 with their relatives.
    static bool calls(const syntax::Run& run, const syntax::Block& block) {
        const auto items = run.items_of(block);
        return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
            if (item.kind != syntax::ItemKind::word) return false;
            return (item.letter == 'M' && (item.value == 98 || item.value == 198)) ||
                   (item.letter == 'G' && (item.value == 65 || item.value == 66 || item.value == 66.1));
        });
    }
    /// P of the blocks that call; of P with the repeats in front of four digits these, too.
    static std::vector<std::int32_t> called_numbers(const syntax::Forest& forest) {
        constexpr std::int32_t four_digits = 10'000;
        std::vector<std::int32_t> numbers;
        for (std::size_t run = 0; run < forest.size(); ++run)
            for (const syntax::Block& block : forest.run(run)->blocks) {
                if (!calls(*forest.run(run), block)) continue;
                for (const syntax::Item& item : forest.run(run)->items_of(block)) {
                    if (item.kind != syntax::ItemKind::word || item.letter != 'P' || item.value <= 0 ||
                        item.value >= 1e9)
                        continue;
                    const auto number = machine::whole_number(item.value);
                    numbers.push_back(number);
                    if (number >= four_digits) numbers.push_back(number % four_digits);
                }
            }
        return numbers;
    }

    const Document& document_;
    BlockPlace place_;
    std::optional<BlockPlace> end_;
    std::optional<std::set<int>> matter_; ///< nullopt: all of them
    bool jumps_ = false;                  ///< What stands below may be jumped over
    bool has_called_ = false;             ///< A program was called above
    int in_loops_ = 0;                    ///< Open ones, from the first with a condition on
    const std::set<int>* called_read_ = nullptr;
};

} // namespace

RestartVariables variables_from(const Document& document, BlockPlace place, std::optional<BlockPlace> end) {
    RestartVariables variables;
    if (!document.origin(place, static_cast<int>(Part::variables))) return variables;
    VariablesRead found(document, place, end);
    found.look();
    if (found.by_number_computed) {
        variables.refused =
            said("The program reckons from there on with variables whose numbers it computes.");
        return variables;
    }
    const machine::State state = document.analysis().before(place);
    for (const int number : found.read) {
        const machine::Value value = state.variable(number);
        if (value.surely_unset() || found.set_first.contains(number)) continue;
        if (!value.known()) {
            variables.refused =
                said("The program reckons from there on with #{}, and what it holds there is not known: {}.",
                     number, machine::explain(value.why));
            return variables;
        }
        variables.has_locals = variables.has_locals || number <= machine::Variables::last_local;
        variables.blocks.push_back(fmt::format("#{}={}", number, features::with_point(value.number, 6)));
    }
    if (variables.blocks.size() > most_keyed_in)
        variables.refused = said("The program reckons from there on with {} variables that blocks above "
                                 "have set: more than a person keys in.",
                                 variables.blocks.size());
    return variables;
}

} // namespace turnwright::report
