// A groove that is plunged in several cuts side by side, one of them to another depth by one slip of a hand.
#include "checks/noted_blade.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::groove_bottom_uneven {

namespace {

/// On radius: less is what a cut leaves for the one that finishes.
constexpr double least_mm = 0.4;
constexpr double usual_blade_mm = 2.5, same_mm = 0.02;

struct Plunge {
    const Leg* leg = nullptr;
    double back_to = 0; ///< X that it is drawn out to
};

/// Empty: the tool does more than go straight in and out again.
std::vector<Plunge> plunges_of(const Work& work, bool inside) {
    std::vector<Plunge> plunges;
    const double out = inside ? -1 : 1;
    bool is_out = true;
    for (std::size_t i = 0; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        if (leg.of_cycle || leg.in_contour || leg.kind == Leg::Kind::thread || leg.is_arc) return {};
        // Fed along Z it is on its way to the next plunge.
        if (leg.cuts() && (!leg.known || (leg.dz() != 0 && (leg.dx() != 0 || !is_out)))) return {};
        if (leg.dx() != 0) is_out = leg.dx() * out > 0;
        if (!is_plunge(leg) || leg.dx() * out >= 0) continue;
        const Leg* back = next_of(work, leg);
        if (!back || !back->known || back->dz() != 0 || back->dx() * out <= 0) return {};
        plunges.push_back({&leg, back->to.x_radius_mm});
    }
    return plunges;
}

/// The leg whose words give the Z that it is plunged at.
const Leg& giver_of_z(const Work& work, const Leg& leg) {
    const Leg* giver = &leg;
    while (giver != work.legs.data() && !giver->moves_z) --giver;
    return *giver;
}

/// Fed along Z, other than to the next plunge: it may clean the bottom.
bool has_way_along(const Work& work) {
    return std::any_of(work.legs.begin(), work.legs.end(), [](const Leg& leg) {
        return leg.kind == Leg::Kind::feed && leg.known && leg.dz() != 0 && leg.to.z_mm < 0;
    });
}

void look_at(const WorksContext& context, const Work& work, bool inside, Report& report) {
    const std::vector<Plunge> plunges = plunges_of(work, inside);
    if (plunges.size() < 2 || is_part_off(context, work)) return;
    const double mm = work.unit_mm;
    const double width = noted_blade(context, work).width.value_or(usual_blade_mm / mm);
    const double per_radius = x_as_written(1, context.reader.settings());
    const auto same = [&](double a, double b) { return std::abs(a - b) * mm < same_mm; };
    for (std::size_t i = 1; i < plunges.size(); ++i) {
        const Leg &one = *plunges[i - 1].leg, &other = *plunges[i].leg;
        const double step = std::abs(one.to.z_mm - other.to.z_mm);
        if (step * mm < same_mm || step > width - same_mm / mm) continue;
        const double off = std::abs(one.to.x_radius_mm - other.to.x_radius_mm);
        if (off * mm < least_mm || !same(plunges[i - 1].back_to, plunges[i].back_to)) continue;
        // A third one beside them may be the step of a groove that has one.
        const auto beside = std::count_if(plunges.begin(), plunges.end(), [&](const Plunge& plunge) {
            const double z = plunge.leg->to.z_mm;
            return std::min(std::abs(z - one.to.z_mm), std::abs(z - other.to.z_mm)) < width &&
                   !same(z, one.to.z_mm) && !same(z, other.to.z_mm);
        });
        const auto again = std::count_if(plunges.begin(), plunges.end(), [&](const Plunge& plunge) {
            const double z = plunge.leg->to.z_mm;
            return same(z, one.to.z_mm) || same(z, other.to.z_mm);
        });
        if (beside > 0 || again > 2) continue;
        const auto as_written = [&](double x) { return std::round(x * per_radius * 1e4) / 1e4; };
        const Slip slip = slip_between(as_written(one.to.x_radius_mm), as_written(other.to.x_radius_mm));
        const bool likely =
            slip == Slip::other_digit || slip == Slip::digits_swapped || slip == Slip::point_moved;
        // Two that make one groove and go out to one diameter have one bottom.
        if (!likely && (plunges.size() != 2 || has_way_along(work))) continue;
        context.at(report, work, other, "XU")
            .message(said("This plunge goes to {}, and the one beside it, {} from it and in the same groove, "
                          "to {}: the bottom gets a step of {}. Is a digit of X wrong in one of them?",
                          context.x(other.to.x_radius_mm), spoken(std::round(step * 1e4) / 1e4),
                          context.x(one.to.x_radius_mm), spoken(std::round(off * 1e4) / 1e4)))
            .related(context.place(work, one), said("the plunge beside it"));
        return;
    }
}

/// Two plunges and more beside each other to one bottom, and one that goes deeper: a pit stays that no way
/// along the bottom takes off.
bool look_for_pit(const WorksContext& context, const Work& work, bool inside, Report& report) {
    if (is_part_off(context, work)) return false;
    const double mm = work.unit_mm, out = inside ? -1 : 1;
    const double width = noted_blade(context, work).width.value_or(usual_blade_mm / mm);
    const double per_radius = x_as_written(1, context.reader.settings());
    std::vector<const Leg*> plunges;
    for (const Leg& leg : work.legs) {
        if (leg.of_cycle || leg.in_contour || leg.is_arc || leg.kind == Leg::Kind::thread) return false;
        if (leg.cuts() && !leg.known) return false;
        if (leg.cuts() && leg.dx() != 0 && leg.dz() != 0) return false; // A flank
        if (is_plunge(leg) && leg.dx() * out < 0) plunges.push_back(&leg);
    }
    const auto same = [&](double a, double b) { return std::abs(a - b) * mm < same_mm; };
    for (const Leg* pit : plunges) {
        std::size_t equal = 0;
        const Leg* beside = nullptr;
        bool is_odd = true;
        for (const Leg* other : plunges) {
            const double step = std::abs(other->to.z_mm - pit->to.z_mm);
            if (other == pit || step > 2.2 * width) continue;
            if (same(step, 0) || (other->to.x_radius_mm - pit->to.x_radius_mm) * out * mm < least_mm ||
                (beside && !same(beside->to.x_radius_mm, other->to.x_radius_mm)))
                is_odd = false;
            ++equal;
            if (!beside || step < std::abs(beside->to.z_mm - pit->to.z_mm)) beside = other;
        }
        // A way along the bottom of the others counts for one.
        equal += beside && std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
                     return leg.kind == Leg::Kind::feed && leg.known && leg.dx() == 0 &&
                            same(leg.to.x_radius_mm, beside->to.x_radius_mm) && !same(leg.dz(), 0);
                 });
        if (!is_odd || equal < 2 || std::abs(beside->to.z_mm - pit->to.z_mm) > width) continue;
        const auto as_written = [&](double x) { return std::round(x * per_radius * 1e4) / 1e4; };
        const Slip slip = slip_between(as_written(pit->to.x_radius_mm), as_written(beside->to.x_radius_mm));
        if (slip == Slip::none) continue;
        context.at(report, work, *pit, "XU")
            .message(
                said("This plunge goes to {}, and the cuts beside it in the same groove to {}: a pit {} "
                     "deeper stays in its bottom. Is a digit of X wrong?",
                     context.x(pit->to.x_radius_mm), context.x(beside->to.x_radius_mm),
                     spoken(std::round(std::abs(beside->to.x_radius_mm - pit->to.x_radius_mm) * 1e4) / 1e4)))
            .related(context.place(work, *beside), said("the plunge beside it"));
        return true;
    }
    return false;
}

