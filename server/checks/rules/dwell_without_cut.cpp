// A blade dwells in the air and is fed out again: the block that takes it in is lost.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::dwell_without_cut {

namespace {

/// In a bore the way off the wall goes inward.
bool goes_on_outward(const ToolOfSpan& tool, const Act& out) {
    for (const Act* next = &out + 1; next < tool.work->acts.data() + tool.work->acts.size(); ++next)
        if (next->moves()) return next->moves_x && known(next->to_x) && next->to_x > out.to_x;
    return false;
}

void look_at(const ToolOfSpan& tool, Report& report) {
    const Act *last = nullptr, *dwell = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool || act.calls_program) last = dwell = nullptr;
        if (act.dwells) {
            const bool in_air = last && last->motion == MotionKind::rapid && act.turns() && !act.deleted;
            dwell = in_air ? &act : nullptr;
            continue;
        }
        if (!act.moves()) continue;
        const bool out = dwell && act.motion == MotionKind::feed && act.moves_x && !act.moves_z &&
                         known(act.from_x) && known(act.to_x) && known(act.from_z) && act.from_z < 0 &&
                         act.from_x > 0 &&
                         (act.to_x == act.from_x || (act.to_x > act.from_x && goes_on_outward(tool, act)));
        if (out) {
            report.at(tool.place(*dwell))
                .message(
                    said("The tool dwells here where a rapid has brought it, in front of the metal, and is "
                         "fed out again to {}: nothing is cut. Is the block that takes it in lost?",
                         spoken_x(act.to_x, report.reader().settings())));
            return;
        }
        last = &act;
        dwell = nullptr;
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    for (const ToolOfSpan& tool : tools_of(context))
        if (tool.work->whole && tool.work->has_dwells && !tool.span->program->is_subprogram)
            look_at(tool, report);
}

} // namespace

extern const Check check{
    .id = "dwell_without_cut",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Dwell in the air before the way out",
    .documentation =
        "Beside the part the tool comes in by rapid, dwells, and is fed outward: the plunge between is lost, "
        "or "
        "turned into a rapid. The groove or relief is not made, and a thread that is to end in it runs into "
        "metal. Dwells that wait for the spindle before a cut are left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S900 M03
G00 X24. Z-25.
G04 U.3
;^^^^^^ warning: dwell_without_cut
G01 X24. F.3
G00 X60. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S900 M03
G00 X.85 Z-1.75
G01 X.605 F.003
G04 X.3
G01 X.77 F.01
G00 X.85
Z-1.6875
G04 X.3
;^^^^^^ warning: dwell_without_cut
G01 X.9 F.01
G00 X3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S900 M03
G00 X32. Z-25.
G04 X2.
G01 X24. F.1
G04 X.3
X32. F.3
G00 X60. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::dwell_without_cut
