#include "report/restart_variables.h"

#include "features/block_at.h"
#include "features/word_edits.h"

#include <fmt/format.h>
#include <set>

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
    VariablesRead(const Document& document, BlockPlace place) : document_(document), place_(place) {}

    std::set<int> read;              ///< Numbers, in order
    std::set<int> set_first;         ///< Those of them that a block sets for certain before any reads them
    bool by_number_computed = false; ///< #[..]: any of them may be meant

    void look() {
        const machine::ProgramPart* program = features::program_at(document_, place_);
        if (!program) return;
        for (std::size_t run = place_.run; run <= program->last.run; ++run) {
            const syntax::Run& text = document_.run(run);
            const std::size_t first = run == place_.run ? place_.block : 0;
            const std::size_t end = run == program->last.run ? program->last.block + 1 : text.blocks.size();
            for (std::size_t block = first; block < std::min(end, text.blocks.size()); ++block)
                look_at(text, text.blocks[block], false);
        }
        look_at_called();
    }

private:
    void look_at(const syntax::Run& run, const syntax::Block& block, bool is_called) {
        for (const syntax::Item& item : run.items_of(block)) {
            if (!syntax::holds_expression(item.kind)) continue;
            if (item.kind == syntax::ItemKind::if_goto || item.kind == syntax::ItemKind::go_to) jumps_ = true;
            statement(run, static_cast<std::int32_t>(item.expression), is_called, block.deleted || jumps_);
        }
    }

    void statement(const syntax::Run& run, std::int32_t index, bool is_called, bool perhaps) {
        if (index < 0 || static_cast<std::size_t>(index) >= run.expressions.size()) return;
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(index)];
        if (node.operation == Operation::if_then) {
            reads(run, node.left, is_called);
            return statement(run, node.right, is_called, true);
        }
        if (node.operation != Operation::assign) return reads(run, index, is_called);
        reads(run, node.right, is_called);
        if (const auto number = features::variable_number(run, node.left)) {
            if (!perhaps && !is_called && !read.contains(*number)) set_first.insert(*number);
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
        std::vector<std::int32_t> wanted = called_numbers(document_.forest());
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

    /// P of every block that has one: those that call among them.
    static std::vector<std::int32_t> called_numbers(const syntax::Forest& forest) {
        std::vector<std::int32_t> numbers;
        for (std::size_t run = 0; run < forest.size(); ++run)
            for (const syntax::Item& item : forest.run(run)->items)
                if (item.kind == syntax::ItemKind::word && item.letter == 'P' && item.value > 0 &&
                    item.value < 1e9)
                    numbers.push_back(static_cast<std::int32_t>(item.value));
        return numbers;
    }

    const Document& document_;
    BlockPlace place_;
    bool jumps_ = false; ///< What stands below may be jumped over
};

} // namespace

RestartVariables variables_from(const Document& document, BlockPlace place) {
    RestartVariables variables;
    if (!document.origin(place, static_cast<int>(Part::variables))) return variables;
    VariablesRead found(document, place);
    found.look();
    if (found.by_number_computed) {
        variables.refused = "The program reckons from there on with variables whose numbers it computes.";
        return variables;
    }
    const machine::State state = document.analysis().before(place);
    for (const int number : found.read) {
        const machine::Value value = state.variable(number);
        if (value.surely_unset() || found.set_first.contains(number)) continue;
        if (!value.known()) {
            variables.refused = fmt::format(
                "The program reckons from there on with #{}, and what it holds there is not known: {}.",
                number, machine::explain(value.why));
            return variables;
        }
        variables.has_locals = variables.has_locals || number <= machine::Variables::last_local;
        variables.blocks.push_back(fmt::format("#{}={}", number, features::with_point(value.number, 6)));
    }
    if (variables.blocks.size() > most_keyed_in)
        variables.refused =
            fmt::format("The program reckons from there on with {} variables that blocks above "
                        "have set: more than a person keys in.",
                        variables.blocks.size());
    return variables;
}

} // namespace turnwright::report
