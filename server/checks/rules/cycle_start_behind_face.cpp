// A contour that one tool roughs or finishes from in front of the face, and another from behind it: the first
// block of the contour goes along X alone, at the Z that the cycle starts from.
#include "checks/acts.h"
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

/// The contour's first block, behind the cycle that roughs it, states no Z.
bool begins_along_x(const Start& rough) {
    for (const Act& act : rough.tool->work->acts) {
        if (&act <= rough.act || !act.in_contour) continue;
        return act.moves_x && !act.moves_z;
    }
    return false;
}

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    std::vector<Start> starts;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const bool turns =
                act.motion == MotionKind::contour_cycle &&
                (act.meaning == Meaning::rough_turning || act.meaning == Meaning::finish_cycle);
            const ActWord* p = turns && !act.deleted ? tool.work->word(act, 'P') : nullptr;
            if (p && tool.work->word(act, 'Q') && known(act.from_z))
                starts.push_back({&tool, &act, p->number, act.from_z});
        }
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
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
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
                     "that both start from behind a collar.",
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
        },
};

} // namespace turnwright::checks::rules::cycle_start_behind_face
