// C is moved and nothing has engaged it.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "checks/second_sides.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::c_axis_not_engaged {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

/// The first code that engages C of the spindle that has the part; nullptr: none is told.
const MachineCode* engages_of(const std::vector<MachineCode>& codes, bool second) {
    for (const MachineCode& code : codes)
        if (code.does == Does::c_on && code.of_second == second) return &code;
    return nullptr;
}

/// C of the other spindle than the one that has the part, where both have a code.
void look_at_spindles(const std::vector<ClampEvent>& events, const std::vector<MachineCode>& codes,
                      const SecondSpindle& second, Report& report) {
    if (second.sides.empty() || !engages_of(codes, false) || !engages_of(codes, true)) return;
    const auto surely_in_main = [&](BlockPlace place) {
        return !second.holds(place) && place < second.sides.front().first;
    };
    const ClampEvent* engaged = nullptr;
    for (const ClampEvent& event : events) {
        if (event.kind == Kind::code && event.at.code->does == Does::c_on) engaged = &event;
        if (event.kind == Kind::code && event.at.code->does == Does::c_off) engaged = nullptr;
        if (event.kind != Kind::positions_c || !engaged || engaged->at.act->deleted) continue;
        const BlockPlace place = engaged->at.tool->place(*engaged->at.act);
        const bool of_second = engaged->at.code->of_second, in_second = second.holds(place);
        if (of_second == in_second || (of_second && !surely_in_main(place))) continue;
        const MachineCode* meant = engages_of(codes, in_second);
        const std::string text =
            in_second ? said("{} engages C of the main spindle, and the second one has the part: that turns "
                             "free, and holes and flats come at any angle. Write M{:02}.",
                             with_words(*engaged->at.code), meant->number)
                      : said("{} engages C of the second spindle, and the main one has the part: that turns "
                             "free, and holes and flats come at any angle. Write M{:02}.",
                             with_words(*engaged->at.code), meant->number);
        report.at(place).message(text).related(event.at.tool->place(*event.at.act), said("C is moved here"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        if (!code_that(codes, Does::c_on)) return;
        const SecondSpindle& second = context.second_spindle();
        look_at_spindles(events, codes, second, report);
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
            const MachineCode* engages = engages_of(codes, second.holds(event.at.tool->place(*event.at.act)));
            if (!engages) engages = code_that(codes, Does::c_on);
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
    .documentation =
        "C stands in a block while the spindle is no axis: the code that engages C is not given "
        "before it, or the one that releases it was. The control alarms, or the spindle stays "
        "where it stands and holes and flats come at any angle. Where each of two spindles has a code of its "
        "own, that of the other one than has the part is told, too. What the codes mean is read "
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
            // Two spindles: C of the one that has the part.
            {System::A, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M35 SUB SPINDLE STOP, M10 CHUCK OPEN)
(M41 C AXIS ON, M43 SUB C AXIS ON, M42 C AXIS OFF, M53 LIVE TOOL ON, M55 LIVE TOOL OFF)
G21 G99 G54
T0101
G97 S1500 M03
G00 X64. Z2.
G01 X50. F.2
G01 Z-30. F.2
G28 U0 W0
M05
M22
G00 B-300.
M21
M10
G00 B0
N5
G55
T1010
M41
;^^ warning: c_axis_not_engaged
G97 S2000 M53
G00 X28. Z3. C0
G98 G83 Z-8. Q3000 F160.
C90.
G80
M55
M42
M30
)"},
            {System::C, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M35 SUB SPINDLE STOP, M10 CHUCK OPEN)
(M41 C AXIS ON, M43 SUB C AXIS ON, M42 C AXIS OFF, M53 LIVE TOOL ON, M55 LIVE TOOL OFF)
G71 G90 G95 G54
T0101
G97 S1500 M03
G00 X64. Z2.
G01 X50. F.2
G01 Z-30. F.2
G00 X200. Z100.
M05
M22
G00 B-300.
M21
M10
G00 B0
N5
G55
T1010
M43
G97 S2000 M53
G00 X28. Z3. C0
G94 G83 Z-8. R3. Q3000 F160.
C90.
G80
M55
M42
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_axis_not_engaged
