// A cut after the tool's own offset has been cancelled.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    std::optional<double> tool; // That has had an offset
    bool cancelled = false;
    double offset = 0;
    for (const Step& step : context.steps) {
        if (!step.tool.known() || !step.offset.known()) {
            tool.reset();
            cancelled = false;
            continue;
        }
        if (step.offset.number > 0) {
            tool = step.tool.number;
            cancelled = false;
            offset = step.offset.number;
        } else if (step.calls_tool && !step.deleted) {
            cancelled = tool == step.tool.number;
        }
        if (!cancelled || step.in_contour || !cuts(step)) continue;
        report.at(step.place)
            .origin(part(Part::offset))
            .message(fmt::format(
                "T{0:02.0f} cuts with its offset cancelled: the control no longer knows where its "
                "edge is, and it goes into the part or past it by all of its length and "
                "position. Cancel the offset behind the retract, or call T{0:02.0f}{1:02.0f}.",
                step.tool.number, offset));
        return; // One word for the sequence
    }
}

} // namespace

extern const Check offset_cancelled_in_cut{
    .id = "offset_cancelled_in_cut",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Cut with the tool offset cancelled",
    .documentation =
        "The sequence has called its tool with an offset, has cancelled it (T0300, T0), and cuts again. "
        "Without the offset the control places the turret, not the edge. Cancel offsets when the tool is "
        "clear "
        "of the part and done.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99 G97 S500 M03
N3 T0303
G00 X50. Z2.
G01 Z-10. F0.2
T0300
G00 X60. Z2.
G01 Z-20. F0.2
;^^ warning: offset_cancelled_in_cut
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S500 M03
T0404
G00 X2. Z.1
T0
G01 Z-1. F.01
;^^ warning: offset_cancelled_in_cut
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
N3 T0300
G00 X80. Z20.
T0303
G00 X50. Z2.
G01 Z-10. F0.2
G00 X80. Z20. T0300
M30
)"},
            {System::C, R"(
G71 G90 G95 G97 S500 M03
T0100
G00 X50. Z2.
G01 Z-10. F0.2
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
N3 T0303
G01 X50. Z-10. F0.2
M01
N5 T0500
G01 X50. Z-12. F0.2
M30
)"},
            {System::A, R"(
G21 G99 G97 S500 M03
T0303
G01 X50. Z-10. F0.2
T0313
G01 X49. Z-10.
M30
)"},
            {System::A, R"(
N1 (FACE AND TURN)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G96 S180
G01 Z0. F0.2
X-1.6
Z1. F0.5
G00 X75. Z12.
G28 U0 W0
M09
M05
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5
G00 Z.04
M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G00 Z.5
G00 G53 X0 Z0
M09
M05
M30
)"},
            {System::C, R"(
G71 G90 G95 G40 G80
T0707
G97 S800 M03
G00 X28. Z6. M08
G21 X23.2 Z-20. F1.5
X22.6
X22.2
G00 X75. Z12.
G28 U0 W0
M30
)"},
        },
};

} // namespace turnwright::checks::rules
