// G91 has not been taken back when the next tool comes in.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::incremental_at_tool_call {

namespace {

void block(const BlockView& view, Report& report) {
    if (!is_tool_call(view)) return;
    // Beside the T itself it is no rest of a way home.
    const bool stated_here =
        view.reading.code(Meaning::incremental) && view.reading.motion == MotionKind::none;
    if (!stated_here) {
        if (!view.before.is(Meaning::incremental) || !view.before.tool.known()) return;
        if (view.after.tool == view.before.tool && view.after.tool.known()) return;
    }
    if (!view.after.is(Meaning::incremental)) return;
    std::string on = code(view, Meaning::incremental), off = code(view, Meaning::absolute);
    report.at(view, *view.reading.word('T')->item)
        .message(
            said("{} (distances) is in force at this tool call: the first X and Z of the tool go by their "
                 "values instead of to them. Write {}.",
                 on, off))
        .origin(part(Group::distance));
}

} // namespace

extern const Check check{
    .id = "incremental_at_tool_call",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Incremental mode still on at a tool call",
    .documentation =
        "G91 is in force when the next tool is called: its first X and Z are read as distances from "
        "where the turret stands. Write G90 in the safety line.",
    .block = block,
    .examples =
        {
            {System::B, R"(
G20 G91 G28 X0 Z0
G91 T0101
;   ^^^^^ warning: incremental_at_tool_call
G00 X2. Z.1
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G00 X2. Z.1
G91 G01 Z-.5 F.01
T0202
;^^^^ warning: incremental_at_tool_call
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G00 X20. Z1.
G91 G01 Z-5. F0.1
N2 T0202
;  ^^^^^ warning: incremental_at_tool_call
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G00 X2. Z.1
G91 G01 Z-.5 F.01
G90 T0202
M30
)"},
            {System::C, R"(
G71 G91 G95
T0101
G00 X20. Z1.
T0111
G90
T0202
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::incremental_at_tool_call
