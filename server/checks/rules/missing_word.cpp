// A cycle or move that lacks a word it cannot do without.
#include "checks/trouble_rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::missing_word {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView&) {
    return said(
        "The word {} is missing here: the control alarms, or takes what an earlier block has left. Write it.",
        trouble.letter);
}

} // namespace

extern const Check check{
    .id = "missing_word",
    .family = Family::cycles,
    .severity = Severity::error,
    .title = "Word that a cycle or move needs is missing",
    .documentation =
        "The code of this block needs a word that is not there, such as the height of a thread or the "
        "time of a dwell. The control alarms, or takes what an earlier cycle has left, which may "
        "belong to another part.",
    .block = report_troubles<motion::Trouble::missing_word, text>,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 F1.5
;^^ error: missing_word
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G04
;^^ error: missing_word
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X52. Z-10.
G75 R0.3
G75 X40. Z-20. P1500 F0.08
;^^ error: missing_word
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X52. Z-10.
G04 X1.
G75 R0.3
G75 X40. Z-20. P1500 Q3000 F0.08
G75 X40. P1500 F0.08
G04 P500
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

} // namespace turnwright::checks::rules::missing_word
