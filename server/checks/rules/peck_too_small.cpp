// Pecks of a few hundredths: a digit or the unit of Q, P, K is wrong.
//
// The bounds: common practice, no source.
#include "checks/pecks.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::peck_too_small {

namespace {

/// From one groove or hole of the cycle to the next: hardly a hundredth of the way, and thinner than any
/// edge.
void look_at_shift(const ToolOfSpan& tool, const Act& act, double per_unit, Report& report) {
    const auto shift = peck_of(*tool.work, act, per_unit, true);
    if (!shift || shift->whole_mm < 0.5 || shift->mm >= 0.1 || shift->whole_mm / shift->mm < 50) return;
    report.at_letter(tool.place(act), shift->letter)
        .message(said("{} steps of {} {} from one plunge to the next: the cycle plunges for hours. "
                      "Write the step with the digits that are missing.",
                      std::lround(shift->whole_mm / shift->mm), spoken(shift->mm / per_unit),
                      per_unit > 1 ? "in" : "mm"));
}

/// The only peck of a program that has a point, where the others count in least increments.
void look_at_point(const FileContext& context, std::span<const ToolOfSpan> tools,
                   std::optional<double> of_file, Report& report) {
    const ToolOfSpan* in = nullptr;
    const Act* odd = nullptr;
    const ActWord *word = nullptr, *other = nullptr;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            const bool pecks = act.motion == MotionKind::drill_cycle || act.motion == MotionKind::peck_cycle;
            const ActWord* q = pecks && !act.taps() ? tool.work->word(act, 'Q') : nullptr;
            if (!q || q->number == 0) continue;
            if (!q->has_point) {
                other = q;
                continue;
            }
            if (odd) return;
            in = &tool;
            odd = &act;
            word = q;
        }
    const auto per_unit = odd && other ? mm_of(*odd, of_file) : std::nullopt;
    if (!per_unit) return;
    const shop::Machine& machine = context.settings().machine;
    const double step = *per_unit > 1 ? machine.least_increment_inch : machine.least_increment_mm;
    report.at_letter(in->place(*odd), 'Q')
        .message(
            said("Q{} has a point, and the other pecks of this program have none (Q{:.0f}): where Q counts "
                 "in {} {} the control alarms, or pecks by next to nothing. Write Q{:.0f}.",
                 written(word->number), other->number / step, written(step), *per_unit > 1 ? "in" : "mm",
                 word->number / step));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at_point(context, program, of_file, report);
    });
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::drill_cycle && act.motion != MotionKind::peck_cycle) continue;
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit) continue;
            look_at_shift(tool, act, *per_unit, report);
            const auto peck = peck_of(*tool.work, act, *per_unit, false);
            if (!peck || peck->whole_mm < 1) continue;
            const NamedTool* drill =
                tool.that([&](const NamedTool& some) { return some.diameter_mm(*per_unit).has_value(); });
            const double diameter = drill ? *drill->diameter_mm(*per_unit) : 0,
                         count = peck->whole_mm / peck->mm;
            // Deep holes of a millimetre are pecked by tenths; a hundred pecks of less than that nobody
            // means.
            const bool many = count > 150 || (count > 30 && peck->mm < 0.06);
            const bool thin = act.drills() && diameter >= 3 && peck->mm < diameter / 15 && count > 40;
            if (!many && !thin) continue;
            const shop::Machine& machine = context.settings().machine;
            const std::string meant = peck->letter != 'I' && peck->letter != 'K'
                                          ? said(" {} counts in {}.", peck->letter,
                                                 *per_unit > 1 ? written(machine.least_increment_inch) + " in"
                                                               : written(machine.least_increment_mm) + " mm")
                                          : std::string();
            report.at_letter(tool.place(act), peck->letter)
                .message(said("{} pecks of {} {}{}: minutes of hammering, and the edge rubs itself blunt.{} "
                              "Write the peck with the digits that are missing.",
                              std::lround(count), spoken(peck->mm / *per_unit), *per_unit > 1 ? "in" : "mm",
                              diameter > 0 ? said(" of a drill of {} mm", spoken(diameter)) : "", meant));
        }
}

} // namespace

extern const Check check{
    .id = "peck_too_small",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Peck of a few hundredths",
    .documentation =
        "The peck of a drilling or grooving cycle is so small that hundreds of them share the "
        "depth: more than "
        "150, or more than 30 thinner than 0.06 mm, or less than a fifteenth of the drill's "
        "diameter where a note "
        "tells it. The word counts in least increments and a digit "
        "was lost, or it "
        "was written in whole units. The step from one plunge to the next is held to the same: "
        "50 steps or more thinner than 0.1 mm. One Q with a point among others that have none is told, too.",
    .file = file,
    .examples =
        {
            // The others have no point.
            {System::A, R"(
G21 G99
T0303
G97 S1200 M03
G00 X0 Z5.
G83 Z-40. Q6. F.15
;         ^^^ warning: peck_too_small
G80
T0505
G00 X0 Z5.
G83 Z-30. Q4000 F.12
G80
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S1200 M03
G00 X0 Z.2
G83 Z-1.4 Q.25 F.006
G80
T0505
G00 X0 Z.2
G83 Z-1.2 Q.16 F.005
G80
M30
)"},
            {System::A, R"(
G21 G99
N145 (DRILL 24 THROUGH)
T0505
G97 S300 M03
G00 X0 Z5.
G74 R1.
G74 Z-60. Q80 F.2
;         ^^^ warning: peck_too_small
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G97 S2000 M03
G00 X0 Z2.
G83 Z-16. R2. Q5 F.1
;             ^^ warning: peck_too_small
G80
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S1200 M03
G00 X30. Z-20.
G77 R0.5
G77 X24. Z-50. P2 Q10000 F0.1
;              ^^ warning: peck_too_small
M30
)"},
            {System::A, R"(
G20 G99
N1 (DRILL 1/2 X 1.75 TO POINT)
T0202
G97 S500 M03
G00 X0 Z.2
G74 Z-1.75 K.25 F.006
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 (DRILL 1.0)
T0404
G97 S4000 M03
G00 X0 Z2.
G83 Z-12. R2. Q200 F.02
G80
M30
)"},
            {System::C, R"(
G70 G90 G95
N1 (DRILL .500)
T0202
G97 S2400 M03
G00 X0 Z.2
G76 R.02
G76 Z-1.7 Q2500 F.007
M30
)"},
            {System::A, R"(
G21 G99
T0404
G96 S110 M03
G00 X62. Z-12.
G75 R0.5
G75 X50. Z-20. P1500 Q2 F0.06
;                    ^^ warning: peck_too_small
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S800 M03
G00 X1.48 Z-.75
G75 R.02
G75 X1.41 Z-1.05 P400 Q1000 F.003
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::peck_too_small
