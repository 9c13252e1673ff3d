// G90 where it is in force already, behind moves that go there and back by one amount: the G91 in front of
// them is lost.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>
#include <vector>

namespace turnwright::checks::rules::incremental_code_lost {

namespace {

struct Move {
    const ToolOfSpan* tool;
    const Act* act;
};

/// Of a clearance and a chamfer, Z2. and Z-2. are the same; of a pass and its way back they come again and
/// again.
constexpr std::size_t enough = 2;

bool to_opposite(float a, float b) {
    return known(a) && known(b) && a != 0 && std::abs(a + b) < 1e-5F;
}

/// How often the moves go by the numbers of a way there and back; the first that does.
std::size_t there_and_back(const std::vector<Move>& moves, const Move*& first) {
    std::size_t count = 0;
    const auto along = [](const Act& act, bool x) {
        return x ? act.moves_x && !act.moves_z : act.moves_z && !act.moves_x;
    };
    for (const bool x : {true, false})
        for (std::size_t i = 0; i < moves.size(); ++i) {
            const Act& one = *moves[i].act;
            if (!along(one, x)) continue;
            for (std::size_t k = i + 1; k < moves.size() && k <= i + 3; ++k) {
                const Act& other = *moves[k].act;
                if (!along(other, x)) continue;
                // The way there is a cut, and the way back most often a rapid.
                if (one.motion == MotionKind::feed &&
                    (x ? to_opposite(one.to_x, other.to_x) : to_opposite(one.to_z, other.to_z))) {
                    ++count;
                    if (!first || &moves[i] < first) first = &moves[i];
                }
                break;
            }
        }
    return count;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    bool was_incremental = false, stated = tools[0].span->program->is_subprogram;
    std::vector<Move> moves; // Since the approach, or where the code was stated
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return;
        for (const Act& act : tool.work->acts) {
            if (act.calls_tool || act.calls_program || is_return(act.motion)) moves.clear();
            if (act.states(Group::distance)) {
                const bool alone = !act.moves() && act.motion == MotionKind::none && !act.calls_tool;
                const bool again = stated && !was_incremental && !act.incremental && alone;
                const Move* first = nullptr;
                if (again && there_and_back(moves, first) >= enough) {
                    const std::string on = code(context.settings(), Meaning::absolute),
                                      lost = code(context.settings(), Meaning::incremental);
                    report.at(first->tool->place(*first->act))
                        .message(said(
                            "{0} below is in force already here, and the moves down to it go there and back "
                            "by one number, as distances do: {1} in front of them is lost. As they stand "
                            "they "
                            "are places, and the tool goes into the part. Write {1} above this block.",
                            on, lost))
                        .related(tool.place(act), on);
                    return;
                }
                was_incremental = act.incremental;
                stated = true;
                moves.clear();
            }
            if (act.moves() && !act.dwells && !act.in_contour) moves.push_back({&tool, &act});
        }
    }
}

void file(const FileContext& context, Report& report) {
    if (context.settings().system == System::A) return;
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "incremental_code_lost",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Moves by distance without the code for distances",
    .documentation = "In systems B and C the code for places stands alone in a block where it is in force "
                     "already, and the moves in "
                     "front of it cut to a number and come back to the same with the other sign, twice or "
                     "more: they were meant as "
                     "distances, and the code for these is lost. As places they take the tool into the part, "
                     "or across its axis.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.52 Z.1
G01 Z-1.2 F.012
X1.7
G00 Z.1
X1.4
G01 Z-.845
;^^^^^^^^^ warning: incremental_code_lost
X.15
G00 Z.845
X-.27
G01 Z-.845
X.15
G00 Z.845
G90
X7. Z5.
M30
)"},
            {System::C, R"(
G71 G90 G95
G28 X200.
G28 Z200.
T0303
G97 S800 M03
G00 X80. Z20.
G00 X60. Z2.
M98 P8010 L3
G00 X100. Z100.
M30
O8010
G01 Z-7. F0.08
;^^^^^^^^^^^^^ warning: incremental_code_lost
G00 Z7.
G01 Z-9.
G00 Z9.
X-4.
G90
M99
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.52 Z.1
G91
G01 Z-.845 F.012
X.15
G00 Z.845
X-.27
G01 Z-.845
X.15
G00 Z.845
G90
X7. Z5.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G01 Z-2. F0.1
G00 X54.
Z2.
G90
G00 X48.
G01 Z-20.
X54.
G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_code_lost
