// A threading cycle whose start is not outside of its thread.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::pass_outside_contour {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    const double unit = view.after.is(Meaning::inch) ? motion::mm_per_inch : 1;
    return said(
        "The cycle starts at {}, inside the crest of the thread at {}: its rapid returns hit the part. Start "
        "outside of it.",
        spoken_x(trouble.found / unit, view.settings), spoken_x(trouble.wanted / unit, view.settings));
}

} // namespace

extern const Check check{
    .id = "pass_outside_contour",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Threading cycle starts inside the thread",
    .documentation =
        "The tool stands inside the crest of the thread when the cycle begins: its rapid return "
        "between the passes goes through the part. Start outside the major diameter of an outside "
        "thread, inside the bore of an inside thread.",
    .block = report_troubles<motion::Trouble::pass_outside_contour, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X23. Z6.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
;   ^^^^^^ warning: pass_outside_contour
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S800 M03
G00 X.95 Z.2
G78 P010060 Q20 R.001
G78 X.9 Z-.7 P500 Q100 F.0625
;   ^^^ warning: pass_outside_contour
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
G92 X23.5 Z-23. F1.5
G00 X40. Z10.
G32 Z-20. F1.5
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.2
G78 X.98 Z-.7 F.0625
X.96
G00 X2.
G33 Z-.5 F.05
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S800 M03
G00 X28. Z6.
G33 Z-23. F#500
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
F2.
G00 X28. Z6.
G32 Z-23.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::pass_outside_contour
