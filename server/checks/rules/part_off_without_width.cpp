// A part-off whose Z is the length of the part, with a blade that is set on its edge at the chuck.
#include "checks/noted_blade.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/tool_notes.h"
#include "language/said.h"
#include "text/capitals.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>

namespace turnwright::checks::rules::part_off_without_width {

namespace {

using Kind = NamedTool::Kind;

bool tells_edge(std::string_view text) {
    return speaks_of(text,
                     {"LEFT EDGE", "LEFT CORNER", "CHUCK SIDE", "COLLET SIDE", "LINKE ECKE", "LINKE KANTE",
                      "BEC GAUCHE", "COIN GAUCHE", "ARETE GAUCHE", "FILO IZQUIERDO", "ESQUINA IZQUIERDA",
                      "SPIGOLO SINISTRO", "ANGOLO SINISTRO", "PRIS A GAUCHE", "ITS LEFT SIDE"});
}
bool tells_far_edge(std::string_view text) {
    return speaks_of(text, {"RIGHT EDGE", "RIGHT CORNER", "FRONT CORNER", "FRONT EDGE", "VORDERE ECKE",
                            "VORDERE KANTE", "ITS RIGHT SIDE", "RECHTE ECKE", "RECHTE KANTE", "BEC DROIT",
                            "COIN DROIT", "ARETE DROITE", "PRIS A DROITE", "FILO DERECHO", "ESQUINA DERECHA",
                            "SPIGOLO DESTRO", "ANGOLO DESTRO"});
}
/// From a place in a note to the next tool of a list; a comma divides nothing.
std::string_view entry_from(std::string_view note, std::size_t at) {
    std::size_t end = at;
    const auto is_station = [&](std::size_t i) {
        return note[i] == 'T' && i > at && i + 1 < note.size() &&
               std::isdigit(static_cast<unsigned char>(note[i + 1])) != 0;
    };
    while (end < note.size() && note[end] != '/' && note[end] != ';' && !is_station(end)) ++end;
    return note.substr(at, end - at);
}
/// What notes say of this blade: of its own sequence, and of the part-off in a list.
std::vector<std::string> texts_of(const ToolNotes& notes) {
    std::vector<std::string> texts = notes.own;
    texts.insert(texts.end(), notes.listed.begin(), notes.listed.end());
    for (const std::string& note : notes.head)
        for (std::string_view name :
             {"PART", "CUTOFF", "CUT OFF", "CUT-OFF", "ABSTECH", "ABSTICH", "TRONZ", "TRONC"})
            for (std::size_t at = note.find(name); at != std::string::npos; at = note.find(name, at + 1))
                texts.emplace_back(entry_from(note, at));
    return texts;
}

/// What a length is called.
constexpr std::string_view length_words[] = {"LONG",  "LENGTH",   "LG",    "LAENGE",    "LANGE",   "LANG",
                                             "LARGO", "LONGUEUR", "LUNGO", "LUNGHEZZA", "LONGITUD"};
/// What the length is of: "LUNGHEZZA PEZZO 60", "60 PART LENGTH".
constexpr std::string_view part_words[] = {"PART",  "PIECE", "TEIL",     "STUECK", "WERKSTUECK",
                                           "PEZZO", "PIEZA", "FINISHED", "OVERALL"};
/// "PART OFF AT 30".
constexpr std::string_view place_words[] = {"AT", "A", "AUF", "TO"};

/// Numbers beside a word for a length, and in the notes of a part-off behind AT.
std::vector<double> lengths_in(const std::vector<std::string>& notes, bool of_part_off) {
    std::vector<double> out;
    auto number = [&](const std::string& text) {
        if (text.empty() || text.find_first_not_of("0123456789.") != std::string::npos) return;
        char* end = nullptr;
        const double value = std::strtod(text.c_str(), &end);
        if (*end == '\0' && value > 0) out.push_back(value);
    };
    for (const std::string& note : notes) {
        std::vector<std::string> words(1);
        for (char c : note) {
            if (std::isalnum(static_cast<unsigned char>(c)) || c == '.' || c == '/')
                words.back() += c;
            else if (!words.back().empty())
                words.emplace_back();
        }
        for (std::size_t i = 0; i < words.size(); ++i) {
            const auto is_one_of = [&](std::span<const std::string_view> some) {
                return std::find(some.begin(), some.end(), words[i]) != some.end();
            };
            const bool is_length = is_one_of(length_words);
            if (!is_length && !(of_part_off && is_one_of(place_words))) continue;
            const auto is_of_part = [&](std::size_t at) {
                return is_length && std::find(std::begin(part_words), std::end(part_words), words[at]) !=
                                        std::end(part_words);
            };
            const std::size_t before = i > 1 && is_of_part(i - 1) ? 2 : 1;
            const std::size_t behind = i + 2 < words.size() && is_of_part(i + 1) ? 2 : 1;
            if (is_length && i >= before) number(words[i - before]);
            if (i + behind < words.size()) number(words[i + behind]);
        }
    }
    return out;
}

const Act* deepest_plunge(const Acts& work) {
    const Act* found = nullptr;
    for (const Act& act : work.acts)
        if (act.motion == MotionKind::feed && act.moves_x && !act.moves_z && known(act.from_z) &&
            known(act.to_x) && act.from_z < 0 && (!found || act.to_x < found->to_x))
            found = &act;
    return found;
}

/// Where Z was given: the approach that the plunge starts from.
const Act& given_by(const Acts& work, const Act& plunge) {
    const Act* given = &plunge;
    for (const Act& act : work.acts) {
        if (&act == &plunge) break;
        if (act.moves_z && act.to_z == plunge.from_z) given = &act;
    }
    return *given;
}

/// "SPACER .687 X .390 X .375": the one of several sizes that is no diameter of the part.
void add_titled_length(const std::vector<ToolOfSpan>& tools, const std::vector<std::string>& head,
                       std::vector<double>& lengths) {
    const auto is_diameter = [&](double size) {
        for (const ToolOfSpan& tool : tools) {
            for (const Act& act : tool.work->acts)
                if ((act.cuts() || act.threads() || act.in_contour) && known(act.to_x) &&
                    std::abs(2 * act.to_x - size) < 5e-4 * size)
                    return true;
            for (const NamedTool* named : {tool.own, tool.listed})
                if (named->kind == Kind::drill && std::abs(named->diameter - size) < 5e-3 * size) return true;
        }
        return false;
    };
    // "PISTON D28 X 40, C45, BAR D30": what stands between commas is one thing.
    std::vector<std::string> things;
    for (const std::string& note : head)
        for (std::size_t at = 0; at <= note.size();) {
            const std::size_t end = std::min(note.find(", ", at), note.size());
            things.push_back(note.substr(at, end - at));
            at = end + 2;
        }
    for (const std::string& note : things) {
        if (speaks_of(note, {"TUBE", "WALL", "HEX", "FLANGE", "BAR", "STOCK", "BLANK", "SLUG", "JAW", "ROH",
                             "STANGE", "BRUT", "EBAUCHE", "GREZZ", "BARRA", "BRUTO", "SAW", "THREAD"}))
            continue;
        const NotedWords words = noted_words(note);
        std::vector<double> sizes;
        for (std::size_t i = 0; i < words.size(); ++i) {
            const bool beside_x = words.at(i + 1) == "X" || (i > 0 && words.at(i - 1) == "X");
            std::string_view word = words.at(i);
            if (word.size() > 1 && word[0] == 'D') word.remove_prefix(1);
            if (const auto size = beside_x ? plain_number(word) : std::nullopt) sizes.push_back(*size);
        }
        if (sizes.size() < 2 || sizes.size() > 3) continue;
        std::vector<double> others;
        for (const double size : sizes)
            if (!is_diameter(size)) others.push_back(size);
        if (others.size() == 1 && others[0] > 0) lengths.push_back(others[0]);
    }
}

/// "BODY M24 X 1.5 / D30, L46, BRASS".
void add_lettered_length(const std::vector<std::string>& head, std::vector<double>& lengths) {
    for (const std::string& note : head) {
        if (speaks_of(note, {"BAR", "STOCK", "BLANK", "JAW", "LOOP", "PIECES"})) continue;
        const NotedWords words = noted_words(note);
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::string_view word = words.at(i);
            if (word.size() < 2 || word[0] != 'L') continue;
            if (const auto size = plain_number(word.substr(1)); size && *size > 0) lengths.push_back(*size);
        }
    }
}

/// "#120=45. (LONGUEUR TOTALE)", in the head.
void add_length_of_variable(const FileContext& context, const ToolOfSpan& tool,
                            std::vector<double>& lengths) {
    for (const Span& span : context.spans()) {
        if (span.sequence || span.program != tool.span->program) continue;
        for (const NoteAt& at : notes_between(context.reader(), span.first, span.last)) {
            const std::string note = text::in_capitals(at.text);
            if (!speaks_of(note, {"LONGUEUR TOTAL", "TOTAL LENGTH", "OVERALL LENGTH", "PART LENGTH",
                                  "GESAMTLAENGE", "TEILLAENGE", "LUNGHEZZA TOTALE", "LUNGHEZZA PEZZO",
                                  "LONGITUD TOTAL", "LONGITUD PIEZA", "LARGO TOTAL"}))
                continue;
            const std::string statement = statement_of(context.reader(), at.place);
            const std::size_t equals = statement.find('=');
            if (!statement.starts_with('#') || equals == std::string::npos) continue;
            if (const auto size = plain_number(std::string_view(statement).substr(equals + 1));
                size && *size > 0)
                lengths.push_back(*size);
        }
    }
}

/// "LEAVE .010": what stays for the second side.
double left_for_second_side(const ToolNotes& notes) {
    for (const auto* texts : {&notes.own, &notes.head})
        for (const std::string& note : *texts) {
            const bool of_back = speaks_of(note, {"BACK", "OP 2", "OP2", "OP. 2", "SECOND", "2ND", "SIDE 2"});
            if (texts == &notes.head && !of_back) continue; // On the face
            const NotedWords words = noted_words(note);
            for (std::size_t i = 0; i + 1 < words.size(); ++i)
                if (words.at(i) == "LEAVE" || words.at(i) == "LEAVING")
                    if (const auto size = plain_number(words.at(i + 1))) return *size;
        }
    return 0;
}

std::optional<double> width_of(const FileContext& context, const ToolOfSpan& tool,
                               const std::vector<ToolOfSpan>& tools, const ToolNotes& notes,
                               const Act& plunge) {
    const auto mm = mm_of(plunge, unit_of_file(context, tools));
    if (!mm) return std::nullopt;
    if (const auto width =
            noted_blade(context.reader(), context.spans(), *tool.span, tool.station, *mm).width)
        return width;
    for (const auto* texts : {&notes.own, &notes.listed})
        for (const std::string& text : *texts)
            if (const auto width = tool_by_note(text, *mm).tool.width_mm) return *width / *mm;
    return std::nullopt;
}

/// Length and width of the notes make the Z of the part-off with two digits of it changed over.
struct Swapped {
    double length = 0, width = 0, meant = 0;
};
std::optional<Swapped> digits_swapped(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                                      const ToolNotes& notes, const std::vector<double>& lengths,
                                      const Act& plunge) {
    const auto mm = mm_of(plunge, unit_of_file(context, tools));
    if (!mm) return std::nullopt;
    for (const auto* texts : {&notes.own, &notes.listed})
        for (const std::string& text : *texts)
            if (const auto width = tool_by_note(text, *mm).tool.width_mm)
                for (double length : lengths)
                    if (const double meant = length + *width / *mm;
                        slip_between(plunge.from_z, -meant) == Slip::digits_swapped)
                        return Swapped{length, *width / *mm, -meant};
    return std::nullopt;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) {
        if (!tool.is(Kind::part_off)) continue;
        const Act* plunge = deepest_plunge(*tool.work);
        if (!plunge) continue;
        const ToolNotes notes = notes_about(context, tools, tool);
        const std::vector<std::string> texts = texts_of(notes);
        const bool at_chuck = std::any_of(texts.begin(), texts.end(), tells_edge);
        const bool far_edge = std::any_of(texts.begin(), texts.end(), tells_far_edge);
        if (at_chuck == far_edge) continue;
        auto lengths = lengths_in(notes.own, true);
        if (lengths.empty()) lengths = lengths_in(notes.head, false);
        const double z = plunge->from_z;
        const double per_unit = mm_of(*plunge, unit_of_file(context, tools)).value_or(1);
        const auto place = [&] { return report.at_letter(tool.place(given_by(*tool.work, *plunge)), 'Z'); };
        if (const auto slip =
                at_chuck ? digits_swapped(context, tools, notes, lengths, *plunge) : std::nullopt) {
            place().message(
                said("The notes give the part a length of {} and the blade a width of {}, set on its edge "
                     "at the chuck: that makes Z{}, and Z{} stands here, with two digits changed over. The "
                     "part is cut in two. Write Z{}.",
                     written(slip->length), written(slip->width), written(slip->meant), written(z),
                     written(slip->meant)));
            continue;
        }
        add_titled_length(tools, notes.head, lengths);
        if (lengths.empty()) add_lettered_length(notes.head, lengths);
        add_length_of_variable(context, tool, lengths);
        const auto width = width_of(context, tool, tools, notes, *plunge);
        const auto mm = mm_of(*plunge, unit_of_file(context, tools));
        const double leave = left_for_second_side(notes);
        constexpr double most_faced_mm = 0.6;
        const bool is_right = std::any_of(lengths.begin(), lengths.end(), [&](double length) {
            const double more = width ? -z - length - leave - (at_chuck ? *width : 0) : -1;
            return more >= -1e-3 * length && more * per_unit <= most_faced_mm;
        });
        if (is_right) continue;
        for (double length : lengths) {
            const auto is_at = [&](double place) { return std::abs(place + z) <= 1e-3 * length; };
            const auto rounded = [](double value) { return written(std::round(value * 1e4) / 1e4); };
            const auto shortly = [](double value) { return spoken(std::round(value * 1e4) / 1e4); };
            if (at_chuck && is_at(length)) {
                place().message(said(
                    "Z{} is the length {} of the part, and a note says that the blade is set on its edge at "
                    "the "
                    "chuck: the part comes out shorter by its width. Write the length and the width, Z-({} + "
                    "width).",
                    written(z), written(length), written(length)));
                break;
            }
            if (!width) continue;
            const double meant = length + leave + (at_chuck ? *width : 0);
            // With a little to face on the second side.
            const auto leaves = [&](double place) {
                const double more = -z - place;
                return more > 1e-3 * length && more * per_unit <= most_faced_mm &&
                       *width * per_unit > 2 * most_faced_mm;
            };
            const double short_by = at_chuck ? length : length - *width;
            if (leaves(short_by)) {
                place().message(said("The notes give the part a length of {} and the blade a width of {}: at "
                                     "Z{} the part comes "
                                     "out {} long, and what is left for its second side is missing with the "
                                     "width. Write Z-{}.",
                                     spoken(length), shortly(*width), written(z),
                                     shortly(-z - (at_chuck ? *width : 0)), rounded(-z + *width)));
                break;
            }
            if (leaves(meant + *width)) {
                place().message(
                    said("The notes give the part a length of {} and the blade a width of {}: at Z{} the "
                         "part comes "
                         "out {} long, the width of the blade is in it once too often. Write Z-{}.",
                         spoken(length), shortly(*width), written(z), shortly(-z - (at_chuck ? *width : 0)),
                         rounded(-z - *width)));
                break;
            }
            if (at_chuck && is_at(length - *width)) {
                place().message(
                    said("Z{} is the length {} of the part less the width {} of the blade, which is set on "
                         "its edge at the chuck: the part comes out {} long. Add the width, Z-{}.",
                         written(z), spoken(length), shortly(*width), shortly(-z - *width), rounded(meant)));
                break;
            }
            if (far_edge && is_at(length + *width)) {
                place().message(
                    said("Z{} is the length {} of the part and the width {} of the blade, and a note says "
                         "that it is set on its edge away from the chuck: the part comes out longer by the "
                         "width. Write Z-{}.",
                         written(z), spoken(length), shortly(*width), rounded(meant)));
                break;
            }
            // Some is left for the second side, whether a note says so or not; nothing makes it shorter.
            constexpr double least_short = 0.1, most_short = 0.4, most_left = 3, most_long = 0.3;
            const double off = -z - meant;
            const bool is_short = off * *mm < -least_short && off > -most_short * length && leave == 0,
                       is_long = off * *mm > most_left && off < most_long * length;
            if (lengths.size() == 1 && (is_short || is_long)) {
                place().message(said(
                    "By the notes the part is {} long and the blade {} wide: cut off at Z{} it comes out {} "
                    "long, {} {}. Write Z-{}.",
                    spoken(length), shortly(*width), written(z), shortly(length + off),
                    shortly(std::abs(off)), is_short ? said("too short") : said("too long"), rounded(meant)));
                break;
            }
            if (leave > 0 && is_at(meant - leave)) {
                place().message(
                    said("The part is cut off at its length {}, and a note leaves {} for the second side: "
                         "nothing stays to face there. Write Z-{}.",
                         spoken(length), spoken(leave), rounded(meant)));
                break;
            }
        }
    }
}

} // namespace

