#include "machine/x_reading.h"

#include "text/letters.h"

#include <algorithm>
#include <span>
#include <string>
#include <vector>

namespace turnwright::machine {
namespace {

constexpr std::string_view radius_words[] = {"RADIUS",     "RADII",  "RADIEN",  "RADIUSWERT", "RADIUSWERTE",
                                             "RADIO",      "RADIOS", "RAGGIO",  "RAGGI",      "RAYON",
                                             "HALBMESSER", "RADIAL", "RADIALI", "RADIALES",   "RADIAUX"};
/// They say how, right behind the letter, too: "QUOTE X RADIALI".
constexpr std::string_view radial_words[] = {"RADIAL", "RADIALI", "RADIALES", "RADIAUX"};
constexpr std::string_view diameter_words[] = {"DIAMETER", "DIAMETERS", "DIA",      "DURCHMESSER",
                                               "DIAMETRO", "DIAMETROS", "DIAMETRI", "DIAMETRE"};
/// What stands between X and the word: "X VALUES ARE ALL IN RADIUS".
constexpr std::string_view between_words[] = {
    "=",      ":",           "-",          "ALL",         "ALLE",  "VALUE", "VALUES", "WORD",     "WORDS",
    "WERTE",  "IS",          "ARE",        "IN",          "ON",    "AS",    "BY",     "THE",      "IM",
    "AUF",    "ALS",         "IST",        "SIND",        "EN",    "ES",    "AL",     "AU",       "SUR",
    "EST",    "SU",          "MASS",       "MASSE",       "MASZE", "WERT",  "QUOTE",  "QUOTA",    "VALORI",
    "VALORE", "VALORES",     "VALOR",      "COTAS",       "COTA",  "COTES", "COTE",   "VALEURS",  "VALEUR",
    "SIZE",   "SIZES",       "DIMENSIONS", "COORDINATES", "SONO",  "SON",   "SONT",   "SUL",      "SUI",
    "NEL",    "EL",          "LE",         "LES",         "TODAS", "TUTTE", "TOUTES", "MEASURED", "WRITTEN",
    "GIVEN",  "GESCHRIEBEN", "ESCRITAS",   "DIM",         "DIMS",  "AXIS",  "ACHSE",  "EJE",      "AXE",
    "ASSE"};
constexpr std::string_view programming_words[] = {"PROGRAM", "PROGRAMMED", "PROGRAMMING", "PROGRAMMIERUNG",
                                                  "PROGRAMMIERT"};
/// In front alone: "PROGRAMADO EN RADIOS", where "RAYON PROGRAMME" may be that of a corner.
constexpr std::string_view programs_in_words[] = {"PROGRAMA",     "PROGRAMADO",  "PROGRAMADA",
                                                  "PROGRAMACION", "PROGRAMME",   "PROGRAMMATION",
                                                  "PROGRAMMA",    "PROGRAMMATO", "PROGRAMMAZIONE"};
constexpr std::string_view values_words[] = {"VALUE", "VALUES", "WERTE", "VALORES", "VALORI", "VALEURS"};

bool is_one_of(std::string_view word, std::span<const std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// Words and numbers in capitals, the signs = and :, and a dash between words.
std::vector<std::string> words_of(std::string_view note) {
    std::vector<std::string> words;
    bool goes_on = false;
    for (const char byte : note) {
        const char c = text::upper(byte);
        const bool in_word = text::is_letter(c) || text::is_digit(c) || c == '.';
        if (in_word && goes_on)
            words.back() += c;
        else if (in_word || c == '=' || c == ':' || (c == '-' && !goes_on))
            words.emplace_back(1, c);
        goes_on = in_word;
    }
    for (std::string& word : words) // A full stop
        if (word.size() > 1 && word.back() == '.') word.pop_back();
    return words;
}

bool is_number(std::string_view word) {
    return text::is_digit(word.front()) || (word.front() == '.' && word.size() > 1);
}

/// Whether the words in front of one speak of X: "ALL X VALUES ARE".
bool speaks_of_x(std::span<const std::string> before) {
    std::size_t at = before.size();
    while (at > 0 && is_one_of(before[at - 1], between_words)) --at;
    if (at == before.size() || at == 0 || before[at - 1] != "X") return false;
    return at < 2 || !is_number(before[at - 2]);
}

} // namespace

std::optional<shop::XReading> x_reading_in(std::string_view note) {
    const std::vector<std::string> words = words_of(note);
    for (std::size_t i = 0; i < words.size(); ++i) {
        std::string_view word = words[i];
        bool programs = i + 1 < words.size() && is_one_of(words[i + 1], programming_words);
        programs =
            programs ||
            (i > 1 && is_one_of(words[i - 1], between_words) &&
             (is_one_of(words[i - 2], programming_words) || is_one_of(words[i - 2], programs_in_words)));
        // "RADIUS VALUES" and no more
        programs = programs || (words.size() == 2 && (is_one_of(words[1 - i], values_words) ||
                                                      words[1 - i] == "MODE" || words[1 - i] == "MODUS"));
        // "X RADIUS VALUES"
        const bool behind_x = i > 0 && words[i - 1] == "X" && (i < 2 || !is_number(words[i - 2]));
        programs =
            programs || (behind_x && ((i + 1 < words.size() && is_one_of(words[i + 1], values_words)) ||
                                      (is_one_of(word, radial_words) && i + 1 == words.size())));
        for (const std::string_view end :
             {std::string_view("PROGRAMMIERUNG"), std::string_view("PROGRAMMIERT")})
            if (word.ends_with(end)) {
                word.remove_suffix(end.size());
                programs = true;
            }
        const bool radius = is_one_of(word, radius_words);
        if (!radius && !is_one_of(word, diameter_words)) continue;
        if (i + 1 < words.size() && is_number(words[i + 1])) continue;
        if (programs || speaks_of_x(std::span(words).first(i)))
            return radius ? shop::XReading::radius : shop::XReading::diameter;
    }
    return std::nullopt;
}

} // namespace turnwright::machine