/// The last plunge of a groove, and from it along the bottom to where none has gone: that place was meant to
/// be plunged, and the plunge stands elsewhere.
void look_for_lost_place(const WorksContext& context, const Work& work, bool inside, Report& report) {
    constexpr double near_mm = 0.5, one_groove_mm = 14, most_way_mm = 6, same_bottom_mm = 0.3, least_mm = 0.8;
    const double mm = work.unit_mm, out = inside ? -1 : 1;
    if (is_part_off(context, work)) return;
    std::vector<const Leg*> plunges;
    for (std::size_t i = 0; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        if (leg.of_cycle || leg.in_contour || leg.is_arc || (leg.cuts() && !leg.known)) return;
        if (is_plunge(leg) && leg.dx() * out < 0) plunges.push_back(&leg);
        if (plunges.size() < 2 || &leg != plunges.back() + 1 || leg.kind != Leg::Kind::feed) continue;
        const Leg &last = *plunges.back(), &first = *plunges[plunges.size() - 2];
        const double way = std::abs(leg.dz()) * mm;
        if (leg.dx() != 0 || way < least_mm || way > most_way_mm || leg.by_letters) continue;
        if (std::abs(first.to.x_radius_mm - last.to.x_radius_mm) * mm > same_bottom_mm ||
            std::abs(first.to.z_mm - last.to.z_mm) * mm > one_groove_mm)
            continue;
        double low = leg.to.z_mm, high = leg.to.z_mm;
        bool there = false;
        for (const Leg* plunge : plunges) {
            there = there || std::abs(plunge->to.z_mm - leg.to.z_mm) * mm < near_mm;
            low = std::min(low, plunge->to.z_mm);
            high = std::max(high, plunge->to.z_mm);
        }
        // Between two of them it cleans a part of the bottom.
        if (there || (low < leg.to.z_mm && leg.to.z_mm < high)) continue;
        context.at(report, work, leg, "ZW")
            .message(
                said("The bottom of this groove is cut along to {}, and no plunge of it has gone there: the "
                     "blade is pressed sideways into the full wall, and breaks. Is {} meant for the plunge "
                     "at {}?",
                     context.z(leg.to.z_mm), context.z(leg.to.z_mm), context.z(first.to.z_mm)))
            .related(context.place(work, giver_of_z(work, first)), said("the plunge beside it"));
        return;
    }
}

