// A groove that is cut wider or narrower than the note above it says.
//
// Sizes as "6 X 31", width and diameter of the bottom in any order: common practice, no source.
#include "checks/noted_blade.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::groove_unlike_note {

namespace {

constexpr double least_off_mm = 0.1, same_mm = 0.02;

constexpr std::string_view groove_words[] = {"GROOV", "RELIEF", "RECESS", "UNDERCUT", "EINSTICH", "FREISTICH",
                                             "NUT",   "GORGE",  "GOLA",   "RANURA",   "GARGANTA"};
bool speaks_of_groove(const std::string& note) {
    return std::any_of(std::begin(groove_words), std::end(groove_words),
                       [&](std::string_view word) { return speaks_of(note, {word}); });
}

/// "38" or "D38".
std::optional<double> size_of(std::string_view word) {
    if (word.size() > 1 && word[0] == 'D') word.remove_prefix(1);
    return plain_number(word);
}

bool says_what_size(std::string_view word) {
    constexpr std::string_view words[] = {"WIDE",  "BREIT", "LARGE", "LARGA", "LARGO",
                                          "ANCHO", "ANCHA", "DIA",   "DIAM"};
    return std::find(std::begin(words), std::end(words), word) != std::end(words);
}

/// "GROOVE 10 X 38", "GROOVE D38 X 10", "GROOVE 10 WIDE X 38 DIA".
struct Noted {
    double one = 0, other = 0;
    std::string words;
};
std::vector<Noted> sizes_in(const ToolNotes& notes) {
    std::vector<Noted> found;
    for (const std::string& note : notes.own) {
        if (!speaks_of_groove(note)) continue;
        const NotedWords words = noted_words(note);
        for (std::size_t i = 0; i + 2 < words.size(); ++i) {
            const std::size_t by = says_what_size(words.at(i + 1)) ? i + 2 : i + 1;
            const auto one = size_of(words.at(i)), other = size_of(words.at(by + 1));
            if (words.at(by) != "X" || !one || !other || *one <= 0 || *other <= 0) continue;
            const std::size_t behind = says_what_size(words.at(by + 2)) ? by + 3 : by + 2;
            if (words.at(behind) == "X") break; // Three numbers are something else
            found.push_back({*one, *other, fmt::format("{} X {}", words.at(i), words.at(by + 1))});
        }
    }
    return found;
}

std::optional<double> blade_mm(const ToolNotes& notes, double mm_per_unit) {
    for (const auto* texts : {&notes.own, &notes.listed})
        for (const std::string& text : *texts)
            if (const auto width = tool_by_note(text, mm_per_unit).tool.width_mm) return width;
    return std::nullopt;
}

/// Where the bottom of one diameter is cut: Z of the blade, and the block that gave each.
struct Bottom {
    const Act* given = nullptr;
    double z = 0;
};
std::vector<Bottom> bottoms_at(const Acts& work, double x_radius, double same) {
    std::vector<Bottom> found;
    const Act* gave_z = nullptr;
    for (const Act& act : work.acts) {
        const bool at_it = known(act.to_x) && std::abs(act.to_x - x_radius) < same;
        const bool cycle = act.motion == MotionKind::peck_cycle && act.meaning == Meaning::groove_side;
        const bool feeds = act.motion == MotionKind::feed;
        if (at_it && (cycle || feeds)) {
            if (!known(act.from_z) || !known(act.to_z)) return {};
            // A slant onto the bottom is a flank.
            if (cycle || !act.moves_z) found.push_back({gave_z, act.from_z});
            if (cycle || (act.moves_z && act.from_x == act.to_x)) found.push_back({&act, act.to_z});
        }
        if (act.moves_z && !cycle) gave_z = &act;
    }
    return found;
}

void look_at(const FileContext& context, const ToolOfSpan& tool, const ToolNotes& notes, double mm_per_unit,
             Report& report) {
    const auto blade = blade_mm(notes, mm_per_unit);
    const double same = same_mm / mm_per_unit;
    const auto at = [&](double written_x) {
        return bottoms_at(*tool.work, written_x / x_as_written(1, context.settings()), same);
    };
    for (const Noted& noted : sizes_in(notes)) {
        auto bottom = at(noted.one);
        const bool first_is_x = !bottom.empty();
        if (auto other = at(noted.other); !other.empty()) {
            if (first_is_x) continue;
            bottom = std::move(other);
        }
        if (bottom.empty()) continue;
        std::sort(bottom.begin(), bottom.end(), [](const Bottom& a, const Bottom& b) { return a.z > b.z; });
        const double wanted = first_is_x ? noted.other : noted.one;
        const double way = bottom.front().z - bottom.back().z;
        // "GROOVE .128 WIDE" gives the groove's width and not the blade's: what it goes sideways is enough.
        if (!blade || std::abs(*blade / mm_per_unit - wanted) < same) {
            if ((way - wanted) * mm_per_unit < least_off_mm - same_mm || !bottom.back().given ||
                way > 2 * wanted)
                continue;
            report.at_letter(tool.place(*bottom.back().given), 'Z')
                .message(
                    said("The note gives this groove as {}, and the blade goes {} sideways alone, from Z{} "
                         "to Z{}: with its own width the groove comes out far too wide. Is a Z wrong?",
                         noted.words, spoken(std::round(way * 1e4) / 1e4), written(bottom.front().z),
                         written(bottom.back().z)));
            return;
        }
        const double width = *blade / mm_per_unit;
        // Two grooves of one diameter lie farther apart than the note is wide.
        const double cut = bottom.front().z - bottom.back().z + width, off = cut - wanted;
        if (std::abs(off) * mm_per_unit < least_off_mm || !bottom.front().given || cut > 2 * wanted + width)
            continue;
        report.at_letter(tool.place(*bottom.front().given), 'Z')
            .message(
                said("The note gives this groove as {}, and from Z{} to Z{} a blade {} wide cuts {}: {} too "
                     "{}. Is a Z wrong, or the blade's width left out?",
                     noted.words, written(bottom.front().z), written(bottom.back().z), spoken(width),
                     spoken(std::round(cut * 1e4) / 1e4), spoken(std::round(std::abs(off) * 1e4) / 1e4),
                     off > 0 ? said("wide") : said("narrow")));
        return;
    }
}

/// "NUT Z-52.4 BIS Z-54": from where to where along Z.
std::optional<std::pair<double, double>> stretch_in(const std::string& note) {
    std::vector<double> places;
    std::size_t from = note.size();
    for (const std::string_view word : groove_words) from = std::min(from, note.find(word));
    for (std::size_t at = note.find("Z-", from); at != std::string::npos; at = note.find("Z-", at + 1)) {
        const std::size_t end = note.find_first_not_of("0123456789.", at + 2);
        const auto number = plain_number(std::string_view(note).substr(at + 2, end - at - 2));
        if (number) places.push_back(-*number);
    }
    if (places.size() != 2 || places[0] == places[1]) return std::nullopt;
    return std::minmax(places[0], places[1]);
}

/// The blade goes in within the stretch that its note gives, and with its width past one end of it.
void look_at_ends(const FileContext& context, const ToolOfSpan& tool, const ToolNotes& notes,
                  double mm_per_unit, Report& report) {
    const NotedBlade blade =
        noted_blade(context.reader(), context.spans(), *tool.span, tool.station, mm_per_unit);
    constexpr double past_mm = 0.3;
    for (const std::string& note : notes.own) {
        const auto stretch = speaks_of_groove(note) ? stretch_in(note) : std::nullopt;
        if (!stretch) continue;
        const Act* given = nullptr;
        constexpr double as_deep_mm = 0.5; // Higher it only comes to a flank
        const auto first = std::find_if(tool.work->acts.begin(), tool.work->acts.end(), [](const Act& act) {
            return (act.motion == MotionKind::feed || act.motion == MotionKind::peck_cycle) && act.moves_x &&
                   known(act.from_x) && known(act.to_x) && act.from_x != act.to_x;
        });
        if (first == tool.work->acts.end()) return;
        const double inward = first->to_x < first->from_x ? 1 : -1;
        double bottom = HUGE_VAL;
        for (const Act& act : tool.work->acts)
            if ((act.cuts() || act.motion == MotionKind::peck_cycle) && known(act.to_x))
                bottom = std::min<double>(bottom, inward * act.to_x);
        for (const Act& act : tool.work->acts) {
            const bool cycle = act.motion == MotionKind::peck_cycle && act.meaning == Meaning::groove_side;
            const bool plunges = act.motion == MotionKind::feed && act.moves_x && !act.moves_z &&
                                 (inward * act.to_x - bottom) * mm_per_unit < as_deep_mm;
            for (const bool end : {false, true}) {
                const double z = end ? act.to_z : act.from_z;
                if (!(cycle || (plunges && !end && inward * (act.to_x - act.from_x) < 0)) ||
                    !known(static_cast<float>(z)))
                    continue;
                const auto cut = blade.at(z);
                if (!cut) return;
                // Another groove of the same tool lies elsewhere.
                if (cut->high < stretch->first || cut->low > stretch->second) continue;
                const double past = std::max(stretch->first - cut->low, cut->high - stretch->second);
                if (past * mm_per_unit < past_mm || past > 1.5 * *blade.width) continue;
                const Act* wrong = end ? &act : given;
                if (!wrong) continue;
                report.at_letter(tool.place(*wrong), 'Z')
                    .message(said("The note gives this groove from Z{} to Z{}, and at Z{} a blade {} wide "
                                  "({}) cuts from "
                                  "Z{} to Z{}: {} past its end. Is Z wrong, or meant for the other corner?",
                                  written(stretch->second), written(stretch->first), written(z),
                                  spoken(std::round(*blade.width * 1e4) / 1e4), corner_words(blade.corner),
                                  written(std::round(cut->high * 1e4) / 1e4),
                                  written(std::round(cut->low * 1e4) / 1e4),
                                  spoken(std::round(past * 1e4) / 1e4)));
                return;
            }
            if (act.moves_z && !cycle) given = &act;
        }
    }
}

/// The tool plunges nowhere near the stretch that its note gives.
void look_at_place(const ToolOfSpan& tool, const ToolNotes& notes, double mm_per_unit, Report& report) {
    constexpr double widest_blade_mm = 8;
    for (const std::string& note : notes.own) {
        const auto stretch = speaks_of_groove(note) ? stretch_in(note) : std::nullopt;
        if (!stretch) continue;
        const double slack = blade_mm(notes, mm_per_unit).value_or(widest_blade_mm) / mm_per_unit + same_mm;
        const Act *given = nullptr, *gave_z = nullptr;
        double off = 0;
        for (const Act& act : tool.work->acts) {
            if (act.moves_z && act.motion == MotionKind::rapid) gave_z = &act;
            if (act.motion != MotionKind::feed || !act.moves_x || act.moves_z || act.to_x >= act.from_x)
                continue;
            if (!known(act.to_z) || !gave_z) return;
            if (act.to_z > stretch->first - slack && act.to_z < stretch->second + slack) return;
            if (!given) off = act.to_z;
            if (!given) given = gave_z;
        }
        if (!given) continue;
        report.at_letter(tool.place(*given), 'Z')
            .message(said("The note gives this groove from Z{} to Z{}, and the blade goes in at Z{}: it cuts "
                          "where no groove belongs. Is the Z wrong?",
                          written(stretch->second), written(stretch->first), written(off)));
        return;
    }
}

std::optional<double> number_at(const std::string& note, std::size_t at) {
    at = note.find_first_not_of(' ', at);
    if (at == std::string::npos) return std::nullopt;
    const std::size_t end = note.find_first_not_of("0123456789.", at);
    return plain_number(std::string_view(note).substr(at, end == std::string::npos ? end : end - at));
}

/// "D50-D62", "ID 2.75 OD 3.125": two diameters, the smaller one first.
std::optional<std::pair<double, double>> ring_in(const std::string& note) {
    std::vector<double> sizes;
    const auto is_letter = [&](std::size_t i) { return text::is_letter(note[i]); };
    for (std::size_t i = 0; i < note.size(); ++i) {
        if (note[i] != 'D') continue;
        const bool in_or_out =
            i > 0 && (note[i - 1] == 'I' || note[i - 1] == 'O') && (i < 2 || !is_letter(i - 2));
        if (i > 0 && is_letter(i - 1) && !in_or_out) continue;
        if (const auto size = number_at(note, i + 1)) sizes.push_back(*size);
    }
    if (sizes.size() != 2 || sizes[0] == sizes[1]) return std::nullopt;
    return std::minmax(sizes[0], sizes[1]);
}
/// "DEPTH .103", "PROF.4".
std::optional<double> depth_in(const std::string& note) {
    for (const std::string_view word : {"DEPTH", "DEEP", "TIEFE", "TIEF", "PROF"}) {
        std::size_t at = note.find(word);
        if (at == std::string::npos) continue;
        at += word.size();
        while (at < note.size() && text::is_letter(note[at])) ++at;
        if (at < note.size() && note[at] == '.' && word == "PROF") ++at;
        return number_at(note, at);
    }
    return std::nullopt;
}

/// A groove in the face, pecked from one diameter to another: these, and its depth, against the note.
void look_at_ring(const FileContext& context, const ToolOfSpan& tool, const ToolNotes& notes,
                  double mm_per_unit, Report& report) {
    const double same = same_mm / mm_per_unit;
    const Act *cycle = nullptr, *gave_x = nullptr;
    for (const Act& act : tool.work->acts) {
        const bool pecks = act.motion == MotionKind::peck_cycle && act.meaning == Meaning::peck_face &&
                           act.moves_z && known(act.from_x) && known(act.to_z) && act.from_x > 0;
        if (pecks && cycle) return;
        if (pecks) cycle = &act;
        if (!cycle && act.moves_x) gave_x = &act;
    }
    if (!cycle || !gave_x) return;
    // The title tells it where its own note does not.
    std::vector<std::string> texts = notes.own;
    if (std::none_of(texts.begin(), texts.end(), [](const std::string& note) { return ring_in(note); }))
        for (const std::string& note : notes.head)
            if (speaks_of(note, {"FRONTAL", "FACE GROOVE", "AXIAL"}) && ring_in(note)) {
                texts.push_back(note);
                break;
            }
    for (const std::string& note : texts) {
        if (!speaks_of_groove(note)) continue;
        const auto depth = depth_in(note);
        const double goes = std::round(std::abs(cycle->to_z) * 1e4) / 1e4;
        const Slip slip = depth ? slip_between(goes, *depth) : Slip::none;
        if (depth && cycle->to_z < 0 &&
            (slip == Slip::point_moved || slip == Slip::digits_swapped || slip == Slip::other_digit)) {
            report.at_letter(tool.place(*cycle), 'Z')
                .message(
                    said("The note gives this groove a depth of {}, and it goes to Z{}: one slip of a hand "
                         "lies between. Is Z-{} meant?",
                         spoken(*depth), written(cycle->to_z), written(*depth)));
            return;
        }
        const auto ring = ring_in(note);
        const auto blade = blade_mm(notes, mm_per_unit);
        if (!ring || !blade || !known(cycle->to_x) || cycle->from_x == cycle->to_x) continue;
        const double width = *blade / mm_per_unit;
        const double start = 2.0 * cycle->from_x, end = 2.0 * cycle->to_x;
        const double low = std::min(start, end), high = std::max(start, end);
        // The blade is set by its inner corner, or by its outer one.
        for (const double inner : {0.0, 2 * width}) {
            const double from = low - inner, to = high - inner + 2 * width;
            const bool low_fits = std::abs(from - ring->first) < 2 * same,
                       high_fits = std::abs(to - ring->second) < 2 * same;
            if (low_fits == high_fits) continue;
            const bool start_is_odd = low_fits ? start > end : start < end;
            const Act& odd = start_is_odd ? *gave_x : *cycle;
            report.at_letter(tool.place(odd), 'X')
                .message(
                    said("The note gives this groove from {} to {} in diameter, and a blade {} wide that "
                         "goes from X{} to X{} cuts it from {} to {}. Is this X wrong?",
                         spoken(ring->first), spoken(ring->second), spoken(width),
                         written(std::round(x_as_written(cycle->from_x, context.settings()) * 1e4) / 1e4),
                         written(std::round(x_as_written(cycle->to_x, context.settings()) * 1e4) / 1e4),
                         spoken(std::round(from * 1e4) / 1e4), spoken(std::round(to * 1e4) / 1e4)));
            return;
        }
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools) {
        const auto cut = std::find_if(tool.work->acts.begin(), tool.work->acts.end(), [](const Act& act) {
            return act.cuts() && act.moves_x && !act.moves_z;
        });
        const auto cycle = std::find_if(tool.work->acts.begin(), tool.work->acts.end(), [](const Act& act) {
            return act.motion == MotionKind::peck_cycle &&
                   (act.meaning == Meaning::groove_side || act.meaning == Meaning::peck_face);
        });
        if (cut == tool.work->acts.end() && cycle == tool.work->acts.end()) continue;
        const auto mm = mm_of(cycle != tool.work->acts.end() ? *cycle : *cut, of_file);
        if (!mm) continue;
        const ToolNotes notes = notes_about(context, tools, tool);
        look_at(context, tool, notes, *mm, report);
        look_at_place(tool, notes, *mm, report);
        look_at_ends(context, tool, notes, *mm, report);
        look_at_ring(context, tool, notes, *mm, report);
    }
}

} // namespace

