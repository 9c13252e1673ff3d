// G91 that is not taken back behind its block, where the program does so elsewhere.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::incremental_left_on {

namespace {

struct Move {
    const ToolOfSpan* tool;
    const Act* act;
};
/// Blocks from a G91 to the next code of its group.
struct Stretch {
    std::vector<Move> moves; ///< The first may be the block of the G91 itself
    bool taken_back = false; ///< By G90; else by another G91
    const ToolOfSpan* slide_tool = nullptr;
    const Act* slide = nullptr; ///< The slide of the second spindle alone, before any of the moves
    /// The moves that are no way home.
    std::vector<Move> own() const {
        std::vector<Move> found;
        for (const Move& move : moves)
            if (!is_return(move.act->motion)) found.push_back(move);
        return found;
    }
};

std::vector<Stretch> stretches_in(std::span<const ToolOfSpan> tools) {
    std::vector<Stretch> stretches;
    bool open = false;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::distance)) {
                if (open && !act.incremental) stretches.back().taken_back = true;
                if (act.incremental) stretches.emplace_back();
                open = act.incremental;
            }
            if (open && stretches.back().moves.empty() && !act.moves() && !is_return(act.motion) &&
                slide_word(*tool.work, act)) {
                stretches.back().slide_tool = &tool;
                stretches.back().slide = &act;
            }
            if (open && act.moves() && !act.dwells) stretches.back().moves.push_back({&tool, &act});
        }
    return stretches;
}

/// The same X and Z as the way of a rapid that the program makes elsewhere in absolute values.
bool is_absolute_elsewhere(const Act& act, std::span<const ToolOfSpan> tools) {
    if (act.motion != MotionKind::rapid || !act.moves_x || !act.moves_z) return false;
    if (!known(act.to_x) || !known(act.from_x) || !known(act.to_z) || !known(act.from_z)) return false;
    const float x = act.to_x - act.from_x, z = act.to_z - act.from_z;
    auto same = [](float a, float b) { return std::abs(a - b) < 1e-4F; };
    int count = 0;
    for (const ToolOfSpan& tool : tools)
        for (const Act& other : tool.work->acts)
            if (other.motion == MotionKind::rapid && !other.incremental && other.moves_x && other.moves_z &&
                same(other.to_x, x) && same(other.to_z, z))
                ++count;
    return count >= 2;
}

/// G91 for the slide that draws the bar or goes home, and X and Z of the next tool go by it.
std::vector<bool> look_at_slide(const FileContext& context, const std::vector<Stretch>& stretches,
                                Report& report) {
    std::vector<bool> told(stretches.size());
    const bool taken_back_elsewhere = std::any_of(stretches.begin(), stretches.end(), [](const Stretch& some) {
        return some.taken_back && some.own().size() <= 1;
    });
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const Stretch& now = stretches[i];
        const std::vector<Move> own = now.own();
        if (!now.slide || now.taken_back || own.empty() || i + 1 == stretches.size() || !taken_back_elsewhere)
            continue;
        report.at(now.slide_tool->place(*now.slide))
            .message(said("{0} is stated for the slide here and stays on: X and Z of {1} blocks below are added "
                          "to where the tool stands, up to the next {0}. Write {2} behind this block.",
                          code(context.settings(), Meaning::incremental), own.size(),
                          code(context.settings(), Meaning::absolute)))
            .related(own.front().tool->place(*own.front().act), said("the first of them"));
        told[i] = true;
    }
    return told;
}

