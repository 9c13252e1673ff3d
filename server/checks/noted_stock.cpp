// What a note says the part is made from: "MATERIAL 2.5 DIA 4140", "STOCK 60X120", ".75 DIAMETER BRASS".
#include "checks/noted_tool.h"

#include "checks/named_tool.h"
#include "checks/noted_words.h"

#include <algorithm>
#include <cctype>

namespace turnwright::checks {

namespace {

bool one_of(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}
/// Words behind which a note speaks of stock; of `bars` a number alone is the diameter.
bool is_bar(std::string_view word) {
    return one_of(
        word, {"BAR", "ROUND", "RD", "STANGE", "RUNDSTAHL", "BARRE", "BARRA", "TONDO", "ROND", "REDONDO"});
}
bool is_stock_word(std::string_view word) {
    return is_bar(word) ||
           one_of(word, {"MATERIAL", "MAT", "MATL", "MAT'L", "STOCK", "BARSTOCK", "BLANK", "ROHTEIL",
                         "ROHLING", "WERKSTOFF", "MATIERE", "BRUT", "MATERIALE", "GREZZO"});
}
bool is_diameter_word(std::string_view word) {
    return one_of(word, {"DIA", "DIA.", "DIAM", "DIAM.", "DIAMETER", "D", "OD", "O.D", "DURCHMESSER",
                         "DIAMETRE", "DIAMETRO", "DM"});
}

/// Names of what parts are made from, as whole words or their fronts. Common practice, no source.
bool is_material_name(std::string_view word) {
    for (const std::string_view front :
         {"BRASS",     "BRONZE",  "STEEL",  "STAINLESS", "ALUMIN", "ALU",    "TITAN",     "COPPER",
          "NYLON",     "DELRIN",  "ACETAL", "POM",       "PVC",    "PEEK",   "CAST",      "IRON",
          "CRS",       "HRS",     "STAHL",  "MESSING",   "BRONZE", "KUPFER", "EDELSTAHL", "GUSS",
          "GRAUGUSS",  "ACIER",   "LAITON", "INOX",      "FONTE",  "ACERO",  "LATON",     "BRONCE",
          "FUNDICION", "ACCIAIO", "OTTONE", "BRONZO",    "GHISA"})
        if (word == front || (front.size() >= 5 && word.starts_with(front))) return true;
    return false;
}
/// "4140", "304", "12L14", "42CRMO4", "6061-T6", "C45".
bool is_grade(std::string_view word) {
    if (!std::all_of(word.begin(), word.end(), [](unsigned char c) { return std::isalnum(c) || c == '-'; }))
        return false;
    if (word.size() > 1 && one_of(word.substr(0, 1), {"X", "Z", "T", "N"}) &&
        !std::isalpha(static_cast<unsigned char>(word[1])))
        return false; // A word of the program
    const auto digits = std::count_if(word.begin(), word.end(), is_digit);
    const auto letters =
        std::count_if(word.begin(), word.end(), [](unsigned char c) { return std::isalpha(c); });
    if (letters == 0) return digits == 4 || (digits == 3 && (word[0] == '3' || word[0] == '4'));
    return digits >= 2 && word.size() >= 3 && word.size() <= 12 && !word.ends_with("MM") &&
           !word.ends_with("IN") && word.find('X') == std::string_view::npos;
}

/// "BAR 60 OUT", "BAR .05 OVER FACE": where it ends.
bool lies_somewhere(std::string_view behind) {
    return one_of(behind, {"OUT", "OVER", "ON", "FROM", "LEFT", "PAST", "PROUD", "STICKING", "PROTRUDING",
                           "PER", "PIECES", "PCS", "PARTS"});
}

/// "D60", "DIA2.5".
std::string_view without_d(std::string_view word) {
    for (const std::string_view front : {"DIA", "DM", "D"})
        if (word.size() > front.size() && word.starts_with(front) &&
            (is_digit(word[front.size()]) || word[front.size()] == '.'))
            return word.substr(front.size());
    return word;
}

class StockReader {
public:
    StockReader(const NotedWords& note, std::optional<double> mm_per_unit)
        : note_(note), mm_per_unit_(mm_per_unit) {}

