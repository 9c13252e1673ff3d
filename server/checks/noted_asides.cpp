#include "checks/noted_asides.h"

#include "checks/foreign_words.h"
#include "motion/motion.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <initializer_list>
#include <vector>

namespace turnwright::checks {

namespace {

using shop::ToolKind;

// Words of English, German, Spanish, French and Italian shops: common practice, no source.
/// A piece of the note between blanks, upper case, and where it stands.
struct Piece {
    std::string word;
    std::size_t begin = 0, end = 0;
};
std::vector<Piece> pieces_of(std::string_view note) {
    std::vector<Piece> pieces;
    for (std::size_t at = 0; at < note.size();) {
        if (note[at] == ' ' || note[at] == '\t' || note[at] == '=') {
            ++at;
            continue;
        }
        Piece piece;
        piece.begin = at;
        for (; at < note.size() && note[at] != ' ' && note[at] != '\t' && note[at] != '='; ++at)
            piece.word += static_cast<char>(std::toupper(static_cast<unsigned char>(note[at])));
        piece.end = at;
        pieces.push_back(std::move(piece));
    }
    return pieces;
}

/// "30", "8,5", "30MM", ".5": no more than a number and its unit.
std::optional<double> plain_size(std::string_view word) {
    std::string text(word);
    if (const std::size_t comma = text.find(','); comma != std::string::npos) {
        if (comma + 1 >= text.size() || !is_digit(text[comma + 1])) return std::nullopt;
        text[comma] = '.';
    }
    const auto size = size_in(text);
    return size ? std::optional(size->number) : std::nullopt;
}

bool names_purpose(std::string_view word) {
    return is_one_of(word, {"FOR", "FUER", "F\xC3\x9CR", "F\xDCR", "FUR", "POUR", "PARA", "PER"});
}
/// "M10", "M10X1.5", "3/8-16", "12H7", "TARAUD", "REIBEN": what a hole is made for, and no part.
bool is_made_for(std::string_view word) {
    if (word.empty()) return false;
    const auto starts_number = [&](std::size_t at) { return at < word.size() && is_digit(word[at]); };
    if (word[0] == 'M' && starts_number(1)) return true;
    if (is_digit(word[0])) { // A fit or a thread in inches
        const std::size_t letter = word.find_first_not_of("0123456789.");
        if (letter == std::string_view::npos) return false;
        if (std::string_view("EFGHJKMNP").find(word[letter]) != std::string_view::npos)
            return starts_number(letter + 1) && is_digit(word.back());
        return word.find('-') != std::string_view::npos;
    }
    if (is_one_of(word,
                  {"TAP", "TAPPING", "THREAD", "REAM", "REAMER", "REAMING", "BORE", "BORING", "UNC", "UNF"}))
        return true;
    switch (foreign_kind(word)) {
    case ToolKind::tap:
    case ToolKind::threading:
    case ToolKind::threading_inside:
    case ToolKind::reamer:
    case ToolKind::boring:
        return true;
    default:
        return false;
    }
}

/// Its size may stand in front or behind.
bool names_depth(std::string_view word) {
    return is_one_of(word, {"TIEF", "LANG", "LG", "LG.", "LONG", "LARGO", "LUNGO"});
}

std::string without_pieces(std::string_view note, const std::vector<Piece>& pieces,
                           const std::vector<bool>& dropped) {
    std::string out;
    std::size_t from = 0;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (!dropped[i]) continue;
        out += note.substr(from, pieces[i].begin - from);
        from = pieces[i].end;
    }
    return out += note.substr(from);
}

bool is_blade(ToolKind kind) {
    return kind == ToolKind::grooving || kind == ToolKind::face_grooving || kind == ToolKind::parting;
}

/// The name of an insert, the size of a nose or the angle of a point.
bool describes_insert(const NotedWords& note, std::size_t at) {
    const std::string_view word = note.at(at);
    if (word.size() > 1 && word[0] == 'R' && (is_digit(word[1]) || word[1] == '.')) return true;
    if (begins_with_one_of(note.at(at + 1), {"DEG", "GRAD"}) || word.ends_with("DEG")) return true;
    return word.size() >= 4 && std::string_view("CDKRSTVW").find(word[0]) != std::string_view::npos &&
           std::string_view("ABCDEFGNPO").find(word[1]) != std::string_view::npos &&
           is_one_of(word.substr(2, 2), {"MG", "MT", "MA", "MM", "GT", "MW", "GA", "GX", "GH", "GG", "HT"});
}
/// "SCHRUPPSTAHL", "INNENDREHMEISSEL"; of EDELSTAHL the part is made.
bool is_german_tool(std::string_view word) {
    return (word.ends_with("STAHL") || word.ends_with("MEISSEL")) &&
           begins_with_one_of(
               word, {"INNEN", "AUSSEN", "BOHR", "AUSDREH", "DREH", "SCHRUPP", "SCHLICHT", "SEITEN"});
}
bool names_tool(std::string_view word) {
    return is_one_of(word, {"TOOL", "HOLDER", "OUTIL", "UTENSILE", "HERRAMIENTA", "CUCHILLA"}) ||
           is_german_tool(word);
}

/// "LINKS VNMG 160404", "CHARIOTAGE GAUCHE R0.4": beside what describes the tool, and no side of the part.
void add_hand(const NotedWords& note, shop::Tool& tool) {
    if (tool.kind != ToolKind::turning || tool.hand != shop::ToolHand::unknown) return;
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const bool left = is_one_of(
            word, {"LINKS", "LINKER", "LEFT", "GAUCHE", "IZQUIERDO", "IZQUIERDA", "SINISTRO", "SINISTRA"});
        const bool right = is_one_of(word, {"RECHTS", "RECHTER", "RIGHT", "DROIT", "DROITE", "DERECHO",
                                            "DERECHA", "DESTRO", "DESTRA"});
        if (!left && !right) continue;
        const std::string_view before = i > 0 ? note.at(i - 1) : std::string_view();
        // "VCMT 160404 LINKS"
        const bool behind_insert =
            (i > 0 && describes_insert(note, i - 1)) || (i > 1 && describes_insert(note, i - 2));
        if (behind_insert && i + 1 == note.size()) {
            tool.hand = left ? shop::ToolHand::left : shop::ToolHand::right;
            return;
        }
        const bool of_part =
            size_in(before) || is_one_of(before, {"A", "AT", "ON", "FROM", "TO", "THE", "NACH", "VON", "DE",
                                                  "LADO", "LATO", "COTE", "SEITE", "SIDE", ","});
        if (of_part || !(describes_insert(note, i + 1) || names_tool(note.at(i + 1)) || names_tool(before)))
            continue;
        tool.hand = left ? shop::ToolHand::left : shop::ToolHand::right;
        return;
    }
}

