// The second spindle is started for a tool that works on the part in the main one.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::second_spindle_on_first_side {

namespace {

using Does = MachineCode::Does;
using machine::Spindle;

struct Start {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

/// The tool has to do with the second spindle: it may be started before the part is taken over.
bool takes_over(const ToolOfSpan& tool, const std::vector<MachineCode>& codes) {
    for (const Act& act : tool.work->acts) {
        if (slide_word(*tool.work, act)) return true;
        for (const ActWord& word : tool.work->words_of(act))
            if (const MachineCode* code = told_code(word, codes))
                if (code->does == Does::second_open || code->does == Does::second_close ||
                    code->does == Does::joined || code->does == Does::parted)
                    return true;
    }
    return false;
}

bool starts_main(const ToolOfSpan& tool) {
    return std::any_of(tool.work->acts.begin(), tool.work->acts.end(), [](const Act& act) {
        return act.states(Group::spindle_direction) && act.spindle != Spindle::second;
    });
}

void look_at(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes, Report& report) {
    // Before the part is taken over it is in the main one.
    std::size_t end = 0;
    while (end < program.size() && !takes_over(program[end], codes)) ++end;
    if (end == program.size()) return;
    std::size_t by_main = 0;
    std::optional<Start> wrong;
    std::optional<Spindle> spoken = Spindle::main;
    for (std::size_t i = 0; i < end; ++i) {
        const ToolOfSpan& tool = program[i];
        if (tool.work->acts.empty()) continue;
        const bool of_main = starts_main(tool);
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.deleted) return;
            // Its start code is none of the group that M03 is of.
            const bool starts_second =
                act.spindle == Spindle::second && act.turns() && spoken != Spindle::second;
            spoken = act.spindle;
            if (!starts_second || of_main) continue;
            if (wrong) return; // On purpose
            wrong = Start{&tool, &act};
        }
        const bool cuts = std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                                      [](const Act& act) { return act.cuts(); });
        if (of_main && cuts) ++by_main;
        if (wrong && wrong->tool == &tool && !cuts) wrong.reset();
    }
    // The tool of the take-over itself is of the main spindle, too.
    for (std::size_t i = end; i < program.size(); ++i)
        if (starts_main(program[i])) ++by_main;
    if (!wrong || by_main == 0) return;
    report.at_letter(wrong->tool->place(*wrong->act), 'M')
        .message(
            said("This starts the second spindle, and the part is still in the main one: it is taken over "
                 "further down. Nothing starts the main spindle for this tool, which is fed into a part "
                 "that stands or turns at the speed before. Write M03 or M04 here."));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    if (!code_that(codes, Does::second_close)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(program, codes, report); });
}

} // namespace

extern const Check check{
    .id = "second_spindle_on_first_side",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second spindle started for the first side",
    .documentation =
        "Before the part is taken over one tool starts the second spindle, and nothing starts the main one "
        "for it, as the other tools there do: the part stands, or turns at the speed of the tool before. The "
        "start code of one spindle is taken for that of the other. What the codes mean is read from "
        "`m_codes` in the shop file (`does = \"second forward\"`, `\"second clamp\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M203 M204 M205 = SECOND SPINDLE FORWARD, REVERSE, STOP)
(M211 = SECOND CHUCK OPEN, M212 = SECOND CHUCK CLOSED)
G21 G99
T0101
G96 S200 M203
;        ^^^^ warning: second_spindle_on_first_side
G00 X54. Z0
G01 X-1.6 F.2
G28 U0 W0
T0303
G97 S900 M03
G00 X40. Z2.
G01 Z-30. F.2
G28 U0 W0
T0505
M211
G98 G01 B-520. F300.
M212
G00 B0
M30
)"},
            {System::C, R"(
(M33 S2 FORWARD, M35 S2 STOP, M10 S2 JAWS OPEN, M11 S2 JAWS CLOSED)
G70 G90 G95
T0101
G97 S900 M3
G00 X2. Z0
G01 X-.06 F.008
G53 X0 Z0
T0303
G97 S1200 M33
;         ^^^ warning: second_spindle_on_first_side
G00 X1.6 Z.1
G01 Z-1. F.008
G53 X0 Z0
T0505
M10
G94 G01 B-19.88 F15.
M11
G00 B0
M30
)"},
            // It comes up to speed for the take-over.
            {System::B, R"(
(M33 S2 FORWARD, M35 S2 STOP, M10 S2 JAWS OPEN, M11 S2 JAWS CLOSED)
G21 G90 G95
T0101
G97 S900 M3
G00 X54. Z0
G01 X-1.6 F.2
G53 X0 Z0
T0505
G97 S900 M3
M33 S900
M10
G94 G01 B-520. F300.
M11
G00 B0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_spindle_on_first_side
