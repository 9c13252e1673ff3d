// A note gives the angle of this work, and C stands elsewhere.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::angle_unlike_note {

namespace {

bool same_angle(double a, double b) {
    return std::abs(std::remainder(a - b, 360)) < 0.05;
}

/// "KEYWAY 8 WIDE AT C180", "TWO PORTS C90. AND C270."; no steel C45 and no radius of a cylinder. Empty:
/// none, or a note that tells of ways or of other places.
std::vector<double> angles_in(const std::vector<std::string>& notes) {
    std::vector<double> angles;
    for (const std::string& note : notes) {
        if (speaks_of(note,
                      {"FROM", "TO C", "RADIUS", "RAGGIO", "RAYON", "STEEL", "BAR", "BLANK", "STAHL", "BRAKE",
                       "AXIS", "C0 =", "C0=", "DIMPLE", "AFTER", "LIKE", "VON", "DA C", "DE C"}))
            continue;
        const NotedWords words = noted_words(note);
        // "4 X M8 ON PCD 90 AT 45 135 225 315"
        for (std::size_t i = 0; i < words.size(); ++i) {
            if (words.at(i) != "AT" && words.at(i) != "BEI") continue;
            std::vector<double> row;
            for (std::size_t k = i + 1; k < words.size(); ++k) {
                const auto angle = plain_number(words.at(k));
                if (!angle || *angle >= 360 || (!row.empty() && *angle <= row.back())) break;
                row.push_back(*angle);
            }
            if (row.size() >= 3) angles.insert(angles.end(), row.begin(), row.end());
        }
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::string_view word = words.at(i);
            if (word.size() < 2 || word[0] != 'C') continue;
            const auto angle = plain_number(word.substr(1));
            const bool introduced =
                i > 0 && (words.at(i - 1) == "AT" || words.at(i - 1) == "BEI" || words.at(i - 1) == "A" ||
                          words.at(i - 1) == "AUF" || words.at(i - 1) == "EN" || words.at(i - 1) == "EM");
            const bool has_point = word.back() == '.';
            if (!angle || *angle < 0 || *angle >= 360 || !(introduced || has_point || !angles.empty()))
                continue;
            angles.push_back(*angle);
        }
    }
    return angles;
}

/// "PAD X42. AT C180" in the head, and the sequence is called "(PAD)": what the head says of a feature that
/// no other of its phrases names.
std::vector<double> angles_of_feature(const ToolNotes& notes) {
    constexpr std::string_view common[] = {"MILL",   "END",   "DRILL", "TAP",    "LIVE",    "TOOL",  "WITH",
                                           "AND",    "THE",   "FOR",   "SPOT",   "FACE",    "HOLES", "HOLE",
                                           "RADIAL", "AXIAL", "ROUGH", "FINISH", "THROUGH", "DEEP",  "WIDE",
                                           "LONG",   "SIDE",  "RIGID", "PITCH",  "CENTRE"};
    std::vector<double> found;
    for (const std::string& own : notes.own) {
        const NotedWords words = noted_words(own);
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::string word(words.at(i));
            const bool plain = word.size() >= 3 && std::all_of(word.begin(), word.end(),
                                                               [](char c) { return c >= 'A' && c <= 'Z'; });
            const bool thread =
                word.size() >= 2 && word[0] == 'M' && plain_number(std::string_view(word).substr(1));
            if (!(plain || thread) ||
                std::find(std::begin(common), std::end(common), word) != std::end(common))
                continue;
            std::size_t phrases = 0;
            std::vector<double> angles;
            for (const std::string& head : notes.head)
                for (std::size_t at = 0; at <= head.size();) {
                    const std::size_t end = std::min(head.find(", ", at), head.size());
                    const std::string phrase = head.substr(at, end - at);
                    at = end + 2;
                    const NotedWords said_words = noted_words(phrase);
                    const bool names = std::find(said_words.words.begin(), said_words.words.end(), word) !=
                                       said_words.words.end();
                    if (!names) continue;
                    ++phrases;
                    for (const double angle : angles_in({phrase})) angles.push_back(angle);
                }
            if (phrases != 1 || angles.empty() || angles.size() == 2) continue;
            if (!found.empty() && found != angles) return {};
            found = angles;
        }
    }
    return found;
}

