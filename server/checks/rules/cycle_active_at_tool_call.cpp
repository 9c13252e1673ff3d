// A drilling cycle or single cycle still active when the next tool is called.
//
// The next X or Z word repeats the cycle with the wrong tool.
#include "checks/rule.h"

#include <bit>

namespace turnwright::checks::rules {

namespace {

std::optional<Meaning> active_cycle(const machine::State& state) {
    const machine::Modal& drilling = state.of(Group::drill_cycle);
    if (drilling.known() && !drilling.is(Meaning::drill_cycle_off))
        return codes::meaning_of(Group::drill_cycle,
                                 static_cast<unsigned>(std::countr_zero(drilling.possible)));
    for (Meaning single : {Meaning::single_turning, Meaning::single_threading, Meaning::single_facing})
        if (state.is(single)) return single;
    return std::nullopt;
}

bool block_ends_cycle(const machine::Reading& reading) {
    for (const machine::Word& word : reading.words)
        if (word.code && (word.code->group() == Group::motion || word.code->group() == Group::drill_cycle))
            return true;
    return false;
}

void block(const BlockView& view, Report& report) {
    const machine::Word* tool = view.reading.word('T');
    if (!tool || view.reading.code(Meaning::macro_call)) return;
    if (view.after.tool == view.before.tool && view.after.tool.known()) return; // Only another offset
    auto cycle = active_cycle(view.before);
    if (!cycle || block_ends_cycle(view.reading)) return;
    bool drilling = codes::group_of(*cycle) == Group::drill_cycle;
    std::string end = code(view, drilling ? Meaning::drill_cycle_off : Meaning::rapid);
    auto entry = report.at(view, *tool->item);
    entry
        .message(
            fmt::format("{} ({}) is still active at {}: the next X or Z word runs the cycle again, with this "
                        "tool. Write {} behind the cycle.",
                        code(view, *cycle), codes::title(*cycle), text_of(view, *tool->item), end))
        .origin(part(codes::group_of(*cycle)));
    if (drilling)
        entry.fix([&] {
            return Fix{
                "Write " + end + " before the tool call", {insert_block_before(view, end)}, true, true};
        });
}

} // namespace

extern const Check cycle_active_at_tool_call{
    .id = "cycle_active_at_tool_call",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Cycle still active at a tool call",
    .documentation = "A modal cycle (drilling, or a single turning, facing or threading cycle) has not been "
                     "cancelled when the "
                     "next tool comes in. Every X or Z word behind it runs the cycle again: the new tool "
                     "makes the old tool's "
                     "moves on its way to the part. End a drilling cycle with G80 before the retract; a "
                     "motion code such as "
                     "G00 ends a single cycle.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S1100 M03
G00 X0. Z2.
G83 Z-32.5 Q6000 F0.14
G28 U0. W0.
T0303
;^^^^ warning: cycle_active_at_tool_call
G00 X52. Z1.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S750 M03
G00 X2. Z.1
G77 X1.885 Z-1.44 F.012
X1.77
T0303
;^^^^ warning: cycle_active_at_tool_call
G00 X2. Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S400 M03
G00 X0. Z5.
G84 Z-20. F1.5
N3 T0303
;  ^^^^^ warning: cycle_active_at_tool_call
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S1100 M03
G00 X0. Z2.
G83 Z-32.5 Q6000 F0.14
G80
G00 Z12.
G28 U0. W0.
T0303
M30
)"},
            // G00 ends a drilling cycle too; the safety line above the tool call holds G80.
            {System::B, R"(
G20 G90 G95
T0202
G97 S900 M03
G00 X0 Z.1
G83 Z-1. R.04 F.008
G00 Z.5
T0404
G97 S900
G00 X0 Z.1
G81 Z-1. R.04 F.008
N3 G54 G40 G80 G97
T0303
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S750 M03
G00 X2. Z.1
G90 X1.885 Z-1.44 F.012
X1.77
G00 X4. Z2.
T0303
G92 X.98 Z-.7 F.0625
G00 X3.
G28 U0 W0 T0300
M30
)"},
            // Another offset of the same station.
            {System::C, R"(
G71 G90 G95
T0101
G97 S750 M03
G00 X50. Z2.
G20 X45. Z-20. F0.2
T0111
X44.
G00 X80.
M30
)"},
        },
};

} // namespace turnwright::checks::rules
