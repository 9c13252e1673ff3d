// Nose radius compensation still on when the next tool is called.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::compensation_active_at_tool_call {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Word* tool = view.reading.word('T');
    if (!tool || view.reading.code(Meaning::macro_call) || view.reading.code(Meaning::compensation_off))
        return;
    bool left = view.before.is(Meaning::compensation_left),
         right = view.before.is(Meaning::compensation_right);
    if (!left && !right) return;
    bool same_tool = view.after.tool == view.before.tool && view.after.tool.known();
    if (same_tool && !view.after.offset.is(0)) return;
    std::string on = code(view, left ? Meaning::compensation_left : Meaning::compensation_right);
    std::string off = code(view, Meaning::compensation_off);
    report.at(view, *tool->item)
        .message(said("{} (nose radius compensation) is still on at {}: the first moves of this tool are "
                      "shifted by its nose radius, mostly to the wrong side. Write {} in the retract "
                      "before it.",
                      on, text_of(view, *tool->item), off))
        .origin(part(Group::nose_compensation))
        .fix([&] {
            return Fix{said("Write ") + off +
                           said(" before the tool call (the next moves go without the nose radius)"),
                       {insert_block_before(view, off)},
                       true,
                       false};
        });
}

} // namespace

extern const Check check{
    .id = "compensation_active_at_tool_call",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Nose radius compensation on at a tool call",
    .documentation = "G41 or G42 has not been cancelled when the next tool comes in. The control goes on "
                     "shifting the path by "
                     "the nose radius in the new tool's offset; a boring bar or a drill then runs beside its "
                     "line, and some "
                     "controls alarm at the return to reference. Write G40 in the move that leaves the part. "
                     "Changing to a "
                     "second offset of the same tool in the cut is left alone.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S1400 M03
G00 G42 X52. Z1.
G01 Z-20. F0.1
G00 X75. Z12.
T0505
;^^^^ warning: compensation_active_at_tool_call
G00 X40. Z5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S1500 M03
G41 G00 X1. Z.04
G01 Z-1.4 F.004
G00 Z.5
N8 T0808
;  ^^^^^ warning: compensation_active_at_tool_call
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S1400 M03
G00 G42 X52. Z1.
G01 Z-20. F0.1
G00 X75. Z12. T0300
;             ^^^^^ warning: compensation_active_at_tool_call
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S1400 M03
G00 G42 X52. Z1.
G01 Z-20. F0.1
G00 G40 X75. Z12.
T0505
M30
)"},
            // A second offset for a fit in the same cut.
            {System::B, R"(
G20 G90 G95
T0303
G97 S1400 M03
G00 G42 X2. Z.04
G01 Z-1. F.004
T0313
X2.2
Z-2.
G40 X3.
M30
)"},
            {System::C, R"(
G70 G90 G95
N3 T0303
G97 S900 M03
G42 G00 X2. Z.1
G01 Z-1. F.004
G40 U.2
N5 G54 G40 G80
T0505
M30
)"},
            {System::A, R"(
G20 G99
T0404
G97 S900 M03
G00 X0 Z.1
G01 Z-1. F.004
G00 Z2. T0400
G40 T0505
M30
)"},
        },
};

} // namespace turnwright::checks::rules::compensation_active_at_tool_call
