// Signs of the unit of length and of the feed mode, and what is assumed by them.

#include "machine/assumptions.h"
#include "language/said.h"
#include "machine/interpreter.h"
#include "machine/note_words.h"
#include "machine/noted_codes.h"
#include "machine/program_signs.h"
#include "machine/slide.h"
#include "machine/whole_number.h"
#include "machine/x_reading.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <numeric>

namespace turnwright::machine {

using codes::Group;
using codes::Meaning;
using codes::System;
using syntax::Item;
using syntax::ItemKind;

namespace {

using text::is_digit;
using text::is_letter;
using text::upper;

/// Its place among the counts holds the notes that name the unit of the whole program; each speaks as a note,
/// too, and that is what is told.
constexpr Sign named_unit = Sign::none;
/// Holds the notes that name the feed mode: by the turn among the inches, by the minute among the
/// millimetres.
constexpr Sign named_feed_mode = Sign::practice;

constexpr std::size_t index(Sign sign) {
    return static_cast<std::size_t>(sign);
}

/// What one word or note tells.
enum class Says : std::uint8_t {
    inch,
    millimetre,
    inch_in_c,
    millimetre_in_c,
    per_rev,
    per_minute,
    fine,
    coarse,
    past_inch,
    rev_in_a,
    minute_in_a,
    rev_in_bc,
    minute_in_bc,
    x_radius,
    x_diameter,
    by_sense, ///< Without a point, and meant in one way only
    named_rev,
    named_minute,
};

/// The G codes and letters of one block.
struct Codes {
    std::array<int, 8> numbers{}; ///< Times ten
    std::size_t count = 0;
    std::uint32_t letters = 0;