/// Words for the hole that is drilled first, which bars and castings speak of, too.
bool names_first_hole(std::string_view word) {
    return is_one_of(word, {"VORBOHREN", "KERNLOCH", "KERNBOHRUNG", "PREFORO", "AVANT-TROU", "AVANTTROU",
                            "PREDRILL", "PRE-DRILL"});
}
/// "VORBOHREN 12", "KERNLOCH 6,8": with one size and nothing else it is the drill's.
void add_first_hole(const NotedWords& note, std::optional<double> mm_per_unit, shop::Tool& tool) {
    if (tool.kind != ToolKind::unknown) return;
    bool named = false;
    std::optional<double> only;
    for (std::size_t i = 0; i < note.size(); ++i) {
        std::string_view word = note.at(i);
        const bool station = i == 0 && word.size() > 1 && word[0] == 'T' && is_digit(word[1]);
        if (names_first_hole(word)) named = true;
        if (station || names_first_hole(word) || is_one_of(word, {"MM", "IN", "D", "DIA", "HSS", "VHM"}))
            continue;
        if (word.size() > 1 && word[0] == 'D') word.remove_prefix(1);
        const auto size = size_in(word, note.at(i + 1));
        const auto mm = size ? size->mm(mm_per_unit) : std::nullopt;
        if (!mm || only) return;
        only = mm;
    }
    constexpr double thickest_mm = 40; // Wider ones are cast
    if (!named || !only || *only > thickest_mm) return;
    tool.kind = ToolKind::drill;
    tool.diameter_mm = only;
}