extern const Check check{
    .id = "part_off_without_width",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Part-off at the length, without the blade's width",
    .documentation =
        "A note says that the blade is set on its left edge, at the chuck, and the part-off goes to exactly "
        "the length that a note gives the part (LONG, LENGTH): the whole width of the blade is then cut from "
        "the part. With this edge Z is the length and the width; where the width is noted, too, a Z that is "
        "this sum with two digits changed over is told. So is one that takes the width off in place of "
        "adding it, one with the width where the edge away from the chuck is set, and one that leaves "
        "nothing of what a note keeps for the second side. The length may stand in the title beside "
        "diameters of the part, or at a variable."
        " Where both are noted, any other Z that makes the part shorter, or much longer, is told.",
    .file = file,
    .examples =
        {
            // Another length than the notes give; and some left for the second side.
            {System::C, R"(
(PIN, LENGTH 40)
(T07 PART OFF 3 MM, LEFT CORNER)
G71 G90 G95
T0707
G97 S900 M03
G00 X32. Z-41.
;        ^^^^^ warning: part_off_without_width
G01 X-.6 F.06
G00 X60.
M30
)"},
            {System::C, R"(
(PIN, LENGTH 40)
(T07 PART OFF 3 MM, LEFT CORNER)
G71 G90 G95
T0707
G97 S900 M03
G00 X32. Z-43.5
G01 X-.6 F.06
G00 X60.
M30
)"},
            {System::B, R"(
(BALL HANDLE, BAR DIA 45, 72 LONG)
(T05 PART OFF 4 MM LEFT EDGE)
G21 G90 G95
T0505
G97 S900 M03
G00 X49. Z-67.
;       ^^^^ warning: part_off_without_width
G01 X20. F0.08
X-0.4 F0.04
G00 X49.
M30
)"},
            {System::B, R"(
(BALL HANDLE, BAR DIA 45, 72 LONG)
(T05 PART OFF 4 MM LEFT EDGE)
G21 G90 G95
T0505
G97 S900 M03
G00 X49. Z-76.
G01 X20. F0.08
X-0.4 F0.04
G00 X49.
M30
)"},
            {System::A, R"(
(T9 PART-OFF 3 WIDE LEFT EDGE)
G21 G99
N1 (PART OFF, 40 LONG)
T0909
G97 S800 M03
G00 X42. Z-40.
;        ^^^^^ warning: part_off_without_width
G01 X-0.4 F0.05
G00 X42.
M30
)"},
            {System::C, R"(
(T1 TURN, T3 .125 GROOVE, T7 PART .118; T3 T7 CHUCK SIDE)
G70 G90 G95
(PART OFF)
T0707 (2.750 LONG)
G97 S800 M03
G00 X1. Z.1
Z-2.75
;^^^^^ warning: part_off_without_width
G01 X.3 F.003
X-.01 F.0015
G00 X1.
M30
)"},
            {System::A, R"(
(T9 PART-OFF 3 WIDE LEFT EDGE)
G21 G99
N1 (PART OFF, 40 LONG)
T0909
G97 S800 M03
G00 X42. Z-43.
G01 X-0.4 F0.05
G00 X42.
M30
)"},
            {System::B, R"(
(T3 GROOVE .125 LEFT EDGE, T9 PART .125 RIGHT EDGE)
G20 G90 G95
N1 (PART OFF, 1.5 LONG)
T0909
G97 S800 M03
G00 X1. Z-1.5
G01 X-.01 F.002
G00 X1.
M30
)"},
            {System::A, R"(
(T01 CILINDRAR / T05 TRONZAR 3 MM, FILO IZQUIERDO)
G21 G99
T0101
G97 S900 M03
G00 X54. Z0
G01 X-1. F.1
G00 X200. Z200.
T0505 (TRONZAR A 30 MM)
G00 X54. Z-30.
;        ^^^^^ warning: part_off_without_width
G01 X-.6 F.05
G00 X60.
M30
)"},
            {System::A, R"(
(T01 CILINDRAR / T05 TRONZAR 3 MM, FILO IZQUIERDO)
G21 G99
T0101
G97 S900 M03
G00 X54. Z0
G01 X-1. F.1
G00 X200. Z200.
T0505 (TRONZAR A 30 MM)
G00 X54. Z-33.
G01 X-.6 F.05
G00 X60.
M30
)"},
            // What the length is of stands between.
            {System::C, R"(
(BARRA D80, LUNGHEZZA PEZZO 60)
G71 G90 G95
G28 X200.
G28 Z200.
T0909 (TRONCATURA LARGA 3, SPIGOLO SINISTRO)
G97 S900 M03
G00 X90. Z2.
G00 X84. Z-60.
;       ^^^^ warning: part_off_without_width
G01 X-0.6 F0.08
G00 X84.
M30
)"},
            {System::B, R"(
(BAR 1.25, 2.5 PART LENGTH)
G20 G90 G95
G28 X8.
G28 Z8.
T0909 (PART OFF .118 WIDE, LEFT EDGE)
G97 S900 M03
G00 X1.6 Z.1
G00 X1.4 Z-2.5
;       ^^^^^ warning: part_off_without_width
G01 X-.02 F.003
G00 X1.4
M30
)"},
            {System::A, R"(
(BARRA D80, LUNGHEZZA PEZZO 60)
G21 G99
T0909 (TRONCATURA LARGA 3, SPIGOLO SINISTRO)
G97 S900 M03
G00 X84. Z-63.
G01 X-0.6 F0.08
G00 X84.
M30
)"},
            // Set on the other edge, and the width added all the same; and as it is set.
            {System::A, R"(
(PART LENGTH 2.000)
(T4 PART-OFF .125 WIDE, TOUCHED OFF ON RIGHT EDGE)
G20 G99
T0404
G97 S900 M03
G00 X1.85 Z-2.125
;         ^^^^^^^ warning: part_off_without_width
G01 X-.02 F.003
G00 X1.85
M30
)"},
            {System::A, R"(
(PART LENGTH 2.000)
(T4 PART-OFF .125 WIDE, TOUCHED OFF ON RIGHT EDGE)
G20 G99
T0404
G97 S900 M03
G00 X1.85 Z-2.
G01 X-.02 F.003
G00 X1.85
M30
)"},
            // The width taken off in place of added; the title tells the length beside two diameters.
            {System::B, R"(
(SPACER 30 X 12 X 18)
(T2 DRILL 12, T6 CUTOFF 3 WIDE LEFT CORNER)
G21 G90 G95
T0101
G97 S900 M03
G00 X30. Z2.
G01 Z-22. F.2
G00 X50. Z50.
T0202
S700 M03
G00 X0. Z2.
G01 Z-26. F.1
G00 Z50.
T0606
S800 M03
G00 X34. Z-15.
;       ^^^^^ warning: part_off_without_width
G01 X11. F.06
G00 X34.
M30
)"},
            {System::B, R"(
(SPACER 30 X 12 X 18)
(T2 DRILL 12, T6 CUTOFF 3 WIDE LEFT CORNER)
G21 G90 G95
T0101
G97 S900 M03
G00 X30. Z2.
G01 Z-22. F.2
G00 X50. Z50.
T0202
S700 M03
G00 X0. Z2.
G01 Z-26. F.1
G00 Z50.
T0606
S800 M03
G00 X34. Z-21.
G01 X11. F.06
G00 X34.
M30
)"},
            // What a note leaves for the second side; the length by a variable.
            {System::C, R"(
(LENGTH 40, BACK FACED IN OP 2, LEAVE .5)
(T6 CUTOFF 3 WIDE LEFT CORNER)
G71 G90 G95
T0606
G97 S800 M03
G00 X34. Z-43.
;       ^^^^^ warning: part_off_without_width
G01 X-.6 F.06
G00 X34.
M30
)"},
            {System::C, R"(
(LENGTH 40, BACK FACED IN OP 2, LEAVE .5)
(T6 CUTOFF 3 WIDE LEFT CORNER)
G71 G90 G95
T0606
G97 S800 M03
G00 X34. Z-43.5
G01 X-.6 F.06
G00 X34.
M30
)"},
            {System::A, R"(
(T5 TRONCONNER 3 PRIS A GAUCHE)
#120=45. (LONGUEUR TOTALE)
G21 G99
T0505
G97 S800 M03
G00 X34. Z2.
Z-#120
;^^^^^ warning: part_off_without_width
G01 X-.4 F.06
G00 X34.
M30
)"},
            // What is left to face is there, the width is not.
            {System::A, R"(
(PISTON D28 X 40, C45, BAR D30)
G21 G99
T0101
G97 S800 M03
G00 X28. Z2.
G01 Z-46. F.2
G00 X34. Z5.
T0909 (PART-OFF 3.0 WIDE, LEFT EDGE SET)
G97 S800 M03
G00 X34. Z-40.3
;        ^^^^^^ warning: part_off_without_width
G01 X-0.4 F0.05
G00 X34.
M30
)"},
            {System::A, R"(
(PISTON D28 X 40, C45, BAR D30)
G21 G99
T0101
G97 S800 M03
G00 X28. Z2.
G01 Z-46. F.2
G00 X34. Z5.
T0909 (PART-OFF 3.0 WIDE, LEFT EDGE SET)
G97 S800 M03
G00 X34. Z-43.3
G01 X-0.4 F0.05
G00 X34.
M30
)"},
            // Set on its front corner, and the width taken off.
            {System::C, R"(
(ALUMINIUM BAR 60, PART 35 LONG)
G71 G90 G95
T0101 (ROUGH)
G97 S800 M03
G00 X56. Z2.
G01 Z-38. F.2
G00 X64. Z5.
T0909 (PART OFF, BLADE 3 WIDE, SET AT ITS FRONT CORNER)
G97 S800 M03
G00 X62. Z-32.3
;        ^^^^^^ warning: part_off_without_width
G01 X-.4 F.05
G00 X62.
M30
)"},
            {System::C, R"(
(ALUMINIUM BAR 60, PART 35 LONG)
G71 G90 G95
T0909 (PART OFF, BLADE 3 WIDE, SET AT ITS FRONT CORNER)
G97 S800 M03
G00 X62. Z-35.3
G01 X-.4 F.05
G00 X62.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::part_off_without_width
