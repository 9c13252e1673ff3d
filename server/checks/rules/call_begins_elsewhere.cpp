// A called program that the same tool calls again begins elsewhere the second time: its way back is lost.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::call_begins_elsewhere {

namespace {

struct Call {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    int number = 0;
};

/// The tool of a called program that does nothing else than to cut: no tool, no call, no end of the machine.
const ToolOfSpan* work_of(std::span<const ToolOfSpan> tools, int number) {
    const ToolOfSpan* found = nullptr;
    for (const ToolOfSpan& tool : tools) {
        if (tool.span->program->number != number) continue;
        if (found || !tool.work->whole) return nullptr;
        found = &tool;
    }
    return found;
}

/// What it does with Z: in from the side first, and Z by places alone.
struct Inside {
    const Act* plunge = nullptr; ///< The first move, along X alone, at feed
    const Act* last = nullptr;   ///< The last one along Z
    const Act* returns = nullptr;
};
std::optional<Inside> inside_of(const ToolOfSpan& called) {
    Inside inside;
    for (const Act& act : called.work->acts) {
        if (act.calls_tool || act.calls_program || act.deleted || act.incremental || act.by_w)
            return std::nullopt;
        if (act.returns) inside.returns = &act;
        if (!act.moves()) continue;
        if (!inside.plunge) {
            if (act.motion != MotionKind::feed || !act.moves_x || act.moves_z) return std::nullopt;
            inside.plunge = &act;
        }
        if (act.moves_z) inside.last = &act;
    }
    if (!inside.plunge || !inside.last || !inside.returns) return std::nullopt;
    return inside;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, std::span<const ToolOfSpan> all,
             Report& report) {
    for (const ToolOfSpan& tool : program) {
        std::optional<Call> first;
        bool placed = false;
        for (const Act& act : tool.work->acts) {
            placed = placed || act.moves_z || is_return(act.motion);
            if (!act.calls_program) continue;
            const auto number = number_called(*tool.work, act);
            if (!number || act.deleted) return;
            const bool again = first && first->number == *number;
            if (!again) {
                first = Call{&tool, &act, *number};
                placed = false;
                continue;
            }
            if (std::exchange(placed, false)) {
                first = Call{&tool, &act, *number};
                continue;
            }
            const ToolOfSpan* called = work_of(all, *number);
            const auto inside = called ? inside_of(*called) : std::nullopt;
            if (!inside) continue;
            const machine::State &one = context.reader().before(tool.place(*first->act)),
                                 &other = context.reader().before(tool.place(act));
            const double hardly = act.inch() ? 0.001 : 0.02;
            if (!one.z.known() || !other.z.known() || !one.x_radius.known() || !other.x_radius.known() ||
                std::abs(one.z.number - other.z.number) <= hardly ||
                std::abs(one.x_radius.number - other.x_radius.number) > hardly)
                continue;
            report.at(called->place(*inside->returns))
                .message(
                    said("O{0:04} ends at Z{1}, and its first call began at Z{2}: no block brings Z back "
                         "between, so the next call plunges along X at Z{1}, where the part stands. Write "
                         "Z{2} here, before the end.",
                         *number, written(static_cast<float>(other.z.number)),
                         written(static_cast<float>(one.z.number))))
                .related(tool.place(act), said("the next call"));
            return;
        }
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_main_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, tools, report); });
}

} // namespace

extern const Check check{
    .id = "call_begins_elsewhere",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Called program does not come back to where it begins",
    .documentation = "One tool calls a program several times, which goes in along X first and then along Z "
                     "to places that it "
                     "states. The first call begins in front of the part, and no block brings Z back before "
                     "the next one: it "
                     "plunges where the first one ended, in the metal. Nothing is said where Z is stated "
                     "between the calls, "
                     "where the program goes by W, or begins with Z.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G98
T0808
G97 S4000 M203
G00 X2.4 Z.2 C0
M98 P0734
G01 C120. F60.
M98 P0734
G00 X2.6
M30
O0734
G01 X1.626 F40.
Z-.5 F12.
Z-.8 F10.
X2.4 F40.
M99
;^^ warning: call_begins_elsewhere
)"},
            {System::C, R"(
G71 G90 G94
T0808
G97 S4000 M203
G00 X60. Z5. C0
M98 P0734
G01 C120. F600.
M98 P0734
G00 X70.
M30
O0734
G01 X41. F100.
Z-20. F120.
X60. F400.
M99
;^^ warning: call_begins_elsewhere
)"},
            {System::A, R"(
G20 G98
T0808
G97 S4000 M203
G00 X2.4 Z.2 C0
M98 P0734
G01 C120. F60.
M98 P0734
G00 X2.6
M30
O0734
G01 X1.626 F40.
Z-.5 F12.
Z-.8 F10.
X2.4 F40.
Z.2 F80.
M99
)"},
            {System::B, R"(
G21 G90 G94
T0808
G97 S4000 M203
G00 X60. Z5. C0
M98 P0734
G00 Z5. C120.
M98 P0734
G00 X70.
M30
O0734
G01 X41. F100.
Z-20. F120.
X60. F400.
M99
)"},
            {System::B, R"(
G21 G90 G95
T0202
G97 S400 M03
G00 X62. Z-20.
M98 P0735
G00 Z-30.
M98 P0735
G00 X70.
M30
O0735
G01 X52. F.1
X62. F.3
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::call_begins_elsewhere
