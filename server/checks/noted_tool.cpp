#include "checks/noted_tool.h"

#include "checks/foreign_words.h"
#include "checks/kept_by_note.h"
#include "checks/noted_asides.h"
#include "checks/noted_insert.h"
#include "checks/noted_words.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

namespace turnwright::checks {

using shop::ToolKind;
using Words = NotedWords;

ToolKind tool_kind_of(NamedTool::Kind kind) {
    switch (kind) {
    case NamedTool::Kind::turn:
        return ToolKind::turning;
    case NamedTool::Kind::bore:
        return ToolKind::boring;
    case NamedTool::Kind::groove:
        return ToolKind::grooving;
    case NamedTool::Kind::part_off:
        return ToolKind::parting;
    case NamedTool::Kind::thread:
        return ToolKind::threading;
    case NamedTool::Kind::drill:
        return ToolKind::drill;
    case NamedTool::Kind::centre:
        return ToolKind::centre_drill;
    case NamedTool::Kind::tap:
        return ToolKind::tap;
    case NamedTool::Kind::ream:
        return ToolKind::reamer;
    case NamedTool::Kind::stop:
    case NamedTool::Kind::none:
        break;
    }
    return ToolKind::unknown;
}

namespace {

bool is_inside(std::string_view word) {
    return word == "ID" || word == "I.D" || word == "INT" || word == "INTERNAL" || word == "INSIDE" ||
           word.starts_with("INNEN") || word.starts_with("INTERIOR") || word.starts_with("INTERIEUR") ||
           word.starts_with("INTERNO") || word.starts_with("INTERNA");
}

/// Nose radii that inserts have, as mm and as the inches that people write for them (1/64 in and its
/// multiples, rounded). ISO 1832 gives the radius in tenths of a mm, or in 64ths of an inch.
std::optional<double> nose_radius_mm(double number, bool in_mm, bool in_inch) {
    constexpr double sizes_mm[] = {0.1, 0.2, 0.4, 0.8, 1.2, 1.6, 2.4};
    if (!in_inch)
        for (const double size : sizes_mm)
            if (std::abs(number - size) < 1e-6) return size;
    if (in_mm) return std::nullopt;
    for (const double parts : {0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0}) // 64ths; .004 and .008 the smallest
        if (std::abs(number - parts / 64) < 0.00066) return parts / 64 * motion::mm_per_inch;
    return std::nullopt;
}

struct AngleInNote {
    double degrees = 0;
    std::size_t behind = 0; ///< The word that follows
};
/// Of an insert: "80 DEG", "35DEG".
std::optional<AngleInNote> insert_angle_in(const Words& note) {
    for (std::size_t i = 0; i < note.size(); ++i)
        for (const auto& [angle, degrees] :
             {std::pair{std::string_view("80"), 80.0}, {"55", 55}, {"35", 35}}) {
            if (!note.at(i).starts_with(angle)) continue;
            const std::string_view rest = note.at(i).substr(angle.size());
            const bool joined = rest.starts_with("DEG");
            if (joined || (rest.empty() && note.at(i + 1).starts_with("DEG")))
                return AngleInNote{degrees, i + (joined ? 1 : 2)};
        }
    return std::nullopt;
}

/// "80 DEG .031", "35DEG 1/64".
std::optional<double> radius_behind_angle(const Words& note) {
    const auto angle = insert_angle_in(note);
    if (!angle) return std::nullopt;
    const auto size = size_in(note.at(angle->behind), note.at(angle->behind + 1));
    if (!size) return std::nullopt;
    return nose_radius_mm(size->number, size->unit == Size::Unit::mm, size->unit == Size::Unit::inch);
}

/// "TURN 0.4", "FINISH .015": the last word, right behind what the tool does.
std::optional<double> radius_at_end(const Words& note) {
    if (note.size() < 2) return std::nullopt;
    const std::string_view work = note.at(note.size() - 2), last = note.at(note.size() - 1);
    const bool turns = work.starts_with("TURN") || work.starts_with("ROUGH") || work.starts_with("FINISH");
    const auto size = turns && last.find('.') != std::string_view::npos ? size_in(last) : std::nullopt;
    return size ? nose_radius_mm(size->number, false, false) : std::nullopt;
}

bool names_nose_radius(const Words& note, std::size_t at) {
    const std::string_view word = note.at(at);
    if (word == "SPITZENRADIUS" || word == "SCHNEIDENRADIUS" || word == "ECKENRADIUS") return true;
    if (word == "RADIO" || word == "RAGGIO") return note.at(at + 1) == "PUNTA" || note.at(at + 2) == "PUNTA";
    if (word == "RAYON") return note.at(at + 1) == "BEC" || note.at(at + 2) == "BEC";
    return word == "RADIUS" && at > 0 && note.at(at - 1) == "NOSE";
}

/// "R0.8", "R.031", "TNR .015", ".031R", "0.8 RADIUS", "80 DEG .031", "TURN 0.4".
std::optional<double> radius_in(const Words& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string_view word = note.at(i), behind = note.at(i + 1);
        bool named = false;
        // "RAGGIO PUNTA 0.8", "RAYON DE BEC 0.8", "SPITZENRADIUS 0.8", "NOSE RADIUS 1.2"
        if (names_nose_radius(note, i)) {
            std::size_t size_at = i + 1;
            while (note.at(size_at) == "PUNTA" || note.at(size_at) == "DE" || note.at(size_at) == "BEC" ||
                   note.at(size_at) == "DI")
                ++size_at;
            if (const auto size = size_in(note.at(size_at), note.at(size_at + 1)))
                if (const auto radius = nose_radius_mm(size->number, size->unit == Size::Unit::mm,
                                                       size->unit == Size::Unit::inch))
                    return radius;
        }
        for (const std::string_view front : {"TNR", "NR", "RE", "R"})
            if (!named && word.starts_with(front) &&
                (word.size() == front.size() || is_digit(word[front.size()]) || word[front.size()] == '.')) {
                word.remove_prefix(front.size());
                named = true;
            }
        if (named && word.empty()) {
            word = behind;
            behind = note.at(i + 2);
        } else if (!named && word.size() > 1 && word.ends_with('R')) {
            word.remove_suffix(1);
            named = true;
        } else if (!named &&
                   (behind.starts_with("RADIUS") || behind == "RAD" || behind == "NOSE" || behind == "TNR" ||
                    behind == "N.R" || (behind == "R" && word.find('/') != std::string_view::npos))) {
            named = true;
            behind = note.at(i + 2);
        }
        if (!named || behind == "CORNER" || behind == "CORNERS" || behind == "FILLET" || behind == "BALL")
            continue;
        if (const auto size = size_in(word, behind))
            if (const auto radius = nose_radius_mm(size->number, size->unit == Size::Unit::mm,
                                                   size->unit == Size::Unit::inch))
                return radius;
    }
    const auto behind_angle = radius_behind_angle(note);
    return behind_angle ? behind_angle : radius_at_end(note);
}

bool one_of(char c, std::string_view letters) {
    return letters.find(c) != std::string_view::npos;
}

struct Insert {
    char shape = 0; ///< Its first letter
    bool round = false;
    std::optional<double> radius_mm;
};
/// An insert by its name: four letters and, in mm, length, thickness and radius by two signs each, or in
/// eighths, sixteenths and 64ths of an inch. ISO 1832.
std::optional<Insert> insert_in(const Words& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        if (word.starts_with("MGMN")) continue; // Of a blade
        if (word.size() < 4 || !one_of(word[0], "CDEHKLMOPRSTVWABF") || !one_of(word[1], "ABCDEFGNPO") ||
            !one_of(word[2], "AFCHEGJKLMNU") || !one_of(word[3], "NRFAMGWTQUBHCJX"))
            continue;
        std::string_view digits = word.substr(4);
        if (digits.empty() || digits == "-") digits = note.at(i + 1);
        if (digits.starts_with('-')) digits.remove_prefix(1);
        digits = digits.substr(0, digits.find('-'));
        while (!digits.empty() && digits.size() > 6 && !is_digit(digits.back())) digits.remove_suffix(1);
        Insert insert{word[0], word[0] == 'R', std::nullopt};
        const auto digit = [&](std::size_t at) { return is_digit(digits[at]); };
        const bool mm_name = digits.size() == 6 && digit(0) && digit(1) && (digit(2) || digits[2] == 'T') &&
                             digit(3) && digit(4) && digit(5);
        if (mm_name) {
            const double radius = (digits[4] - '0') + (digits[5] - '0') / 10.0;
            if (!insert.round && radius > 0) insert.radius_mm = radius;
            return insert;
        }
        // Of a round one behind its diameter and thickness nothing stands: "RCMT 0803", "RNMG 43".
        if (insert.round && (digits.size() == 4 || digits.size() == 2) &&
            std::all_of(digits.begin(), digits.end(), is_digit))
            return insert;
        // "432", "32.51", "21.5.5" is not taken: length, thickness (perhaps with .5), radius.
        const bool whole = digits.size() == 3 && digit(0) && digit(1) && digit(2);
        const bool half =
            digits.size() == 5 && digit(0) && digit(1) && digits.substr(2, 2) == ".5" && digit(4);
        if (whole || half) {
            const int parts = digits.back() - '0';
            if (!insert.round && parts > 0) insert.radius_mm = parts / 64.0 * motion::mm_per_inch;
            return insert;
        }
        if (word.size() != 4) continue;
        // "VNMG 0.4": behind the letters alone a number is the radius.
        const auto size = digits.find('.') < digits.size() ? size_in(digits) : std::nullopt;
        if (size && !insert.round)
            insert.radius_mm =
                nose_radius_mm(size->number, size->unit == Size::Unit::mm, size->unit == Size::Unit::inch);
        if (digits.starts_with('R') || digits.starts_with("INSERT") || digits.empty() || digits == "," ||
            insert.radius_mm)
            return insert;
    }
    return std::nullopt;
}