/// "NC-ANBOHRER 90", "SPOT DRILL 120": no such tool is so thick.
void add_point(const NotedWords& note, shop::Tool& tool) {
    if (tool.kind != ToolKind::centre_drill || tool.point_angle_deg) return;
    for (std::size_t i = 1; i < note.size(); ++i) {
        const auto degrees = plain_number(note.at(i));
        if (!degrees || note.at(i).find('.') != std::string_view::npos) continue;
        const bool angle =
            is_one_of(note.at(i), {"60", "82", "90", "100", "118", "120", "130", "135", "140", "142", "145"});
        const bool behind_word = begins_with_one_of(note.at(i - 1), {"SPOT", "DRILL", "POINT"}) ||
                                 note.at(i - 1).ends_with("BOHRER") || note.at(i - 1).ends_with("ZENTRIERER");
        const std::string_view next = note.at(i + 1);
        if (angle && behind_word &&
            (next.empty() || next == "," || begins_with_one_of(next, {"D", "HSS", "VHM", "CARB"})) &&
            !is_one_of(next, {"DEEP", "DIA", "DIA."})) {
            tool.point_angle_deg = degrees;
            return;
        }
    }
}

/// "MGMN 300" is of a blade 3 mm wide (common practice, no source); "TRONCATURA L=4".
void add_width(const NotedWords& note, std::optional<double> mm_per_unit, shop::Tool& tool) {
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        if (word.starts_with("MGMN")) {
            if (tool.kind == ToolKind::unknown || tool.kind == ToolKind::turning) {
                tool.kind = ToolKind::grooving;
                tool.nose_radius_mm.reset();
            }
            std::string_view digits = word.size() > 4 ? word.substr(4) : note.at(i + 1);
            digits = digits.substr(0, digits.find('-'));
            const auto hundredths = digits.size() == 3 ? plain_number(digits) : std::nullopt;
            if (is_blade(tool.kind) && !tool.width_mm && hundredths && *hundredths >= 150 &&
                *hundredths <= 800)
                tool.width_mm = *hundredths / 100;
            return;
        }
        constexpr double widest_mm = 6; // Longer ones are lengths of the part
        const bool glued = word.size() > 1 && word[0] == 'L' && (is_digit(word[1]) || word[1] == '.');
        if (!is_blade(tool.kind) || tool.width_mm || (word != "L" && !glued)) continue;
        const auto size =
            glued ? size_in(word.substr(1), note.at(i + 1)) : size_in(note.at(i + 1), note.at(i + 2));
        const auto mm = size ? size->mm(mm_per_unit) : std::nullopt;
        if (mm && *mm >= 0.5 && *mm <= widest_mm) tool.width_mm = mm;
    }
}

/// "S20R-SCLCR09", "A16R SDUCL": how bars for boring are named, by what they are of and how thick, and what
/// holds the insert. ISO 5609, from memory.
std::optional<double> bar_by_name(const NotedWords& note) {
    const auto is_shank = [](std::string_view word) {
        return (word.size() == 3 || word.size() == 4) &&
               std::string_view("SACEDFGHJ").find(word[0]) != std::string_view::npos && is_digit(word[1]) &&
               is_digit(word[2]) && (word.size() == 3 || text::is_letter(word[3]));
    };
    const auto is_head = [](std::string_view word) {
        if (word.size() < 5 || std::string_view("CDMPS").find(word[0]) == std::string_view::npos ||
            std::string_view("CDKRSTVW").find(word[1]) == std::string_view::npos ||
            std::string_view("RL").find(word[4]) == std::string_view::npos ||
            !std::all_of(word.begin(), word.begin() + 5, text::is_letter))
            return false;
        return std::all_of(word.begin() + 5, word.end(), is_digit);
    };
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const std::size_t dash = word.find('-');
        const std::string_view shank = word.substr(0, dash);
        const std::string_view head = dash == std::string_view::npos ? note.at(i + 1) : word.substr(dash + 1);
        if (is_shank(shank) && is_head(head)) return *plain_number(shank.substr(1, 2));
    }
    return std::nullopt;
}

