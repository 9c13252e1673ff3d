#include "features/completion.h"
#include "language/said.h"

#include "features/new_sequence.h"
#include "features/offers.h"
#include "features/sequence_writer.h"
#include "features/speech.h"
#include "features/uses.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace turnwright::features {

using codes::Meaning;
using codes::Quantity;

namespace {

class Completer {
public:
    explicit Completer(const Typing& typing)
        : offers_{typing, {}}, typing_(typing), document_(typing.document) {}

    std::vector<CompletionItem> list() {
        if (typing_.in_brackets && typing_.letter != '#') {
            add_functions();
            add_variables();
            return std::move(offers_.items);
        }
        if (follows_jump()) {
            add_labels(offers_);
            return std::move(offers_.items);
        }
        // "rough t" is no T word.
        if (typing_.letter != '\0' && has_words_before() && add_templates(offers_))
            return std::move(offers_.items);
        switch (typing_.letter) {
        case '\0':
            add_missing_words();
            if (typing_.line_is_empty) add_templates(offers_);
            look_at_used();
            add_codes('G');
            add_codes('M');
            if (typing_.line_is_empty) {
                const std::size_t first = offers_.items.size();
                add_tools();
                add_next_number();
                for (std::size_t i = first; i < offers_.items.size(); ++i)
                    offers_.items[i].sort = behind_used + offers_.items[i].sort;
            }
            break;
        case 'G':
            add_codes('G');
            break;
        case 'M':
            add_codes('M');
            break;
        case 'T':
            add_tools();
            break;
        case 'N':
            add_next_number();
            break;
        case '#':
            add_variables();
            break;
        case 'I':
        case 'W':
            add_statements();
            [[fallthrough]];
        default:
            add_values(offers_);
            break;
        }
        if (typing_.letter != '\0' && !typing_.line_is_empty) {
            add_templates(offers_);
            add_questions(offers_);
        }
        return std::move(offers_.items);
    }

private:
    /// Behind GOTO stands the number of a block.
    bool follows_jump() const {
        if (offers_.is_letter_typed()) return false;
        const std::string before = compact(typing_.line.substr(0, typing_.word_begin));
        return before.size() >= 4 && before.compare(before.size() - 4, 4, "GOTO") == 0;
    }

    /// Something stands on the line before the word that is typed.
    bool has_words_before() const {
        return typing_.line.substr(0, typing_.word_begin).find_first_not_of(" \t") != std::string_view::npos;
    }

    // --- Codes ---

    std::string in_house_form(std::string written) const {
        if (!typing_.habits.leading_zeros && written.size() == 3 && written[1] == '0') written.erase(1, 1);
        return written;
    }

    void add_codes(char letter) {
        std::set<std::uint16_t> seen;
        for (const codes::Code& code : codes::all_codes()) {
            if (code.letter != letter || !seen_in_system(code) || !seen.insert(code.number_tenths).second)
                continue;
            const bool held = code.is_modal() && typing_.block.before.is(code.meaning) &&
                              !typing_.block.before.of(code.group()).is_assumed();
            CompletionItem& item =
                offers_.add(CompletionKind::code, in_house_form(code.written()),
                            std::string(code.title) + (held ? said(", in force already") : ""),
                            in_house_form(code.written()));
            item.filter = item.label + ' ' + code.written() + ' ' + std::string(code.title);
            item.key = fmt::format("code {}{}", letter, code.number_tenths);
            const char* const group = used_.contains({letter, code.number_tenths}) ? used_before : less_used;
            if (typing_.letter == '\0') item.sort = group + item.sort;
            if (held) item.sort = "8" + item.sort;
            add_cycle_snippet(code);
        }
        const auto& names =
            letter == 'M' ? typing_.settings().machine.m_codes : typing_.settings().machine.g_codes;
        for (const auto& [number, name] : names) {
            const std::string written = fmt::format("{}{:02}", letter, number);
            offers_.add(CompletionKind::code, written, readable(name) + said(" (this machine)"), written);
        }
    }

    bool seen_in_system(const codes::Code& code) const {
        switch (typing_.settings().system) {
        case codes::System::A:
            return code.systems & codes::in_a;
        case codes::System::B:
            return code.systems & codes::in_b;
        case codes::System::C:
            return code.systems & codes::in_c;
        }
        return false;
    }

    /// A code with its required words as fields to fill in.
    void add_cycle_snippet(const codes::Code& code) {
        std::string snippet = in_house_form(code.written()), plain = snippet;
        int field = 1;
        for (const codes::WordUse& use : code.words) {
            if (!use.required) continue;
            snippet += fmt::format(
                "{}{}${{{}:{}}}", typing_.habits.blanks ? " " : "", use.letter, field++,
                codes::is_whole(use.quantity) || use.quantity == Quantity::length_units ? "1" : "1.");
            plain += fmt::format("{}{}", typing_.habits.blanks ? " " : "", use.letter);
        }
        if (field == 1) return;
        CompletionItem& item = offers_.add(CompletionKind::snippet, plain,
                                           std::string(code.title) + said(", with its words"), snippet);
        item.is_snippet = true;
        item.plain = plain;
        item.key = fmt::format("code {}{}", code.letter, code.number_tenths);
        item.sort = (typing_.letter == '\0' ? with_words : "1") + item.sort;
    }

