// A contour that is roughed with an allowance and never finished, or roughed to size before it is finished.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "text/capitals.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::contour_not_finished {

namespace {

/// What stays for a grinder, or for the customer, is said.
constexpr std::string_view words_of_leaving[] = {
    "GRIND",      "GROUND",       "SCHLEIF",      "RECTIF",      "RETTIF",  "LEAVE",  "LEAVING", "STOCK FOR",
    "ROUGH ONLY", "SOVRAMETALLO", "SUREPAISSEUR", "SOBREMEDIDA", "DEMASIA", "HARDEN", "HAERTE"};
/// Along Z: a chamfer, or a way into a groove, finishes no contour.
constexpr double least_way_mm = 2;

struct Roughing {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    std::size_t at = 0; ///< Of all tools
    double p = 0, u = 0, w = 0;
    bool faces = false;
};

bool names_contour(const ToolOfSpan& tool, const Act& act) {
    return act.motion == MotionKind::contour_cycle && tool.work->word(act, 'P') && tool.work->word(act, 'Q');
}

/// Some later cut of another tool goes along Z at a diameter of the contour: it is finished by hand.
bool is_cut_by_hand(std::span<const ToolOfSpan> program, const Roughing& rough, double mm) {
    float low = 1e9F, high = -1e9F, lowest_z = 1e9F, highest_z = -1e9F;
    bool in_it = false;
    for (const Act& act : rough.tool->work->acts) {
        if (act.in_contour && &act > rough.act) {
            in_it = true;
            if (act.moves_x && known(act.to_x))
                low = std::min(low, act.to_x), high = std::max(high, act.to_x);
            if (act.moves_z && known(act.to_z))
                lowest_z = std::min(lowest_z, act.to_z), highest_z = std::max(highest_z, act.to_z);
        } else if (in_it) {
            break;
        }
    }
    // A contour that stands elsewhere is not looked at.
    if (!in_it) return true;
    for (std::size_t i = rough.at; i < program.size(); ++i)
        for (const Act& act : program[i].work->acts) {
            if (i == rough.at && &act < rough.act) continue;
            if (act.calls_program) return true;
            if (act.in_contour || act.motion == MotionKind::none || !act.moves_z || act.threads()) continue;
            // A cut whose place is not known may be it.
            const bool cut = act.motion == MotionKind::feed || act.motion == MotionKind::arc ||
                             act.motion == MotionKind::single_cycle;
            if (!cut) continue;
            if (!known(act.to_x) || !known(act.to_z) || !known(act.from_z)) return true;
            const bool long_enough = std::abs(act.to_z - act.from_z) * mm > least_way_mm;
            if (long_enough && act.to_x > 0 && act.to_x >= low && act.to_x <= high &&
                act.to_z >= lowest_z - least_way_mm / mm && act.to_z <= highest_z + least_way_mm / mm)
                return true;
        }
    return false;
}

/// The last block of its contour.
const Act* end_of_contour(const Roughing& rough) {
    const Act* end = nullptr;
    for (const Act& act : rough.tool->work->acts) {
        if (&act <= rough.act) continue;
        if (act.in_contour)
            end = &act;
        else if (end)
            break;
    }
    return end;
}

/// Another tool cuts behind it, or another contour is finished, and the program has its end: else the
/// finishing may not be written yet.
bool goes_on_behind(std::span<const ToolOfSpan> program, const Roughing& rough, bool finishes_others) {
    bool goes_on = finishes_others, ends = false;
    for (std::size_t i = rough.at; i < program.size(); ++i)
        for (const Act& act : program[i].work->acts) {
            goes_on = goes_on || (i > rough.at && (act.cuts() || act.threads() || act.taps()));
            ends = ends || act.ends_program || act.returns;
        }
    return goes_on && ends;
}

bool is_left_on_purpose(const FileContext& context, const Span& own) {
    for (const Span& span : context.spans()) {
        if (span.program != own.program) continue;
        for (const NoteAt& at : notes_between(context.reader(), span.first, span.last)) {
            const std::string note = text::in_capitals(at.text);
            if (std::any_of(std::begin(words_of_leaving), std::end(words_of_leaving),
                            [&](std::string_view word) { return note.find(word) != std::string::npos; }))
                return true;
        }
    }
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, const Roughing& rough,
             bool is_finished, bool finishes_others, Report& report) {
    const double per_radius = x_as_written(1, context.settings());
    const std::string p = std::to_string(std::lround(rough.p));
    if (is_finished) {
        if (rough.u != 0 || (rough.faces && rough.w != 0)) return;
        report_at_code(report, context, *rough.tool, *rough.act)
            .message(said("This roughs the contour of P{} to its size, U leaves nothing, and {} is to finish "
                          "it: the finishing tool finds no metal to cut, and the marks of roughing stay. "
                          "Write U with what it is to take.",
                          p, code(context.settings(), Meaning::finish_cycle)));
        return;
    }
    if (rough.u == 0 && rough.w == 0) return;
    if (!goes_on_behind(program, rough, finishes_others)) return;
    const auto mm = mm_of(*rough.act, unit_of_file(context, program));
    if (!mm || is_cut_by_hand(program, rough, *mm) || is_left_on_purpose(context, *rough.tool->span)) return;
    const double on_diameter = std::abs(rough.u) * 2 / per_radius;
    Report::Entry entry = report_at_code(report, context, *rough.tool, *rough.act);
    if (const Act* end = end_of_contour(rough))
        entry.related(rough.tool->place(*end), said("its contour ends here"));
    entry.message(said("This leaves {} on the diameter and {} on the faces for finishing, and nothing "
                       "finishes the contour of P{}: the part keeps it. Is {} P{} missing, or another P "
                       "meant there?",
                       spoken(std::round(on_diameter * 1e4) / 1e4),
                       spoken(std::round(std::abs(rough.w) * 1e4) / 1e4), p,
                       code(context.settings(), Meaning::finish_cycle), p));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        std::vector<Roughing> last; // Of each contour
        std::vector<double> finished;
        bool is_plain = true;
        for (std::size_t i = 0; i < program.size(); ++i) {
            const ToolOfSpan& tool = program[i];
            is_plain = is_plain && tool.work->whole && !tool.work->calls_programs;
            for (const Act& act : tool.work->acts) {
                if (!names_contour(tool, act) || act.deleted) continue;
                const double p = tool.work->word(act, 'P')->number;
                if (act.meaning == Meaning::finish_cycle) {
                    finished.push_back(p);
                    continue;
                }
                const bool faces = act.meaning == Meaning::rough_facing;
                if (act.meaning != Meaning::rough_turning && !faces) continue;
                const ActWord *u = tool.work->word(act, 'U'), *w = tool.work->word(act, 'W');
                // A value that is not known leaves something.
                if ((!u && tool.work->has_letter(act, "U")) || (!w && tool.work->has_letter(act, "W"))) {
                    finished.push_back(p);
                    continue;
                }
                std::erase_if(last, [&](const Roughing& other) { return other.p == p; });
                last.push_back({&tool, &act, i, p, u ? u->number : 0, w ? w->number : 0, faces});
            }
        }
        if (!is_plain) return;
        for (const Roughing& rough : last) {
            const bool is_finished = std::find(finished.begin(), finished.end(), rough.p) != finished.end();
            // Of no other contour either: then its P may be slipped, which another rule tells.
            if (!is_finished && finished.size() >= last.size()) continue;
            look_at(context, program, rough, is_finished, !finished.empty(), report);
        }
    });
}

} // namespace

