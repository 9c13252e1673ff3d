// A drill that goes many diameters deep in one feed.
//
// How deep a drill goes without drawing back: common practice, no source.
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::deep_hole_without_pecks {

namespace {

using Kind = NamedTool::Kind;

constexpr double most_diameters = 6;

/// How far a feed goes into the part; 0: it does not, or not in one piece.
double depth_of(const Act& act) {
    if (act.motion != MotionKind::feed || act.from_x != 0 || act.to_x != 0 || !act.moves_z) return 0;
    if (!known(act.from_z) || !known(act.to_z) || act.to_z >= 0) return 0;
    return std::min(act.from_z, 0.0F) - act.to_z;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for (const ToolOfSpan& tool : tools) {
        if (!tool.is(Kind::drill)) continue;
        for (const Act& act : tool.work->acts) {
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit) continue;
            const NamedTool* drill = tool.that([&](const NamedTool& some) {
                return some.kind == Kind::drill && some.diameter_mm(*per_unit).has_value();
            });
            const double depth = depth_of(act);
            if (!drill || depth <= 0) continue;
            const double diameters = depth * *per_unit / *drill->diameter_mm(*per_unit);
            if (diameters <= most_diameters) continue;
            // Chips come out by pressure, or there is a hole already.
            if (drill->carbide || drill->through ||
                notes_about(context, tools, tool)
                    .speak_of({"GUN", "DEEP", "THROUGH", "TROUGH", "INTERNAL", "HIGH", "PRESSURE", "EJECT",
                               "REDRILL", "CHASE", "CARBIDE", "VHM", "HM", "SOLID", "PARABOLIC"}))
                break;
            report.at_letter(tool.place(act), 'Z')
                .message(said("The drill goes {} deep in one feed, {:.0f} times its diameter: the "
                              "chips jam in the flutes "
                              "and it breaks, if it is a twist drill with no coolant through it. Draw "
                              "it back on the way "
                              "(G83 with Q, or Z in steps).",
                              spoken(std::round(depth * 1e4) / 1e4), diameters));
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "deep_hole_without_pecks",
    .family = Family::cycles,
    .severity = Severity::information,
    .title = "Deep hole in one feed",
    .documentation = "A drill whose note tells its diameter goes more than six diameters deep in one G01. A "
                     "twist drill holds "
                     "the chips of three or four diameters; then they jam, the drill turns with them and "
                     "breaks. Draw it back "
                     "on the way: G83 with Q, or steps in Z. Drills of carbide, with coolant through them or "
                     "for deep holes, by "
                     "their notes, stay quiet.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202 (DRILL D6)
G97 S2000 M03
G00 X0 Z3.
G01 Z-60. F0.12
;   ^^^^ information: deep_hole_without_pecks
G00 Z3.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202 (1/4 DRILL)
G97 S1800 M03
G00 X0 Z.1
G01 Z-2. F.005
;   ^^^^ information: deep_hole_without_pecks
G00 Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202 (DRILL 6)
G97 S2000 M03
G00 X0 Z3.
G01 Z-18. F0.12
G00 Z3.
G00 Z-17.
G01 Z-30. F0.12
G00 Z3.
M30
)"},
            {System::A, R"(
G21 G99
T0202 (CARBIDE DRILL 6 COOLANT THROUGH)
G97 S4000 M03
G00 X0 Z3.
G01 Z-60. F0.12
G00 Z3.
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::deep_hole_without_pecks