    /// Codes of the blocks above: what comes next is mostly one of them.
    void look_at_used() {
        std::size_t left = 500; // Counted in blocks: where runs begin must not tell
        for (std::size_t run = typing_.place.run + 1; run-- > 0 && left > 0;) {
            if (run >= document_.forest().size()) continue;
            const syntax::Run& lines = document_.run(run);
            std::size_t block = run == typing_.place.run ? std::min(typing_.place.block, lines.blocks.size())
                                                         : lines.blocks.size();
            for (; block > 0 && left > 0; --left)
                for (const syntax::Item& item : lines.items_of(lines.blocks[--block]))
                    if (item.kind == syntax::ItemKind::word && (item.letter == 'G' || item.letter == 'M') &&
                        item.value >= 0 && item.value < 1000)
                        used_.emplace(item.letter, static_cast<std::uint16_t>(std::lround(item.value * 10)));
        }
    }

    void add_missing_words() {
        const codes::Code* code = nullptr;
        for (const machine::Word& word : typing_.block.reading.words)
            if (word.code && !word.implied && !word.code->words.empty()) code = word.code;
        if (!code) return;
        const codes::Code* next = next_row(*code);
        if (next && stands_above(*code)) {
            code = next;
            next = next_row(*code);
        }
        for (const codes::WordUse& use : code->words) {
            if (has_word(typing_.block, use.letter)) continue;
            const bool is_needed =
                use.required || use.quantity == Quantity::lead ||
                (use.quantity == Quantity::feed && !next && !typing_.block.before.feed.known());
            CompletionItem& item =
                offers_.add(CompletionKind::word, std::string(1, use.letter),
                            std::string(use.meaning) + (is_needed ? said(", still missing") : ""),
                            std::string(1, use.letter));
            item.sort = (is_needed ? "!0" : "!1") + item.sort;
            item.preselect = is_needed;
            item.key = fmt::format("letter {}", use.letter);
        }
    }

    /// Of a cycle in two lines the row of the second; nullptr behind the last one of a code.
    const codes::Code* next_row(const codes::Code& code) const {
        for (const codes::Code& row : codes::all_codes())
            if (&row > &code && row.letter == code.letter && row.number_tenths == code.number_tenths &&
                seen_in_system(row))
                return &row;
        return nullptr;
    }
    bool stands_above(const codes::Code& code) const {
        if (typing_.at.line == 0) return false;
        const auto above = block_at(document_, document_.place_of_line(typing_.at.line - 1));
        return above &&
               std::any_of(above->reading.words.begin(), above->reading.words.end(),
                           [&](const machine::Word& word) { return word.code == &code && !word.implied; });
    }

    // --- Tools, numbers, variables ---

    /// Those that the head names and nothing calls yet, those called, those of the shop file.
    void add_tools() {
        std::set<int> stations;
        const auto add = [&](int station, std::string word, std::string note) {
            if (!stations.insert(station).second) return;
            const std::size_t half = typing_.habits.tool_digits / 2;
            if (word.empty())
                word = typing_.habits.tool_digits >= 4 ? fmt::format("T{0:0{1}}{0:0{1}}", station, half)
                                                       : fmt::format("T{}", station);
            offers_.add(CompletionKind::tool, word, std::move(note), word);
        };
        std::vector<std::pair<int, std::string>> called;
        for (const machine::ProgramPart& program : document_.outline().programs)
            for (const machine::Sequence& sequence : program.sequences)
                if (sequence.tool >= 0)
                    called.emplace_back(sequence.tool, tool_word_of(document_, sequence.tool_call));
        for (const auto& [station, note] : tools_at_head(document_))
            if (std::none_of(called.begin(), called.end(),
                             [station = station](const auto& other) { return other.first == station; }))
                add(station, {}, note.empty() ? said("noted at the head") : note + said(" (not called yet)"));
        for (const auto& [station, word] : called)
            if (!word.empty() && !stations.contains(station))
                add(station, word, tool_note(document_, station));
        for (const shop::Tool& tool : document_.shop().tools)
            add(tool.station, {}, readable(tool.note) + said(" (shop file)"));
    }

    void add_next_number() {
        std::int32_t next = 1;
        const auto& counts = document_.analysis().label_counts();
        if (const machine::Sequence* sequence = sequence_at(document_, typing_.place);
            sequence && sequence->tool > 0 && !counts.contains(sequence->tool))
            offers_.add(CompletionKind::label, fmt::format("N{}", sequence->tool),
                        said("number of the tool in use"), fmt::format("N{}", sequence->tool));
        while (counts.contains(next)) ++next;
        offers_.add(CompletionKind::label, fmt::format("N{}", next), said("first number that is free"),
                    fmt::format("N{}", next));
    }

