// S above the highest or below the lowest speed of the spindle.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::speed_over_machine_limit {

namespace {

struct SpindleRange {
    std::string_view name;
    std::optional<double> least, most;
};
/// nullopt: which spindle S speaks to is not known.
std::optional<SpindleRange> range_of(const BlockView& view) {
    const shop::Machine& lathe = view.settings.machine;
    const auto spindle = view.after.spoken_to();
    if (!spindle) return std::nullopt;
    const bool has_own_codes = std::any_of(lathe.effects.begin(), lathe.effects.end(), [](const auto& row) {
        return std::find(row.second.does.begin(), row.second.does.end(), Meaning::second_forward) !=
               row.second.does.end();
    });
    // Where the second spindle has codes of its own, M03 may turn the main one.
    if (*spindle == machine::Spindle::second && has_own_codes && view.reading.code(Meaning::spindle_forward))
        return std::nullopt;
    if (*spindle == machine::Spindle::second)
        return SpindleRange{said("the second spindle"), {}, lathe.second_max_rpm};
    if (*spindle == machine::Spindle::live) return SpindleRange{said("live tools"), {}, lathe.live_max_rpm};
    return SpindleRange{said("this spindle"), lathe.min_rpm, lathe.max_rpm};
}

void block(const BlockView& view, Report& report) {
    const machine::Word* speed = view.reading.word('S');
    if (!speed || !speed->value.known() || view.reading.code(Meaning::macro_call)) return;
    if (view.reading.code(Meaning::speed_limit) || !view.after.is(Meaning::constant_rpm)) return;
    const std::optional<SpindleRange> range = range_of(view);
    if (!range) return;
    const double rpm = speed->value.number;
    const bool over = range->most && rpm > *range->most;
    const bool under = range->least && rpm < *range->least && rpm > 0;
    if (!over && !under) return;
    report.at(view, *speed->item)
        .message(said("{} is {} the {} speed of {}, {:.0f} rpm: the control alarms or holds it there.",
                      text_of(view, *speed->item), over ? said("above") : said("below"),
                      over ? said("highest") : said("lowest"), range->name,
                      over ? *range->most : *range->least));
}

constexpr const char* shop_of_three = R"(
[[machine]]
max_rpm = 4500
second_max_rpm = 4000
live_max_rpm = 4000
[machine.m_codes]
M45 = { does = "C axis on" }
M46 = { does = "C axis off" }
M13 = { does = "live tool on" }
M15 = { does = "live tool off" }
M63 = { does = "second forward" }
M65 = { does = "second stop" }
)";

} // namespace

extern const Check check{
    .id = "speed_over_machine_limit",
    .family = Family::limits,
    .severity = Severity::warning,
    .title = "Speed the machine does not have",
    .documentation =
        "The spindle, the second spindle or the live tool that S speaks to cannot turn as it asks: above its "
        "highest speed the control alarms or holds it "
        "there, below its lowest it may not turn at all. The cut then has another surface speed than "
        "it was meant to have.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G97 S6000 M03
;       ^^^^^ warning: speed_over_machine_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_rpm = 4500\nmin_rpm = 40\n"},
            {System::B, R"(
G20 G97 S20 M03
;       ^^^ warning: speed_over_machine_limit
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_rpm = 4500\nmin_rpm = 40\n"},
            {System::C, R"(
G71 G97 S4500 M03
S40
G92 S6000
G96 S20
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\nmax_rpm = 4500\nmin_rpm = 40\n"},
            {System::A, R"(
G97 S9000 M03
M30
)"},
            {System::B, R"(
G21 G90 G94
T0505
M45
G97 S5000 M13
;   ^^^^^ warning: speed_over_machine_limit
M15
M46
G97 S4200 M63
;   ^^^^^ warning: speed_over_machine_limit
M65
M30
)",
             shop_of_three},
            {System::A, R"(
G21 G98
T0505
M45
G97 S4000 M13
M15
M46
G97 S3500 M63
M65
G97 S4500 M03
M30
)",
             shop_of_three},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::speed_over_machine_limit
