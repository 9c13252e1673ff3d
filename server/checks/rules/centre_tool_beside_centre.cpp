// A reamer, tap or centre drill that goes in a little beside the centre.
//
// Common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::centre_tool_beside_centre {

namespace {

using Kind = NamedTool::Kind;

/// Farther off it is meant: a hole beside the centre, with C or a live tool.
constexpr double beside_mm = 3;

bool must_be_centred(const ToolOfSpan& tool) {
    return (tool.is(Kind::ream) || tool.is(Kind::tap) || tool.is(Kind::centre)) && !tool.own->live &&
           !tool.listed->live;
}

/// It turns by itself, or the part stands.
bool is_driven(const Act& act) {
    return act.stopped() || act.part_stands || act.spindle == machine::Spindle::live;
}

bool goes_in_beside(const ToolOfSpan& tool, const Act& act, double per_unit) {
    if (!known(act.from_x) || act.from_x == 0 || std::abs(act.from_x) * 2 * per_unit > beside_mm)
        return false;
    if (act.taps() || act.drills() || act.threads()) return act.moves_z;
    return act.motion == MotionKind::feed && act.moves_z && act.to_x == act.from_x && known(act.to_z) &&
           act.to_z < 0 && act.to_z < act.from_z && !tool.work->word(act, 'C');
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(tools);
    for (const ToolOfSpan& tool : tools) {
        if (!must_be_centred(tool)) continue;
        for (const Act& act : tool.work->acts) {
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit || is_driven(act) || !goes_in_beside(tool, act, *per_unit)) continue;
            report.at(tool.place(act))
                .message(said("The {} goes in at {}, beside the centre of a part that turns: it is bent "
                              "and breaks. Write X0 in its approach.",
                              kind_title(tool.own->kind == Kind::none ? tool.listed->kind : tool.own->kind),
                              spoken_x(act.from_x, context.settings())));
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "centre_tool_beside_centre",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Centre tool beside the centre",
    .documentation =
        "A reamer, a tap or a centre drill, by its note, goes into the face of a turning part a little "
        "beside "
        "the centre: it is bent round by the part and breaks, or the hole comes out wide. On a lathe these "
        "tools work at X0. With the spindle standing, as a live tool, and farther out than 3 mm in diameter "
        "it may be meant, and stays quiet; so does a drill with inserts, which may be set over for size.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0606 (REAM 6H7)
G97 S300 M03
G00 X0.5 Z5.
G01 Z-50. F0.3
;^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G00 Z5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404 (3/8-16 TAP)
G97 S300 M03
G00 X.1 Z.3
G98 G84 Z-.75 R.2 F.0625
;^^^^^^^^^^^^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G80
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606 (REAM 6H7)
G97 S300 M03
G00 X0 Z5.
G01 Z-50. F0.3
G00 Z5.
M30
)"},
            // A live tool, by the shop file's codes.
            {System::A, R"(
G21 G98
M05
M45
T0606 (TAP M6)
M61
G97 S300
G00 X2.5 Z5. C0.
G84 X2.5 Z-12. F300.
G80
M62
M46
M30
)",
             R"(
[[machine]]
[machine.m_codes]
M45 = { name = "C axis on", does = "C axis on" }
M46 = { name = "C axis off", does = "C axis off" }
M61 = { name = "live tool on", does = "live tool on" }
M62 = { name = "live tool off", does = "live tool off" }
)"},
            // A drill with inserts is set over for size.
            {System::A, R"(
G21 G99
T0202 (INSERT DRILL 22)
G97 S1400 M03
G00 X1.8 Z3.
G01 Z-40. F0.08
G00 Z3.
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::centre_tool_beside_centre