/// "90 DEG", "118DEG", "90 GRAD".
std::optional<double> angle_in(const Words& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string_view word = note.at(i);
        const std::size_t letters = word.find("DEG");
        const bool joined = letters != std::string_view::npos && letters > 0;
        if (joined) word = word.substr(0, letters);
        const std::string_view next = note.at(i + 1);
        if (!joined && !next.starts_with("DEG") && !next.starts_with("GRAD")) continue;
        const auto size = size_in(word);
        if (size && size->unit == Size::Unit::none && size->number >= 30 && size->number <= 180)
            return size->number;
    }
    return std::nullopt;
}

/// "25 GRADOS", "60 GRAD"
bool names_angle(std::string_view word) {
    return word.starts_with("GRAD") || word.starts_with("DEG");
}

bool counts_else(std::string_view next) {
    for (const std::string_view other :
         {"DEEP",   "LONG",   "PLACES", "PLCS", "TIMES", "X",    "HOLES", "DEG",    "TPI",  "FLUTE",
          "FLUTES", "STARTS", "OFF",    "TIEF", "LANG",  "FROM", "PAST",  "BEFORE", "OVER", "UNDER"})
        if (next == other) return true;
    return names_angle(next);
}

/// Which corner of a blade is set.
BladeCorner corner_in(const Words& note) {
    BladeCorner found = BladeCorner::unknown;
    for (std::size_t i = 0; i + 1 < note.size(); ++i) {
        const std::string_view word = note.at(i), next = note.at(i + 1);
        const auto either = [](std::string_view of, std::initializer_list<std::string_view> words) {
            return std::find(words.begin(), words.end(), of) != words.end();
        };
        const bool corner = either(next, {"CORNER", "EDGE", "ECKE", "KANTE"});
        // "ZERO ON ITS RIGHT SIDE": of the blade
        const bool its_side = next == "SIDE" && i > 0 && (note.at(i - 1) == "ITS" || note.at(i - 1) == "OFF");
        const bool before = either(word, {"BEC", "COIN", "ARETE", "FILO", "ESQUINA", "SPIGOLO", "ANGOLO"});
        // "GROOVE AT RIGHT EDGE OF FLANGE": of the part
        if ((i > 0 && either(note.at(i - 1), {"AT", "IN", "TO"})) || note.at(i + 2) == "OF") continue;
        const bool left = (corner && either(word, {"LEFT", "LINKE"})) ||
                          (before && either(next, {"GAUCHE", "IZQUIERDO", "IZQUIERDA", "SINISTRO"})) ||
                          (next == "SIDE" && either(word, {"CHUCK", "COLLET"})) ||
                          (word == "A" && next == "GAUCHE" && i > 0 && note.at(i - 1) == "PRIS") ||
                          (its_side && word == "LEFT");
        const bool right =
            (corner && either(word, {"RIGHT", "RECHTE"})) ||
            (before && either(next, {"DROIT", "DROITE", "DERECHO", "DERECHA", "DESTRO"})) ||
            (word == "A" && next == "DROITE" && i > 0 && note.at(i - 1) == "PRIS") ||
            (its_side && word == "RIGHT") ||
            (next == "SIDE" && word == "TAILSTOCK" && either(note.at(i + 2), {"CORNER", "EDGE"}));
        if (!left && !right) continue;
        const BladeCorner told = left ? BladeCorner::left : BladeCorner::right;
        if (found != BladeCorner::unknown && found != told) return BladeCorner::unknown; // Both are spoken of
        found = told;
    }
    return found;
}

