// A contour that one tool roughs or finishes from in front of the face, and another from behind it: the first
// block of the contour goes along X alone, at the Z that the cycle starts from.
#include "checks/acts.h"
#include "checks/head_stock.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::cycle_start_behind_face {

namespace {

struct Start {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    double p = 0, z = 0;
};

/// The block that gave the Z it starts from.
const Act& giver_of(const Start& start) {
    const Act* giver = start.act;
    for (const Act& act : start.tool->work->acts) {
        if (&act == start.act) break;
        if (act.moves_z && !act.in_contour) giver = &act;
    }
    return *giver;
}

/// The first block of the contour, behind the cycle that roughs it.
const Act* first_of_contour(const Start& rough) {
    for (const Act& act : rough.tool->work->acts)
        if (&act > rough.act && act.in_contour) return &act;
    return nullptr;
}
/// It states no Z.
bool begins_along_x(const Start& rough) {
    const Act* first = first_of_contour(rough);
    return first && first->moves_x && !first->moves_z;
}
/// A contour that is faced: its first block goes along Z at the X of the start. Its largest X, on radius;
/// nullopt: it begins otherwise, or not all of it is known.
std::optional<float> outermost_of_faced(const Start& rough) {
    const Act* first = first_of_contour(rough);
    if (rough.act->meaning != Meaning::rough_facing || !first || first->moves_x || !first->moves_z)
        return std::nullopt;
    float outermost = 0;
    for (const Act& act : rough.tool->work->acts) {
        if (&act < first) continue;
        if (!act.in_contour) break;
        if (!act.moves_x) continue;
        if (!known(act.to_x)) return std::nullopt;
        outermost = std::max(outermost, act.to_x);
    }
    return outermost;
}

/// Roughed from outside of the part, and finished from within it.
bool tell_inside(const FileContext& context, const std::vector<Start>& starts, Report& report) {
    constexpr float least_in_mm = 0.5F;
    for (const Start& rough : starts) {
        const auto outermost = outermost_of_faced(rough);
        if (!outermost || !known(rough.act->from_x) || rough.act->from_x < *outermost) continue;
        for (const Start& finish : starts) {
            if (finish.p != rough.p || finish.act->meaning != Meaning::finish_cycle ||
                !known(finish.act->from_x))
                continue;
            const float in = *outermost - finish.act->from_x;
            if (in * (finish.act->inch() ? 25.4F : 1) < least_in_mm) continue;
            const Act* giver = finish.act;
            for (const Act& act : finish.tool->work->acts) {
                if (&act == finish.act) break;
                if (act.moves_x && !act.in_contour) giver = &act;
            }
            const auto x = [&](float radius) { return spoken_x(radius, context.settings()); };
            report.at_letter(finish.tool->place(*giver), 'X')
                .message(
                    said("The finish starts from {} here, and the contour is {} wide: its first block goes "
                         "along Z at the X of the start, at rapid into the face. Roughing starts from {}. "
                         "Write {}.",
                         x(finish.act->from_x), x(*outermost), x(rough.act->from_x), x(rough.act->from_x)))
                .related(rough.tool->place(*rough.act), said("roughed here"));
            return true;
        }
    }
    return false;
}

/// Nothing has been turned so far, below the X that the cycle starts from.
bool is_turned_before(std::span<const ToolOfSpan> program, const Start& rough) {
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (&act == rough.act) return false;
            if (act.calls_program) return true;
            if (act.cuts() && !act.in_contour && act.moves_z && known(act.to_z) && act.to_z < 0 &&
                (!known(act.to_x) || (act.to_x > 0 && act.to_x <= rough.act->from_x)))
                return true;
        }
    return true;
}