/// "BARENO D12", "INNENDREHMEISSEL D12", "BORING BAR 16 CCMT 060204", "ID FINISH .5 BAR".
void add_bar(const NotedWords& note, std::optional<double> mm_per_unit, shop::Tool& tool) {
    if (const auto mm = bar_by_name(note);
        mm && (tool.kind == ToolKind::unknown || tool.kind == ToolKind::boring)) {
        tool.kind = ToolKind::boring;
        tool.diameter_mm = mm;
    }
    if (tool.kind != ToolKind::boring || tool.diameter_mm) return;
    constexpr double thinnest_mm = 5, thickest_mm = 60;
    const auto take = [&](const std::optional<Size>& size) {
        const auto mm = size ? size->mm(mm_per_unit) : std::nullopt;
        if (mm && *mm >= thinnest_mm && *mm <= thickest_mm) tool.diameter_mm = mm;
        return tool.diameter_mm.has_value();
    };
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        const bool bar = is_one_of(word, {"BAR", "BARRA", "BARRE", "BARENO"}) ||
                         word.starts_with("BOHRSTANGE") || is_german_tool(word);
        if (!bar) continue;
        std::size_t at = i + 1;
        while (is_one_of(note.at(at),
                         {"D", "DIA", "DIA.", "DE", "DI", "DA", "A", "ALESER", "ALESAGE", "MANDRINAR", "INT",
                          "INTERNO", "INTERIOR", "INTERNA", "ID", "VHM", "HM", "CARBIDE"}))
            ++at;
        std::string_view size = note.at(at);
        const bool as_diameter = size.size() > 1 && size[0] == 'D' && is_digit(size[1]);
        if (as_diameter) size.remove_prefix(1);
        // "BARENO 32 BARRA": a bore of 32, or a bar.
        if (word == "BARENO" && !as_diameter && at == i + 1) continue;
        if (!is_one_of(note.at(at + 1), {"DEEP", "LONG", "TIEF", "LANG", "OUT", "H7"}) &&
            take(size_in(size, note.at(at + 1))))
            return;
        // ".75 BAR"; a whole number alone counts stations.
        if (word != "BAR" || i == 0 || is_one_of(note.at(i + 1), {"STOCK", "OUT", "FEED", "STOP", "PULL"}))
            continue;
        const bool unit = i > 1 && is_one_of(note.at(i - 1), {"MM", "IN"});
        const std::string_view front = note.at(unit ? i - 2 : i - 1);
        const auto in_front = unit ? size_in(front, note.at(i - 1)) : size_in(front);
        const bool names_size =
            in_front && (in_front->unit != Size::Unit::none || front.find_first_of("./") < front.size());
        const bool of_insert = i > 1 && describes_insert(note, i - 2); // "CCMT 32.51 BORING BAR"
        if (names_size && !of_insert && take(in_front)) return;
    }
}

/// "BUTTON TOOL R6", "ROUND INSERT 12MM", "RUNDPLATTE 12".
void add_round_insert(const NotedWords& note, std::optional<double> mm_per_unit, shop::Tool& tool) {
    if (tool.kind != ToolKind::unknown && tool.kind != ToolKind::turning) return;
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i), next = note.at(i + 1);
        const bool in_two = (is_one_of(word, {"ROUND", "BUTTON"}) && is_one_of(next, {"INSERT", "TOOL"})) ||
                            (is_one_of(word, {"PLAQUETTE", "PLAQUITA", "PLACA", "INSERTO"}) &&
                             is_one_of(next, {"RONDE", "REDONDA", "TONDO", "ROTONDO"}));
        if (!in_two && word != "RUNDPLATTE") continue;
        std::size_t at = i + (in_two ? 2 : 1);
        if (is_one_of(note.at(at), {"D", "DIA"})) ++at;
        std::string_view size = note.at(at);
        const bool radius = size.size() > 1 && size[0] == 'R';
        if (radius || (size.size() > 1 && size[0] == 'D')) size.remove_prefix(1);
        const auto found = size_in(size, note.at(at + 1));
        const auto mm = found ? found->mm(mm_per_unit) : std::nullopt;
        const double nose = mm ? (radius ? *mm : *mm / 2) : 0;
        constexpr double least_mm = 2.5, most_mm = 16;
        if (nose < least_mm || nose > most_mm) continue;
        tool.kind = ToolKind::turning;
        tool.nose_radius_mm = nose;
        return;
    }
}