/// "3 WIDE", "T05 .125 IN WIDE": nothing else is spoken of.
bool is_width_alone(const Words& note) {
    bool wide = false;
    std::size_t sizes = 0;
    for (const std::string_view word : note.words) {
        const bool station = word.size() > 1 && word[0] == 'T' && is_digit(word[1]);
        const bool names = word == "WIDE" || word == "BREIT";
        wide = wide || names;
        if (station || names || word == "MM" || word == "IN" || word == "INCH") continue;
        if (!size_in(word)) return false;
        ++sizes;
    }
    return wide && sizes == 1;
}

bool is_wide(const Words& note) {
    return std::find(note.words.begin(), note.words.end(), "WIDE") != note.words.end();
}

/// "3 WIDE", "WIDTH .125", "GROOVE .125", "PART OFF 3".
std::optional<double> width_in(const Words& note, std::size_t kind_at, std::optional<double> mm_per_unit) {
    const auto fits = [&](const std::optional<Size>& size) -> std::optional<double> {
        if (!size) return std::nullopt;
        const auto mm = size->mm(mm_per_unit);
        return mm && *mm >= 0.3 && *mm <= 16 ? mm : std::nullopt;
    };
    // "RELIEF 5 WIDE - TOOL 4 WIDE": a groove may be wider than its tool. In front it is a station: "TOOL
    // 6:".
    for (std::size_t i = 1; i + 1 < note.size(); ++i)
        if (note.at(i) == "TOOL" || note.at(i) == "BLADE" || note.at(i) == "INSERT")
            if (const auto size = size_in(note.at(i + 1), note.at(i + 2));
                size && !counts_else(note.at(i + 2)))
                if (const auto mm = fits(size)) return mm;
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const bool wide = word == "WIDE" || word == "BREIT" || word == "WIDE.";
        if (wide && i > 0) {
            const bool unit_between = note.at(i - 1) == "MM" || note.at(i - 1) == "IN";
            if (unit_between && i < 2) continue;
            return fits(unit_between ? size_in(note.at(i - 2), note.at(i - 1)) : size_in(note.at(i - 1)));
        }
        if (word.starts_with("LARG.") && word.size() > 5) return fits(size_in(word.substr(5)));
        if (word == "WIDTH" || word == "BREITE" || word == "LARGA" || word == "ANCHA" || word == "LARGEUR" ||
            word == "ANCHO" || word == "LARGHEZZA" || word == "LARGH" || word == "LARGH." || word == "LARG" ||
            word == "ANCHURA")
            return fits(size_in(note.at(i + 1), note.at(i + 2)));
    }
    // ".125W", ".094 W", "W3", "B=2.5", "B3"
    for (std::size_t i = kind_at < note.size() ? 0 : note.size(); i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const bool in_front = word.size() > 1 && (word[0] == 'W' || word[0] == 'B');
        std::optional<double> mm;
        if (word.size() > 1 && word.back() == 'W' && !counts_else(note.at(i + 1)))
            mm = fits(size_in(word.substr(0, word.size() - 1)));
        else if (in_front && plain_number(word.substr(1)))
            mm = fits(size_in(word.substr(1), note.at(i + 1)));
        else if (word == "B" || word == "W")
            mm = fits(size_in(note.at(i + 1), note.at(i + 2)));
        if (!mm && word == "W" && i > 0) mm = fits(size_in(note.at(i - 1)));
        if (mm) return mm;
    }
    for (std::size_t i = 1; i < note.size(); ++i) { // ".125 BLADE", "3 MM BLADE"
        if (note.at(i) != "BLADE") continue;
        const bool unit_between = i > 1 && (note.at(i - 1) == "MM" || note.at(i - 1) == "IN");
        if (const auto mm =
                fits(unit_between ? size_in(note.at(i - 2), note.at(i - 1)) : size_in(note.at(i - 1))))
            return mm;
    }
    // ".125 GROOVE TOOL", "3 MM GROOVER": a whole number alone counts grooves.
    if (kind_at > 0 && kind_at < note.size()) {
        const bool unit_between =
            kind_at > 1 && (note.at(kind_at - 1) == "MM" || note.at(kind_at - 1) == "IN");
        // ".125 INSIDE GROOVE"
        const std::size_t inside_between = kind_at > 1 && !unit_between && is_inside(note.at(kind_at - 1));
        const std::string_view number = note.at(kind_at - (unit_between ? 2 : 1) - inside_between);
        const auto size = unit_between ? size_in(number, note.at(kind_at - 1)) : size_in(number);
        const bool names_size =
            size && (size->unit != Size::Unit::none || number.find_first_of("./") < number.size());
        if (const auto mm = names_size ? fits(size) : std::nullopt) return mm;
    }
    std::size_t behind = kind_at + 1;
    constexpr std::string_view between[] = {"OFF", "TOOL", "BLADE", "FACE", "FRONTAL", "FRONTALE", "AXIAL"};
    const auto is_between = [&](std::string_view word) {
        return is_inside(word) ||
               std::find(std::begin(between), std::end(between), word) != std::end(between);
    };
    while (is_between(note.at(behind))) ++behind;
    const auto size = size_in(note.at(behind), note.at(behind + 1));
    std::size_t next = behind + 1;
    if (size && (note.at(next) == "MM" || note.at(next) == "IN")) ++next;
    if (!size || counts_else(note.at(next)) || note.at(next) == "DIA") return std::nullopt;
    // A whole number of inches is no width.
    return fits(size);
}

