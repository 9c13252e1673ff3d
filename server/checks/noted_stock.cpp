// What a note says the part is made from: "MATERIAL 2.5 DIA 4140", "STOCK 60X120", ".75 DIAMETER BRASS".
#include "checks/noted_tool.h"

#include "checks/head_stock.h"
#include "checks/kept_by_note.h"
#include "checks/named_tool.h"
#include "checks/noted_words.h"

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <utility>

namespace turnwright::checks {

namespace {

/// What a word of such a note is for.
enum class Use : std::uint8_t {
    bar,  ///< Speaks of stock; a number alone behind it is the diameter
    tube, ///< The second size is a bore and no length
    ring, ///< The same beside a word for stock or material; alone it is what the part is called
    stock,
    other_section, ///< Its size is no diameter
    diameter,
    length,
    wall, ///< Of a tube's second size
    bore,
    tool, ///< Tools have bars, too, and round inserts
    material,
    unit,
    bar_work, ///< "BAR STOP", "STOCK REMOVAL": of what is done with it
    lying,    ///< "BAR 60 OUT", "BAR .05 OVER FACE": where it ends
    filler,   ///< Beside sizes and names, in a note that speaks of stock alone
    outer,    ///< Between "diameter" and its size: "DIAM. EXT. EN BRUTO 166"
    bored,    ///< A bore's size follows
    sawn,     ///< Told of a length: the stock's, and not the part's
    drawn,    ///< Fillers that only bars are called
    grade,    ///< Steels and alloys named by digits alone, as 4711, the number of a part, is not
};
struct WordRow {
    Use use;
    std::size_t front; ///< From so many letters on, words that only begin so count too; 0: none
    std::string_view words;
};
/// English, German, Spanish, French and Italian shops: common practice, no source. Grades from memory: AISI,
/// EN 573.
constexpr WordRow words_of_stock[] = {
    {Use::bar, 0,
     "BAR ROUND RD RND ROD STANGE STANGENMATERIAL RUND RUNDSTAHL RUNDMATERIAL BARRE BARRA TONDO TONDA ROND "
     "RUNDSTANGE REDONDO REDONDA"},
    {Use::tube, 0, "TUBE TUBING ROHR TUBO PIPE TUYAU RINGMATERIAL ROHRMATERIAL ROHRABSCHNITT"},
    {Use::ring, 0, "RING ANILLO ANNEAU ANELLO"},
    {Use::stock, 0,
     "MATERIAL MAT MATL MATL. MTL STK MAT'L STOCK BARSTOCK BLANK FORGING CASTING DISC DISQUE DISCO SCHEIBE "
     "RONDE "
     "SLUG "
     "BILLET ROHTEIL ROHLING ROHMASS "
     "HALBZEUG AUSGANGSMATERIAL ABSCHNITT SAEGEABSCHNITT SAGEABSCHNITT SCHMIEDETEIL GUSSTEIL WERKSTOFF "
     "MATIERE BRUT FLAN LOPIN DEBIT MATERIALE GREZZO "
     "MATERIA SPEZZONE BRUTO TOCHO FORJADO FORJA FORGIATO FORGE"},
    {Use::other_section, 0, "HEX HEXAGON SQUARE FLAT SECHSKANT VIERKANT AF A/F SW"},
    {Use::diameter, 0,
     "DIA DIA. DIAM DIAM. DIAMETER D OD O.D DURCHMESSER DURCHM DURCHM. DIAMETRE DIAMETRO DM AD"},
    {Use::length, 0,
     "LONG LG LANG LAENGE LANGE LENGTH LONGUEUR LARGO LUNGO LUNGHEZZA LONGITUD SAEGELAENGE SAGELANGE "
     "ZUSCHNITTLAENGE ZUSCHNITTLANGE ROHLAENGE ROHLANGE"},
    {Use::wall, 0, "WALL WAND PARED PAROI PARETE"},
    {Use::bore, 0, "ID I.D DI INNEN INT"},
    {Use::tool, 4, "CARBIDE INSERT MANDRINA D'ALES ALES BAREN PLAQUETTE"},
    {Use::material, 5,
     "BRASS BRONZE STEEL STAINLESS ALUMIN ALU TITAN COPPER NYLON ACETAL POM PVC PEEK CAST IRON CRS "
     "HRS "
     "ALI CU-ETP CU-OF PTFE DURAL STAHL MESSING KUPFER EDELSTAHL GUSS GRAUGUSS ACIER LAITON INOX FONTE ACERO "
     "SST CRES LATON BRONCE MILD "
     "FUNDICION ACCIAIO OTTONE BRONZO GHISA"},
    {Use::unit, 0, "MM IN IN. INCH PO POUCE POUCES ZOLL PULGADA PULGADAS POLLICE POLLICI"},
    {Use::bar_work, 0,
     "REMOVAL ALLOWANCE LEFT STOP STOPS PULLER FEED OUT TO END ADVANCE FEEDER LOAD CHANGE REMAINING TURN "
     "TURNING "
     "DREHEN BOHREN VORSCHUB ANSCHLAG NACHSCHUB"},
    {Use::lying, 0,
     "OUT OVER ON FROM LEFT PAST PROUD STICKING PROTRUDING EDGES CORNERS PER PIECES PCS PARTS"},
    {Use::filler, 0,
     ", & X HT PH HEAT DE OF SIZE COLD ROLLED TURNED POLISHED AISI SAE DIN BLACK BRIGHT FROM USE RAW DOM SS "
     "PREHARD "
     "CUT AL CU H8 H9 H10 H11 BLANK GEZOGEN BLANKE ETIRE PRIMA CALIBRADO CALIBRE TRAFILATO "
     "AUS FUTTERTEIL STANGENTEIL"},
    {Use::drawn, 0, "DRAWN GROUND TGP SAW SAWN"},
    {Use::outer, 0, "EXT EXT. EXTERIOR EXTERIEUR ESTERNO AUSSEN OUTER OUTSIDE EN"},
    {Use::bored, 0,
     "VORGEBOHRT VORGEGOSSEN PREDRILLED PRE-DRILLED CORED PERCE PREFORATO FORATO PRETALADRADO"},
    {Use::sawn, 0,
     "SAWED SAWN SAW CUT GESAEGT GESAGT ABGESAGT SCIE CORTADO TAGLIATO SEGATO "
     "SAEGELAENGE SAGELANGE ZUSCHNITTLAENGE ZUSCHNITTLANGE ROHLAENGE ROHLANGE"},
    {Use::grade, 0,
     "1018 1020 1045 1117 1144 1215 4130 4140 4142 4340 8620 5052 6061 6082 2011 2024 7075 303 304 316 410 "
     "416 "
     "420 440 17-4 15-5 304L 316L S300PB S235 S235JR S275 S355J2 S355 F114 F1140"},
};
bool is(Use use, std::string_view word) {
    if (word.empty()) return false;
    for (const WordRow& row : words_of_stock) {
        if (row.use != use) continue;
        for (std::string_view left = row.words; !left.empty();) {
            const std::string_view one = left.substr(0, left.find(' '));
            if (word == one || (row.front > 0 && one.size() >= row.front && word.starts_with(one)))
                return true;
            left.remove_prefix(std::min(left.size(), one.size() + 1));
        }
    }
    return false;
}
bool is_stock_word(std::string_view word) {
    return is(Use::bar, word) || is(Use::tube, word) || is(Use::stock, word) || word.ends_with("ROHTEIL") ||
           word.ends_with("ROHLING");
}

/// "4140", "304", "12L14", "42CRMO4", "6061-T6", "C45".
bool is_grade(std::string_view word) {
    if (word.empty() ||
        !std::all_of(word.begin(), word.end(), [](unsigned char c) { return std::isalnum(c) || c == '-'; }))
        return false;
    if (word == "17-4" || word == "17-4PH" || word == "15-5" || word == "15-5PH" || word == "13-8")
        return true;
    const bool chromium = word[0] == 'X' && word.find("CR") != std::string_view::npos; // X5CRNI18-10
    if (word.size() > 1 && !chromium && std::string_view("XZTNHL").find(word[0]) != std::string_view::npos &&
        !std::isalpha(static_cast<unsigned char>(word[1])))
        return false; // A word of the program, or a fit
    // "BAR LOOP BY M99", "G96": codes, but for the high speed steels that are sold as bars.
    const bool may_be_code = (word[0] == 'M' || word[0] == 'G') && word.size() > 1 &&
                             std::all_of(word.begin() + 1, word.end(), is_digit);
    if (may_be_code && word != "M35" && word != "M42" && word != "M50") return false;
    if (word.starts_with("EN") && word.size() > 2 && is_digit(word[2])) return true;
    const auto digits = std::count_if(word.begin(), word.end(), is_digit);
    const auto letters =
        std::count_if(word.begin(), word.end(), [](unsigned char c) { return std::isalpha(c); });
    if (letters == 0) return digits == 4 || (digits == 3 && (word[0] == '3' || word[0] == '4'));
    return digits >= 2 && word.size() >= 3 && word.size() <= 12 && !word.ends_with("MM") &&
           !word.ends_with("IN") && (chromium || word.find('X', 1) == std::string_view::npos);
}

/// Works by their numbers: "1.4301".
bool is_numbered_steel(std::string_view word, bool in_mm) {
    return in_mm && word.size() == 6 && (word[0] == '1' || word[0] == '2') && word[1] == '.' &&
           std::all_of(word.begin() + 2, word.end(), is_digit);
}
/// "D60", "DIA2.5".
std::string_view without_d(std::string_view word) {
    for (const std::string_view front : {"DIA", "DM", "RD", "OD", "AD", "D"})
        if (word.size() > front.size() && word.starts_with(front) &&
            (is_digit(word[front.size()]) || word[front.size()] == '.'))
            return word.substr(front.size());
    return word;
}

/// "CUZN39PB3", "ALMG4.5MN": chemical symbols in front, as EN 1412 and EN 573 put them (from memory).
bool is_alloy(std::string_view word) {
    for (const std::string_view front :
         {"CUZN", "CUSN", "CUAL", "CUNI", "CUCR", "ALMG", "ALSI", "ALCU", "ALZN"})
        if (word.starts_with(front)) return true;
    return false;
}

/// A grade that stands for the material with no word beside it: "42CRMO4", "C45", "GG25"; not "OP10", "D50".
bool is_sure_grade(std::string_view word) {
    if (word.empty()) return false;
    const bool starts = is_digit(word[0]) || word.starts_with("CK") || word.starts_with("GG") ||
                        word.starts_with("EN") || word.starts_with("XC") || is_alloy(word) ||
                        (word[0] == 'X' && word.size() > 1 && is_digit(word[1])) ||
                        (word.size() > 1 && word[0] == 'C' && is_digit(word[1]));
    return starts && is_grade(word) && !plain_number(word);
}

// Common practice, no source.
constexpr double thinnest_bar_mm = 8, least_height_mm = 15;

class StockReader {
public:
    StockReader(const NotedWords& note, std::optional<double> mm_per_unit)
        : note_(note), mm_per_unit_(mm_per_unit) {}