extern const Check check{
    .id = "groove_unlike_note",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Groove of another width than its note",
    .documentation =
        "A note of the tool gives the size of the groove (GROOVE 10 X 38: width and diameter of its bottom, "
        "in any order) and the width of the blade is noted, too. From the first to the last Z that the blade "
        "reaches the bottom at, its own width added, the groove is wider or narrower than that: a digit of Z "
        "is wrong, or the width of the blade is forgotten on one side. So is a groove that is pecked into "
        "the face, against the two diameters (D50-D62) and the depth of its note. Where a note gives the "
        "stretch (FROM Z-150 TO Z-162), and notes the width and the corner of the blade, no plunge may go "
        "past its ends.",
    .file = file,
    .examples =
        {
            // In the face: its diameters, its depth, and as noted.
            {System::A, R"(
(T5 FACE GROOVE TOOL 4 WIDE)
G21 G97 G99
T0101
S900 M03
G00 X36. Z2.
G01 Z-70. F.2
G28 U0
(GROOVE D50-D62 DEPTH 3)
T0505
S600 M03
G00 X58. Z2.
;   ^^^^ warning: groove_unlike_note
G74 R.3
G74 X50. Z-3. P2000 Q1500 F.06
G00 Z50.
M30
)"},
            {System::B, R"(
(T5 FACE GROOVE TOOL .125 WIDE)
G20 G97 G90 G95
T0101
S900 M03
G00 X4. Z.1
G01 Z-.5 F.01
G00 X6. Z5.
(O RING GROOVE ID 2.750 OD 3.125 DEPTH .103)
T0505
S600 M03
G00 X2.875 Z.1
G74 R.01
G74 X2.75 Z-1.03 P625 Q400 F.003
;         ^^^^^^ warning: groove_unlike_note
G00 Z5.
M30
)"},
            {System::C, R"(
(T5 FACE GROOVE TOOL 4 WIDE)
G71 G97 G90 G95
T0101
S900 M03
G00 X90. Z2.
G01 Z-20. F.2
G00 X150. Z100.
(GROOVE D50-D62 DEPTH 3)
T0505
S600 M03
G00 X54. Z2.
G76 R.3
G76 X50. Z-3. P2000 Q1500 F.06
G00 Z50.
M30
)"},
            // The note tells where it lies.
            {System::A, R"(
(T7 GROOVING 1.6 WIDE)
G21 G97 G99
T0101
S900 M03
G00 X36. Z2.
G01 Z-70. F.2
G28 U0
(BEARING AGAINST Z-75, CIRCLIP GROOVE Z-52.4 TO Z-54)
T0707
S900 M03
G00 X38. Z-45.
;        ^^^^ warning: groove_unlike_note
G01 X33. F.05
G00 X38.
G28 U0
M30
)"},
            {System::A, R"(
(T7 GROOVING 1.6 WIDE)
G21 G97 G99
T0101
S900 M03
G00 X36. Z2.
G01 Z-70. F.2
G28 U0
(BEARING AGAINST Z-75, CIRCLIP GROOVE Z-52.4 TO Z-54)
T0707
S900 M03
G00 X38. Z-54.
G01 X33. F.05
G00 X38.
G28 U0
M30
)"},
            // Diameter first.
            {System::A, R"(
(T5 GROOVE 4 WIDE LEFT CORNER)
G21 G97 G99
T0101
S900 M03
G00 X32. Z2.
G01 Z-137. F.2
G28 U0
(RUN OUT GROOVE D24.5 X 12)
T0505
S900 M03
G00 X40. Z2.
Z-125.
;^^^^^ warning: groove_unlike_note
G75 R.5
G75 X24.5 Z-137. P2000 Q3500 F.08
G00 X60.
M30
)"},
            {System::A, R"(
(T5 GROOVE 4 WIDE LEFT CORNER)
G21 G97 G99
T0101
S900 M03
G00 X32. Z2.
G01 Z-137. F.2
G28 U0
(RUN OUT GROOVE D24.5 X 12)
T0505
S900 M03
G00 X40. Z2.
Z-129.
G75 R.5
G75 X24.5 Z-137. P2000 Q3500 F.08
G00 X60.
M30
)"},
            {System::C, R"(
(T4 GROOVE 4 MM LEFT EDGE)
G71 G90 G95
N33 T0404 (RELIEF 6 X 31 AND GROOVE 10 X 38)
G97 S800 M03
G00 X44. Z2.
Z-30.
G77 R0.3
G77 X31. Z-32. P1500 Q2000 F0.08
G00 X48.
Z-40.
;^^^^ warning: groove_unlike_note
G77 R0.3
G77 X38. Z-50. P1500 Q3000 F0.08
G00 X60.
M30
)"},
            {System::A, R"(
(T05 GROOVE 3 MM)
G21 G99
T0505 (GROOVE 40. X 5)
G97 S800 M03
G00 X52. Z-20.
;       ^^^^ warning: groove_unlike_note
G01 X40. F0.08
G00 X52.
Z-23.
G01 X40.
G00 X52.
M30
)"},
            {System::B, R"(
(T05 GROOVE 3 MM)
G21 G90 G95
T0505 (GROOVE 40. X 5)
G97 S800 M03
G00 X52. Z-20.
G01 X40. F0.08
G00 X52.
Z-22.
G01 X40.
G00 X52.
M30
)"},
            {System::A, R"(
(T05 GROOVE 3 MM)
G21 G99
T0505 (TWO GROOVES)
G97 S800 M03
G00 X52. Z-20.
G01 X40. F0.08
G00 X52.
Z-30.
G01 X40.
G00 X52.
M30
)"},
            // The width of the groove alone is told, and the blade goes farther than that.
            {System::B, R"(
G20 G90 G95
T0707 (GROOVE .094 O-RING, GROOVE .128 WIDE X 1.767 DIA)
G97 S1500 M03
G00 X2.1 Z-.3
G01 X1.767 F.003
G00 X2.1
Z-.434
;^^^^^ warning: groove_unlike_note
G01 X1.767
Z-.3 F.004
G00 X2.2
M30
)"},
            {System::A, R"(
G21 G99
T0707 (EINSTICH 6 BREIT X 40)
G97 S800 M03
G00 X52. Z-20.
G01 X40. F0.08
G00 X52.
Z-30.
;^^^^ warning: groove_unlike_note
G01 X40.
Z-20.
G00 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707 (GROOVE .094 O-RING, GROOVE .128 WIDE X 1.767 DIA)
G97 S1500 M03
G00 X2.1 Z-.3
G01 X1.767 F.003
G00 X2.1
Z-.334
G01 X1.767
Z-.3 F.004
G00 X2.2
M30
)"},
            // Two of them.
            {System::C, R"(
G71 G90 G95
T0707 (EINSTICH 6 BREIT X 40)
G97 S800 M03
G00 X52. Z-20.
G01 X40. F0.08
G00 X52.
Z-60.
G01 X40.
G00 X52.
M30
)"},
            // With its width past an end of the stretch.
            {System::A, R"(
(T5 GROOVE 4 MM, LEFT CORNER)
G21 G99
(RUN OUT GROOVE FROM Z-150 TO Z-162)
T0505
G97 S600 M03
G00 X34. Z-162.
G01 X24.5 F0.08
G00 X34.
Z-158.4
G01 X24.5
G00 X34.
Z-155.
G01 X24.5
G00 X34.
Z-150.
;^^^^^ warning: groove_unlike_note
G01 X24.5
G00 X46.
M30
)"},
            {System::A, R"(
(T5 GROOVE 4 MM, LEFT CORNER)
G21 G99
(RUN OUT GROOVE FROM Z-150 TO Z-162)
T0505
G97 S600 M03
G00 X34. Z-162.
G01 X24.5 F0.08
G00 X34.
Z-158.4
G01 X24.5
G00 X34.
Z-155.
G01 X24.5
G00 X34.
Z-154.
G01 X24.5
G00 X46.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::groove_unlike_note
