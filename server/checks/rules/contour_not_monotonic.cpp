// A roughing contour that goes back on itself where the cycle cannot follow.
#include "checks/rule.h"
#include "language/said.h"
#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::contour_not_monotonic {

namespace {

using motion::Point;

/// Its arcs are quarters of a circle where X as written is a radius, and none where it is a diameter: the
/// program is written in radius, and turns back only as it is read.
bool fits_as_radius(const BlockView& view, const machine::Reader& reader) {
    if (view.settings.machine.x != shop::XReading::diameter) return false;
    const auto stands = contour_named_in(view, reader);
    if (!stands || !stands->blocks) return false;
    int as_radius = 0, as_diameter = 0;
    reader.visit_span(stands->blocks->first, stands->blocks->second, [&](const BlockView& at) {
        const machine::Value r = at.reading.value('R'), &x = at.reading.target_x_radius,
                             &z = at.reading.target_z;
        if (at.reading.motion != MotionKind::arc || !r.known() || !x.known() || !z.known() ||
            !at.before.x_radius.known() || !at.before.z.known())
            return;
        const double dx = std::abs(x.number - at.before.x_radius.number);
        const double dz = std::abs(z.number - at.before.z.number);
        const auto quarter = [&](double way) {
            return std::max(std::abs(way - r.number), std::abs(dz - r.number)) < 1e-6;
        };
        as_radius += quarter(2 * dx);
        as_diameter += quarter(dx);
    });
    return as_radius > 0 && as_diameter == 0;
}

/// The first block of the contour that goes against the way that the contour goes as a whole.
std::optional<BlockPlace> turning_block(const BlockView& view, const machine::Reader& reader, bool in_x) {
    const auto stands = contour_named_in(view, reader);
    if (!stands || !stands->blocks) return std::nullopt;
    machine::State entering = view.before;
    entering.contour = {};
    std::vector<std::pair<BlockPlace, motion::Segment>> pieces;
    reader.visit_from(stands->blocks->first, stands->blocks->second, entering, [&](const BlockView& at) {
        if (at.reading.motion == MotionKind::contour_cycle) return;
        for (const motion::Segment& segment : motion::path_of(at, reader).segments)
            pieces.emplace_back(BlockPlace{at.run_index, at.block}, segment);
    });
    if (pieces.size() < 2) return std::nullopt;
    const auto along = [&](const Point& point) { return in_x ? point.x_radius_mm : point.z_mm; };
    const double whole = along(pieces.back().second.to) - along(pieces.front().second.to);
    for (std::size_t i = 1; i < pieces.size(); ++i) {
        double last = along(pieces[i].second.from);
        constexpr int chords = 8;
        for (int part = 1; part <= chords; ++part) {
            const double next = along(motion::point_at(pieces[i].second, double(part) / chords));
            if ((next - last) * whole < 0 && std::abs(next - last) > motion::same_point_mm)
                return pieces[i].first;
            last = next;
        }
    }
    return std::nullopt;
}

void look_at(const BlockView& view, const machine::Reader& reader, Report& report) {
    const motion::BlockPath path = motion::path_of(view, reader);
    for (const motion::TroubleAt& trouble : path.troubles) {
        if (trouble.trouble != motion::Trouble::contour_not_monotonic || fits_as_radius(view, reader))
            continue;
        const BlockPlace cycle{view.run_index, view.block};
        const auto turns = turning_block(view, reader, trouble.letter == 'X');
        (turns ? report.at(*turns) : report.at_letter(cycle, 'G'))
            .message(said("The contour turns back in {}{}: unless the control knows pockets (first "
                          "contour block with X and Z both) it alarms, or leaves the material standing "
                          "for the finish cut.",
                          trouble.letter, turns ? said(" here") : ""));
    }
}

void sequence(const SequenceContext& context, Report& report) {
    machine::Analysis::Passed passed;
    for (const Step& step : context.steps)
        if (step.motion == MotionKind::contour_cycle)
            context.reader.visit_span(step.place, step.place, passed,
                                      [&](const BlockView& view) { look_at(view, context.reader, report); });
}

} // namespace

extern const Check check{
    .id = "contour_not_monotonic",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Contour that turns back",
    .documentation =
        "The contour goes back in X or Z. The plain form of the roughing cycle takes contours that "
        "only rise or only fall: some controls alarm, others leave the pocket full of stock for the "
        "finishing tool to hit. Controls that know pockets want Z and X both in the first contour "
        "block.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X30.
G01 Z-10. F0.12
X24. Z-14.
;^^^^^^^^^^ warning: contour_not_monotonic
Z-25.
X40.
N20 X52.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G73 U.1 R.02
G73 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-.5
Z-.3
;^^^ warning: contour_not_monotonic
X1.5
N20 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X18.
G01 X24. Z-2. F0.12
Z-25.
X30.
G02 X34. Z-27. R2.
N20 G01 X52.
G70 P10 Q20
G00 X60. Z10.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X31. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.3 W0.1 F0.3
N10 G00 X22.
G01 Z0 F0.15
X24.
G03 X28. Z-4. R4.
G01 Z-64.
N20 X31.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S800 M03
G00 X.9 Z.04
G72 W.05 R.02
G72 P10 Q20 U-.02 W.004 F.01
N10 G00 Z-.4
G01 X1. F.006
Z-.2
N20 X1.5 Z.04
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G73 U2. R0.5
G73 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0606
G97 S800 M03
G00 X18. Z1.
G71 U1.5 R0.5
G71 P10 Q20 U-0.4 W0.1 F0.2
N10 G00 X30.
G01 Z-10. F0.1
X24. Z-14.
Z-30.
N20 X18.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::contour_not_monotonic
