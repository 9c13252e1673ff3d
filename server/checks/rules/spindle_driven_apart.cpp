// The second spindle is started by itself while both are still joined.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::spindle_driven_apart {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* parts = code_that(codes, Does::parted);
        if (!parts) return;
        std::set<const Act*> told; // Once each time they are joined
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            const Held& joined = at.of(HeldBy::joined_spindles);
            if (event.kind != Kind::starts_spindle || !joined.surely() ||
                joined.act->spindle != machine::Spindle::main || // Which one leads
                at.act->spindle != machine::Spindle::second || !told.insert(joined.act).second)
                continue;
            report_at_code(report, context.reader(), at.tool->place(*at.act),
                           Act::only(at.act->direction, Meaning::spindle_reverse) ? Meaning::spindle_reverse
                                                                                  : Meaning::spindle_forward)
                .message(said("The second spindle is started by itself, and {} still joins it to the "
                              "main one: the control alarms, or the main spindle turns along. Write "
                              "M{:02} when the part has come away.",
                              with_words(*joined.code), parts->number))
                .related(joined.tool->place(*joined.act), said("joined here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "spindle_driven_apart",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second spindle started while both are joined",
    .documentation = "Both spindles were joined to turn as one while the main one led, and the second one is "
                     "started by itself before they are parted: the control alarms, or the main spindle with "
                     "what is in its chuck turns along. What the codes mean is read from `m_codes` in the "
                     "shop file (`does = \"spindles together\"`, `\"spindles apart\"`), else from notes (M34 "
                     "SYNC ON, M35 SYNC OFF); the second spindle is the one of M03 P2, or of a code for it.",
    .file = file,
    .examples =
        {
            {System::C, R"(
(M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G71 G90 G95
T0101
M22
G97 S1000 M03 P1
M34
G94 G01 B-575. F300
M23
G95
T0909
G00 X36. Z-63.3
G01 X-0.8 F0.04
G00 X36.
G00 B0.
M05 P1
T0707
G92 S3000
G96 S220 M03 P2
;        ^^^ warning: spindle_driven_apart
G00 Z-2.
M30
)"},
            {System::A, R"(
(M34 SYNC ON  M35 SYNC OFF)
G21 G99
T0101
G97 S1000 M03
M34
T0909
G01 X-0.8 F0.04
G00 X36.
T0707
G50 S3000
G96 S220 M03 P2
;        ^^^ warning: spindle_driven_apart
G00 Z-2.
M35
M30
)"},
            {System::C, R"(
(M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G71 G90 G95
T0101
M22
G97 S1000 M03 P1
M34
G94 G01 B-575. F300
M23
G95
T0909
G00 X36. Z-63.3
G01 X-0.8 F0.04
G00 X36.
G00 B0.
M35
M05 P1
T0707
G92 S3000
G96 S220 M03 P2
G00 Z-2.
M30
)"},
            {System::A, R"(
(M34 SYNC ON  M35 SYNC OFF)
G21 G99
T0101
M34
G97 S1000 M03 P1
T0909
G01 X-0.8 F0.04
G00 X36.
M35
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S1000 M03
G00 X50. Z2.
G01 Z-10. F.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_driven_apart
