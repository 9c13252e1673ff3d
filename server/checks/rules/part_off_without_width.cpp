// A part-off whose Z is the length of the part, with a blade that is set on its edge at the chuck.
#include "checks/noted_tool.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>

namespace turnwright::checks::rules::part_off_without_width {

namespace {

using Kind = NamedTool::Kind;

bool tells_edge(std::string_view text) {
    return speaks_of(text, {"LEFT EDGE", "LEFT CORNER", "CHUCK SIDE", "COLLET SIDE", "LINKE ECKE",
                            "LINKE KANTE", "BEC GAUCHE", "COIN GAUCHE", "ARETE GAUCHE", "FILO IZQUIERDO",
                            "ESQUINA IZQUIERDA", "SPIGOLO SINISTRO", "ANGOLO SINISTRO"});
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
/// A note says of this blade that its edge at the chuck is the one that is set.
bool is_set_at_chuck(const ToolNotes& notes) {
    for (const auto* texts : {&notes.own, &notes.listed})
        if (std::any_of(texts->begin(), texts->end(), tells_edge)) return true;
    for (const std::string& note : notes.head)
        for (std::string_view name :
             {"PART", "CUTOFF", "CUT OFF", "CUT-OFF", "ABSTECH", "ABSTICH", "TRONZ", "TRONC"})
            for (std::size_t at = note.find(name); at != std::string::npos; at = note.find(name, at + 1))
                if (tells_edge(entry_from(note, at))) return true;
    return false;
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

/// Length and width of the notes make the Z of the part-off with two digits of it changed over.
struct Swapped {
    double length = 0, width = 0, meant = 0;
};
std::optional<Swapped> digits_swapped(const std::vector<ToolOfSpan>& tools, const ToolNotes& notes,
                                      const std::vector<double>& lengths, const Act& plunge) {
    const auto mm = mm_of(plunge, unit_of_file(tools));
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
        if (!is_set_at_chuck(notes)) continue;
        auto lengths = lengths_in(notes.own, true);
        if (lengths.empty()) lengths = lengths_in(notes.head, false);
        if (const auto slip = digits_swapped(tools, notes, lengths, *plunge)) {
            report.at_letter(tool.place(given_by(*tool.work, *plunge)), 'Z')
                .message(said(
                    "The notes give the part a length of {} and the blade a width of {}, set on its edge "
                    "at the chuck: that makes Z{}, and Z{} stands here, with two digits changed over. The "
                    "part is cut in two. Write Z{}.",
                    written(slip->length), written(slip->width), written(slip->meant),
                    written(plunge->from_z), written(slip->meant)));
            continue;
        }
        for (double length : lengths) {
            if (std::abs(length + plunge->from_z) > 1e-3 * length) continue;
            report.at_letter(tool.place(given_by(*tool.work, *plunge)), 'Z')
                .message(said(
                    "Z{} is the length {} of the part, and a note says that the blade is set on its edge at "
                    "the "
                    "chuck: the part comes out shorter by its width. Write the length and the width, Z-({} + "
                    "width).",
                    written(plunge->from_z), written(length), written(length)));
            break;
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
        "the "
        "length that a note gives the part (LONG, LENGTH): the whole width of the blade is then cut from the "
        "part. With this edge Z is the length and the width; where the width is noted, too, a Z that is this "
        "sum "
        "with two digits changed over is told.",
    .file = file,
    .examples =
        {
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::part_off_without_width
