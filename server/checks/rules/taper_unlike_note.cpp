// A taper that a note names, and a slanting line that one slip in a number keeps from it.
//
// How notes name tapers, on diameter over length or by the foot: common practice, no source.
#include "checks/noted_words.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"
#include "text/letters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace turnwright::checks::rules::taper_unlike_note {

namespace {

constexpr double least_length_mm = 8, same_mm = 0.02;
/// Farther from the noted one a line is another one.
constexpr double most_times = 3;

struct NotedTaper {
    double ratio = 0; ///< On diameter, of the length
    std::string text;
};

std::vector<std::string> words_of(std::string_view note) {
    std::vector<std::string> words(1);
    for (const char c : note) {
        if (c == ' ' || c == ',' || c == ';' || c == '=' || c == '(' || c == ')')
            words.emplace_back();
        else
            words.back() += static_cast<char>(text::upper(c));
    }
    std::erase_if(words, [](const std::string& word) { return word.empty(); });
    return words;
}

/// "6", ".5", "3/4"; all of the text.
std::optional<double> number_in(std::string_view text) {
    const auto plain = [](std::string_view part) -> std::optional<double> {
        const auto value = plain_number(part);
        return value && *value > 0 ? value : std::nullopt;
    };
    const std::size_t slash = text.find('/');
    if (slash == text.npos) return plain(text);
    const auto over = plain(text.substr(0, slash)), under = plain(text.substr(slash + 1));
    return over && under ? std::optional(*over / *under) : std::nullopt;
}

std::optional<NotedTaper> taper_in(std::string_view note) {
    constexpr std::array names{"TAPER", "KEGEL", "KONUS", "KONISCH", "CONE", "CONO", "CONIC", "CONICO"};
    const std::vector<std::string> words = words_of(note);
    const auto at = [&](std::size_t i) { return i < words.size() ? std::string_view(words[i]) : ""; };
    const bool named = std::any_of(words.begin(), words.end(), [&](const std::string& word) {
        return std::any_of(names.begin(), names.end(),
                           [&](std::string_view name) { return word.starts_with(name); });
    });
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto number = number_in(at(i));
        const bool by_foot = at(i + 1) == "TPF" || at(i + 1) == "IPF" || at(i + 1) == "IN/FT" ||
                             (at(i + 1) == "PER" && (at(i + 2) == "FOOT" || at(i + 2) == "FT")) ||
                             (at(i + 1) == "IN" && at(i + 2) == "PER" && at(i + 3) == "FOOT");
        if (number && by_foot) return NotedTaper{*number / 12, words[i] + said(" per foot")};
        if (!named) continue;
        if (const auto other = number_in(at(i + 2));
            number && other && (at(i + 1) == "IN" || at(i + 1) == ":"))
            return NotedTaper{*number / *other, fmt::format("{}:{}", at(i), at(i + 2))};
        const std::size_t colon = words[i].find(':');
        if (colon == std::string::npos) continue;
        const auto over = number_in(at(i).substr(0, colon)), under = number_in(at(i).substr(colon + 1));
        if (over && under) return NotedTaper{*over / *under, words[i]};
    }
    return std::nullopt;
}

/// The only one that the notes of the program speak of; nullopt: none, or several.
std::optional<NotedTaper> noted_taper(const WorksContext& context, const machine::ProgramPart& program) {
    std::optional<NotedTaper> found;
    for (const NoteAt& note : notes_between(context.reader, program.first, program.last)) {
        const auto taper = taper_in(note.text);
        if (!taper || taper->ratio > 1) continue;
        if (found && std::abs(found->ratio - taper->ratio) > 1e-6) return std::nullopt;
        found = taper;
    }
    return found;
}

bool is_slant(const Leg& leg, double mm) {
    return leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc && leg.dx() != 0 &&
           std::abs(leg.dz()) * mm >= least_length_mm && std::abs(leg.dx()) < std::abs(leg.dz());
}

