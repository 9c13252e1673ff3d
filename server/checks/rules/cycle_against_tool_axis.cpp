// A radial tool in a cycle along Z, an axial one in a cycle along X.
#include "checks/holes.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

namespace turnwright::checks::rules::cycle_against_tool_axis {

namespace {

void look_at(const FileContext& context, const std::vector<ToolOfSpan>& tools,
             std::span<const ToolOfSpan> program, Report& report) {
    const ToolOfSpan *told = nullptr, *read = nullptr;
    bool radial = false, axial = false; ///< By the notes of `read`
    for (const Hole& hole : holes_of(program, context.settings())) {
        if (hole.tool == told || (!hole.side && hole.place == 0)) continue;
        if (hole.tool != read) {
            const ToolNotes notes = notes_about(context, tools, *hole.tool);
            radial = notes.speak_of({"RADIAL", "CROSS"});
            axial = notes.speak_of({"AXIAL"});
            read = hole.tool;
        }
        if (radial == axial || radial == hole.side) continue;
        told = hole.tool;
        report_at_code(report, context, *hole.tool, *hole.act)
            .message(said(
                "The notes call this tool {}, and the cycle goes along {}: the tool is pushed sideways into "
                "the part. Along {} the cycle is {}.",
                radial ? said("radial") : said("axial"), hole.side ? "X" : "Z", radial ? "X" : "Z",
                code(context.settings(), hole.act->taps()
                                             ? (radial ? Meaning::tap_side : Meaning::tap_face)
                                             : (radial ? Meaning::drill_side : Meaning::drill_face))));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools,
                     [&](std::span<const ToolOfSpan> program) { look_at(context, tools, program, report); });
}

} // namespace

extern const Check check{
    .id = "cycle_against_tool_axis",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Drilling cycle across the tool",
    .documentation =
        "The notes call the tool radial or for cross holes and the cycle goes along Z, or axial and the "
        "cycle "
        "goes along X: the tool is pushed sideways into the part and breaks. The cycles on the face and into "
        "the side have numbers of their own.",
    .file = file,
    .examples =
        {
            {System::C, R"(
G71 G90 G94 G97
T0808 (RADIAL TAP M6X1)
S500 M03
G00 Z-14. C0. X70.
M29 S500
G84 Z-14. C0. X34. R66. F500
;^^ warning: cycle_against_tool_axis
C180.
G80
M30
)"},
            {System::A, R"(
(T06 AXIAL LIVE DRILL 5)
G21 G98 G97
T0606
S1900 M03
G00 X40. Z5. C0.
G87 X40. Z-12. R-3. F120
;^^ warning: cycle_against_tool_axis
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0808 (RADIAL TAP M6X1)
S500 M03
G00 Z-14. C0. X70.
M29 S500
G88 Z-14. C0. X34. R66. F500
C180.
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0606 (LIVE DRILL 5)
S1900 M03
G00 X40. Z5. C0.
G83 X40. Z-12. R-3. F120
G80
M30
)"},
            {System::B, R"(
(T06 AXIAL DRILL 5  T07 RADIAL DRILL 5)
G21 G90 G94 G97
T0606
S1900 M03
G00 X40. Z5. C0.
G83 X40. Z-12. R2. F120
G80
T0707
S1900 M03
G00 X60. Z-5. C0.
G87 X40. Z-5. R52. F120
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_against_tool_axis