template <std::size_t Count>
bool stands_in(std::string_view word, const std::string_view (&words)[Count]) {
    return std::find(std::begin(words), std::end(words), word) != std::end(words);
}

/// What a drill is made of or how, and what joins such words: a size may stand behind them.
bool is_beside_size(std::string_view word) {
    constexpr std::string_view words[] = {
        "D",         "DIA",        "DIA.",       "DIAM",        "DM",         "O",       "HSS",
        "HSS-E",     "HSSE",       "BIT",        "TOOL",        "CARBIDE",    "COBALT",  "STUB",
        "JOBBER",    "SOLID",      "TWIST",      "INSERT",      "INSERTS",    "THRU",    "THROUGH",
        "VHM",       "HM",         "HARTMETALL", "DURCH",       "CARBURE",    "METAL",   "DURO",
        "MD",        "METALLO",    "INTEGRALE",  "INTEGRAL",    "PASANTE",    "INSERTI", "PLAQUITA",
        "PLAQUITAS", "PLAQUETTES", "HELICOIDAL", "HELICOIDALE", "ELICOIDALE", "A",       "DE",
        "DA",        "EN",         "CON",        "IN"};
    return stands_in(word, words);
}
bool is_diameter_word(std::string_view word) {
    constexpr std::string_view words[] = {"D", "DIA", "DIA.", "DIAM", "DIAM.", "DM", "DIAMETER", "O"};
    return stands_in(word, words);
}
/// "40 DEEP": its size stands in front.
bool is_depth_behind(std::string_view word) {
    constexpr std::string_view words[] = {"DEEP", "TIEF", "LONG", "LG", "LANG"};
    return stands_in(word, words);
}
/// "PROF 40": its size stands behind, else in front.
bool is_depth_word(std::string_view word) {
    constexpr std::string_view words[] = {"DEPTH", "TIEFE", "PROF", "PROF.", "LAENGE", "LENGTH"};
    return stands_in(word, words) || word.starts_with("PROFOND") || word.starts_with("PROFUND");
}
/// A hole's fit (ISO 286-1): "H7".
bool is_fit(std::string_view word) {
    return word.size() >= 2 && word.size() <= 3 && one_of(word[0], "EFGHJKMNP") && is_digit(word[1]) &&
           is_digit(word.back());
}
/// "10H7" is 10.
std::string_view without_fit(std::string_view word) {
    const std::size_t letter = word.find_first_not_of("0123456789.");
    return letter > 0 && letter < word.size() && is_fit(word.substr(letter)) ? word.substr(0, letter) : word;
}

/// One size in the note of a drill or a reamer.
struct SizeOfHole {
    std::optional<Size> size;
    bool marked = false;    ///< As a diameter: "D8.5", "8.5 DIA"
    std::size_t behind = 0; ///< The word that follows it and its unit
};
SizeOfHole size_of_hole_at(const Words& note, std::size_t at, bool with_fit) {
    SizeOfHole found;
    std::string_view word = note.at(at);
    for (const std::string_view front : {"DIA", "DM", "D"})
        if (word.size() > front.size() && word.starts_with(front) &&
            (is_digit(word[front.size()]) || word[front.size()] == '.')) {
            word.remove_prefix(front.size());
            found.marked = true;
            break;
        }
    if (with_fit) word = without_fit(word);
    found.size = size_in(word, note.at(at + 1));
    found.behind = at + 1;
    if (const std::string_view unit = note.at(at + 1);
        unit == "MM" || unit == "IN" || unit == "IN." || unit == "INCH" || unit == "ZOLL")
        ++found.behind;
    if (with_fit && is_fit(note.at(found.behind))) ++found.behind;
    found.marked = found.marked || is_diameter_word(note.at(found.behind)) ||
                   (at > 0 && is_diameter_word(note.at(at - 1)));
    return found;
}

std::optional<double> hole_mm(const Size& size, std::optional<double> mm_per_unit) {
    const bool inches = size.unit == Size::Unit::none && mm_per_unit && *mm_per_unit > 2;
    if (inches && size.number > 4) return std::nullopt; // By number, or in mm
    const auto mm = size.mm(mm_per_unit);
    return mm && *mm <= 200 ? mm : std::nullopt;
}

