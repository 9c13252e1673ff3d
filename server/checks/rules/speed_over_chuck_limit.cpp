// S, or the speed limit, above the chuck's rated speed.
#include "checks/rule.h"

namespace turnwright::checks::rules {

namespace {

void block(const BlockView& view, Report& report) {
    auto rated = view.settings.machine.chuck_max_rpm;
    const machine::Word* speed = view.reading.word('S');
    if (!rated || !speed || !speed->value.known() || view.reading.code(Meaning::macro_call)) return;
    bool limit = view.reading.code(Meaning::speed_limit) != nullptr;
    if (!limit && !view.after.is(Meaning::constant_rpm)) return;
    if (speed->value.number <= *rated) return;
    report.at(view, *speed->item)
        .message(fmt::format("{} {} {} rpm, the chuck is rated for {:.0f}: the jaws may lose the part. Write "
                             "S{:.0f} or less.",
                             text_of(view, *speed->item), limit ? "allows" : "is",
                             spoken(speed->value.number), *rated, *rated));
}

} // namespace

extern const Check speed_over_chuck_limit{
    .id = "speed_over_chuck_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Speed above what the chuck is rated for",
    .documentation =
        "The spindle is told to turn, or allowed to turn, faster than the chuck is rated for by the "
        "shop file. The loss of grip grows with the square of the speed (Prickett, Loughborough "
        "University, abstract): the part may leave the jaws. Lower S, or the limit under constant "
        "surface speed.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G50 S5000
;   ^^^^^ warning: speed_over_chuck_limit
T0101
G96 S180 M03
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nchuck_max_rpm = 4000\n"},
            {System::B, R"(
G20 G97 S4500 M03
;       ^^^^^ warning: speed_over_chuck_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nchuck_max_rpm = 4000\n"},
            {System::C, R"(
G71 G92 S4000
G97 S3900 M03
G96 S5000
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nchuck_max_rpm = 4000\n"},
            {System::A, R"(
G21 G97 S9000 M03
M30
)"},
            {System::B, R"(
G97 S#1 M03
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nchuck_max_rpm = 4000\n"},
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
