// A value that every call of a macro hands over, and that the macro never reads.
#include "checks/macro_calls.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/arguments.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::argument_never_read {

namespace {

/// What a called program reads of its own variables.
struct Reads {
    std::set<int> numbers;
    bool computed = false; ///< #[...], or another program goes on with them: it may read any
    struct Word {
        BlockPlace block;
        char letter;
        int number;
    };
    std::vector<Word> words; ///< Whose value is a variable and nothing else
};

int number_of_variable(const syntax::Run& run, std::int32_t at) {
    const syntax::Expression& index = run.expressions[static_cast<std::size_t>(at)];
    return index.operation == syntax::Operation::number ? machine::whole_number(index.number) : -1;
}

void collect(const syntax::Run& run, std::int32_t at, bool is_set, Reads& reads) {
    if (at < 0) return;
    const syntax::Expression& expression = run.expressions[static_cast<std::size_t>(at)];
    if (expression.operation == syntax::Operation::variable) {
        const int number = expression.left < 0 ? -1 : number_of_variable(run, expression.left);
        if (number < 0) {
            reads.computed = true;
            collect(run, expression.left, false, reads);
        } else if (!is_set) {
            reads.numbers.insert(number);
        }
        return;
    }
    collect(run, expression.left, expression.operation == syntax::Operation::assign, reads);
    collect(run, expression.right, false, reads);
}

Reads reads_of(const FileContext& context, const machine::ProgramPart& program) {
    Reads reads;
    for (std::optional<BlockPlace> at = program.first; at && *at <= program.last;
         at = context.reader().neighbour(*at, true)) {
        const syntax::Run& run = context.reader().line(*at);
        for (const syntax::Item& item : run.items_of(run.blocks[at->block])) {
            // A plain call goes on with the same variables.
            if (item.kind == syntax::ItemKind::word && item.letter == 'M' && item.value == 98)
                reads.computed = true;
            if (!syntax::holds_expression(item.kind)) continue;
            collect(run, static_cast<std::int32_t>(item.expression), false, reads);
            const syntax::Expression& value = run.expressions[item.expression];
            if (item.kind == syntax::ItemKind::computed_word &&
                value.operation == syntax::Operation::variable && value.left >= 0)
                reads.words.push_back({*at, item.letter, number_of_variable(run, value.left)});
        }
    }
    return reads;
}

void tell(const FileContext& context, const machine::ProgramPart& program,
          std::span<const MacroCall* const> calls, Report& report) {
    const Reads reads = reads_of(context, program);
    if (reads.computed) return;
    const MacroCall& first = *calls.front();
    for (const MacroCall::Argument& argument : first.arguments) {
        const char letter = argument.letter;
        const int number = machine::argument_variable(letter);
        if (reads.numbers.contains(number) || (first.second_list && letter >= 'I' && letter <= 'K')) continue;
        std::set<double> values;
        bool in_each = true;
        for (const MacroCall* call : calls)
            if (const auto* given = call->argument(letter))
                values.insert(given->value);
            else
                in_each = false;
        if (!in_each) continue;
        // A word of the same letter takes a variable that another word there takes, too.
        const auto takes_another = [&](const Reads::Word& word) {
            if (word.letter != letter || machine::argument_variable(letter) == word.number) return false;
            return std::any_of(reads.words.begin(), reads.words.end(), [&](const Reads::Word& other) {
                return other.number == word.number && other.letter != letter;
            });
        };
        const auto wrong = std::find_if(reads.words.begin(), reads.words.end(), takes_another);
        if (wrong != reads.words.end()) {
            report.at_letter(wrong->block, letter)
                .message(said("{0} takes #{1} here, and the {0} that each call gives is #{2}, which O{3:04} "
                              "never reads: the tool goes where another value says. Is {0}#{2} meant?",
                              letter, wrong->number, number, program.number))
                .related(first.place, said("{} is given here", letter));
        } else if (calls.size() > 1 && values.size() > 1) {
            report.at_letter(first.place, letter)
                .severity(Severity::information)
                .message(said("The {} calls of O{:04} give different values of {}, and #{} is read nowhere "
                              "in it: they do nothing. Is a variable there numbered wrong?",
                              calls.size(), program.number, letter, number))
                .related(program.first, fmt::format("O{:04}", program.number));
        }
    }
}

void file(const FileContext& context, Report& report) {
    const std::vector<MacroCall> all = macro_calls_of(context);
    if (all.empty()) return;
    for (const machine::ProgramPart& program : context.outline().programs) {
        std::vector<const MacroCall*> calls;
        for (const MacroCall& call : all)
            if (call.program == program.number) calls.push_back(&call);
        if (!calls.empty()) tell(context, program, calls, report);
    }
}

} // namespace

extern const Check check{
    .id = "argument_never_read",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Value of a macro call that the macro never reads",
    .documentation =
        "Every G65 hands a value over by a letter, and the called program of this file never reads the "
        "variable that this letter becomes (A is #1, B is #2, Z is #26): it is numbered wrong, and the tool "
        "goes where another value says. Told where a word of the same letter takes a variable that another "
        "word there takes, too, and where several calls give different values for nothing. A program that "
        "computes the number of a variable may read any, and nothing is said of it.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O4100
G21 G99
T0303
G97 S600 M03
G00 X52. Z2.
G65 P4101 A46. Z-12. F.08
G65 P4101 A46. Z-20. F.08
G00 X100. Z50.
M30
O4101
G00 Z#1
;   ^^^ warning: argument_never_read
G01 X#1 F#9
G00 X52.
M99
)"},
            {System::B, R"(
O4100
G21 G90 G95
T0303
G97 S600 M03
G00 X52. Z2.
G65 P4101 A46. D2. Z-12.
;              ^^^ information: argument_never_read
G65 P4101 A44. D3. Z-20.
G00 X100. Z50.
M30
O4101
G00 Z#26
G01 X#1 F.08
G04 X#8
G00 X52.
M99
)"},
            {System::C, R"(
O4100
G71 G90 G95
T0303
G97 S600 M03
G65 P4101 X46. Z-12.
M30
O4101
G00 Z#26
G01 X#26 F.08
;   ^^^^ warning: argument_never_read
G00 X52.
M99
)"},
            // Read by a number that is computed, in an expression, and given for a machine that needs it.
            {System::A, R"(
O4100
G21 G99
T0303
G65 P4101 A46. Z-12.
G65 P4101 A44. Z-20.
M30
O4101
#30=1
#31=#[25+#30]
G00 Z#31
G01 X#[#30] F.08
M99
)"},
            {System::B, R"(
O4100
G21 G90 G95
T0303
G65 P4101 A46. Z-12.
G65 P4101 A44. Z-20.
M30
O4101
IF[#26GT0]GOTO10
G00 Z[#26-1.]
G01 X#1 F.08
N10 M99
)"},
            {System::C, R"(
O4100
G71 G90 G95
T0303
G65 P4101 A46. Z-12. S500
G65 P4101 A44. Z-20. S500
M30
O4101
WHILE[#3LT#26]DO1
#3=#3+1
END1
G01 X#1 F.08
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::argument_never_read
