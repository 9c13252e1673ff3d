#include "machine/noted_codes.h"

#include "machine/spindle.h"
#include "text/letters.h"

#include <algorithm>
#include <cctype>
#include <charconv>

namespace turnwright::machine {

using codes::Meaning;

/// Its names are short ones.
namespace note_of_codes {
namespace {

using NotedWords = std::vector<std::string>;

/// Upper case, split at blanks; a sign that ends a thought is a word ",".
NotedWords noted_words(std::string_view note) {
    NotedWords words;
    std::string word;
    const auto end = [&] {
        while (word.size() > 1 && (word.back() == '.' || word.back() == '-') &&
               !text::is_digit(word[word.size() - 2]))
            word.pop_back();
        if (!word.empty()) words.push_back(std::move(word));
        word.clear();
    };
    for (std::size_t i = 0; i < note.size(); ++i) {
        const char c = text::upper(note[i]);
        const bool in_number =
            i > 0 && i + 1 < note.size() && text::is_digit(note[i - 1]) && text::is_digit(note[i + 1]);
        const bool full_stop = c == '.' && i > 0 && i + 1 < note.size() &&
                               text::is_letter(text::upper(note[i - 1])) &&
                               text::is_letter(text::upper(note[i + 1]));
        if (full_stop || std::isspace(static_cast<unsigned char>(c)) ||
            std::string_view("=:\"'").find(c) != std::string_view::npos) {
            end();
        } else if (std::string_view(",;+()").find(c) != std::string_view::npos || (c == '/' && !in_number)) {
            end();
            words.emplace_back(",");
        } else if (c == '.' && word.size() > 1 && i + 1 < note.size() && note[i + 1] == ' ' &&
                   std::all_of(word.begin(), word.end(), text::is_letter)) {
            end();
            words.emplace_back(",");
        } else if (c == '-' && word.size() > 1 && word[0] == 'M' && text::is_digit(word.back()) &&
                   i + 1 < note.size() && text::upper(note[i + 1]) == 'M') {
            end(); // "M203-M205"
        } else {
            word += c;
        }
    }
    end();
    return words;
}

bool is_m_code(std::string_view word, int& number) {
    if (word.size() < 2 || word.size() > 4 || word[0] != 'M') return false;
    const auto [end, error] = std::from_chars(word.data() + 1, word.data() + word.size(), number);
    return error == std::errc() && end == word.data() + word.size();
}

std::string in_a_row(const NotedWords& words, std::size_t from, std::size_t to) {
    std::string out;
    for (std::size_t i = from; i < to; ++i) out += (out.empty() ? "" : " ") + words[i];
    return out;
}

/// What a code of the builder works on. Of two the later one here is the more special: a brake of the C axis,
/// a clamp of the second spindle.
enum class Subject : std::uint8_t {
    none,
    other,
    clamp,
    second,
    quill,
    c_axis,
    brake,
    live,
    joined,
    catcher,
    pusher,
};
/// What it does there, as a bit each.
enum Verb : unsigned {
    opens = 1,
    closes = 2,
    comes_out = 4,
    goes_back = 8,
    goes_in = 16,
    on = 32,
    off = 64,
    forward = 128,
    reverse = 256,
    up = 512,
    down = 1024, ///< Or home
};

/// Fronts of words of English, German, Spanish, French and Italian shops. Trade words, common practice, no
/// source.
template <class Value>
struct WordFront {
    std::string_view front;
    Value value;
    bool whole = false; ///< The whole word, not its front
};
constexpr WordFront<Subject> subjects[] = {
    {"PICK-UP", Subject::second},       {"PICKUP", Subject::second},       {"WZ-ANTRIEB", Subject::live},
    {"MILLER", Subject::live, true},    {"MATCH", Subject::joined},        {"TIE", Subject::joined, true},
    {"TIED", Subject::joined, true},    {"UNTIE", Subject::joined, true},  {"ROTARY", Subject::live, true},
    {"POWERED", Subject::live, true},   {"C-MODE", Subject::c_axis, true}, {"CF", Subject::c_axis, true},
    {"CHUTE", Subject::catcher, true},  {"S2", Subject::second, true},     {"SP2", Subject::second, true},
    {"COUPL", Subject::joined},         {"UNCOUPL", Subject::joined},      {"DECOUPL", Subject::joined},
    {"MILL", Subject::live, true},      {"MILLS", Subject::live, true},    {"ROTANT", Subject::live},
    {"JOINED", Subject::joined, true},  {"GLEICHLAUF", Subject::joined},   {"SINCRO", Subject::joined},
    {"KOPPL", Subject::joined},         {"GEKOPPELT", Subject::joined},    {"ACCOUPL", Subject::joined},
    {"ACOPL", Subject::joined},         {"ACCOPPI", Subject::joined},      {"GEGENSPANN", Subject::second},
    {"GEGENFUTTER", Subject::second},   {"CONTROMANDR", Subject::second},  {"SUBHUSILLO", Subject::second},
    {"CONTRAHUSILLO", Subject::second}, {"SEGUND", Subject::second},       {"CONTREBROCHE", Subject::second},
    {"WERKZEUGANTRIEB", Subject::live}, {"MOTORIZ", Subject::live},        {"MOTORISE", Subject::live},
    {"MOTRIZ", Subject::live, true},    {"TOURNANT", Subject::live, true}, {"TOURNANTS", Subject::live, true},
    {"FRESA", Subject::live, true},     {"FRAISE", Subject::live, true},   {"RECEPTEUR", Subject::catcher},
    {"RECUPERAT", Subject::catcher},    {"RACCOGLI", Subject::catcher},    {"RECOGE", Subject::catcher},
    {"TEILEFAENGER", Subject::catcher}, {"FAENGER", Subject::catcher},     {"AUFFANG", Subject::catcher},
    {"ESPULS", Subject::pusher},        {"EXPULS", Subject::pusher},       {"EJECT", Subject::pusher},
    {"TUR", Subject::other, true},      {"SPIEGEL", Subject::other},       {"MIRROR", Subject::other},
    {"KUEHL", Subject::other},          {"ARROSAGE", Subject::other},      {"REFRIG", Subject::other},
    {"TIRADOR", Subject::other},        {"ATTENTE", Subject::other},       {"WARTE", Subject::other},
    {"ATTESA", Subject::other},         {"ESPERA", Subject::other},        {"CONTREPOINT", Subject::quill},
    {"CONTRE-POINT", Subject::quill},   {"CONTRAPUNT", Subject::quill},    {"CONTROPUNT", Subject::quill},
    {"POINTE", Subject::quill, true},   {"KOERNERSPITZE", Subject::quill}, {"GRIFFE", Subject::clamp},
    {"GARRA", Subject::clamp},          {"MORS", Subject::clamp, true},    {"PLATO", Subject::clamp, true},
    {"AUTOCENTR", Subject::clamp},      {"BACKEN", Subject::clamp},        {"COLLET", Subject::clamp},
    {"CHUCK", Subject::clamp},          {"JAW", Subject::clamp, true},     {"JAWS", Subject::clamp, true},
    {"CLAMP", Subject::clamp},          {"UNCLAMP", Subject::clamp},       {"MAIN", Subject::clamp, true},
    {"FUTTER", Subject::clamp},         {"SPANNZANGE", Subject::clamp},    {"MANDRIN", Subject::clamp},
    {"PINZA", Subject::clamp},          {"PINCE", Subject::clamp, true},   {"SUB", Subject::second, true},
    {"SUBSPINDLE", Subject::second},    {"SUB-SPINDLE", Subject::second},  {"SECOND", Subject::second},
    {"2ND", Subject::second, true},     {"COUNTER", Subject::second},      {"GEGENSPINDEL", Subject::second},
    {"CONTRA", Subject::second},        {"CONTRE", Subject::second},       {"QUILL", Subject::quill},
    {"TAILSTOCK", Subject::quill},      {"CENTRE", Subject::quill, true},  {"CENTER", Subject::quill, true},
    {"PINOLE", Subject::quill},         {"REITSTOCK", Subject::quill},     {"C", Subject::c_axis, true},
    {"C-AXIS", Subject::c_axis},        {"CAXIS", Subject::c_axis},        {"C-ACHSE", Subject::c_axis},
    {"BRAKE", Subject::brake},          {"BREMSE", Subject::brake},        {"FRENO", Subject::brake, true},
    {"FREIN", Subject::brake, true},    {"LIVE", Subject::live, true},     {"DRIVEN", Subject::live, true},
    {"MILLING", Subject::live},         {"ANGETR", Subject::live},         {"SYNC", Subject::joined},
    {"SYNKRON", Subject::joined},       {"PHASE", Subject::joined, true},  {"CATCHER", Subject::catcher},
    {"PUSHER", Subject::pusher},        {"EJECTOR", Subject::pusher},      {"AUSWERFER", Subject::pusher},
    {"DOOR", Subject::other},           {"STEADY", Subject::other},        {"AIR", Subject::other, true},
    {"PRESSURE", Subject::other},       {"COOLANT", Subject::other},       {"PULLER", Subject::other},
    {"ORIENT", Subject::other},         {"TURRET", Subject::other},        {"TUER", Subject::other},
    {"PUERTA", Subject::other},         {"PORTE", Subject::other},         {"PORTA", Subject::other},
    {"WAIT", Subject::other},           {"SPINDLE", Subject::other},       {"LUENETTE", Subject::other},
    {"LUNETTE", Subject::other},        {"LUNETTA", Subject::other},       {"LUNETA", Subject::other},
};
constexpr WordFront<unsigned> verbs[] = {
    {"RUN", on | forward, true},
    {"UP", up, true},
    {"DOWN", down, true},
    {"HOME", down, true},
    {"BACKWARD", goes_back | reverse},
    {"ACTIV", on},
    {"SI", on, true},
    {"OUI", on, true},
    {"JA", on, true},
    {"NON", off, true},
    {"NEIN", off, true},
    {"AKTIV", on},
    {"UNDER", comes_out, true},
    {"AWAY", goes_back, true},
    {"GRIPS", closes, true},
    {"FEST", closes, true},
    {"LOS", opens, true},
    {"LOOSE", opens, true},
    {"GETRENNT", off, true},
    {"SEPAR", off},
    {"UNLINK", off},
    {"RIGHT", forward, true},
    {"LEFT", reverse, true},
    {"APART", off, true},
    {"PRISE", on, true},
    {"UNCOUPL", off},
    {"TIE", on, true},
    {"TIED", on, true},
    {"UNTIE", off, true},
    {"DECOUPL", off},
    {"CLAMPS", closes, true},
    {"LAUF", on | forward, true},
    {"MARCHE", on | forward, true},
    {"MARCIA", on | forward, true},
    {"MARCHA", on | forward, true},
    {"RECHTS", forward},
    {"LINKS", reverse},
    {"HORAIRE", forward, true},
    {"ORARIO", forward, true},
    {"HORARIO", forward, true},
    {"ANTIHORA", reverse},
    {"ANTIORARI", reverse},
    {"HALT", off, true},
    {"ARRET", off},
    {"PARAD", off},
    {"PARAR", off},
    {"PARO", off, true},
    {"PARE", off, true},
    {"HORS", off, true},
    {"SERVICE", on, true},
    {"ENCLENCH", on},
    {"DECLENCH", off},
    {"DEGAG", off},
    {"INSERIT", on},
    {"INSERIM", on},
    {"ESCLU", off},
    {"DISINSERI", off},
    {"CONECT", on},
    {"CONNECT", on},
    {"DESCONECT", off},
    {"DISCONNECT", off},
    {"DECONNECT", off},
    {"COLLEGA", on},
    {"SCOLLEGA", off},
    {"PUEST", closes},
    {"SUELT", opens},
    {"SOLT", opens},
    {"LIBRE", opens, true},
    {"LIBER", opens},
    {"KLEMM", closes},
    {"LOES", opens},
    {"BLOQU", closes},
    {"DEBLOQU", opens},
    {"DESBLOQU", opens},
    {"FUORI", comes_out, true},
    {"DENTRO", goes_in, true},
    {"FUERA", comes_out, true},
    {"SORTI", comes_out, true},
    {"AUSFAHR", comes_out},
    {"AUSGEFAHR", comes_out},
    {"RAUS", comes_out, true},
    {"EINFAHR", goes_in},
    {"EINGEFAHR", goes_in},
    {"REIN", goes_in, true},
    {"OPEN", opens},
    {"UNCLAMP", opens},
    {"RELEASE", opens | off},
    {"UNLOCK", opens},
    {"AUF", opens, true},
    {"OFFEN", opens, true},
    {"ABRIR", opens},
    {"ABIERTO", opens},
    {"OUVE", opens},
    {"OUVRIR", opens},
    {"APERT", opens},
    {"APRI", opens},
    {"APRE", opens},
    {"OUVR", opens},
    {"OEFFN", opens},
    {"SCHLIESS", closes},
    {"ABRE", opens},
    {"ENTSPANN", opens},
    {"LOESEN", opens},
    {"DESSERR", opens},
    {"SBLOCC", opens},
    {"SERR", closes},
    {"BLOCC", closes},
    {"SPANNEN", closes, true},
    {"CIERR", closes},
    {"CLOSE", closes},
    {"SHUT", closes, true},
    {"CLAMP", closes, true},
    {"CLAMPED", closes, true},
    {"GRIP", closes, true},
    {"LOCK", closes},
    {"ZU", closes, true},
    {"CERRA", closes},
    {"FERM", closes},
    {"CHIUS", closes},
    {"CHIUD", closes},
    {"OUT", comes_out, true},
    {"FORWARD", comes_out | forward},
    {"FWD", comes_out | forward, true},
    {"CW", forward, true},
    {"REVERSE", reverse},
    {"REV", reverse, true},
    {"CCW", reverse, true},
    {"ADVANCE", comes_out},
    {"VOR", comes_out, true},
    {"AVANT", comes_out},
    {"AVANZA", comes_out},
    {"ADELANTE", comes_out},
    {"VORWAERTS", comes_out},
    {"SORTIR", comes_out},
    {"SORTIE", comes_out},
    {"ARRIERE", goes_back},
    {"INDIETRO", goes_back},
    {"ATRAS", goes_back},
    {"RUECKWAERTS", goes_back},
    {"RENTR", goes_back},
    {"RETROCE", goes_back},
    {"BACK", goes_back, true},
    {"RETRACT", goes_back},
    {"RETURN", goes_back, true},
    {"ZURUECK", goes_back},
    {"IN", goes_in, true},
    {"ON", on, true},
    {"START", on},
    {"ENGAGE", on},
    {"EIN", on, true},
    {"OFF", off, true},
    {"STOP", off},
    {"DISENGAGE", off},
    {"AUS", off, true},
    {"CANCEL", off},
};
template <class Value, std::size_t size>
Value value_of(const WordFront<Value> (&table)[size], std::string_view word) {
    for (const WordFront<Value>& row : table)
        if (row.whole ? word == row.front : word.starts_with(row.front)) return row.value;
    return {};
}

/// "P2", "B-575", "G55": what follows speaks of something else; S2 is the second spindle.
bool is_address(std::string_view word) {
    return word.size() > 1 && value_of(subjects, word) == Subject::none && word[0] >= 'A' && word[0] <= 'Z' &&
           (text::is_digit(word[1]) || word[1] == '-') && text::is_digit(word.back()) && word[0] != 'C';
}

/// "SPINDLE 2", "BROCHE 2": a number behind it tells which.
bool is_spindle(std::string_view word) {
    for (std::string_view spindle :
         {"SPINDLE", "SPINDEL", "BROCHE", "HUSILLO", "MANDRINO", "MANDRIN", "CHUCK", "FUTTER", "PLATO",
          "SPANNFUTTER", "COLLET", "SPANNZANGE", "PINZA", "PINCE"})
        if (word == spindle) return true;
    return false;
}

/// "CHUCK TWO", "SPINDEL ZWEI": as "CHUCK 2".
void write_numbers(NotedWords& words) {
    for (std::size_t i = 1; i < words.size(); ++i) {
        if (!is_spindle(words[i - 1])) continue;
        for (std::string_view one : {"ONE", "EINS", "UNO", "UN"})
            if (words[i] == one) words[i] = "1";
        for (std::string_view two : {"TWO", "ZWEI", "DOS", "DEUX", "DUE"})
            if (words[i] == two) words[i] = "2";
    }
}

/// "BACK TO SPINDLE", "SPINDLE MODE", "TURNING MODE": what was an axis turns again. "SPINDLE TO C AXIS" is
/// the other way round.
bool names_turning_mode(const NotedWords& words, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i + 1 < to; ++i)
        if ((words[i] == "TO" && (words[i + 1] == "SPINDLE" || words[i + 1] == "TURNING")) ||
            (words[i + 1] == "MODE" &&
             (words[i] == "SPINDLE" || words[i] == "TURNING" || words[i] == "TURN")) ||
            (words[i] == "AS" && words[i + 1] == "SPINDLE") ||
            ((words[i] == "TURNS" || words[i] == "SPINDLE") && words[i + 1] == "AGAIN"))
            return true;
    return false;
}
bool becomes_axis(const NotedWords& words, std::size_t from, std::size_t to) {
    if (from < to && words[from] == "C-MODE") return true;
    for (std::size_t i = from; i + 1 < to; ++i) {
        const bool c_is_next = value_of(subjects, words[i + 1]) == Subject::c_axis;
        const bool becomes = words[i] == "TO" || words[i] == "BECOMES" || words[i] == "AS" ||
                             (words[i] == "IS" && i > from && words[i - 1] == "SPINDLE");
        if (becomes && (c_is_next || words[i + 1] == "AXIS")) return true;
        if (words[i + 1] == "MODE" && (words[i] == "AXIS" || words[i] == "C-AXIS")) return true;
    }
    return false;
}

bool has_word(const NotedWords& words, std::size_t from, std::size_t to, std::string_view word) {
    for (std::size_t i = from; i < to; ++i)
        if (words[i] == word) return true;
    return false;
}

/// "BACK SPINDLE", "REAR COLLET".
bool names_rear(const NotedWords& words, std::size_t i, std::size_t to) {
    if (i + 1 >= to ||
        (words[i] != "BACK" && words[i] != "REAR" && words[i] != "OPPOSITE" && words[i] != "RIGHT"))
        return false;
    return is_spindle(words[i + 1]) || words[i + 1] == "COLLET" || words[i + 1] == "JAWS";
}

/// "LEFT CHUCK", "RIGHT SPINDLE": no way round.
unsigned verb_at(const NotedWords& words, std::size_t i, std::size_t to) {
    const bool names_side = (words[i] == "LEFT" || words[i] == "RIGHT" || words[i] == "BACK") && i + 1 < to &&
                            (is_spindle(words[i + 1]) || words[i + 1] == "JAWS");
    return names_side ? 0 : value_of(verbs, words[i]);
}

/// The one that a word, with the number behind it, names; nullopt: none.
std::optional<Spindle> spindle_named(const NotedWords& words, std::size_t i, std::size_t to) {
    const bool is_first = i + 1 < to && words[i + 1] == "1", is_second = i + 1 < to && words[i + 1] == "2";
    if (is_spindle(words[i]) && (is_first || is_second)) return is_first ? Spindle::main : Spindle::second;
    if (words[i] == "MAIN" || words[i] == "FIRST" || words[i] == "LEFT") return Spindle::main;
    if (names_rear(words, i, to)) return Spindle::second;
    const Subject subject = value_of(subjects, words[i]);
    if (subject == Subject::second) return Spindle::second;
    if (subject == Subject::live) return Spindle::live;
    return std::nullopt;
}

/// "G96 AND FEED FOLLOW THE SECOND SPINDLE", "LIVE SPINDLE LOCKED TO THE FEED FOR TAPPING": nothing of what
/// turns.
bool is_of_feed(const NotedWords& words, std::size_t from, std::size_t to) {
    return std::any_of(words.begin() + static_cast<std::ptrdiff_t>(from),
                       words.begin() + static_cast<std::ptrdiff_t>(to), [](const std::string& word) {
                           return word == "FEED" || word == "G96" || word == "G95" || word == "G99" ||
                                  word.starts_with("TAP") || word == "RIGID" || word == "VORSCHUB" ||
                                  word == "AVANCE";
                       });
}

/// "SECOND IN STEP WITH MAIN", "SPINDLE 2 RUNS WITH SPINDLE 1", "SECOND SPINDLE LOCKED TO MAIN".
bool names_joining(const NotedWords& words, std::size_t from, std::size_t to) {
    bool both = false, one = false;
    if (is_of_feed(words, from, to)) return false;
    for (std::size_t i = from; i < to; ++i) {
        const bool is_spindle_word = words[i].starts_with("SPIND");
        if (value_of(subjects, words[i]) == Subject::other && !is_spindle_word) return false;
        const auto named = spindle_named(words, i, to);
        one = one || named == Spindle::second;
        both = both || words[i] == "SPINDLES" || words[i] == "SPINDELN" ||
               (words[i] == "BOTH" && !has_word(words, from, to, "PATHS"));
    }
    // Without a spindle named: "EQUAL SPEED"; "AT EQUAL SPEED" tells how something else is done.
    if (from + 1 < to && (words[from] == "EQUAL" || words[from] == "SAME") && words[from + 1] == "SPEED")
        return true;
    for (std::string_view word :
         {"TOGETHER", "APART", "LOCKS", "LOCKED", "LINKS", "LINKED", "UNLINKS", "JOINS", "EQUAL", "GETRENNT"})
        if (both && has_word(words, from, to, word)) return true;
    for (std::size_t i = from; i + 1 < to; ++i)
        if (both && words[i] == "SAME" && words[i + 1] == "SPEED") return true;
    for (std::size_t i = from; i + 1 < to; ++i) {
        const bool in_step = words[i] == "IN" && words[i + 1] == "STEP";
        const bool with_other = i + 2 < to &&
                                (words[i] == "RUNS" || words[i] == "TURNS" || words[i] == "LOCKED") &&
                                (words[i + 1] == "WITH" || words[i + 1] == "TO" || words[i + 1] == "AT" ||
                                 words[i + 1] == "LIKE" || words[i + 1] == "AS") &&
                                spindle_named(words, i + 2, to).has_value();
        if ((in_step && (one || both)) || (with_other && one)) return true;
    }
    return one && (has_word(words, from, to, "FOLLOW") || has_word(words, from, to, "FOLLOWS"));
}

/// "S AND M03-M05 GO TO MAIN SPINDLE", "SPINDLE WORDS GO TO SPINDLE 1"; behind such a code "TO SPINDLE 2"
/// alone.
std::optional<Spindle> speaks_to(const NotedWords& words, std::size_t from, bool behind_such) {
    bool of_speed = behind_such && from < words.size() && words[from] == "TO";
    std::size_t to = from;
    while (to < words.size() && words[to] != ",") ++to;
    for (std::size_t i = from; i < to; ++i) {
        of_speed = of_speed || words[i] == "S" || words[i] == "M03" || words[i] == "SPEED" ||
                   (words[i] == "WORDS" && i > from && words[i - 1] == "SPINDLE");
        if (!of_speed || words[i] != "TO" || i + 1 == to) continue;
        const std::size_t next = words[i + 1] == "THE" && i + 2 < to ? i + 2 : i + 1;
        if (const auto named = spindle_named(words, next, to)) return named;
    }
    return std::nullopt;
}
Meaning spoken_to(Spindle which) {
    return which == Spindle::main     ? Meaning::main_spoken_to
           : which == Spindle::second ? Meaning::second_spoken_to
                                      : Meaning::live_spoken_to;
}

/// "M103 M105 SECOND SPINDLE" stands for M03 and M05: the last digits tell.
std::optional<Meaning> by_last_digits(int number) {
    if (number <= 100) return std::nullopt;
    switch (number % 100) {
    case 3:
        return Meaning::second_forward;
    case 4:
        return Meaning::second_reverse;
    case 5:
        return Meaning::second_stop;
    default:
        return std::nullopt;
    }
}

Subject subject_in(const NotedWords& words, std::size_t from, std::size_t to) {
    Subject found = Subject::none;
    for (std::size_t i = from; i < to; ++i) {
        Subject named = value_of(subjects, words[i]);
        if (names_rear(words, i, to)) named = Subject::second;
        // "TOOL SPINDLE ON": it turns the tool.
        if (words[i] == "TOOL" && i + 1 < to && (words[i + 1] == "SPINDLE" || words[i + 1] == "DRIVE"))
            named = Subject::live;
        if (i > from && words[i] == "2" && is_spindle(words[i - 1])) named = Subject::second;
        if (i + 1 < to && is_spindle(words[i]) && (words[i + 1] == "1" || words[i + 1] == "2")) {
            // "SPINDLE 1": told by its number
            found = std::max(found, Subject::clamp);
            continue;
        }
        // "MILL ON", and not what is milled.
        const bool mills = words[i] == "MILL" && i + 1 < to && words[i + 1] != "RUNS" &&
                           value_of(verbs, words[i + 1]) == 0 &&
                           value_of(subjects, words[i + 1]) == Subject::none;
        if (mills) continue;
        // A live centre stands in the tailstock.
        if (named == Subject::live && i + 1 < to && value_of(subjects, words[i + 1]) == Subject::quill)
            continue;
        if (words[i] == "POWER" && i + 1 < to && words[i + 1].starts_with("TOOL")) named = Subject::live;
        const bool of_other = named == Subject::other && words[i] != "SPINDLE" && words[i] != "SPINDLES";
        if (of_other) return named;
        // "SUB SPINDLE", "MILLING SPINDLE": the word before tells which.
        if (named == Subject::other && found != Subject::none && found != Subject::clamp) continue;
        if (named == Subject::other && found == Subject::clamp) return named;
        found = std::max(found, named);
    }
    return found;
}

bool names_second(const NotedWords& words, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i)
        if (value_of(subjects, words[i]) == Subject::second || names_rear(words, i, to) ||
            (i > from && words[i] == "2" && is_spindle(words[i - 1])))
            return true;
    return false;
}

/// "M50 OFF": what it is that goes off is told by the code before.
bool begins_with_verb(const NotedWords& words, std::size_t from, std::size_t to) {
    if (from + 1 == to && words[from] == "NO") return true;
    if (from + 1 < to && (words[from] == "NO" || words[from] == "NOT")) ++from;
    return from == to || words[from] == "," || value_of(verbs, words[from]) != 0;
}

bool names_verb(const NotedWords& words, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i)
        if (value_of(verbs, words[i]) != 0) return true;
    return false;
}

