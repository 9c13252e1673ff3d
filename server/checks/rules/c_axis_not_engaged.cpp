// C is moved and nothing has engaged it.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::c_axis_not_engaged {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* engages = code_that(codes, Does::c_on);
        if (!engages) return;
        const Act* last_off = nullptr;
        bool told = false, may_be_on = false;
        for (const ClampEvent& event : events) {
            if (event.kind == Kind::code && event.at.code->does == Does::c_on) may_be_on = true;
            if (event.kind == Kind::code && event.at.code->does == Does::c_off) {
                may_be_on = event.at.act->deleted && may_be_on;
                if (last_off != event.at.act) told = false;
                last_off = event.at.act;
            }
            if (event.kind != Kind::positions_c || may_be_on || told) continue;
            told = true;
            const Held& c = event.at.of(HeldBy::c_axis);
            auto entry = report.at(event.at.tool->place(*event.at.act));
            entry.message(
                said("C is moved here and {} {}: the control alarms, or the part stays at the angle where it "
                     "stopped. Write M{:02} before it, with the spindle standing.",
                     with_words(*engages), c.code ? said("has not come again") : said("does not stand above"),
                     engages->number));
            if (c.code) entry.related(c.tool->place(*c.act), said("released here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "c_axis_not_engaged",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "C is moved and the C axis is not engaged",
    .documentation = "C stands in a block while the spindle is no axis: the code that engages C is not given "
                     "before it, or the one that releases it was. The control alarms, or the spindle stays "
                     "where it stands and holes and flats come at any angle. What the codes mean is read "
                     "from `m_codes` in the shop file (`does = \"C axis on\"`, `\"C axis off\"`), else from "
                     "notes (M51 C ON, M50 C OFF); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98
T0505
G97 S1800 M13
G00 X80. Z5. C0.
;^^^^^^^^^^^^^^^ warning: c_axis_not_engaged
G83 X80. C0. Z-12. R-3. F150.
C60.
G80
M15
M50
M30
)"},
            {System::B, R"(
(M51 C ON)
(M50 C OFF)
G20 G90 G94
T0505
M51
G97 S1800
G00 X3. Z.2 C0.
G01 Z-.1 F4.
G00 Z.2
M50
T0606
G00 X3. Z.2 C22.5
;^^^^^^^^^^^^^^^^ warning: c_axis_not_engaged
G01 Z-.1 F4.
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF)
G21 G98
T0505
M51
G28 H0
G00 X80. Z5. C0.
C60.
M50
M30
)"},
            {System::C, R"(
(M51 C AXIS ON)
G71 G90 G95
T0202
G96 S260 M03
G92 S2400
G00 X30. Z1.
G01 Z-10. F.2
G01 X40. C1.
Z-20.
M30
)"},
            {System::A, R"(
(C AXIS IS ENGAGED BY THE CONTROL ITSELF)
G21 G98
T0505
G00 X80. Z5. C0.
C60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_axis_not_engaged