/// Behind the word that tells the kind, past how deep and how pointed it is: a size that is called a diameter
/// before one that stands alone. The first word that is none of these ends it.
std::optional<double> diameter_behind(const Words& note, std::size_t kind_at,
                                      std::optional<double> mm_per_unit, bool with_fit) {
    std::optional<double> alone;
    bool parted = false; // By a comma
    for (std::size_t at = kind_at + 1; at < note.size();) {
        const std::string_view word = note.at(at);
        parted = parted || word == ",";
        const SizeOfHole found = size_of_hole_at(note, at, with_fit);
        if (!found.size) {
            const bool angle = word.find("DEG") != std::string_view::npos;
            if (is_depth_word(word)) {
                const SizeOfHole depth = size_of_hole_at(note, at + 1, false);
                at = depth.size && !depth.marked ? depth.behind : at + 1;
            } else if (word == "," || angle || names_angle(word) || is_beside_size(word) ||
                       is_diameter_word(word)) {
                ++at;
            } else {
                break;
            }
            continue;
        }
        const std::string_view next = note.at(found.behind);
        if (names_angle(next)) {
            at = found.behind + 1;
            continue;
        }
        bool is_depth = !found.marked && is_depth_behind(next);
        // "BOHRER 8 TIEF 30": the word stands in front of its number as well; a hole is deeper than wide.
        if (is_depth && (next == "TIEF" || next == "LANG"))
            if (const SizeOfHole other = size_of_hole_at(note, found.behind + 1, false);
                other.size && !other.marked && !is_depth_behind(note.at(other.behind)) &&
                other.size->number > found.size->number) {
                if (!alone) alone = hole_mm(*found.size, mm_per_unit);
                at = other.behind;
                continue;
            }
        if (!found.marked && is_depth_word(next)) {
            const SizeOfHole other = size_of_hole_at(note, found.behind + 1, false);
            is_depth = !other.size || other.marked;
        }
        if (is_depth) {
            at = found.behind + 1;
            continue;
        }
        const auto mm = hole_mm(*found.size, mm_per_unit);
        if (found.marked) {
            // "DRILL, 60 DIA FLANGE": of something else
            std::size_t behind = found.behind;
            while (is_diameter_word(note.at(behind))) ++behind;
            const std::string_view rest = note.at(behind);
            const bool of_drill = rest.empty() || rest == "," || is_beside_size(rest) ||
                                  is_depth_word(rest) || size_in(rest) || rest == "X";
            return !parted || of_drill ? mm : alone;
        }
        if (counts_else(next) || parted) break;
        if (!alone) alone = mm;
        if (!alone) break;
        at = found.behind;
    }
    return alone;
}

/// Behind the word that tells the kind, else in front of it. With a fit behind the size: of a reamer.
std::optional<double> diameter_in(const Words& note, std::size_t kind_at, std::optional<double> mm_per_unit,
                                  bool with_fit) {
    if (const auto mm = diameter_behind(note, kind_at, mm_per_unit, with_fit)) return mm;
    std::size_t at = kind_at;
    constexpr std::string_view beside[] = {"MM",     "DIA",    "DIA.",   "DIAM",      "HSS",   "CARBIDE",
                                           "IN",     "INSERT", "FLAT",   "SPADE",     "TWIST", "STUB",
                                           "COBALT", "SOLID",  "JOBBER", "INDEXABLE", "SPIRAL"};
    while (at > 0 && (stands_in(note.at(at - 1), beside) || (with_fit && is_fit(note.at(at - 1))))) --at;
    if (at == 0) return std::nullopt;
    const SizeOfHole found = size_of_hole_at(note, at - 1, with_fit);
    if (!found.size || counts_else(note.at(at))) return std::nullopt;
    return hole_mm(*found.size, mm_per_unit);
}

/// "#7 DRILL", "NO.7 DRILL", "NO 7 DRILL", "LETTER F DRILL".
std::optional<double> by_number_in(const Words& note) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string_view word = note.at(i);
        if (word.starts_with('#')) return numbered_drill_mm(word.substr(1));
        for (const std::string_view front : {"NO.", "NO", "NR."})
            if (word.starts_with(front)) {
                const std::string_view rest = word.substr(front.size());
                if (!rest.empty() && is_digit(rest[0])) return numbered_drill_mm(rest);
                if (rest.empty() && !note.at(i + 1).empty() && is_digit(note.at(i + 1)[0]))
                    return numbered_drill_mm(note.at(i + 1));
            }
        if ((word == "LETTER" || word == "LTR") && note.at(i + 1).size() == 1)
            return numbered_drill_mm(note.at(i + 1));
    }
    return std::nullopt;
}

/// "F DRILL", "DRILL Q THRU", "SIZE I DRILL": of inches, where nothing else is spoken of.
std::optional<double> by_letter_in(const Words& note, std::size_t kind_at,
                                   std::optional<double> mm_per_unit) {
    // Articles; centre, spot, insert and cross drills. Behind the word signs of a diameter, too.
    constexpr std::string_view no_size = "ACISUX", no_size_behind = "ACISUXDO";
    if (!mm_per_unit || *mm_per_unit < 2 || kind_at >= note.size()) return std::nullopt;
    std::string_view letter;
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const bool station = word.size() > 1 && word[0] == 'T' && is_digit(word[1]);
        const bool is_letter = word.size() == 1 && word[0] >= 'A' && word[0] <= 'Z';
        const bool sized = i > 0 && note.at(i - 1) == "SIZE";
        const bool in_front = i + 1 == kind_at && (sized || !one_of(word[0], no_size));
        const bool behind = i == kind_at + 1 + (sized ? 1 : 0) && (sized || !one_of(word[0], no_size_behind));
        if (is_letter && letter.empty() && (in_front || behind)) {
            letter = word;
            continue;
        }
        const bool of_drill = station || i == kind_at || word == "SIZE" || word == "TAP" || word == "," ||
                              is_beside_size(word) || is_depth_word(word) || is_depth_behind(word) ||
                              names_angle(word) || size_in(word) || word.ends_with("DEG");
        if (!of_drill) return std::nullopt;
    }
    return letter.empty() ? std::nullopt : numbered_drill_mm(letter);
}