/// "M103 M104 M105", "M110 / M111": codes before the words that tell of all of them.
struct CodesInRow {
    std::vector<int> numbers;
    std::size_t end = 0; ///< Behind the last one
};
CodesInRow codes_in_row(const NotedWords& words, std::size_t from) {
    CodesInRow row;
    int number = 0;
    for (std::size_t i = from; i < words.size();) {
        if (!is_m_code(words[i], number)) break;
        row.numbers.push_back(number);
        row.end = ++i;
        if (i + 1 < words.size() && words[i] == "," && is_m_code(words[i + 1], number)) ++i;
    }
    return row;
}
/// "M23 M25", "M63 M64 M65": as M03, M04 and M05 of the main spindle.
bool stand_for_main(const std::vector<int>& numbers) {
    if (numbers.size() < 2 || numbers.front() < 10) return false;
    for (std::size_t i = 0; i < numbers.size(); ++i)
        if (numbers[i] / 10 != numbers.front() / 10 || numbers[i] % 10 < 3 || numbers[i] % 10 > 5)
            return false;
    return numbers.front() % 10 == 3 && numbers.back() % 10 == 5;
}
std::optional<Meaning> by_last_digit(int number) {
    return by_last_digits(100 + number % 10);
}
std::size_t to_of(const NotedWords& words, std::size_t from) {
    int number = 0;
    while (from < words.size() && !is_m_code(words[from], number) && !is_address(words[from])) ++from;
    return from;
}
std::size_t thought_end(const NotedWords& words, std::size_t from, std::size_t to) {
    while (from < to && words[from] != ",") ++from;
    return from;
}
/// The second spindle or its chuck, and not what is done there.
bool is_second_alone(const NotedWords& words, std::size_t from, std::size_t to) {
    const std::size_t end = thought_end(words, from, to);
    for (std::size_t i = from; i < end; ++i)
        if (verb_at(words, i, end) != 0 && !names_rear(words, i, end)) return false;
    return subject_in(words, from, end) == Subject::second;
}
/// Words of a spindle, its number and one verb at its end, and none of a chuck; or a spindle with its number.
bool names_spindle_alone(const NotedWords& words, std::size_t from, std::size_t to) {
    bool spindle = false;
    for (std::size_t i = from; i < to; ++i) {
        const bool names = words[i] == "SPINDLE" || words[i] == "SPINDEL" || words[i] == "BROCHE" ||
                           words[i] == "HUSILLO" || words[i] == "MANDRINO";
        spindle = spindle || names;
        const bool known = names || words[i] == "2" || value_of(subjects, words[i]) == Subject::second ||
                           names_rear(words, i, to) || (i + 1 == to && value_of(verbs, words[i]) != 0);
        if (!known) return false;
    }
    return spindle;
}
bool names_chuck(const NotedWords& words, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < thought_end(words, from, to); ++i)
        if (value_of(subjects, words[i]) == Subject::clamp) return true;
    return false;
}