/// Into a face, beside each other, and one several times as deep: its point is a place off.
void look_at_face(const WorksContext& context, const Work& work, Report& report) {
    constexpr double times = 3, least_off_mm = 1, widest_mm = 6;
    const double mm = work.unit_mm;
    std::vector<const Leg*> plunges;
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &leg = work.legs[i], &before = work.legs[i - 1];
        if (leg.of_cycle || leg.in_contour) return;
        if (leg.kind == Leg::Kind::feed && leg.known && leg.dx() == 0 && leg.dz() < 0 && leg.from.z_mm > 0 &&
            leg.to.z_mm < 0 && leg.to.x_radius_mm > 0 && before.kind == Leg::Kind::rapid)
            plunges.push_back(&leg);
    }
    for (std::size_t i = 1; i < plunges.size(); ++i) {
        const Leg &one = *plunges[i - 1], &other = *plunges[i];
        const double beside = std::abs(one.to.x_radius_mm - other.to.x_radius_mm);
        const Leg& deep = one.to.z_mm < other.to.z_mm ? one : other;
        const Leg& shallow = &deep == &one ? other : one;
        if (beside * mm < same_mm || beside * mm > widest_mm || deep.to.z_mm > times * shallow.to.z_mm ||
            (shallow.to.z_mm - deep.to.z_mm) * mm < least_off_mm)
            continue;
        context.at(report, work, deep, "ZW")
            .message(said(
                "This plunge into the face goes to {}, and the one beside it, {} from it, to {}: {} "
                "times as deep, the blade breaks in it. Is the point or a digit of Z wrong?",
                context.z(deep.to.z_mm), spoken(std::round(beside * 1e4) / 1e4), context.z(shallow.to.z_mm),
                spoken(std::round(deep.to.z_mm / shallow.to.z_mm * 10) / 10)))
            .related(context.place(work, shallow), said("the plunge beside it"));
        return;
    }
}

/// Its first plunge goes outward, from where a rapid has brought it in.
bool opens_outward(const Work& work) {
    const auto cut =
        std::find_if(work.legs.begin(), work.legs.end(), [](const Leg& leg) { return leg.cuts(); });
    return cut != work.legs.end() && is_plunge(*cut) && cut->dx() > 0 && cut->from.z_mm < 0;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || work->where == Work::Where::on_centre) continue;
            if (plunges_into_face(*work)) look_at_face(context, *work, report);
            const bool inside = work->where == Work::Where::inside ||
                                (work->where == Work::Where::unknown && opens_outward(*work));
            if ((inside || is_blade(*work)) && !look_for_pit(context, *work, inside, report))
                look_at(context, *work, inside, report);
            if (is_blade(*work)) look_for_lost_place(context, *work, inside, report);
        }
}

} // namespace