/// Roughed from inside of the stock that the head's note gives, and finished from outside of it.
bool tell_in_stock(const FileContext& context, std::span<const ToolOfSpan> program,
                   const std::vector<Start>& starts, Report& report) {
    constexpr float least_in_mm = 0.4F;
    for (const Start& rough : starts) {
        if (rough.act->meaning == Meaning::finish_cycle || !known(rough.act->from_x)) continue;
        const float mm = rough.act->inch() ? 25.4F : 1;
        const machine::ProgramPart& part = *rough.tool->span->program;
        const HeadStock head = head_stock(context.reader(), part.first, part, mm);
        if (!head.stock.diameter_mm || !head.is_plain_bar || head.stock.bore_mm) continue;
        const float radius = static_cast<float>(*head.stock.diameter_mm) / 2 / mm;
        if ((radius - rough.act->from_x) * mm < least_in_mm || rough.act->from_x < 0.5F * radius) continue;
        for (const Start& finish : starts) {
            if (finish.p != rough.p || finish.act->meaning != Meaning::finish_cycle || &finish < &rough ||
                !known(finish.act->from_x) || finish.act->from_x < radius)
                continue;
            if (is_turned_before(program, rough)) return false;
            const Act* giver = rough.act;
            for (const Act& act : rough.tool->work->acts) {
                if (&act == rough.act) break;
                if (act.moves_x && !act.in_contour) giver = &act;
            }
            const auto x = [&](float place) { return spoken_x(place, context.settings()); };
            report.at_letter(rough.tool->place(*giver), 'X')
                .message(
                    said("The cycle starts from {} here, and the stock is {}: it roughs nothing outside of "
                         "that, and comes back there through the metal. The finish starts from {}. Write {}.",
                         x(rough.act->from_x), x(radius), x(finish.act->from_x), x(finish.act->from_x)))
                .related(finish.tool->place(*finish.act), said("finished here"));
            return true;
        }
    }
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    std::vector<Start> starts;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const bool turns = act.motion == MotionKind::contour_cycle &&
                               (act.meaning == Meaning::rough_turning ||
                                act.meaning == Meaning::rough_facing || act.meaning == Meaning::finish_cycle);
            const ActWord* p = turns && !act.deleted ? tool.work->word(act, 'P') : nullptr;
            if (p && tool.work->word(act, 'Q') && known(act.from_z))
                starts.push_back({&tool, &act, p->number, act.from_z});
        }
    if (tell_inside(context, starts, report)) return;
    if (tell_in_stock(context, program, starts, report)) return;
    for (const Start& behind : starts) {
        if (behind.z >= 0) continue;
        const auto in_front = std::find_if(starts.begin(), starts.end(), [&](const Start& other) {
            return other.p == behind.p && other.z > 0;
        });
        const bool along_x = std::any_of(starts.begin(), starts.end(), [&](const Start& start) {
            return start.p == behind.p && start.act->meaning == Meaning::rough_turning &&
                   begins_along_x(start);
        });
        if (in_front == starts.end() || !along_x) continue;
        report.at_letter(behind.tool->place(giver_of(behind)), 'Z')
            .message(said("The cycle starts from Z{0} here, behind the face, and from Z{1} with T{2:02}: the "
                          "first block of its contour goes along X at Z{0}, through the metal in front of "
                          "the shoulder, and the chamfer at the face has another angle. Write Z{1}.",
                          written(behind.z), written(in_front->z), std::max(in_front->tool->station, 0)))
            .related(in_front->tool->place(giver_of(*in_front)), said("in front of the face"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "cycle_start_behind_face",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Contour started from behind the face",
    .documentation = "Roughing and finishing of one contour start from two sides of Z0: one from in front of "
                     "the face, the "
                     "other with a minus too many from behind it. The first block of the contour goes along "
                     "X alone, so it "
                     "goes at that Z into the face or the bore. A contour whose first block states its Z is "
                     "let be, and one "
                     "that both start from behind a collar."
                     " The finish of a faced contour that starts from within the contour is told, too, where "
                     "its roughing starts from outside."
                     " So is roughing that starts from inside of the stock which the head's note gives, "
                     "where its finish starts from outside.",
    .file = file,
    .examples =
        {
            // A faced contour finished from within its flange; and from where it was roughed.
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X164. Z2.
G72 W2. R0.5
G72 P10 Q20 U0.5 W0.1 F0.3
N10 G00 Z-19.
G01 X156. Z-15. F.15
X80.
N20 Z2.
G00 X200. Z100.
T0303
G96 S250 M03
G00 X154. Z2.
;   ^^^^^ warning: cycle_start_behind_face
G70 P10 Q20
G00 X200. Z100.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X164. Z2.
G72 W2. R0.5
G72 P10 Q20 U0.5 W0.1 F0.3
N10 G00 Z-19.
G01 X156. Z-15. F.15
X80.
N20 Z2.
G00 X200. Z100.
T0303
G96 S250 M03
G00 X164. Z2.
G70 P10 Q20
G00 X200. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.5 W0.1 F0.3
N10 G00 X26.
G01 X30. Z-1. F.15
N20 Z-40.
G00 X100. Z50.
T0303
G96 S250 M03
G00 X52. Z-2.
;        ^^^^ warning: cycle_start_behind_face
G70 P10 Q20
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0404
G96 S400 M03
G00 X.7 Z.1
G73 U.06 R.02
G73 P10 Q20 U-.02 W.004 F.008
N10 G00 X1.2
G01 X1. Z-.05
N20 Z-1.5
G00 Z4.
T0606
G96 S500 M03
G00 X.7
Z-.1
;^^^ warning: cycle_start_behind_face
G72 P10 Q20 F.004
G00 Z4.
M30
)"},
            // Both from in front; its Z stated; behind a collar.
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.5 W0.1 F0.3
N10 G00 X26.
G01 X30. Z-1. F.15
N20 Z-40.
G00 X100. Z50.
T0303
G96 S250 M03
G00 X52. Z1.
G70 P10 Q20
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X52. Z2.
G73 U2. R0.5
G73 P10 Q20 U0.5 W0.1 F0.3
N10 G00 X30. Z1.
G01 Z-40. F.15
N20 X52.
G00 X100. Z50.
T0303
G96 S250 M03
G00 X52. Z-2.
G72 P10 Q20
G00 X100. Z50.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G96 S400 M03
G00 X2.1 Z-1.
G71 U.08 R.02
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X1.5
G01 Z-1.6 F.006
N20 X2.1
G70 P10 Q20
G00 X5. Z4.
M30
)"},
            // Roughed from inside of the stock.
            {System::C, R"(
(DISC 100 X 48, STEEL C45)
G71 G90 G95
T0101
G97 S500 M03
G00 X106. Z4.
G24 X-1.6 Z0 F0.25
G00 X94. Z2.
;   ^^^^ warning: cycle_start_behind_face
G74 W2. R0.5
G74 P130 Q160 U0.5 W0.1 F0.28
N130 G00 Z-24.
G01 X66. F0.15
Z-12.
N160 X40. Z2.
G00 X150. Z100.
T0303
G97 S700 M03
G00 X104. Z3.
G72 P130 Q160
G00 X150. Z100.
M30
)"},
            {System::C, R"(
(DISC 100 X 48, STEEL C45)
G71 G90 G95
T0101
G97 S500 M03
G00 X106. Z4.
G24 X-1.6 Z0 F0.25
G00 X104. Z2.
G74 W2. R0.5
G74 P130 Q160 U0.5 W0.1 F0.28
N130 G00 Z-24.
G01 X66. F0.15
Z-12.
N160 X40. Z2.
G00 X150. Z100.
T0303
G97 S700 M03
G00 X104. Z3.
G72 P130 Q160
G00 X150. Z100.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::cycle_start_behind_face
