// A boring bar that goes outward at the bottom of the bore, where its other ways out go inward.
#include "checks/acts.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::bore_left_outward {

namespace {

/// A face is cut inward, too, but not so deep and not so short a way beside its depth.
constexpr double deep_mm = 5, share_of_depth = 1.0 / 3;
/// A nose that lifts off does not go so far.
constexpr double least_way_mm = 0.1;

bool one_axis(const Leg& leg, bool x) {
    // A Z that stays where it is may be written again.
    const bool by_x = leg.moves_x && (!leg.moves_z || (leg.known && leg.dz() == 0));
    return (x ? by_x : leg.moves_z && !leg.moves_x) && !leg.of_cycle && !leg.in_contour && !leg.is_arc;
}

/// From the end of a cut along Z by X alone, and from there in front of the part by Z alone.
bool is_way_out(const Work& work, std::size_t i) {
    const Leg &cut = work.legs[i - 1], &aside = work.legs[i], &out = work.legs[i + 1];
    return cut.cuts() && one_axis(cut, false) && one_axis(aside, true) && aside.kind != Leg::Kind::home &&
           aside.x_sign != 0 && out.kind == Leg::Kind::rapid && out.to.z_mm >= 0 &&
           (one_axis(out, false) || (out.known && out.moves_z && out.dz() > 0 && out.dx() <= 0));
}

/// It breaks the edge of a hole from in front of the face, inward, and goes on along the wall; the part is
/// thicker, and a tool before it has made a hole.
bool bores_by_shape(const Workpiece& part, const Work& work, const Leg& outward) {
    const bool has_hole = std::any_of(part.works.begin(), part.works.end(), [&](const Work* before) {
        return before != &work &&
               (before->where == Work::Where::on_centre || before->where == Work::Where::inside);
    });
    // Others have turned the part no thinner there than it would go.
    constexpr double thinnest_mm = 0.5;
    const double skin = outward.to.x_radius_mm + thinnest_mm / work.unit_mm;
    const bool is_thin = std::any_of(part.works.begin(), part.works.end(), [&](const Work* other) {
        return other != &work && other->where == Work::Where::outside && !is_blade(*other) &&
               std::any_of(other->legs.begin(), other->legs.end(), [&](const Leg& leg) {
                   return leg.cuts() && leg.known && leg.dz() < 0 && leg.to.x_radius_mm < skin &&
                          leg.from.z_mm > outward.from.z_mm && leg.to.z_mm <= outward.from.z_mm;
               });
    });
    if (!has_hole || is_thin) return false;
    for (std::size_t i = 0; i + 1 < work.legs.size(); ++i) {
        const Leg &edge = work.legs[i], &wall = work.legs[i + 1];
        const bool slants = edge.kind == Leg::Kind::feed && edge.known && !edge.of_cycle && edge.dx() < 0 &&
                            edge.dz() < 0 && edge.from.z_mm >= 0 && edge.to.z_mm < 0 &&
                            edge.dx() < 0.4 * edge.dz() && edge.dx() > 4 * edge.dz();
        if (slants && wall.cuts() && wall.known && wall.dx() == 0 && wall.dz() < 0 &&
            wall.to.x_radius_mm < outward.to.x_radius_mm)
            return true;
    }
    return false;
}

bool goes_off_inward(const Work& work, std::size_t i) {
    const Leg &cut = work.legs[i - 1], &aside = work.legs[i];
    return aside.x_sign < 0 && cut.to.z_mm * work.unit_mm < -deep_mm &&
           (!aside.known || -aside.dx() < -cut.to.z_mm * share_of_depth);
}

bool goes_into_wall(const Work& work, std::size_t i) {
    const Leg &cut = work.legs[i - 1], &aside = work.legs[i];
    return aside.x_sign > 0 && cut.known && cut.dz() < 0 && cut.to.z_mm * work.unit_mm < -deep_mm &&
           aside.known && aside.dx() * work.unit_mm > least_way_mm;
}

/// A tool of the same side of the part cuts as far out, so deep: nothing stands in the way there.
bool is_bored_so_wide(const WorksContext& context, const Workpiece& part, const Leg& outward) {
    constexpr double so_deep_mm = 1;
    for (const Work* work : part.works) {
        const bool bore = work->where == Work::Where::inside ||
                          context.spans[work->span].facts->acts.held->named.kind == NamedTool::Kind::bore;
        if (!bore) continue;
        for (const Leg& leg : work->legs) {
            if (!leg.cuts() || &leg == &outward) continue;
            const Point deep = leg.from.z_mm < leg.to.z_mm ? leg.from : leg.to;
            const double widest = std::max(leg.from.x_radius_mm, leg.to.x_radius_mm);
            // A rapid that meets metal is told of elsewhere, whatever stands in front of it.
            const bool wide = outward.kind == Leg::Kind::rapid
                                  ? widest >= outward.to.x_radius_mm
                                  : deep.x_radius_mm >= outward.to.x_radius_mm &&
                                        (deep.z_mm - outward.from.z_mm) * work->unit_mm < so_deep_mm;
            if (!leg.known || wide) return true;
        }
    }
    return false;
}

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, bool all_known,
             Report& report) {
    if (work.driven_tool) return;
    const Leg* outward = nullptr;
    std::size_t inward = 0;
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        if (!is_way_out(work, i)) continue;
        if (goes_off_inward(work, i)) ++inward;
        if (work.legs[i].x_sign < 0) continue;
        if (outward || !goes_into_wall(work, i)) return;
        outward = &work.legs[i];
    }
    if (!outward) return;
    const bool called_bore = context.spans[work.span].facts->acts.held->named.kind == NamedTool::Kind::bore;
    if (inward == 0 && called_bore && is_bored_so_wide(context, part, *outward)) return;
    const bool by_shape = inward == 0 && !called_bore;
    // Through a stock that is given more is told, and the same, but for a way that only scrapes along the
    // wall.
    if (by_shape && !bores_by_shape(part, work, *outward)) return;
    if (context.stock_is_given && outward->kind == Leg::Kind::rapid) return;
    // There `rapid_into_metal` follows it.
    if (all_known && work.where == Work::Where::inside && outward->kind == Leg::Kind::rapid) return;
    if (by_shape) {
        context.at(report, work, *outward, "XU")
            .message(
                said("Goes outward to {} at {}, into the wall of the bore just cut at {}, and then out of "
                     "it: the bar is pulled out through the wall. Go to a smaller X.",
                     context.x(outward->to.x_radius_mm), context.z(outward->from.z_mm),
                     context.x(outward->from.x_radius_mm)));
        return;
    }
    if (inward == 0) {
        context.at(report, work, *outward, "XU")
            .message(
                said("Goes outward to {} at {} and then out along Z: the note calls this a tool for a bore, "
                     "and its wall stands at {}. Go to a smaller X.",
                     context.x(outward->to.x_radius_mm), context.z(outward->from.z_mm),
                     context.x(outward->from.x_radius_mm)));
        return;
    }
    context.at(report, work, *outward, "XU")
        .message(
            said("Goes outward to {} at {}, into the wall of the bore just cut at {}, and then out along "
                 "Z: elsewhere this tool goes inward before it leaves. Go to a smaller X.",
                 context.x(outward->to.x_radius_mm), context.z(outward->from.z_mm),
                 context.x(outward->from.x_radius_mm)));
}

