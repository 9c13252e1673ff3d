// A drilling cycle or single cycle still active when the next tool is called.
//
// The next X or Z word repeats the cycle with the wrong tool.
#include "checks/rule.h"
#include "language/said.h"

#include <bit>

namespace turnwright::checks::rules::cycle_active_at_tool_call {

namespace {

std::optional<Meaning> active_cycle(const Step& step) {
    const machine::Modal& drilling = step.of(Group::drill_cycle);
    if (drilling.known() && !drilling.is(Meaning::drill_cycle_off))
        return codes::meaning_of(Group::drill_cycle,
                                 static_cast<unsigned>(std::countr_zero(drilling.possible)));
    for (Meaning single : {Meaning::single_turning, Meaning::single_threading, Meaning::single_facing})
        if (step.is(single)) return single;
    return std::nullopt;
}

/// The first block from `at` on that moves: home, or towards the part.
const Step* next_move(std::span<const Step> steps, std::size_t at) {
    for (; at < steps.size(); ++at)
        if (steps[at].moves() && !is_return(steps[at].motion)) return &steps[at]; // A return runs no cycle
    return nullptr;
}

void sequence(const SequenceContext& context, Report& report) {
    machine::Value tool = context.facts.tool_at_entry;
    constexpr machine::Parts cycles = part(Group::motion) | part(Group::drill_cycle);
    for (std::size_t i = 0; i < context.steps.size(); ++i) {
        const Step& step = context.steps[i];
        bool same_tool = step.after->tool == tool && tool.known(); // Only another offset
        tool = step.after->tool;
        auto cycle = active_cycle(step);
        if (!step.calls_tool || same_tool || !cycle || (step.sets & cycles)) continue;
        bool drilling = codes::group_of(*cycle) == Group::drill_cycle;
        const Step* move = next_move(context.steps, i);
        bool runs = !move || (active_cycle(*move) == cycle && !(move->sets & cycles));
        // A single cycle is over with the motion code of the next move, as if it had never been left on.
        if (!runs && !drilling) continue;
        std::string end = code(context.settings(), drilling ? Meaning::drill_cycle_off : Meaning::rapid);
        std::string what =
            runs
                ? said("the next X or Z word runs the cycle again, with this tool")
                : said(
                      "only the motion code of the next move ends it, and an X or Z without one would drill");
        auto entry = report.at_letter(step.place, 'T');
        entry
            .message(said("{} ({}) is still active when this tool comes: {}. Write {} after the cycle.",
                          code(context.settings(), *cycle), codes::title(*cycle), what, end))
            .origin(part(codes::group_of(*cycle)));
        if (drilling)
            entry.fix([&](const machine::Reader& reader) {
                return Fix{said("Write ") + end + said(" before the tool call"),
                           {insert_block_before(reader, step.place, end)},
                           true,
                           true};
            });
    }
}

} // namespace

extern const Check check{
    .id = "cycle_active_at_tool_call",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Cycle still active at a tool call",
    .documentation = "A modal cycle (drilling, or a single turning, facing or threading cycle) has not been "
                     "cancelled when the "
                     "next tool comes in. Every X or Z word after it runs the cycle again: the new tool "
                     "makes the old tool's "
                     "moves on its way to the part. End a drilling cycle with G80 before the retract; a "
                     "motion code such as "
                     "G00 ends a single cycle.",
    .sequence = sequence,
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
X2. Z.1
M30
)"},
            // The rapid ends a single cycle before anything moves, and G90 here was never more than a word.
            {System::A, R"(
N1 G21 G99 G90 G40
T0101
G97 S750 M03
G00 X52. Z2.
G92 X48.7 Z-20. F2.
X47.4
T0303
G00 X60. Z5.
G01 Z-5. F0.2
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
            {System::A, R"(
(M60 C AXIS ON, M61 C AXIS OFF, M63 LIVE TOOL ON, M65 LIVE TOOL OFF)
G21 G99
N7 T0707
G97 S600 M03
G00 X33. Z3.
G92 X29.3 Z-20. F1.5
X28.2
G28 U0
G28 W0
M05
N8 T0808
M60
G28 H0
G98 S2400 M63
G00 C0 Z-10.
X34.
G01 X20. F100.
G00 X34.
G28 U0
M65
M61
M30
)"},
        },
};

} // namespace turnwright::checks::rules::cycle_active_at_tool_call
