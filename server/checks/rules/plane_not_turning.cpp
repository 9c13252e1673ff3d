// An arc while another plane than that of Z and X is in force.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::plane_not_turning {

namespace {

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    bool other_plane = view.after.is(Meaning::plane_xy) || view.after.is(Meaning::plane_yz);
    if (reading.motion != MotionKind::arc || !other_plane || reading.moves_other || reading.in_contour)
        return;
    bool turned = view.after.is(Meaning::polar_off) || view.after.of(Group::polar).surely_unset();
    if (!turned || reading.has('J')) return;
    const machine::Word* word = reading.code(reading.motion_meaning);
    auto entry = word ? report.at(view, *word->item) : report.at(view);
    entry
        .message(
            said("This arc is read in the plane of {}: the control alarms or moves the wrong axis. Write "
                 "{} before it.",
                 code(view, view.after.is(Meaning::plane_xy) ? Meaning::plane_xy : Meaning::plane_yz),
                 code(view, Meaning::plane_zx)))
        .origin(part(Group::plane));
}

} // namespace

extern const Check check{
    .id = "plane_not_turning",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Arc outside the turning plane",
    .documentation =
        "G17 or G19 is in force, so the control reads the arc in another plane than that of the "
        "lathe: it alarms, or moves an axis that should stand. G18 is the turning plane. Work with "
        "the C axis (polar or cylindrical) uses the other planes on purpose and stays quiet.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99 G17
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.2
G02 X30. Z-15. R5.
;^^ warning: plane_not_turning
M30
)"},
            {System::B, R"(
G20 G90 G95 G19
T0101
G97 S800 M03
G00 X1. Z.1
G03 X1.2 Z0 R.1 F.01
;^^ warning: plane_not_turning
M30
)"},
            {System::A, R"(
G21 G98 G18
T1111
G12.1
G17
G01 X20. C0. F100.
G02 X30. C15. R5.
G13.1
G18
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X20. Z2.
G02 X30. Z-15. R50. F0.2
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::plane_not_turning