/// "NC ANBOHRER D12", "SPOT DRILL 3/8": of a spot drill, whose point alone cuts. One size more may be that of
/// the chamfer it leaves.
std::optional<double> spot_drill_in(const Words& note, std::optional<double> mm_per_unit) {
    bool spots = false, drill = false;
    std::optional<double> found;
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string_view word = note.at(i);
        spots = spots || word.starts_with("SPOT") || word.find("ANBOHR") != std::string_view::npos ||
                word.starts_with("POINT") || word.starts_with("PUNTEA");
        drill = drill || word.starts_with("DRILL") || word.starts_with("DRL") || word.ends_with("BOHRER") ||
                word == "NC" || word == "FORET" || word == "BROCA";
        if (word == "FOR" || word == "TO" || word == "FUER" || word == "FUR" || word == "POUR" ||
            word == "PARA")
            break;
        const bool marked = word.size() > 1 && word[0] == 'D' && (is_digit(word[1]) || word[1] == '.');
        if (marked) word.remove_prefix(1);
        const auto size = size_in(word, note.at(i + 1));
        const bool told = size && (marked || size->unit != Size::Unit::none);
        const std::size_t next = i + (note.at(i + 1) == "MM" || note.at(i + 1) == "IN" ? 2 : 1);
        if (!told || counts_else(note.at(next)) || is_depth_behind(note.at(next)) ||
            (i > 0 && is_depth_word(note.at(i - 1))))
            continue;
        if (found) return std::nullopt;
        found = hole_mm(*size, mm_per_unit);
    }
    constexpr double thickest_mm = 30;
    return spots && drill && found && *found <= thickest_mm ? found : std::nullopt;
}

/// "LTR F", "T04 LETTER F": nothing else is spoken of.
bool is_letter_drill_alone(const Words& note) {
    std::size_t at = 0;
    if (note.at(0).size() > 1 && note.at(0)[0] == 'T' && is_digit(note.at(0)[1])) ++at;
    return note.size() == at + 2 && (note.at(at) == "LETTER" || note.at(at) == "LTR") &&
           note.at(at + 1).size() == 1 && note.at(at + 1)[0] >= 'A' && note.at(at + 1)[0] <= 'Z';
}

/// How thick a boring bar is: "BORING BAR 16", ".75 BORING BAR", "BOHRSTANGE 25".
std::optional<double> bar_in(const Words& note, std::size_t kind_at, std::optional<double> mm_per_unit) {
    constexpr double thinnest_mm = 3, thickest_mm = 100; // A thinner one is a nose radius
    const auto fits = [&](std::optional<double> bar_mm) {
        return bar_mm && *bar_mm >= thinnest_mm && *bar_mm <= thickest_mm ? bar_mm : std::nullopt;
    };
    std::size_t at = kind_at;
    if (note.at(at) != "BAR" && note.at(at + 1) == "BAR") ++at;
    // "INNENDREHEN 16MM BOHRSTANGE", "MANDRINADO BARRA 20", "BARRE D'ALESAGE 20"
    const auto is_bar = [](std::string_view one) {
        return one == "BAR" || one == "BARRA" || one == "BARRE" || one.starts_with("BOHRSTANGE") ||
               one.starts_with("INNENDREHMEISSEL") || one.starts_with("INNENDREHSTAHL");
    };
    for (std::size_t i = 0; i < note.size() && note.at(at) != "BAR" && !is_bar(note.at(at)); ++i)
        if (is_bar(note.at(i))) kind_at = at = i;
    if (note.at(at) != "BAR" && !is_bar(note.at(at))) return std::nullopt;
    std::size_t behind = at + 1;
    constexpr std::string_view of_bar[] = {"DE",      "DI",        "DA",        "MANDRINAR", "MANDRINADO",
                                           "ALESAGE", "ALESATURA", "ALESER",    "ALESARE",   "INTERIOR",
                                           "INTERNA", "INT",       "INTERIEURE"};
    while (stands_in(note.at(behind), of_bar) ||
           (note.at(behind) == "D" && stands_in(note.at(behind + 1), of_bar)))
        ++behind;
    std::string_view word = note.at(behind);
    if (word == "D" || word == "DIA") word = note.at(++behind);
    if (word.size() > 1 && word[0] == 'D' && is_digit(word[1])) word.remove_prefix(1);
    if (const auto size = size_in(word, note.at(behind + 1)); size && !counts_else(note.at(behind + 1)))
        return fits(size->mm(mm_per_unit));
    const bool unit = kind_at > 1 && (note.at(kind_at - 1) == "MM" || note.at(kind_at - 1) == "IN");
    if (kind_at < (unit ? 2U : 1U)) return std::nullopt;
    const std::string_view front = note.at(kind_at - (unit ? 2 : 1));
    const auto size = unit ? size_in(front, note.at(kind_at - 1)) : size_in(front);
    // A whole number alone counts stations.
    const bool names_size =
        size && (size->unit != Size::Unit::none || front.find_first_of("./") < front.size());
    return names_size ? fits(size->mm(mm_per_unit)) : std::nullopt;
}

/// Italian for a drill, and elsewhere the point of a tool or a live centre: what follows tells.
ToolKind kind_of_punta(const Words& note, std::size_t at) {
    std::string_view next = note.at(at + 1);
    if (next == "DA" || next == "A" || next == "PER") next = note.at(at + 2);
    if (next.starts_with("CENTR")) return ToolKind::centre_drill;
    // "RAGGIO PUNTA 0.8", "RADIO DE PUNTA 0.8": the nose of an insert
    for (std::size_t back = 1; back <= 2 && back <= at; ++back)
        if (note.at(at - back) == "RADIO" || note.at(at - back) == "RAGGIO") return ToolKind::unknown;
    if (names_angle(note.at(at + 2))) return ToolKind::unknown; // "PLAQUITA DE PUNTA 25 GRADOS"
    if (next.starts_with('D') && next.size() > 1) next.remove_prefix(1);
    return next.starts_with("ELICOID") || next.starts_with("INSERT") || next == "HSS" || next == "D" ||
                   size_in(next)
               ? ToolKind::drill
               : ToolKind::unknown;
}

