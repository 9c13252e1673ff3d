// A contour that goes straight on where it should turn: a line of it is lost, or two have changed places.
//
// That nobody ends a line of a contour for nothing: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::contour_goes_straight_on {

namespace {

enum class Way : std::uint8_t { none, out, in, up, down };

bool is_feed(const Leg& leg) {
    return leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle;
}

/// Along one axis, by its own word.
Way way_of(const Leg& leg) {
    if (!is_feed(leg) || leg.is_arc || leg.by_letters) return Way::none;
    if (leg.dz() == 0 && leg.dx() != 0) return leg.dx() > 0 ? Way::out : Way::in;
    if (leg.dx() == 0 && leg.dz() != 0) return leg.dz() > 0 ? Way::up : Way::down;
    return Way::none;
}

/// Stated in the block itself: a feed or a speed of its own ends the line before for a reason.
bool states_anew(const WorksContext& context, const Work& work, const Leg& leg) {
    const BlockPlace at = context.place(work, leg);
    return find_letter(context.reader, at, 'F') || find_letter(context.reader, at, 'S') ||
           find_letter(context.reader, at, 'M');
}

bool goes_on(const WorksContext& context, const Work& work, std::size_t i) {
    const Leg &leg = work.legs[i], &next = work.legs[i + 1];
    const Way way = way_of(leg);
    if (way == Way::none || way_of(next) != way || next.behind_other || leg.side != next.side) return false;
    if (leg.run_at || next.run_at || leg.in_contour != next.in_contour) return false;
    return !states_anew(context, work, next);
}

/// Ways in and out are divided as it comes.
bool is_within(const Leg& before, const Leg& leg, const Leg& next, const Leg& behind) {
    const bool from_in_front = !is_feed(before) && leg.dx() == 0 && leg.from.z_mm >= 0 && leg.to.z_mm < 0;
    const bool begun = from_in_front || (is_feed(before) && before.in_contour == leg.in_contour);
    return begun && is_feed(behind) && behind.in_contour == next.in_contour;
}

/// Legs from this one on that are told; 0: none.
std::size_t look_at(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &leg = work.legs[i], &next = work.legs[i + 1], &behind = work.legs[i + 2];
    if (leg.from.x_radius_mm <= 0 || leg.to.z_mm >= 0 || !is_within(work.legs[i - 1], leg, next, behind) ||
        !goes_on(context, work, i))
        return 0;
    const bool along_z = leg.dx() == 0;
    const auto place = [&](const Leg& of, bool z) {
        return z ? context.z(of.to.z_mm) : context.x(of.to.x_radius_mm);
    };
    // A step whose two blocks changed places makes two such pairs.
    const Leg* last = next_of(work, behind);
    const bool crossed = last && (behind.dx() == 0) != along_z && goes_on(context, work, i + 2);
    const std::string why =
        crossed ? said("Behind it {} and {} lie in one line, too. Have two blocks changed places?",
                       place(behind, !along_z), place(*last, !along_z))
                : said("Is the block between them lost, or one of the two meant along the other axis?");
    context.at(report, work, leg, along_z ? "Z" : "X")
        .message(said("The contour goes to {} and straight on to {}: the first of them says nothing. {}",
                      place(leg, along_z), place(next, along_z), why));
    return crossed ? 4 : 2;
}

/// An edge broken at 45 degrees, from a line along X or from in front of the part.
bool is_edge(const Work& work, const Leg& before, const Leg& leg) {
    constexpr double widest_mm = 3.1, same_mm = 0.0015;
    if (!is_feed(leg) || leg.is_arc || leg.dx() == 0 || leg.dz() >= 0) return false;
    if (std::abs(std::abs(leg.dx()) + leg.dz()) * work.unit_mm > same_mm ||
        -leg.dz() * work.unit_mm > widest_mm)
        return false;
    const bool along_x = is_feed(before) && before.dz() == 0 && before.dx() * leg.dx() > 0;
    return along_x || (leg.from.z_mm >= 0 && leg.from.x_radius_mm > 0);
}

/// Behind an edge comes a line along Z, and no face.
void look_at_edge(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg &leg = work.legs[i], &next = work.legs[i + 1], &behind = work.legs[i + 2];
    if (!is_edge(work, work.legs[i - 1], leg) || leg.run_at || next.run_at || !is_feed(next) || next.is_arc ||
        next.dz() != 0 || next.dx() * leg.dx() <= 0 || next.behind_other || leg.side != next.side)
        return;
    if (!is_feed(behind) || behind.dz() >= 0 || behind.in_contour != next.in_contour || leg.by_letters ||
        behind.side != next.side)
        return;
    if (states_anew(context, work, next)) return;
    context.at(report, work, next, "X")
        .message(said("Behind the broken edge at {} the contour goes on along X to {}, and only then along "
                      "Z: {} is never turned along. Is the block with its Z lost, or has it changed places "
                      "with this one?",
                      context.x(leg.to.x_radius_mm), context.x(next.to.x_radius_mm),
                      context.x(leg.to.x_radius_mm)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || is_blade(*work)) continue;
            for (std::size_t i = 1; i + 2 < work->legs.size(); ++i) {
                look_at_edge(context, *work, i, report);
                if (const std::size_t told = look_at(context, *work, i, report)) i += told - 1;
            }
        }
}

} // namespace