    explicit Codes(std::span<const Item> items) {
        for (const Item& item : items) {
            if (!item.is_word() || item.letter < 'A' || item.letter > 'Z') continue;
            letters |= 1u << (item.letter - 'A');
            if (item.letter != 'G' || item.kind != ItemKind::word || count == numbers.size()) continue;
            if (item.value >= 0 && item.value < 1000)
                numbers[count++] = static_cast<int>(std::lround(item.value * 10));
        }
    }
    bool has(int number) const {
        return std::find(numbers.begin(), numbers.begin() + count, number * 10) != numbers.begin() + count;
    }
    bool has_any(std::initializer_list<int> some) const {
        return std::any_of(some.begin(), some.end(), [&](int number) { return has(number); });
    }
    bool has_letter(char letter) const { return letters >> (letter - 'A') & 1u; }
    bool has_axis() const { return has_letter('X') || has_letter('Z') || has_letter('U') || has_letter('W'); }
};

// Bounds of what is usual on a lathe: common practice, no source.
constexpr double finest_feed_mm = 0.08; // Coarser by the turn is mm: no tool takes 0.08 in
constexpr double coarsest_feed_in = 0.0155,
                 coarsest_rough_in = 0.025; // Between the two a tiny part in mm or a heavy cut in inch
constexpr double most_by_turn = 1.0, least_by_minute = 20;
constexpr double finest_by_minute = 0.3, coarsest_by_turn = 2.5; // With a point
constexpr double fastest_drill_in = 60; // By the minute: no drill of a lathe goes faster
constexpr double least_metric_lead = 0.35;
constexpr double coarsest_lead = 12;            // A tap's F25. goes by the minute
constexpr double long_mm = 40;                  // A part of 40 in is no work for a common lathe
constexpr double slow_mm = 70, fast_inch = 500; // S under G96
constexpr double fast_rpm = 6000;               // A spindle that turns so fast turns tiny parts

constexpr double most_whole_feed = 20; // Without a point, in/min

/// Leads. G21 and G78 with X are threading cycles too, G84 and G88 taps.
bool has_lead(const Codes& codes) {
    return codes.has_any({32, 33, 34, 76, 78, 84, 88}) || (codes.has_any({92, 21}) && codes.has_letter('X'));
}

bool has_one_reading(const syntax::Run& run, const Item& item, const Codes& codes) {
    if (item.kind != ItemKind::word || item.odd_number || item.has_point || item.value == 0) return false;
    codes::Quantity quantity = codes::Quantity::length;
    switch (item.letter) {
    case 'F':
        if (!has_lead(codes)) return false;
        quantity = codes::Quantity::lead;
        break;
    case 'X':
    case 'U':
        if (codes.has(4)) quantity = codes::Quantity::seconds;
        break;
    case 'Z':
    case 'W':
    case 'R':
        break;
    default:
        return false;
    }
    return only_one_reading(run, item, quantity) != shop::NoPoint::unknown;
}

template <class Found>
void look_at_feed(const Item& item, const Codes& codes, Found&& found) {
    const double feed = item.value;
    if (feed <= 0) return;
    if (has_lead(codes)) {
        if (item.has_point && feed <= coarsest_lead)
            found(Sign::lead, feed < least_metric_lead ? Says::inch : Says::millimetre, item);
        return;
    }
    if (feed >= least_by_minute) {
        if (feed > fastest_drill_in && codes.has_any({83, 85, 87, 89}))
            found(Sign::drill_feed, Says::millimetre, item);
        return found(Sign::feed, Says::per_minute, item);
    }
    if (feed > coarsest_by_turn && item.has_point) found(Sign::feed, Says::coarse, item);
    if (feed > most_by_turn || !item.has_point) return;
    if (feed > coarsest_rough_in) found(Sign::feed, Says::past_inch, item);
    if (feed < finest_by_minute) found(Sign::feed, Says::fine, item);
    found(Sign::feed, Says::per_rev, item);
    if (feed <= coarsest_feed_in) found(Sign::feed, Says::inch, item);
    if (feed >= finest_feed_mm) found(Sign::feed, Says::millimetre, item);
}

/// Counted in increments: odd sixteenths of an inch, as nobody writes them in mm, and how far in front of the
/// part tools come in mm.
template <class Found>
void look_at_increments(const Item& item, const Codes& codes, Found&& found) {
    constexpr int sixteenth = 625, least_approach = 2000, most_approach = 5000;
    const double size = std::abs(item.value);
    if (size < sixteenth || size > 1e6 || size != std::floor(size)) return;
    const int length = static_cast<int>(size);
    if (length % (2 * sixteenth) == sixteenth) found(Sign::decimals, Says::inch, item);
    if (item.letter == 'Z' && codes.has(0) && item.value > 0 && length % 1000 == 0 &&
        length >= least_approach && length <= most_approach)
        found(Sign::approach, Says::millimetre, item);
}

template <class Found>
void look_at_length(const Item& item, const Codes& codes, Found&& found) {
    if (item.kind != ItemKind::word) return;
    if (!item.has_point) return look_at_increments(item, codes, found);
    const double length = std::abs(item.value);
    // A trailing zero does not make four decimals of three.
    const double thousandths = item.value * 1000;
    const bool four = item.decimals >= 4 && std::abs(thousandths - std::round(thousandths)) > 1e-6;
    found(Sign::decimals, four ? Says::inch : Says::millimetre, item);
    if (length > 0) found(Sign::size, length > long_mm ? Says::millimetre : Says::inch, item);
    if (item.letter != 'Z' || !codes.has(0)) return;
    if (item.value >= 0.03 && item.value <= 0.3) found(Sign::approach, Says::inch, item);
    if (item.value >= 1 && item.value <= 10) found(Sign::approach, Says::millimetre, item);
}

template <class Found>
void look_at_code(const Item& item, const Codes& codes, Found&& found) {
    const double code = item.value;
    const bool is_alone = !codes.has_axis();
    if (code == 20 && is_alone) found(Sign::code, Says::inch, item);
    if (code == 21 && is_alone) found(Sign::code, Says::millimetre, item);
    const bool is_cycle = codes.has_letter('P') || codes.has_letter('Q') || codes.has_letter('R') ||
                          codes.has_letter('D') || codes.has_axis();
    if (code == 70 && !is_cycle) found(Sign::code, Says::inch_in_c, item);
    if (code == 71 && !is_cycle) found(Sign::code, Says::millimetre_in_c, item);
    if (code == 98) found(Sign::code, Says::minute_in_a, item);
    if (code == 99) found(Sign::code, Says::rev_in_a, item);
    if (code == 94 && is_alone) found(Sign::code, Says::minute_in_bc, item);
    if (code == 95) found(Sign::code, Says::rev_in_bc, item);
}

std::size_t digits_at(std::string_view word, std::size_t at) {
    std::size_t end = at;
    while (end < word.size() && is_digit(word[end])) ++end;
    return end - at;
}

/// "3/8", "1/2-13", "1-1/4": a whole number of halves to 64ths, and no date.
bool is_fraction(std::string_view word) {
    const std::size_t slash = word.find('/');
    if (slash == std::string_view::npos || slash == 0 || word.find('/', slash + 1) != std::string_view::npos)
        return false;
    const std::size_t digits = digits_at(word, slash + 1);
    if (digits == 0 || digits > 2 || !is_digit(word[slash - 1])) return false;
    const char next = slash + 1 + digits < word.size() ? word[slash + 1 + digits] : ' ';
    if (next != ' ' && next != '-' && next != '"') return false;
    const int under = std::atoi(std::string(word.substr(slash + 1, digits)).c_str());
    return under == 2 || under == 4 || under == 8 || under == 16 || under == 32 || under == 64;
}

/// "M20X1.5"; M08 alone is a code.
bool is_metric_thread(std::string_view word) {
    if (word.size() < 4 || word[0] != 'M') return false;
    const std::size_t digits = digits_at(word, 1), by = 1 + digits;
    return digits > 0 && digits < 4 && by + 1 < word.size() && word[by] == 'X' &&
           (is_digit(word[by + 1]) || word[by + 1] == '.');
}

/// "CNMG120408" is by ISO 1832, "CNMG432" counts eighths of an inch. 0: neither.
std::size_t insert_digits(std::string_view letters, std::string_view digits) {
    if (letters.size() != 4 || std::string_view("CDEHKLMORSTVWAB").find(letters[0]) == std::string_view::npos)
        return 0;
    if (!std::all_of(letters.begin(), letters.end(), is_letter)) return 0;
    const std::size_t count = digits_at(digits, 0);
    const bool ends = count == digits.size() || digits[count] == '-';
    return ends && (count == 3 || count == 6) ? count : 0;
}

template <std::size_t Count>
bool is_among(std::string_view word, const std::string_view (&words)[Count]) {
    return std::find(std::begin(words), std::end(words), word) != std::end(words);
}

/// The unit that a note names for the whole program: "INCH PROGRAM", "ALLE MASSE IN MM", "POUCES". Not that
/// of one tool, of a drawing, or one that was before.
std::optional<Says> unit_named_in(std::string_view note) {
    constexpr std::string_view inches[] = {"INCH",  "INCHES", "ZOLL",    "PULGADA", "PULGADAS",
                                           "POUCE", "POUCES", "POLLICE", "POLLICI", "IMPERIAL"};
    constexpr std::string_view metric[] = {"MM",          "MILLIMETER", "MILLIMETERS", "MILLIMETRE",
                                           "MILLIMETRES", "MILIMETROS", "MILLIMETRI",  "METRIC",
                                           "METRISCH",    "METRICO",    "METRIQUE"};
    constexpr std::string_view of_all[] = {
        "PROGRAM", "PROGRAMM",  "PROGRAMA", "PROGRAMME", "PROGRAMMA", "PROG",       "ALL",
        "ALLE",    "ALLES",     "TODO",     "TODOS",     "TODAS",     "TOUT",       "TOUTES",
        "TOUS",    "TUTTE",     "TUTTI",    "SIZES",     "DIMS",      "DIMENSIONS", "MASSE",
        "MEDIDAS", "COTAS",     "COTES",    "QUOTE",     "MISURE",    "UNITS",      "UNIT",
        "EINHEIT", "EINHEITEN", "UNIDADES", "UNITES",    "UNITA",     "MODE",       "COORDINATES"};
    constexpr std::string_view of_else[] = {
        "NOT",   "NO",     "NICHT",   "FROM",    "WAS",    "BEFORE", "OLD",      "OR",        "IF",
        "CHECK", "FEED",   "FEEDS",   "SPEED",   "SPEEDS", "TOOL",   "TOOLS",    "DRILL",     "DRILLS",
        "TAP",   "TAPS",   "THREAD",  "THREADS", "STOCK",  "BAR",    "MATERIAL", "OFFSET",    "OFFSETS",
        "WEAR",  "INSERT", "INSERTS", "DRAWING", "PRINT",  "GAUGE",  "GAUGES",   "TOLERANCE", "TOLERANCES",
        "HOLE",  "HOLES",  "LEAD",    "LEADS",   "PITCH",  "UNDER",  "OVER",     "PER",       "EXCEPT",
        "DEEP",  "TO",     "WITHIN",  "LONG",    "WIDE"};
    std::optional<Says> unit;
    std::size_t words = 0;
    bool whole = false, other = false;
    std::string last;
    each_word(note, [&](std::string_view word) {
        ++words;
        if (word.ends_with('.')) word.remove_suffix(1);
        const bool inch = is_among(word, inches);
        if (inch || is_among(word, metric)) {
            const Says says = inch ? Says::inch : Says::millimetre;
            // "1/2 INCH" is a size.
            other = other || (!last.empty() && is_digit(last.back())) || (unit && *unit != says);
            unit = says;
        }
        whole = whole || is_among(word, of_all);
        other = other || is_among(word, of_else) || word.starts_with("CONVERT");
        last = word;
    });
    return !other && (whole || words == 1) ? unit : std::nullopt;
}

struct FeedInNote {
    bool per_minute = false;
    std::optional<Says> unit;
};
/// The feed mode that a note names, and nothing else: "FEED MM/MIN", "ALL FEEDS IPR", "VORSCHUB IN MM PRO
/// UMDREHUNG". With a tool or a sort of work beside it, it may be of that alone.
std::optional<FeedInNote> feed_mode_named_in(std::string_view note) {
    constexpr std::string_view feeds[] = {"FEED",        "FEEDS",       "FEEDRATE", "FEEDRATES",
                                          "VORSCHUB",    "VORSCHUEBE",  "AVANCE",   "AVANCES",
                                          "AVANZAMENTO", "AVANZAMENTI", "IPM",      "IPR"};
    constexpr std::string_view beside[] = {
        "RATE",    "RATES",    "ALL",       "ARE",   "IN",     "IS",     "PER",   "PRO",  "PAR",
        "POR",     "AL",       "EN",        "THE",   "ALLE",   "ALLER",  "TODOS", "TOUS", "LES",
        "TUTTI",   "GLI",      "SONO",      "LOS",   "INCH",   "INCHES", "MM",    "IPM",  "IPR",
        "PROGRAM", "PROGRAMM", "PROGRAMME", "GIVEN", "ANGABE", "MODE"};
    constexpr std::string_view by_minute[] = {"MM/MIN", "MM/MIN.", "IN/MIN", "INCH/MIN", "IPM",
                                              "MINUTE", "MIN",     "MINUTO", "MIN."};
    constexpr std::string_view by_turn[] = {"MM/REV",    "MM/R",     "MM/U",      "MM/UMDR", "MM/TR",
                                            "MM/TOUR",   "MM/GIRO",  "MM/VUELTA", "MM/V",    "IN/REV",
                                            "IPR",       "INCH/REV", "REV",       "REV.",    "REVOLUTION",
                                            "UMDREHUNG", "TOUR",     "VUELTA",    "GIRO",    "TURN"};
    bool feed = false, minute = false, turn = false, else_ = false;
    FeedInNote found;
    each_word(note, [&](std::string_view word) {
        const bool is_minute = is_among(word, by_minute), is_turn = is_among(word, by_turn);
        const bool is_feed = is_among(word, feeds);
        feed = feed || is_feed;
        minute = minute || is_minute;
        turn = turn || is_turn;
        else_ = else_ || !(is_minute || is_turn || is_feed || is_among(word, beside));
        if (word.starts_with("MM")) found.unit = Says::millimetre;
        if (word.starts_with("IP") || word.starts_with("INCH") || word.starts_with("IN/"))
            found.unit = Says::inch;
    });
    if (!feed || else_ || minute == turn) return std::nullopt;
    found.per_minute = minute;
    return found;
}

/// "#7 DRILL", "DRILL #7", "LETTER F DRILL": drills by number and letter are of an inch. Not the station of
/// the block, nor a number of a tool or a piece of work.
bool names_inch_drill(std::string_view note, int station) {
    constexpr std::string_view drills[] = {"DRILL", "DRILLED", "BOHRER", "BROCA", "FORET", "PUNTA"};
    constexpr std::string_view counted[] = {"TOOL", "STATION",   "POS",  "POSITION",
                                            "OP",   "OPERATION", "HOLE", "T"};
    std::string before, last;
    bool drill = false, letter = false, number = false, counts = false;
    std::size_t words = 0;
    each_word(note, [&](std::string_view word) {
        ++words;
        drill = drill || is_among(word, drills);
        const bool lettered = last == "LETTER" || last == "LTR";
        letter = letter || (lettered && word.size() == 1 && is_letter(word[0]));
        counts = counts || is_among(word, counted);
        before = last;
        last = word;
    });
    for (std::size_t at = note.find('#'); at != std::string_view::npos; at = note.find('#', at + 1)) {
        const std::size_t digits = digits_at(note, at + 1);
        if (digits == 0 || digits > 2) continue;
        const std::size_t behind = at + 1 + digits;
        if (behind < note.size() && (is_letter(note[behind]) || note[behind] == '-' || note[behind] == '.'))
            continue;
        const int value = std::atoi(std::string(note.substr(at + 1, digits)).c_str());
        number = number || (value >= 1 && value <= 80 && value != station);
    }
    return (letter && (drill || words == 2)) || (number && drill && !counts);
}

template <class Found>
void look_at_note(std::string_view note, int station, const Item& item, Found&& found) {
    if (const auto unit = unit_named_in(note)) {
        found(named_unit, *unit, item);
        found(Sign::note, *unit, item);
    }
    if (const auto feed = feed_mode_named_in(note)) {
        const Says says = feed->per_minute ? Says::named_minute : Says::named_rev;
        found(Sign::note, says, item);
        if (feed->unit) found(Sign::note, *feed->unit, item);
    }
    if (names_inch_drill(note, station)) found(Sign::note, Says::inch, item);
    if (const auto x = x_reading_in(note))
        found(Sign::note, *x == shop::XReading::radius ? Says::x_radius : Says::x_diameter, item);
    std::string last;
    bool inches = false, metric = false; // "SAME IN MM AND INCH" tells neither
    each_word(note, [&](std::string_view word) {
        inches = inches || word == "INCH" || word == "INCHES";
        metric = metric || word == "MM" || word == "METRIC";
    });
    const bool both = inches && metric;
    each_word(note, [&](std::string_view word) {
        const bool measured = !last.empty() && is_digit(last.back());
        if (is_fraction(word) || (!both && (word == "INCH" || word == "INCHES")) || word == "UNC" ||
            word == "UNF")
            found(Sign::note, Says::inch, item);
        else if (word.size() > 1 && word.back() == '"' && is_digit(word[word.size() - 2]))
            found(Sign::note, Says::inch, item);
        else if ((word == "METRIC" && !both) || is_metric_thread(word) || (word == "MM" && measured))
            found(Sign::note, Says::millimetre, item);
        else if (word.size() > 2 && word.ends_with("MM") && is_digit(word[word.size() - 3]))
            found(Sign::note, Says::millimetre, item);
        std::size_t insert = insert_digits(last, word);
        if (insert == 0 && word.size() > 4) insert = insert_digits(word.substr(0, 4), word.substr(4));
        if (insert != 0) found(Sign::insert, insert == 6 ? Says::millimetre : Says::inch, item);
        last = word;
    });
}

/// Of the block's T word; -1: it has none.
int station_of(std::span<const Item> items) {
    for (const Item& item : items)
        if (item.kind == ItemKind::word && item.letter == 'T' && item.value >= 0 && item.value < 10000)
            return static_cast<int>(item.value) / (item.digits > 2 ? 100 : 1);
    return -1;
}

/// Tool and datum offsets: no machine is so long in inch; nose radii of inserts.
template <class Found>
void look_at_offset(const Item& item, Found&& found) {
    constexpr double longest_in = 60;
    if (!item.has_point || item.value == 0) return;
    const double thousandths = std::abs(item.value) * 1000;
    const bool four = item.decimals >= 4 && std::abs(thousandths - std::round(thousandths)) > 1e-6;
    if (item.letter == 'X' || item.letter == 'Z') {
        if (four) found(Sign::decimals, Says::inch, item);
        if (!four && std::abs(item.value) > longest_in) found(Sign::size, Says::millimetre, item);
    } else if (item.letter == 'R') {
        constexpr int sizes_in[] = {16, 31, 47, 63}, sizes_mm[] = {400, 800, 1200, 1600};
        const int size = static_cast<int>(std::lround(std::min(thousandths, 1e6)));
        const auto is_of = [&](const int(&sizes)[4]) {
            return std::find(std::begin(sizes), std::end(sizes), size) != std::end(sizes);
        };
        if (four || is_of(sizes_in)) found(Sign::decimals, Says::inch, item);
        if (!four && is_of(sizes_mm)) found(Sign::size, Says::millimetre, item);
    }
}

/// M03 or M04: the spindle, and no live tool.
bool turns_spindle(std::span<const Item> items) {
    return std::any_of(items.begin(), items.end(), [](const Item& item) {
        return item.kind == ItemKind::word && item.letter == 'M' && (item.value == 3 || item.value == 4);
    });
}

/// Every sign of a block, by itself: `found(sign, what it says, item)`.
template <class Found>
void look(const syntax::Run& run, const syntax::Block& block, Found&& found) {
    const auto items = run.items_of(block);
    if (block.has_note)
        for (const Item& item : items)
            if (item.kind == ItemKind::note)
                look_at_note(syntax::note_text(run.text_of(item)), station_of(items), item, found);
    const Codes codes(items);
    if (codes.letters == 0) return;
    for (const Item& item : items)
        if (has_one_reading(run, item, codes)) found(Sign::none, Says::by_sense, item);
    // Returns, limits, datums, dwells and calls: their words are no lengths of the part.
    const bool elsewhere =
        codes.has_any({4, 10, 28, 30, 50, 52, 53, 65, 66}) || (codes.has(92) && !codes.has_letter('F'));
    for (const Item& item : items) {
        if (item.kind != ItemKind::word || item.odd_number) continue;
        if (item.letter == 'G') look_at_code(item, codes, found);
        if (codes.has(10)) look_at_offset(item, found);
        if (elsewhere) continue;
        if (item.letter == 'F') look_at_feed(item, codes, found);
        if (item.letter == 'X' || item.letter == 'Z') look_at_length(item, codes, found);
        if (item.letter == 'S' && codes.has(96) && item.value > 0) {
            if (item.value >= fast_inch) found(Sign::surface_speed, Says::inch, item);
            if (item.value <= slow_mm) found(Sign::surface_speed, Says::millimetre, item);
        } else if (item.letter == 'S' && item.value >= fast_rpm && turns_spindle(items)) {
            found(Sign::surface_speed, Says::millimetre, item);
        }
    }
}

/// Which side one sort of sign is on: 1 inch, -1 millimetre, 0 neither.
int side_of(Sign sign, std::uint64_t inch, std::uint64_t mm) {
    switch (sign) {
    case Sign::feed: // No tool takes a coarse feed in inch; a fine one in mm is parting or finishing.
        if (mm > 0 && mm * 4 >= inch) return -1;
        return inch > 0 ? 1 : 0;
    case Sign::size: // Small parts are small in mm too.
        if (mm > 0 && mm * 40 >= inch) return -1;
        return 0;
    case Sign::decimals: // Three and fewer tell nothing; a reckoned point has four in mm too.
        return inch >= 2 && inch * 6 >= mm ? 1 : 0;
    case Sign::code:
    case named_unit:
        return inch > 0 && mm > 0 ? 0 : inch > 0 ? 1 : mm > 0 ? -1 : 0;
    default:
        return inch >= 3 * mm && inch > 0 ? 1 : mm >= 3 * inch && mm > 0 ? -1 : 0;
    }
}

/// The power of two above a length.
std::size_t size_class(double size) {
    return static_cast<std::size_t>(std::clamp(std::ilogb(size) + 6, 0, 15));
}

std::size_t step_of(double size) {
    return static_cast<std::size_t>(std::clamp(std::floor(2 * std::log2(size)), 0.0, 31.0));
}

/// What stands in the middle; 0: there is none.
double middle(const SignCounts::Steps& steps) {
    const std::uint32_t all = std::accumulate(steps.begin(), steps.end(), std::uint32_t{0});
    std::uint32_t below = 0;
    for (std::size_t step = 0; step < steps.size(); ++step)
        if (below += steps[step]; all > 0 && below * 2 >= all)
            return std::exp2((static_cast<double>(step) + 0.5) / 2);
    return 0;
}

shop::NoPoint choose_no_point(const SignCounts& signs);

/// What feeds by the minute are a turn tells their unit, where the one mode and G97 alone stand.
int side_by_turns(System system, const SignCounts& signs) {
    // Half a step within what feeds by the turn have; coarser than the last nothing is cut
    constexpr double most_in = 0.012, least_mm = 0.07, most_mm = 0.7;
    const bool turns = (system == System::A ? signs.rev_in_a : signs.rev_in_bc) > 0 || signs.fine > 0;
    const double feed = middle(signs.feeds), rpm = middle(signs.speeds);
    if (turns || signs.by_surface > 0 || feed == 0 || rpm == 0) return 0;
    const double a_turn = feed / rpm;
    if (choose_no_point(signs) == shop::NoPoint::least_increments) {
        // F80 may be .0080 in a turn; of .0256 nobody would write it so but on the largest parts.
        const auto coarse = signs.feeds.begin() + static_cast<std::ptrdiff_t>(step_of(256));
        const bool none =
            std::all_of(coarse, signs.feeds.end(), [](std::uint32_t count) { return count == 0; });
        return !none && a_turn > least_mm && a_turn < most_mm ? -1 : 0;
    }
    return a_turn < most_in ? 1 : a_turn > least_mm && a_turn < most_mm ? -1 : 0;
}

std::uint32_t sum(const SignCounts::Sizes& sizes, double from = 0) {
    const std::size_t first = from > 0 ? size_class(from) : 0;
    return std::accumulate(sizes.begin() + static_cast<std::ptrdiff_t>(first), sizes.end(), std::uint32_t{0});
}

/// Below which a share of them lies; 0: there is none.
double quantile(const SignCounts::Sizes& sizes, double share) {
    const std::uint32_t all = sum(sizes);
    std::uint32_t below = 0;
    for (std::size_t at = 0; at < sizes.size() && all > 0; ++at)
        if (below += sizes[at]; below >= share * all) return std::exp2(static_cast<double>(at) - 5.5);
    return 0;
}

/// How fast the middle X goes by under G97, were it in inch, ft/min; 0: not told.
double surface_speed_in_inch(const SignCounts& signs) {
    if (signs.by_surface > 0) return 0;
    // The spindle that turns so fast turns most of it: slower are drills and blades.
    const double least_speed = signs.millimetre[index(Sign::surface_speed)] > 0 ? fast_rpm : 0;
    return quantile(signs.pointed_x, 0.5) * std::numbers::pi / 12 *
           std::max(middle(signs.speeds), least_speed);
}

/// What the speeds are over the sizes: so slow nobody turns, and so far above the limit nobody asks for
/// speed. Common practice, no source.
int side_by_speeds(const SignCounts& signs) {
    constexpr double slow_m_per_min = 8, times_limit = 5, slow_rpm = 8;
    constexpr std::uint32_t enough_places = 3;
    // Distances by U stand among them, and ways home.
    const double large = quantile(signs.pointed_x, 0.75), small = quantile(signs.pointed_x, 0.25);
    const double pi = std::numbers::pi;
    if (sum(signs.pointed_x) < enough_places) return 0;
    const double rpm = middle(signs.speeds);
    if (signs.by_surface == 0) return rpm > 0 && large * pi * rpm / 1000 < slow_m_per_min ? 1 : 0;
    const double speed = middle(signs.surface_speeds), limit = middle(signs.speed_limits);
    if (speed == 0) return 0;
    if (limit > 0 && speed * 1000 / (pi * large) > times_limit * limit) return 1;
    return speed * 12 / (pi * small) < slow_rpm ? -1 : 0;
}

constexpr double fast_in_inch = 1500, too_fast_in_inch = 2000; // ft/min under G97

/// The feeds are as fine as those of tiny parts in mm: too many lie between what the one and the other unit
/// has, or the spindle turns far too fast for so many inches.
bool may_be_tiny_in_mm(const SignCounts& signs) {
    if (side_by_speeds(signs) > 0) return false;
    const std::uint32_t inch = signs.inch[index(Sign::feed)];
    const std::uint32_t between = signs.per_rev - inch - signs.millimetre[index(Sign::feed)];
    const std::uint32_t fast_as_mm = signs.millimetre[index(Sign::surface_speed)];
    const std::uint32_t all = sum(signs.pointed_x);
    // Of 8 mm and more nobody roughs so finely, nor does a tiny part reach such a surface speed.
    const bool tiny = sum(signs.pointed_x, 8) * 3 < all * 2 && signs.inch[index(Sign::surface_speed)] == 0;
    if (!tiny && signs.past_inch == 0 && fast_as_mm == 0) return false;
    if (between * 2 > inch) return true;
    return surface_speed_in_inch(signs) > fast_in_inch ||
           (fast_as_mm > 0 && sum(signs.pointed_x, 1) * 3 >= all);
}

constexpr std::pair<Sign, int> weights[] = {
    {Sign::code, 8},       {named_unit, 4},          {Sign::feed, 3},     {Sign::feed_a_turn, 3},
    {Sign::drill_feed, 3}, {Sign::size, 3},          {Sign::decimals, 2}, {Sign::lead, 2},
    {Sign::note, 2},       {Sign::surface_speed, 1}, {Sign::insert, 1},   {Sign::approach, 1},
};

struct UnitWeights {
    int inch = 0, mm = 0;
    int values_inch = 0, values_mm = 0;              ///< But for codes and for notes that name it
    Sign for_inch = Sign::none, for_mm = Sign::none; ///< The weightiest
    bool beyond_feeds = false; ///< Not only feeds, leads and approaches, as of tiny parts
};

bool counts_in_increments(const SignCounts& signs) {
    return choose_no_point(signs) == shop::NoPoint::least_increments;
}

UnitWeights weigh_units(System system, const SignCounts& signs, bool with_codes) {
    UnitWeights out;
    bool inch_decimals = false;
    for (auto [sign, usual] : weights) {
        if ((sign == Sign::code || sign == named_unit) && !with_codes) continue;
        int weight = usual;
        const bool by_c = sign == Sign::code && system == System::C;
        const std::size_t at = index(sign);
        int side = side_of(sign, by_c ? signs.inch_in_c[at] : signs.inch[at],
                           by_c ? signs.millimetre_in_c[at] : signs.millimetre[at]);
        if (sign == Sign::feed && side > 0 && may_be_tiny_in_mm(signs)) side = 0;
        // A wheel of 45 in, where a surface speed under its limit makes sense in inches alone.
        if (sign == Sign::size && side < 0 && signs.by_surface > 0 && side_by_speeds(signs) > 0) side = 0;
        // One coarse feed among fine ones is a way through air.
        if (sign == Sign::feed && side < 0 && side_by_speeds(signs) > 0 &&
            signs.inch[at] > signs.millimetre[at])
            side = 1;
        if (sign == Sign::feed_a_turn) side = side_by_turns(system, signs);
        if (sign == Sign::feed_a_turn && side > 0 && surface_speed_in_inch(signs) > fast_in_inch) side = 0;
        if (sign == Sign::decimals) inch_decimals = side > 0;
        if (sign == Sign::surface_speed && with_codes && surface_speed_in_inch(signs) > too_fast_in_inch) {
            side = -1;
            if (!inch_decimals) weight = 3;
        } else if (sign == Sign::surface_speed && with_codes && side_by_speeds(signs) != 0) {
            side = side_by_speeds(signs);
            weight = 3;
        } else if (sign == Sign::surface_speed && with_codes && side == 0 && counts_in_increments(signs)) {
            // Beside their approaches it speaks for mm; by itself it may be ft/min of a soft tool.
            const double speed = middle(signs.surface_speeds);
            if (speed >= 60 && speed <= 250 && signs.inch[index(Sign::approach)] == 0 &&
                signs.millimetre[index(Sign::approach)] > 1)
                side = -1;
        }
        if (side > 0) out.inch += weight;
        if (side < 0) out.mm += weight;
        const bool is_named = signs.inch[index(named_unit)] + signs.millimetre[index(named_unit)] > 0;
        const bool states = sign == Sign::code || sign == named_unit || (sign == Sign::note && is_named);
        if (side > 0 && !states) out.values_inch += weight;
        if (side < 0 && !states) out.values_mm += weight;
        const Sign told = sign == named_unit ? Sign::note : sign;
        if (side > 0 && out.for_inch == Sign::none) out.for_inch = told;
        if (side < 0 && out.for_mm == Sign::none) out.for_mm = told;
        if (side != 0 && sign != Sign::feed && sign != Sign::feed_a_turn && sign != Sign::lead &&
            sign != Sign::approach)
            out.beyond_feeds = true;
    }
    return out;
}

Assumption choose_units(System system, const SignCounts& signs) {
    const UnitWeights by = weigh_units(system, signs, true);
    const int most = std::max(by.inch, by.mm), least = std::min(by.inch, by.mm);
    if (most < 2 || most < 2 * least) return {Meaning::rapid, Sign::none, least > 0};
    return by.inch > by.mm ? Assumption{Meaning::inch, by.for_inch}
                           : Assumption{Meaning::millimetre, by.for_mm};
}

/// What a code further down or a note says, and all the rest by itself would be taken for the other: F.2
/// under INCH PROGRAM.
bool values_speak_against(System system, const SignCounts& signs, const Assumption& units) {
    constexpr int enough = 3;
    const bool inch = units.meaning == Meaning::inch;
    const std::uint32_t named = (inch ? signs.inch : signs.millimetre)[index(named_unit)];
    if (units.by != Sign::code && named == 0) return false;
    const UnitWeights by = weigh_units(system, signs, true);
    const int with = inch ? by.values_inch : by.values_mm, against = inch ? by.values_mm : by.values_inch;
    return against >= enough && against >= 2 * with;
}

/// The unit that all signs but the codes speak of, where they are enough to speak against a code.
Assumption unit_of_values(System system, const SignCounts& signs) {
    constexpr int enough = 5; // More than the feeds of a tiny part and another sign
    const UnitWeights by = weigh_units(system, signs, false);
    if (std::max(by.inch, by.mm) < enough || std::min(by.inch, by.mm) > 0 || !by.beyond_feeds) return {};
    return by.inch > 0 ? Assumption{Meaning::inch, by.for_inch} : Assumption{Meaning::millimetre, by.for_mm};
}

Assumption choose_feed_mode(System system, const SignCounts& signs, Meaning unit) {
    const bool a = system == System::A;
    const std::uint32_t rev = a ? signs.rev_in_a : signs.rev_in_bc;
    const std::uint32_t minute = a ? signs.minute_in_a : signs.minute_in_bc;
    // What is large stands under the code for it; so does what is small. A part-off at F.8 a minute is small.
    const bool small = signs.per_rev > 0 && rev == 0, large = signs.per_minute > 0 && minute == 0;
    const bool coarse = signs.coarse > 0 && signs.fine == 0 && signs.coarse >= signs.per_rev && minute == 0;
    // F.005 and F8. in inch with no code: one of them is the other mode's. In mm a tool may travel so.
    const bool both = unit == Meaning::inch && signs.fine > 0 && signs.coarse > 0 && rev == 0 && minute == 0;
    const bool named_rev = signs.inch[index(named_feed_mode)] > 0,
               named_minute = signs.millimetre[index(named_feed_mode)] > 0;
    if (named_rev != named_minute && rev == 0 && minute == 0) {
        const bool against = named_minute ? signs.fine > 0 : large || coarse;
        if (against) return {Meaning::rapid, Sign::none, true};
        return {named_minute ? Meaning::feed_per_minute : Meaning::feed_per_rev, Sign::note};
    }
    // A third of an inch and more in a turn nothing takes: F1.5 goes by the minute.
    const bool any = signs.per_rev > 0 || middle(signs.feeds) > 0;
    if (unit == Meaning::inch && rev == 0 && minute == 0 && signs.fine == 0 && signs.coarse == 0 && !large &&
        signs.pointless_feeds == 0 && any)
        return {Meaning::feed_per_minute, middle(signs.speeds) > 0 ? Sign::feed_a_turn : Sign::feed};
    if ((small && large && !coarse) || both) return {Meaning::rapid, Sign::none, true};
    if (coarse) return {Meaning::feed_per_minute, Sign::feed};
    if (small || (signs.per_rev > 0 && !large)) return {Meaning::feed_per_rev, Sign::feed};
    if (large) return {Meaning::feed_per_minute, Sign::feed};
    return {Meaning::feed_per_rev, Sign::practice};
}

constexpr std::uint32_t SignCounts::*single_counts[] = {
    &SignCounts::per_rev,         &SignCounts::per_minute,      &SignCounts::fine,
    &SignCounts::coarse,          &SignCounts::past_inch,       &SignCounts::by_surface,
    &SignCounts::rev_in_a,        &SignCounts::minute_in_a,     &SignCounts::rev_in_bc,
    &SignCounts::minute_in_bc,    &SignCounts::pointed,         &SignCounts::pointed_whole,
    &SignCounts::pointless,       &SignCounts::pointless_large, &SignCounts::pointless_small,
    &SignCounts::by_sense,        &SignCounts::x_radius,        &SignCounts::x_diameter,
    &SignCounts::pointless_feeds, &SignCounts::stations_alone,  &SignCounts::doubled_digits};
constexpr SignCounts::Sizes SignCounts::*size_counts[] = {&SignCounts::pointed_x, &SignCounts::pointed_z,
                                                          &SignCounts::pointless_x, &SignCounts::pointless_z};

template <class Each>
void for_each_count(SignCounts& to, const SignCounts& from, Each&& each) {
    for (auto counts :
         {&SignCounts::inch, &SignCounts::millimetre, &SignCounts::inch_in_c, &SignCounts::millimetre_in_c})
        for (std::size_t i = 0; i < to.inch.size(); ++i) each((to.*counts)[i], (from.*counts)[i]);
    for (auto sizes : size_counts)
        for (std::size_t i = 0; i < (to.*sizes).size(); ++i) each((to.*sizes)[i], (from.*sizes)[i]);
    for (auto steps :
         {&SignCounts::feeds, &SignCounts::speeds, &SignCounts::surface_speeds, &SignCounts::speed_limits})
        for (std::size_t i = 0; i < (to.*steps).size(); ++i) each((to.*steps)[i], (from.*steps)[i]);
    for (auto count : single_counts) each(to.*count, from.*count);
}

bool stands_before(const NotedEffect& a, const NotedEffect& b) {
    return std::pair(a.number, a.does) < std::pair(b.number, b.does);
}

void count_noted(std::vector<NotedEffect>& to, const NotedEffect& from, bool add) {
    const auto at = std::lower_bound(to.begin(), to.end(), from, stands_before);
    const bool there = at != to.end() && at->number == from.number && at->does == from.does;
    if (!there) {
        if (add) to.insert(at, from);
        return;
    }
    at->count = add ? at->count + from.count : at->count - std::min(at->count, from.count);
    if (at->count == 0) to.erase(at);
}

/// What a lathe of two axes has, a chuck, a quill, a catcher, is no part of what is followed by notes.
bool is_of_more_axes(Meaning meaning) {
    switch (codes::group_of(meaning)) {
    case Group::second_chuck:
    case Group::c_axis:
    case Group::c_brake:
    case Group::live_tool:
    case Group::spindles_together:
    case Group::spoken_to:
        return true;
    case Group::one_shot:
        return meaning == Meaning::second_forward || meaning == Meaning::second_reverse ||
               meaning == Meaning::second_stop;
    default:
        return false;
    }
}

/// The only M code of a block; -1: none, or several.
int only_m_code(std::span<const Item> items) {
    int found = -1;
    for (const Item& item : items) {
        if (item.kind != ItemKind::word || item.letter != 'M') continue;
        if (found >= 0) return -1;
        found = whole_number(item.value);
    }
    return found;
}

/// Signs that stand among what notes say, under meanings that no note gives. Number 0: a return of C, and a
/// move of the second spindle's slide: they show what lathe it is.
constexpr NotedEffect c_returns{0, Meaning::c_axis_on, 1}, slide_moves{0, Meaning::second_spoken_to, 1};
/// A stands alone in a rapid or a return, where a line by its angle cannot, or a note says so.
constexpr NotedEffect slide_is_a{0, Meaning::second_forward, 1};

/// "A = SLIDE OF SECOND SPINDLE". Words of five languages: common practice, no source.
void count_noted_slide(std::string_view note, SignCounts& counts) {
    bool names_a = false, slides = false;
    each_word(note, [&](std::string_view word) {
        names_a = names_a || word == "A" || word == "A-AXIS" || word == "A-ACHSE";
        for (const std::string_view front : {"SLIDE", "SCHLITTEN", "CHARIOT", "CARRO", "SLITTA"})
            slides = slides || (names_a && word.starts_with(front));
    });
    const std::size_t at = note.find_first_not_of(" \t");
    // In a sentence an A is an article, or a preposition.
    const bool begins = at != std::string_view::npos && (note[at] == 'A' || note[at] == 'a');
    const bool told = note.find('=') != std::string_view::npos || begins;
    if (slides && told) count_noted(counts.noted, slide_is_a, true);
}

void count_noted_codes(const syntax::Run& run, const syntax::Block& block, SignCounts& counts) {
    const auto items = run.items_of(block);
    for (const Item& item : items) {
        if (item.kind != ItemKind::note) continue;
        const std::string_view note = syntax::note_text(run.text_of(item));
        const int alone = only_m_code(items);
        count_noted_slide(note, counts);
        if (alone < 0 && note.find_first_of("mM") == std::string_view::npos) continue;
        for (const NotedCode& code : codes_named(note, alone)) {
            const codes::Code* row = codes::find(System::A, 'M', code.number);
            // With a P it does that with this P alone.
            if (code.does && code.p < 0 && is_of_more_axes(*code.does) &&
                (!row || row->meaning == Meaning::machine_specific))
                count_noted(counts.noted, {code.number, *code.does, 1}, true);
        }
    }
}

/// An S word beside a code of the builder's: by feed by the minute it starts a live tool, by surface speed a
/// spindle that turns a part.
void count_places(const syntax::Run& run, const syntax::Block& block, SignCounts& counts) {
    bool speed = false, by_minute = false, surface = false, starts = false, returns = false, c = false,
         slide = false, other_axis = false, a = false, rapid = false;
    int code = -1;
    for (const Item& item : run.items_of(block)) {
        if (item.kind != ItemKind::word) continue;
        switch (item.letter) {
        case 'S':
            speed = true;
            break;
        case 'C':
        case 'H':
            c = true;
            break;
        case 'A':
        case 'B':
        case 'E':
            slide = true;
            a = a || item.letter == 'A';
            break;
        case 'X':
        case 'Z':
        case 'U':
        case 'W':
        case 'P':
            other_axis = true;
            break;
        case 'G':
            by_minute = by_minute || item.value == 98 || item.value == 94;
            surface = surface || item.value == 96;
            returns = returns || item.value == 28 || item.value == 30;
            rapid = rapid || item.value == 0 || item.value == 53;
            break;
        case 'M': {
            const codes::Code* row = codes::find(System::A, 'M', item.value);
            starts = starts || (item.value >= 3 && item.value <= 5);
            if (item.value >= 10 && item.value != 19 && item.value != 29 &&
                (!row || row->meaning == Meaning::machine_specific))
                code = whole_number(item.value);
            break;
        }
        default:
            break;
        }
    }
    if (returns && c) count_noted(counts.noted, c_returns, true);
    if (slide && !other_axis && !speed) count_noted(counts.noted, slide_moves, true);
    if (a && !other_axis && !c && (rapid || returns)) count_noted(counts.noted, slide_is_a, true);
    if (!speed || starts || code < 0 || by_minute == surface) return;
    count_noted(counts.noted, {code, by_minute ? Meaning::live_spoken_to : Meaning::second_spoken_to, 1},
                true);
}

void count_size(const Item& item, SignCounts& counts) {
    const bool along_x = item.letter == 'X' || item.letter == 'U';
    SignCounts::Sizes& sizes = item.has_point ? (along_x ? counts.pointed_x : counts.pointed_z)
                                              : (along_x ? counts.pointless_x : counts.pointless_z);
    ++sizes[size_class(std::abs(item.value))];
}

/// Whether none on an axis is larger than the largest with a point.
bool fit_between(const SignCounts::Sizes& pointless, const SignCounts::Sizes& pointed) {
    const auto last = [](const SignCounts::Sizes& sizes) {
        return std::find_if(sizes.rbegin(), sizes.rend(), [](std::uint32_t count) { return count > 0; });
    };
    return last(pointless) - pointless.rbegin() >= last(pointed) - pointed.rbegin();
}

/// Feeds of 1 and more, and speeds.
void count_steps(const syntax::Run& run, const syntax::Block& block, SignCounts& counts) {
    const auto items = run.items_of(block);
    const Codes codes(items);
    counts.by_surface += codes.has(96);
    if (!codes.has_letter('F') && !codes.has_letter('S')) return;
    const bool limits = codes.has_any({50, 96, 26}) || (codes.has(92) && !codes.has_letter('F'));
    for (const Item& item : items) {
        if (item.kind != ItemKind::word || item.odd_number || item.value < 1) continue;
        const bool feeds = item.letter == 'F' && !has_lead(codes);
        if (feeds) ++counts.feeds[step_of(item.value)];
        counts.pointless_feeds += feeds && !item.has_point && item.value <= most_whole_feed;
        if (item.letter != 'S') continue;
        if (codes.has(96)) ++counts.surface_speeds[step_of(item.value)];
        if (limits && !codes.has(96)) ++counts.speed_limits[step_of(item.value)];
        if (!limits) ++counts.speeds[step_of(item.value)];
    }
}

void count_tool(const Item& item, SignCounts& counts) {
    if (item.kind != ItemKind::word || item.letter != 'T' || item.digits < 2) return;
    if (item.digits > 2) { // "T0101": station and offset, and T01 is an offset among them
        ++counts.doubled_digits;
        return;
    }
    counts.stations_alone += item.value >= 1 && item.value < 10;
    counts.doubled_digits += item.value > 10 && std::fmod(item.value, 11) == 0;
}

void count_point(const Item& item, SignCounts& counts) {
    if (item.kind != ItemKind::word || item.odd_number || item.value == 0) return;
    if (item.letter == 'U' || item.letter == 'W') count_size(item, counts);
    if (item.letter != 'X' && item.letter != 'Z') return;
    count_size(item, counts);
    const double size = std::abs(item.value);
    if (item.has_point) {
        ++counts.pointed;
        counts.pointed_whole += size == std::floor(size);
    } else {
        ++counts.pointless;
        counts.pointless_large += size >= 2000; // No part is turned to 2 m
        counts.pointless_small += size < 100;   // A tenth of a millimetre is none
    }
}

/// Among many with a point the few without are meant as those: read in increments they would be nothing, read
/// as they stand no longer than the others.
bool are_few_slips(const SignCounts& signs) {
    const std::uint32_t few = sum(signs.pointless_x) + sum(signs.pointless_z);
    const std::size_t too_large = size_class(100);
    const auto are_small = [&](const SignCounts::Sizes& sizes) {
        return std::all_of(sizes.begin() + static_cast<std::ptrdiff_t>(too_large), sizes.end(),
                           [](std::uint32_t count) { return count == 0; });
    };
    return few > 0 && signs.pointed >= 4 * few && are_small(signs.pointless_x) &&
           are_small(signs.pointless_z) && fit_between(signs.pointless_x, signs.pointed_x) &&
           fit_between(signs.pointless_z, signs.pointed_z);
}

/// Which place feeds by the turn are counted in, where all are without a point and those in the middle are
/// feeds in one way only: 0.06 to 0.6 mm, 0.002 to 0.02 in. Common practice, no source.
double choose_feed_step(Meaning unit, const SignCounts& signs) {
    if (signs.per_rev > 0 || signs.coarse > 0) return 0;
    const double feed = middle(signs.feeds);
    struct Row {
        Meaning unit;
        double least, step;
    };
    constexpr Row rows[] = {{Meaning::millimetre, 60, 0.001},
                            {Meaning::millimetre, 6, 0.01},
                            {Meaning::inch, 20, 0.0001},
                            {Meaning::inch, 2, 0.001}};
    for (const Row& row : rows)
        if (unit == row.unit && feed >= row.least && feed < 10 * row.least) return row.step;
    return 0;
}

/// Z2 and Z-5 in more than one place in ten, as of a disc of X600: counted in increments they would be some
/// thousandths of a millimetre.
bool comes_near_in_whole_units(const SignCounts& signs) {
    constexpr std::uint32_t enough = 3;
    constexpr double near = 8;
    const std::uint32_t few = sum(signs.pointless_z) - sum(signs.pointless_z, near);
    return few >= enough && few * 10 >= signs.pointless;
}

/// By their sizes: counted in increments most of them would be nothing.
bool are_whole_units(const SignCounts& signs) {
    return signs.pointless_large == 0 &&
           (signs.pointless_small * 2 >= signs.pointless || comes_near_in_whole_units(signs));
}

/// Some have a point and some have none, whole ones among both: meant as they stand, though a control that
/// counts in increments does otherwise.
bool are_mixed(const SignCounts& signs) {
    constexpr std::uint32_t enough = 5;
    return signs.pointless >= enough && signs.pointed_whole * 10 > signs.pointless && are_whole_units(signs);
}

/// Of a program that writes whole lengths in one way throughout: elsewhere one without a point is a slip.
shop::NoPoint choose_no_point(const SignCounts& signs) {
    constexpr std::uint32_t enough = 5, enough_increments = 8, enough_of_none_else = 4;
    // All without a point, none of them small and half too large for any part: a few are enough.
    if (signs.pointed == 0 && signs.pointless >= enough_of_none_else && signs.pointless_small == 0 &&
        signs.pointless_large * 2 >= signs.pointless)
        return shop::NoPoint::least_increments;
    if (signs.pointless < enough || signs.pointed_whole * 10 > signs.pointless) return shop::NoPoint::unknown;
    if (are_whole_units(signs)) return shop::NoPoint::whole_units;
    // No length has a point, none is a tenth of a millimetre, and in whole units half of them were off the
    // lathe.
    if (signs.pointed == 0 && signs.pointless_small == 0 && signs.pointless_large * 2 >= signs.pointless)
        return shop::NoPoint::least_increments;
    if (signs.pointless >= enough_increments && signs.pointless_large * 4 >= signs.pointless &&
        signs.pointed * 4 <= signs.pointless)
        return shop::NoPoint::least_increments;
    return shop::NoPoint::unknown;
}

} // namespace

SignCounts& SignCounts::operator+=(const SignCounts& other) {
    for_each_count(*this, other, [](std::uint32_t& to, std::uint32_t from) { to += from; });
    for (const NotedEffect& code : other.noted) count_noted(noted, code, true);
    return *this;
}

SignCounts& SignCounts::operator-=(const SignCounts& other) {
    for_each_count(*this, other, [](std::uint32_t& to, std::uint32_t from) { to -= from; });
    for (const NotedEffect& code : other.noted) count_noted(noted, code, false);
    return *this;
}

namespace {

void count_signs(const syntax::Run& run, const syntax::Block& block, SignCounts& counts) {
    for (const syntax::Item& item : run.items_of(block)) {
        count_point(item, counts);
        count_tool(item, counts);
    }
    if (block.has_note) count_noted_codes(run, block, counts);
    count_places(run, block, counts);
    count_steps(run, block, counts);
    look(run, block, [&](Sign sign, Says says, const Item&) {
        switch (says) {
        case Says::inch:
            ++counts.inch[index(sign)];
            break;
        case Says::millimetre:
            ++counts.millimetre[index(sign)];
            break;
        case Says::inch_in_c:
            ++counts.inch_in_c[index(sign)];
            break;
        case Says::millimetre_in_c:
            ++counts.millimetre_in_c[index(sign)];
            break;
        case Says::per_rev:
            ++counts.per_rev;
            break;
        case Says::per_minute:
            ++counts.per_minute;
            break;
        case Says::fine:
            ++counts.fine;
            break;
        case Says::coarse:
            ++counts.coarse;
            break;
        case Says::past_inch:
            ++counts.past_inch;
            break;
        case Says::rev_in_a:
            ++counts.rev_in_a;
            break;
        case Says::minute_in_a:
            ++counts.minute_in_a;
            break;
        case Says::rev_in_bc:
            ++counts.rev_in_bc;
            break;
        case Says::minute_in_bc:
            ++counts.minute_in_bc;
            break;
        case Says::x_radius:
            ++counts.x_radius;
            break;
        case Says::x_diameter:
            ++counts.x_diameter;
            break;
        case Says::by_sense:
            ++counts.by_sense;
            break;
        case Says::named_rev:
            ++counts.inch[index(named_feed_mode)];
            break;
        case Says::named_minute:
            ++counts.millimetre[index(named_feed_mode)];
            break;
        }
    });
}

} // namespace

SignCounts signs_in(const syntax::Run& run) {
    SignCounts counts;
    for (const syntax::Block& block : run.blocks) count_signs(run, block, counts);
    return counts;
}

RunSigns run_signs(const syntax::Run& run) {
    RunSigns signs;
    const auto begins = [&](const syntax::Block& block) {
        const auto items = run.items_of(block);
        return std::any_of(items.begin(), items.end(),
                           [&](const Item& item) { return starts_program(items, item); });
    };
    // A part is large: where programs are short, growing would take all of it twice
    signs.parts.reserve(
        1 + static_cast<std::size_t>(std::count_if(run.blocks.begin(), run.blocks.end(), begins)));
    signs.parts.emplace_back();
    for (const syntax::Block& block : run.blocks) {
        const auto items = run.items_of(block);
        for (const Item& item : items) {
            if (starts_program(items, item)) signs.parts.emplace_back();
            if (item.kind != ItemKind::word) continue;
            signs.parts.back().calls_tool |= item.letter == 'T';
            signs.parts.back().ends_program |= item.letter == 'M' && (item.value == 2 || item.value == 30);
        }
        count_signs(run, block, signs.parts.back().counts);
    }
    return signs;
}

SignCounts RunSigns::sum() const {
    SignCounts all;
    for (const Part& part : parts) all += part.counts;
    return all;
}

bool programs_of_two_units(System system, const std::vector<RunSigns>& runs) {
    constexpr int enough = 3; // A feed
    if (std::none_of(runs.begin(), runs.end(), [](const RunSigns& run) { return run.parts.size() > 1; }))
        return false;
    bool inch = false, millimetre = false;
    RunSigns::Part program;
    const auto weigh = [&] {
        if (!program.calls_tool || !program.ends_program) return;
        const UnitWeights by = weigh_units(system, program.counts, true);
        const Meaning unit = choose_units(system, program.counts).meaning;
        inch = inch || (unit == Meaning::inch && by.inch >= enough);
        millimetre = millimetre || (unit == Meaning::millimetre && by.mm >= enough);
    };
    for (const RunSigns& run : runs)
        for (std::size_t at = 0; at < run.parts.size(); ++at) {
            const RunSigns::Part& part = run.parts[at];
            if (at > 0) {
                weigh();
                program = part;
                continue;
            }
            program.counts += part.counts;
            program.calls_tool |= part.calls_tool;
            program.ends_program |= part.ends_program;
        }
    weigh();
    return inch && millimetre;
}

const Assumption* Assumptions::of(Group group) const {
    switch (group) {
    case Group::units:
        return &units;
    case Group::feed_mode:
        return &feed_mode;
    case Group::spindle_mode:
        return &spindle_mode;
    case Group::plane:
        return &plane;
    case Group::distance:
        return &distance;
    default:
        return nullptr;
    }
}

Assumptions choose_assumptions(System system, const SignCounts& signs) {
    Assumptions out;
    out.units = choose_units(system, signs);
    out.values = unit_of_values(system, signs);
    out.feed_mode = choose_feed_mode(system, signs, out.units.meaning);
    out.few_without_point = are_few_slips(signs) || are_mixed(signs);
    out.no_point = out.few_without_point ? shop::NoPoint::whole_units : choose_no_point(signs);
    // F80 is by the minute, or counted in increments by the turn.
    const bool named = out.feed_mode.by == Sign::note;
    if (out.no_point == shop::NoPoint::least_increments && !named &&
        out.feed_mode.meaning == Meaning::feed_per_minute)
        out.feed_mode = {Meaning::rapid, Sign::none, true};
    // Who keeps the surface speed feeds by the turn.
    const bool a = system == System::A;
    const std::uint32_t rev = a ? signs.rev_in_a : signs.rev_in_bc,
                        minute = a ? signs.minute_in_a : signs.minute_in_bc;
    const bool by_minute = named && out.feed_mode.meaning == Meaning::feed_per_minute;
    if (out.no_point == shop::NoPoint::least_increments && minute == 0 && !by_minute &&
        (rev > 0 || signs.by_surface > 0)) {
        out.feed_step = choose_feed_step(out.units.meaning, signs);
        if (out.feed_step > 0) out.feed_mode = {Meaning::feed_per_rev, Sign::feed};
    }
    const bool whole_feeds = out.units.meaning == Meaning::inch && signs.pointless_feeds > 0 &&
                             (minute > 0 ? rev == 0 : out.feed_mode.meaning == Meaning::feed_per_minute);
    out.by_sense = signs.by_sense > 0 || whole_feeds;
    if (values_speak_against(system, signs, out.units)) out.units = {Meaning::rapid, Sign::none, true};
    out.stations_alone = signs.stations_alone > 0 && signs.doubled_digits == 0;
    out.x_radius = signs.x_radius > 0 && signs.x_diameter == 0;
    // By number: notes that call one code two things stand side by side.
    const std::vector<NotedEffect>& noted = signs.noted;
    const auto is_by_place = [](const NotedEffect& code) {
        return code.does == Meaning::live_spoken_to || code.does == Meaning::second_spoken_to;
    };
    const auto stands = [&](const NotedEffect& sign) {
        return std::any_of(noted.begin(), noted.end(), [&](const NotedEffect& code) {
            return code.number == sign.number && code.does == sign.does;
        });
    };
    if (stands(slide_is_a)) out.noted.emplace_back(slide_by_a, Meaning::second_forward);
    for (const NotedEffect& code : noted) {
        if (code.number == 0) continue;
        const bool other = std::any_of(noted.begin(), noted.end(), [&](const NotedEffect& some) {
            return some.number == code.number && some.does != code.does &&
                   (is_by_place(code) || !is_by_place(some)); // What a note says counts more
        });
        if (other) continue;
        if (!is_by_place(code))
            out.noted.emplace_back(code.number, code.does);
        else if (code.does == Meaning::live_spoken_to && stands(c_returns))
            out.noted.emplace_back(code.number, Meaning::live_tool_on);
        else if (code.does == Meaning::second_spoken_to && stands(slide_moves))
            out.noted.emplace_back(code.number, Meaning::second_forward);
    }
    // What lathes are switched on with: common practice, no source.
    out.spindle_mode = {Meaning::constant_rpm, Sign::practice};
    out.plane = {Meaning::plane_zx, Sign::practice};
    if (system != System::A) out.distance = {Meaning::absolute, Sign::practice};
    return out;
}

namespace {

/// Four digits and more with noughts in front, as "R0010".
bool is_padded(std::string_view text) {
    const std::size_t first = text.find_first_of("0123456789");
    return first != std::string_view::npos && text[first] == '0' && text.size() - first >= 4;
}

/// R in the first line of a thread ("G76 P010060 Q30 R10"): a finish pass of ten units is none.
bool is_finish_pass(const syntax::Run& run, const Item& item) {
    if (item.letter != 'R') return false;
    const auto at = static_cast<std::size_t>(&item - run.items.data());
    const auto behind = std::partition_point(run.blocks.begin(), run.blocks.end(),
                                             [&](const syntax::Block& b) { return b.first_item <= at; });
    if (at >= run.items.size() || behind == run.blocks.begin()) return false;
    const Codes codes(run.items_of(*std::prev(behind)));
    return codes.has_any({76, 78}) && codes.has_letter('P') && !codes.has_axis() && !codes.has_letter('F');
}

} // namespace

shop::NoPoint only_one_reading(const syntax::Run& run, const Item& item, codes::Quantity quantity) {
    using codes::Quantity;
    const double size = std::abs(item.value);
    switch (quantity) {
    case Quantity::lead:
        return size >= least_metric_lead && size <= 12 ? shop::NoPoint::whole_units : shop::NoPoint::unknown;
    case Quantity::seconds:
        return size <= 20    ? shop::NoPoint::whole_units
               : size >= 100 ? shop::NoPoint::least_increments
                             : shop::NoPoint::unknown;
    case Quantity::feed: // Who asks goes by the minute in inch: a fifth of an inch is no feed
        return size <= most_whole_feed ? shop::NoPoint::whole_units : shop::NoPoint::unknown;
    default:
        return codes::reads_in_increments(quantity) &&
                       (is_padded(run.text_of(item)) || is_finish_pass(run, item))
                   ? shop::NoPoint::least_increments
                   : shop::NoPoint::unknown;
    }
}

std::string_view sign_title(Sign sign) {
    switch (sign) {
    case Sign::code:
        return said("its codes");
    case Sign::feed:
        return said("its feeds");
    case Sign::feed_a_turn:
        return said("its feeds over its speeds");
    case Sign::size:
        return said("its sizes");
    case Sign::decimals:
        return said("its decimals");
    case Sign::drill_feed:
        return said("the feeds of its drills");
    case Sign::lead:
        return said("its leads");
    case Sign::note:
        return said("its notes");
    case Sign::surface_speed:
        return said("its speeds");
    case Sign::insert:
        return said("the names of its inserts");
    case Sign::approach:
        return said("its approaches");
    case Sign::practice:
        return said("common practice");
    case Sign::none:
    case Sign::count_:
        break;
    }
    return "";
}

std::optional<SignPlace> first_sign(const syntax::Forest& forest, const text::Buffer& buffer, System system,
                                    const Assumption& assumption) {
    if (assumption.by == Sign::none || assumption.by == Sign::practice) return std::nullopt;
    const bool by_c = assumption.by == Sign::code && system == System::C;
    Says wanted = Says::per_rev;
    if (assumption.meaning == Meaning::inch) wanted = by_c ? Says::inch_in_c : Says::inch;
    if (assumption.meaning == Meaning::millimetre) wanted = by_c ? Says::millimetre_in_c : Says::millimetre;
    if (assumption.meaning == Meaning::feed_per_minute) wanted = Says::per_minute;
    if (assumption.by == Sign::note && assumption.meaning == Meaning::feed_per_minute)
        wanted = Says::named_minute;
    if (assumption.by == Sign::note && assumption.meaning == Meaning::feed_per_rev) wanted = Says::named_rev;
    for (std::size_t at = 0; at < forest.size(); ++at) {
        const syntax::Run& run = *forest.run(at);
        for (std::size_t block = 0; block < run.blocks.size(); ++block) {
            std::optional<SignPlace> place;
            look(run, run.blocks[block], [&](Sign sign, Says says, const Item& item) {
                const bool speaks = says == wanted || (says == Says::coarse && wanted == Says::per_minute);
                if (sign == assumption.by && speaks && !place)
                    place = {buffer.first_line_of_leaf(at) + block, std::string(run.text_of(item))};
            });
            if (place) return place;
        }
    }
    return std::nullopt;
}

} // namespace turnwright::machine