/// At the bottom of the bore outward by so little that it is no recess, and inward again from there: a groove
/// that nobody wants, where the tool was to lift off.
void look_at_lift(const WorksContext& context, const Work& work, Report& report) {
    constexpr double most_mm = 0.6;
    if (work.driven_tool || work.where != Work::Where::inside || is_blade(work)) return;
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &cut = work.legs[i - 1], &aside = work.legs[i], &back = work.legs[i + 1];
        const bool along = cut.kind == Leg::Kind::feed && cut.known && cut.dx() == 0 && cut.dz() < 0 &&
                           cut.to.z_mm * work.unit_mm < -deep_mm;
        const double out = aside.dx() * work.unit_mm;
        if (!along || !aside.known || !aside.moves_x || aside.dz() != 0 || aside.kind != Leg::Kind::feed ||
            aside.in_contour || out < least_way_mm || out > most_mm)
            continue;
        const bool goes_off = back.known && back.kind == Leg::Kind::rapid && back.dz() >= 0 &&
                              back.to.x_radius_mm < cut.to.x_radius_mm;
        if (!goes_off) continue;
        context.at(report, work, aside, "XU")
            .message(said(
                "At the end of the bore, at {}, this goes outward to {}, into the wall just cut at {}, and "
                "inward from there: it cuts a groove, where it was to lift off. Go to a smaller X.",
                context.z(cut.to.z_mm), context.x(aside.to.x_radius_mm), context.x(cut.to.x_radius_mm)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        bool all_known = true;
        for (const Work* work : part.works) {
            for (const Leg& leg : work->legs) all_known = all_known && (leg.known || !leg.cuts());
            look_at(context, part, *work, all_known, report);
            look_at_lift(context, *work, report);
        }
    }
}

} // namespace