void look_at(const FileContext& context, const std::vector<ToolOfSpan>& tools, const ToolOfSpan& tool,
             Report& report) {
    if (!tool.span->sequence || !tool.work->whole) return;
    std::vector<double> places;
    const Act* first = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.calls_program || act.deleted || act.polar || act.cylinder || act.incremental) return;
        if (tool.work->word(act, 'H') || tool.work->word(act, 'K')) return;
        const ActWord* word = tool.work->word(act, 'C');
        if (!word || is_return(act.motion)) continue;
        if (!act.turns_part) return;
        if (!first) first = &act;
        if (std::none_of(places.begin(), places.end(),
                         [&](double place) { return same_angle(place, word->number); }))
            places.push_back(word->number);
    }
    if (!first) return;
    const ToolNotes notes = notes_about(context, tools, tool);
    std::vector<double> noted = angles_in(notes.own);
    if (noted.empty()) noted = angles_of_feature(notes);
    if (noted.empty()) return;
    std::vector<double> missing, others;
    for (const double angle : noted)
        if (std::none_of(places.begin(), places.end(),
                         [&](double place) { return same_angle(place, angle); }))
            missing.push_back(angle);
    for (const double place : places)
        if (std::none_of(noted.begin(), noted.end(), [&](double angle) { return same_angle(place, angle); }))
            others.push_back(place);
    const bool none = missing.size() == noted.size();
    const bool one = missing.size() == 1 && others.size() == 1 && places.size() == noted.size();
    if (!none && !one) return;
    const Act* at = first;
    for (const Act& act : tool.work->acts)
        if (const ActWord* word = tool.work->word(act, 'C');
            one && word && !others.empty() && !is_return(act.motion) && word->number == others[0]) {
            at = &act;
            break;
        }
    std::vector<std::string> told;
    told.reserve(missing.size());
    for (const double angle : missing) told.push_back(fmt::format("C{}", written(angle)));
    report.at_letter(tool.place(*at), 'C')
        .message(
            said("C{} stands here, and the note of this work says {}: it comes to another angle than the "
                 "drawing has it, or the note is of another tool.",
                 written(tool.work->word(*at, 'C')->number), list_of(told)));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) look_at(context, tools, tool, report);
}

} // namespace

extern const Check check{
    .id = "angle_unlike_note",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "C is not the angle of the note",
    .documentation =
        "The note of a sequence gives the angle of its work (\"PAD AT C180\", \"TWO PORTS C90. AND C270.\"), "
        "and C stands "
        "elsewhere in it: an angle copied from the tool before, or an old note. Notes that tell ways "
        "(FROM ... TO), a material or the radius of a cylinder are left alone, and so are sequences that "
        "turn by H, on a "
        "cylinder or in the plane of X and C.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
N1 (KEYWAY 8 WIDE, AT C0)
T0505
S1500 M33
G00 X60. Z-20. C0
G01 X44. F60.
Z-50. F120.
G00 X70.
N2 (PAD X42. AT C180)
T0707
S1500 M33
G00 X70. Z-62. C0
;              ^^ warning: angle_unlike_note
G01 X42. F60.
G00 X70.
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T0505 (DRILL .25, TWO PORTS C90. AND C270.)
G00 X3. Z-.5 C90.
G01 X1.5 F6.
G00 X3.
C280.
;^^^^ warning: angle_unlike_note
G01 X1.5 F6.
G00 X3.
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0505 (DRILL 6, TWO PORTS C90. AND C270.)
G00 X60. Z-20. C90.
G01 X44. F60.
G00 X70.
C270.
G01 X44. F60.
G00 X70.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0505 (END MILL 8, SHAFT OF STEEL C45)
G00 X60. Z-20. C0
G01 X44. F60.
G00 X70.
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505 (SLOT FROM C20. TO C80.)
G00 X60. Z-20. C20.
G01 X44. F60.
C80. F200.
G00 X70.
M30
)"},
            // A row of the head.
            {System::A, R"(
(4 X M8 ON PCD 90 AT 45 135 225 315, FLANGE FACE IS Z-6.)
G21 G98 G97
T0606 (DRILL 6.8 FOR M8)
S2000 M33
G00 X90. Z5. C45.
G83 X90. C45. Z-22. R-3. Q4000 F190.
C135.
C225.
C305.
;^^^^ warning: angle_unlike_note
G80
M30
)"},
            {System::A, R"(
(4 X M8 ON PCD 90 AT 45 135 225 315, FLANGE FACE IS Z-6.)
G21 G98 G97
T0606 (DRILL 6.8 FOR M8)
S2000 M33
G00 X90. Z5. C45.
G83 X90. C45. Z-22. R-3. Q4000 F190.
C135.
C225.
C315.
G80
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::angle_unlike_note
