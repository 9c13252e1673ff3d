// The spindle is started for turning while it is still an axis.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::c_axis_left_on {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

/// Whether M03 and M04 speak to the spindle of the part here: a live tool has codes of its own, or none is
/// turned by surface speed.
bool is_part_spindle(const ClampAct& at, const std::vector<MachineCode>& codes) {
    if (at.tool->work->word(*at.act, 'P')) return false; // Says which spindle
    return code_that(codes, Does::live_on) || at.act->surface_speed();
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* off = code_that(codes, Does::c_off);
        std::set<const Act*> told; // Once each time it is engaged
        for (const ClampEvent& event : events) {
            const Held& c = event.at.of(HeldBy::c_axis);
            if (event.kind != Kind::starts_spindle || !c.surely() || !is_part_spindle(event.at, codes) ||
                !told.insert(c.act).second)
                continue;
            const Meaning way = Act::only(event.at.act->direction, Meaning::spindle_reverse)
                                    ? Meaning::spindle_reverse
                                    : Meaning::spindle_forward;
            auto entry = report_at_code(report, context.reader(), event.at.tool->place(*event.at.act), way);
            entry
                .message(
                    said("The spindle is started while {} still holds it as an axis: the control alarms, "
                         "or the tool is pushed into a part that stands. {}",
                         with_words(*c.code),
                         off ? said("Write M{:02} behind the last C.", off->number)
                             : std::string(said("Release the C axis behind the last C."))))
                .related(c.tool->place(*c.act), said("engaged here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "c_axis_left_on",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Spindle started with the C axis engaged",
    .documentation =
        "The code that engages the C axis was given and none that releases it, and M03 or M04 starts the "
        "spindle for turning: the control alarms, or the spindle does not turn and the tool is pushed into a "
        "standing part. What the codes mean is read from `m_codes` in the shop file (`does = \"C axis on\"`, "
        "`\"C axis off\"`), else from notes (M51 C ON, M50 C OFF); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0505
M51
G28 H0
G98 G97 S1800 M13
G00 X80. Z5. C0.
G83 X80. C0. Z-12. R-3. F150.
C60.
G80
G00 X250. Z150.
M15
T0202
G50 S2400
G99 G96 S260 M03
;            ^^^ warning: c_axis_left_on
G00 X116. Z3.
G01 Z0. F0.15
X-1.6
G28 U0 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
M45
G94 G97 S1800
G00 X80. Z5. C0.
G01 Z-2. F80.
G00 Z5.
T0202
G92 S2400
G95 G96 S260 M04
;            ^^^ warning: c_axis_left_on
G00 X116. Z0.
G01 X-1.6 F.2
M30
)",
             shop_with_c},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0505
M51
G98 G97 S1800 M13
G00 X80. Z5. C0.
G83 X80. C0. Z-12. R-3. F150.
G80
M15
M50
T0202
G50 S2400
G99 G96 S260 M03
G00 X116. Z3.
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF)
G21 G90 G94
T0505
M51
G97 S1800 M03
G00 X80. Z5. C0.
G01 Z-2. F80.
G00 Z5.
M05
M50
M30
)"},
            {System::C, R"(
(M20 C ON TO FLAT, SEE SHEET)
G71 G90 G95
T0202
G92 S2400
G96 S260 M03
G00 X116. Z0.
G01 X-1.6 F.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_axis_left_on