extern const Check check{
    .id = "contour_goes_straight_on",
    .family = Family::words,
    .severity = Severity::information,
    .title = "Contour that goes straight on where it should turn",
    .documentation =
        "Within a contour two blocks go one behind the other along the same axis and the same way, with no "
        "feed, speed or M code of its own in the second: the first of them says nothing. Mostly the block "
        "between them is lost (the shoulder, the step, the chamfer), or two blocks have changed places, and "
        "the tool cuts a diameter over a length that is not its own. Write the block that is missing, or put "
        "the two in order. The same is said of an edge broken at 45 degrees that goes on along X, and only "
        "behind that "
        "along Z. Ways in and out of a contour are not looked at, nor blades and feeds on the "
        "centre.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X42. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X16.
G01 X20. Z-2. F0.12
Z-28.
;^^^^ information: contour_goes_straight_on
Z-45.
X36.
X38. Z-46.
Z-60.
N20 X42.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G96 S500 M03
G00 X1. Z.1
G01 Z-1. F.008
;   ^^^^ information: contour_goes_straight_on
Z-2.
X1.5
X2.
Z-3.
X2.5
G00 X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G96 S200 M03
G00 X30. Z2.
G01 Z-20. F0.15
X36.
;^^^ information: contour_goes_straight_on
X40.
Z-25.
X46.
X48. Z-26.
X52.
;^^^ information: contour_goes_straight_on
Z-40.
X60.
G00 X100. Z50.
M30
)"},
            // With a feed of its own, in front of the face, on the way out, and with the compensation taken
            // off.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X30. Z5.
G01 Z2. F0.3
Z0
Z-20. F0.15
Z-22. F0.05
X36.
Z-30.
X40.
X44.
G00 X100. Z50.
G00 G42 X20. Z2.
G01 Z-10. F0.1
X24.
G40 X30.
X34. Z-12.
G00 X100. Z50.
M30
)"},
            // The edge of the bar, and a seat.
            {System::C, R"(
G71 G90 G95
T0202
G96 S200 M03
G00 X20. Z2.
G01 Z0 F0.15
X30. Z-5.
X36.
Z-20.
X46.
X50. Z-22.
X54.
G00 X100. Z50.
M30
)"},
            // A blade goes in by steps, a drill by depths; a dwell or a speed stands between.
            {System::B, R"(
G21 G90 G95
T0404
G97 S600 M03
G00 X42. Z-20.
G01 X36. F0.08
X30.
X24.
X44. F0.5
G00 X100. Z50.
T0505
G00 X0 Z2.
G01 Z-5. F0.05
Z-10.
Z-15.
G00 Z2.
T0606
G96 S150
G00 X20. Z2.
G01 Z-10. F0.1
G04 X0.5
Z-20.
S120
Z-30.
X42.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::contour_goes_straight_on
