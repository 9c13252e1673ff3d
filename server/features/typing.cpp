#include "features/typing.h"

#include "checks/named_tool.h"
#include "features/speech.h"
#include "text/letters.h"

#include <algorithm>
#include <bit>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using syntax::Item;
using syntax::ItemKind;

namespace {

using text::is_blank;
using text::is_letter;

bool is_number_part(char c) {
    return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '+';
}

/// The head may hold what the blocks further down do not.
constexpr std::size_t head_lines = 64;

struct HabitCounts {
    int zeros = 0, no_zeros = 0, blanks = 0, no_blanks = 0, lower = 0, upper = 0, points = 0, points_zero = 0;
    std::array<int, 10> digits{};

    void count(const Document& document, const BlockSpan& span) {
        const syntax::Run& run = document.run(span.run);
        for (std::size_t block = span.first; block < span.end; ++block) {
            const std::span<const Item> items = run.items_of(run.blocks[block]);
            for (std::size_t i = 0; i < items.size(); ++i) {
                const Item& item = items[i];
                if (item.kind != ItemKind::word) continue;
                const char first = run.text->bytes[item.begin];
                ++(first >= 'a' && first <= 'z' ? lower : upper);
                if ((item.letter == 'G' || item.letter == 'M') && item.value < 10 && item.decimals == 0)
                    ++(item.digits >= 2 ? zeros : no_zeros);
                if (const std::string_view word = run.text_of(item); word.ends_with('.'))
                    ++points;
                else if (word.ends_with(".0"))
                    ++points_zero;
                if (item.letter == 'T' && item.digits < digits.size()) ++digits[item.digits];
                if (i > 0 && items[i - 1].kind == ItemKind::word)
                    ++(item.begin > items[i - 1].end() ? blanks : no_blanks);
            }
        }
    }
};

} // namespace

WritingHabits habits_around(const Document& document, BlockPlace place) {
    HabitCounts counts;
    const std::vector<BlockSpan> around = spans_around(document, place);
    for (const BlockSpan& span : around) counts.count(document, span);
    const std::size_t first_line = document.line_of({around.front().run, around.front().first});
    for (const BlockSpan& span : spans_of_lines(document, 0, std::min(first_line, head_lines)))
        counts.count(document, span);
    WritingHabits habits;
    habits.leading_zeros = counts.zeros >= counts.no_zeros;
    habits.blanks = counts.blanks >= counts.no_blanks;
    habits.zero_behind_point = counts.points_zero > counts.points;
    habits.lower_case = counts.lower > counts.upper;
    const auto most = std::max_element(counts.digits.begin(), counts.digits.end());
    if (*most > 0) habits.tool_digits = static_cast<std::size_t>(most - counts.digits.begin());
    return habits;
}

std::optional<Typing> typing_at(const Document& document, Position at) {
    at = document.buffer().clamp(at);
    const BlockPlace place = document.place_of_line(at.line);
    const std::uint32_t byte = document.block(place).begin + at.column;
    for (const Item& item : document.items(place)) {
        const bool inside = item.begin < byte && byte < item.end();
        if (item.kind == ItemKind::note && inside) return std::nullopt;
        if (item.kind == ItemKind::unclosed_note && item.begin < byte) return std::nullopt;
        if ((item.kind == ItemKind::after_end || item.kind == ItemKind::end_of_block) && item.end() <= byte)
            return std::nullopt;
    }
    std::optional<BlockAt> block = block_at(document, place);
    if (!block) return std::nullopt;
    Typing typing{document,
                  at,
                  place,
                  std::move(*block),
                  document.buffer().line(at.line),
                  at.column,
                  {},
                  0,
                  false,
                  false,
                  habits_around(document, place)};
    const std::string_view before = typing.line.substr(0, at.column);
    typing.in_brackets =
        std::count(before.begin(), before.end(), '[') > std::count(before.begin(), before.end(), ']');
    std::size_t start = before.size();
    while (start > 0 && is_number_part(before[start - 1])) --start;
    const bool letters_only = start == before.size();
    if (start > 0 && (before[start - 1] == '#' || is_letter(before[start - 1]))) --start;
    // IF, WHILE, GOTO: several letters with no number behind them.
    if (letters_only && start < before.size() && is_letter(before[start]))
        while (start > 0 && is_letter(before[start - 1])) --start;
    typing.word_begin = static_cast<std::uint32_t>(start);
    typing.prefix = compact(before.substr(start));
    typing.letter = typing.prefix.empty() ? '\0' : typing.prefix[0];
    typing.line_is_empty = std::all_of(typing.line.begin(), typing.line.end(), is_blank);
    return typing;
}

const codes::Code* code_in_charge(const Document& document, const BlockAt& block) {
    const codes::Code* chosen = nullptr;
    for (const machine::Word& word : block.reading.words)
        if (word.code && !word.implied && !word.code->words.empty()) chosen = word.code;
    if (chosen) return chosen;
    const codes::System system = document.settings().system;
    const auto held = [&](Group group) -> const codes::Code* {
        const machine::Modal& modal = block.before.of(group);
        if (!modal.known()) return nullptr;
        return codes::code_for(
            system, codes::meaning_of(group, static_cast<unsigned>(std::countr_zero(modal.possible))));
    };
    const codes::Code* cycle = held(Group::drill_cycle);
    if (cycle && cycle->meaning != Meaning::drill_cycle_off) return cycle;
    return held(Group::motion);
}

bool has_word(const BlockAt& block, char letter) {
    return block.reading.has(letter);
}

std::optional<NamedThread> thread_named_around(const Document& document, BlockPlace place) {
    for (const std::string& name : checks::threads_named(notes_around(document, place)))
        if (const auto size = motion::thread_size(name)) return NamedThread{name, *size};
    return std::nullopt;
}

std::string notes_around(const Document& document, BlockPlace place) {
    const machine::Sequence* sequence = sequence_at(document, place);
    if (!sequence) return {};
    std::string notes = sequence->note ? note_of(document, *sequence->note) : std::string{};
    if (sequence->tool >= 0) notes += ", " + tool_note(document, sequence->tool);
    return notes;
}

} // namespace turnwright::features
