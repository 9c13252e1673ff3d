// The letter O for a nought, or a comma for the point.
#include "checks/mistyped.h"
#include "checks/rule.h"

namespace turnwright::checks::rules::value_mistyped {

namespace {

void block(const BlockView& view, Report& report) {
    for (const Mistyped& value : mistyped_in(view.run, view.text))
        report.at(view, value.begin, value.end - value.begin)
            .message(fmt::format("{}: the control alarms here, or reads something else. Write {}.",
                                 value.comma ? "A comma stands for the decimal point"
                                             : "The letter O stands for a 0",
                                 value.meant))
            .fix([&] {
                return Fix{"Write " + value.meant,
                           {{{view.run_index, view.block},
                             value.begin - view.text.begin,
                             value.end - view.text.begin,
                             value.meant}},
                           true,
                           false};
            });
}

} // namespace

extern const Check check{
    .id = "value_mistyped",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Letter O for a nought, or a comma for the point",
    .documentation = "A value holds the letter O where a 0 is meant, or a comma where the decimal point is "
                     "meant. The control "
                     "alarms, or takes the letter for the number of a program. Told once, with what to "
                     "write; no new program "
                     "is taken to begin there.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G01 Z-O.5 F0.2
;       ^^^^^ error: value_mistyped
X5O.
;^^ error: value_mistyped
M30
)"},
            {System::B, R"(
G20 G90 G01 X,5 F.01
;           ^^^ error: value_mistyped
ZO
;^ error: value_mistyped
M30
)"},
            {System::A, R"(
O0001
G21 G01 X50. ,C1. F0.2
Z-5. ,R0.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::value_mistyped
