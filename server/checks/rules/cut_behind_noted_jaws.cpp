// A tool that gets behind the Z where a note says that the jaws begin.
#include "checks/acts.h"
#include "checks/head_stock.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/works.h"
#include "language/said.h"
#include "motion/motion.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::cut_behind_noted_jaws {

namespace {

constexpr double slack_mm = 0.2;

struct Told {
    double z = 0; ///< Program units
    NotedJaws note;
};

/// What the notes of a program say; nullopt where they say different things, as for two clampings.
std::optional<Told> told_by(const WorksContext& context, const machine::ProgramPart* program, double unit_mm,
                            bool has_later_side) {
    std::optional<Told> told;
    for (const Span& span : context.spans) {
        if (span.program != program || !span.facts) continue;
        for (const NotedJaws& note : span.facts->acts.held->jaws) {
            if (has_later_side && note.of_later_side) continue;
            const double z = note.z(unit_mm);
            if (told && std::abs(told->z - z) * unit_mm > slack_mm) return std::nullopt;
            told = Told{z, note};
        }
    }
    return told;
}

bool is_one_of(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// Beside a depth: "12 TIEF GESPANNT", "PRIS SUR 18".
bool is_depth_word(std::string_view word) {
    return is_one_of(word,
                     {"MM", "IN", "INCH", "DE", "TIEF", "DEEP", "LANG", "LONG", "SUR", "POR", "PROFONDO"});
}

/// "GRIP 30 MM", "12 GRIP", "SPANNTIEFE 15", "35 IN JAWS", "12 TIEF GESPANNT", "PRIS SUR 18"; in the
/// languages of some shops: common practice, no source.
std::optional<Size> grip_in(const NotedWords& words) {
    // "HELD ON 60 DIA", "PRIS SUR 40 X 25": how thick it is there.
    const auto depth_at = [&](std::size_t i) -> std::optional<Size> {
        const std::string_view next = words.at(i + 1), after = words.at(i + 2);
        for (const std::string_view word : {next, is_depth_word(next) ? after : next})
            if (is_one_of(word,
                          {"DIA", "DIA.", "DIAM", "OD", "DM", "X", "DIAMETER", "DIAMETRE", "DURCHMESSER"}))
                return std::nullopt;
        const auto size = size_in(words.at(i), next);
        return size && size->number > 0 ? size : std::nullopt;
    };
    for (std::size_t i = 0; i < words.size(); ++i) {
        const std::string_view word = words.at(i);
        const bool grips = is_one_of(
            word, {"GRIP",          "GRIPPED",     "GRIPS",   "SPANNTIEFE", "EINSPANNLANGE", "EINSPANNLAENGE",
                   "EINSPANNTIEFE", "AGARRE",      "AMARRE",  "SERRAGE",    "PRISE",         "PRESA",
                   "PRESO",         "COGER",       "HELD",    "HOLD",       "HOLDS",         "CHUCKED",
                   "GESPANNT",      "EINGESPANNT", "PRIS",    "SUJETO",     "SUJETA",        "AGARRADO",
                   "AMARRADO",      "SERRE",       "SERRATO", "STRETTO"});
        const bool is_in =
            word == "IN" &&
            (is_one_of(words.at(i + 1), {"CHUCK", "JAWS", "JAW", "FUTTER"}) ||
             (words.at(i + 1) == "THE" && is_one_of(words.at(i + 2), {"CHUCK", "JAWS", "JAW"})));
        if (!grips && !is_in) continue;
        if (grips)
            if (const auto size = depth_at(i + (is_depth_word(words.at(i + 1)) ? 2 : 1))) return size;
        std::size_t back = 1;
        while (back < 3 && i > back && is_depth_word(words.at(i - back))) ++back;
        if (i >= back)
            if (const auto size = depth_at(i - back)) return size;
    }
    return std::nullopt;
}

/// By the length of the stock and how much of it is held, both from the notes of the head.
std::optional<Told> told_by_grip(const WorksContext& context, const machine::ProgramPart& program,
                                 double unit_mm) {
    const HeadStock head = head_stock(context.reader, program.first, program, unit_mm);
    if (!head.stock.length_mm || !head.is_plain_bar) return std::nullopt;
    const BlockPlace end = program.sequences.empty() ? program.last : program.sequences.front().tool_call;
    std::optional<double> grip_mm;
    for (const NoteAt& note : notes_between(context.reader, program.first, end)) {
        const auto grip = grip_in(noted_words(note.text));
        if (!grip) continue;
        const auto mm = grip->mm(unit_mm);
        if (!mm || (grip_mm && std::abs(*grip_mm - *mm) > slack_mm)) return std::nullopt;
        grip_mm = mm;
    }
    if (!grip_mm || *grip_mm >= *head.stock.length_mm) return std::nullopt;
    Told told;
    told.z = (*grip_mm - *head.stock.length_mm) / unit_mm;
    told.note.sticks_out = true;
    return told;
}

/// The first move that gets behind it near the part.
const Leg* behind(const Work& work, double z, double largest_x) {
    for (const Leg& leg : work.legs) {
        if (!leg.known || leg.kind == Leg::Kind::home) continue;
        const Point lower = leg.from.z_mm < leg.to.z_mm ? leg.from : leg.to;
        if (lower.z_mm < z - slack_mm / work.unit_mm && lower.x_radius_mm <= largest_x) return &leg;
    }
    return nullptr;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    const Work& first = *part.works.front();
    const machine::ProgramPart* program = context.spans[first.span].program;
    const auto clampings =
        std::count_if(context.parts.begin(), context.parts.end(), [&](const Workpiece& other) {
            return !other.works.empty() && context.spans[other.works.front()->span].program == program;
        });
    auto told = told_by(context, program, first.unit_mm, clampings > 1);
    const bool has_note = std::any_of(context.spans.begin(), context.spans.end(), [&](const Span& span) {
        return span.program == program && span.facts && !span.facts->acts.held->jaws.empty();
    });
    if (!told && !has_note) told = told_by_grip(context, *program, first.unit_mm);
    if (!told) return;
    std::vector<std::pair<const Work*, const Leg*>> found;
    std::size_t outside = 0;
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != Work::Where::outside) continue;
        ++outside;
        if (const Leg* leg = behind(*work, told->z, part.first_clear_x)) found.emplace_back(work, leg);
    }
    if (found.empty()) return;
    // Where most tools go there, Z0 lies elsewhere than the note means; a contour is the same for all of
    // them.
    const bool is_one_block = std::all_of(found.begin(), found.end(), [&](const auto& one) {
        return context.place(*one.first, *one.second) ==
               context.place(*found.front().first, *found.front().second);
    });
    if (found.size() > 1 && !is_one_block && 2 * found.size() > outside) return;
    if (is_one_block) found.resize(1);
    for (const auto& [work, leg] : found)
        context.at(report, *work, *leg, "ZW")
            .message(fmt::format("This goes to {}, and by the note the jaws {}: the tool runs into them as "
                                 "they turn. Check the "
                                 "digits of Z, or mend the note.",
                                 context.z(std::min(leg->from.z_mm, leg->to.z_mm)),
                                 told->note.sticks_out ? fmt::format("hold what lies behind {} at the latest",
                                                                     context.z(told->z))
                                                       : fmt::format("begin at {}", context.z(told->z))));
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // Followed through it, with its jaws
    const machine::ProgramPart* program = nullptr;
    for (const Workpiece& part : context.parts) {
        if (part.works.empty() || part.outside.empty()) continue;
        const machine::ProgramPart* its = context.spans[part.works.front()->span].program;
        if (its == program) continue; // The note speaks of the first clamping
        program = its;
        look_at(context, part, report);
    }
}

} // namespace

