// A cut that takes what a later finishing cut was to find: a digit, the point or the sign of its X is wrong.
#include "checks/cuts_so_far.h"
#include "checks/slips.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

namespace turnwright::checks::rules::rough_beyond_finish {

namespace {

constexpr double least_over_mm = 0.04; ///< On radius; what rounding and springing explain is less
constexpr double least_way_mm = 2;
constexpr double share_in_air = 0.9, share_of_one = 0.6;

struct Air {
    const Work* work = nullptr; ///< That has cut there before
    const Leg* leg = nullptr;
    double over = 0; ///< Most, on radius
};

/// How much of a leg lies in what each cut before has taken away.
struct InAir {
    std::size_t all = 0, in_air = 0; ///< Places along it
    std::map<const Leg*, std::pair<std::size_t, Air>> by;
};
InAir in_air_of(const CutsSoFar& cuts, const Work& work, const Leg& leg) {
    InAir found;
    cuts.along(leg, [&](const CutsSoFar::Cut& cut, double x) {
        ++found.all;
        const double over = cut.leg ? -cuts.metal(cut, x) : 0;
        if (over * work.unit_mm < least_over_mm) return;
        ++found.in_air;
        auto& [count, air] = found.by[cut.leg];
        ++count;
        air = {cut.work, cut.leg, std::max(air.over, over)};
    });
    return found;
}

/// One of the passes of a loop: what they leave is held to the finish in loop_unlike_finish.
bool is_turn(const Air& air) {
    const auto is_other_turn = [&](const Leg& leg) {
        return leg.run_at == air.leg->run_at && leg.kind == air.leg->kind &&
               leg.from.x_radius_mm != air.leg->from.x_radius_mm &&
               leg.from.z_mm == air.leg->from.z_mm; // No chords of one contour
    };
    return air.leg->run_at && std::any_of(air.work->legs.begin(), air.work->legs.end(), is_other_turn);
}

/// Nearly all of the leg lies in what one cut before has taken away.
std::optional<Air> air_of(const CutsSoFar& cuts, const Work& work, const Leg& leg) {
    const auto [all, in_air, by] = in_air_of(cuts, work, leg);
    if (static_cast<double>(all) * cuts.step() * work.unit_mm < least_way_mm) return std::nullopt;
    if (static_cast<double>(in_air) < share_in_air * static_cast<double>(all)) return std::nullopt;
    for (const auto& [owner, found] : by)
        if (static_cast<double>(found.first) > share_of_one * static_cast<double>(all)) return found.second;
    return std::nullopt;
}

/// It goes along the wall as finishing does: on from a cut into it, or from it to the next.
bool is_of_contour(const Work& work, const Leg& leg) {
    const Leg* before = &leg == work.legs.data() ? nullptr : &leg - 1;
    return leg.dz() < 0 && std::abs(leg.dx()) <= std::abs(leg.dz()) && before && before->cuts() &&
           before->known && !before->of_cycle && before->dx() != 0 && before->dz() <= 0;
}

/// Where it begins at a shoulder, an earlier cut from in front of that has gone on past it: the shoulder is
/// gone.
std::optional<Air> past_shoulder(const CutsSoFar& cuts, const Work& work, const Leg& leg) {
    // At a shoulder that is faced on the way less tells it.
    const Leg* before = &leg == work.legs.data() ? nullptr : &leg - 1;
    const double least_past_mm = before && before->cuts() && before->dz() == 0 && before->dx() != 0 ? 0.3 : 1;
    constexpr double least_height_mm = 0.5;
    struct Place {
        CutsSoFar::Cut cut;
        double over;
    };
    if (leg.is_arc) return std::nullopt;
    std::vector<Place> places; // From the face on, or the other way round
    cuts.along(leg, [&](const CutsSoFar::Cut& cut, double x) {
        places.push_back({cut, cut.leg ? -cuts.metal(cut, x) : 0});
    });
    std::reverse(places.begin(), places.end()); // They come from low Z to high
    if (places.empty() || !places.front().cut.leg) return std::nullopt;
    const Leg* owner = places.front().cut.leg;
    std::size_t past = 0;
    double over = HUGE_VAL;
    while (past < places.size() && places[past].cut.leg == owner &&
           places[past].over * work.unit_mm > least_height_mm)
        over = std::min(over, places[past++].over);
    const double step = cuts.step();
    const bool from_in_front =
        owner->from.z_mm > leg.from.z_mm + least_past_mm / work.unit_mm && owner->dz() < 0;
    const bool ends_there = past < places.size() && owner->to.z_mm < leg.from.z_mm && owner->dx() == 0;
    if (!from_in_front || !ends_there || static_cast<double>(past) * step * work.unit_mm < least_past_mm)
        return std::nullopt;
    return Air{places.front().cut.work, owner, over};
}

/// From a cut before it, or beside it by the nose: no lone pass.
bool goes_on(const Work& work, const Leg& leg) {
    const Leg* before = &leg == work.legs.data() ? nullptr : &leg - 1;
    return leg.side != motion::Side::off ||
           (before && before->cuts() && before->known && !before->of_cycle && before->dz() <= 0);
}

/// The way on which nose compensation comes on: to the shape, and none of it.
bool leads_in(const Work& work, const Leg& leg) {
    return leg.side != motion::Side::off &&
           (&leg == work.legs.data() || (&leg - 1)->side == motion::Side::off);
}

/// Below a taper or a round that is finished, a straight cut ends that has gone on too far.
std::optional<Air> into_slope(const CutsSoFar& cuts, const Work& work, const Leg& leg) {
    constexpr double least_mm = 0.3;
    const double least_length_mm = leg.is_arc ? 0.5 : 2, at_end_mm = 0.05; // A fillet is short
    const bool rises = work.where == Work::Where::inside ? leg.dx() < 0 : leg.dx() > 0;
    if (!rises || leg.dz() >= 0 || leads_in(work, leg)) return std::nullopt;
    const InAir air = in_air_of(cuts, work, leg);
    for (const auto& [owner, found] : air.by) {
        // The nose leaves some of a fillet: only one that is gone to its end is told.
        const bool ends_in_it =
            owner->to.z_mm > leg.to.z_mm - 1 / work.unit_mm &&
            owner->to.z_mm < (leg.is_arc ? leg.to.z_mm + at_end_mm / work.unit_mm : leg.from.z_mm);
        // Of the short chords of an arc only the places that they cover whole are counted.
        const double share = static_cast<double>(found.first) / static_cast<double>(air.all),
                     length = leg.is_arc ? share * -leg.dz() : static_cast<double>(found.first) * cuts.step();
        const bool is_much =
            found.second.over * work.unit_mm > least_mm && length * work.unit_mm > least_length_mm;
        // Of a taper that is roughed steeper or flatter: to be told from another pass of it, it is finished
        // by another tool, or with nose compensation.
        constexpr double lead_in_mm = 5;
        const bool tapers = owner->dx() * leg.dx() > 0 && !leg.is_arc &&
                            (leg.side != motion::Side::off || found.second.work != &work) &&
                            owner->from.z_mm > leg.from.z_mm - lead_in_mm / work.unit_mm;
        const bool straight = owner->dx() == 0 && owner->from.z_mm > leg.from.z_mm;
        if (is_much && ends_in_it && owner->dz() < 0 && !owner->is_arc && (straight || tapers))
            return found.second;
    }
    return std::nullopt;
}

/// The word that gave the cut its end.
Report::Entry at_giver_of_z(const WorksContext& context, const Air& air, Report& report) {
    const Leg* giver = air.leg;
    while (giver != air.work->legs.data() && !giver->moves_z) --giver;
    return context.at_giver(report, *air.work, *giver, "ZW");
}

void tell_into_slope(const WorksContext& context, const Air& air, const Work& work, const Leg& leg,
                     Report& report) {
    at_giver_of_z(context, air, report)
        .message(
            said("This cut at {} goes on to {}, and what is finished there rises from {} {} to {} {}: up to "
                 "{} of it is gone before, on diameter. Is a digit of Z wrong?",
                 context.x(air.leg->to.x_radius_mm), context.z(air.leg->to.z_mm),
                 context.x(leg.from.x_radius_mm), context.z(leg.from.z_mm), context.x(leg.to.x_radius_mm),
                 context.z(leg.to.z_mm), spoken(std::round(2 * air.over * 100) / 100)))
        .related(context.place(work, leg), said("the finishing cut"));
}

/// Between two tapers: the angle of the first is wrong, or where it stands.
void tell_taper(const WorksContext& context, const Air& air, const Work& work, const Leg& leg,
                Report& report) {
    const Leg& rough = *air.leg;
    context.at_giver(report, *air.work, rough, rough.of_cycle ? "RXU" : "XU")
        .message(said(
            "This cut tapers from {} {} to {} {}, and what is finished there from {} {} to {} {}: up to {} "
            "of it is gone before, on diameter. Is the taper or a digit of it wrong?",
            context.x(rough.from.x_radius_mm), context.z(rough.from.z_mm), context.x(rough.to.x_radius_mm),
            context.z(rough.to.z_mm), context.x(leg.from.x_radius_mm), context.z(leg.from.z_mm),
            context.x(leg.to.x_radius_mm), context.z(leg.to.z_mm),
            spoken(std::round(2 * air.over * 100) / 100)))
        .related(context.place(work, leg), said("the finishing cut"));
}

void tell_past_shoulder(const WorksContext& context, const Air& air, const Work& work, const Leg& leg,
                        Report& report) {
    at_giver_of_z(context, air, report)
        .message(
            said("This cut at {} goes on to {}, and behind it the contour has its shoulder at {}: {} of what "
                 "is to stay there is gone before. Is a digit of Z wrong?",
                 context.x(air.leg->to.x_radius_mm), context.z(air.leg->to.z_mm), context.z(leg.from.z_mm),
                 context.x(leg.from.x_radius_mm)))
        .related(context.place(work, leg), said("the finishing cut"));
}

/// The cut comes from in front of the shoulder that this finish begins at, and one slip in its Z ends it
/// there.
bool beyond_its_shoulder(const Air& air, const Work& work, const Leg& leg) {
    constexpr double near_mm = 2;
    const double shoulder = leg.from.z_mm, end = air.leg->to.z_mm;
    if (air.leg->from.z_mm <= shoulder || end > leg.to.z_mm) return false;
    for (double allowance : {0.0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.5, 1.0, 1.2, 1.5})
        for (double step : {shoulder, std::round(shoulder), shoulder + 1 / work.unit_mm}) {
            const double meant = step + allowance / work.unit_mm;
            if (std::abs(meant - shoulder) * work.unit_mm > near_mm) continue;
            if (slip_between(end, std::round(meant * 1e4) / 1e4) == Slip::digits_swapped) return true;
        }
    return false;
}

/// Two swapped digits of the finish's X, and none of the rough cut's, keep the two from what finishing takes.
bool tell_slip_of_finish(const WorksContext& context, const Air& air, const Work& work, const Leg& leg,
                         Report& report) {
    constexpr double most_left_mm = 0.5; ///< On radius
    if (!leg.moves_x) return false;
    const double rough = std::abs(air.leg->to.x_radius_mm), finish = std::abs(leg.to.x_radius_mm),
                 most = most_left_mm / work.unit_mm, per_radius = x_as_written(1, context.reader.settings()),
                 side = finish > rough ? 1 : -1;
    const auto swapped = [&](double number, double low, double high) -> std::optional<double> {
        const double as_written = std::round(number * per_radius * 1e4) / 1e4;
        for (const double meant : slips_of(as_written)) {
            const double x = meant / per_radius;
            if (slip_between(as_written, meant) == Slip::digits_swapped && x > low && x < high) return meant;
        }
        return std::nullopt;
    };
    const auto in_finish =
        side > 0 ? swapped(finish, rough - most, rough) : swapped(finish, rough, rough + most);
    const auto in_rough =
        side > 0 ? swapped(rough, finish, finish + most) : swapped(rough, finish - most, finish);
    if (!in_finish || in_rough) return false;
    context.at(report, work, leg, "XU")
        .message(
            said("The finishing cut goes to {}, and {} is what the cut before has left there: it goes "
                 "through air, and the size is wrong. X{} is meant, perhaps: two of its digits are swapped.",
                 context.x(leg.to.x_radius_mm), context.x(air.leg->to.x_radius_mm), written(*in_finish)))
        .related(context.place(*air.work, *air.leg), said("the cut before"));
    return true;
}

void look_at(const WorksContext& context, const Workpiece& part, bool inside, Report& report) {
    CutsSoFar cuts(part.z_min, part.z_max, inside);
    const Work::Where side = inside ? Work::Where::inside : Work::Where::outside;
    for (const Work* work : part.works) {
        if (std::any_of(work->legs.begin(), work->legs.end(),
                        [](const Leg& leg) { return leg.cuts() && !leg.known; }))
            return; // What it has left is not known
        if (work->driven_tool || work->where != side || is_blade(*work) || plunges_into_face(*work)) continue;
        for (const Leg& leg : work->legs) {
            if (!cuts_along(leg)) continue;
            const auto air =
                leg.of_cycle || !is_of_contour(*work, leg) ? std::nullopt : air_of(cuts, *work, leg);
            if (air && air->leg->dz() * leg.dz() > 0 && beyond_its_shoulder(*air, *work, leg))
                return tell_past_shoulder(context, *air, *work, leg, report);
            if (air && air->leg->dz() * leg.dz() > 0 &&
                tell_slip_of_finish(context, *air, *work, leg, report))
                return;
            if (air && air->leg->dz() * leg.dz() > 0 && !is_turn(*air)) {
                context.at(report, *air->work, giver_of_x(*air->work, *air->leg), "XU")
                    .message(said(
                        "This cut goes to {}, and behind it the contour is finished to {} there: {} is gone "
                        "before, on diameter, and the finishing cut goes through air. Is a digit of X wrong?",
                        context.x(air->leg->to.x_radius_mm), context.x(leg.to.x_radius_mm),
                        spoken(std::round(2 * air->over * 1000) / 1000)))
                    .related(context.place(*work, leg), said("the finishing cut"));
                return;
            }
            const auto past =
                leg.of_cycle || !is_of_contour(*work, leg) ? std::nullopt : past_shoulder(cuts, *work, leg);
            if (past) return tell_past_shoulder(context, *past, *work, leg, report);
            const bool is_contour = !leg.of_cycle && goes_on(*work, leg);
            if (const auto slope = is_contour ? into_slope(cuts, *work, leg) : std::nullopt;
                slope && !is_turn(*slope))
                return slope->leg->dx() == 0 ? tell_into_slope(context, *slope, *work, leg, report)
                                             : tell_taper(context, *slope, *work, leg, report);
            cuts.cut(*work, leg);
        }
    }
}

/// X of the leg at a Z that it crosses; nullopt: it begins, ends or stays there.
std::optional<double> x_where_crossed(const Leg& leg, double z, double margin) {
    const double low = std::min(leg.from.z_mm, leg.to.z_mm), high = std::max(leg.from.z_mm, leg.to.z_mm);
    if (z < low + margin || z > high - margin) return std::nullopt;
    constexpr int chords = 48;
    Point from = leg.from;
    for (int i = 1; i <= chords; ++i) {
        const Point to = motion::point_at(leg.segment(), static_cast<double>(i) / chords);
        if ((from.z_mm - z) * (to.z_mm - z) <= 0 && from.z_mm != to.z_mm)
            return from.x_radius_mm +
                   (to.x_radius_mm - from.x_radius_mm) * (z - from.z_mm) / (to.z_mm - from.z_mm);
        from = to;
    }
    return std::nullopt;
}

/// A floor that begins or ends at the plunge, and whose X is its own with a slip.
bool is_floor_of_slip(const WorksContext& context, const Leg& floor, const Leg& plunge) {
    constexpr double same = 1e-6;
    const bool meets =
        std::abs(floor.to.z_mm - plunge.to.z_mm) < same || std::abs(floor.from.z_mm - plunge.to.z_mm) < same;
    const double one = x_as_written(plunge.to.x_radius_mm, context.reader.settings()),
                 other = x_as_written(floor.to.x_radius_mm, context.reader.settings());
    const Slip slip = slip_between(std::round(one * 1e4) / 1e4, std::round(other * 1e4) / 1e4);
    return meets && floor.dx() == 0 && (slip == Slip::digits_swapped || slip == Slip::point_moved);
}

/// A round or grooving tool opens a shape by plunges, and it or a later tool follows it: one plunge goes
/// beyond the shape.
void look_at_plunges(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    constexpr double beyond_mm = 0.2, margin_mm = 0.3, beyond_of_other_mm = 0.6;
    const double mm = work.unit_mm;
    for (const Leg& plunge : work.legs) {
        const Leg* out = next_of(work, plunge);
        const bool comes_out =
            plunge.of_cycle || (out && out->kind == Leg::Kind::rapid && out->known && out->dx() > 0);
        const bool opens = is_plunge(plunge) && plunge.dx() < 0 && plunge.to.z_mm < 0 && out && comes_out;
        if (!opens) continue;
        bool is_behind = false;
        for (const Work* later : part.works) {
            is_behind = is_behind || later == &work;
            const bool is_own = later == &work;
            if (!is_behind || later->driven_tool || later->where == Work::Where::inside) continue;
            if (!is_own && (is_blade(*later) || later->where != Work::Where::outside)) continue;
            for (const Leg& leg : later->legs) {
                if ((is_own && &leg <= out) || !cuts_along(leg) || leg.of_cycle || leads_in(*later, leg))
                    continue;
                // Beside a straight wall its nose or the blade's other corner may stand.
                auto x = x_where_crossed(leg, plunge.to.z_mm, margin_mm / mm);
                // Along a floor that ends there, where a slip tells it from a relief in the corner.
                if (!x && is_own && is_floor_of_slip(context, leg, plunge)) x = leg.to.x_radius_mm;
                if (!x || (*x - plunge.to.x_radius_mm) * mm < (is_own ? beyond_mm : beyond_of_other_mm) ||
                    *x > plunge.from.x_radius_mm - beyond_mm / mm || (!is_own && !leg.is_arc))
                    continue;
                const auto entry_text =
                    is_own ? said("This plunge goes to {} at {}, and the same tool follows the shape at {} "
                                  "there: it cuts into what is to stand. Is a digit of X wrong?",
                                  context.x(plunge.to.x_radius_mm), context.z(plunge.to.z_mm),
                                  context.x(std::round(*x * 1e4) / 1e4))
                           : said("This plunge goes to {} at {}, and a later tool finishes the round at {} "
                                  "there: it cuts into what is to stand. Is a digit of X or Z wrong?",
                                  context.x(plunge.to.x_radius_mm), context.z(plunge.to.z_mm),
                                  context.x(std::round(*x * 1e4) / 1e4));
                context.at(report, work, plunge, "XU")
                    .message(entry_text)
                    .related(context.place(*later, leg), said("the shape"));
                return;
            }
        }
    }
}

/// A face is cut in toward the centre, and a later tool turns along where the metal would have to stand.
void look_at_faces(const WorksContext& context, const Workpiece& part, Report& report) {
    constexpr double least_mm = 0.5, over_mm = 0.3;
    for (std::size_t w = 0; w < part.works.size(); ++w) {
        const Work& work = *part.works[w];
        const auto is_outside = [](const Work& one) {
            return !one.driven_tool && one.where != Work::Where::inside &&
                   one.where != Work::Where::on_centre && !is_blade(one);
        };
        if (!is_outside(work)) continue;
        const double mm = work.unit_mm;
        for (const Leg& face : work.legs) {
            const bool is_face = face.known && face.kind == Leg::Kind::feed && !face.in_contour &&
                                 !face.is_arc && face.dz() == 0 && face.dx() < 0 && face.of_cycle &&
                                 face.to.z_mm * mm < -least_mm;
            if (!is_face) continue;
            for (std::size_t later = w + 1; later < part.works.size(); ++later) {
                const Work& other = *part.works[later];
                if (!is_outside(other)) continue;
                for (const Leg& leg : other.legs) {
                    const bool over = leg.known && leg.kind == Leg::Kind::feed && !leg.of_cycle &&
                                      leg.dx() == 0 && (leg.from.z_mm - face.to.z_mm) * mm > over_mm &&
                                      (face.to.z_mm - leg.to.z_mm) * mm > over_mm &&
                                      (leg.to.x_radius_mm - face.to.x_radius_mm) * mm > over_mm &&
                                      leg.to.x_radius_mm < face.from.x_radius_mm;
                    if (!over) continue;
                    context.at(report, work, giver_of_x(work, face), "XU")
                        .message(
                            said("This face at {} is cut in to {}, and a later tool turns along there at "
                                 "{}: what it is to find is gone. Is a digit of X wrong?",
                                 context.z(face.to.z_mm), context.x(face.to.x_radius_mm),
                                 context.x(leg.to.x_radius_mm)))
                        .related(context.place(other, leg), said("the finishing cut"));
                    return;
                }
            }
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) look_at_faces(context, part, report);
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool && work->where != Work::Where::inside)
                look_at_plunges(context, part, *work, report);
    if (context.stock_is_given) return; // What cuts only air is told there
    for (const Workpiece& part : context.parts)
        for (bool inside : {false, true}) look_at(context, part, inside, report);
}

} // namespace

extern const Check check{
    .id = "rough_beyond_finish",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Cut that takes what the finish should find",
    .documentation =
        "A roughing cut goes nearer to the centre than the contour that is finished behind it, or in a bore "
        "farther out: the finishing tool meets air there and the part is scrap. Mostly two digits changed "
        "places, the point slipped, or the allowance has gone to the wrong side.",
    .works = works,
    .examples =
        {
            // Faces cut in beyond the boss that is finished; and as it is meant.
            {System::B, R"(
G21 G90 G95
T0202
G97 S500 M03
G00 X212. Z6.
G79 X105.6 Z-2.4 F0.3
;   ^^^^^^ warning: rough_beyond_finish
Z-4.9
Z-9.8
G77 X203. Z-28.
G00 X250. Z50.
T0404
G97 S600 M03
G00 X142. Z2.
G01 X150. Z-2. F0.15
Z-10.
X208.
G00 X250. Z50.
M30
)"},
            {System::A, R"(
G20 G99
T0202
G97 S500 M03
G00 X8.2 Z.2
G94 X6.02 Z-.1 F0.01
Z-.2
Z-.38
G00 X9. Z5.
T0404
G97 S600 M03
G00 X5.8 Z.1
G01 X6. Z-.06 F0.006
Z-.4
X8.2
G00 X9. Z5.
M30
)"},
            // A groove opened by a cycle, and its bottom finished by the same tool.
            {System::B, R"(
G20 G90 G95
T0505
G96 S500 M03
G00 X1.35 Z-.625
G75 R.02
G75 X.071 Z-1. P1000 Q1000 F.004
;   ^^^^^ warning: rough_beyond_finish
G00 X1.35 Z-.625
G01 X.7 F.004
Z-1.
G00 X1.35
M30
)"},
            {System::A, R"(
G21 G99
T0505
G96 S150 M03
G00 X34. Z-15.
G75 R.5
G75 X18.4 Z-25. P2000 Q2500 F.1
G00 X34. Z-15.
G01 X18. F.1
Z-25.
G00 X34.
M30
)"},
            // A taper roughed in steps, one of which is too long.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X31. Z1.
G01 Z-37. F0.3
G00 U1. W.5
Z1.
X26.
G01 Z-35.3
;   ^^^^^^ warning: rough_beyond_finish
G00 U1. W.5
Z1.
X23.
G01 Z-19.2
G00 U1. W.5
Z1.
G28 U0 W0
T0303
G00 X20. Z2.
G01 Z-15. F0.12
X30. Z-35.
Z-36.
X52.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X31. Z1.
G01 Z-37. F0.3
G00 U1. W.5
Z1.
X26.
G01 Z-25.3
G00 U1. W.5
Z1.
X23.
G01 Z-19.2
G00 U1. W.5
Z1.
G28 U0 W0
T0303
G00 X20. Z2.
G01 Z-15. F0.12
X30. Z-35.
Z-36.
X52.
M30
)"},
            // A face groove: X is where the tool stands, and Z how deep.
            {System::A, R"(
G21 G99
T0404
G96 S110 M03
G00 X90. Z3.
G01 Z-3.9 F0.07
G00 Z1.
X92.
G01 Z-3.9
G00 Z1.
X88.
G01 Z-3.9
G00 Z1.
X93.
G01 Z0.2 F0.1
X92. Z-0.3 F0.05
Z-4.
X89.
G00 Z5.
X250. Z150.
T0606
G97 S450 M03
G00 X52. Z3.
G74 R1.
G74 Z-24.4 Q4000 F0.06
G00 Z5.
X250. Z150.
T0808
G96 S150 M03
G00 X61. Z3.
G90 X63. Z-25.6 F0.2
X63.6
X64.
G00 Z50.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S800 M03
G00 X43. Z2.
G77 X47. Z-62. F.22
X49.4
G77 X53. Z-17.9 F.22
X57.
X64.1
;^^^^ warning: rough_beyond_finish
G00 Z10.
X250. Z150.
T0505
G00 X66. Z8.
X68. Z2.
G01 X62. Z-1. F.1
Z-18.
X52.
X50. Z-19.
Z-61.
X47.
G00 Z5.
X250. Z150.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2.1 Z.1
X1.8
G01 Z-1.2 F.012
X1.9
G00 Z.1
X1.25
;^^^^ warning: rough_beyond_finish
G01 Z-1.2
X1.9
G00 Z.1
T0303
G00 X1.3 Z.1
G01 X1.5 Z-.05 F.005
Z-1.2
X2.1
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X48. Z-40.
G01 X21. F.1
G00 X48.
Z-36.5
G01 X20.6
;   ^^^^^ warning: rough_beyond_finish
G00 X48.
Z-18.
G01 X44. F.2
Z-20. F.08
G03 X20. Z-39.596 R22.
G01 Z-54.
X46.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X48. Z-40.
G01 X21. F.1
G00 X48.
Z-36.5
G01 X30.6
G00 X48.
Z-18.
G01 X44. F.2
Z-20. F.08
G03 X20. Z-39.596 R22.
G01 Z-54.
X46.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G20 X46. Z-29.9 F.25
X42.
X40.5
G00 X36. Z1.
G01 X40. Z-1. F.1
Z-30.
X52.
G00 Z50.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2.1 Z.1
G71 U.1 R.02
G71 P10 Q20 U.02 W.005 F.012
N10 G00 X1.2
G01 X1.5 Z-.05 F.006
Z-1.
N20 X2.1
G00 X4. Z4.
T0303
G00 X2.1 Z.1
G70 P10 Q20
G00 X4. Z4.
M30
)"},
            {System::C, R"(
T0101
G96 S170 M03
G00 X62. Z2.
G20 X55. Z-59.8 F.28
X50.6
X46.5 Z-38.4
;     ^^^^^^ warning: rough_beyond_finish
X42.6
G00 X150. Z80.
T0303
G96 S220 M03
G00 X36. Z1.
G01 X42. Z-2. F.12
Z-35.
X48.
G03 X50. Z-36. K-1.
G01 Z-60.
X64.
G00 X150. Z80.
M30
)"},
            {System::C, R"(
T0101
G96 S170 M03
G00 X62. Z2.
G20 X55. Z-59.8 F.28
X50.6
X46.5 Z-34.8
X42.6
G00 X150. Z80.
T0303
G96 S220 M03
G00 X36. Z1.
G01 X42. Z-2. F.12
Z-35.
X48.
G03 X50. Z-36. K-1.
G01 Z-60.
X64.
G00 X150. Z80.
M30
)"},
            // Past the shoulder, by a variable that is set once.
            {System::A, R"(
G21 G99
#103=-97.8
;^^^^^^^^^ warning: rough_beyond_finish
T0101
G97 S800 M03
G00 X106. Z2.
G01 X100.6 F0.5
Z-96. F0.3
X106.
G00 Z2.
X60.6
G01 Z#103
X99.
G00 X120. Z5.
T0202
G00 X56. Z2.
G01 X60. Z-2. F0.1
Z-80.
X98.
X100. Z-81.
Z-96.
X106.
G00 X120. Z5.
M30
)"},
            // Plunges behind a ball that the next tool finishes: one at the wrong place, and as it is meant.
            {System::B, R"(
G20 G90 G95
T0202
G97 S900 M03
G00 X1.4 Z-1.33
G01 X.53 F.004
G00 X1.4
Z-1.02
G01 X.86
;   ^^^^ warning: rough_beyond_finish
G00 X1.4
Z-1.11
G01 X1.06
G00 X1.5
X6. Z5.
T0303
G97 S900 M03
G00 X0 Z.2
G42 G01 Z0 F.02
G03 X.5 Z-1.1978 I0 K-.625 F.003
G01 Z-1.45
X1.25
G40 G00 X1.6
X6. Z5.
M30
)"},
            {System::A, R"(
G20 G99
T0202
G97 S900 M03
G00 X1.4 Z-1.33
G01 X.53 F.004
G00 X1.4
Z-1.22
G01 X.86
G00 X1.4
Z-1.11
G01 X1.06
G00 X1.5
X6. Z5.
T0303
G97 S900 M03
G00 X0 Z.2
G42 G01 Z0 F.02
G03 X.5 Z-1.1978 R.625 F.003
G01 Z-1.45
X1.25
G40 G00 X1.6
X6. Z5.
M30
)"},
            {System::B, R"(
(O9100 CHANGES THE TOOL)
G21 G90 G95
G97 S600 M03
G00 X86. Z2.
X76.
G01 Z0 F.2
X80. Z-2. F.12
Z-50.
X86.
G00 Z80.
M98 P9100
G97 S500 M03
G00 X29. Z2.
G01 X32. F1.
Z-52. F.25
X30.
G00 Z2.
X38.
G01 Z0 F.2
X34. Z-2. F.1
Z-52.
X33.
G00 Z80.
M98 P9199
M30
)"},
            // Two plunges and the floor between them, one with its digits swapped.
            {System::A, R"(
G21 G99
T0505
G97 S420 M03
G00 X54. Z-26.
X27.
G01 X12.7 F0.08
;   ^^^^^ warning: rough_beyond_finish
G04 X0.3
G00 X27.
Z-25.
G01 X21.7
Z-26. F0.05
G00 X54.
M30
)"},
            // A corner that is undercut below the floor.
            {System::B, R"(
G21 G90 G95
T0505
G97 S420 M03
G00 X54. Z-26.
X27.
G01 X21.2 F0.08
G00 X27.
Z-25.
G01 X21.7
Z-26. F0.05
G00 X54.
M30
)"},
            // The digits of the finish are swapped, and no slip is in the rough cut's.
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X1.85 Z.1
G77 X1.63 Z-7.6 F.012
X1.4 Z-4.49
X1.15
G00 X1.27 Z-1.2
G77 X1.145 Z-4.49 R-.0685 F.01
G00 X12. Z10.
T0202
G96 S550 M03
G00 X.9 Z.06
G01 Z-1.25 F.005
X.96
X1. Z-1.27
X1.3146 Z-4.5
;^^^^^^ warning: rough_beyond_finish
X1.46
X1.5 Z-4.52
Z-7.5
X1.77
G00 X12. Z10.
M30
)"},
            // A little past the shoulder; through a fillet; and both as they are meant.
            {System::C, R"(
G71 G90 G95
T0101
G97 S1200 M03
G00 X64. Z4.
G20 X56.6 Z-18.2 F0.25
X53. Z-16.9
;    ^^^^^^ warning: rough_beyond_finish
X50.6
G00 X42. Z2.
G01 X50. Z-2. F0.12
Z-16.
X54.
X56. Z-17.
Z-18.2
X62.
G00 X80. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1200 M03
G00 X42. Z2.
G90 X25.3 Z-60. F0.25
;         ^^^^ warning: rough_beyond_finish
G00 X23. Z1.
G01 X25. Z-1. F0.1
Z-58.
G02 X29. Z-60. R2.
G01 X42.
G00 X80. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S1200 M03
G00 X64. Z4.
G20 X56.6 Z-18.2 F0.25
X53. Z-15.9
X50.6
G00 X42. Z2.
G01 X50. Z-2. F0.12
Z-16.
X54.
X56. Z-17.
Z-18.2
X62.
G00 X80. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1200 M03
G00 X42. Z2.
G90 X25.3 Z-58. F0.25
G00 X23. Z1.
G01 X25. Z-1. F0.1
Z-58.
G02 X29. Z-60. R2.
G01 X42.
G00 X80. Z50.
M30
)"},
            // Roughed at half the taper; and as it is to be.
            {System::A, R"(
G21 G99
T0202 (BAR D20)
G97 S1400 M03
G00 X31. Z3.
G00 X39.4
G01 Z0 F0.3
X36.333 Z-46. F0.2
;^^^^^^ warning: rough_beyond_finish
G00 X31.
Z5.
G41 G01 X40.4 Z3. F0.5
X33.867 Z-46. F0.08
G40 G00 X31.
Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S1000 M03
G00 X46. Z-44.
G20 X44.4 Z-86. R-8.4 F0.25
;               ^^^^^ warning: rough_beyond_finish
G00 X90. Z50.
T0303
G97 S1200 M03
G00 X32. Z-44.
G01 Z-46. F0.12
X40. Z-86.
X46.
G00 X90. Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S1000 M03
G00 X46. Z-44.
G20 X44.4 Z-86. R-4.2 F0.25
X40.5 R-4.2
G00 X90. Z50.
T0303
G97 S1200 M03
G00 X32. Z-44.
G01 Z-46. F0.12
X40. Z-86.
X46.
G00 X90. Z50.
M30
)"},
            // On the far side of the centre.
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M04
G00 X-54. Z2.
X-41.
;^^^^ warning: rough_beyond_finish
G01 Z-60. F0.3
G00 X-52.
Z2.
X-38.6
G01 Z-40. F0.3
G00 X-52.
Z2.
T0303
G97 S1200 M04
G00 X-36. Z2.
G01 Z0 F0.1
X-38. Z-1.
Z-40.
X-41.6
Z-60.
X-52.
G00 Z50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M04
G00 X-54. Z2.
X-42.
G01 Z-60. F0.3
G00 X-52.
Z2.
X-38.6
G01 Z-40. F0.3
G00 X-52.
Z2.
T0303
G97 S1200 M04
G00 X-36. Z2.
G01 Z0 F0.1
X-38. Z-1.
Z-40.
X-41.6
Z-60.
X-52.
G00 Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rough_beyond_finish
