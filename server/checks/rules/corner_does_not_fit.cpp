// A chamfer or corner radius longer than the moves it joins.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::corner_does_not_fit {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    return said("A corner of {} does not fit between this move and the next: the control alarms here. "
                "Is the next move a straight feed, and long enough?",
                spoken_length(trouble.found, view.after));
}

} // namespace

extern const Check check{
    .id = "corner_does_not_fit",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Chamfer or corner that does not fit",
    .documentation =
        "A chamfer or corner radius (,C ,R or the plain forms) needs more of the two moves than there "
        "is, or the next move is none that it could join. The control alarms at this block.",
    .block = report_troubles<motion::Trouble::corner_does_not_fit, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z1.
G01 Z-20. ,R5. F0.2
;^^ error: corner_does_not_fit
X24.
Z-30.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X1. Z.1
G01 Z-1. ,C.3 F.01
;^^ error: corner_does_not_fit
X1.2
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z1.
G01 Z-20. ,R2. F0.2
X40. ,C1.
Z-30.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X1. Z.1
G01 Z-1. ,R.1 F.01
X2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X20. Z1.
G01 Z-20. F0.2
X40. ,C#500
Z-30.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::corner_does_not_fit
