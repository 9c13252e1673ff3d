// The driven tool is left turning when the turret indexes, where all others are stopped before.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::live_tool_left_on {

namespace {

using Does = MachineCode::Does;

constexpr std::size_t enough = 2; ///< Others that are stopped

struct Left {
    const ToolOfSpan* tool = nullptr; ///< Whose call finds it turning
    const Act* call = nullptr;
    const ToolOfSpan* on_tool = nullptr;
    const Act* on = nullptr;
};

void look_at(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes, Report& report) {
    const MachineCode *starts = nullptr, *stops = code_that(codes, Does::live_off);
    if (!stops) return;
    std::size_t stopped = 0;
    std::vector<Left> left;
    const ToolOfSpan* on_tool = nullptr;
    const Act* on = nullptr;
    bool cut = false;
    int station = -1;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program) return; // It may be stopped there
            const ActWord* called = tool.work->word(act, 'T');
            if (act.calls_tool && called) {
                const bool other = tool.station != station; // Not only another offset
                if (on && cut && other) left.push_back({&tool, &act, on_tool, on});
                if (other) on = nullptr, cut = false;
                station = tool.station;
            }
            cut = cut || (on && (act.cuts() || act.drills() || act.taps()));
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code || act.deleted) continue;
                if (code->does == Does::live_on) {
                    cut = cut && on; // Started again where it was to stop
                    on_tool = &tool, on = &act, starts = code;
                }
                if (code->does == Does::live_off) {
                    if (on && cut) ++stopped;
                    on = nullptr;
                }
                if (code->does == Does::c_off) on = nullptr; // It may stop the tool, too
            }
        }
    if (left.size() != 1 || stopped < enough || !starts) return;
    const Left& odd = left.front();
    report.at_letter(odd.tool->place(*odd.call), 'T')
        .message(said(
            "The driven tool of the sequence before still turns when the turret indexes here: {} has "
            "started it, and {} does not come. The {} others of the program are stopped before. The drive "
            "is torn out of a turning tool, or runs into the next. Write M{:02} before the way home.",
            with_words(*starts), with_words(*stops), stopped, stops->number))
        .related(odd.on_tool->place(*odd.on), said("started here"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(program, codes, report); });
}

} // namespace

extern const Check check{
    .id = "live_tool_left_on",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Driven tool left turning at a tool change",
    .documentation = "A driven tool has cut, and the turret indexes to another one while it turns; two "
                     "others of the program or "
                     "more are stopped before their next tool call. The code that stops it is lost, or is "
                     "the one that starts it. "
                     "What the codes do is read from `m_codes` in the shop file (`does = \"live tool on\"`, "
                     "`\"live tool off\"`) or "
                     "from notes. A program that leaves several of them turning has that habit, and nothing "
                     "is said; nor where "
                     "the C axis was let go or another program called since.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 Z-20. Q5000 F180.
G80
G00 Z100.
M75
T0606
S300 M73
G00 X90. Z5. C0
G84 Z-16. F375.
G80
G00 Z100.
M73
T0707
;^^^^ warning: live_tool_left_on
S900 M73
G00 X90. Z5. C90.
G01 Z-4. F60.
G00 Z100.
M75
M72
M30
)"},
            {System::B, R"(
(M71 C ON, M72 C OFF, M73 DRIVEN TOOL ON, M75 DRIVEN TOOL OFF)
G20 G90 G94 G97
T0505
M71
S2000 M73
G00 X2. Z.2 C0
G83 Z-.6 R.1 Q.1 F8.
G80
G00 Z4.
T0606
;^^^^ warning: live_tool_left_on
S300 M73
G00 X2. Z.2 C0
G01 Z-.1 F6.
G00 Z4.
M75
T0707
S900 M73
G00 X2. Z.2 C90.
G01 Z-.1 F6.
G00 Z4.
M75
M72
M30
)"},
            {System::C, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G71 G90 G94 G97
T0505
M71
S2000 M73
G00 X90. Z5. C0
G01 Z-4. F60.
G00 Z100.
M75
T0606
S300 M73
G00 X90. Z5. C0
G01 Z-4. F60.
G00 Z100.
M75
T0707
S900 M73
G00 X90. Z5. C90.
G01 Z-4. F60.
G00 Z100.
M72
M30
)"},
            // The habit of this one.
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G01 Z-4. F60.
G00 Z100.
T0606
S300 M73
G00 X90. Z5. C0
G01 Z-4. F60.
G00 Z100.
T0707
S900 M73
G00 X90. Z5. C90.
G01 Z-4. F60.
G00 Z100.
M75
M72
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::live_tool_left_on
