// A drilling cycle whose bottom is where the tool stands.
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <utility>

namespace turnwright::checks::rules::drill_cycle_without_way {

namespace {

/// The way off, in a block that no code makes a move of its own: the cycle goes on with it as its next hole.
bool is_way_off(const Hole& hole, const Hole& before) {
    const Act& act = *hole.act;
    if (before.tool != hole.tool || act.states(Group::drill_cycle) || act.states(Group::motion)) return false;
    const bool gives_bottom = hole.side ? act.moves_x : act.moves_z;
    const float way = before.bottom - before.start;
    return gives_bottom && known(hole.start) && known(hole.bottom) && known(way) &&
           (hole.bottom - hole.start) * way < 0;
}
bool is_beside_centre(const Hole& hole, const Hole& before) {
    const Act& act = *hole.act;
    if (before.tool != hole.tool || act.states(Group::drill_cycle) || act.states(Group::motion)) return false;
    return !hole.side && before.place == 0 && known(hole.place) && hole.place != 0 && act.turns() &&
           act.spindle == machine::Spindle::main && !act.polar && !act.cylinder;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    const ToolOfSpan* told = nullptr;
    const Hole* before = nullptr;
    const std::vector<Hole> holes = holes_of(program, context.settings());
    for (const Hole& hole : holes) {
        const Hole* last = std::exchange(before, &hole);
        if (hole.tool == told) continue;
        const std::string bottom =
            hole.side ? spoken_x(hole.bottom, context.settings()) : fmt::format("Z{}", written(hole.bottom));
        if (last && is_way_off(hole, *last)) {
            told = hole.tool;
            report.at_letter(hole.tool->place(*hole.act), hole.side ? 'X' : 'Z')
                .message(
                    said("{} is still in force: the tool does not go off here but drills another hole, to "
                         "{}. Write {} above, or {} in this block.",
                         code(context.settings(), hole.act->meaning), bottom,
                         code(context.settings(), Meaning::drill_cycle_off),
                         code(context.settings(), Meaning::rapid)));
            continue;
        }
        if (last && is_beside_centre(hole, *last)) {
            told = hole.tool;
            report.at_letter(hole.tool->place(*hole.act), 'X')
                .message(said(
                    "{} is still in force: the tool drills another hole at {}, beside the centreline "
                    "of a part that turns, and breaks. Write {} above, or {} in this block.",
                    code(context.settings(), hole.act->meaning), spoken_x(hole.place, context.settings()),
                    code(context.settings(), Meaning::drill_cycle_off),
                    code(context.settings(), Meaning::rapid)));
            continue;
        }
        if (!known(hole.start) || hole.bottom != hole.start) continue;
        told = hole.tool;
        const char letter = hole.side ? 'X' : 'Z';
        report.at_letter(hole.tool->place(*hole.act), letter)
            .message(said("The hole would end where the tool stands in front of it, at {}: nothing is "
                          "drilled. Look at the sign of {}.",
                          bottom, letter));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "drill_cycle_without_way",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Drilling cycle that drills nothing",
    .documentation =
        "The bottom of the hole is the very place where the tool stands when the cycle is called: the tool "
        "does not move along the hole, and no hole comes. The sign of X or Z is lost, as a rule: a hole "
        "right "
        "through the axis ends at X below zero. The same where a block behind the last hole has X or Z and "
        "no "
        "code: the cycle is still in force and takes the way off for its next hole, out of the part or "
        "beside "
        "the centreline.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99 G97
T0202
S1200 M03
G00 X0. Z3.
G83 Z-20. Q5000 F.12
X80. Z50.
;    ^^^^ warning: drill_cycle_without_way
G28 U0. W0.
M30
)"},
            {System::B, R"(
G20 G90 G95 G97
T0202
S1200 M03
G00 X0. Z.2
G83 Z-.8 R.1 F.005
X3.
;^^ warning: drill_cycle_without_way
G80
M30
)"},
            {System::C, R"(
G71 G90 G95 G97
T0202
S1200 M03
G00 X0. Z3.
G83 Z-20. R2. F.12
G00 X80. Z50.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0808
S1300 M03
G00 Y10. Z-12.
X56.
G87 X56. R-1. Q6000 F150
;   ^^^^ warning: drill_cycle_without_way
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C45.
G83 X44. C45. Z10. R3. F190
;             ^^^^ warning: drill_cycle_without_way
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0808
S1300 M03
G00 Y10. Z-12.
X56.
G87 X-56. R-1. Q6000 F150
G80
M30
)"},
            {System::B, R"(
G20 G90 G95 G97
T0404
S600 M03
G00 X0 Z.5
G83 Z-1.7 R.04 F.008
G80
M30
)"},
            {System::C, R"(
G71 G91 G94 G97
T0505
S2400 M03
G83 X0. Z-10. R-3. F190
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // R below zero: the level, or the way from where the tool stands.
            {System::B, R"(
G21 G90 G94
T0707
S2000 M53
G00 X24. Z5. C0
G99 G83 X24. Y8. Z-3. R-3. F150
X24. Y-8.
G80
G00 Z20.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::drill_cycle_without_way