struct KindInNote {
    ToolKind kind = ToolKind::unknown;
    std::size_t at = 0;
};
/// The first word that tells one; a word for centring makes a drill a centre drill.
KindInNote kind_in(const Words& note, const NamedTool& named) {
    KindInNote found{tool_kind_of(named.kind), note.size()};
    for (std::size_t i = 0; i < note.size(); ++i)
        if (!named.word.empty() && note.at(i) == named.word) {
            found.at = i;
            break;
        }
    const bool behind_work =
        found.kind == ToolKind::drill && found.at > 0 && joins_tool(note.at(found.at - 1));
    for (std::size_t i = 0; i < std::min(note.size(), found.at) && !behind_work; ++i) {
        if (i > 0 && denies(note.at(i - 1))) continue;
        const ToolKind kind = note.at(i) == "PUNTA" ? kind_of_punta(note, i) : foreign_kind(note.at(i));
        if (kind == ToolKind::unknown) continue;
        found = {kind, i};
        break;
    }
    // A groover's name may tell the face, too: "AXIALEINSTICH".
    if (found.kind == ToolKind::grooving && foreign_kind(note.at(found.at)) == ToolKind::face_grooving)
        found.kind = ToolKind::face_grooving;
    // FINISH BORE, ROUGH AND FINISH BORING, FACE GROOVE
    if (found.kind == ToolKind::turning || found.kind == ToolKind::grooving) {
        std::size_t next = found.at;
        const auto is_stage = [](std::string_view word) {
            return word.starts_with("ROUGH") || word.starts_with("FINISH") || word.starts_with("SEMI") ||
                   word == "AND" || word == "&" || word == "THE" || word == "-";
        };
        while (next < note.size() && is_stage(note.at(next))) ++next;
        if (next > found.at &&
            (note.at(next) == "BORE" || note.at(next) == "BORING" || note.at(next) == "BORES"))
            found = {ToolKind::boring, next};
        // "FINISH BAR": a boring bar; but "ROUGH BAR STOCK", "FINISH BAR END"
        if (next > found.at && note.at(next) == "BAR" && note.at(found.at) != "FACE") {
            const std::string_view behind = note.at(next + 1);
            const bool of_stock = behind == "STOCK" || behind == "END" || behind == "DIA" || behind == "OD" ||
                                  behind == "TO" || behind == "FEED" || behind == "STOP" ||
                                  behind.starts_with("PULL") || behind.starts_with("D");
            if (!of_stock) found = {ToolKind::boring, next};
        }
        if (note.at(found.at) == "FACE" && note.at(found.at + 1).starts_with("GROOV"))
            found = {ToolKind::face_grooving, found.at + 1};
    }
    // "GOLA FRONTALE", "RANURA FRONTAL", "TREPAN 4 MM"
    for (std::size_t i = 0; i < note.size(); ++i)
        if (found.kind == ToolKind::grooving &&
            (note.at(i).starts_with("FRONTAL") || note.at(i).starts_with("TREPAN")))
            found.kind = ToolKind::face_grooving;
    // "INTERNAL THREAD BAR", "GROOVING BAR"
    for (std::size_t i = 0; i + 1 < note.size() && found.kind == ToolKind::boring; ++i) {
        if (note.at(i + 1) != "BAR") continue;
        if (note.at(i).starts_with("THREAD")) found.kind = ToolKind::threading_inside;
        if (note.at(i).starts_with("GROOV")) found.kind = ToolKind::grooving;
    }
    for (std::size_t i = found.at; i < note.size() && found.kind == ToolKind::drill; ++i)
        if (centres(note.at(i))) found.kind = ToolKind::centre_drill;
    // "TAP DRILL 6.8"
    if (found.kind == ToolKind::drill && note.at(found.at) == "TAP" &&
        note.at(found.at + 1).starts_with("DRILL"))
        ++found.at;
    // "CTR DRILL #4", "COMB. DRILL #3", "C'DRILL #4"
    if (found.kind == ToolKind::drill && found.at > 0) {
        const std::string_view before = note.at(found.at - 1);
        if (before == "CTR" || before == "CTR." || before == "CNTR" || before == "COMB" ||
            before == "COMB." || before == "COMBINED" || before == "COMBINATION" || before == "C")
            found.kind = ToolKind::centre_drill;
    }
    if (found.kind == ToolKind::drill && named.kind == NamedTool::Kind::none &&
        note.at(found.at) == "BOHRUNG")
        found.kind = ToolKind::unknown;
    return found;
}

/// A note up to the first T word of another station.
std::string_view up_to_next_station(std::string_view note, int station) {
    for (std::size_t i = 1; i + 1 < note.size(); ++i) {
        if ((note[i] != 'T' && note[i] != 't') || !is_digit(note[i + 1])) continue;
        if (std::isalnum(static_cast<unsigned char>(note[i - 1])) || note[i - 1] == '.') continue;
        std::size_t end = i + 1;
        int number = 0;
        for (; end < note.size() && is_digit(note[end]) && end < i + 6; ++end)
            number = number * 10 + (note[end] - '0');
        if (end < note.size() && (std::isalnum(static_cast<unsigned char>(note[end])) || note[end] == '.'))
            continue;
        if (number > 99) number /= 100;
        if (number != station) return note.substr(0, i);
    }
    return note;
}

} // namespace

std::optional<double> insert_angle_by_note(std::string_view whole, int station) {
    const Words note = noted_words(up_to_next_station(whole, station));
    if (const auto angle = insert_angle_in(note)) return angle->degrees;
    const auto insert = insert_in(note);
    if (!insert) return std::nullopt;
    // Letters of ISO 1832 for the shape (from memory)
    constexpr std::pair<char, double> shapes[] = {{'C', 80}, {'D', 55}, {'E', 75}, {'K', 55}, {'L', 90},
                                                  {'M', 86}, {'S', 90}, {'T', 60}, {'V', 35}, {'W', 80}};
    for (const auto& [letter, degrees] : shapes)
        if (insert->shape == letter) return degrees;
    return std::nullopt;
}

