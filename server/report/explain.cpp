// What a code, a letter or a check is, from the tables that hover and the docs are made of.
#include "codes/glossary.h"
#include "features/macro_words.h"
#include "features/speech.h"
#include "language/said.h"
#include "motion/thread_names.h"
#include "report/calculation.h"
#include "report/report.h"
#include "report/tell.h"
#include "shop/keys.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <fmt/format.h>
#include <sstream>

namespace turnwright::report {

namespace {

using codes::Code;
using codes::System;

std::string systems_text(codes::Systems systems) {
    std::string out;
    for (const auto& [bit, letter] : {std::pair{codes::in_a, 'A'}, {codes::in_b, 'B'}, {codes::in_c, 'C'}}) {
        if (!(systems & bit)) continue;
        if (!out.empty()) out += ", ";
        out += letter;
    }
    return out.size() > 1 ? said("systems ") + out : said("system ") + out;
}

std::string code_text(const Code& code) {
    std::string out =
        fmt::format("{}  {} ({})\n\n{}\n", code.written(), code.title, systems_text(code.systems), code.text);
    if (code.is_modal())
        out += said("\nIt stays in force; it replaces the other codes of the group {}.\n",
                    codes::group_title(code.group()));
    if (!code.words.empty()) {
        out += said("\nWords:\n");
        for (const codes::WordUse& word : code.words)
            out += fmt::format("  {}  {}{} ({})\n", word.letter, word.meaning,
                               word.required ? said("; required") : "",
                               translated(codes::quantity_title(word.quantity)));
    }
    return out + said("\nSource: {}\n", code.source);
}

std::string code_rows(char letter, double number, std::optional<System> system) {
    const unsigned wanted = system ? 1u << static_cast<unsigned>(*system) : unsigned{codes::in_all};
    std::string out;
    for (const Code& code : codes::all_codes()) {
        if (code.letter != letter || std::abs(code.number_tenths - number * 10) > 1e-6) continue;
        if (!(code.systems & wanted)) continue;
        out += (out.empty() ? "" : "\n") + code_text(code);
    }
    return out;
}

std::string letter_text(const codes::Letter& letter) {
    return said("{}  {}\n\n{}\n\nSource: {}\n", letter.letter, letter.title, letter.text, letter.source);
}

std::string check_text(const checks::Check& check) {
    return said("{}  {} ({}, {})\n\n{}\n\nTo switch it off for a block: {}\n", check.id, check.title,
                checks::family_title(check.family), translated(severity_name(check.severity)),
                check.documentation, checks::allowance_note(check.id));
}

/// Notes of our own form.
constexpr std::pair<std::string_view, TableText> notes[] = {
    {"STOCK",
     "STOCK  Note that tells what is held\n\n(STOCK D60. L120. FACE 1.5 BORE 20. JAW Z-80. D180. TAIL Z2. "
     "D12. MATERIAL P) in the head of a program: diameter, length, how far the raw face stands in front of "
     "Z0, bore, jaws, tailstock, material. Only D and L must be there.\n"},
    {"TURNWRIGHT",
     "TURNWRIGHT  Note that silences a check\n\n(TURNWRIGHT: ACCEPT feed_missing) for its block, alone "
     "on its line also for the next one; (TURNWRIGHT: ACCEPT IN FILE feed_missing) above the first tool "
     "call for the whole file.\n"},
};

std::string id_of(std::string_view word) {
    std::string id(word);
    for (char& c : id)
        c = c == '-' || c == ' ' ? '_' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return id;
}

std::string held_of(std::string_view word) {
    std::string held(word);
    std::erase(held, ' ');
    for (char& c : held) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    return held;
}

/// "G7l" -> "G71", "GO" -> "G0"; empty when it is no word then either.
std::string with_digits(std::string held) {
    if (held.size() < 2) return {};
    for (std::size_t i = 1; i < held.size(); ++i) {
        char& c = held[i];
        if (c == 'O') c = '0';
        if (c == 'L' || c == 'I') c = '1';
        if (c != '.' && !std::isdigit(static_cast<unsigned char>(c))) return {};
    }
    return explain_word(held, {}).empty() ? "" : held;
}

std::string term_text(const codes::Term& term) {
    return fmt::format("{}{}\n\n{}\n", term.name, term.also.empty() ? "" : fmt::format(" ({})", term.also),
                       term.text);
}

} // namespace

namespace {

/// A thread's sizes by its name; empty where it is none.
std::string thread_text(std::string_view word) {
    const auto size = motion::thread_size(word);
    if (!size) return {};
    const auto both = [](double mm) {
        return fmt::format("{} mm ({} in)", features::plain(mm, 3),
                           features::plain(mm / motion::mm_per_inch, 4));
    };
    return said("{}  Thread{}\n\nLead {}, diameter {}. Outside: root {}, height {} on radius. Inside: hole "
                "{}.\n\nThe blocks for it: turnwright calculate thread {} LENGTH ...\n",
                word, motion::is_left_hand(word) ? said(", left-hand") : "",
                both(size->pitch_mm * motion::starts_of(word)), both(size->major_mm),
                both(size->minor_outside_mm), both(size->depth_outside_mm), both(size->minor_inside_mm),
                word);
}

bool is_word_of_block(std::string_view token) {
    return token.size() > 1 && std::isalpha(static_cast<unsigned char>(token[0])) &&
           token.find_first_not_of("0123456789.+-#[]*/", 1) == token.npos;
}

/// "G71 U2. R1.": what the block does, with nothing known of what stands above it.
std::string block_text(std::string_view text, std::optional<System> system) {
    std::istringstream words{std::string(text)};
    std::size_t count = 0;
    for (std::string token; words >> token; ++count)
        if (!is_word_of_block(token)) return {};
    if (count < 2) return {};
    auto shop = std::make_shared<shop::Shop>(shop::default_shop());
    if (system) shop->machines.front().system = *system;
    features::Document document(std::string(text) + "\n", std::move(shop));
    document.evaluate();
    std::string told;
    for (const ToldSequence& sequence : tell(document).sequences)
        for (const ToldBlock& block : sequence.blocks) told += block.text;
    if (told.empty()) return {};
    return said("{}  Block, with nothing known of what stands above it\n\n{}\n\nIn a program: turnwright "
                "tell PROGRAM --line NUMBER\n",
                text, told);
}

} // namespace

std::string explain_word(std::string_view word, std::optional<System> system) {
    if (const checks::Check* check = checks::find_check(id_of(word))) return check_text(*check);
    if (id_of(word) == "shop_file")
        return said(
            "shop_file  What is wrong in a shop file or a file beside a program\n\nA key or a value that "
            "is not "
            "known there: it is not taken, and what it was to tell stays unknown. docs/shop-file.md has "
            "every "
            "key, docs/stock.md those of the file beside a program.\n");
    const std::string held = held_of(word);
    if (held.empty()) return {};
    const codes::Term* term = codes::find_term(word);
    for (const auto& [name, text] : notes)
        if (name == held || (name == "TURNWRIGHT" && held == "ACCEPT"))
            return (term ? term_text(*term) + "\n" : "") + std::string(text);
    // A name such as taper is a calculator's too.
    const calculate::Calculator* calculator = calculate::find(word);
    std::string own = term ? term_text(*term) : std::string();
    if (calculator)
        own += (own.empty() ? "" : "\n") + calculate_alone(calculator->name, {}).text +
               said("\nIn a terminal: turnwright calculate {} ...\n", calculator->name);
    if (!own.empty()) return own;
    if (std::string block = block_text(word, system); !block.empty()) return block;
    if (const std::string text = features::macro_word_text(held); !text.empty()) return text + "\n";
    const char letter = held[0];
    if (held.size() == 1 || letter == ':') {
        const codes::Letter* row = codes::letter(letter == ':' ? 'O' : letter);
        return row ? letter_text(*row) : std::string();
    }
    double number = 0;
    const char* end = held.data() + held.size();
    const auto [at, failed] = std::from_chars(held.data() + 1, end, number, std::chars_format::fixed);
    if (failed != std::errc() || at != end || number < 0) return thread_text(word);
    if (letter == 'G' || letter == 'M') return code_rows(letter, number, system);
    const codes::Letter* row = codes::letter(letter);
    return row ? letter_text(*row) : std::string();
}

std::string nearest_to_explain(std::string_view word) {
    const std::string id = id_of(word), held = held_of(word);
    std::vector<std::string_view> known;
    std::string parts;
    for (const codes::Term& term : codes::glossary()) known.push_back(term.name);
    for (const checks::Check* check : checks::all_checks()) {
        known.push_back(check->id);
        if (id.size() > 3 && check->id.find(id) != check->id.npos)
            parts += (parts.empty() ? "" : ", ") + std::string(check->id);
    }
    if (!parts.empty()) return said("checks with that in their name: ") + parts;
    if (const std::string word_meant = with_digits(held); !word_meant.empty())
        return said("did you mean ") + word_meant + "?";
    if (held.size() < 3) return {};
    for (const std::string_view word_of_macros : features::macro_words()) known.push_back(word_of_macros);
    for (const auto& [name, text] : notes) known.push_back(name);
    // Whatever the case, and with _ or a blank: each as an id is written.
    std::vector<std::string> alike;
    alike.reserve(known.size());
    for (const std::string_view name : known) alike.push_back(id_of(name));
    const std::vector<std::string_view> seen(alike.begin(), alike.end());
    const std::string_view near = shop::nearest(id, seen);
    if (near.empty()) return {};
    const auto at = static_cast<std::size_t>(std::find(seen.begin(), seen.end(), near) - seen.begin());
    return said("did you mean ") + std::string(known[at]) + "?";
}

} // namespace turnwright::report
