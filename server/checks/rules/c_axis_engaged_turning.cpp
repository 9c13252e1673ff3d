// The C axis is engaged while the spindle turns.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::c_axis_engaged_turning {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

/// M05, or the code of its own that stops the second spindle.
int stop_of(const MachineCode& engages, const shop::Machine& machine) {
    if (engages.of_second)
        for (const auto& [code, effect] : machine.effects)
            if (code.first == 'M' &&
                std::find(effect.does.begin(), effect.does.end(), Meaning::second_stop) != effect.does.end())
                return code.second;
    return 5;
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        if (!code_that(codes, Does::live_on)) return;
        std::set<const Act*> told;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            if (event.kind != Kind::code || at.code->does != Does::c_on || !at.turning || at.from_loop_end ||
                at.act->states(Group::spindle_direction) || !told.insert(at.act).second)
                continue;
            report_at_code(report, context, at)
                .message(
                    said("{} comes while the spindle turns: the control alarms, or the axis is thrown into a "
                         "turning spindle. Write M{:02} before it.",
                         with_words(*at.code), stop_of(*at.code, context.settings().machine)));
        }
    });
}

} // namespace

extern const Check check{
    .id = "c_axis_engaged_turning",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "C axis engaged while the spindle turns",
    .documentation =
        "The code that engages the C axis comes while M03 or M04 is in force and no M05 has come: the "
        "control alarms, or the pin of the axis meets a turning spindle. Told only where the live tool has "
        "codes of its own, so that M03 is the spindle of the part. What the codes mean is read from "
        "`m_codes` in the shop file (`does = \"C axis on\"`, `\"live tool on\"`), else from notes (M51 C ON, "
        "M13 LIVE ON); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0202
G50 S2400
G96 S260 M03
G00 X50. Z0.
G01 X-1.6 F.2
G00 X100. Z50.
T0505
M51
;^^ warning: c_axis_engaged_turning
G28 H0
G98 G97 S1800 M13
G00 X30. Z5. C0.
G83 X30. C0. Z-12. R-3. F150.
G80
M15
M50
M30
)"},
            {System::B, R"(
(M45 C AXIS ON, M46 C AXIS OFF)
(M63 LIVE TOOL ON, M65 LIVE TOOL OFF)
G20 G90 G95
T0202
G97 S800 M03
G00 X2. Z0.
G01 X-.06 F.008
G00 X5. Z3.
T0505
M45
;^^ warning: c_axis_engaged_turning
G94 G97 S1800 M63
G00 X1. Z.2 C0.
M65
M46
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0202
G50 S2400
G96 S260 M03
G00 X50. Z0.
G01 X-1.6 F.2
M05
T0505
M51
G98 G97 S1800 M13
G00 X30. Z5. C0.
M15
M50
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF)
G21 G90 G94
T0505
G97 S1800 M03
M51
G00 X30. Z5. C0.
M50
M05
M30
)"},
            {System::C, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON)
G71 G90 G95
T0505
M51
G97 S1800 M13
G00 X30. Z5. C0.
M50
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_axis_engaged_turning