void look_at(const FileContext& context, Report& report, std::span<const ToolOfSpan> tools) {
    const std::vector<Stretch> stretches = stretches_in(tools);
    const std::vector<bool> told = look_at_slide(context, stretches, report);
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const Stretch& now = stretches[i];
        if (now.moves.size() < 2 || told[i]) continue;
        int short_ones = 0;
        for (const Stretch& other : stretches)
            if (&other != &now && other.moves.size() == 1 && other.taken_back) ++short_ones;
        // Another G91 behind it has no use if this one was meant to stay.
        const bool stated_again = !now.taken_back && i + 1 < stretches.size();
        bool home = false;
        for (const Move& move : now.moves) home = home || is_absolute_elsewhere(*move.act, tools);
        if (!home && !(stated_again && short_ones > 0)) continue;
        const Move& first = now.moves[1];
        report.at(first.tool->place(*first.act))
            .message(
                said("{} is still on here: these values are added to where the tool stands{}. Write {} in "
                     "this block.",
                     code(context.settings(), Meaning::incremental),
                     home ? said(", and the way home of the other tools is, too")
                          : said(", and {} below would have no use",
                                 code(context.settings(), Meaning::incremental)),
                     code(context.settings(), Meaning::absolute)))
            .related(now.moves[0].tool->place(*now.moves[0].act), said("the incremental block"));
    }
}

/// A program called comes in with G90 and goes back with its own G91, and behind every call the next move
/// goes by it.
void look_at_called(const FileContext& context, std::span<const ToolOfSpan> tools,
                    std::span<const ToolOfSpan> called, Report& report) {
    const ToolOfSpan* back_in = nullptr;
    const Act *stated = nullptr, *back = nullptr;
    for (const ToolOfSpan& tool : called)
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::distance)) {
                if (!act.incremental) return;
                if (!stated) stated = &act;
            }
            if (!back && act.returns) {
                back = &act;
                back_in = &tool;
            }
        }
    if (!stated || !back) return;
    std::size_t moves_on = 0;
    bool called_now = false;
    const machine::ProgramPart* program = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program != program) called_now = false;
        program = tool.span->program;
        for (const Act& act : tool.work->acts) {
            if (called_now && act.states(Group::distance)) {
                if (!act.incremental) return; // Taken back where it is called
                called_now = false;
            }
            if (called_now && act.moves() && !is_return(act.motion) && !act.by_u && !act.by_w) {
                ++moves_on;
                called_now = false;
            }
            if (number_called(*tool.work, act) != called[0].span->program->number) continue;
            called_now = true;
        }
    }
    if (moves_on == 0) return;
    const std::string on = code(context.settings(), Meaning::incremental),
                      off = code(context.settings(), Meaning::absolute);
    report.at(back_in->place(*back))
        .message(said(
            "{0} of this program is still in force when it goes back: behind {1} calls X and Z are added "
            "to where the tool stands. Write {2} before the end of O{3:04}.",
            on, moves_on, off, called[0].span->program->number))
        .related(called[0].place(*stated), said("the incremental block"));
}

/// G91 with no move beside it, and what goes by it up to the next code of its group.
struct Alone {
    const ToolOfSpan* tool;
    const Act* act;
    bool in_force_before;
    std::size_t moves = 0, approaches = 0, calls = 0;
};

/// G91 where G90 is meant: it stands alone behind a way home that had it, or in the head, and two tools come
/// in under it.
void look_at_alone(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    std::vector<Alone> all;
    bool open = false, incremental = false;
    std::size_t absolute_alone = 0;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return;
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::distance)) {
                const bool alone = act.motion == MotionKind::none && !act.moves() && !act.calls_tool;
                absolute_alone += alone && !act.incremental;
                open = alone && act.incremental;
                if (open) all.push_back({&tool, &act, incremental});
                incremental = act.incremental;
            }
            if (!open || act.dwells || is_return(act.motion)) continue;
            all.back().calls += act.calls_tool;
            all.back().moves += act.moves();
            all.back().approaches += act.motion == MotionKind::rapid && act.moves_x && act.moves_z;
        }
    }
    for (const Alone& one : all) {
        const bool behind_home = one.in_force_before && absolute_alone >= 2 && one.approaches >= 1;
        const bool in_head = !one.in_force_before && one.calls >= 2 && one.approaches >= 2;
        if (!behind_home && !in_head) continue;
        report.at(one.tool->place(*one.act))
            .message(
                said("{} stays in force from here: X and Z of {} blocks below are added to where the tool "
                     "stands. Write {}.",
                     code(context.settings(), Meaning::incremental), one.moves,
                     code(context.settings(), Meaning::absolute)));
    }
}