std::optional<Meaning> sense_of(Subject subject, unsigned told, bool of_second) {
    struct Pair {
        Subject subject;
        unsigned first_words, second_words;
        Meaning first, second;
    };
    static constexpr Pair pairs[] = {
        {Subject::clamp, opens, closes, Meaning::chuck_open, Meaning::chuck_closed},
        {Subject::second, opens, closes, Meaning::second_chuck_open, Meaning::second_chuck_closed},
        {Subject::second, forward, reverse, Meaning::second_forward, Meaning::second_reverse},
        {Subject::second, off, on, Meaning::second_stop, Meaning::second_stop},
        {Subject::quill, comes_out, goes_back, Meaning::quill_out, Meaning::quill_in},
        {Subject::c_axis, on, off, Meaning::c_axis_on, Meaning::c_axis_off},
        {Subject::c_axis, closes, opens, Meaning::c_brake_on, Meaning::c_brake_off},
        {Subject::brake, on | closes, off | opens, Meaning::c_brake_on, Meaning::c_brake_off},
        {Subject::live, reverse, off | closes, Meaning::live_tool_reverse, Meaning::live_tool_off},
        {Subject::live, on | comes_out | forward, off | closes, Meaning::live_tool_on,
         Meaning::live_tool_off},
        {Subject::c_axis, goes_in, comes_out, Meaning::c_axis_on, Meaning::c_axis_off},
        {Subject::joined, on | goes_in | closes, off | opens, Meaning::spindles_joined,
         Meaning::spindles_parted},
        {Subject::catcher, comes_out | up, goes_back | goes_in | down, Meaning::catcher_out,
         Meaning::catcher_in},
        {Subject::pusher, comes_out | on, goes_in, Meaning::part_pushed_out, Meaning::part_pushed_out},
    };
    for (const Pair& pair : pairs) {
        const bool is_first = told & pair.first_words, is_second = told & pair.second_words;
        if (pair.subject != subject || is_first == is_second) continue;
        if (pair.first == pair.second && is_second) return std::nullopt; // Of no pair
        const Meaning meaning = is_first ? pair.first : pair.second;
        return meaning == Meaning::c_axis_on && of_second ? Meaning::second_c_axis_on : meaning;
    }
    return std::nullopt;
}

