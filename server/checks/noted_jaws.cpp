#include "checks/noted_jaws.h"

#include "checks/named_tool.h"
#include "checks/noted_words.h"
#include "motion/motion.h"

#include <algorithm>

namespace turnwright::checks {

namespace {

/// In the languages of some shops: common practice, no source.
bool is_jaws(std::string_view word) {
    return is_one_of(word, {"JAW", "JAWS", "CHUCK", "COLLET", "FUTTER", "BACKEN", "SPANNBACKEN", "SPANNZANGE",
                            "GARRAS", "PLATO", "GRIFFE", "MORSETTI", "MANDRINO", "MORS", "MANDRIN"});
}
/// Between the jaws and their Z: "CHUCK JAWS END AT".
bool leads_to_z(std::string_view word) {
    return is_jaws(word) ||
           is_one_of(word, {"FACE", "FRONT",  "END",    "ENDS", "STAND",  "STANDS", "BEGIN",
                            "AT",   "BEI",    "IS",     "ON",   "AUF",    "EN",     "A",
                            "ARE",  "BEHIND", "HINTER", "AB",   "DETRAS", "DIETRO", "DERRIERE"});
}
bool leads_to_jaws(std::string_view word) {
    return is_one_of(word, {"OF", "THE", "FROM", "SOFT", "HARD", "AUS", "DEM", "DEN"});
}
/// Behind which a length stands.
bool sticks_out(std::string_view word) {
    return is_one_of(word, {"STICK-OUT",   "STICKOUT",  "STICKS-OUT", "PROTRUDES",     "PROTRUDING",
                            "PROTRUSION",  "PROJECTS",  "PROJECTING", "AUSSPANNLANGE", "AUSSPANNLAENGE",
                            "AUSSPANNUNG", "SOBRESALE", "VOLADIZO",   "SALIDA",        "SPORGE",
                            "SPORGENZA",   "DEPASSE",   "SORTIE",     "SORTI",         "SAILLIE"});
}
bool is_stick(std::string_view word) {
    return is_one_of(word, {"STICK", "STICKS", "STICKING"});
}

/// BAR alone is stock.
bool is_tool(std::string_view word) {
    return is_one_of(word, {"BORING", "DRILL", "TOOL", "HOLDER", "SHANK", "INSERT", "TAP", "REAMER", "BLADE",
                            "BOHRER", "BOHRSTANGE", "HALTER", "STAHL"});
}

NotedJaws::Unit unit_of(Size::Unit unit) {
    return unit == Size::Unit::mm     ? NotedJaws::Unit::mm
           : unit == Size::Unit::inch ? NotedJaws::Unit::inch
                                      : NotedJaws::Unit::program;
}

/// "FACE 2: ...", "OP 20", "2ND SIDE". The words: common practice, no source.
bool names_later_side(const NotedWords& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (is_one_of(words.at(i),
                      {"2ND", "SECOND", "ZWEITE", "DEUXIEME", "SEGUNDA", "SECONDA", "OP2", "OP20"}))
            return true;
        const std::string_view number = words.at(i + 1).substr(0, words.at(i + 1).find_first_of(":.)-"));
        if (is_one_of(words.at(i), {"FACE", "SIDE", "OP", "OPERATION", "SEITE", "SPANNUNG", "LATO", "CARA",
                                    "LADO", "COTE", "PHASE"}) &&
            is_one_of(number, {"2", "3", "20", "30", "II"}))
            return true;
    }
    return false;
}

std::optional<NotedJaws> length_at(const NotedWords& words, std::size_t at) {
    const auto size = size_in(words.at(at), words.at(at + 1));
    if (!size || size->number <= 0) return std::nullopt;
    return NotedJaws{size->number, unit_of(size->unit), true};
}

/// "65 OUT OF THE JAWS", "STICKS OUT 92", "AUSSPANNLAENGE 45".
std::optional<NotedJaws> stick_out(const NotedWords& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        const std::string_view word = words.at(i);
        if (sticks_out(word)) return length_at(words, i + (words.at(i + 1) == "BY" ? 2 : 1));
        if (word != "OUT" && word != "AUS") continue;
        if (i > 0 && is_stick(words.at(i - 1)))
            return length_at(words, i + (words.at(i + 1) == "BY" ? 2 : 1));
        std::size_t jaws = i + 1;
        while (leads_to_jaws(words.at(jaws))) ++jaws;
        if (i == 0 || !is_jaws(words.at(jaws))) continue;
        const bool has_unit = is_one_of(words.at(i - 1), {"MM", "IN", "INCH"});
        if (has_unit && i < 2) continue;
        return length_at(words, i - (has_unit ? 2 : 1));
    }
    return std::nullopt;
}

/// "JAW FACE AT Z-36".
std::optional<NotedJaws> face_of(const NotedWords& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (!is_jaws(words.at(i))) continue;
        std::size_t at = i + 1;
        while (leads_to_z(words.at(at))) ++at;
        const std::string_view z = words.at(at);
        if (!z.starts_with("Z-")) continue;
        const auto number = plain_number(z.substr(2));
        if (number && *number > 0) return NotedJaws{*number, NotedJaws::Unit::program, false};
    }
    return std::nullopt;
}

} // namespace

double NotedJaws::z(double mm_per_unit) const {
    const double mm = unit == Unit::program ? mm_per_unit : unit == Unit::inch ? motion::mm_per_inch : 1;
    return -length * mm / mm_per_unit;
}

std::optional<NotedJaws> jaws_by_note(std::string_view note) {
    const NotedWords words = noted_words(note);
    if (auto face = face_of(words)) {
        face->of_later_side = names_later_side(words);
        return face;
    }
    auto out = stick_out(words);
    if (out) out->of_later_side = names_later_side(words);
    if (!out || !tools_listed(note).empty()) return std::nullopt;
    for (std::size_t i = 0; i < words.size(); ++i)
        if (is_tool(words.at(i)) && words.at(i + 1) != "STEEL") return std::nullopt;
    return out;
}

} // namespace turnwright::checks
