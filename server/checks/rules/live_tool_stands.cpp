// A live tool cuts and nothing has started it.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::live_tool_stands {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

bool is_driven(const ToolOfSpan& tool, const Act& act) {
    using Tool = NamedTool::Kind;
    if (act.drills() || act.taps()) return true;
    if (tool.is(Tool::drill) || tool.is(Tool::tap) || tool.is(Tool::ream) || tool.is(Tool::centre))
        return true;
    // A broach or a stamp is given no speed.
    return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                       [](const Act& other) { return other.gives_speed; });
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* starts = code_that(codes, Does::live_on);
        const MachineCode* stops = code_that(codes, Does::live_off);
        if (!starts && !stops) return;
        std::set<const ToolOfSpan*> told;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            const Held &live = at.of(HeldBy::live_tool), &c = at.of(HeldBy::c_axis);
            if (event.kind != Kind::feeds_stopped || !c.surely() || live.may_be() ||
                !is_driven(*at.tool, *at.act))
                continue;
            // The code that starts it may be one that nothing tells.
            if (!starts && !surely_still(at, HeldBy::c_axis, codes)) continue;
            if (!told.insert(at.tool).second) continue;
            // Where its speed stands the code is missing.
            const Act* speed = nullptr;
            for (const Act& act : at.tool->work->acts) {
                if (&act > at.act) break;
                if (act.gives_speed) speed = &act;
            }
            auto entry = speed && !live.code ? report.at_letter(at.tool->place(*speed), 'S')
                                             : report.at(at.tool->place(*at.act));
            if (!starts) {
                entry.message(
                    said("The tool below cuts with C engaged and nothing turns: no code stands above that "
                         "could start it, while {} stops it further down. The tool is pushed into the "
                         "part. Write the code that starts it, with its S, in the approach.",
                         with_words(*stops)));
                continue;
            }
            entry.message(said(
                "{} with C engaged and nothing turns: {} {}. The tool is pushed into the part. "
                "Write M{:02} with its S in the approach.",
                speed && !live.code ? said("The tool below cuts") : said("This cuts"), with_words(*starts),
                live.code ? said("has not come since the last stop") : said("does not stand above"),
                starts->number));
            if (live.code) entry.related(live.tool->place(*live.act), said("stopped here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "live_tool_stands",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Live tool cuts and does not turn",
    .documentation =
        "With the C axis engaged a drill, a tap or another tool that S is given for cuts, and neither the "
        "live tool nor the spindle has been started: the tool is pushed into the part and breaks. What the "
        "codes mean is read from `m_codes` in the shop file (`does = \"live tool on\"`, `\"C axis on\"`), "
        "else from notes (M13 LIVE ON, M51 C ON); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98
M05
T0505
M51
G97 S1800
;   ^^^^^ warning: live_tool_stands
G00 X30. Z5. C0.
G83 X30. C0. Z-12. R-3. F150.
G80
M15
M50
M30
)"},
            // Only the code that stops it is told, and none has come that could start it.
            {System::C, R"(
(M51 C ON  M50 C OFF)
G71 G90 G94
M05
M51
T0505
G97 S1800
;   ^^^^^ warning: live_tool_stands
G00 X90. Z5. C45.
G83 Z-22. R2. F220.
G80
M53 (LIVE TOOL STOP)
M50
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF)
(M63 LIVE TOOL ON  M65 LIVE TOOL OFF)
G20 G90 G94
M05
T0505 (LIVE DRILL .25)
M51
G97 S1800 M63
G00 X1. Z.2 C0.
G01 Z-.5 F4.
G00 Z.2
M65
T0606 (LIVE DRILL .375)
G97 S1200
G00 X1. Z.2 C90.
G01 Z-.5 F4.
;^^^^^^^^^^^ warning: live_tool_stands
G00 Z.2
M50
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98
M05
T0505
M51
G97 S1800 M13
G00 X30. Z5. C0.
G83 X30. C0. Z-12. R-3. F150.
G80
M15
M50
M30
)"},
            {System::C, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G71 G90 G94
M05
T0707 (BROACH 6)
M51
G00 X30. Z5. C0.
G01 Z-20. F800.
Z5.
M50
M30
)"},
            {System::B, R"(
(M13 LIVE ON  M15 LIVE OFF)
G21 G90 G94
T0505
G97 S1800 M03
G00 X0. Z5.
G01 Z-20. F80.
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::live_tool_stands