/// Beside a wait: "COLLET IS EMPTY AND OPEN". That is what other blocks have done.
bool tells_how_it_stands(const NotedWords& words) {
    return std::any_of(words.begin(), words.end(), [](const std::string& word) {
        return word == "IS" || word == "ARE" || word == "IST" || word == "SIND" || word == "EST" ||
               word == "ESTA";
    });
}

/// "SECOND SPINDLE: M203 RUN, M205 STOP, JAWS M210 OPEN", and without the colon where nothing else speaks of
/// the main one: all codes of the note are that one's.
bool is_title_of_second(std::string_view note) {
    const std::size_t colon = note.find(':');
    const NotedWords all = noted_words(note);
    int number = 0;
    const auto first = std::find_if(all.begin(), all.end(),
                                    [&](const std::string& word) { return is_m_code(word, number); });
    const bool of_main = has_word(all, 0, all.size(), "MAIN") || has_word(all, 0, all.size(), "LEFT") ||
                         has_word(all, 0, all.size(), "1");
    if (colon == std::string_view::npos && of_main) return false;
    const NotedWords words =
        colon == std::string_view::npos ? NotedWords(all.begin(), first) : noted_words(note.substr(0, colon));
    for (const std::string& word : words)
        if (is_m_code(word, number)) return false;
    return words.size() <= 3 && !has_word(words, 0, words.size(), "C") &&
           (is_second_alone(words, 0, words.size()));
}