    void add_variables() {
        std::set<int> numbers;
        for (const syntax::RunPointer& run : document_.forest().runs()) {
            if (run->expressions.empty()) continue;
            for (std::size_t i = 0; i < run->expressions.size() && numbers.size() < most_numbers; ++i)
                if (const auto number = variable_number(*run, static_cast<std::int32_t>(i)))
                    numbers.insert(*number);
        }
        for (int number : numbers) {
            const machine::Value value = typing_.block.before.variable(number);
            offers_.add(CompletionKind::variable, fmt::format("#{}", number),
                        value.known() ? said("holds ") + plain(value.number)
                                      : std::string(machine::explain(value.why)),
                        fmt::format("#{}", number));
        }
    }

    void add_functions() {
        for (const char* name : {"SIN", "COS", "TAN", "ASIN", "ACOS", "SQRT", "ABS", "ROUND", "FIX", "FUP",
                                 "LN", "EXP", "BIN", "BCD"}) {
            CompletionItem& item =
                offers_.add(CompletionKind::keyword, name, said("function"), fmt::format("{}[${{1}}]", name));
            item.is_snippet = true;
            item.plain = fmt::format("{}[", name);
        }
        for (const char* name : {"MOD", "AND", "OR", "XOR", "EQ", "NE", "GT", "GE", "LT", "LE"})
            offers_.add(CompletionKind::keyword, name, said("operator"), fmt::format(" {} ", name));
    }

    void add_statements() {
        struct Statement {
            const char* label;
            TableText detail;
            const char* snippet;
        };
        constexpr Statement statements[] = {
            {"IF", "go on elsewhere when a condition holds",
             "IF [${1:#1} ${2|EQ,NE,GT,GE,LT,LE|} ${3:0}] GOTO ${4:100}"},
            {"IF THEN", "one assignment when a condition holds",
             "IF [${1:#1} ${2|EQ,NE,GT,GE,LT,LE|} ${3:0}] THEN ${4:#2=0}"},
            {"WHILE", "repeat blocks while a condition holds",
             "WHILE [${1:#1} ${2|LT,LE,GT,GE,NE,EQ|} ${3:10}] DO${4:1}\n$0\nEND${4:1}"},
        };
        for (const Statement& statement : statements) {
            if (statement.label[0] != typing_.letter) continue;
            CompletionItem& item =
                offers_.add(CompletionKind::keyword, statement.label, statement.detail, statement.snippet);
            item.is_snippet = true;
            item.plain = statement.label;
        }
    }

    // Behind templates, which sort by their place in the list alone.
    static constexpr const char *used_before = "2", *behind_used = "3", *less_used = "5", *with_words = "6";

    Offers offers_;
    const Typing& typing_;
    const Document& document_;
    std::set<std::pair<char, std::uint16_t>> used_;
};

std::string words_of(const codes::Code& code) {
    std::string text;
    for (const codes::WordUse& use : code.words)
        text += fmt::format("- {}: {}{}\n", use.letter, use.meaning, use.required ? said(" (required)") : "");
    return text;
}

} // namespace

CompletionItem& Offers::add(CompletionKind kind, std::string label, std::string detail, std::string text) {
    CompletionItem item;
    item.kind = kind;
    item.label = std::move(label);
    item.detail = std::move(detail);
    if (typing.habits.lower_case && kind != CompletionKind::snippet)
        for (char& c : text) c = text::lower(c);
    item.edit = {typing.replaced(), text};
    item.plain = std::move(text);
    item.sort = fmt::format("{:05}", items.size());
    items.push_back(std::move(item));
    return items.back();
}

std::vector<CompletionItem> complete(const Document& document, Position at) {
    const std::optional<Typing> typing = typing_at(document, at);
    return typing ? Completer(*typing).list() : complete_note(document, at);
}

std::string completion_documentation(const Document& document, std::string_view key) {
    if (key.starts_with("letter ") && key.size() == 8) {
        const codes::Letter* letter = codes::letter(key[7]);
        return letter ? fmt::format("**{}** {}\n\n{}", letter->letter, letter->title, letter->text)
                      : std::string{};
    }
    if (!key.starts_with("code ") || key.size() < 7) return {};
    int tenths = 0;
    for (char c : key.substr(6)) {
        if (c < '0' || c > '9' || tenths > 100000) return {};
        tenths = tenths * 10 + (c - '0');
    }
    const codes::Code* code = codes::find(document.settings().system, key[5], tenths / 10.0);
    if (!code) return {};
    return fmt::format("**{}** {}\n\n{}\n\n{}\n\n{}", code->written(), code->title, code->text,
                       code->is_modal() ? said("Stays in force ({}).", codes::group_title(code->group()))
                                        : said("Acts in its block only."),
                       words_of(*code));
}

} // namespace turnwright::features
