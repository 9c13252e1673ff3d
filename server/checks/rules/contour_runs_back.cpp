// A taper whose Z runs back over what was just cut, and the next line comes all the way again: a digit is
// lost.
//
// The limits: common practice, no source.
#include "checks/noted_words.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace turnwright::checks::rules::contour_runs_back {

namespace {

constexpr double least_back_mm = 2, hairpin_deg = 140, least_share_on = 0.25;

bool is_line(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle && !leg.is_arc;
}

/// One digit more in the number as it is written brings it between the two.
bool digit_mends(double value, double one, double other) {
    const std::string text = fmt::format("{}", std::abs(value));
    for (std::size_t at = 0; at <= text.size(); ++at)
        for (char digit = '0'; digit <= '9'; ++digit) {
            std::string longer = text;
            longer.insert(at, 1, digit);
            const auto number = plain_number(longer); // A hair may be written with an exponent
            if (!number) continue;
            const double meant = std::copysign(*number, value);
            if (meant > std::min(one, other) && meant < std::max(one, other)) return true;
        }
    return false;
}

void look_at(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &in = work.legs[i], &out = work.legs[i + 1];
    if (!is_line(in) || !is_line(out) || in.by_letters || in.dx() == 0 || in.dx() * out.dx() < 0) return;
    const double back = std::abs(in.dz()), again = std::abs(out.dz());
    if (in.dz() * out.dz() >= 0 || back * work.unit_mm < least_back_mm) return;
    if (again - back < least_share_on * back ||
        degrees_between(in.to - in.from, out.to - out.from) < hairpin_deg)
        return;
    // The contour came the way that it goes on, or turned into this taper from a line along X.
    const Leg& before = work.legs[i - 1];
    if (!before.known || before.kind != Leg::Kind::feed || before.dz() * in.dz() > 0) return;
    if (!digit_mends(in.to.z_mm, in.from.z_mm, out.to.z_mm)) return;
    context.at(report, work, in, "Z")
        .message(said("The contour runs back here from {} to {}, over what it has just cut, and then "
                      "to {} all the way on. Is a digit lost?",
                      context.z(in.from.z_mm), context.z(in.to.z_mm), context.z(out.to.z_mm)));
}

/// In a cycle's contour toward the chuck, and then back along Z at the X that it has come to.
void look_at_way_back(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &in = work.legs[i], &back = work.legs[i + 1];
    if (!in.in_contour || !back.in_contour || !is_line(in) || !is_line(back) || in.by_letters ||
        back.by_letters)
        return;
    if (in.dz() >= 0 || in.dx() == 0 || back.dx() != 0 || back.dz() * work.unit_mm < least_back_mm) return;
    if (-in.dz() < 1.2 * back.dz() || in.side != back.side) return;
    const std::string text = written(std::abs(in.to.z_mm));
    const double doubled = text.size() > 1 && text[0] == text[1] ? -std::stod(text.substr(1)) : 0;
    for (const double meant : {in.to.z_mm / 10, doubled})
        if (meant < in.from.z_mm && meant > back.to.z_mm) {
            context.at(report, work, in, "Z")
                .message(said("The contour goes to {} here and comes back to {} along the same X, over what "
                              "it has just cut: it goes far too deep first. Is {} meant?",
                              context.z(in.to.z_mm), context.z(back.to.z_mm), context.z(meant)));
            return;
        }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            for (std::size_t i = 1; !work->driven_tool && i + 1 < work->legs.size(); ++i)
                look_at(context, *work, i, report), look_at_way_back(context, *work, i, report);
}

} // namespace

extern const Check check{
    .id = "contour_runs_back",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Contour that runs back over itself to one point",
    .documentation =
        "A slanting line goes back in Z by 2 mm or more, over what the same contour has just cut, and the "
        "next line goes all the way on again: a spike that no turned part has. Mostly a digit of Z is lost "
        "(Z-4. for Z-44.). The edge is pulled back through the shoulder and breaks, or leaves it standing. "
        "It is told where one more digit would bring Z between the points on either side.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
G01 Z-20. F0.15
G02 X38. Z-24. R4.
G01 X50.
X60. Z-4.
;    ^^^^ warning: contour_runs_back
Z-60.
X76.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-1.2 F.008
X1.25 Z-.15
;     ^^^^^ warning: contour_runs_back
Z-2.5
X3.
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
G01 Z-25. F0.12
X30. Z-3.
;    ^^^^ warning: contour_runs_back
Z-50.
N20 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X40. Z2.
G01 Z-20. F0.2
X41. Z-19.
G00 Z2.
X36.
G01 Z-20.
X30. Z-24.
Z-40.
X36. Z-38.
X40. Z-42.
Z-60.
X42. Z-20.
Z-61.
X50.
M30
)"},
            // Written so fine that it takes an exponent.
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1. Z.1
G01 Z-1.2 F.008
X1.25 Z.00001
Z-2.5
X3.
M30
)"},
            // The first digit doubled, in a contour that a cycle repeats.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X176. Z6.
G75 U2.5 W2.7 R3
G75 P100 Q108 U1. W0.3 F0.35
N100 G00 X102. Z2.
G01 X110. Z-2. F0.15
Z-15.
X156.
X160. Z-117.
;     ^^^^^^ warning: contour_runs_back
Z-37.
N108 X176.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::contour_runs_back
