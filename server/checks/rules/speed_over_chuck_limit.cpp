// S, or the speed limit, above the chuck's rated speed.
//
// Grip and speed: Prickett, Loughborough University, abstract.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::speed_over_chuck_limit {

namespace {

void block(const BlockView& view, Report& report) {
    auto rated = view.settings.machine.chuck_max_rpm;
    const machine::Word* speed = view.reading.word('S');
    if (!rated || !speed || !speed->value.known() || view.reading.code(Meaning::macro_call)) return;
    if (!view.after.speaks_to_main()) return;
    bool limit = view.reading.code(Meaning::speed_limit) != nullptr;
    if (!limit && !view.after.is(Meaning::constant_rpm)) return;
    if (speed->value.number <= *rated) return;
    report.at(view, *speed->item)
        .message(said("{} {} {} rpm, the chuck is rated for {:.0f}: the jaws may lose the part. Write "
                      "S{:.0f} or less.",
                      text_of(view, *speed->item), limit ? said("allows") : said("is"),
                      spoken(speed->value.number), *rated, *rated));
}

} // namespace

extern const Check check{
    .id = "speed_over_chuck_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Speed above what the chuck is rated for",
    .documentation =
        "The spindle is told to turn, or allowed to turn, faster than the chuck is rated for by the "
        "shop file. The loss of grip grows with the square of the speed: the part may leave the jaws. Lower "
        "S, or the limit under constant "
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::speed_over_chuck_limit
