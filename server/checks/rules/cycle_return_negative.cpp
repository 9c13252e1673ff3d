// The return of a cycle with a minus: a distance has no sign.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::cycle_return_negative {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    const machine::Value r = reading.value('R');
    if (!reading.sets_up_cycle || !r.known() || r.number >= 0) return;
    // Of a thread it is what the last pass takes, of a repeated contour the number of passes.
    const bool thread = reading.motion == MotionKind::thread_cycle;
    if (!thread && reading.motion_meaning == Meaning::pattern_repeat) return;
    const auto* word = reading.word('R');
    report.at(view, *word->item)
        .message(
            thread
                ? said("{} has a minus: what the last pass leaves is a depth without a sign. The "
                       "control alarms, or takes no finishing pass. Write R{}.",
                       text_of(view, *word->item), written(-r.number))
                : said(
                      "{} has a minus: what the tool draws back by between passes is a distance without a "
                      "sign. "
                      "The control alarms, or the tool is moved into the metal instead of off it. Write R{}.",
                      text_of(view, *word->item), written(-r.number)))
        .fix([&] {
            const std::string right = "R" + written(-r.number);
            return Fix{said("Write {}", right), {replace(view, *word->item, right)}, true, false};
        });
}

} // namespace

extern const Check check{
    .id = "cycle_return_negative",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Return of a cycle with a minus",
    .documentation =
        "R in the first line of a roughing, pecking or grooving cycle is the distance that the tool draws "
        "back "
        "between passes, and in that of a threading cycle what its last pass takes off: neither has a sign. "
        "With a "
        "minus controls alarm, go into the metal instead of off it, or read it without the sign; which of "
        "these "
        "the machine's book says. Write R without the minus. The R of a cone or of a drilling cycle may be "
        "negative.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R-0.5
;       ^^^^^ warning: cycle_return_negative
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-25.
N20 X52.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S800 M03
G00 X2.1 Z-.5
G75 R-.02
;   ^^^^^ warning: cycle_return_negative
G75 X1.5 P500 F.003
G00 X4. Z3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X0 Z3.
G76 R1.
G76 Z-40. Q8000 F0.15
G00 Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_return_negative