extern const Check check{
    .id = "bore_left_outward",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Boring bar goes outward before it leaves the bore",
    .documentation =
        "At the bottom of a cut along Z the tool goes to a larger X and from there out in front of the part, "
        "while it goes to a smaller X at the end of its other cuts, as a tool in a bore has to: it is driven "
        "into the wall and pulled out through it. The minus of U is lost, or a digit of X is wrong. Go to an "
        "X "
        "smaller than the bore, then out in Z. A tool that leaves its cuts one way only is looked at where "
        "its note "
        "calls it one for a bore and nothing bores as far out."
        " At the end of a bore also a feed outward by a few tenths and inward again is told: it cuts a "
        "groove where the bar was to lift off.",
    .works = works,
    .examples =
        {
            // One way out, of a bore that its own edge shows; and the same on a spigot.
            {System::A, R"(
G21 G99
T0202
G97 S600 M03
G00 X0 Z5.
G01 Z-40. F.2
G00 Z50.
T0303
G97 S900 M03
G00 X30. Z1.
G01 X26. Z-1. F.1
Z-35.
X28.
;^^ warning: bore_left_outward
G00 X19. Z5.
X100. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S600 M03
G00 X0 Z5.
G01 Z-40. F.2
G00 Z50.
T0303
G97 S900 M03
G00 X30. Z1.
G01 X26. Z-1. F.1
Z-35.
X24.
G00 X19. Z5.
X100. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303 (BORE)
G97 S900 M03
G00 X22. Z2.
G01 Z-41. F.1
G00 X40. Z-41.
;   ^^^^ warning: bore_left_outward
Z5.
M30
)"},
            // The next pass shows which side it is on: a rapid into metal, and told as one.
            {System::A, R"(
G20 G99
T0505
G97 S800 M03
G00 X.985 Z.1
G01 Z-1.66 F.007
G00 U.03
Z.1
X1.12
G01 Z.02 F.005
X1. Z-.04
Z-1.66
G00 X.94
Z.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S800 M03
G00 X24. Z2.
#10=25.
N410 #10=#10+1.6
G00 X#10
G01 Z-37.9 F0.18
U-1.
G00 Z2.
IF[#10LT29.6]GOTO410
G00 X34. Z1.
G01 X30. Z-1. F0.08
Z-38.
X34.
;^^^ warning: bore_left_outward
G00 Z5.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S800 M03
G00 X26. Z2.
G01 Z-30. F0.15
X31.
;^^^ warning: bore_left_outward
G00 Z2.
X28.
G01 Z-30.
X25.
G00 Z2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404 (BORE 30)
G97 S800 M03
G00 X30. Z2.
G01 Z-40. F0.15
G00 X34.
;   ^^^^ warning: bore_left_outward
Z2.
M30
)"},
            {System::A, R"(
G21 G99
(BORE 30)
T0404
G97 S800 M03
G00 X36. Z2.
G01 Z-10. F0.15
X30.
Z-40.
G00 X34.
Z2.
M30
)"},
            {System::A, R"(
G20 G99
T0505
G97 S800 M03
G00 X.985 Z.1
G01 Z-1.66 F.007
G00 U-.03
Z.1
X1.
G01 Z-1.66
G00 X.94
Z.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X62. Z1.
G01 Z-6. F0.2
X30.
G00 Z1.
X56.
G01 Z-30.
X62.
G00 Z1.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S800 M03
G00 X26. Z2.
G01 Z-30. F0.15
X25.
G00 Z2.
X28.
G01 Z-30.
X34.
X25.
G00 Z2.
M30
)"},
            {System::A, R"(
G21 G99
T0808
G97 S500 M03
G00 X19.5 Z6.
X21.5
G32 Z-20.5 F3.
G00 X19.5
Z6.
X22.
G32 Z-20.5
G00 X29.5
;   ^^^^^ warning: bore_left_outward
Z6.
X22.4
G32 Z-20.5
G00 X19.5
Z6.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0808
G97 S500 M03
G00 X1.2 Z.2
X.97
G33 Z-.8 F.0625
G00 X1.2
Z.2
X.95
G33 Z-.8
G00 X1.3
Z.2
X.93
G33 Z-.8
G00 X1.2
Z.2
M30
)"},
            // At feed a little into the wall, and inward from there; and off it.
            {System::B, R"(
(STANGE RD 70 C45)
G21 G90 G95
T0202 (BOHRER 30)
G97 S450 M03
G00 X0 Z5.
G01 Z-45. F0.2
G00 Z5.
T0404 (BOHRSTANGE)
G97 S1000 M03
G00 X33. Z2.
G01 Z-40. F0.2
G00 X31.
Z2.
G00 X39.
G01 X35. Z-1. F0.1
Z-40.
X35.4 F0.5
;^^^^ warning: bore_left_outward
G00 X32.
Z5.
M30
)"},
            {System::B, R"(
(STANGE RD 70 C45)
G21 G90 G95
T0202 (BOHRER 30)
G97 S450 M03
G00 X0 Z5.
G01 Z-45. F0.2
G00 Z5.
T0404 (BOHRSTANGE)
G97 S1000 M03
G00 X33. Z2.
G01 Z-40. F0.2
G00 X31.
Z2.
G00 X39.
G01 X35. Z-1. F0.1
Z-40.
X34.4 F0.5
G00 X32.
Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::bore_left_outward