/// "MAIN SPINDLE: M10 OPEN M11 CLOSED. COUNTER SPINDLE: M110 OPEN": where the second title begins; 0: there
/// is none.
std::size_t begin_of_title(std::string_view note) {
    const std::size_t first = note.find(':');
    const std::size_t colon = first == std::string_view::npos ? first : note.find(':', first + 1);
    if (colon == std::string_view::npos) return 0;
    const std::size_t begin = note.find_last_of(".,;", colon);
    if (begin == std::string_view::npos || begin < first) return 0;
    return is_title_of_second(note.substr(begin + 1)) ? begin + 1 : 0;
}

/// "C AXIS ON M73 OFF M74, LOCK M71 UNLOCK M72": words first, a verb for each code, and nothing behind the
/// last.
bool verb_before_each_code(const NotedWords& words) {
    int number = 0;
    if (words.empty() || !is_m_code(words.back(), number)) return false;
    bool verb = false;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (!is_m_code(words[i], number)) {
            verb = verb || verb_at(words, i, words.size()) != 0;
            continue;
        }
        if (!verb) return false;
        verb = false;
    }
    return true;
}

/// "END SYNC", "FIN AXE C".
bool ends_what_is_named(const NotedWords& words, std::size_t from, std::size_t to) {
    if (words[from] != "END" && words[from] != "FIN" && words[from] != "FINE" && words[from] != "ENDE")
        return false;
    return subject_in(words, from + 1, to) != Subject::none;
}

/// "ROTARY TOOL RUN M13, STOP M15", "TURNS AGAIN WITH M40": each code behind its own words; else empty. With
/// each the place where its words begin.
std::vector<std::pair<std::size_t, std::size_t>> words_before_codes(const NotedWords& words) {
    std::vector<std::pair<std::size_t, std::size_t>> found;
    int number = 0;
    std::size_t from = 0;
    const bool each_with_verb = verb_before_each_code(words);
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (!is_m_code(words[i], number)) continue;
        const bool ends = i + 1 == words.size() || words[i + 1] == "," || each_with_verb;
        std::size_t begin = from;
        while (begin < i && words[begin] == ",") ++begin;
        if (!ends || begin == i) return {};
        found.emplace_back(begin, i);
        from = i + 1;
    }
    if (from != words.size()) found.clear();
    return found;
}

/// "M23 M24 M25 SUB CW CCW STOP": one verb a code, in their order; else empty.
std::vector<unsigned> verbs_in_row(const NotedWords& words, std::size_t from, std::size_t to,
                                   std::size_t count) {
    std::vector<unsigned> row;
    for (std::size_t i = from; i < to; ++i)
        if (const unsigned told = value_of(verbs, words[i])) row.push_back(told);
    if (row.size() != count) row.clear();
    return row;
}

/// Where the words of a row end: with its thought, or with the verbs of one word behind it, "M63 M64 M65 =
/// LIVE SPINDLE FORWARD, REVERSE, STOP".
std::size_t row_end(const NotedWords& words, const CodesInRow& row) {
    const std::size_t to = to_of(words, row.end);
    std::size_t end = thought_end(words, row.end, to);
    while (end + 1 < to && value_of(verbs, words[end + 1]) != 0 && (end + 2 >= to || words[end + 2] == ","))
        end += 2;
    return std::min(end, to);
}

/// "FOLLOW OFF", "TIE OFF", "SYNCHRONISING ENDS": of both spindles, without one named.
bool ends_joining(const NotedWords& words, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i + 1 < to; ++i)
        if ((words[i].starts_with("FOLLOW") || words[i] == "TIE" || words[i].starts_with("COUPLING") ||
             words[i].starts_with("SYNC") || words[i] == "TOGETHER" || words[i].starts_with("MATCH")) &&
            (words[i + 1] == "OFF" || words[i + 1].starts_with("END") || words[i + 1] == "OUT"))
            return true;
    return false;
}

/// "M33/M34 CLAMP/UNCLAMP C": what both work on is told once, behind both verbs; "M52/M53 BRAKE" and
/// "BRAKE M52/M53" have none, and the first sets what the second ends. Each gets words of its own.
void write_each_pair_out(NotedWords& words) {
    int first = 0, second = 0;
    for (std::size_t i = 0; i + 2 < words.size(); ++i) {
        if (!is_m_code(words[i], first) || words[i + 1] != "," || !is_m_code(words[i + 2], second)) continue;
        const std::size_t verb = i + 3;
        // Verb , verb and the name
        if (verb + 3 < words.size() && words[verb + 1] == "," && value_of(verbs, words[verb]) != 0 &&
            value_of(verbs, words[verb + 2]) != 0) {
            std::size_t end = verb + 3;
            while (end < words.size() && words[end] != "," && !is_m_code(words[end], second)) ++end;
            const Subject named = subject_in(words, verb + 3, end);
            if (end == verb + 3 || named == Subject::none || named == Subject::other) continue;
            const NotedWords name(words.begin() + static_cast<std::ptrdiff_t>(verb) + 3,
                                  words.begin() + static_cast<std::ptrdiff_t>(end));
            NotedWords out{words[i], words[verb]};
            out.insert(out.end(), name.begin(), name.end());
            out.insert(out.end(), {",", words[i + 2], words[verb + 2]});
            out.insert(out.end(), name.begin(), name.end());
            words.erase(words.begin() + static_cast<std::ptrdiff_t>(i),
                        words.begin() + static_cast<std::ptrdiff_t>(end));
            words.insert(words.begin() + static_cast<std::ptrdiff_t>(i), out.begin(), out.end());
            i += out.size() - 1;
            continue;
        }
        // The name behind them and no verb, "M73/M75 LIVE TOOL"
        const bool in_turn = second == first + 1 || (first % 10 == 3 && second == first + 2);
        if (verb < words.size() && words[verb] != ",") {
            std::size_t begin = verb, end = verb;
            while (begin < words.size() &&
                   (words[begin] == "IS" || words[begin] == "ARE" || words[begin] == "THE"))
                ++begin;
            for (end = begin; end < words.size() && words[end] != "," && words[end] != "OF"; ++end)
                if (is_m_code(words[end], second)) break;
            const Subject behind = subject_in(words, begin, end);
            const bool named_alone =
                end > begin && end - begin <= 2 && !names_verb(words, begin, end) &&
                (end == words.size() || words[end] == "," || words[end] == "OF") &&
                (behind == Subject::c_axis || behind == Subject::brake || behind == Subject::live);
            is_m_code(words[i + 2], second);
            if (!named_alone || !in_turn || first < 10) continue;
            const NotedWords name(words.begin() + static_cast<std::ptrdiff_t>(begin),
                                  words.begin() + static_cast<std::ptrdiff_t>(end));
            NotedWords out{words[i]};
            out.insert(out.end(), name.begin(), name.end());
            out.insert(out.end(), {"ON", ",", words[i + 2]});
            out.insert(out.end(), name.begin(), name.end());
            out.emplace_back("OFF");
            while (end < words.size() && words[end] != "," && !is_m_code(words[end], first)) ++end;
            words.erase(words.begin() + static_cast<std::ptrdiff_t>(i),
                        words.begin() + static_cast<std::ptrdiff_t>(end));
            words.insert(words.begin() + static_cast<std::ptrdiff_t>(i), out.begin(), out.end());
            i += out.size() - 1;
            continue;
        }
        std::size_t title = i;
        while (title > 0 && words[title - 1] != ",") --title;
        const Subject named = subject_in(words, title, i);
        const bool on_and_off = named == Subject::c_axis || named == Subject::brake || named == Subject::live;
        if (!on_and_off || names_verb(words, title, i) || !in_turn || first < 10) continue;
        const NotedWords name(words.begin() + static_cast<std::ptrdiff_t>(title),
                              words.begin() + static_cast<std::ptrdiff_t>(i));
        NotedWords out{words[i]};
        out.insert(out.end(), name.begin(), name.end());
        out.insert(out.end(), {"ON", ",", words[i + 2]});
        out.insert(out.end(), name.begin(), name.end());
        out.emplace_back("OFF");
        words.erase(words.begin() + static_cast<std::ptrdiff_t>(title),
                    words.begin() + static_cast<std::ptrdiff_t>(verb));
        words.insert(words.begin() + static_cast<std::ptrdiff_t>(title), out.begin(), out.end());
        i = title + out.size() - 1;
    }
}

