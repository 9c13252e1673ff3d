// A tool that comes to the part with the spindle turning and goes home again without a cut.
//
// That nobody calls a tool for nothing: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::tool_cuts_nothing {

namespace {

/// Codes of the builder from here on may clamp, measure or move what is not followed.
constexpr double first_code_of_builder = 10;

bool is_common(double m_code) {
    return m_code < first_code_of_builder || m_code == 13 || m_code == 14 || m_code == 30;
}

/// It may do more than move at rapid.
bool may_work(const Acts& work, const Act& act) {
    if (act.calls_program || act.in_contour || act.deleted || act.returns) return true;
    const bool rapids = act.motion == MotionKind::none || act.motion == MotionKind::rapid ||
                        machine::is_return(act.motion) || act.motion == MotionKind::from_reference;
    if (!rapids || act.spindle != machine::Spindle::main || act.turns_part) return true;
    const auto words = work.words_of(act);
    return std::any_of(words.begin(), words.end(), [](const ActWord& word) {
        return std::string_view("BCHYV").find(word.letter) != std::string_view::npos ||
               (word.letter == 'M' && !is_common(word.number));
    });
}

void look_at(const ToolOfSpan& tool, Report& report) {
    if (!tool.span->sequence || tool.station <= 0 || tool.is(NamedTool::Kind::stop)) return;
    const Act *call = nullptr, *came = nullptr;
    int calls = 0;
    for (const Act& act : tool.work->acts) {
        // In front of the call the tool before may still be in.
        if (act.calls_tool && (++calls, !call)) call = &act;
        if (may_work(*tool.work, act)) return;
        if (call && act.motion == MotionKind::rapid && act.moves() && act.turns() && act.speed > 0 &&
            known(act.to_z))
            if (!came || !known(came->to_z) || act.to_z < came->to_z) came = &act;
    }
    if (!came || calls > 2) return;
    report.at_letter(tool.place(*came), came->moves_z ? 'Z' : 'X')
        .severity(Severity::warning)
        .message(said("T{:02} comes to Z{} at rapid with the spindle turning, and goes away without a cut: "
                      "what it is to make is not made. Is the block with the cut, or with the call of its "
                      "cycle, lost?",
                      tool.station, written(came->to_z)));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    // A program that cuts nowhere is a trial, or not written yet.
    const bool cuts = std::any_of(tools.begin(), tools.end(), [](const ToolOfSpan& tool) {
        const auto& acts = tool.work->acts;
        return std::any_of(acts.begin(), acts.end(),
                           [](const Act& act) { return act.cuts() || act.threads() || act.drills(); });
    });
    if (!cuts) return;
    for (const ToolOfSpan& tool : tools) look_at(tool, report);
}

} // namespace

extern const Check check{
    .id = "tool_cuts_nothing",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Tool that comes to the part and cuts nothing",
    .documentation =
        "The tool is called, the spindle turns, a rapid brings it to the part, and it goes away again: no "
        "cut, "
        "no cycle, no call stands in its sequence. The block with the cut or with the call of the cycle is "
        "lost, and what the tool is to make is missing when the next one comes: a boring bar meets a hole "
        "that "
        "is not drilled, a thread is cut on a diameter that is not finished. Bar stops, pullers, tools with "
        "calls or with codes of the machine's builder are left out.",
    .file = file,
    .examples =
        {
            // The finishing call is lost.
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-25. F0.12
N20 X52.
G28 U0 W0
M01
T0303
G96 S220 M03
G00 X52. Z1.
;       ^^^ warning: tool_cuts_nothing
G28 U0 W0
M30
)"},
            // The hole is lost, its G80 stayed.
            {System::B, R"(
G20 G90 G95
T0505
G97 S1400 M03
G00 X0 Z.1
;      ^^^ warning: tool_cuts_nothing
G80
G00 Z4.
M01
T0101
G97 S900 M03
G00 X2. Z.1
G01 Z-1. F.01
G00 X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S1400 M03
G00 X0 Z5.
G01 Z-20. F.1
G00 Z5.
G28 X0 Z0
M01
T0404
M05
G00 X0 Z5.
Z1.
M30
)"},
            {System::A, R"(
(T9 BAR STOP)
G21 G99
T0909
G97 S500 M03
G00 X0 Z1.
G00 Z50.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0202
G97 S500 M03
G00 X20. Z2.
M98 P9100
G28 X0 Z0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tool_cuts_nothing
