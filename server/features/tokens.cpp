#include "features/tokens.h"

#include "features/block_at.h"
#include "text/letters.h"

#include <algorithm>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using codes::Quantity;
using machine::MotionKind;
using syntax::Item;
using syntax::ItemKind;

std::vector<std::string_view> token_type_names() {
    return {"comment",  "keyword",  "function", "method",     "macro",     "event",
            "property", "number",   "type",     "enumMember", "namespace", "variable",
            "modifier", "operator", "string",   "decorator"};
}
std::vector<std::string_view> token_modifier_names() {
    return {"rapid", "cutting", "deprecated", "modification", "inactive"};
}

namespace {

using text::is_digit;
using text::is_letter;
using text::upper;

TokenType type_of_code(const codes::Code& code) {
    if (code.letter == 'M') return TokenType::misc_code;
    switch (code.group()) {
    case Group::motion:
        switch (code.meaning) {
        case Meaning::rapid:
            return TokenType::rapid;
        case Meaning::single_turning:
        case Meaning::single_facing:
        case Meaning::single_threading:
            return TokenType::cycle;
        default:
            return TokenType::feed_move;
        }
    case Group::drill_cycle:
        return TokenType::cycle;
    default:
        break;
    }
    switch (code.meaning) {
    case Meaning::finish_cycle:
    case Meaning::rough_turning:
    case Meaning::rough_facing:
    case Meaning::pattern_repeat:
    case Meaning::peck_face:
    case Meaning::groove_side:
    case Meaning::thread_cycle:
        return TokenType::cycle;
    default:
        return TokenType::code;
    }
}

std::uint32_t motion_modifier(MotionKind kind) {
    switch (kind) {
    case MotionKind::rapid:
    case MotionKind::machine_rapid:
    case MotionKind::reference:
        return modifier_rapid;
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::thread:
    case MotionKind::single_cycle:
    case MotionKind::drill_cycle:
    case MotionKind::contour_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return modifier_cutting;
    default:
        return 0;
    }
}

bool is_statement_word(std::string_view text) {
    constexpr std::string_view words[] = {"IF", "GOTO", "THEN", "WHILE", "DO", "END"};
    return std::any_of(std::begin(words), std::end(words), [&](std::string_view word) {
        return std::equal(word.begin(), word.end(), text.begin(), text.end(),
                          [](char a, char b) { return a == upper(b); });
    });
}

/// Writes the tokens of one run.
class RunTokens {
public:
    explicit RunTokens(const syntax::Run& run) : run_(run) {}

    void block(const machine::BlockView& view) {
        view_ = &view;
        next_word_ = 0;
        common_ = view.text.deleted || !view.reading.is_read ? std::uint32_t{modifier_deleted} : 0;
        for (const Item& item : run_.items_of(view.text)) look(item);
    }
    std::vector<RunToken> take() { return std::move(tokens_); }

private:
    void add(std::uint32_t begin, std::uint32_t end, TokenType type, std::uint32_t modifiers = 0) {
        if (begin >= end) return;
        tokens_.push_back({begin, static_cast<std::uint16_t>(std::min(end - begin, 65535u)),
                           static_cast<std::uint8_t>(type), static_cast<std::uint8_t>(modifiers | common_)});
    }

    void look(const Item& item) {
        switch (item.kind) {
        case ItemKind::note:
        case ItemKind::unclosed_note:
        case ItemKind::after_end:
            add(item.begin, item.end(), TokenType::note);
            break;
        case ItemKind::tape_mark:
            add(item.begin, item.end(), TokenType::tape_mark);
            break;
        case ItemKind::block_delete:
        case ItemKind::end_of_block:
            add(item.begin, item.end(), TokenType::operation);
            break;
        case ItemKind::word:
        case ItemKind::comma_word:
            add_word(item, item.end());
            break;
        case ItemKind::computed_word:
        case ItemKind::comma_computed: {
            std::uint32_t letter_end = item.begin + (item.kind == ItemKind::comma_computed ? 2 : 1);
            letter_end = std::min(letter_end, item.end());
            add_word(item, letter_end);
            add_expression(letter_end, item.end(), false);
            break;
        }
        case ItemKind::bare_letter:
        case ItemKind::unknown:
            break;
        default:
            add_expression(item.begin, item.end(), item.kind == ItemKind::assignment);
            break;
        }
    }

    /// Words stand in the order of the items, so each is looked at once however long the block is.
    const machine::Word* word_of(const Item& item) {
        const std::vector<machine::Word>& words = view_->reading.words;
        while (next_word_ < words.size() && words[next_word_].item < &item) ++next_word_;
        return next_word_ < words.size() && words[next_word_].item == &item ? &words[next_word_] : nullptr;
    }

    void add_word(const Item& item, std::uint32_t end) {
        const machine::Word* word = word_of(item);
        switch (item.letter) {
        case 'G':
        case 'M': {
            const codes::Code* code = word ? word->code : nullptr;
            if (!code)
                return add(item.begin, end, item.letter == 'M' ? TokenType::misc_code : TokenType::code);
            const bool inactive = code->is_modal() && view_->before.is(code->meaning);
            return add(item.begin, end, type_of_code(*code), inactive ? std::uint32_t{modifier_inactive} : 0);
        }
        case 'N':
            return add(item.begin, end, TokenType::label, modifier_written);
        case 'O':
            return add(item.begin, end, TokenType::program, modifier_written);
        case 'T':
            return add(item.begin, end, TokenType::tool);
        case 'F':
        case 'S':
            return add(item.begin, end, TokenType::feed);
        default:
            break;
        }
        const Quantity quantity = word ? word->quantity : Quantity::none;
        if (quantity == Quantity::label) return add(item.begin, end, TokenType::label);
        if (quantity == Quantity::program) return add(item.begin, end, TokenType::program);
        add(item.begin, end, TokenType::axis, motion_modifier(view_->reading.motion));
    }