    NotedStock read() {
        const bool ring = is_ring();
        const bool by_word =
            !note_.words.empty() && (is_stock_word(note_.at(0)) || (ring && is(Use::ring, note_.at(0))));
        const bool later = is_stock_word(note_.at(1)) || is_stock_word(note_.at(2));
        if (by_word && is(Use::bar_work, note_.at(1))) return {};
        for (const std::string& word : note_.words) {
            if (is(Use::other_section, word) || is(Use::tool, word)) return {};
            tube_ = tube_ || is(Use::tube, word) || ring;
        }
        if (is(Use::bore, note_.at(0))) return {};
        // "PIPE OD 60 ID 40"; but "PIPE FLANGE 140 DIA", "PIPE THREAD 1/2"
        const bool pipe = std::any_of(note_.words.begin(), note_.words.end(), [](std::string_view word) {
            return word == "PIPE" || word == "TUYAU";
        });
        if (pipe && !speaks_of_stock_alone()) return {};
        // "ALU 1.625": a whole number may be a grade.
        if (note_.size() == 2 && is(Use::material, note_.at(0)) && !is_grade(note_.at(1)) &&
            note_.at(1).find_first_of("./") < note_.at(1).size() &&
            !is_numbered_steel(note_.at(1), mm_per_unit_ && *mm_per_unit_ == 1)) {
            stock_.diameter_mm = length(note_.at(1), {});
            stock_.material = note_.at(0);
            return stock_;
        }
        const bool by_grade = is_sure_grade(note_.at(0));
        std::size_t at = by_word ? 1 : 0;
        // BAR STOCK, ROUND BAR
        while (by_word && (is_stock_word(note_.at(at)) || (ring && is(Use::ring, note_.at(at))))) ++at;
        bool named_diameter = false, beside_word = false;
        for (; at < note_.size() && !ends_at(at); ++at) {
            const std::size_t from = at;
            const bool had = stock_.diameter_mm.has_value();
            named_diameter |= take(at);
            if (had || !stock_.diameter_mm) continue;
            const bool bar_behind = is(Use::bar, note_.at(at + 1)) && !is(Use::bar_work, note_.at(at + 2));
            beside_word = bar_behind || (from > 0 && is_stock_word(note_.at(from - 1)));
            // "TUBE 60 X 40 X 100"
            std::size_t x = at + 1;
            while (!stock_.length_mm && (is(Use::unit, note_.at(x)) ? note_.at(x + 1) : note_.at(x)) == "X") {
                if (note_.at(x) != "X") ++x;
                take_second(x + 1);
                x += 2;
                if (!tube_) break;
            }
        }
        if (!stock_.diameter_mm && !stock_.material.empty() && names_bar() && speaks_of_stock_alone())
            take_only_size();
        if (!stock_.diameter_mm && !stock_.length_mm && !stock_.material.empty() && by_word &&
            speaks_of_stock_alone())
            take_written_size();
        if (stock_.diameter_mm && !stock_.material.empty() && names_bar() && speaks_of_stock_alone())
            return stock_;
        // Without a word for stock only a diameter with a material is one.
        const bool by_material =
            named_diameter &&
            (has_name_ || by_grade || (later && !stock_.material.empty()) || speaks_of_stock_alone());
        if (!by_word && !beside_word && !by_material) return {};
        return stock_;
    }

