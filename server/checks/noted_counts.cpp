// The words that notes count by: common practice, no source.
#include "checks/noted_counts.h"

#include "checks/noted_words.h"

#include <algorithm>

namespace turnwright::checks {

namespace {

constexpr std::pair<std::string_view, int> numerals[] = {
    {"TWO", 2},    {"THREE", 3},   {"FOUR", 4},    {"FIVE", 5},   {"SIX", 6},    {"SEVEN", 7}, {"EIGHT", 8},
    {"TEN", 10},   {"TWELVE", 12}, {"ZWEI", 2},    {"DREI", 3},   {"VIER", 4},   {"FUENF", 5}, {"SECHS", 6},
    {"DUE", 2},    {"TRE", 3},     {"QUATTRO", 4}, {"CINQUE", 5}, {"SEI", 6},    {"DEUX", 2},  {"TROIS", 3},
    {"QUATRE", 4}, {"CINQ", 5},    {"DOS", 2},     {"TRES", 3},   {"CUATRO", 4}, {"CINCO", 5}, {"SEIS", 6},
};
/// Of what each turn of a repeated program makes one. As a word ends: RINGNUTEN, OIL GROOVES.
constexpr std::string_view grooves[] = {"GROOVE",    "GROOVES",  "NUT",  "NUTEN",  "NUTE",   "RILLEN",
                                        "EINSTICHE", "GOLA",     "GOLE", "GORGES", "GORGE",  "RANURAS",
                                        "CANALES",   "RECESSES", "FINS", "RIPPEN", "GROEVEN"};
constexpr std::string_view pieces[] = {
    "PCS",      "PIECES",  "PIECE",   "PINS",       "PARTS",     "RINGS",     "SPACERS", "DOWELS",
    "STK",      "STUECK",  "STUCK",   "TEILE",      "RINGE",     "PEZZI",     "PIEZAS",  "OFF",
    "SCHEIBEN", "WASHERS", "BUSHES",  "NUTS",       "SCREWS",    "BOLTS",     "ANELLI",  "ANNEAUX",
    "ANILLOS",  "BAGUES",  "BUCHSEN", "DISCHI",     "DISCOS",    "RONDELLES", "BOLZEN",  "STIFTE",
    "COLLARS",  "PLUGS",   "SLEEVES", "CASQUILLOS", "ARANDELAS", "PERNI",     "DISCS",   "BUSHINGS"};

std::optional<int> counter(std::string_view word) {
    for (auto [name, number] : numerals)
        if (name == word) return number;
    if (word.empty() || word.size() > 2 || !std::all_of(word.begin(), word.end(), is_digit))
        return std::nullopt;
    const int number = std::stoi(std::string(word));
    return number >= 2 ? std::optional(number) : std::nullopt;
}

bool is_one_of(std::string_view word, std::span<const std::string_view> words, bool as_end) {
    return std::any_of(words.begin(), words.end(), [&](std::string_view one) {
        return word == one || (as_end && one.size() > 4 && word.size() > one.size() && word.ends_with(one));
    });
}

/// "3 GROOVES", "5 OIL GROOVES", "THREE RING GROOVES"; "GROOVES AT 100 200 300" counts the places.
void read_note(std::string_view note, BlockPlace place, std::vector<NotedCount>& counts) {
    const NotedWords words = noted_words(note);
    for (std::size_t i = 0; i < words.size(); ++i) {
        const bool groove = is_one_of(words.at(i), grooves, true);
        if (!groove && !is_one_of(words.at(i), pieces, false)) continue;
        for (std::size_t back = 1; back <= 2 && back <= i; ++back) {
            const std::string_view before = words.at(i - back);
            if (back == 2 && std::any_of(words.at(i - 1).begin(), words.at(i - 1).end(),
                                         [](char c) { return c < 'A' || c > 'Z'; }))
                break;
            const auto number = counter(before);
            if (!number) continue;
            // "T5 GROOVES", "DIA 3 GROOVE", "X 2 GROOVES": a size or a tool.
            const std::string_view ahead = i > back ? words.at(i - back - 1) : std::string_view();
            if (!ahead.empty() && ahead != "CON" && ahead != "MIT" && ahead != "," && ahead != "MAKES" &&
                ahead != "MAKE" && ahead.size() < 4)
                break;
            std::string text = std::string(before);
            for (std::size_t k = i - back + 1; k <= i; ++k) text += " " + std::string(words.at(k));
            counts.push_back({*number, groove, text, place, {}});
            break;
        }
        std::size_t at = i + 1;
        while (at < words.size() && at < i + 5 && words.at(at) != "AT" && words.at(at) != "BEI" &&
               words.at(at) != "BIJ")
            ++at;
        if (at >= words.size() || at == i + 5) continue;
        std::string text = std::string(words.at(i)) + " " + std::string(words.at(at));
        std::vector<double> places;
        for (++at; at < words.size(); ++at) {
            std::string_view number = words.at(at);
            if (number == "," || number == "AND" || number == "UND" || number == "EN") continue;
            while (!number.empty() && (number.front() == '-' || number.front() == 'Z'))
                number.remove_prefix(1);
            const auto size = plain_number(number);
            if (!size) break;
            places.push_back(*size);
            text += " " + std::string(words.at(at));
        }
        if (places.size() >= 2)
            counts.push_back({static_cast<int>(places.size()), true, text, place, places});
    }
}

} // namespace

std::vector<NotedCount> noted_counts(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    std::vector<NotedCount> counts;
    for (const NoteAt& note : notes_between(reader, first, last)) read_note(note.text, note.place, counts);
    return counts;
}

} // namespace turnwright::checks