struct Mend {
    const Leg* giver = nullptr;
    char letter = 'X';
    double written = 0, meant = 0; ///< X as the program writes it
};
std::optional<Mend> mend_of(const WorksContext& context, const Work& work, const Leg& leg, double ratio) {
    const double per_radius = x_as_written(1, context.reader.settings()), mm = work.unit_mm;
    const double rise = std::copysign(ratio / 2 * std::abs(leg.dz()), leg.dx()),
                 length = std::copysign(std::abs(leg.dx()) * 2 / ratio, leg.dz());
    const auto giver_of = [&](bool x) -> const Leg* {
        for (const Leg* giver = &leg; giver != work.legs.data();)
            if (--giver; x ? giver->moves_x : giver->moves_z) return giver;
        return nullptr;
    };
    const double digits = mm > 1 ? 1e4 : 1e3;
    const Mend mends[] = {
        {leg.moves_x ? &leg : nullptr, 'X', per_radius * leg.to.x_radius_mm,
         per_radius * (leg.from.x_radius_mm + rise)},
        {leg.moves_z ? &leg : nullptr, 'Z', leg.to.z_mm, leg.from.z_mm + length},
        {giver_of(true), 'X', per_radius * leg.from.x_radius_mm, per_radius * (leg.to.x_radius_mm - rise)},
        {giver_of(false), 'Z', leg.from.z_mm, leg.to.z_mm - length},
    };
    for (Mend mend : mends) {
        if (!mend.giver || mend.giver->by_letters || mend.giver->of_cycle) continue;
        // Drawings round a taper's ends: a slip shows at what the number has of digits.
        const double exact = mend.meant;
        for (const double round : {digits, digits / 10, digits / 100, 1.0}) {
            mend.meant = std::round(exact * round) / round;
            const double off = std::abs(mend.meant - exact) * (mend.letter == 'Z' ? ratio : 1) * mm;
            if (off > same_mm) break;
            const Slip slip = slip_between(mend.written, mend.meant);
            if (mend.meant * mend.written > 0 && slip != Slip::none && slip != Slip::other_digit) return mend;
        }
    }
    return std::nullopt;
}

/// "SEAT 45 DEG", "FASE 30 GRAD": what is cut so, and no insert of that angle. Trade words of the languages
/// of some shops: common practice, no source.
std::optional<double> angle_in(std::string_view note) {
    constexpr std::array features{"SEAT",    "CHAMFER", "CHAMF",      "CONE",  "TAPER", "BEVEL",
                                  "FASE",    "SITZ",    "KEGEL",      "KONUS", "SIEGE", "CHANF",
                                  "CHAFLAN", "SMUSSO",  "ASIENTO",    "SEDE",  "CONO",  "SCHRAEGE",
                                  "ANGLE",   "WINKEL",  "COUNTERSINK"};
    constexpr std::array tools{"DRILL", "INSERT", "BOHRER",  "TOOL",  "STAHL", "FORET", "BROCA",
                               "PUNTA", "THREAD", "GEWINDE", "POINT", "SPOT",  "R0",    "R1",
                               "R.",    "HAND",   "NOSE",    "TIP",   "PLATTE"};
    const std::vector<std::string> words = words_of(note);
    const auto has = [&](const auto& row) {
        return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
            return std::any_of(row.begin(), row.end(),
                               [&](std::string_view one) { return word.starts_with(one); });
        });
    };
    if (!has(features) || has(tools)) return std::nullopt;
    std::optional<double> found;
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        const std::string_view unit = words[i + 1];
        if (unit != "DEG" && unit != "DEGREES" && unit != "GRAD" && unit != "GRADOS" && unit != "GRADI" &&
            unit != "DEGRES" && unit != "DEG.")
            continue;
        const auto angle = number_in(words[i]);
        if (!angle || *angle < 5 || *angle > 85 || found) return std::nullopt;
        found = angle;
    }
    return found;
}