/// "M23 = M03 FOR SPINDLE 2": the verb is the code of the main one.
void write_standing_for(NotedWords& words) {
    int number = 0, as = 0;
    for (std::size_t i = 0; i + 3 < words.size(); ++i) {
        if (!is_m_code(words[i], number) || number < 10 || !is_m_code(words[i + 1], as) || as < 3 || as > 5)
            continue;
        const std::string& next = words[i + 2];
        if (next != "FOR" && next != "OF" && next != "ON" && next != "IN" && next != "FUER") continue;
        std::size_t end = i + 2;
        while (end < words.size() && words[end] != ",") ++end;
        if (subject_in(words, i + 3, end) != Subject::second && !names_second(words, i + 3, end)) continue;
        words[i + 1] = as == 3 ? "FORWARD" : as == 4 ? "REVERSE" : "STOP";
        words.erase(words.begin() + static_cast<std::ptrdiff_t>(i) + 2); // "ON" is a verb
    }
}

/// The M codes from here on with nothing but commas between; `end` is behind the last one.
std::vector<int> numbers_from(const NotedWords& words, std::size_t from, std::size_t& end) {
    std::vector<int> numbers;
    int number = 0;
    end = from;
    while (end < words.size() && is_m_code(words[end], number)) {
        numbers.push_back(number);
        ++end;
        int next = 0;
        if (end + 1 >= words.size() || words[end] != "," || !is_m_code(words[end + 1], next)) break;
        ++end;
    }
    return numbers;
}

/// "M23/M24/M25 = M03/M04/M05 OF SPINDLE 2": each of a row stands for one of the main spindle's.
void write_rows_standing_for(NotedWords& words) {
    for (std::size_t i = 0; i + 4 < words.size(); ++i) {
        std::size_t middle = 0, end = 0;
        const std::vector<int> own = numbers_from(words, i, middle);
        if (own.size() < 2 || own.front() < 10) continue;
        const std::vector<int> as = numbers_from(words, middle, end);
        const bool of_spindle =
            std::all_of(as.begin(), as.end(), [](int number) { return number >= 3 && number <= 5; });
        if (as.size() != own.size() || !of_spindle || end + 1 >= words.size()) continue;
        if (words[end] != "OF" && words[end] != "FOR" && words[end] != "ON" && words[end] != "FUER") continue;
        std::size_t last = end + 1;
        while (last < words.size() && words[last] != ",") ++last;
        if (subject_in(words, end + 1, last) != Subject::second && !names_second(words, end + 1, last))
            continue;
        NotedWords out;
        for (std::size_t k = 0; k < own.size(); ++k) {
            if (k > 0) out.emplace_back(",");
            out.push_back("M" + std::to_string(own[k]));
            out.insert(out.end(), {"SECOND", "SPINDLE",
                                   as[k] == 3   ? "FORWARD"
                                   : as[k] == 4 ? "REVERSE"
                                                : "STOP"});
        }
        words.erase(words.begin() + static_cast<std::ptrdiff_t>(i),
                    words.begin() + static_cast<std::ptrdiff_t>(last));
        words.insert(words.begin() + static_cast<std::ptrdiff_t>(i), out.begin(), out.end());
        i += out.size();
    }
}

/// "MAIN / SUB CHUCK CLOSE M10 / M110": both names, one verb, both codes.
void write_main_and_second(NotedWords& words) {
    if (words.size() < 6 || words[0] != "MAIN" || words[1] != ",") return;
    std::size_t verb = 2, end = 0;
    while (verb < words.size() && value_of(verbs, words[verb]) == 0 && words[verb] != ",") ++verb;
    if (verb <= 3 || verb >= words.size() || value_of(subjects, words[2]) != Subject::second ||
        value_of(subjects, words[verb - 1]) != Subject::clamp)
        return;
    const std::vector<int> numbers = numbers_from(words, verb + 1, end);
    if (numbers.size() != 2 || end != words.size()) return;
    const std::string chuck = words[verb - 1], does = words[verb];
    words = {"M" + std::to_string(numbers[0]), "MAIN", chuck, does, ",",
             "M" + std::to_string(numbers[1]), "SUB",  chuck, does};
}

} // namespace
} // namespace note_of_codes