    /// "60 DIA C45 BAR", "DIA60 C45": each word is a size or a name of stock or material.
    bool speaks_of_stock_alone() const {
        bool names = false;
        for (std::size_t i = 0; i < note_.size(); ++i) {
            const std::string_view word = note_.at(i);
            const bool is_name = is_stock_word(word) || is(Use::material, word) || is_sure_grade(word) ||
                                 is(Use::grade, word) || is(Use::drawn, word) || is(Use::sawn, word);
            names = names || (is_name && !is(Use::filler, word)) || word.starts_with("RD");
            if (is_name || is(Use::filler, word) || is(Use::diameter, word) || is(Use::length, word) ||
                is(Use::wall, word) || is(Use::bore, word) || is(Use::unit, word))
                continue;
            std::string_view rest = without_d(word);
            if (rest.size() > 1 && rest[0] == 'L') rest.remove_prefix(1);
            const std::size_t by = rest.find('X');
            if (!size_in(rest.substr(0, by), {}) ||
                (by != std::string_view::npos && !size_in(rest.substr(by + 1), {})))
                return false;
        }
        return names;
    }
    /// "RING 60X40X30 16MNCR5", "RING BLANK 60 X 40": alone it is what the part is called.
    bool is_ring() const {
        bool ring = false, stock = false;
        for (const std::string_view word : note_.words) {
            const bool names = is_stock_word(word) || is(Use::material, word) || is(Use::grade, word) ||
                               is_sure_grade(word) || (is_grade(word) && !plain_number(word));
            ring = ring || is(Use::ring, word);
            stock = stock || names;
            if (names || is(Use::ring, word) || is(Use::filler, word) || is(Use::diameter, word) ||
                is(Use::length, word) || is(Use::bore, word) || is(Use::unit, word))
                continue;
            for (std::string_view rest = without_d(word); !rest.empty();) {
                const std::size_t by = std::min(rest.find('X'), rest.size());
                if (!size_in(rest.substr(0, by))) return false;
                rest.remove_prefix(std::min(by + 1, rest.size()));
            }
        }
        return ring && stock;
    }

private:
    std::optional<double> length(std::string_view word, std::string_view next) const {
        const auto size = size_in(word, next);
        if (!size) return std::nullopt;
        const auto mm = size->mm(mm_per_unit_);
        return mm && *mm >= 1 && *mm <= 3000 ? mm : std::nullopt;
    }