extern const Check check{
    .id = "cut_behind_noted_jaws",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Move behind the jaws that a note tells",
    .documentation = "A note says where the jaws begin (JAW FACE AT Z-36) or how far the stock stands out of "
                     "them (65 OUT OF "
                     "THE JAWS, STICK-OUT 65), and a tool outside the part gets behind that: a digit of Z is "
                     "wrong, or the "
                     "note. The tool hits the jaws as they turn. What a raw face stands in front of Z0 is "
                     "not known, so the "
                     "jaws may begin sooner than a length that stands out says. Drills and boring bars are "
                     "not looked at, nor "
                     "programs whose notes say different things. With the stock given (shop file, job file "
                     "or stock note) the "
                     "tools are followed through it instead."
                     " Where no note gives them, the length of the stock and how much of it is held do.",
    .works = works,
    .examples =
        {
            // The jaws of the second side are no matter of the first.
            {System::C, R"(
(JAWS D40 FOR FACE 1)
(FACE 2: SOFT JAWS D36, JAWS AT Z-30)
G71 G90 G40 G95
G54
T0101
G97 S1400 M03
G00 X44. Z3.
X36.
G01 Z-35. F.2
X43.
G28 X0 Z0
M00
(FACE 2)
G55
T0202
G97 S1400 M03
G00 X44. Z3.
X36.
G01 Z-20. F.2
X43.
G28 X0 Z0
M30
)"},
            {System::A, R"(
O0101 (SLEEVE)
(BAR 60 C45, JAW FACE AT Z-48)
G21 G99
T0101
G97 S800 M03
G00 X64. Z2.
X56.
G01 Z-60. F0.2
;   ^^^^^ warning: cut_behind_noted_jaws
X62.
G00 X100. Z100.
T0303
G97 S900 M03
G00 X64. Z2.
X55.
G01 Z-40. F0.1
X62.
G00 X100. Z100.
M30
)"},
            {System::B, R"(
(HEX BAR .6875, 1.6 OUT OF THE COLLET)
G20 G90 G95
T0101
G97 S1500 M03
G00 X.8 Z.1
X.6
G01 Z-1.75 F.006
;   ^^^^^^ warning: cut_behind_noted_jaws
X.75
G00 X4. Z4.
M30
)"},
            {System::C, R"(
(STICK-OUT 65)
G71 G90 G95
T0101
G97 S800 M03
G00 X64. Z2.
X56.
G01 Z-60. F0.2
X62.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
(SLEEVE, JAW FACE AT Z-48)
(T04 BORING BAR, STICK-OUT 30)
G21 G99
T0101
G97 S800 M03
G00 X64. Z2.
X56.
G01 Z-47.9 F0.2
X62.
G00 X100. Z100.
T0404
G97 S700 M03
G00 X22. Z2.
G01 Z-55. F0.12
X20.
G00 Z2.
X100. Z100.
M30
)"},
            // By the length of the stock and how much is held; and other words for what stands out.
            {System::A, R"(
(STOCK DIA 50 X 182 C45, FACED AND CENTRED)
(HARD JAWS, GRIP 30 MM)
G21 G99
T0101
G97 S800 M03
G00 X54. Z2.
X46.
G01 Z-160. F0.2
;   ^^^^^ warning: cut_behind_noted_jaws
X54.
G00 X100. Z100.
M30
)"},
            {System::B, R"(
(STOCK DIA 50 X 182 C45, FACED AND CENTRED)
(40 IN THE CHUCK)
G21 G90 G95
T0101
G97 S800 M03
G00 X54. Z2.
X46.
G01 Z-140. F0.2
X54.
G00 X100. Z100.
M30
)"},
            {System::C, R"(
(BARRE D50, SORTIE 60)
G71 G90 G95
T0101
G97 S800 M03
G00 X54. Z2.
X46.
G01 Z-68. F0.2
;   ^^^^ warning: cut_behind_noted_jaws
X54.
G00 X100. Z100.
M30
)"},
            // How deep it is held, in other words.
            {System::A, R"(
(SCHEIBE, ROHTEIL 120 X 36 C45, IN WEICHEN BACKEN, 12 TIEF GESPANNT)
G21 G99
T0101
G97 S400 M03
G00 X124. Z0
G01 X-1.6 F0.2
G00 Z3.
X118.
G01 Z-26. F0.2
;   ^^^^ warning: cut_behind_noted_jaws
X122.
G28 U0 W0
M30
)"},
            {System::A, R"(
(SCHEIBE, ROHTEIL 120 X 36 C45, IN WEICHEN BACKEN, 12 TIEF GESPANNT)
G21 G99
T0101
G97 S400 M03
G00 X124. Z0
G01 X-1.6 F0.2
G00 Z3.
X118.
G01 Z-20. F0.2
X122.
G28 U0 W0
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::cut_behind_noted_jaws