namespace {

/// "M170 C AXIS, M171 TURNING MODE", "M13 OUTIL TOURNANT, M15 ARRET": the name is what goes on, where another
/// code of the note ends it.
void name_what_goes_on(std::vector<NotedCode>& codes) {
    using namespace note_of_codes;
    const auto has = [&](Meaning meaning) {
        return std::any_of(codes.begin(), codes.end(),
                           [&](const NotedCode& code) { return code.does == meaning; });
    };
    if (has(Meaning::live_tool_off) && !has(Meaning::live_tool_on))
        for (NotedCode& code : codes) {
            const note_of_codes::NotedWords words = note_of_codes::noted_words(code.words);
            if (!code.does && code.number >= 10 && words.size() <= 2 &&
                subject_in(words, 0, words.size()) == Subject::live && !names_verb(words, 0, words.size()))
                code.does = Meaning::live_tool_on;
        }
    if (!has(Meaning::c_axis_off) || has(Meaning::c_axis_on)) return;
    for (NotedCode& code : codes)
        for (std::string_view name :
             {"C AXIS", "C-AXIS", "CAXIS", "C", "AXE C", "EJE C", "ASSE C", "C-ACHSE"})
            if (!code.does && code.number >= 10 && code.words == name) code.does = Meaning::c_axis_on;
}

std::vector<NotedCode> codes_without_p(std::string_view note, const note_of_codes::NotedWords& words,
                                       int alone) {
    using namespace note_of_codes;
    if (const std::size_t title = begin_of_title(note)) {
        std::vector<NotedCode> codes = codes_named(note.substr(0, title), alone);
        for (NotedCode& code : codes_named(note.substr(title), -1)) codes.push_back(std::move(code));
        return codes;
    }
    std::vector<NotedCode> codes;
    // What is worked on may be told once, "M10 COLLET OPEN, M11 CLOSED", or not at all: then it is the clamp.
    Subject subject = Subject::clamp;
    const bool of_second = is_title_of_second(note);
    bool speaks_before = false; ///< The code before tells which spindle S goes to
    bool of_spindle = false;    ///< The title names the second spindle itself, and no chuck
    const auto add = [&](int number, std::size_t from, std::size_t to) {
        std::size_t end = from;
        while (end < to && words[end] != ",") ++end;
        const auto verbs_in = [&](std::size_t last) {
            unsigned told = 0;
            for (std::size_t i = from; i < last; ++i)
                // "HORS SERVICE": the word before turns it round.
                if (words[i] == "NO" && i + 1 == last)
                    told |= off; // "SI/NO"
                else if (i > from && (words[i - 1] == "NO" || words[i - 1] == "NOT") &&
                         value_of(verbs, words[i]) == on)
                    told |= off;
                else if (i == from || words[i - 1] != "HORS")
                    told |= verb_at(words, i, last);
            return told;
        };
        // The thought behind a comma may be of something else: "M43 CLAMPS C, CYCLE RELEASES".
        unsigned told = verbs_in(end);
        if (told == 0) told = verbs_in(to);
        if (told & off) told &= ~static_cast<unsigned>(closes); // "LOCK OFF"
        const bool ends_it = from + 1 < to && ((words[from] == "END" && words[from + 1] == "OF") ||
                                               ends_what_is_named(words, from, to) ||
                                               ((words[from] == "FIN" || words[from] == "FINE") &&
                                                from + 2 < to && words[from + 1].size() == 2));
        const bool joins = names_joining(words, ends_it ? std::min(from + 2, to) : from, to);
        const bool parts = !joins && ends_joining(words, from, end);
        Subject of_thought = subject_in(words, from, end);
        // "SUB CHUCK M110 CLAMP M111 UNCLAMP": no noun, so of the one that is spoken of.
        if (of_thought == Subject::clamp && subject == Subject::second && end == from + 1 &&
            value_of(verbs, words[from]) != 0)
            of_thought = Subject::second;
        Subject own = joins || parts                ? Subject::joined
                      : of_thought != Subject::none ? of_thought
                                                    : subject_in(words, from, to);
        // "M82 OPENS AND M83 CLOSES THE SUB CHUCK": told once, behind both.
        if (own == Subject::none && from < to && (words[to - 1] == "AND" || words[to - 1] == "UND") &&
            to + 1 < words.size())
            own = subject_in(words, to + 1, to_of(words, to + 1));
        if (joins || parts) told = (told & off) || ends_it || parts ? off : on;
        if (ends_it && !joins && own != Subject::none) told = off;
        // "LETS THE BAR GO"
        if ((has_word(words, from, end, "LET") || has_word(words, from, end, "LETS")) &&
            has_word(words, from, end, "GO"))
            told |= opens;
        if ((own == Subject::second || (own == Subject::none && subject == Subject::second)) && told == 0) {
            for (std::string_view word : {"RUNS", "TURNS", "GIRA", "DREHT", "TOURNE"})
                if (has_word(words, from, end, word)) told = forward;
            for (std::string_view word : {"STANDS", "PARA", "STEHT"})
                if (has_word(words, from, end, word)) told = off;
        }
        if (own == Subject::live && told == 0 && has_word(words, from, end, "TURNS")) told = on | forward;
        // "M96 C BRAKE, M97 BRAKE OFF", "EJECT THE PART": the name is the verb.
        if (told == 0 && own == Subject::brake && end - from <= 3) told = on;
        if (told == 0 && own == Subject::pusher) told = comes_out;
        if (own == Subject::c_axis || own == Subject::brake)
            told |= (has_word(words, from, end, "HELD") || has_word(words, from, end, "HOLD") ||
                             has_word(words, from, end, "HOLDS")
                         ? closes
                         : 0U) |
                    (has_word(words, from, end, "FREE") ? opens : 0U);
        if (has_word(words, from, end, "RUNS") && own == Subject::live) told |= on | forward;
        // "M39 THAT OFF": of what the code before does.
        const bool of_that = from < to && (words[from] == "THAT" || words[from] == "SAME");
        const bool goes_on = subject == Subject::joined && from < to &&
                             (of_that || words[from] == "ENDS" || words[from] == "STEP" ||
                              words[from] == "FREE" || words[from] == "NO" || words[from] == "EACH" ||
                              (words[from] == "SPINDLES" && has_word(words, from, end, "FREE")));
        if (goes_on && words[from] == "SPINDLES") own = Subject::none;
        if (goes_on && words[from] != "STEP") told = off;
        if (own != Subject::none)
            subject = own;
        else if (goes_on)
            subject = Subject::joined; // "M450 SPINDLE 2 RUNS WITH SPINDLE 1, M451 ENDS IT"
        else if (subject != Subject::clamp && !of_that && !begins_with_verb(words, from, to))
            subject = Subject::other; // "M51 C ON, M70 CONVEYOR ON"
        if (becomes_axis(words, from, to) && (told == 0 || own == Subject::other)) {
            subject = Subject::c_axis;
            told = on;
        }
        if (own == Subject::joined && told == 0) told = ends_it ? off : on; // "M51 SYNC, M50 SYNC OFF"
        if ((own == Subject::none || own == Subject::other) && names_turning_mode(words, from, to)) {
            subject = Subject::c_axis;
            told = off;
        }
        const bool is_clamp = subject == Subject::clamp || subject == Subject::other;
        if (of_second && is_clamp) subject = Subject::second;
        // "SUB ON": no word more, so of the spindle itself.
        if (subject == Subject::second && told == on && end - from == 2 &&
            (is_second_alone(words, from, from + 1) || is_second_alone(words, from + 1, end)))
            told = forward;
        // "SPINDLE 2 ON", "PICK-UP SPINDLE ON", and the verb alone behind that name.
        if (subject == Subject::second && told == on &&
            (names_spindle_alone(words, from, end) || (of_spindle && end == from + 1)))
            told = forward;
        of_spindle = of_spindle && own == Subject::none;
        if (subject == Subject::live && (told & closes) && is_of_feed(words, from, to)) told = 0;
        // What the notes beside M00 or M05 speak of is done by hand.
        const bool is_of_builder = number >= 10 && number != 30 && number != 98 && number != 99;
        // "C BRAKE GRIPS AT EACH HOLE AND LETS GO BY ITSELF": it holds nothing longer.
        for (std::string_view word : {"ITSELF", "SEUL", "SELBST", "SOLO", "SOLA"})
            if (has_word(words, from, to, word)) told = 0;
        auto does = is_of_builder ? sense_of(subject, told, names_second(words, from, to)) : std::nullopt;
        if (is_of_builder) {
            if (const auto which = speaks_to(words, from, speaks_before)) does = spoken_to(*which);
            speaks_before = does && codes::group_of(*does) == codes::Group::spoken_to;
        }
        // "M80 C AXIS IN PRISE, M81 C FREE": of the axis, where no brake is told before it.
        if (does == Meaning::c_brake_off && own != Subject::brake && !codes.empty() &&
            codes.back().does == Meaning::c_axis_on &&
            (has_word(words, from, end, "FREE") || has_word(words, from, end, "LIBRE") ||
             has_word(words, from, end, "LIBERE") || has_word(words, from, end, "LIBERA") ||
             has_word(words, from, end, "FREI")))
            does = Meaning::c_axis_off;
        const std::size_t name_end = speaks_before ? thought_end(words, from, words.size()) : end;
        codes.push_back({number, does, in_a_row(words, from, name_end)});
    };
    // "M20/M21 MAIN OPEN/CLOSE": each has the word of its place.
    const auto add_both = [&](int first, int second, std::size_t from, std::size_t comma, std::size_t to) {
        add(first, from, comma);
        add(second, comma + 1, thought_end(words, comma + 1, to));
        const auto before = in_a_row(words, from, comma - 1);
        if (!before.empty()) codes.back().words = before + " " + codes.back().words;
    };
    // "TAILSTOCK M25 OUT / M26 BACK"
    const auto first_code = std::find_if(words.begin(), words.end(), [](const std::string& word) {
        int number = 0;
        return is_m_code(word, number);
    });
    const auto before = std::find(std::make_reverse_iterator(first_code), words.rend(), ",");
    const Subject named = subject_in(words, static_cast<std::size_t>(before.base() - words.begin()),
                                     static_cast<std::size_t>(first_code - words.begin()));
    if (first_code != words.end() && named != Subject::none && named != Subject::other) subject = named;
    of_spindle = subject == Subject::second &&
                 names_spindle_alone(words, static_cast<std::size_t>(before.base() - words.begin()),
                                     static_cast<std::size_t>(first_code - words.begin()));
    bool any = false;
    if (const auto before_codes = words_before_codes(words); before_codes.size() > 1) {
        for (const auto& [begin, at] : before_codes) {
            int number = 0;
            is_m_code(words[at], number);
            const bool with = words[at - 1] == "WITH" || words[at - 1] == "BY" || words[at - 1] == "IS";
            const std::size_t end = with && at - 1 > begin ? at - 1 : at;
            add(number, begin, end);
            // "ROTARY TOOL M13, STOP M15": alone it names what goes on.
            if (!codes.back().does && subject == Subject::live && !names_verb(words, begin, end) &&
                number >= 10)
                codes.back().does = Meaning::live_tool_on;
        }
        name_what_goes_on(codes);
        return codes;
    }
    // "RIGHT SPINDLE M63 M64 M65": the name stands before all of them.
    if (const CodesInRow row = of_second && first_code != words.end()
                                   ? codes_in_row(words, static_cast<std::size_t>(first_code - words.begin()))
                                   : CodesInRow{};
        stand_for_main(row.numbers) && (row.end == words.size() || words[row.end] == ","))
        for (const int number : row.numbers)
            codes.push_back({number, by_last_digit(number),
                             in_a_row(words, 0, static_cast<std::size_t>(first_code - words.begin()))});
    const std::size_t told_before = codes.size();
    std::optional<std::pair<Meaning, Meaning>> chuck_pair; ///< "M10 / M11 MAIN CHUCK CLOSE / OPEN"
    for (std::size_t i = 0; i < words.size(); ++i) {
        int number = 0, next = 0;
        if (!is_m_code(words[i], number)) continue;
        any = true;
        if (std::any_of(codes.begin(), codes.begin() + static_cast<std::ptrdiff_t>(told_before),
                        [&](const NotedCode& code) { return code.number == number; }))
            continue;
        std::size_t end = i + 1;
        while (end < words.size() && !is_m_code(words[end], next)) ++end;
        // "M20/M21 MAIN OPEN/CLOSE", "M56 M57 COLLET CLOSE, OPEN"
        const bool has_none = end < words.size() && (end == i + 1 || (end == i + 2 && words[i + 1] == ","));
        const std::size_t from = (has_none ? end : i) + 1;
        std::size_t to = from;
        int of_other = 0;
        while (to < words.size() && !is_m_code(words[to], of_other) && !is_address(words[to])) ++to;
        const auto has_verb_in = [&](std::size_t first, std::size_t last) {
            return std::any_of(words.begin() + static_cast<std::ptrdiff_t>(first),
                               words.begin() + static_cast<std::ptrdiff_t>(last),
                               [](const auto& word) { return value_of(verbs, word) != 0; });
        };
        const auto has_own_verb_in = [&](std::size_t first, std::size_t last) {
            for (std::size_t k = first; k < last; ++k)
                if (verb_at(words, k, last) != 0) return true;
            return false;
        };
        // "M26 ON, M27 OFF. MILL: M31 ON": the last thought is of the next code.
        std::optional<Subject> of_next;
        if (to < words.size() && is_m_code(words[to], of_other)) {
            std::size_t title = to;
            while (title > from && words[title - 1] != ",") --title;
            const Subject named_next = subject_in(words, title, to);
            if (title > from + 1 && title < to && !has_own_verb_in(title, to) &&
                named_next != Subject::none && named_next != Subject::other) {
                of_next = named_next;
                to = title - 1;
            }
        }
        const auto comma =
            static_cast<std::size_t>(std::find(words.begin() + static_cast<std::ptrdiff_t>(from),
                                               words.begin() + static_cast<std::ptrdiff_t>(to), ",") -
                                     words.begin());
        // "LEFT SPINDLE M03, RIGHT SPINDLE M203 M204 M205": the name stands before them.
        std::size_t title = i;
        while (title > 0 && words[title - 1] != ",") --title;
        const CodesInRow titled = codes_in_row(words, i);
        if (title < i && stand_for_main(titled.numbers) && is_second_alone(words, title, i) &&
            (titled.end == words.size() || words[titled.end] == ",")) {
            for (const int each : titled.numbers)
                codes.push_back({each, by_last_digit(each), in_a_row(words, title, i)});
            i = titled.end - 1;
            continue;
        }
        const bool in_two = has_none && comma > from && comma + 1 < to;
        // Without a stroke between them both must be told.
        if (in_two && (end == i + 2 || (has_verb_in(from, comma) && has_verb_in(comma + 1, comma + 2)))) {
            add_both(number, next, from, comma, to);
            i = end;
            const NotedCode &first = codes[codes.size() - 2], &second = codes.back();
            if (first.does && second.does && codes::group_of(*first.does) == codes::Group::chuck)
                chuck_pair = {*first.does, *second.does};
        } else if (const auto row = codes_in_row(words, i);
                   row.numbers.size() > 1 && is_second_alone(words, row.end, to_of(words, row.end))) {
            const std::size_t row_to = to_of(words, row.end);
            const std::string name = in_a_row(words, row.end, thought_end(words, row.end, row_to));
            const bool of_chuck =
                chuck_pair && row.numbers.size() == 2 && names_chuck(words, row.end, row_to);
            for (std::size_t k = 0; k < row.numbers.size(); ++k) {
                std::optional<Meaning> does;
                if (of_chuck)
                    does = (k == 0 ? chuck_pair->first : chuck_pair->second) == Meaning::chuck_open
                               ? Meaning::second_chuck_open
                               : Meaning::second_chuck_closed;
                else if (!names_chuck(words, row.end, row_to) || stand_for_main(row.numbers))
                    does = stand_for_main(row.numbers) ? by_last_digit(row.numbers[k])
                                                       : by_last_digits(row.numbers[k]);
                codes.push_back(
                    {row.numbers[k], does, row.numbers[k] < 10 && k + 1 < row.numbers.size() ? "" : name});
            }
            subject = Subject::second;
            i = row.end - 1;
        } else if (const std::size_t row_to = row_end(words, row);
                   row.numbers.size() > 2 &&
                   !verbs_in_row(words, row.end, row_to, row.numbers.size()).empty()) {
            const auto row_verbs = verbs_in_row(words, row.end, row_to, row.numbers.size());
            subject = subject_in(words, row.end, row_to);
            std::vector<std::size_t> told_by; // Places of the verbs
            for (std::size_t v = row.end; v < row_to; ++v)
                if (value_of(verbs, words[v]) != 0) told_by.push_back(v);
            const std::string name = in_a_row(words, row.end, told_by.front());
            for (std::size_t k = 0; k < row.numbers.size(); ++k)
                codes.push_back({row.numbers[k],
                                 row.numbers[k] < 10
                                     ? std::nullopt
                                     : sense_of(subject, row_verbs[k], names_second(words, row.end, row_to)),
                                 (name.empty() ? "" : name + " ") + words[told_by[k]]});
            i = row.end - 1;
        } else {
            add(number, i + 1, has_none ? i + 1 : to);
            if (has_none) continue;
        }
        if (of_next) subject = *of_next;
    }
    // "M24 TURNS WITH M3", "M53 TURNS LIKE M3": of their sense, and nothing of what they do.
    const auto tells_sense = [](const NotedCode& code) {
        return !code.does && (code.words.starts_with("TURNS WITH") || code.words.starts_with("TURNS LIKE"));
    };
    codes.erase(std::remove_if(codes.begin(), codes.end(), tells_sense), codes.end());
    if (!any && alone >= 0 && !tells_how_it_stands(words)) add(alone, 0, words.size());
    name_what_goes_on(codes);
    // "M77 CLAMP C, M78 RELEASE C": of a brake, and not of the axis.
    for (std::size_t i = 1; i < codes.size(); ++i)
        if (codes[i].does == Meaning::c_axis_off && codes[i - 1].does == Meaning::c_brake_on)
            codes[i].does = Meaning::c_brake_off;
    return codes;
}

} // namespace

