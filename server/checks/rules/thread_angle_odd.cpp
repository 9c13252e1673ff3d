// The angle in a threading cycle is none that controls take.
//
// The angles: from memory.
#include "checks/rule.h"
#include "machine/whole_number.h"

namespace turnwright::checks::rules::thread_angle_odd {

namespace {

void block(const BlockView& view, Report& report) {
    if (view.reading.motion != MotionKind::thread_cycle || view.reading.moves_x || view.reading.moves_z)
        return;
    const machine::Word* packed = view.reading.word('P');
    if (!packed || packed->item->kind != syntax::ItemKind::word || packed->item->has_point) return;
    const int number = machine::whole_number(packed->item->value);
    // Leading noughts may be left out, but no one cuts with no finishing pass on purpose.
    if (number < 10000 && text_of(view, *packed->item).size() < 6) {
        report.at(view, *packed->item)
            .message(fmt::format("{} has not the six digits that the first line takes: two for the finishing "
                                 "passes, two for the run out, two for the angle, such as P010060. P and Q "
                                 "are exchanged, perhaps, or a digit is lost.",
                                 text_of(view, *packed->item)));
        return;
    }
    int angle = number % 100;
    for (int known : {0, 29, 30, 55, 60, 80})
        if (angle == known) return;
    report.at(view, *packed->item)
        .message(
            fmt::format("{} ends in the angle {:02}: the cycle takes 00, 29, 30, 55, 60 or 80 and alarms at "
                        "others.",
                        text_of(view, *packed->item), angle));
}

} // namespace

extern const Check check{
    .id = "thread_angle_odd",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Infeed angle the cycle does not know",
    .documentation =
        "The last two digits of P in the first line of the two-line threading cycle are the angle of "
        "the tool. Controls take 0, 29, 30, 55, 60 and 80 and alarm at others, or read "
        "the digits as something else when the number is not six digits long. A number of four digits or "
        "fewer "
        "is told, too: it asks for no finishing pass.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010160 Q50 R0.02
G76 P010063 Q50 R0.02
;   ^^^^^^^ warning: thread_angle_odd
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.2
G78 P010006 Q20 R.001
;   ^^^^^^^ warning: thread_angle_odd
G78 X.98 Z-.7 P383 Q100 F.0625
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P100 Q020060 R0.02
;   ^^^^ warning: thread_angle_odd
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P10060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P021029 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_angle_odd
