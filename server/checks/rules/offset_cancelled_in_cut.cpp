// A cut after the tool's own offset has been cancelled.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::offset_cancelled_in_cut {

namespace {

void sequence(const SequenceContext& context, Report& report) {
    std::optional<double> tool; // That has had an offset
    bool cancelled = false;
    double offset = 0;
    for (const Step& step : context.steps) {
        if (!step.after->tool.known() || !step.after->offset.known()) {
            tool.reset();
            cancelled = false;
            continue;
        }
        if (step.after->offset.number > 0) {
            tool = step.after->tool.number;
            cancelled = false;
            offset = step.after->offset.number;
        } else if (step.calls_tool && !step.deleted) {
            cancelled = tool == step.after->tool.number;
        }
        if (!cancelled || step.in_contour || !cuts(step)) continue;
        report.at(step.place)
            .origin(part(Part::offset))
            .message(said("T{0:02.0f} cuts with its offset cancelled: the control no longer knows where its "
                          "edge is, and it goes into the part or past it by all of its length and "
                          "position. Cancel the offset after the retract, or call T{0:02.0f}{1:02.0f}.",
                          step.after->tool.number, offset));
        return; // One word for the sequence
    }
}

} // namespace

extern const Check check{
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::offset_cancelled_in_cut
