// Of the tools that the notes list all but one are called.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <map>
#include <set>

namespace turnwright::checks::rules::listed_tool_never_called {

namespace {

constexpr std::size_t enough = 4; ///< Of a list that are called

struct Listed {
    std::int32_t station = -1;
    NamedTool::Kind kind = NamedTool::Kind::none;
};

/// A list of one program: each station once, in its order.
std::vector<Listed> list_of_program(std::span<const ToolOfSpan> program) {
    std::vector<Listed> list;
    for (const ToolOfSpan& tool : program)
        for (const auto& [station, named] : tool.work->listed) {
            const bool again = std::any_of(list.begin(), list.end(),
                                           [at = station](const Listed& one) { return one.station == at; });
            if (!again) list.push_back({station, named.kind});
        }
    return list;
}

/// Else its last sequences may not be written yet.
bool has_end(std::span<const ToolOfSpan> program) {
    return std::any_of(program.begin(), program.end(), [](const ToolOfSpan& tool) {
        return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                           [](const Act& act) { return act.ends_program || act.returns; });
    });
}

void look_at(std::span<const ToolOfSpan> all, std::span<const ToolOfSpan> program, Report& report) {
    if (!has_end(program)) return;
    std::set<std::int32_t> called;
    for (const ToolOfSpan& tool : all) {
        if (!tool.work->whole) return;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program && !number_called(*tool.work, act)) return;
            const auto number = act.calls_program ? number_called(*tool.work, act) : std::nullopt;
            const bool here = std::any_of(all.begin(), all.end(), [&](const ToolOfSpan& other) {
                return number && other.span->program->number == *number;
            });
            if (act.calls_program && !here) return; // It may call the tool
            if (act.calls_tool && tool.station < 0) return;
        }
        if (tool.station >= 0) called.insert(tool.station);
    }
    const std::vector<Listed> list = list_of_program(program);
    const Listed *missing = nullptr, *before = nullptr;
    std::size_t found = 0;
    for (const Listed& one : list) {
        if (called.contains(one.station)) {
            ++found;
            if (!missing) before = &one;
        } else if (missing) {
            return;
        } else {
            missing = &one;
        }
    }
    const auto is_work = [](NamedTool::Kind kind) {
        return kind != NamedTool::Kind::none && kind != NamedTool::Kind::stop;
    };
    if (!missing || found < enough || !is_work(missing->kind)) return;
    // Every tool of the program stands in the list: it is no list of the turret, of which this part needs
    // some.
    for (const std::int32_t station : called)
        if (std::none_of(list.begin(), list.end(), [&](const Listed& one) { return one.station == station; }))
            return;
    const ToolOfSpan* behind = nullptr;
    for (const ToolOfSpan& tool : program)
        if (before && tool.station == before->station) behind = &tool;
    const ToolOfSpan* next =
        behind && behind + 1 < program.data() + program.size() ? behind + 1 : &program.back();
    const auto call = std::find_if(next->work->acts.begin(), next->work->acts.end(),
                                   [](const Act& act) { return act.calls_tool; });
    if (call == next->work->acts.end()) return;
    report.at_letter(next->place(*call), 'T')
        .message(said(
            "The notes list T{:02} ({}), and no block calls it; the {} other tools of the list are called. "
            "What it is to do stays undone. Is its sequence lost?",
            missing->station, kind_title(missing->kind), found));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(tools, program, report); });
}

} // namespace

extern const Check check{
    .id = "listed_tool_never_called",
    .family = Family::tools,
    .severity = Severity::information,
    .title = "A listed tool is never called",
    .documentation = "The notes list the tools of the program, every tool that is called stands there, and "
                     "of four or more all but "
                     "one are called: a sequence is lost, or two tools share a number. Nothing is said of a "
                     "list that knows more "
                     "such tools, as of a turret that serves several parts, nor of bar stops.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(T1 ROUGH, T2 CENTRE DRILL, T3 DRILL 6.8, T4 TAP M8, T5 PART OFF)
G21 G99
T0101
G97 S900 M03
G00 X30. Z2.
G01 Z-20. F.2
T0202
G00 X0 Z2.
G01 Z-3. F.1
T0303
G00 X0 Z2.
G01 Z-20. F.1
T0505
;^^^^ information: listed_tool_never_called
G00 X32. Z-25.
G01 X0 F.05
M30
)"},
            {System::C, R"(
(T1 ROUGH, T3 FINISH, T5 GROOVE .125, T7 THREAD, T9 CUT-OFF)
G70 G90 G95
T0101
G97 S900 M03
G00 X1.5 Z.1
G01 Z-1. F.008
T0303
G00 X1.4 Z.1
G01 Z-1. F.004
T0505
G00 X1.6 Z-.8
G01 X1. F.003
T0909
;^^^^ information: listed_tool_never_called
G00 X1.6 Z-1.2
G01 X0 F.002
M30
)"},
            // A list of the turret: two are for other parts.
            {System::B, R"(
(T1 ROUGH, T2 CENTRE DRILL, T3 DRILL 6.8, T4 TAP M8, T5 PART OFF, T6 FINISH)
G21 G90 G95
T0101
G97 S900 M03
G00 X30. Z2.
G01 Z-20. F.2
T0202
G00 X0 Z2.
G01 Z-3. F.1
T0303
G00 X0 Z2.
G01 Z-20. F.1
T0505
G00 X32. Z-25.
G01 X0 F.05
M30
)"},
            {System::A, R"(
(T1 ROUGH, T2 CENTRE DRILL, T3 DRILL 6.8, T4 TAP M8, T5 PART OFF)
G21 G99
T0101
G97 S900 M03
G00 X30. Z2.
G01 Z-20. F.2
T0202
G00 X0 Z2.
G01 Z-3. F.1
T0303
G00 X0 Z2.
G01 Z-20. F.1
T0404
G00 X0 Z5.
G84 Z-15. F1.25
T0505
G00 X32. Z-25.
G01 X0 F.05
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::listed_tool_never_called