    /// At a comma, but for one behind which the diameter stands: "STOCK: 6082, DIA 40".
    bool ends_at(std::size_t at) const {
        return note_.at(at) == "," && (stock_.diameter_mm || !is(Use::diameter, note_.at(at + 1)));
    }
    /// Behind X: a length, of a tube its bore or wall.
    void take_second(std::size_t at, std::string_view number = {}) {
        const std::string_view next = note_.at(at + 1);
        const auto mm = length(number.empty() ? note_.at(at) : number, next);
        if (tube_ && mm && has_second_) {
            stock_.length_mm = mm; // Behind bore or wall
            return;
        }
        has_second_ = true;
        if (tube_ && mm && stock_.diameter_mm && (is(Use::wall, next) || is(Use::wall, note_.at(at + 2)))) {
            if (2 * *mm < *stock_.diameter_mm) stock_.bore_mm = *stock_.diameter_mm - 2 * *mm;
        } else if (tube_ && mm && stock_.diameter_mm && !is(Use::bore, next)) {
            // "ROHR 60 X 5": no tube has so small a bore, nor another so thick a wall. Between them it is
            // either: common practice, no source.
            constexpr double thickest_wall = 0.3, smallest_bore = 0.4;
            if (*mm <= thickest_wall * *stock_.diameter_mm)
                stock_.bore_mm = *stock_.diameter_mm - 2 * *mm;
            else if (*mm >= smallest_bore * *stock_.diameter_mm)
                stock_.bore_mm = mm;
        } else {
            (tube_ || is(Use::bore, next) ? stock_.bore_mm : stock_.length_mm) = mm;
        }
    }
    bool names_bar() const {
        return std::any_of(note_.words.begin(), note_.words.end(),
                           [](std::string_view word) { return is(Use::bar, word); });
    }
    /// ".75 BRASS ROD": the one size of a bar.
    void take_only_size() {
        std::optional<double> only;
        for (std::size_t i = 0; i < note_.size(); ++i) {
            const std::string_view word = note_.at(i);
            const bool steel = is_grade(word) || is_numbered_steel(word, mm_per_unit_ && *mm_per_unit_ == 1);
            const auto mm = steel ? std::nullopt : length(word, note_.at(i + 1));
            if (mm && only) return;
            if (mm) only = mm;
        }
        stock_.diameter_mm = only;
    }
    /// "STOCK 5MM BRASS", "MTL 303 SS .625": the one size, written so that it is no name of a steel.
    void take_written_size() {
        std::optional<double> only;
        for (std::size_t i = 1; i < note_.size(); ++i) {
            const std::string_view word = note_.at(i);
            const auto size = size_in(word, note_.at(i + 1));
            const std::size_t point = word.find('.');
            constexpr std::size_t most_decimals = 3; // 1.4301 is a steel
            const bool written =
                size && (size->unit != Size::Unit::none ||
                         (point != std::string_view::npos && word.size() - point - 1 <= most_decimals));
            const auto mm = written ? size->mm(mm_per_unit_) : std::nullopt;
            if (!mm) continue;
            if (only) return;
            only = mm;
        }
        constexpr double thinnest_mm = 3;
        if (only && *only >= thinnest_mm && *only <= 3000) stock_.diameter_mm = only;
    }
    /// True where the word is called a diameter.
    bool take(std::size_t& at) {
        const std::string_view word = note_.at(at), next = note_.at(at + 1);
        if (is(Use::diameter, word)) {
            std::size_t size_at = at + 1;
            while (is(Use::outer, note_.at(size_at)) || is(Use::stock, note_.at(size_at))) ++size_at;
            if (size_at > at + 1 && is_stock_word(note_.at(size_at - 1)) && !stock_.diameter_mm) {
                stock_.diameter_mm = length(note_.at(size_at), note_.at(size_at + 1));
                has_name_ = has_name_ || stock_.diameter_mm;
                at = size_at - (stock_.diameter_mm ? 0 : 1);
                return stock_.diameter_mm.has_value();
            }
            if (const auto mm = length(next, note_.at(at + 2)); mm && !stock_.diameter_mm) {
                stock_.diameter_mm = mm;
                ++at;
                return true;
            }
            return false;
        }
        if (is(Use::length, word) && !stock_.length_mm) {
            std::size_t size_at = at + 1; // "LONGUEUR DEBIT 88"
            while (is(Use::stock, note_.at(size_at)) || is(Use::sawn, note_.at(size_at)) ||
                   is(Use::filler, note_.at(size_at)))
                ++size_at;
            if (const auto mm = length(note_.at(size_at), note_.at(size_at + 1))) {
                stock_.length_mm = mm;
                at = size_at;
            }
            return false;
        }
        // "ROHR 85/55"
        if (const std::size_t by = word.find('/');
            tube_ && !stock_.diameter_mm && by != std::string_view::npos && by > 0) {
            const auto outer = length(without_d(word.substr(0, by)), {}),
                       bore = length(word.substr(by + 1), next);
            if (outer && bore && *bore < *outer) {
                stock_.diameter_mm = outer;
                stock_.bore_mm = bore;
                return false;
            }
        }
        if (const std::size_t by = word.find('X');
            by != std::string_view::npos && by > 0 && by + 1 < word.size()) {
            const std::size_t by_third = tube_ ? word.find('X', by + 1) : std::string_view::npos;
            const auto first = length(without_d(word.substr(0, by)), {});
            if (by_third != std::string_view::npos && first && !stock_.diameter_mm) { // "60X40X100"
                stock_.diameter_mm = first;
                take_second(at, word.substr(by + 1, by_third - by - 1));
                take_second(at, word.substr(by_third + 1));
                return without_d(word) != word;
            }
            const auto second = length(word.substr(by + 1), next);
            if (!first || !second || stock_.diameter_mm) return false;
            const bool named = without_d(word) != word;
            stock_.diameter_mm = first;
            take_second(at, word.substr(by + 1));
            return named;
        }
        if (std::string_view bare = without_d(word); bare != word) {
            // "D.40": of 0.4 mm nobody turns anything.
            if (bare[0] == '.' && mm_per_unit_ && *mm_per_unit_ == 1) bare.remove_prefix(1);
            if (const auto mm = length(bare, next); mm && !stock_.diameter_mm) {
                stock_.diameter_mm = mm;
                return true;
            }
        }
        // "BRONZE BAR 4-1/8 OD CORED 2-1/2"
        if (is(Use::bored, word) && stock_.diameter_mm && !stock_.bore_mm) {
            const auto bore = length(without_d(next), note_.at(at + 2));
            if (bore && *bore < *stock_.diameter_mm) {
                stock_.bore_mm = bore;
                ++at;
            }
            return false;
        }
        // "TUBE OD 60 ID 40"
        if (tube_ && is(Use::bore, word) && !stock_.bore_mm) {
            stock_.bore_mm = length(without_d(next), note_.at(at + 2));
            at += stock_.bore_mm ? 1 : 0;
            return false;
        }
        const bool of_matl = at > 0 && note_.at(at - 1) == "MAT"; // MAT'L
        if (word == "L" && !stock_.length_mm && !of_matl) {       // L=90
            stock_.length_mm = length(next, note_.at(at + 2));
            if (stock_.length_mm) ++at;
            return false;
        }
        if (word.size() > 1 && word[0] == 'L' && is_digit(word[1])) {
            stock_.length_mm = length(word.substr(1), next);
            return false;
        }
        // "STOCK D95 X 30 CAST RING BORE 48"
        if (word == "BORE" && is(Use::stock, note_.at(0)) && stock_.diameter_mm && !stock_.bore_mm) {
            const auto bore = length(next, note_.at(at + 2));
            if (bore && *bore < *stock_.diameter_mm) {
                stock_.bore_mm = bore;
                ++at;
            }
            return false;
        }
        const bool steel = is_numbered_steel(word, mm_per_unit_ && *mm_per_unit_ == 1);
        if (steel) {
            has_name_ = true;
            stock_.material += (stock_.material.empty() ? "" : " ") + std::string(word);
            return false;
        }
        const bool unit_behind = is(Use::unit, next);
        const std::string_view behind = unit_behind ? note_.at(at + 2) : next;
        const auto mm = length(word, next);
        if (mm && is(Use::bore, behind) && stock_.diameter_mm) {
            stock_.bore_mm = mm;
            at += unit_behind ? 2 : 1;
            return false;
        }
        if (mm && is(Use::diameter, behind)) {
            if (!stock_.diameter_mm) stock_.diameter_mm = mm;
            at += unit_behind ? 2 : 1;
            return true;
        }
        // "1.25 BAR"; a whole number in front of it, as 70 BAR, is a pressure.
        const bool in_inch = mm_per_unit_ && *mm_per_unit_ > 1;
        if (mm && is(Use::bar, behind) &&
            (unit_behind || word.ends_with("MM") || word.ends_with("IN") || word.find('/') < word.size() ||
             (in_inch && !std::all_of(word.begin(), word.end(), is_digit)))) {
            if (!stock_.diameter_mm) stock_.diameter_mm = mm;
            at += unit_behind ? 1 : 0;
            return true;
        }
        if (mm && is(Use::length, behind)) {
            stock_.length_mm = mm;
            at += unit_behind ? 2 : 1;
            return false;
        }
        if (mm && behind == "X") {
            const std::size_t other = at + (unit_behind ? 3 : 2);
            if (const auto second = length(note_.at(other), note_.at(other + 1));
                second && !stock_.diameter_mm) {
                stock_.diameter_mm = mm;
                take_second(other);
                at = other;
                return false;
            }
        }
        // "1.00 STOCK": thicker than what is left for finishing.
        if (at == 0 && mm && *mm >= thinnest_bar_mm && behind == "STOCK" &&
            word.find_first_of("./") < word.size() && speaks_of_stock_alone()) {
            stock_.diameter_mm = mm;
            has_name_ = true;
            at += unit_behind ? 1 : 0;
            return true;
        }
        // "DISC D80 H30": no fit, which is finer.
        if (word[0] == 'H' && stock_.diameter_mm && !stock_.length_mm) {
            const auto high = length(word.substr(1), next);
            if (high && *high >= least_height_mm) {
                stock_.length_mm = high;
                return false;
            }
        }
        // "BAR 40": of material 4140 the number is no size.
        const bool small = mm && !is_grade(word) && !is(Use::lying, behind);
        const bool behind_bar =
            at > 0 && (is(Use::bar, note_.at(at - 1)) ||
                       (at > 1 && note_.at(at - 1) == "DE" && is(Use::bar, note_.at(at - 2))));
        if (small && behind_bar && !stock_.diameter_mm) {
            stock_.diameter_mm = mm;
            return false;
        }
        has_name_ = has_name_ || is(Use::material, word);
        if (is(Use::material, word) || is_grade(word))
            stock_.material += (stock_.material.empty() ? "" : " ") + std::string(word);
        return false;
    }

