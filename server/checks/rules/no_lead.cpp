// A threading move or cycle with no F in force.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::no_lead {

namespace {

std::string text(const motion::TroubleAt&, const BlockView&) {
    return said(
        "This thread has no lead: the control alarms, or takes a feed left over from before. Write F with "
        "the lead.");
}

} // namespace

extern const Check check{
    .id = "no_lead",
    .family = Family::threads,
    .severity = Severity::error,
    .title = "Thread without a lead",
    .documentation =
        "A threading move or cycle has no F, and none is in force from above. The control alarms, or "
        "cuts with what an earlier program left. Write F with the lead: the pitch times the number of "
        "starts.",
    .block = report_troubles<motion::Trouble::no_lead, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G32 Z-23.
;^^ error: no_lead
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.2
G78 X.98 Z-.7
;^^ error: no_lead
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

} // namespace turnwright::checks::rules::no_lead
