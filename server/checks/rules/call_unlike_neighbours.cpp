// One call among equal ones that runs another tool's program: a digit of its number.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"

#include <algorithm>
#include <vector>

namespace turnwright::checks::rules::call_unlike_neighbours {

namespace {

struct Call {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    int number = 0;
};

std::vector<Call> calls_of(std::span<const ToolOfSpan> program) {
    std::vector<Call> calls;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (act.calls_program)
                if (const auto number = number_called(*tool.work, act))
                    calls.push_back({&tool, &act, *number});
    return calls;
}

/// A way home is called between all sorts of things; what cuts is not.
bool cuts(std::span<const ToolOfSpan> tools, int number) {
    return std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& tool) {
        return tool.span->program->number == number &&
               std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                           [](const Act& act) { return act.cuts(); });
    });
}

/// Tools whose sequences call it.
std::size_t callers(const std::vector<Call>& calls, int number) {
    std::vector<const ToolOfSpan*> tools;
    for (const Call& call : calls)
        if (call.number == number && std::find(tools.begin(), tools.end(), call.tool) == tools.end())
            tools.push_back(call.tool);
    return tools.size();
}

void look_at(std::span<const ToolOfSpan> tools, std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<Call> calls = calls_of(program);
    for (std::size_t i = 1; i + 1 < calls.size(); ++i) {
        const Call &before = calls[i - 1], &call = calls[i], &behind = calls[i + 1];
        if (before.tool != call.tool || behind.tool != call.tool) continue;
        if (before.number != behind.number || call.number == before.number) continue;
        const auto of_tool = std::count_if(calls.begin(), calls.end(), [&](const Call& some) {
            return some.tool == call.tool && some.number == call.number;
        });
        if (of_tool != 1 || callers(calls, call.number) != 2 || callers(calls, before.number) != 1) continue;
        if (slip_between(call.number, before.number) == Slip::none) continue;
        if (!cuts(tools, call.number) || !cuts(tools, before.number)) continue;
        const auto other = std::find_if(calls.begin(), calls.end(), [&](const Call& some) {
            return some.number == call.number && some.tool != call.tool;
        });
        report.at_letter(call.tool->place(*call.act), 'P')
            .message(
                said("The calls before and behind this one run O{}, and this one runs O{}, which T{:02} is "
                     "for: with this tool it cuts another shape here, and what O{} is to cut stays. Is P{} "
                     "meant?",
                     before.number, call.number, other->tool->station, before.number, before.number))
            .related(other->tool->place(*other->act), said("the tool that runs it"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(tools, program, report); });
}

} // namespace

extern const Check check{
    .id = "call_unlike_neighbours",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Call of another tool's program among equal ones",
    .documentation =
        "A tool calls one program place by place, and one of its calls in between runs another program, "
        "which "
        "a slip makes of the number and which no tool but one other calls: the groove there gets the shape "
        "of the other tool, or none. A program that the tool calls first or last, that several tools call "
        "or that cuts nothing (a way home) is left alone.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0303
G97 S300 M03
G00 X116. Z-10.
M98 P1451
G00 Z-22.
M98 P1452
;   ^^^^^ warning: call_unlike_neighbours
G00 Z-34.
M98 P1451
G00 X220.
Z120.
T0505
G97 S120 M03
G00 X116. Z-8.
M98 P1452 L3
G00 X220.
Z120.
M30
O1451
G91 G01 X-15. F.1
X15.
G90
M99
O1452
G91 G01 X-23. F.04
X23.
G00 Z-12.
G90
M99
)"},
            {System::A, R"(
G20 G99
T0303
G97 S300 M03
G00 X4. Z-.4
M98 P120
G00 Z-.8
M98 P210
;   ^^^^ warning: call_unlike_neighbours
G00 Z-1.2
M98 P120
G28 U0 W0
T0505
G97 S120 M03
G00 X4. Z-.4
M98 P210
G28 U0 W0
M30
O120
G01 U-.5 F.004
G00 U.5
M99
O210
G01 U-.7 F.002
G00 U.7
M99
)"},
            // Roughed at each place and finished last, and a way home in between.
            {System::C, R"(
G71 G90 G95
T0303
G97 S300 M03
G00 X116. Z-10.
M98 P1451
G00 Z-22.
M98 P1451
G00 Z-10.
M98 P1452
G00 X220.
Z120.
T0505
G97 S120 M03
G00 X116. Z-8.
M98 P1452
M98 P1459
M30
O1451
G91 G01 X-15. F.1
X15.
G90
M99
O1452
G91 G01 X-23. F.04
X23.
G90
M99
O1459
G90 G00 X220.
Z120.
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::call_unlike_neighbours