/// A slanting line of its sequence that goes at another angle than its note says, where none goes at that.
void look_at_angles(const WorksContext& context, Report& report) {
    constexpr double same_deg = 1.2, near_deg = 12, least_mm = 0.5;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || work->called_at) continue;
            std::optional<double> noted;
            const Span& span = context.spans[work->span];
            for (const NoteAt& note : notes_between(context.reader, span.first, span.last))
                if (const auto angle = angle_in(note.text)) {
                    if (noted && *noted != *angle) return;
                    noted = angle;
                }
            if (!noted) continue;
            const Leg* odd = nullptr;
            double odd_angle = 0, nearest = near_deg;
            bool is_there = false;
            for (std::size_t i = 0; i < work->legs.size(); ++i) {
                const Leg& leg = work->legs[i];
                if (leg.kind != Leg::Kind::feed) continue;
                if (!leg.known) is_there = true; // It may be that
                if (!leg.known || leg.dx() == 0 || leg.dz() == 0) continue;
                const double angle = std::atan2(std::abs(leg.dx()), std::abs(leg.dz())) * 180 / motion::pi;
                for (const double one : {angle, 90 - angle, 2 * angle, 180 - 2 * angle})
                    is_there = is_there || leg.is_arc || std::abs(one - *noted) < same_deg;
                // The way on which compensation comes on is none of the shape.
                const bool leads = i == 0 || work->legs[i - 1].side != leg.side;
                const double off = std::min(std::abs(angle - *noted), std::abs(90 - angle - *noted));
                if (leads || std::abs(leg.dz()) * work->unit_mm < least_mm || off > nearest) continue;
                odd = &leg;
                odd_angle = std::abs(angle - *noted) < std::abs(90 - angle - *noted) ? angle : 90 - angle;
                nearest = off;
            }
            if (!odd || is_there) continue;
            context.at(report, *work, *odd, "XZUW")
                .message(
                    said("The note of this sequence says {} degrees, and this line goes from {} {} to {} {}, "
                         "which is {}: no line of it goes at {}. Is a digit of X or Z wrong?",
                         spoken(*noted), context.x(odd->from.x_radius_mm), context.z(odd->from.z_mm),
                         context.x(odd->to.x_radius_mm), context.z(odd->to.z_mm),
                         spoken(std::round(odd_angle * 10) / 10), spoken(*noted)));
        }
}

