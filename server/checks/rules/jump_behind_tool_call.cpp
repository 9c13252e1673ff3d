// A jump from another sequence that lands behind a tool call: what is cut there is cut with the tool that
// happens to be in.
//
// Common practice, no source.
#include "checks/acts.h"
#include "checks/loops.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::jump_behind_tool_call {

namespace {

/// "IF[...]GOTO45", "GOTO45"; nullopt: worked out, or no jump.
std::optional<double> label_in(const std::string& statement) {
    const std::size_t at = statement.find("GOTO");
    return at == std::string::npos ? std::nullopt : plain_number(std::string_view(statement).substr(at + 4));
}

std::size_t span_of(std::span<const Span> spans, BlockPlace place) {
    std::size_t s = 0;
    while (s + 1 < spans.size() && spans[s].last < place) ++s;
    return s;
}

/// What stands behind the label in its sequence, and in front of it.
struct Landing {
    bool called_above = false, called_below = false, cuts_below = false;
    bool other_above = false; ///< A cut, or another jump's label: it is no mere beginning that is skipped
};
Landing landing_of(const ToolOfSpan& tool, BlockPlace label) {
    Landing landing;
    for (const Act& act : tool.work->acts) {
        const bool above = tool.place(act) < label;
        if (act.calls_tool) (above ? landing.called_above : landing.called_below) = true;
        const bool cuts = act.cuts() || act.threads() || act.drills() || act.taps();
        if (above && cuts) landing.other_above = true;
        if (!above && cuts && !landing.called_below) landing.cuts_below = true;
        if (!above && act.calls_tool && !landing.cuts_below) break;
    }
    return landing;
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const auto& spans = context.spans();
    const machine::Reader& reader = context.reader();
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            if (mark.kind != machine::FlowKind::maybe_jump && mark.kind != machine::FlowKind::jump) continue;
            const BlockPlace from{run, mark.block};
            const auto label = label_in(statement_of(reader, from));
            if (!label) continue;
            const std::size_t own = span_of(spans, from);
            std::optional<BlockPlace> to;
            for (const BlockPlace place : context.labels(static_cast<std::int32_t>(*label)))
                if (spans[span_of(spans, place)].program == spans[own].program) {
                    if (to) return;
                    to = place;
                }
            if (!to) continue;
            const std::size_t target = span_of(spans, *to);
            const auto of_span = [&](std::size_t span) {
                return std::find_if(tools.begin(), tools.end(),
                                    [&](const ToolOfSpan& tool) { return tool.span == &spans[span]; });
            };
            const auto there = of_span(target), here = of_span(own);
            if (target == own || there == tools.end() || here == tools.end() || !spans[target].sequence)
                continue;
            if (there->station <= 0 || here->station == there->station) continue;
            const Landing landing = landing_of(*there, *to);
            if (!landing.called_above || landing.called_below || !landing.cuts_below || landing.other_above)
                continue;
            report.at(from)
                .message(said(
                    "This jumps to N{}, behind the call of T{:02} there: nothing calls the tool, and the "
                    "blocks behind cut with the one that happens to be in, and with its offset. Jump to the "
                    "block with the call or in front of it.",
                    spoken(*label), there->station))
                .related(*to, said("lands here"));
        }
}

} // namespace

extern const Check check{
    .id = "jump_behind_tool_call",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Jump that leaves a tool call out",
    .documentation = "A jump from the head or from another tool's sequence lands behind the tool call of a "
                     "sequence, mostly by a "
                     "restart switch in the head whose label is the next one. What stands behind is cut with "
                     "the tool that happens "
                     "to be in. Jumps within a sequence, and to one of the same tool, are left alone, and so "
                     "are those that land "
                     "behind a cut.",
    .file = file,
    .examples =
        {
            {System::C, R"(
G71 G90 G95
IF[#530 EQ 5]GOTO50
;^^^^^^^^^^^^^^^^^^ warning: jump_behind_tool_call
IF[#530 EQ 7]GOTO130
N15 T0303
G97 S280 M03
G00 X0 Z5.
G01 Z-80. F0.25
G00 Z5.
X200. Z200.
N45 T0505
N50 G97 S900 M03
G00 X31. Z2.
G01 Z-70. F0.2
G00 X30.
Z2.
X200. Z200.
N130 T0707
G97 S900 M03
G00 X31. Z2.
G01 Z-70. F0.2
G00 X30.
Z2.
M30
)"},
            {System::A, R"(
G20 G99
/GOTO 210
;^^^^^^^^ warning: jump_behind_tool_call
T0101
G97 S900 M03
G00 X1.2 Z.1
G01 Z-1. F.01
G00 X6. Z4.
N200 T0303
G97 S1400 M03
N210 G00 X1. Z.1
G01 Z-1. F.005
G00 X6. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
IF[#530 EQ 5]GOTO45
N15 T0303
G97 S280 M03
G00 X0 Z5.
G01 Z-80. F0.25
G00 Z5.
X200. Z200.
N45 T0505
N50 G97 S900 M03
G00 X31. Z2.
G01 Z-70. F0.2
G00 X30.
Z2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S900 M03
G00 X31. Z2.
/GOTO60
X33.
G01 Z-20. F0.2
G00 X40.
Z2.
N60 G00 X30.
G01 Z-20. F0.1
G00 X80. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X31. Z2.
G01 Z-20. F0.2
G00 X100. Z50.
IF[#1 EQ 1]GOTO90
T0505
G97 S900 M03
G00 X31. Z2.
G01 Z-20. F0.2
N90 G00 X100. Z50.
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::jump_behind_tool_call
