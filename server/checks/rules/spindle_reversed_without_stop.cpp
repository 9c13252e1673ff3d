// M03 straight to M04, or back, with no M05 between.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::spindle_reversed_without_stop {

namespace {

void block(const BlockView& view, Report& report) {
    auto reverses = [&](Meaning before, Meaning now) {
        return view.before.spoken_to() == view.after.spoken_to() && view.before.is(before) &&
               view.reading.code(now) && view.after.is(now);
    };
    bool forward = reverses(Meaning::spindle_reverse, Meaning::spindle_forward);
    bool backward = reverses(Meaning::spindle_forward, Meaning::spindle_reverse);
    if (!forward && !backward) return;
    // On the way round in a tapped hole it is what is wanted.
    const bool on_centre = view.before.x_radius.is(0) && view.before.z.known() && view.before.z.number < 0;
    if (on_centre && view.before.is(Meaning::thread)) return;
    Meaning now = forward ? Meaning::spindle_forward : Meaning::spindle_reverse;
    report.at(view, *view.reading.code(now)->item)
        .message(said("The spindle turns the other way when {} comes: the drive has to brake it first. Write "
                      "{} before it.",
                      code(view, now), code(view, Meaning::spindle_stop)))
        .origin(part(Group::spindle_direction))
        .fix([&] {
            return Fix{said("Write M05 above"), {insert_block_before(view, "M05")}, true, true};
        });
}

} // namespace

extern const Check check{
    .id = "spindle_reversed_without_stop",
    .family = Family::spindle,
    .severity = Severity::information,
    .title = "Spindle reversed while it turns",
    .documentation =
        "The spindle is told to turn the other way while it turns. The drive brakes it as hard as it "
        "can, a heavy chuck loads gears and belts, and the tool may still be in the cut. Write M05 "
        "first, and let it stop.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G97 S500 M03
T0101
M04
;^^ information: spindle_reversed_without_stop
M30
)"},
            {System::B, R"(
G20 G97 S500 M04
T0101 S600 M03
;          ^^^ information: spindle_reversed_without_stop
M30
)"},
            {System::C, R"(
G71 G97 S500 M03
M05
M04
M30
)"},
            {System::A, R"(
G97 S500 M03
S600 M03
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S300 M03
G00 X0 Z6.
G33 Z-13. F1.25
M04
G33 Z6. F1.25
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_reversed_without_stop
