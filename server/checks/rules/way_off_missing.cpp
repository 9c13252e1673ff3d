// A pass that goes straight back along the wall it has cut, in a row whose other passes lift off first.
//
// That the passes of a row end alike: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::way_off_missing {

namespace {

constexpr double least_cut_mm = 3;
/// A finishing pass may come back otherwise than the roughing does.
constexpr std::size_t enough_in_row = 2, enough_at_end = 3;

bool is_pass(const Work& work, const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && !leg.in_contour && !leg.is_arc &&
           !leg.run_at && leg.dx() == 0 && leg.from.x_radius_mm > 0 &&
           -leg.dz() * work.unit_mm >= least_cut_mm;
}

bool goes_back_along(const Leg& pass, const Leg& out) {
    return out.known && out.kind == Leg::Kind::rapid && !out.of_cycle && out.dx() == 0 &&
           out.to.z_mm >= pass.from.z_mm && out.side == motion::Side::off;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    std::size_t outward = 0, inward = 0;
    const Leg *pass = nullptr, *back = nullptr;
    bool goes_on = false;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &cut = work.legs[i - 1], &out = work.legs[i];
        if (!is_pass(work, cut)) continue;
        goes_on = goes_on || back;
        if (goes_back_along(cut, out)) {
            if (back) return;
            pass = &cut;
            back = &out;
        } else if (out.known && out.dx() != 0) {
            ++(out.dx() > 0 ? outward : inward);
        }
    }
    const std::size_t lifts = outward + inward;
    if (!back || (outward > 0 && inward > 0) || lifts < (goes_on ? enough_in_row : enough_at_end)) return;
    context.at(report, work, *back, "ZW")
        .message(said("The tool goes straight back at rapid along the wall that it has just cut at {}, to "
                      "{}: it scores it, and the shoulder at {} is not faced. {} other passes of this tool "
                      "go {} in X first. Is that block lost here?",
                      context.x(pass->to.x_radius_mm), context.z(back->to.z_mm), context.z(pass->to.z_mm),
                      lifts, outward > 0 ? said("outward") : said("inward")));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool && work->where != Work::Where::on_centre) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "way_off_missing",
    .family = Family::approach,
    .severity = Severity::information,
    .title = "Pass that does not lift off before it goes back",
    .documentation =
        "At the end of a pass along Z the tool goes straight back at rapid on the diameter that it has just "
        "cut, while two other passes of this tool or more (three, where it is the last) leave the wall in X "
        "first. The edge scores the wall, and the shoulder at the end of the pass is not faced. Mostly the "
        "block that leaves the wall is lost, or stands behind the rapid: put it in front. A tool that goes "
        "back so "
        "more than once is left alone, and so are turns of a loop and feeds on the centre.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X54. Z2.
X48.
G01 Z-50. F0.25
G00 Z2.
;   ^^^ information: way_off_missing
X43.
G01 Z-40.
X50.
G00 Z2.
X38.
G01 Z-40.
X45.
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0404
G96 S300 M03
G00 X1.1 Z.1
X1.2
G01 Z-1. F.008
X1.1
G00 Z.1
X1.3
G01 Z-1.
G00 Z.1
;   ^^^ information: way_off_missing
X1.4
G01 Z-1.
X1.1
G00 Z.1
X4. Z4.
M30
)"},
            // A finishing pass behind two of roughing, and a bar that always comes back so.
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X48. Z2.
G01 Z-50. F0.25
X50.
G00 Z2.
X43.
G01 Z-40.
X50.
G00 Z2.
X42.
G01 Z-40. F0.1
G00 Z2.
G00 X100. Z50.
T0404
G00 X20. Z2.
G01 Z-20. F0.1
G00 Z2.
X21.
G01 Z-20.
G00 Z2.
X22.
G01 Z-20.
X19.
G00 Z2.
X23.
G01 Z-10.
X19.
G00 Z5.
X100. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::way_off_missing