    /// Reads an expression letter by letter: its marks stand in the text, not in the tree.
    void add_expression(std::uint32_t at, std::uint32_t end, bool assigns) {
        const std::string_view text = std::string_view(run_.text->bytes).substr(0, end);
        bool first_variable = assigns;
        bool jump = false;
        const auto run_of = [&](std::uint32_t from, auto keep) {
            std::uint32_t to = from;
            while (to < end && keep(text[to])) ++to;
            return to;
        };
        while (at < end) {
            const char c = text[at];
            std::uint32_t next = at + 1;
            if (c == '#') {
                // A numbered variable ends with its digits: #100GT2 compares.
                const bool numbered = at + 1 < end && is_digit(text[at + 1]);
                next = run_of(at + 1, [&](char d) {
                    return is_digit(d) || (!numbered && (is_letter(d) || d == '_' || d == '<' || d == '>'));
                });
                add(at, next, TokenType::variable, first_variable ? std::uint32_t{modifier_written} : 0);
                first_variable = false;
            } else if (is_digit(c) || c == '.') {
                next = run_of(at, [](char d) { return is_digit(d) || d == '.'; });
                add(at, next, jump ? TokenType::label : TokenType::number);
            } else if (is_letter(c)) {
                next = run_of(at, is_letter);
                const std::string_view word = text.substr(at, next - at);
                add(at, next, is_statement_word(word) ? TokenType::word : TokenType::operation);
                jump = word.size() == 4 && upper(word[0]) == 'G';
                at = next;
                continue;
            } else if (std::string_view("+-*/=").find(c) != std::string_view::npos) {
                add(at, next, TokenType::operation);
            }
            if (c != ' ' && c != '\t') jump = false;
            at = next;
        }
    }

    const syntax::Run& run_;
    const machine::BlockView* view_ = nullptr;
    std::size_t next_word_ = 0;
    std::uint32_t common_ = 0;
    std::vector<RunToken> tokens_;
};

const std::vector<RunToken>& tokens_of_run(const Document& document, std::size_t index) {
    TokenStore& store = document.token_store();
    const syntax::Run& run = *document.forest().run(index);
    const machine::Analysis& analysis = document.analysis();
    const machine::Versions versions(analysis);
    TokenStore::Entry& entry = store.entries[&run];
    if (!entry.made || !entry.log.holds(analysis, versions, {index, 0}))
        entry = TokenStore::Entry::make(analysis, versions, {index, 0}, [&](const machine::Reader& reader) {
            RunTokens of_run(run);
            reader.visit(index, [&](const machine::BlockView& view) { of_run.block(view); });
            std::vector<RunToken> tokens = of_run.take();
            std::stable_sort(tokens.begin(), tokens.end(),
                             [](const RunToken& a, const RunToken& b) { return a.begin < b.begin; });
            return tokens;
        });
    return entry.value;
}

/// Runs that are no longer part of the program leave the store when half of it is theirs.
void tidy(const Document& document) {
    TokenStore& store = document.token_store();
    if (store.entries.size() <= 2 * document.forest().size() + 16) return;
    std::unordered_map<const syntax::Run*, TokenStore::Entry> kept;
    for (const syntax::RunPointer& run : document.forest().runs())
        if (const auto at = store.entries.find(run.get()); at != store.entries.end())
            kept.insert(store.entries.extract(at));
    store.entries = std::move(kept);
}

void add_run(const Document& document, std::size_t index, std::uint32_t first_line, std::uint32_t last_line,
             std::vector<Token>& tokens) {
    const std::vector<std::uint32_t>& starts = document.buffer().leaf(index)->line_starts;
    const auto run_line = static_cast<std::uint32_t>(document.buffer().first_line_of_leaf(index));
    std::uint32_t line = 0;
    for (const RunToken& token : tokens_of_run(document, index)) {
        while (line + 1 < starts.size() && starts[line + 1] <= token.begin) ++line;
        if (run_line + line < first_line || run_line + line > last_line) continue;
        tokens.push_back({{run_line + line, token.begin - starts[line]},
                          token.length,
                          static_cast<TokenType>(token.type),
                          token.modifiers});
    }
}

} // namespace

std::vector<Token> semantic_tokens(const Document& document) {
    std::vector<Token> tokens;
    tidy(document);
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        add_run(document, run, 0, UINT32_MAX, tokens);
    return tokens;
}

std::vector<Token> semantic_tokens(const Document& document, Range range) {
    std::vector<Token> tokens;
    tidy(document);
    const std::size_t last = document.place_of_line(range.end.line).run;
    for (std::size_t run = document.place_of_line(range.begin.line).run; run <= last; ++run)
        add_run(document, run, range.begin.line, range.end.line, tokens);
    return tokens;
}

} // namespace turnwright::features