    const NotedWords& note_;
    std::optional<double> mm_per_unit_;
    NotedStock stock_;
    bool has_name_ = false; ///< Of a material
    bool tube_ = false;
    bool has_second_ = false; ///< Behind X
};

NotedStock read_stock(std::string_view text, std::optional<double> mm_per_unit) {
    const NotedWords note = noted_words(text);
    const NamedTool named = tool_named(text);
    const bool names_tool = named.kind != NamedTool::Kind::none && named.word != "BAR";
    const StockReader reader(note, mm_per_unit);
    const bool by_word = is_stock_word(note.at(0)) && note.at(0) != "BAR";
    // "DIA 1.000 TURNED GROUND POLISHED" names no turning tool.
    if (names_tool && !by_word && !reader.speaks_of_stock_alone()) return {};
    // "T6 BAR D16", "BAR D16 R0.4" are for boring.
    if (named.kind == NamedTool::Kind::bore &&
        std::any_of(note.words.begin(), note.words.end(), [](std::string_view word) {
            return word.size() > 1 && (word[0] == 'T' || word[0] == 'R') &&
                   (is_digit(word[1]) || word[1] == '.');
        }))
        return {};
    NotedStock stock = StockReader(note, mm_per_unit).read();
    if (stock.bore_mm && stock.diameter_mm && *stock.bore_mm >= *stock.diameter_mm) stock.bore_mm.reset();
    return stock;
}

/// "HEX 1-1/2 AF", "SW27": of words for sizes and materials alone.
std::optional<double> flats_in(const NotedWords& note, std::optional<double> mm_per_unit) {
    constexpr std::string_view names[] = {"HEX",       "HEXAGON", "HEXAGONAL", "HEXAGONALE", "HEXAGONE",
                                          "SECHSKANT", "6KT",     "HEXAGONO",  "ESAGONO",    "ESAGONALE"};
    constexpr double smallest_mm = 4, largest_mm = 120;
    bool named = false, of_bar = false, by_key = false, behind_x = false;
    std::optional<double> flats;
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string_view word = note.at(i);
        if (std::find(std::begin(names), std::end(names), word) != std::end(names)) {
            named = true;
            continue;
        }
        if (word == "AF" || word == "A/F" || word == "SW" || word == "A" || word == "F" || word == ",") {
            by_key = by_key || word.size() > 1;
            continue;
        }
        if (word == "X") {
            behind_x = true;
            continue;
        }
        if (word.starts_with("SW") && word.size() > 2 && is_digit(word[2])) {
            word.remove_prefix(2);
            by_key = true;
        }
        const bool is_stock = is_stock_word(word) || is(Use::material, word) || is(Use::grade, word) ||
                              is_sure_grade(word) ||
                              (is_grade(word) && word.find('.') == std::string_view::npos);
        if (const auto size = size_in(word, note.at(i + 1)); size && !is_stock) {
            const auto mm = size->mm(mm_per_unit);
            if (!mm || (flats && !behind_x)) return std::nullopt;
            if (!flats) flats = mm;
            continue;
        }
        of_bar = of_bar || is_stock;
        if (!is_stock && !is(Use::filler, word) && !is(Use::unit, word) && !is(Use::drawn, word) &&
            !is(Use::length, word))
            return std::nullopt;
    }
    if (!flats || !(named || (by_key && of_bar)) || *flats < smallest_mm || *flats > largest_mm)
        return std::nullopt;
    return flats;
}

/// Takes the front of the text, up to what ends it: `length_at` tells how long that is, 0: nothing ends
/// there.
template <class LengthAt>
std::string_view take_front(std::string_view& text, LengthAt&& length_at) {
    for (std::size_t i = 0; i < text.size(); ++i)
        if (const std::size_t length = length_at(text, i)) {
            const std::string_view front = text.substr(0, i);
            text.remove_prefix(i + length);
            return front;
        }
    return std::exchange(text, {});
}
/// A dash, or "made from".
std::size_t dash_at(std::string_view text, std::size_t i) {
    constexpr std::string_view from = " from ";
    const std::string_view here = text.substr(i, from.size());
    const bool says_from = here.size() == from.size() &&
                           std::equal(here.begin(), here.end(), from.begin(),
                                      [](unsigned char a, char b) { return std::tolower(a) == b; });
    return here.starts_with(" - ") ? 3 : says_from ? from.size() : 0;
}
std::size_t comma_at(std::string_view text, std::size_t i) {
    const bool in_number = i > 0 && i + 1 < text.size() && is_digit(text[i - 1]) && is_digit(text[i + 1]);
    return text[i] == ';' || (text[i] == ',' && !in_number) ? 1 : 0;
}

/// The diameter of the first that has one, with its length; the first material.
void add(NotedStock& all, NotedStock&& part) {
    std::string material = all.material.empty() ? std::move(part.material) : std::move(all.material);
    if (!all.diameter_mm && (part.diameter_mm || !all.length_mm)) all = std::move(part);
    all.material = std::move(material);
}

/// Beside the diameter, in a thought of its own: "- SAWED 3.12 LONG", ", LARGO 760", ", VORGEBOHRT 30". Of a
/// bar it is the part that is so long.
void add_rest(NotedStock& stock, std::string_view text, std::optional<double> mm_per_unit) {
    const NotedWords all = noted_words(text);
    const bool of_bar = std::any_of(all.words.begin(), all.words.end(), [](std::string_view word) {
        return is(Use::bar, word) || is(Use::tube, word);
    });
    const auto read = [&](const NotedWords& note) {
        std::optional<double> size, length, bore;
        bool sawn = false;
        for (std::size_t i = 0; i < note.size(); ++i) {
            const std::string_view word = note.at(i);
            sawn = sawn || is(Use::sawn, word);
            if (is(Use::unit, word) || is(Use::filler, word) || is(Use::sawn, word) ||
                is(Use::length, word) || is(Use::bored, word))
                continue;
            const bool of_bore = i > 0 && is(Use::bored, note.at(i - 1)); // "VORGEBOHRT D46"
            const auto found = size_in(of_bore ? without_d(word) : word, note.at(i + 1));
            const auto mm = found ? found->mm(mm_per_unit) : std::nullopt;
            if (!mm || size) return; // Of something else
            size = mm;
            const bool unit_behind = is(Use::unit, note.at(i + 1));
            if ((i > 0 && is(Use::length, note.at(i - 1))) ||
                is(Use::length, note.at(i + (unit_behind ? 2 : 1))))
                length = mm;
            if (of_bore) bore = mm;
        }
        const bool of_stock = sawn || !of_bar;
        if (!stock.length_mm && of_stock && length && *length >= 1 && *length <= 3000)
            stock.length_mm = length;
        if (!stock.bore_mm && bore && *bore >= 1 && *bore < *stock.diameter_mm) stock.bore_mm = bore;
    };
    while (!text.empty()) {
        std::string_view section = take_front(text, dash_at);
        while (!section.empty()) read(noted_words(take_front(section, comma_at)));
    }
}

} // namespace

