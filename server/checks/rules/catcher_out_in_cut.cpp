// The part catcher has come out and another tool cuts.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::catcher_out_in_cut {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* back = code_that(codes, Does::catcher_back);
        if (!back) return;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            const Held& out = at.of(HeldBy::catcher);
            // The tool that parts off cuts on while it is out.
            if (event.kind != Kind::cuts || !surely_still(at, HeldBy::catcher, codes) || out.tool == at.tool)
                continue;
            ClampAct set = at;
            set.tool = out.tool;
            set.act = out.act;
            set.code = out.code;
            report_at_code(report, context, set)
                .message(said("{} is in force and another tool cuts below: the catcher stands where "
                              "the turret or the jaws meet it. Write M{:02}, here or before the cut.",
                              with_words(*out.code), back->number))
                .related(at.tool->place(*at.act), said("cuts with the catcher out"));
            return;
        }
    });
}

} // namespace

extern const Check check{
    .id = "catcher_out_in_cut",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Another tool cuts while the part catcher is out",
    .documentation =
        "The code that brings the part catcher out comes, and another tool cuts before it has gone back: the "
        "turret or the part meets it. The tool that parts off may cut on while it is out. What the codes "
        "mean "
        "is read from `m_codes` in the shop file (`does = \"catcher out\"`, `\"catcher in\"`), else from "
        "notes "
        "(M44 CATCHER OUT, M45 CATCHER IN); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M44 CATCHER OUT  M45 CATCHER IN)
G21 G99
M44
;^^ warning: catcher_out_in_cut
T0101
G96 S180 M03
G00 X50. Z0.
G01 X-1.6 F.2
G00 X100. Z50.
T0303
G96 S120 M03
G00 X50. Z-40.
G01 X12. F.1
M44
G01 X-.4 F.04
M45
G00 X100.
M30
)"},
            {System::B, R"(
(M38 RACCOGLITORE FUORI)
(M39 RACCOGLITORE DENTRO)
G20 G90 G95
T0101
G96 S500 M03
G00 X2. Z-1.5
G01 X.4 F.004
M38
;^^ warning: catcher_out_in_cut
X-.02 F.002
G00 X4. Z2.
T0202
G96 S500 M03
G00 X2. Z0
G01 X-.06 F.006
M39
M30
)"},
            {System::A, R"(
(M44 CATCHER OUT  M45 CATCHER IN)
G21 G99
M45
T0101
G96 S180 M03
G00 X50. Z0.
G01 X-1.6 F.2
G00 X100. Z50.
T0303
G96 S120 M03
G00 X50. Z-40.
G01 X12. F.1
M44
G01 X-.4 F.04
M45
G00 X100.
M30
)"},
            {System::C, R"(
(M44 CATCHER OUT)
G71 G90 G95
M44
T0101
G97 S800 M03
G00 X50. Z0.
G01 X-1.6 F.2
M30
)"},
            {System::B, R"(
(M44 CATCHER OUT  M45 CATCHER IN)
G21 G90 G95
M44
M70
T0101
G97 S800 M03
G00 X50. Z0.
G01 X-1.6 F.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::catcher_out_in_cut