std::vector<NotedCode> codes_named(std::string_view note, int alone, int alone_p) {
    using namespace note_of_codes;
    NotedWords words = noted_words(note);
    write_numbers(words);
    write_rows_standing_for(words);
    write_main_and_second(words);
    write_each_pair_out(words);
    write_standing_for(words);
    std::vector<std::pair<int, int>> with_p; // Code and its P, in order
    int number = 0;
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        if (!is_m_code(words[i], number)) continue;
        const std::string& next = words[i + 1];
        const bool is_p = next.size() == 2 && next[0] == 'P' && text::is_digit(next[1]);
        with_p.emplace_back(number, is_p ? next[1] - '0' : -1);
        if (is_p) words.erase(words.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    }
    std::vector<NotedCode> codes = codes_without_p(note, words, alone);
    for (NotedCode& code : codes) {
        const auto at = std::find_if(with_p.begin(), with_p.end(),
                                     [&](const auto& each) { return each.first == code.number; });
        if (at != with_p.end()) {
            code.p = at->second;
            with_p.erase(at);
        } else if (code.number == alone) {
            code.p = alone_p;
        }
        // P2 is the second spindle's, as beside M03.
        if (code.p == 2 && code.does == Meaning::chuck_open) code.does = Meaning::second_chuck_open;
        if (code.p == 2 && code.does == Meaning::chuck_closed) code.does = Meaning::second_chuck_closed;
    }
    return codes;
}

} // namespace turnwright::machine