std::optional<double> flats_by_note(std::string_view text, std::optional<double> mm_per_unit) {
    while (!text.empty()) {
        std::string_view section = take_front(text, dash_at);
        while (!section.empty())
            if (const auto flats = flats_in(noted_words(take_front(section, comma_at)), mm_per_unit))
                return flats;
    }
    return std::nullopt;
}

namespace {

NotedStock read_stock_by_note(std::string_view text, std::optional<double> mm_per_unit) {
    const std::string_view whole = text;
    NotedStock stock;
    std::string alone; // "C45 - BLANK D115", "AXLE, C45, BAR DIA 45"
    const auto read = [&](std::string_view part) {
        const NotedWords words = noted_words(part);
        if (words.size() == 1 && (is(Use::material, words.at(0)) || is_sure_grade(words.at(0))))
            alone = words.at(0);
        add(stock, read_stock(part, mm_per_unit));
    };
    // "BUSH .75 X .6 - BRASS BAR .875", "PIN D20, C45 BAR D25": what the part is called stands in front.
    while (!text.empty() && !stock.diameter_mm) {
        std::string_view section = take_front(text, dash_at);
        read(section);
        while (!section.empty() && !stock.diameter_mm) read(take_front(section, comma_at));
    }
    if (stock.diameter_mm) add_rest(stock, whole, mm_per_unit);
    if (stock.diameter_mm && stock.material.empty()) stock.material = alone;
    // "RUND 50 - 11SMNPB30"
    if (stock.diameter_mm && stock.material.empty() && !text.empty()) {
        const NotedWords behind = noted_words(take_front(text, dash_at));
        if (behind.size() == 1 && (is(Use::material, behind.at(0)) || is_sure_grade(behind.at(0))))
            stock.material = behind.at(0);
    }
    // "1.25 HEX BRASS": what a hexagon is made of is told beside its flats, which are no diameter.
    if (stock.is_empty() && flats_by_note(whole, mm_per_unit)) {
        const NotedWords words = noted_words(whole);
        for (const std::string_view word : words.words)
            if (is(Use::material, word) || is(Use::grade, word) || is_sure_grade(word))
                stock.material += (stock.material.empty() ? "" : " ") + std::string(word);
    }
    return stock;
}

} // namespace

NotedStock stock_by_note(std::string_view note, std::optional<double> mm_per_unit) {
    static KeptByNote<NotedStock> kept;
    return kept.of(note, mm_per_unit, 0, [&] { return read_stock_by_note(note, mm_per_unit); });
}

} // namespace turnwright::checks