bool NotedTool::is_empty() const {
    return tool.kind == ToolKind::unknown && tool.hand == shop::ToolHand::unknown && !tool.nose_radius_mm &&
           !tool.width_mm && !tool.diameter_mm && !tool.point_angle_deg;
}

std::string_view corner_words(BladeCorner corner) {
    constexpr TableText words[] = {"", "left corner set", "right corner set"};
    return words[static_cast<std::size_t>(corner)];
}

namespace {

NotedTool read_tool_by_note(std::string_view whole, std::optional<double> mm_per_unit, int station) {
    const std::string text = without_asides(up_to_next_station(whole, station));
    const Words note = noted_words(text);
    const NamedTool named = tool_named(text);
    NotedTool noted;
    shop::Tool& tool = noted.tool;
    if (named.kind == NamedTool::Kind::stop) {
        if (names_puller(named.word) || text.find("PULL") != std::string_view::npos)
            tool.kind = ToolKind::bar_puller;
        return noted;
    }
    const KindInNote kind = kind_in(note, named);
    tool.kind = named.live ? ToolKind::live : kind.kind;
    if (named.live) return noted;
    const auto insert = insert_in(note);
    const auto angle = angle_in(note);
    if (tool.kind == ToolKind::unknown && insert) tool.kind = ToolKind::turning;
    const auto radius = insert && insert->radius_mm ? insert->radius_mm : radius_in(note);
    if (tool.kind == ToolKind::unknown && angle && radius && (*angle == 80 || *angle == 55 || *angle == 35))
        tool.kind = ToolKind::turning;
    if (tool.kind == ToolKind::threading)
        for (std::size_t i = 0; i < note.size(); ++i)
            if (is_inside(note.at(i))) tool.kind = ToolKind::threading_inside;
    if (tool.kind == ToolKind::turning)
        for (std::size_t i = 0; i < note.size(); ++i)
            if (is_inside(note.at(i))) tool.kind = ToolKind::boring;
    // "FINISH FLANKS, 2 WIDE": of a turning tool nobody gives a width.
    constexpr double widest_blade_mm = 8;
    if (((tool.kind == ToolKind::turning && is_wide(note)) ||
         (tool.kind == ToolKind::unknown && is_width_alone(note))) &&
        width_in(note, note.size(), mm_per_unit).value_or(widest_blade_mm + 1) <= widest_blade_mm)
        tool.kind = ToolKind::grooving;
    if (tool.kind == ToolKind::unknown && is_letter_drill_alone(note)) tool.kind = ToolKind::drill;
    switch (tool.kind) {
    case ToolKind::turning:
    case ToolKind::boring:
    case ToolKind::grooving:
    case ToolKind::face_grooving:
    case ToolKind::parting:
        tool.nose_radius_mm = radius;
        if (tool.kind == ToolKind::boring && !insert) tool.diameter_mm = bar_in(note, kind.at, mm_per_unit);
        if (tool.kind != ToolKind::turning && tool.kind != ToolKind::boring)
            tool.width_mm = width_in(note, kind.at, mm_per_unit);
        if (tool.kind == ToolKind::grooving || tool.kind == ToolKind::parting) noted.corner = corner_in(note);
        break;
    case ToolKind::drill:
    case ToolKind::centre_drill:
    case ToolKind::reamer:
        if (angle && tool.kind != ToolKind::reamer) tool.point_angle_deg = angle;
        // Centre drills have numbers of their own.
        if (tool.kind != ToolKind::centre_drill) tool.diameter_mm = by_number_in(note);
        if (!tool.diameter_mm && tool.kind == ToolKind::drill)
            tool.diameter_mm = by_letter_in(note, kind.at, mm_per_unit);
        if (!tool.diameter_mm && tool.kind == ToolKind::centre_drill)
            tool.diameter_mm = spot_drill_in(note, mm_per_unit);
        if (!tool.diameter_mm && tool.kind != ToolKind::centre_drill)
            tool.diameter_mm = diameter_in(note, kind.at, mm_per_unit, tool.kind == ToolKind::reamer);
        break;
    case ToolKind::tap:
        if (named.major_mm > 0)
            tool.diameter_mm = named.major_mm;
        else
            for (const std::string& thread : threads_named("TAP " + text))
                if (const auto size = motion::thread_size(thread); size && !tool.diameter_mm)
                    tool.diameter_mm = size->major_mm;
        break;
    default: // "TNR .0312" is of an insert, whatever it does
        for (std::size_t i = 0; i < note.size() && tool.kind == ToolKind::unknown; ++i)
            if (note.at(i).starts_with("TNR") || names_nose_radius(note, i)) tool.nose_radius_mm = radius;
        break;
    }
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const bool hand = note.at(i + 1) == "HAND";
        if (word == "LH" || word == "L.H." || word == "L.H" || word == "LEFT-HAND" ||
            (word == "LEFT" && hand))
            tool.hand = shop::ToolHand::left;
        if (word == "RH" || word == "R.H." || word == "R.H" || word == "RIGHT-HAND" ||
            (word == "RIGHT" && hand))
            tool.hand = shop::ToolHand::right;
    }
    if (tool.kind == ToolKind::unknown || tool.kind == ToolKind::tap || tool.kind == ToolKind::threading ||
        tool.kind == ToolKind::threading_inside)
        tool.hand = shop::ToolHand::unknown; // Of the thread, as likely
    add_asides(note, mm_per_unit, noted);
    return noted;
}

} // namespace

NotedTool tool_by_note(std::string_view note, std::optional<double> mm_per_unit, int station) {
    static KeptByNote<NotedTool> kept;
    return kept.of(note, mm_per_unit, station, [&] { return read_tool_by_note(note, mm_per_unit, station); });
}

} // namespace turnwright::checks
