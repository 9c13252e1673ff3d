// An arc whose words belong to another plane than the one in force, or whose centre does not fit there.
#include "checks/rule.h"
#include "language/said.h"
#include "motion/geometry.h"

#include <cmath>

namespace turnwright::checks::rules::arc_of_other_plane {

namespace {

/// Letters of the two axes of a plane, absolute and incremental, and of its centre.
struct Plane {
    Meaning meaning;
    std::string_view axes, centre;
    TableText name;
};
constexpr Plane planes[] = {
    {Meaning::plane_xy, "XUYV", "IJ", "X and Y"},
    {Meaning::plane_zx, "ZWXU", "IK", "Z and X"},
    {Meaning::plane_yz, "YVZW", "JK", "Y and Z"},
};

bool fits(const machine::Reading& reading, const Plane& plane) {
    for (char letter : std::string_view("XUYVZW"))
        if (reading.has(letter) && plane.axes.find(letter) == std::string_view::npos) return false;
    for (char letter : std::string_view("IJK"))
        if (reading.has(letter) && plane.centre.find(letter) == std::string_view::npos) return false;
    return true;
}

/// The offset of start and end from the centre differ: in mm. nullopt: something of it is not known.
std::optional<double> mismatch_mm(const BlockView& view) {
    const machine::Reading& reading = view.reading;
    if (!view.after.is(Meaning::plane_yz) || reading.has('R')) return std::nullopt;
    const machine::Value values[] = {view.before.y, view.before.z, view.after.y, view.after.z};
    for (const machine::Value& value : values)
        if (!value.known()) return std::nullopt;
    for (char letter : std::string_view("JK"))
        if (reading.has(letter) && !reading.value(letter).known()) return std::nullopt;
    const double j = reading.has('J') ? reading.value('J').number : 0;
    const double k = reading.has('K') ? reading.value('K').number : 0;
    const double from = std::hypot(j, k);
    const double to =
        std::hypot(values[2].number - values[0].number - j, values[3].number - values[1].number - k);
    return at_least_mm(std::abs(from - to), view.after);
}

Report::Entry at_code(Report& report, const BlockView& view) {
    const machine::Word* word = view.reading.code(view.reading.motion_meaning);
    return word ? report.at(view, *word->item) : report.at(BlockPlace{view.run_index, view.block});
}

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    // With C in it, or as a plane of X and C, the letters are others.
    const machine::Value& cylinder = view.after.cylinder_radius;
    const bool on_cylinder = !cylinder.surely_unset() && !cylinder.is(0); // It is ended by a nought
    if (reading.motion != MotionKind::arc || reading.has('C') || reading.has('H') || on_cylinder ||
        !view.after.may_be(Meaning::polar_off))
        return;
    const bool mills = reading.has('Y') || reading.has('V') || reading.has('J');
    const bool out_of_turning = view.after.is(Meaning::plane_xy) || view.after.is(Meaning::plane_yz);
    if (!mills && !out_of_turning) return;
    const Plane* in_force = nullptr;
    const Plane* meant = nullptr;
    for (const Plane& plane : planes) {
        if (view.after.is(plane.meaning)) in_force = &plane;
        if (fits(reading, plane)) meant = &plane;
    }
    if (!in_force) return;
    if (!fits(reading, *in_force)) {
        at_code(report, view)
            .message(said("The plane of {} ({}) is in force, and the words of this arc are {}: the "
                          "control alarms, or makes another arc.{}",
                          in_force->name, code(view, in_force->meaning),
                          meant ? said("those of {}", meant->name) : std::string(said("of no one plane")),
                          meant ? said(" Write {} before it.", code(view, meant->meaning)) : ""))
            .origin(part(Group::plane));
        return;
    }
    const double allowed = view.settings.machine.arc_tolerance_mm.value_or(motion::default_arc_tolerance_mm);
    const auto apart = mismatch_mm(view);
    if (!apart || *apart <= allowed) return;
    at_code(report, view)
        .message(said("The end of the arc lies {:.3f} mm nearer to or farther from its centre than its "
                      "start: the control alarms, or cuts into the part. Look at the signs of J and K.",
                      *apart));
}

} // namespace

extern const Check check{
    .id = "arc_of_other_plane",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Arc that does not fit its plane",
    .documentation =
        "An arc with Y in it is made in the plane of X and Y or of Y and Z, and another plane is in force: "
        "the control alarms, or makes another arc. Or the plane fits and the centre does not: start and end "
        "have another distance from it. On a face the plane is that of X and Y (G17), on a flat at the side "
        "that of Y and Z (G19), and turning has Z and X (G18).",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0909
S2000 M03
G00 X44. Y0. Z-20.
G17
G01 X35. F50
G01 Y6. F120
Z-14.
G03 Y-6. Z-14. J-6. K0.
;^^ warning: arc_of_other_plane
G18
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0909
S2000 M03
G00 X44. Y0. Z-20.
G19
G01 X35. F50
G01 Y6. F120
Z-14.
G03 Y-6. Z-14. J-6. K0.
G01 Z-26.
G03 Y6. Z-26. J6. K0.
G01 Z-14.
G03 Y-6. Z-14. J6. K0.
;^^ warning: arc_of_other_plane
G18
M30
)"},
            {System::A, R"(
G21 G98 G97
T0909
S2000 M03
G00 X44. Y6. Z-14.
G19
G01 X35. F50
G03 Y-6. Z-14. J-6. K0. F120
G03 Y6. Z-14. R6.
G18
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0909
S2000 M03
G17
G00 X20. Y0. Z2.
G01 Z-2. F50
G03 X20. Y0. I-10. J0. F120
G18
M30
)"},
            {System::A, R"(
G21 G99
T0303
G96 S180 M03
G50 S2000
G00 X20. Z0.
G01 Z-10. F.2
G02 X26. Z-13. R3.
G03 X30. Z-15. I0. K-2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::arc_of_other_plane
