// Variables, expressions and macro statements.
#include "features/hover_parts.h"
#include "features/macro_words.h"
#include "features/speech.h"
#include "language/said.h"

#include <charconv>
#include <fmt/format.h>

namespace turnwright::features {

using syntax::Operation;

namespace {

std::string_view level_of(int number) {
    if (number == 0) return said("always empty");
    if (number < 100) return said("local: empty at each call of a program");
    if (number < 500) return said("common: kept until the control is switched off or reset");
    if (number < 1000) return said("common: kept when the control is switched off");
    return said("of the control itself");
}

std::string value_of(const machine::Value& value) {
    if (value.known()) return plain(value.number, 6);
    if (value.surely_unset()) return said("empty");
    return unknown_text(value.why);
}

std::string variable_text(const Asked& asked, int number) {
    std::string text = said("**\\#{}** Variable, {}\n\n", number, level_of(number));
    const machine::Value before = asked.block.before.variable(number);
    const machine::Value after = asked.block.after.variable(number);
    if (before == after) return text + said("Holds ") + value_of(before) + ".\n\n";
    return text + said("Holds ") + value_of(before) + said("; after this block ") + value_of(after) + ".\n\n";
}

struct OperationText {
    Operation operation;
    TableText text;
};
constexpr OperationText operations[] = {
    {Operation::modulo, "**MOD** Remainder of a division"},
    {Operation::equal, "**EQ** Holds when both sides are equal"},
    {Operation::not_equal, "**NE** Holds when the sides differ"},
    {Operation::greater, "**GT** Holds when the left side is greater"},
    {Operation::greater_equal, "**GE** Holds when the left side is greater or equal"},
    {Operation::less, "**LT** Holds when the left side is less"},
    {Operation::less_equal, "**LE** Holds when the left side is less or equal"},
    {Operation::logic_and, "**AND** Bits that both sides have"},
    {Operation::logic_or, "**OR** Bits that either side has"},
    {Operation::logic_xor, "**XOR** Bits that only one side has"},
    {Operation::sine, "**SIN** Sine of an angle in degrees"},
    {Operation::cosine, "**COS** Cosine of an angle in degrees"},
    {Operation::tangent, "**TAN** Tangent of an angle in degrees"},
    {Operation::arc_tangent, "**ATAN** Angle in degrees from a tangent"},
    {Operation::arc_tangent_two, "**ATAN** Angle in degrees from two sides"},
    {Operation::arc_sine, "**ASIN** Angle in degrees from a sine"},
    {Operation::arc_cosine, "**ACOS** Angle in degrees from a cosine"},
    {Operation::square_root, "**SQRT** Square root"},
    {Operation::absolute, "**ABS** Value without its sign"},
    {Operation::round, "**ROUND** Nearest whole number; as the value of a word, nearest least increment"},
    {Operation::fix, "**FIX** Whole part, toward zero"},
    {Operation::fix_up, "**FUP** Next whole number, away from zero"},
    {Operation::natural_log, "**LN** Natural logarithm"},
    {Operation::exponential, "**EXP** Power of e"},
    {Operation::to_binary, "**BIN** Binary from binary-coded decimal"},
    {Operation::to_bcd, "**BCD** Binary-coded decimal from binary"},
    {Operation::invalid, "This cannot be read as an expression."},
};

std::string condition_text(const Asked& asked, std::int32_t condition) {
    std::vector<machine::Problem> problems;
    const machine::Value value =
        machine::evaluate(asked.run(), asked.block.place.block, condition, asked.block.before, problems);
    if (!value.known()) return said("Whether it holds is ") + unknown_text(value.why) + ".";
    return value.number != 0 ? said("It holds here.") : said("It does not hold here.");
}

std::string statement_text(const Asked& asked, const syntax::Expression& root) {
    switch (asked.item.kind) {
    case syntax::ItemKind::assignment:
        return said("**Assignment** Stores a value in a variable.\n\n");
    case syntax::ItemKind::if_goto:
        return said("**IF ... GOTO** Goes to the numbered block when the condition holds, else on to the "
                    "next.\n\n") +
               condition_text(asked, root.left) + "\n\n";
    case syntax::ItemKind::if_then:
        return said("**IF ... THEN** Does what follows when the condition holds.\n\n") +
               condition_text(asked, root.left) + "\n\n";
    case syntax::ItemKind::while_do:
        return said("**WHILE ... DO** Repeats the blocks up to END {} as long as the condition holds.\n\n",
                    plain(root.number)) +
               condition_text(asked, root.left) + "\n\n";
    case syntax::ItemKind::do_only:
        return said("**DO** Repeats the blocks up to END {} without end, until a GOTO leaves.\n\n",
                    plain(root.number));
    case syntax::ItemKind::end_do:
        return said("**END** End of a loop: back to its WHILE.\n\n");
    case syntax::ItemKind::go_to: {
        std::vector<machine::Problem> problems;
        const machine::Value label =
            machine::evaluate(asked.run(), asked.block.place.block, root.left, asked.block.before, problems);
        return said("**GOTO** Goes on at ") +
               (label.known() ? label_text(asked.document, asked.block.place, label.number)
                              : said("a block whose number is ") + unknown_text(label.why)) +
               ".\n\n";
    }
    default:
        return {};
    }
}

constexpr std::pair<std::string_view, TableText> other_words[] = {
    {"IF",
     "IF [condition] GOTO n goes to block n when the condition holds; IF [condition] THEN does what follows "
     "it"},
    {"THEN", "What stands after it is done when the condition of its IF holds"},
    {"GOTO", "Goes on at the block with this N number, searched from here to the end and then from the top"},
    {"WHILE", "WHILE [condition] DO m repeats the blocks up to END m as long as the condition holds"},
    {"DO", "Begin of a loop that ends at the END with the same number"},
    {"END", "End of a loop: back to its WHILE"},
    {"#", "A variable: # and a number, or # and brackets around a number that is computed"},
    {"%", "Begin or end of the program as it is sent or kept: what stands outside is not read"},
    {"/", "Block delete: the block is left out while the switch at the machine is on"},
    {";", "End of the block"},
    {"(", "Begin of a note, which ends at the next ): read by people only"},
    {")", "End of a note"},
    {"[", "Begin of an expression, which ends at its ]"},
};

/// The word between the stars.
std::string_view name_of(const OperationText& row) {
    const std::string_view text = row.text;
    return text.starts_with("**") ? text.substr(2, text.find("**", 2) - 2) : std::string_view();
}

} // namespace

std::string macro_word_text(std::string_view word) {
    for (const OperationText& row : operations)
        if (const std::string_view name = name_of(row); !name.empty() && name == word)
            return fmt::format("{}  {}", name, std::string_view(row.text).substr(name.size() + 5));
    for (const auto& [name, text] : other_words)
        if (name == word) return fmt::format("{}  {}", name, text);
    int number = 0;
    const char* const end = word.data() + word.size();
    if (!word.starts_with('#')) return {};
    const auto [at, failed] = std::from_chars(word.data() + 1, end, number);
    if (failed != std::errc{} || at != end || number < 0) return {};
    return said("#{}  Variable, {}", number, level_of(number));
}

std::vector<std::string_view> macro_words() {
    std::vector<std::string_view> words;
    for (const OperationText& row : operations)
        if (!name_of(row).empty()) words.push_back(name_of(row));
    for (const auto& [name, text] : other_words) words.push_back(name);
    return words;
}

std::string macro_text(const Asked& asked) {
    const syntax::Run& run = asked.run();
    const std::int32_t at = expression_at(run, asked.item, asked.byte);
    if (const std::optional<int> variable = variable_number(run, at)) return variable_text(asked, *variable);
    if (asked.item.expression >= run.expressions.size()) return {};
    const syntax::Expression& root = run.expressions[asked.item.expression];
    if (at >= 0) {
        const syntax::Expression& node = run.expressions[static_cast<std::size_t>(at)];
        for (const OperationText& row : operations)
            if (row.operation == node.operation) return fmt::format("{}\n\n", row.text);
        if (node.operation == Operation::variable) return said("**Variable** whose number is computed.\n\n");
    }
    return statement_text(asked, root);
}

} // namespace turnwright::features