extern const Check check{
    .id = "contour_not_finished",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Contour roughed and not finished",
    .documentation =
        "A roughing cycle leaves an allowance on a contour, and neither a finishing cycle nor another cut "
        "takes it: the part comes out too large, or its bore too small, by what was left. Or it leaves "
        "nothing, and a finishing cycle runs the same contour: that tool finds no metal. Where a note says "
        "that something is left, for grinding as an example, or where a later cut goes along one of the "
        "diameters of the contour, nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.5 W0.1 F0.3
;^^ warning: contour_not_finished
N10 G00 X30.
G01 Z-25.
X40.
N20 Z-40.
G00 X100. Z50.
T0505
G97 S800 M03
G00 X42. Z-25.
G01 X26. F0.08
G00 X100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G96 S400 M03
G00 X.7 Z.1
G71 U.06 R.02
G71 P10 Q20 W.004 F.008
;^^ warning: contour_not_finished
N10 G00 X1.2
G01 Z-.8
X1.
N20 Z-1.5
G70 P10 Q20 F.004
G00 Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X62. Z2.
G73 U2. R1.
G73 P10 Q20 U0.6 W0.1 F0.3
N10 G00 X30.
G01 Z-25. F0.15
N20 X62.
G00 X100. Z50.
T0303
G96 S250 M03
G00 X62. Z2.
G72 P10 Q20
G00 X20. Z3.
G73 U1. R0.5
G73 P30 Q40 U-0.4 W0.1 F0.2
;^^ warning: contour_not_finished
N30 G00 X26.
G01 Z-20. F0.1
N40 X20.
G00 Z50.
M30
)"},
            // Finished by its cycle; by hand; for grinding; nothing left and nothing finished.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.5 W0.1 F0.3
N10 G00 X30.
G01 Z-25.
X40.
N20 Z-40.
G70 P10 Q20
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X2.1 Z.1
G71 U.08 R.02
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X1.2
G01 Z-1.
N20 X2.1
G00 X5. Z4.
T0303
G96 S500 M03
G00 X1.2 Z.1
G01 Z-1. F.005
X2.1
G00 X5. Z4.
M30
)"},
            {System::A, R"(
(SEAT 30.4 FOR GRINDING)
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.3
N10 G00 X30.
G01 Z-25.
N20 X52.
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X52. Z2.
G73 U2. R0.5
G73 P10 Q20 U0 W0 F0.2
N10 G00 X30.
G01 Z-25.
N20 X52.
G00 X100. Z50.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::contour_not_finished
