// I and K give a centre that start and end are not equally far from.
#include "checks/trouble_rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::arc_radius_mismatch {

namespace {

std::string text(const motion::TroubleAt& trouble, const BlockView& view) {
    return said("The arc begins {} from its centre and ends {} from it: the control alarms, or leaves "
                "a step. Check the end point, I and K (radius values, from the start to the centre).",
                spoken_length(trouble.wanted, view.after), spoken_length(trouble.found, view.after));
}

/// Read with X as a radius the ends lie on one circle.
bool closes_as_radius(const BlockView& view) {
    if (view.settings.machine.x != shop::XReading::diameter) return false;
    const machine::Reading& reading = view.reading;
    const machine::Value i = reading.value('I'), k = reading.value('K');
    for (const machine::Value* value :
         {&view.before.x_radius, &view.before.z, &reading.target_x_radius, &reading.target_z})
        if (!value->known()) return false;
    const double centre_x = 2 * view.before.x_radius.number + (i.known() ? i.number : 0);
    const double centre_z = view.before.z.number + (k.known() ? k.number : 0);
    const double start = std::hypot(i.known() ? i.number : 0, k.known() ? k.number : 0);
    const double end =
        std::hypot(2 * reading.target_x_radius.number - centre_x, reading.target_z.number - centre_z);
    return std::abs(start - end) <= 1e-3 * start;
}

void block(const BlockView& view, Report& report) {
    const std::size_t before = report.found.size();
    report_troubles<motion::Trouble::arc_radius_mismatch, text>(view, report);
    if (report.found.size() == before || !closes_as_radius(view)) return;
    Finding& finding = report.found.back().finding;
    finding.severity = Severity::information;
    finding.message =
        said("With X as a diameter this arc ends off its circle, with X as a radius it closes. If this "
             "machine reads X as a radius, say so in the shop file: x = \"radius\".");
}

} // namespace

extern const Check check{
    .id = "arc_radius_mismatch",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Arc whose end is not on its circle",
    .documentation =
        "The distance from the centre (I, K) to the start of the arc is not the one to its end. "
        "Controls allow a few thousandths and alarm beyond, or close the gap with a step in the part. "
        "Check the end point and I and K: both are radius values from the start of the arc to the "
        "centre.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99 G18
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.2
G02 X30. Z-15. I4. K0.
;^^ error: arc_radius_mismatch
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z0
G01 Z-.5 F.01
G03 X1.5 Z-.75 K-.2
;^^ error: arc_radius_mismatch
M30
)"},
            // A program in which X is a radius.
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X.5 Z0
G03 X.625 Z-.125 I0 K-.125 F.006
;^^ information: arc_radius_mismatch
M30
)"},
            {System::A, R"(
G21 G99 G18
T0101
G97 S800 M03
G00 X20. Z2.
G01 Z-10. F0.2
G02 X30. Z-15. R5.
G03 X40. Z-20. I0. K-5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-.5 F.01
G02 X1.25 Z-.625 R.125
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X20. Z0.
G01 Z-10. F0.2
G02 X[#500] Z-15. R5.
G03 U10. W-5. R#501
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X0 Z.05
G01 Z0 F.01
G03 X1. Z-.5 K-.5
M30
)"},
        },
};

} // namespace turnwright::checks::rules::arc_radius_mismatch
