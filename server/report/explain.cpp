// What a code, a letter or a check is, from the tables that hover and the docs are made of.
#include "report/report.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

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
    return out.size() > 1 ? "systems " + out : "system " + out;
}

std::string code_text(const Code& code) {
    std::string out =
        fmt::format("{}  {} ({})\n\n{}\n", code.written(), code.title, systems_text(code.systems), code.text);
    if (code.is_modal())
        out += fmt::format("\nIt stays in force; it replaces the other codes of the group {}.\n",
                           codes::group_title(code.group()));
    if (!code.words.empty()) {
        out += "\nWords:\n";
        for (const codes::WordUse& word : code.words)
            out += fmt::format("  {}  {}{} ({})\n", word.letter, word.meaning,
                               word.required ? "; required" : "", codes::quantity_title(word.quantity));
    }
    return out + fmt::format("\nSource: {}\n", code.source);
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
    return fmt::format("{}  {}\n\n{}\n\nSource: {}\n", letter.letter, letter.title, letter.text,
                       letter.source);
}

std::string check_text(const checks::Check& check) {
    return fmt::format("{}  {} ({}, {})\n\n{}\n\nTo switch it off for a block: {}\n", check.id, check.title,
                       checks::family_title(check.family), severity_name(check.severity), check.documentation,
                       checks::allowance_note(check.id));
}

} // namespace

std::string explain_word(std::string_view word, std::optional<System> system) {
    if (const checks::Check* check = checks::find_check(word)) return check_text(*check);
    std::string held(word);
    held.erase(std::remove(held.begin(), held.end(), ' '), held.end());
    if (held.empty()) return {};
    const char letter = static_cast<char>(std::toupper(static_cast<unsigned char>(held[0])));
    if (held.size() == 1) {
        const codes::Letter* row = codes::letter(letter);
        return row ? letter_text(*row) : std::string();
    }
    double number = 0;
    const char* end = held.data() + held.size();
    const auto [at, failed] = std::from_chars(held.data() + 1, end, number, std::chars_format::fixed);
    if (failed != std::errc() || at != end || number < 0) return {};
    if (letter == 'G' || letter == 'M') return code_rows(letter, number, system);
    const codes::Letter* row = codes::letter(letter);
    return row ? letter_text(*row) : std::string();
}

} // namespace turnwright::report
