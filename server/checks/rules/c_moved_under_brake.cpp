// C is moved while its brake holds it.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::c_moved_under_brake {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* lets_go = code_that(codes, Does::brake_off);
        if (!lets_go) return;
        std::set<const Act*> told; // Once each time it is put on
        const Act* same_angle = nullptr;
        float angle = not_known;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            if (event.kind == Kind::code && at.code->does == Does::brake_on) same_angle = at.act;
            if (event.kind != Kind::positions_c) continue;
            const ActWord* to = at.tool->work->word(*at.act, 'C');
            const bool stays = to && static_cast<float>(to->number) == angle && same_angle;
            angle = to ? static_cast<float>(to->number) : not_known;
            const Held& brake = at.of(HeldBy::c_brake);
            // In the block of a drilling cycle it holds for each hole, and lets go before C turns (common
            // practice, no source).
            const bool by_hole = brake.surely() && (brake.act->drills() || brake.act->taps());
            if (!brake.surely() || by_hole || brake.act == at.act || stays || !told.insert(brake.act).second)
                continue;
            report.at(at.tool->place(*at.act))
                .message(said(
                    "C moves while {} holds it: the drive works against the brake. Write M{:02} before it.",
                    with_words(*brake.code), lets_go->number))
                .related(brake.tool->place(*brake.act), said("put on here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "c_moved_under_brake",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "C is moved while its brake holds",
    .documentation = "The brake of the C axis was put on, and C moves before it is let go: the drive works "
                     "against the brake, the control alarms, or the angle is wrong. What the codes mean is "
                     "read from `m_codes` in the shop file (`does = \"C brake on\"`, `\"C brake off\"`), "
                     "else from notes (M61 C BRAKE ON, M62 C BRAKE OFF); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M61 C BRAKE ON  M62 C BRAKE OFF)
G21 G98
T0505
M51
G00 X60. Z-10. C0.
M61
G01 X40. F60.
G00 X60.
G00 C90.
;^^^^^^^ warning: c_moved_under_brake
M61
G01 X40.
G00 X60.
M62
M50
M30
)"},
            {System::C, R"(
(M61 BRAKE ON  M62 BRAKE OFF)
G71 G90 G94
T0505
G00 X60. Z-10. C0.
M61
G01 X40. F60.
G00 X60.
M62
C90.
M61
G01 X40.
G00 X60.
C180.
;^^^^ warning: c_moved_under_brake
M62
M30
)"},
            {System::A, R"(
(M61 C BRAKE ON  M62 C BRAKE OFF)
G21 G98
T0505
G00 X60. Z-10. C0.
M61
G01 X40. F60.
G00 X60.
M62
G00 C90.
M61
G01 X40.
G00 X60.
M62
M30
)"},
            {System::B, R"(
(M61 C BRAKE ON  M62 C BRAKE OFF)
G21 G90 G94
T0505
G00 X60. Z-10. C30.
M61
G00 X60. C30.
G01 X40. F60.
M62
M30
)"},
            {System::C, R"(
(M61 BRAKE ON)
G71 G90 G94
M61
G00 X60. C30.
M30
)"},
            // The cycle clamps for each hole.
            {System::A, R"(
(M51 C ON  M50 C OFF  M61 C BRAKE ON  M62 C BRAKE OFF)
G21 G98
T0505
M51
G00 X28. Z3. C0.
G83 Z-8. Q3000 F160. M61
C90.
C180.
G80 M62
M50
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_moved_under_brake
