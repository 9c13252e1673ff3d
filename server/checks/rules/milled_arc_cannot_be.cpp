// Arcs on the plane that C makes which no control can go, or which nobody means.
#include "checks/flat_way.h"
#include "language/said.h"

#include <cmath>
#include <numbers>

namespace turnwright::checks::rules::milled_arc_cannot_be {

namespace {

constexpr double tangent_deg = 4, corner_deg = 20, same_mm = 0.02;

double degrees_between(Flat a, Flat b) {
    return std::abs(std::arg(b / a)) * 180 / std::numbers::pi;
}

struct Looker {
    const FileContext& context;
    const FlatWay& way;
    Report& report;

    Report::Entry at(const FlatLeg& leg) {
        return report_at_code(report, context.reader(), leg.place,
                              leg.clockwise ? Meaning::arc_clockwise : Meaning::arc_counterclockwise);
    }
    std::string length(double units) const {
        return fmt::format("{:.3f} {}", units, way.mm > 2 ? "in" : "mm");
    }

    bool look_at_ends(const FlatLeg& leg) {
        if (leg.too_small) {
            report.at_letter(leg.place, 'R')
                .message(said(
                    "From start to end it is {}, and an arc of R{} reaches {} at most: the control alarms "
                    "with the cutter in the work. Is the point or a digit of R wrong?",
                    length(std::abs(leg.to - leg.from)), written(*leg.too_small),
                    length(2 * *leg.too_small)));
            return true;
        }
        if (leg.apart == 0) return false;
        at(leg).message(
            said("The end of this arc lies {} nearer to its centre or farther from it than its start: "
                 "the control alarms, or cuts into the part. Look at the end and at the signs of the "
                 "centre.",
                 length(leg.apart)));
        return true;
    }

    /// The other code would run smoothly into the lines on both sides.
    bool look_at_way(const FlatLeg& before, const FlatLeg& leg, const FlatLeg& behind) {
        if (!leg.centre || leg.full_circle || !before.is_line() || !behind.is_line()) return false;
        FlatLeg other = leg;
        other.clockwise = !leg.clockwise;
        if (!leg.by_centre) other.centre = leg.from + leg.to - *leg.centre;
        const auto breaks = [&](const FlatLeg& arc) {
            return std::pair(degrees_between(before.direction(1), arc.direction(0)),
                             degrees_between(arc.direction(1), behind.direction(0)));
        };
        const auto [now_in, now_out] = breaks(leg);
        const auto [then_in, then_out] = breaks(other);
        if (then_in > tangent_deg || then_out > tangent_deg || now_in < corner_deg || now_out < corner_deg)
            return false;
        const Meaning meant = leg.clockwise ? Meaning::arc_counterclockwise : Meaning::arc_clockwise;
        at(leg).message(
            said("This arc breaks from the line before it by {:.0f} degrees and from the next by {:.0f}; "
                 "{} runs smoothly into both. Write {}.",
                 now_in, now_out, code(context.settings(), meant), code(context.settings(), meant)));
        return true;
    }

    /// Circles round one middle, and one that has it with another sign.
    bool look_at_centre(const FlatLeg& leg) {
        if (!leg.full_circle) return false;
        const Flat off = *leg.centre - leg.from;
        std::size_t others = 0;
        std::optional<Flat> middle;
        for (const FlatLeg& other : way.legs) {
            if (&other == &leg || !other.full_circle) continue;
            if (middle && std::abs(*other.centre - *middle) * way.mm > same_mm) return false;
            middle = other.centre;
            ++others;
        }
        if (others < 2 || std::abs(*leg.centre - *middle) * way.mm <= same_mm) return false;
        const std::pair<Flat, std::string_view> flips[] = {
            {Flat(-off.real(), off.imag()), "I"}, {Flat(off.real(), -off.imag()), "J"}, {-off, "I, J"}};
        for (const auto& [flipped, letters] : flips)
            if (std::abs(leg.from + flipped - *middle) * way.mm <= same_mm) {
                at(leg).message(
                    said("The other circles here have their centre {} from this one's: with the other "
                         "sign of {} it would be the same. The cutter goes round beside the part, or "
                         "into it. Look at the sign.",
                         length(std::abs(*leg.centre - *middle)), letters));
                return true;
            }
        return false;
    }

    void look() {
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            const FlatLeg& leg = way.legs[i];
            if (!leg.is_arc || !leg.known() || leg.moves_across) continue;
            if (look_at_ends(leg) || (way.polar && look_at_centre(leg))) continue;
            if (i > 0 && i + 1 < way.legs.size()) look_at_way(way.legs[i - 1], leg, way.legs[i + 1]);
        }
    }
};

void file(const FileContext& context, Report& report) {
    for (const FlatWay& way : flat_ways(context)) Looker{context, way, report}.look();
}

} // namespace

extern const Check check{
    .id = "milled_arc_cannot_be",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Arc of a milled contour that cannot be meant",
    .documentation = "Arcs on the plane of X and C, or on the unrolled cylinder, are measured there: an R "
                     "that does not reach "
                     "from start to end, an end that is not as far from the centre as the start, an arc that "
                     "breaks from the "
                     "lines on both sides where G02 and G03 the other way round would run smoothly, and a "
                     "circle whose centre "
                     "has another sign than the circles beside it. X is taken as a diameter where the "
                     "program has it so, C as a "
                     "length on the face and as degrees on the cylinder.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G40 G98 G97
T0707
S1500 M03
G00 X90. Z-6. C0.
G12.1
G01 X24. C12. F200
G02 X40. C20. R.8
;             ^^^ warning: milled_arc_cannot_be
G01 X90.
G13.1
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0707
S3200 M03
G00 X2.5 Z-1. C0
G01 X2. F2.
G19
G07.1 C1.125
G01 C40. F6.
G02 Z-1.25 C52.732 R.25
G01 Z-1.5
G02 Z-1.75 C65.465 R.25
;^^ warning: milled_arc_cannot_be
G01 C120.
G07.1 C0
G18
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0404
S1300 M03
G00 X110. Z-10. C0
G12.1
G01 X80. F500
G02 I-34. J0 F160
G01 X68.
G02 I28. J0
;^^ warning: milled_arc_cannot_be
G01 X62.
G02 I-25. J0
G01 X110. F500
G13.1
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0404
S1300 M03
G00 X110. Z-10. C0
G12.1
G01 X80. F500
G02 I-34. J0 F160
G01 X68.
G02 I-28. J0
G01 X62.
G02 I-25. J0
G01 X110. F500
G13.1
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0707
S3200 M03
G00 X2.5 Z-1. C0
G01 X2. F2.
G19
G07.1 C1.125
G01 C40. F6.
G02 Z-1.25 C52.732 R.25
G01 Z-1.5
G03 Z-1.75 C65.465 R.25
G01 C120.
G07.1 C0
G18
M30
)"},
            {System::A, R"(
G21 G40 G98 G97
T0707
S1500 M03
G00 X90. Z-6. C0.
G12.1
G01 X40. C30. F200
C-12.
G02 X24. C-20. R8.
G01 X-24.
G02 X-40. C-12. R8.
G01 C12.
G02 X-24. C20. R8.
G01 X24.
G02 X40. C12. R8.
G01 C-5.
X90.
G13.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::milled_arc_cannot_be