void file(const FileContext& context, Report& report) {
    if (context.settings().system == System::A) return;
    const auto tools = tools_of(context);
    for_each_main_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at_alone(context, program, report); });
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (program[0].span->program->is_subprogram) look_at_called(context, tools, program, report);
    });
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, report, program); });
}

} // namespace

extern const Check check{
    .id = "incremental_left_on",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "G91 not taken back after its block",
    .documentation =
        "In systems B and C the program makes single blocks incremental and goes back to absolute with the "
        "next, "
        "and here it does not: G91 is stated again below, which would have no use, or the way home that "
        "other tools "
        "go in absolute values stands under it; or it is stated for the slide of the second spindle, and X and Z "
        "of the next tool go by it; or it stands alone in the head or behind a way home, where "
        "G90 is meant. The values in between are added to where the tool stands.",
    .file = file,
    .examples =
        {
            {System::C, R"(
O0100
G71 G90 G95
M98 P8100
T0101
G00 X50. Z2.
G01 Z-20. F.2
M98 P8100
T0303
G00 X48. Z2.
G01 Z-20. F.2
M30
O8100
G91 G28 X0
G28 Z0
M5
M99
;^^ warning: incremental_left_on
)"},
            {System::C, R"(
O0100
G71 G90 G95
M98 P8100
G90
T0101
G00 X50. Z2.
G01 Z-20. F.2
M98 P8100
M30
O8100
G91 G28 X0
G28 Z0
M5
M99
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S2200 M03
G00 X.315 Z.1
G01 Z0 F.004
G91 X.06 Z-.03
Z-.5
;^^^ warning: incremental_left_on
X.585
G91 X.04 Z-.02
G90 Z-1.65
X.8
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 T0101
G00 X20. Z2.
G01 Z-10. F.2
G00 X200. Z100.
N2 T0303
G00 X20. Z2.
G91 G01 Z-10. F.2
X5.
;^^ warning: incremental_left_on
G00 X200. Z100.
G90
N3 T0505
G00 X20. Z2.
G01 Z-10. F.2
G00 X200. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G00 X.315 Z.1
G91 G01 X.06 Z-.03 F.1
G90 Z-.5
G91 X.04 Z-.02
G90 Z-1.65
M98 P0010
M30
O0010
G91
G01 X-7. F.06
G00 X7.
Z-5.
G90
M99
)"},
            {System::A, R"(
G21 G99
T0101
G00 X20. Z2.
G01 U5. W-2. F.1
Z-10.
M30
)"},
            {System::C, R"(
G71 G91 G95
;   ^^^ warning: incremental_left_on
T0101
G00 X50. Z2.
G01 Z-20. F.2
X54.
G00 X200. Z100.
T0303
G00 X48. Z2.
G01 Z-20. F.2
X54.
G00 X200. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
N20 G91 G28 X0
N30 G28 Z0
N40 G91
;   ^^^ warning: incremental_left_on
T0101
G00 X2. Z.1
G01 Z-1. F.01
N90 G91 G28 X0
G28 Z0
G90
T0303
G00 X2. Z.1
G01 Z-1. F.01
N95 G91 G28 X0
G28 Z0
G90
M30
)"},
            {System::B, R"(
G21 G90 G95
G91 G28 X0 Z0
G90
T0101
G97 S800 M03
G00 X40. Z2.
G01 X-1.6 F0.2
G91 G28 X0
G28 Z0
G90
T0808
G91 G01 B33.7 F1500
;^^^^^^^^^^^^^^^^^^ warning: incremental_left_on
G95
G00 Z0.5
X36.
G01 X7. F0.06
G00 X36.
G91 G28 X0
G28 Z0
G90
M30
)"},
            {System::B, R"(
G21 G90 G95
G91 G28 X0 Z0
G90
T0101
G97 S800 M03
G00 X40. Z2.
G01 X-1.6 F0.2
G91 G28 X0
G28 Z0
G90
T0808
G91 G01 B33.7 F1500
G90 G95
G00 Z0.5
X36.
G01 X7. F0.06
G00 X36.
G91 G28 X0
G28 Z0
G90
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_left_on
