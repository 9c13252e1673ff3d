// G41 for G42 or the reverse on a contour milled round the axis with C.
#include "checks/flat_way.h"
#include "language/said.h"

#include <cmath>
#include <numbers>

namespace turnwright::checks::rules::milled_on_wrong_side {

namespace {

constexpr double once_round_deg = 270;

/// The legs with compensation on, from the one that leads to the contour to the one that leads off.
struct Stretch {
    std::size_t lead_in, last;
};

/// Degrees that the way goes round the axis; above 0: G03 does.
double degrees_round(std::span<const FlatLeg> legs) {
    double degrees = 0;
    for (const FlatLeg& leg : legs)
        if (leg.known() && std::abs(leg.from) > 0 && std::abs(leg.to) > 0)
            degrees += std::arg(leg.to / leg.from) * 180 / std::numbers::pi;
    return degrees;
}

void look_at(const FileContext& context, const FlatWay& way, Stretch stretch, Report& report) {
    const FlatLeg& lead_in = way.legs[stretch.lead_in];
    const std::span<const FlatLeg> contour =
        std::span(way.legs).subspan(stretch.lead_in + 1, stretch.last - stretch.lead_in);
    if (contour.empty() || !lead_in.known()) return;
    const double round = degrees_round(contour);
    if (std::abs(round) < once_round_deg) return;
    double farthest = 0;
    for (const FlatLeg& leg : contour) {
        if (!leg.known() || !leg.feeds || leg.moves_across || leg.side != lead_in.side) return;
        farthest = std::max({farthest, std::abs(leg.from), std::abs(leg.to)});
    }
    // From outside: whoever mills a recess goes in from above.
    if (std::abs(lead_in.from) <= farthest || lead_in.moves_across || !lead_in.feeds) return;
    // Round as G03 goes the axis lies to the left.
    const bool inside = (round > 0) == (lead_in.side == motion::Side::left);
    if (!inside) return;
    const bool is_left = lead_in.side == motion::Side::left;
    const std::string found = code(context.settings(),
                                   is_left ? Meaning::compensation_left : Meaning::compensation_right),
                      meant = code(context.settings(),
                                   is_left ? Meaning::compensation_right : Meaning::compensation_left);
    report_at_code(report, context.reader(), lead_in.place,
                   is_left ? Meaning::compensation_left : Meaning::compensation_right)
        .message(said(
            "The cutter comes from outside and goes round the axis as {} does, and {} puts it on the inner "
            "side of the contour: what is milled comes out smaller by the cutter's diameter all round. "
            "Write {}.",
            code(context.settings(), round > 0 ? Meaning::arc_counterclockwise : Meaning::arc_clockwise),
            found, meant));
}

void file(const FileContext& context, Report& report) {
    for (const FlatWay& way : flat_ways(context)) {
        if (!way.polar) continue;
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            const auto is_on = [&](std::size_t at) {
                return way.legs[at].side && *way.legs[at].side != motion::Side::off;
            };
            if (!is_on(i)) continue;
            Stretch stretch{i, i};
            while (stretch.last + 1 < way.legs.size() && is_on(stretch.last + 1)) ++stretch.last;
            look_at(context, way, stretch, report);
            i = stretch.last;
        }
    }
}

} // namespace

extern const Check check{
    .id = "milled_on_wrong_side",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Milled contour compensated to the wrong side",
    .documentation = "On the plane of X and C a cutter comes from outside and is led round the axis: it "
                     "mills the outside of a "
                     "hexagon, a square or a cam, and has to stay outside of the contour. Round as G03 goes "
                     "the outside lies to "
                     "the right (G42), the other way round to the left (G41). On the other side the cutter "
                     "goes in by its whole "
                     "diameter. Recesses, which are entered from above, and single lines are not looked at.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G40 G98 G97
T1111
S1400 M03
G00 X80. Z2. C0.
Z-12.
G12.1
G42 G01 X36. C0. F120
;^^ warning: milled_on_wrong_side
C-10.392
X0. C-20.785
X-36. C-10.392
C10.392
X0. C20.785
X36. C10.392
C-2.
G40 G01 X80. F400
G13.1
M30
)"},
            {System::C, R"(
G70 G90 G94 G97 G40
T0707
S3000 M03
G00 X1.8 Z-.3 C0
G112
G01 X1.8 C-.8 F30.
G41 X.69 F12.
;^^ warning: milled_on_wrong_side
C.345
X-.69
C-.345
X1.3
G40 X1.8 F30.
G113
M30
)"},
            {System::B, R"(
G21 G90 G94 G97 G40
T0707
S3000 M03
G00 X70. Z-12. C0.
G12.1
G01 X70. C20. F400
G41 X30. F180
C-8.66
X0. C-17.321
X-30. C-8.66
C8.66
X0. C17.321
X45. C4.33
G40 X80. F400
G13.1
M30
)"},
            // A recess: the cutter goes in along Z.
            {System::A, R"(
G21 G40 G98 G97
T1111
S1400 M03
G00 X0. Z2. C0.
G12.1
G01 Z-5. F60
G41 G01 X20. C-5. F120
C5.
G03 X10. C10. R5.
G01 X-10.
X-20. C5.
C-5.
X-10. C-10.
X10.
X20. C-5.
G40 G01 X0. C0.
Z2.
G13.1
M30
)"},
            // One wall of a slot through the face.
            {System::C, R"(
G71 G90 G94 G97 G40
T1111
S1400 M03
G00 X60. Z-5. C0.
G12.1
G01 X20. C-30. F300
G41 G01 X12. F120
C30.
G40 G01 X60.
G13.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::milled_on_wrong_side