extern const Check check{
    .id = "groove_bottom_uneven",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Plunges of one groove to two depths",
    .documentation =
        "Two plunges lie nearer to each other than the blade is wide, so that they are one groove, are drawn "
        "out to the same X, and one digit makes the one depth of the other: the bottom gets a step, or is "
        "cut through. So is one that goes deeper than all that lie beside it. Nothing is said of what a "
        "finishing cut takes off, and of tools that go down a flank. Into a face, a plunge several times as "
        "deep as the one beside it is told."
        " Two that go out to one X and have nothing to clean their bottom need no such digit. A way along "
        "the bottom that ends where no plunge has gone is told, too.",
    .works = works,
    .examples =
        {
            // Two plunges of one groove with nothing to clean its bottom; a way along it to where none has
            // gone; and right.
            {System::A, R"(
G21 G99
T0505 (GROOVE 4 MM, LEFT CORNER)
G97 S700 M03
G00 X34. Z-24.
G01 X18. F.07
G00 X34.
Z-27.
G01 X16.
;   ^^^^ warning: groove_bottom_uneven
G00 X34.
Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0505
G97 S700 M03
G00 X1.35 Z-1.05
G01 X.83 F.003
G00 X1.35
Z-1.188
G01 X.83
Z-1.25
;^^^^^^ warning: groove_bottom_uneven
X1.35 F.03
G00 X4. Z3.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0505
G97 S700 M03
G00 X1.35 Z-1.25
G01 X.83 F.003
G00 X1.35
Z-1.188
G01 X.83
Z-1.25
X1.35 F.03
G00 X4. Z3.
M30
)"},
            {System::A, R"(
(T5 GROOVE 4 MM LEFT CORNER)
G21 G99
T0505
G97 S400 M03
G00 X64. Z-100.
G01 X50. F0.1
G04 X0.3
G00 X62.
W2.
G01 X40.
;   ^^^^ warning: groove_bottom_uneven
G04 X0.3
G00 X62.
W-2.
X250. Z100.
M30
)"},
            {System::A, R"(
(T5 GROOVE 4 MM LEFT CORNER)
G21 G99
T0505
G97 S400 M03
G00 X62. Z-100.
G01 X50. F0.1
G04 X0.3
G00 X62.
W2.
G01 X50.
G04 X0.3
G00 X62.
W-2.
X250. Z100.
M30
)"},
            // In a bore; two grooves beside each other.
            {System::B, R"(
(T6 INT GROOVE .125 LEFT CORNER)
G20 G90 G95
T0404
G97 S900 M03
G00 X1.65 Z.1
G01 Z-.9 F.005
X1.2
G00 Z.2
T0606
S700 M03
G00 X1.5 Z.1
Z-.875
G01 X1.75 F.003
X1.5 F.02
Z-.8
X1.57 F.003
;^^^^ warning: groove_bottom_uneven
X1.5 F.02
G00 Z1.
M30
)"},
            {System::B, R"(
(T6 INT GROOVE .125 LEFT CORNER)
G20 G90 G95
T0404
G97 S900 M03
G00 X1.65 Z.1
G01 Z-.9 F.005
X1.2
G00 Z.2
T0606
S700 M03
G00 X1.5 Z.1
Z-.875
G01 X1.75 F.003
X1.5 F.02
Z-.5
X1.71 F.003
X1.5 F.02
G00 Z1.
M30
)"},
            // What the last cut finishes.
            {System::C, R"(
(T5 GROOVE 4 MM LEFT CORNER)
G71 G90 G95
T0505
G97 S400 M03
G00 X64. Z-30.
G01 X50.4 F0.1
G00 X64.
Z-28.
G01 X50.
G00 X64.
X250. Z100.
M30
)"},
            // One deeper than all beside it, that a way along the bottom does not take off.
            {System::C, R"(
(T5 GROOVE 3 MM LEFT CORNER)
G71 G90 G95
T0505
G97 S400 M03
G00 X34. Z-30.
G01 X12.5 F0.08
;   ^^^^^ warning: groove_bottom_uneven
G00 X34.
Z-28.
G01 X21.5
G00 X34.
Z-26.
G01 X21.5
Z-30.
G00 X60.
M30
)"},
            {System::C, R"(
(T5 GROOVE 3 MM LEFT CORNER)
G71 G90 G95
T0505
G97 S400 M03
G00 X34. Z-30.
G01 X21.5 F0.08
G00 X34.
Z-28.
G01 X21.5
G00 X34.
Z-26.
G01 X21.5
Z-30.
G00 X60.
M30
)"},
            // In the face.
            {System::A, R"(
G20 G99
T0606 (FACE GROOVE .125)
G97 S600 M03
G00 X3.1 Z.5
Z.05
G01 Z-.088 F.003
G00 Z.05
X3.
G01 Z-.9 F.003
;   ^^^^ warning: groove_bottom_uneven
G00 Z1.
M30
)"},
            {System::A, R"(
G20 G99
T0606 (FACE GROOVE .125)
G97 S600 M03
G00 X3.1 Z.5
Z.05
G01 Z-.088 F.003
G00 Z.05
X3.
G01 Z-.09 F.003
G00 Z1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::groove_bottom_uneven