/// "RAGGIO INSERTO 0.8", "RADIO DE PLAQUITA 0.4", "PLATTENRADIUS 1.2", "NOSE RAD .031": of the insert by its
/// words, a size that inserts have.
void add_nose(const NotedWords& note, shop::Tool& tool) {
    const bool takes = tool.kind == ToolKind::turning || tool.kind == ToolKind::boring || is_blade(tool.kind);
    if (!takes || tool.nose_radius_mm) return;
    for (std::size_t i = 0; i < note.size(); ++i) {
        const std::string_view word = note.at(i);
        std::size_t at = i + 1;
        if (is_one_of(word, {"RAGGIO", "RADIO", "RAYON"})) {
            while (is_one_of(note.at(at), {"DE", "DI", "DEL", "DELL", "LA"})) ++at;
            if (!is_one_of(note.at(at), {"INSERTO", "PLAQUITA", "PLACA", "PLAQUETTE", "NARIZ"})) continue;
            ++at;
        } else if (word != "PLATTENRADIUS" && !(word == "NOSE" && note.at(at) == "RAD")) {
            continue;
        }
        if (note.at(at) == "RAD") ++at;
        const auto size = size_in(note.at(at), note.at(at + 1));
        if (!size) continue;
        for (const double mm : {0.2, 0.4, 0.8, 1.2, 1.6, 2.4})
            if (size->unit != Size::Unit::inch && std::abs(size->number - mm) < 1e-6)
                tool.nose_radius_mm = mm;
        for (const double parts : {0.5, 1.0, 2.0, 3.0, 4.0}) // 64ths of an inch, rounded
            if (size->unit != Size::Unit::mm && !tool.nose_radius_mm &&
                std::abs(size->number - parts / 64) < 0.0007)
                tool.nose_radius_mm = parts / 64 * motion::mm_per_inch;
    }
}

} // namespace

std::string without_asides(std::string_view note) {
    const std::vector<Piece> pieces = pieces_of(note);
    constexpr std::size_t most_pieces = 24; // A longer one tells more than its tool
    if (pieces.size() > most_pieces) return std::string(note);
    std::vector<bool> dropped(pieces.size(), false);
    bool any = false, drills = false;
    const auto drop = [&](std::size_t first, std::size_t end) {
        for (std::size_t i = first; i < end; ++i) dropped[i] = any = true;
    };
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        const std::string_view word = pieces[i].word;
        if (!drills) { // Of what the tool is by the words up to here
            const auto kind = tool_named(note.substr(0, pieces[i].end)).kind;
            drills =
                kind == NamedTool::Kind::drill || kind == NamedTool::Kind::ream || names_first_hole(word);
        }
        if (!drills) continue;
        if (names_purpose(word) && i + 1 < pieces.size() && is_made_for(pieces[i + 1].word)) {
            std::size_t end = i + 1;
            while (end < pieces.size() && is_made_for(pieces[end].word)) ++end;
            // "FUER REIBEN 12.5": the size of that tool, where the drill has one of its own.
            const bool tells_tool = !is_digit(pieces[end - 1].word.back());
            bool own = false;
            for (std::size_t before = 0; before < i; ++before)
                own = own || (!dropped[before] && plain_size(pieces[before].word));
            if (tells_tool && own && end < pieces.size() && plain_size(pieces[end].word)) ++end;
            drop(i, end);
            i = end - 1;
            continue;
        }
        if (!names_depth(word) || i + 1 >= pieces.size()) continue;
        const auto behind = plain_size(pieces[i + 1].word);
        if (!behind) continue;
        const auto before = i > 0 ? plain_size(pieces[i - 1].word) : std::nullopt;
        // "30 TIEF 8": either; a drill is longer than wide.
        if (before && *before >= *behind) continue;
        drop(i, i + 2);
        ++i;
    }
    return any ? without_pieces(note, pieces, dropped) : std::string(note);
}

void add_asides(const NotedWords& note, std::optional<double> mm_per_unit, NotedTool& noted) {
    add_first_hole(note, mm_per_unit, noted.tool);
    add_width(note, mm_per_unit, noted.tool);
    add_bar(note, mm_per_unit, noted.tool);
    add_round_insert(note, mm_per_unit, noted.tool);
    add_nose(note, noted.tool);
    add_point(note, noted.tool);
    add_hand(note, noted.tool);
}

} // namespace turnwright::checks
