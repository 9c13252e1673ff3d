// An arc that breaks a little from the lines beside it, where a round radius would run smoothly into both or
// one.
//
// The tangent circle: first principles (the angle between tangent and chord is half the arc's).
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::arc_misses_line {

namespace {

/// Less is rounding of corner points; more is a corner that is meant.
constexpr double least_deg = 2.5, most_deg = 40, most_at_one_end_deg = 15;
constexpr double smooth_deg = 0.7;
/// Of a tool that turns domes: common practice, no source.
constexpr double widest_nose_mm = 1.6;
/// Two tangent radii that agree as well as points of three places do.
constexpr double agree_mm = 0.01;

bool is_line_or_arc(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && (leg.dx() != 0 || leg.dz() != 0);
}

/// Of the circle that runs on in `direction` at one end of the chord and through its other end.
double tangent_radius(Point direction, Point chord) {
    const double across = std::abs(motion::cross(direction, chord));
    return across > 1e-9 ? motion::dot(chord, chord) / (2 * across) : 0;
}

bool is_round(double mm, double unit_mm) {
    const double step = unit_mm > 1 ? 0.005 : 0.5, value = mm / unit_mm;
    return std::abs(value / step - std::round(value / step)) * step * unit_mm < 0.3 * agree_mm;
}

/// A number of a word that one slip has made, and what is meant; letter 0: none.
struct Meant {
    char letter = 0;
    double value = 0;
};

/// An arc that begins or ends on the centre line stands square to it there, or the end is a point.
Meant meant_at_centre(const WorksContext& context, const Work& work, const Leg& leg) {
    constexpr double least_off_mm = 0.02;
    const double mm = work.unit_mm, radius = std::hypot(leg.from.x_radius_mm - leg.centre.x_radius_mm,
                                                        leg.from.z_mm - leg.centre.z_mm);
    // By the centre of its nose the tool begins a nose radius past the centre line, and square there.
    const bool by_nose = leg.from.x_radius_mm < 0 && leg.from.x_radius_mm * mm > -widest_nose_mm;
    const bool begins = by_nose || std::abs(leg.from.x_radius_mm) < 1e-6;
    if (leg.by_letters) return {};
    if (begins == (std::abs(leg.to.x_radius_mm) < 1e-6)) return {};
    const double past = by_nose ? leg.from.x_radius_mm : 0;
    const double x = begins ? leg.to.x_radius_mm - past : leg.from.x_radius_mm, z = std::abs(leg.dz());
    if (z < 1e-6 || std::abs((x * x + z * z) / (2 * z) - radius) * mm < least_off_mm) return {};
    const double places = mm > 1 ? 1e4 : 1e3, way = leg.dz() < 0 ? -1 : 1;
    const auto fits = [&](double written_now, double meant) {
        const Slip slip = slip_between(written_now, std::round(meant * places) / places);
        return slip != Slip::none;
    };
    const auto fits_swapped = [](double written_now, double meant) {
        return slip_between(written_now, meant) == Slip::digits_swapped;
    };
    if (leg.moves_z && !by_nose && radius > std::abs(x))
        for (double side : {-1.0, 1.0}) {
            const double meant = leg.from.z_mm + way * (radius + side * std::sqrt(radius * radius - x * x));
            if (fits(leg.to.z_mm, meant)) return {'Z', std::round(meant * places) / places};
        }
    const double square = 2 * radius * z - z * z;
    const double per_radius = x_as_written(1, context.reader.settings());
    if (leg.moves_x && begins && square > 0)
        for (double near : {0.0, 1.0, -1.0}) { // The last digit of R is rounded
            const double meant =
                std::round((past + std::sqrt(square)) * per_radius * 1e4) / 1e4 + (by_nose ? near * 1e-4 : 0);
            const double rounded = by_nose ? meant : std::round(meant * places) / places;
            if (by_nose ? fits_swapped(leg.to.x_radius_mm * per_radius, rounded)
                        : fits(leg.to.x_radius_mm * per_radius, rounded))
                return {'X', rounded};
        }
    return {};
}

/// It swells beyond all that any tool begins a cut at: there is no metal out there.
bool tell_swollen(const WorksContext& context, const Workpiece& part, const Work& work, const Leg& leg,
                  Report& report) {
    constexpr double least_over_mm = 0.5;
    constexpr int chords = 48;
    if (!leg.is_arc || !leg.known || leg.of_cycle || leg.by_letters || leg.by_centre ||
        work.where != Work::Where::outside)
        return false;
    const auto farthest = [&](double radius) -> std::optional<double> {
        const motion::Arc arc = motion::arc_by_radius(leg.from, leg.to, radius, leg.clockwise, 0.05);
        if (arc.sweep == 0 || arc.trouble) return std::nullopt;
        motion::Segment segment = leg.segment();
        segment.centre = arc.centre;
        segment.sweep = arc.sweep;
        double most = 0;
        for (int i = 0; i <= chords; ++i)
            most = std::max(most, motion::point_at(segment, static_cast<double>(i) / chords).x_radius_mm);
        return most;
    };
    const double radius =
        std::hypot(leg.from.x_radius_mm - leg.centre.x_radius_mm, leg.from.z_mm - leg.centre.z_mm);
    const auto now = farthest(radius), then = farthest(10 * radius);
    const double ends = std::max(leg.from.x_radius_mm, leg.to.x_radius_mm);
    // A bar that nothing else is turned from is not known, and a ball may swell out of what is.
    const bool knows_bar = (part.first_clear_x - ends) * work.unit_mm >= least_over_mm;
    if (!knows_bar || !now || (*now - part.first_clear_x) * work.unit_mm < least_over_mm || !then ||
        *then > part.first_clear_x)
        return false;
    context.at(report, work, leg, "R")
        .message(said("This arc swells out to {}, and no cut of the program begins farther out than {}: "
                      "there is no metal, and what stands between stays uncut. R{} would stay within: is a "
                      "digit of R lost?",
                      context.x(std::round(*now * 1e3) / 1e3), context.x(part.first_clear_x),
                      written(std::round(10 * radius * 1e3) / 1e3)));
    return true;
}

/// Between a line along X and one along Z: its way along one axis is its radius, and along the other it is
/// not. Then one of its ends is wrong there.
bool tell_quarter(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    constexpr double least_off_mm = 0.05, same_mm = 0.002;
    const Leg &leg = work.legs[i], &before = work.legs[i - 1], &behind = work.legs[i + 1];
    const double mm = work.unit_mm, radius = std::hypot(leg.from.x_radius_mm - leg.centre.x_radius_mm,
                                                        leg.from.z_mm - leg.centre.z_mm);
    const auto along = [](const Leg& line, bool x) {
        return !line.is_arc && (x ? line.dz() == 0 && line.dx() != 0 : line.dx() == 0 && line.dz() != 0);
    };
    const bool corner =
        (along(before, true) && along(behind, false)) || (along(before, false) && along(behind, true));
    const double x_off = std::abs(std::abs(leg.dx()) - radius) * mm,
                 z_off = std::abs(std::abs(leg.dz()) - radius) * mm;
    if (!corner || leg.by_letters || std::min(x_off, z_off) > same_mm ||
        std::max(x_off, z_off) < least_off_mm)
        return false;
    const bool in_x = x_off > z_off;
    // Which way it goes along that axis the line beside it tells.
    const double way = in_x ? (along(before, true) ? before.dx() : behind.dx())
                            : (along(before, false) ? before.dz() : behind.dz());
    const double step = std::copysign(radius, way);
    const double from = in_x ? leg.from.x_radius_mm : leg.from.z_mm,
                 to = in_x ? leg.to.x_radius_mm : leg.to.z_mm;
    const auto spoken_at = [&](double value) {
        return in_x ? context.x(std::round(value * 1e4) / 1e4) : context.z(std::round(value * 1e4) / 1e4);
    };
    context.at(report, work, leg, in_x ? "XU" : "ZW")
        .message(
            said("R{0} between these two lines goes {0} along each axis: from {1} it would end at {2}, and "
                 "to {3} it would begin at {4}. As it stands it breaks from both lines, and the corner has "
                 "another shape. Is a digit of one of its ends wrong?",
                 written(std::round(radius * 1e4) / 1e4), spoken_at(from), spoken_at(from + step),
                 spoken_at(to), spoken_at(to - step)));
    return true;
}

void look_at(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &leg = work.legs[i], &before = work.legs[i - 1], &behind = work.legs[i + 1];
    if (!leg.is_arc || leg.by_centre || !is_line_or_arc(before) || !is_line_or_arc(behind)) return;
    if (const Meant meant = meant_at_centre(context, work, leg); meant.letter) {
        context.at(report, work, leg, std::string_view(&meant.letter, 1))
            .message(said("This arc does not stand square to the centre line where it meets it: a point or a "
                          "hollow is left on the face. {} would make it round there: is a digit of {} wrong?",
                          meant.letter + written(meant.value), meant.letter));
        return;
    }
    const motion::Segment arc = leg.segment();
    const Point in = motion::direction_at(before.segment(), 1),
                out = motion::direction_at(behind.segment(), 0);
    const double breaks_in = degrees_between(in, motion::direction_at(arc, 0)),
                 breaks_out = degrees_between(motion::direction_at(arc, 1), out);
    if (breaks_in < least_deg || breaks_out < least_deg) { // It runs on at one end, as programmed
        // A way of its radius along one axis, and of another along the other, runs on by chance.
        constexpr double kink_deg = 5;
        if (std::max(breaks_in, breaks_out) > kink_deg) tell_quarter(context, work, i, report);
        return;
    }
    const Point chord = leg.to - leg.from;
    const double by_in = tangent_radius(in, chord), by_out = tangent_radius(out, chord);
    const double mm = work.unit_mm;
    const bool both =
        std::abs(by_in - by_out) * mm < agree_mm && breaks_in < most_deg && breaks_out < most_deg;
    if (!both && tell_quarter(context, work, i, report)) return;
    double meant = 0;
    if (both)
        meant = (by_in + by_out) / 2;
    else if (breaks_in < most_at_one_end_deg && is_round(by_in * mm, mm))
        meant = by_in;
    else if (breaks_out < most_at_one_end_deg && is_round(by_out * mm, mm))
        meant = by_out;
    if (meant <= 0) return;
    motion::Arc other = motion::arc_by_radius(leg.from, leg.to, meant, leg.clockwise, 0.05);
    if (other.sweep == 0 || other.trouble) return;
    motion::Segment smooth = arc;
    smooth.centre = other.centre;
    smooth.sweep = other.sweep;
    const double then_in = degrees_between(in, motion::direction_at(smooth, 0)),
                 then_out = degrees_between(motion::direction_at(smooth, 1), out);
    const double best = both ? std::max(then_in, then_out) : std::min(then_in, then_out);
    if (best > smooth_deg) return;
    const double places = mm > 1 ? 1e4 : 1e3;
    context.at(report, work, leg, "R")
        .message(said("This arc breaks from the line before it by {:.0f} degrees and from the next by "
                      "{:.0f}. R{} would "
                      "run smoothly {}: is a digit of R wrong?",
                      breaks_in, breaks_out, written(std::round(meant * places) / places),
                      both                   ? said("into both")
                      : then_in < smooth_deg ? said("on from the line before it")
                                             : said("into the next")));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            for (std::size_t i = 1; !work->driven_tool && i + 1 < work->legs.size(); ++i)
                if (!tell_swollen(context, part, *work, work->legs[i], report))
                    look_at(context, *work, i, report);
}

} // namespace

extern const Check check{
    .id = "arc_misses_line",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Arc whose radius does not meet its lines",
    .documentation =
        "The arc breaks from the lines on both sides by a few degrees, and one other radius, the same for "
        "both or a round value, would run smoothly into them: a digit of R is wrong. The corner comes out "
        "with edges and another radius than drawn, and nothing alarms, for both ends are reached. "
        "Or an arc that meets the centre line does not stand square to it, and with one slip mended in X or "
        "Z "
        "it would: a ball or a dome gets a point or a hollow. Or an arc outside swells farther out than any "
        "cut of the program begins: R has lost a digit."
        " A quarter of a round between a line along X and one along Z, whose way along one axis alone is "
        "its radius, has a wrong end.",
    .works = works,
    .examples =
        {
            // It begins where it did before the diameter was changed, and runs on at its other end.
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X29.8 Z2.
G01 Z-30. F.15
X43.
G03 X48. Z-32. R2.
;   ^^^^ warning: arc_misses_line
G01 Z-48.
X53.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X29.8 Z2.
G01 Z-30. F.15
X44.
G03 X48. Z-32. R2.
G01 Z-48.
X53.
M30
)"},
            // A crown whose R has lost a nought, and a dome with the figures of its tool's nose.
            {System::B, R"(
G21 G90 G95
T0202
G96 S240 M03
G00 X42. Z2.
G01 Z-52. F.3
G00 X44. Z2.
X30.
G01 X35. Z-18.5 F.1
G03 X35. Z-47.5 R20.
;                  ^^^^ warning: arc_misses_line
G01 Z-51.
X44.
G00 X60. Z50.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0202
G96 S240 M03
G00 X42. Z2.
G01 Z-52. F.3
G00 X44. Z2.
X30.
G01 X35. Z-18.5 F.1
G03 X35. Z-47.5 R200.
G01 Z-51.
X44.
G00 X60. Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0303
G96 S1100 M03
G00 X1.3 Z.2
X-.0312
G01 Z0 F.006
G03 X1.1398 Z-.3062 R.7656 F.003
;   ^^^^^^^ warning: arc_misses_line
G01 X1.2 Z-.3156
Z-.55 F.004
X1.3
M30
)"},
            {System::C, R"(
G70 G90 G95
T0303
G96 S1100 M03
G00 X1.3 Z.2
X-.0312
G01 Z0 F.006
G03 X1.1938 Z-.3062 R.7656 F.003
G01 X1.2 Z-.3156
Z-.55 F.004
X1.3
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X38. Z2.
G01 Z-28. F.15
G02 X42. Z-30. R2.5
;              ^^^^ warning: arc_misses_line
G01 X54.
Z-40.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X48. Z-18.
G01 X44. F.2
Z-20. F.08
G03 X20. Z-39.596 R20.
;                 ^^^^ warning: arc_misses_line
G01 Z-54.
X46.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.2 Z.1
G01 Z-1. F.008
G02 X1.4 Z-1.1 R.1
G01 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X0 Z2.
G01 Z0 F.1
G03 X40. Z-10. R25.
G01 Z-30.
X50.
M30
)"},
            // A ball stands square to the centre line; 33.229 = 20 + sqrt(20 * 20 - 15 * 15).
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X0 Z2.
G01 Z0 F.1
G03 X30. Z-32.329 R20.
;         ^^^^^^^ warning: arc_misses_line
G01 Z-43.
X46.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X0 Z.1
G01 Z0 F.004
G03 X1.2 Z-.4 R.625
;        ^^^^ warning: arc_misses_line
G01 Z-1.
X1.5
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X0 Z2.
G01 Z0 F.1
G03 X30. Z-33.229 R20.
G01 Z-43.
X46.
M30
)"},
            // The cone before a round ends elsewhere than the round begins; the shoulder; and as it is meant.
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X30. Z2.
G01 X40. Z-3. F0.18
Z-20.
X74. Z-40.
Z-46.
G02 X72. Z-50. R4.
;   ^^^ warning: arc_misses_line
G01 X96.
Z-57.
X110.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X47. Z2.
G01 X53. Z-1. F0.15
Z-14.
G02 X61. Z-16. R4.
;       ^^^^ warning: arc_misses_line
G01 X70.
X80. Z-21.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X47. Z2.
G01 X53. Z-1. F0.15
Z-12.
G02 X61. Z-16. R4.
G01 X70.
X80. Z-21.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::arc_misses_line