void look_at(const WorksContext& context, const machine::ProgramPart& program, Report& report) {
    struct Line {
        const Work* work;
        const Leg* leg;
    };
    std::vector<Line> lines;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (context.spans[work->span].program == &program && !work->driven_tool)
                for (const Leg& leg : work->legs)
                    if (is_slant(leg, work->unit_mm)) lines.push_back({work, &leg});
    if (lines.empty()) return;
    const auto noted = noted_taper(context, program);
    if (!noted) return;
    for (const auto& [work, leg] : lines)
        if (std::abs(2 * std::abs(leg->dx()) - noted->ratio * std::abs(leg->dz())) * work->unit_mm <
            2 * same_mm)
            return; // It is there
    for (const auto& [work, leg] : lines) {
        const double ratio = 2 * std::abs(leg->dx() / leg->dz());
        if (ratio > most_times * noted->ratio || ratio * most_times < noted->ratio) continue;
        const auto mend = mend_of(context, *work, *leg, noted->ratio);
        if (!mend) continue;
        const auto rounded = [](double number) { return spoken(std::round(number * 1e4) / 1e4); };
        context.at(report, *work, *mend->giver, std::string_view(&mend->letter, 1))
            .message(
                said("This line goes {} on diameter over {} along Z, and the note names a taper of {}, which "
                     "would be {}: the parts do not seat. {} in place of {} would fit: is a digit wrong?",
                     rounded(2 * std::abs(leg->dx())), rounded(std::abs(leg->dz())), noted->text,
                     rounded(noted->ratio * std::abs(leg->dz())), mend->letter + written(mend->meant),
                     mend->letter + written(mend->written)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    look_at_angles(context, report);
    const machine::ProgramPart* program = nullptr;
    for (const Span& span : context.spans) {
        if (span.program == program) continue;
        program = span.program;
        look_at(context, *program, report);
    }
}

} // namespace

extern const Check check{
    .id = "taper_unlike_note",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Taper that is not the one of the note",
    .documentation =
        "A note names the taper of the part (TAPER 1 IN 6, KEGEL 1:10, 3/4 PER FOOT: on diameter, of the "
        "length), no line of the program has it, and one slip in a number of a slanting line (two digits "
        "swapped, one lost or added, the point moved) keeps that from it. Programs whose notes name several "
        "tapers, and lines that no slip explains, are left alone."
        " An angle in degrees that a note of the sequence gives for a seat, a chamfer or a cone is held to "
        "the slanting lines of that sequence.",
    .works = works,
    .examples =
        {
            {System::A, R"(
O0101 (COCK KEY, TAPER 1 IN 6 ON DIA)
G21 G99
T0101
G96 S180 M03
G00 X46. Z2.
X30.
G01 Z-22.5 F0.12
X39.197 Z-82.
;^^^^^^ warning: taper_unlike_note
Z-91.
X46.
M30
)"},
            {System::B, R"(
(SAW ARBOR, TAPER 1/2 PER FOOT)
G20 G90 G95
T0202
G97 S550 M03
G00 X1.46 Z.06
X1.
G01 Z-1.27 F.005
X1.3146 Z-4.5
;^^^^^^ warning: taper_unlike_note
X1.46
M30
)"},
            {System::C, R"(
(DORN KEGEL 1:10)
G71 G90 G95
T0202
G97 S550 M03
G00 X60. Z2.
X30.
G01 Z0. F.1
X35. Z-5.
;    ^^^ warning: taper_unlike_note
X40. Z-100.
X60.
M30
)"},
            // As the note says, rounded, and one that is another.
            {System::A, R"(
(COCK KEY, TAPER 1 IN 6 ON DIA)
G21 G99
T0101
G96 S180 M03
G00 X46. Z2.
X30.
G01 Z-22.5 F0.12
X39.917 Z-82.
Z-91.
X42.79 Z-120.
M30
)"},
            {System::B, R"(
(KEGEL 1:5)
G21 G90 G95
T0202
G97 S550 M03
G00 X60. Z2.
X30.
G01 Z-10. F.1
X34. Z-40.
X60.
M30
)"},
            {System::C, R"(
(NIPPLE 1/2 NPT, 3/4 TPF)
G70 G90 G95
T0202
G97 S550 M03
G00 X1. Z.1
X.78
G01 Z-.05 F.005
X.84 Z-1.01
X1.
M30
)"},
            // An angle in degrees.
            {System::A, R"(
(BORE AND SEAT 45 DEG)
G21 G99
T0202 (DRILL 22)
G97 S600 M03
G00 X0 Z5.
G01 Z-30. F0.2
G00 Z5.
T0505 (SEAT 45 DEG)
G97 S1200 M03
G00 X37. Z2.
G01 X25. Z-3. F0.08
;   ^^^^ warning: taper_unlike_note
Z-22.
X21.
G00 Z5.
M30
)"},
            {System::A, R"(
(BORE AND SEAT 45 DEG)
G21 G99
T0202 (DRILL 22)
G97 S600 M03
G00 X0 Z5.
G01 Z-30. F0.2
G00 Z5.
T0505 (SEAT 45 DEG)
G97 S1200 M03
G00 X37. Z2.
G01 X25. Z-4. F0.08
Z-22.
X21.
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::taper_unlike_note