    NotedStock read() {
        const bool by_word = !note_.words.empty() && is_stock_word(note_.at(0));
        const bool later = is_stock_word(note_.at(1)) || is_stock_word(note_.at(2));
        if (by_word &&
            one_of(note_.at(1), {"REMOVAL", "ALLOWANCE", "LEFT", "STOP", "STOPS", "PULLER", "FEED", "OUT",
                                 "TO", "END", "ADVANCE", "FEEDER", "LOAD", "CHANGE", "REMAINING"}))
            return {};
        const std::size_t from = by_word ? 1 : 0;
        std::size_t at = from;
        // BAR STOCK, ROUND BAR
        while (by_word && is_stock_word(note_.at(at))) ++at;
        const bool bar = by_word && (is_bar(note_.at(0)) || (at > 1 && is_bar(note_.at(at - 1))));
        bool named_diameter = false;
        for (; at < note_.size() && note_.at(at) != ","; ++at) named_diameter |= take(at, bar);
        // Without a word for stock only a diameter with a material is one.
        if (!by_word && (!named_diameter || !(has_name_ || (later && !stock_.material.empty())))) return {};
        return stock_;
    }

private:
    std::optional<double> length(std::string_view word, std::string_view next) const {
        const auto size = size_in(word, next);
        if (!size) return std::nullopt;
        const auto mm = size->mm(mm_per_unit_);
        return mm && *mm >= 1 && *mm <= 3000 ? mm : std::nullopt;
    }

    /// True where the word is called a diameter.
    bool take(std::size_t& at, bool bar) {
        const std::string_view word = note_.at(at), next = note_.at(at + 1);
        if (is_diameter_word(word)) {
            if (const auto mm = length(next, note_.at(at + 2)); mm && !stock_.diameter_mm) {
                stock_.diameter_mm = mm;
                ++at;
                return true;
            }
            return false;
        }
        if (const std::size_t by = word.find('X');
            by != std::string_view::npos && by > 0 && by + 1 < word.size()) {
            const auto first = length(without_d(word.substr(0, by)), {}),
                       second = length(word.substr(by + 1), next);
            if (!first || !second || stock_.diameter_mm) return false;
            stock_.diameter_mm = first;
            stock_.length_mm = second;
            return false;
        }
        if (const std::string_view bare = without_d(word); bare != word)
            if (const auto mm = length(bare, next); mm && !stock_.diameter_mm) {
                stock_.diameter_mm = mm;
                if (next == "X")
                    if ((stock_.length_mm = length(note_.at(at + 2), note_.at(at + 3)))) at += 2;
                return true;
            }
        if (word.size() > 1 && word[0] == 'L' && is_digit(word[1])) {
            stock_.length_mm = length(word.substr(1), next);
            return false;
        }
        const bool unit_behind = one_of(next, {"MM", "IN", "IN.", "INCH"});
        const std::string_view behind = unit_behind ? note_.at(at + 2) : next;
        const auto mm = length(word, next);
        if (mm && is_diameter_word(behind)) {
            if (!stock_.diameter_mm) stock_.diameter_mm = mm;
            at += unit_behind ? 2 : 1;
            return true;
        }
        if (mm && one_of(behind, {"LONG", "LG", "LANG", "LENGTH"})) {
            stock_.length_mm = mm;
            at += unit_behind ? 2 : 1;
            return false;
        }
        if (mm && behind == "X") {
            const std::size_t other = at + (unit_behind ? 3 : 2);
            if (const auto second = length(note_.at(other), note_.at(other + 1));
                second && !stock_.diameter_mm) {
                stock_.diameter_mm = mm;
                stock_.length_mm = second;
                at = other;
                return false;
            }
        }
        // "BAR 40": of material 4140 the number is no size.
        const bool small = mm && !is_grade(word) && !lies_somewhere(behind);
        if (bar && small && !stock_.diameter_mm) {
            stock_.diameter_mm = mm;
            return false;
        }
        has_name_ = has_name_ || is_material_name(word);
        if (is_material_name(word) || is_grade(word))
            stock_.material += (stock_.material.empty() ? "" : " ") + std::string(word);
        return false;
    }

    const NotedWords& note_;
    std::optional<double> mm_per_unit_;
    NotedStock stock_;
    bool has_name_ = false; ///< Of a material
};

} // namespace

NotedStock stock_by_note(std::string_view text, std::optional<double> mm_per_unit) {
    const NotedWords note = noted_words(text);
    const NamedTool named = tool_named(text);
    const bool names_tool = named.kind != NamedTool::Kind::none && named.word != "BAR";
    if (names_tool && !(note.size() > 0 && is_stock_word(note.at(0)) && note.at(0) != "BAR")) return {};
    return StockReader(note, mm_per_unit).read();
}

} // namespace turnwright::checks
