// A grooving or parting blade that goes along Z while it is in its groove.
#include "checks/head_stock.h"
#include "checks/tool_of_work.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace turnwright::checks::rules::blade_moved_sideways {

namespace {

/// So deep on radius a blade may be fed sideways.
constexpr double side_turning_mm = 2.5;
/// Plunges nearer to each other than this make one groove.
constexpr double widest_blade_mm = 6;
constexpr double slack_mm = 0.5;
/// A plunge begins so far outside of the metal at least: common practice, no source.
constexpr double clearance_mm = 1.05;

struct Plunged {
    double z, x;
    int tool; ///< -1: not known
};

/// Of a blade that has made these plunges, by those that reach down to `x`: they are no farther apart than it
/// is wide, so as to leave no ridge. 0: there are too few of them to tell.
double least_width(const std::vector<Plunged>& plunges, int tool, double x, double slack, double widest) {
    std::vector<double> z;
    for (const Plunged& plunge : plunges)
        if (plunge.x <= x && plunge.tool == tool) z.push_back(plunge.z);
    if (z.size() < 3) return 0;
    std::sort(z.begin(), z.end());
    double width = widest;
    for (std::size_t i = 0, next = 1; i < z.size(); ++i) {
        while (next < z.size() && z[next] - z[i] <= slack) ++next;
        if (next < z.size()) width = std::min(width, z[next] - z[i]);
    }
    return width;
}

/// Whether the way along Z at this height lies in what is turned, or what the blade has opened, but for a
/// layer of this depth. `clear_x`: where nothing is known, metal stands up to there.
///
/// `to`: a way that rises is as high as where it has come to.
bool is_open(const Work& work, const std::vector<Plunged>& plunges, const Profile& turned, Point from,
             Point to, double clear_x, double layer) {
    const double slack = slack_mm / work.unit_mm, wide = widest_blade_mm / work.unit_mm;
    const double to_z = to.z_mm, rise = std::max(to.x_radius_mm - from.x_radius_mm, 0.0);
    const double width = least_width(plunges, work.tool, from.x_radius_mm + slack, slack, wide);
    // A way out that rises passes the wall within a blade's width.
    constexpr double fine_mm = 0.25;
    const int samples =
        static_cast<int>(std::clamp(std::abs(to_z - from.z_mm) * work.unit_mm / fine_mm, 40.0, 1000.0));
    for (int i = 0; i <= samples; ++i) {
        const double z = from.z_mm + (to_z - from.z_mm) * i / samples;
        const double x = from.x_radius_mm + rise * i / samples;
        if (z > 0) continue; // In front of the face
        if (turned.at(z).value_or(clear_x) <= x + layer) continue;
        bool left = false, right = false;
        for (const Plunged& plunge : plunges) {
            if (plunge.x > x + slack) continue;
            const bool under_blade = std::abs(plunge.z - z) < width;
            left = left || under_blade || (plunge.z <= z + slack && z - plunge.z < wide);
            right = right || under_blade || (plunge.z >= z - slack && plunge.z - z < wide);
        }
        if (!left || !right) return false;
    }
    return true;
}

/// The wall toward which it goes is turned lower than this height, all the way that the blade's own edge
/// takes. Which edge is set and how wide it is no move tells: whatever width leaves it free will do.
bool is_wall_turned(const Work& work, const Profile& turned, Point from, double to_z) {
    constexpr int widths = 30, samples = 10;
    const double way = to_z - from.z_mm, wide = std::copysign(widest_blade_mm / work.unit_mm, way);
    for (int w = 0; w <= widths; ++w) {
        const double edge = from.z_mm + wide * w / widths;
        bool is_free = true;
        for (int i = 0; i <= samples && is_free; ++i) {
            const auto wall = turned.at(edge + way * i / samples);
            is_free = wall && *wall < from.x_radius_mm;
        }
        if (is_free) return true;
    }
    return false;
}

/// Along Z, on in to where an edge begins, and down along it: so high nobody begins an edge in the metal.
bool goes_to_edge(const Work& work, const Leg& leg) {
    const std::size_t at = static_cast<std::size_t>(&leg - work.legs.data());
    if (at + 2 >= work.legs.size() || leg.kind != Leg::Kind::rapid) return false;
    const Leg &next = work.legs[at + 1], &edge = work.legs[at + 2];
    return next.known && next.kind == Leg::Kind::feed && next.dz() == 0 && next.dx() < 0 && edge.known &&
           edge.kind == Leg::Kind::feed && edge.dz() != 0 && edge.dx() < 0;
}

/// A blade that has gone through to the centre or to the bore is free. `clear_x`: where its plunge began.
bool is_through(const Workpiece& part, const Work& work, Point at, double clear_x) {
    // How wide a drill is no move tells; hardly wider than this, and what is left would be no wall.
    constexpr double widest_drill = 0.6;

    if (at.x_radius_mm * work.unit_mm < 0.1) return true;
    if (const auto bore = part.bore.at(at.z_mm); bore && at.x_radius_mm <= *bore + 0.1 / work.unit_mm)
        return true;
    if (at.x_radius_mm > widest_drill * clear_x) return false;
    for (const Work* other : part.works)
        if (other->where == Work::Where::on_centre)
            for (const Leg& leg : other->legs)
                if (leg.cuts() && leg.known && leg.to.z_mm < at.z_mm) return true;
    return false;
}

/// A groove in a bore, seen from the other side of the centre: its plunges go inward there as outside.
Work seen_from_inside(const Work& work) {
    Work seen = work;
    for (Leg& leg : seen.legs) {
        leg.from.x_radius_mm = -leg.from.x_radius_mm;
        leg.to.x_radius_mm = -leg.to.x_radius_mm;
        leg.x_sign = -leg.x_sign;
    }
    return seen;
}
/// The first cut is a plunge outward, from where a rapid along Z has brought it in.
bool plunges_outward_first(const Work& work) {
    const auto cut =
        std::find_if(work.legs.begin(), work.legs.end(), [](const Leg& leg) { return leg.cuts(); });
    return cut != work.legs.end() && cut != work.legs.begin() && is_plunge(*cut) && cut->dx() > 0 &&
           cut->from.z_mm * work.unit_mm < -slack_mm && // A face may be cut outward
           cut[-1].kind == Leg::Kind::rapid && cut[-1].known && cut[-1].dx() == 0 && cut[-1].dz() < 0;
}

/// Twice in and then along Z by more than a blade is wide: a tool that turns that way, as a bar that is
/// pulled through a recess, and no slip.
bool turns_so_again(const Work& work, bool plunges_outward) {
    int times = 0;
    const Leg* before = nullptr;
    for (const Leg& leg : work.legs) {
        times += before && is_plunge(*before) && (before->dx() > 0) == plunges_outward && leg.cuts() &&
                 leg.known && std::abs(leg.dz()) * work.unit_mm > widest_blade_mm && leg.dx() == 0;
        before = &leg;
    }
    return times > 1;
}

/// Where a turn begins anew, its end has left the blade in the groove: the way out that is too short.
const Leg* way_out_below(const WorksContext& context, const Work& work, const Leg& leg) {
    const Leg* out = &leg;
    while (out != work.legs.data() && out->dx() == 0 && !(out->cuts() && out != &leg)) --out;
    const bool is_way_out = out->known && out->dx() != 0 && out->dz() == 0 && !is_plunge(*out);
    return is_way_out && context.place(work, leg) < context.place(work, *out) ? out : nullptr;
}

void tell(const WorksContext& context, const Work& work, const Leg& leg, double clear_x, Report& report) {
    const double depth = std::round((clear_x - leg.from.x_radius_mm) * 1000) / 1000;
    if (const Leg* out = way_out_below(context, work, leg)) {
        context.at(report, work, *out, "XU")
            .message(
                said("The blade is drawn out to {} here, and the next turn begins with a way along Z, {} "
                     "deep in the groove: it is broken off sideways. Take X {} to {}.",
                     context.x(std::abs(leg.from.x_radius_mm)), spoken(depth),
                     clear_x < 0 ? "in" : said("out"), context.x(std::abs(clear_x))))
            .related(context.place(work, leg), said("the way along Z"));
        return;
    }
    context.at(report, work, leg, "ZW")
        .message(said("The blade {} along Z at {}, {} deep in its groove: it is broken off sideways. Take X "
                      "{} to {} in a block before.",
                      leg.kind == Leg::Kind::home ? said("goes home")
                      : leg.cuts()                ? said("is fed")
                                                  : said("goes in a rapid"),
                      context.x(std::abs(leg.from.x_radius_mm)), spoken(depth),
                      clear_x < 0 ? "in" : said("out"), context.x(std::abs(clear_x))));
}

void tell_part_off(const WorksContext& context, const Work& work, const Leg& leg, double clear_x,
                   Report& report) {
    context.at(report, work, leg, "ZW")
        .message(said("The blade has cut to {} and goes along Z in a rapid to {} without coming out: it runs "
                      "into the part that hangs there. Take X out to {} first.",
                      context.x(leg.from.x_radius_mm), context.z(leg.to.z_mm), context.x(clear_x)));
}

/// `plunges`: what tools before have opened.
void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Profile turned,
             double bar_radius, std::vector<Plunged> plunges, Report& report) {
    const double slack = slack_mm / work.unit_mm;
    bool in_groove = false;
    double clear_x = 0; ///< Where the plunge that it is in began
    for (const Leg& leg : work.legs) {
        if (!leg.known && in_groove) return;
        if (!leg.known) continue;
        if (leg.cuts() && leg.dx() < 0 && leg.from.z_mm < -slack) {
            if (!in_groove) clear_x = std::min(leg.from.x_radius_mm, bar_radius);
            in_groove = !leg.of_cycle; // A cycle comes back by itself
            plunges.push_back({leg.to.z_mm, leg.to.x_radius_mm, work.tool});
            continue;
        }
        const double out = leg.cuts() ? slack : clearance_mm / work.unit_mm;
        if (!in_groove || clear_x - leg.from.x_radius_mm < out) {
            in_groove = false;
            continue;
        }
        const bool goes_home = leg.kind == Leg::Kind::home;
        // Nobody turns with it all the way out through the face.
        const bool leaves = leg.cuts() && leg.dx() == 0 && leg.dz() > 0 && leg.to.z_mm > 0;
        const double to_z = goes_home ? leg.from.z_mm + widest_blade_mm / work.unit_mm
                            : leaves  ? 0.0
                                      : leg.to.z_mm;
        // Axes at equal rates do not go straight.
        const double rise = leg.kind == Leg::Kind::rapid ? std::min(leg.dx(), std::abs(leg.dz())) : leg.dx();
        const Point to{leg.from.x_radius_mm + (goes_home || leaves ? 0 : rise), to_z};
        // Up a flank it cuts what it comes by.
        const bool up_flank = leg.cuts() && leg.dx() > 2 * std::abs(leg.dz());
        const bool sideways = goes_home ? leg.moves_z : std::abs(leg.dz()) > slack && !up_flank;
        const double layer = leg.cuts() && !leaves ? side_turning_mm / work.unit_mm : slack;
        // The part that is cut off lies in front of it, and no chip falls there.
        if (leg.kind == Leg::Kind::rapid && leg.dx() == 0 && leg.dz() > slack && clear_x > 0 &&
            leg.from.x_radius_mm * work.unit_mm < 0.1 && leg.from.z_mm < -slack && leg.to.z_mm >= 0)
            return tell_part_off(context, work, leg, clear_x, report);
        // A groove in a bore does not go through to the centre.
        if (sideways && (clear_x < 0 || !is_through(part, work, leg.from, clear_x)) &&
            !is_open(work, plunges, turned, leg.from, to, clear_x, layer) &&
            !(leg.kind == Leg::Kind::rapid && clear_x > 0 &&
              (goes_to_edge(work, leg) || is_wall_turned(work, turned, leg.from, to_z))))
            return tell(context, work, leg, clear_x, report);
        if (leg.cuts()) turned.lower(leg);
        if (goes_home || leg.to.x_radius_mm >= clear_x - slack) in_groove = false;
    }
}

/// Into a face along Z with more metal outside of it than anybody turns off at once, and then along X at its
/// depth: a face grooving blade that was not drawn out.
void look_at_face(const WorksContext& context, const Work& work, const Profile& turned, Report& report) {
    constexpr double deepest_turned_mm = 10, least_depth_mm = 0.5, least_way_mm = 1, out_of_groove_mm = 0.3;
    const double mm = work.unit_mm;
    const Leg* in = nullptr; ///< The way into the face that it has not come out of
    const Leg* last = nullptr;
    for (const Leg& leg : work.legs) {
        const Leg* before = std::exchange(last, &leg);
        if (is_plunge(leg) && leg.to.z_mm < 0 && !in) return; // Into the side of the part
        if (in && leg.kind == Leg::Kind::home && leg.moves_x && !leg.moves_z && before && before->known &&
            before->to.z_mm < in->from.z_mm - least_depth_mm / mm) {
            context.at(report, work, leg, "XU")
                .message(
                    said("The tool stands at {}, {} deep in the face, and goes home along X from there: the "
                         "wall outside of it breaks it off. Take Z out to {} in a block before.",
                         context.z(std::round(before->to.z_mm * 1e4) / 1e4),
                         spoken(std::round((in->from.z_mm - before->to.z_mm) * 1e4) / 1e4),
                         context.z(in->from.z_mm)));
            return;
        }
        if (!leg.known || leg.of_cycle || leg.in_contour || leg.kind == Leg::Kind::thread) {
            in = nullptr;
            continue;
        }
        const bool plunges = leg.cuts() && leg.dx() == 0 && -leg.dz() * mm > least_depth_mm;
        if (plunges) {
            const double middle = (leg.from.z_mm + leg.to.z_mm) / 2;
            const auto outside = turned.at(middle);
            const bool in_face = outside && (*outside - leg.to.x_radius_mm) * mm > deepest_turned_mm &&
                                 leg.to.x_radius_mm > 0 && (!in || in->to.z_mm > leg.to.z_mm);
            // In by rapid along Z, or from in front of the face: no floor of a groove.
            const bool comes =
                before && before->kind == Leg::Kind::rapid &&
                (leg.from.z_mm >= 0 || (before->known && before->dx() == 0 && before->dz() < 0));
            if (in_face && comes && !in) in = &leg;
            continue;
        }
        if (!in) continue;
        if (leg.dz() > 0 && leg.dx() == 0 && leg.to.z_mm >= in->from.z_mm - out_of_groove_mm / mm)
            in = nullptr;
        if (!in || leg.kind != Leg::Kind::rapid || leg.dx() * mm < least_way_mm || leg.dz() != 0) continue;
        if (const auto wall = turned.at(leg.from.z_mm); !wall || *wall <= leg.from.x_radius_mm) continue;
        context.at(report, work, leg, "XU")
            .message(
                said("The tool stands at {}, {} deep in the face, and goes along X in a rapid to {}: the "
                     "wall outside of it breaks it off. Take Z out to {} in a block before.",
                     context.z(std::round(leg.from.z_mm * 1e4) / 1e4),
                     spoken(std::round((in->from.z_mm - leg.from.z_mm) * 1e4) / 1e4),
                     context.x(leg.to.x_radius_mm), context.z(in->from.z_mm)));
        return;
    }
}

/// Half of the bar that a note at the head gives, where no feed of the part begins its way along Z outside.
double bar_radius(const WorksContext& context, const Workpiece& part) {
    constexpr double no_bar = std::numeric_limits<double>::infinity();
    const Work& first = *part.works.front();
    const Span& span = context.spans[first.span];
    const HeadStock head = head_stock(context.reader, span.program->first, *span.program, first.unit_mm);
    if (!head.stock.diameter_mm || !head.is_plain_bar) return no_bar;
    const double radius = *head.stock.diameter_mm / 2 / first.unit_mm;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (work->where != Work::Where::inside && leg.cuts() && leg.known && leg.dx() == 0 &&
                leg.to.z_mm < 0 && leg.from.x_radius_mm > radius + slack_mm / first.unit_mm)
                return no_bar;
    return radius;
}

/// At feed along Z behind one plunge and into the next one, where each other plunge is followed by a way out
/// in X: so shallow that a blade would take it, and yet the way out is lost.
void look_at_lost_way_out(const WorksContext& context, const Work& work, Report& report) {
    const Leg* along = nullptr;
    std::size_t out = 0, stays = 0;
    for (std::size_t i = 0; i + 1 < work.legs.size(); ++i) {
        const Leg &plunge = work.legs[i], &next = work.legs[i + 1];
        if (plunge.cuts() && !plunge.known) return;
        const bool goes_nowhere = plunge.known && plunge.kind == Leg::Kind::feed && plunge.moves_x &&
                                  !plunge.moves_z && plunge.dx() == 0 && plunge.dz() == 0;
        if (!(is_plunge(plunge) || goes_nowhere) || plunge.of_cycle || plunge.to.z_mm >= 0) continue;
        if (next.kind == Leg::Kind::rapid &&
            (next.x_sign * plunge.dx() < 0 || (goes_nowhere && next.x_sign != 0))) {
            ++out;
            continue;
        }
        ++stays;
        const Leg* in = i + 2 < work.legs.size() ? &work.legs[i + 2] : nullptr;
        // Down there already, the next plunge goes nowhere.
        const bool goes_in = in && in->known && in->kind == Leg::Kind::feed && in->dz() == 0 && in->moves_x &&
                             in->dx() * plunge.dx() >= 0;
        const bool drags = next.kind == Leg::Kind::feed && next.known && next.dx() == 0 && !next.of_cycle &&
                           std::abs(next.dz()) * work.unit_mm > widest_blade_mm && goes_in;
        if (drags) along = &next;
    }
    if (!along || stays != 1 || out < 2) return;
    context.at(report, work, *along, "ZW")
        .message(said("Behind the plunge to {} at {} the blade is fed {} along Z down there, and then in "
                      "again: behind its {} "
                      "other plunges it comes out in X first. What stands between is cut down to that. Is "
                      "the way out in "
                      "X lost above?",
                      context.x(along->from.x_radius_mm), context.z(along->from.z_mm),
                      spoken(std::round(std::abs(along->dz()) * 1e4) / 1e4), out));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        if (part.outside.empty()) continue;
        Profile turned(part.z_min, part.z_max), bored = turned;
        const double bar = bar_radius(context, part);
        std::vector<Plunged> opened; ///< Outside
        for (const Work* work : part.works) {
            const bool outward = plunges_outward_first(*work), turns = turns_so_again(*work, outward);
            if (!turns && !work->driven_tool && outward) {
                const Work seen = seen_from_inside(*work);
                if (goes_as_blade(seen)) look_at(context, part, seen, bored, bar, {}, report);
            } else if (work->where == Work::Where::inside) {
                for (const Leg& leg : seen_from_inside(*work).legs)
                    if (leg.cuts() && leg.known) bored.lower(leg);
            }
            const bool pointed =
                tool_of_work(context, *work, [](const NamedTool& tool) { return tool.pointed; }) != nullptr;
            const bool turning = tool_of_work(context, *work, [](const NamedTool& tool) {
                                     return tool.kind == NamedTool::Kind::turn;
                                 }) != nullptr;
            const bool blade =
                !turns && !pointed && !turning && is_blade(*work) && work->where != Work::Where::inside;
            if (blade) look_at(context, part, *work, turned, bar, opened, report);
            if (blade) look_at_lost_way_out(context, *work, report);
            if (!blade && !work->driven_tool && work->where != Work::Where::inside &&
                work->where != Work::Where::on_centre)
                look_at_face(context, *work, turned, report);
            if (work->driven_tool || work->where == Work::Where::inside ||
                work->where == Work::Where::on_centre)
                continue;
            for (const Leg& leg : work->legs)
                if (leg.cuts() && leg.known && !(blade && leg.dz() == 0)) turned.lower(leg);
            for (const Leg& leg : work->legs) {
                if (!leg.cuts() || !leg.known || leg.dx() > 0) continue;
                for (const Point at : {leg.from, leg.to})
                    if (at.x_radius_mm <= leg.to.x_radius_mm)
                        opened.push_back({at.z_mm, at.x_radius_mm, work->tool});
            }
        }
    }
}

} // namespace

extern const Check check{
    .id = "blade_moved_sideways",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Blade moved sideways in its groove",
    .documentation =
        "A grooving or parting blade has plunged in X, and goes along Z before X is out: in a "
        "rapid, on the way home "
        "with both axes at once, or fed deeper than blades are fed sideways (2.5 mm on radius). "
        "The wall of the "
        "groove breaks it off. Write the retract in X as a block before. Where the blade has "
        "opened the groove by "
        "plunges beside each other it may go along its bottom, and where the part is turned "
        "lower it is free. Grooves in a bore are looked at in the same way, with in for out; and so is "
        "a tool that is fed into a face with more than 10 mm of metal outside of it and then goes "
        "outward at that depth. Where a blade comes out in X behind each of its plunges but one, and there "
        "is fed along "
        "Z to the next, the way out is lost.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S900 M03
G00 X50. Z-62.
X34.
G01 X28.6 F0.06
G04 X0.2
Z-30.
;^^^^ warning: blade_moved_sideways
G01 X23. F0.06
G00 X34.
Z-28.5
G01 X23. F0.06
G00 X50.
X150. Z100.
M30
)"},
            // Back over what is turned lower in front of it, to break the edge.
            {System::B, R"(
G21 G90 G95
T0404
G97 S420 M03
G00 X84. Z-14.
G01 X60.1 F.08
G00 X84.
Z-17.
G01 X60.1
G00 X84.
Z-20.
G01 X60.1
G00 X84.
Z-23.
G01 X60.1
G00 X84.
Z-26.
G01 X60.1
G00 X84.
Z-29.
G01 X60.1
G00 X84.
Z-32.
G01 X60.1
G00 X84.
Z-35.
G01 X60.1
G00 X84.
Z-14.
G01 X60.04
Z-35. F.1
X62. F.2
G00 X250.
Z150.
T0303
G97 S300 M03
G00 X86. Z1.
X80.
G01 Z-46. F.2
X86.
G00 X250. Z150.
T0404
G97 S380 M03
G00 X86. Z-39.
G01 X56. F.08
G00 X62.
Z-38.
G01 X60. F.1
X58. Z-39. F.06
X-.4
G00 X86.
X250. Z150.
M30
)"},
            // Of a hexagon, over its corners.
            {System::C, R"(
G71 G90 G95
T0505
G97 S900 M03
G00 X32. Z-38.
G01 X20. F.05
G00 X29.
Z-36.557
G01 X28.5 F.08
X23.5 Z-38. F.05
X-.4
G00 X60.
M30
)"},
            // Out to the bar that the note gives: clear, though the plunge began further out.
            {System::A, R"(
(BRASS BAR D20)
G21 G97 G99
T0404
S1800 M03
G00 X16. Z2.
G01 Z-17. F.1
X19.
Z-23.
X21.
G00 X100. Z100.
T0909
S1800 M03
G00 X23. Z2.
Z-25.
G01 X15. F.06
G00 X20.
Z-24.2
G01 X18. Z-25. F.05
X5.5
G00 X24.
X100. Z100.
M30
)"},
            // Along the floor of what it has opened, up to a last plunge that is less deep.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X34. Z2.
X30.8
G01 Z-42. F.25
G00 X60. Z50.
T0303
G97 S700 M03
G00 X34. Z-35.9
G01 X16.4 F.08
G00 X32.
Z-33.4
G01 X16.4
G00 X32.
Z-30.9
G01 X16.4
G00 X32.
Z-28.8
G01 X19.5
G00 X34.
Z-36.
G01 X16. F.06
Z-29.8
G00 X34.
X60. Z50.
M30
)"},
            // Behind the part-off along Z in place of out.
            {System::B, R"(
G20 G90 G95
T0707
G97 S1500 M04
G00 X1.35 Z.1
Z-1.618
G01 X.3 F.003
X-.01 F.0015
G00 Z1.4
;   ^^^^ warning: blade_moved_sideways
G28 X0 Z0
M30
)"},
            // Two pieces by one subprogram, each in its own datum.
            {System::A, R"(
G21 G40 G99
G52 Z0
M98 P3001
G52 Z-18.5
M98 P3001
G52 Z0
M30
O3001
T0101
G97 S2500 M03
G00 X24. Z1.
X18.
G01 Z-18.4 F.1
X21.
G00 X60. Z80.
T0707
G97 S1800 M03
G00 X24. Z-18.
G01 X14. F.06
G00 X19.
W1.5
G01 X16. W-1.5 F.06
X-0.3 F.03
G00 X60. Z80.
M99
)"},
            // A bar that is pulled through the recess, pass by pass.
            {System::A, R"(
G21 G99
T0303
G96 S110 M03
G00 X50. Z5.
G01 Z-76. F0.25
G00 X48.
Z5.
G00 X250. Z100.
T0505
G97 S420 M03
G00 X46. Z5.
Z-62.
G01 X66. F0.5
Z-30.3 F0.18
X54.
G00 X46.
Z-62.
G01 X68.6 F0.5
Z-30.3 F0.18
X54.
G00 X46.
Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S500 M03
G00 X45. Z-35.
G01 X27. F0.08
G04 X0.5
G00 X250. Z150. M09
;        ^^^^^ warning: blade_moved_sideways
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S500 M03
G00 X2. Z-1.
G01 X1.5 F.003
G28 U0 W0
;      ^^ warning: blade_moved_sideways
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S500 M03
G00 X162. Z-28.8
G01 X151. F0.1
Z-24.2
;^^^^^ warning: blade_moved_sideways
X151.
G00 X162.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
X30.
G01 Z-40. F0.2
X52.
G00 Z1.
T0505
G00 X52. Z-40.
G01 X30. F0.08
Z-38.
G00 X52.
Z-50.
G01 X40.
G00 X52.
Z-47.
G01 X40.
Z-50.
G00 X60.
Z20.
Z-60.
G01 X-.5
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S500 M03
G00 X52. Z-30.
G01 X48. F0.08
Z-40.
X46.
Z-30.
G00 X52.
G28 U0 W0
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S1500 M03
G00 X26. Z.5
G01 X20.9 Z-2. F.1
Z-24. F.15
X19.5
G00 Z50.
M01
T0606
G97 S1000 M03
G00 X19.5 Z5.
Z-22.
G01 X24.6 F.05
G04 P300
G00 Z50.
;   ^^^^ warning: blade_moved_sideways
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S250 M03
G00 X42. Z1.
G00 Z0.
G01 X192. F0.15
X200. Z-1.
Z-14.9 F0.2
X206. F0.3
G00 X210. Z15.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S900 M03
G00 X.9 Z.2
Z-.5
G01 X1.15 F.002
G28 U0 W0
;      ^^ warning: blade_moved_sideways
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S1000 M03
G00 X19.5 Z5.
Z-22.
G01 X24.6 F.05
G00 X19.5
Z-18.
G01 X24.6
G01 X19.5 F.3
G00 Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S1500 M03
G00 X24. Z2.
G01 Z-30. F.1
X19.5
G00 Z2.
X26.
G01 Z-30.
X19.5
G00 Z2.
T0606
G00 X19.5 Z5.
Z-22.
G01 X24.6 F.05
Z-26.
X19.5
G00 Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X34. Z2.
X30.
G01 Z-50. F0.2
X34.
G28 U0 W0
T0606
G97 S800 M03
G00 X34. Z-53.
G01 X24. F0.08
G00 X32.
Z-51.
G01 X28. Z-53. F0.05
X-0.4 F0.06
G00 X34.
G28 U0 W0
M30
)"},
            // The second side, in a datum that stands in front of its tool: Z minus is away from the part.
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE  M20 MAIN OPEN)
G21 G99 G54
T0101
G97 S800 M03
G00 X52. Z1.
G01 Z-30. F0.2
X56.
G28 U0 W0
M05
M22
G00 B-500.
G01 B-528. F5.
M23
M20
G00 B0.
G55
T0505
G97 S800 M03
G00 X52. Z-4.
Z-.7
G01 X38. F.2
G00 Z-3.
X52.
Z0.
G01 X38. F.15
G00 Z-3.
X52.
M30
)"},
            // Fed back and forth once by a digit too far, and out of what is cut off along Z.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
G01 Z-53. F.2
X50.
Z-80.
X62.
G00 X100. Z80.
T0303
G00 X32. Z-28.
G01 X20.5 F.08
X26. F.3
Z-72.
;^^^^ warning: blade_moved_sideways
X20.5 F.08
Z-28.
X32. F.3
G00 X100. Z80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X1.2 Z.1
G01 Z-1.7 F.006
X1.3
G00 X4. Z4.
T0707
G00 X1.35 Z.1
Z-1.6
G01 X-.01 F.002
G00 Z1.4
;   ^^^^ warning: blade_moved_sideways
X4. Z4.
M30
)"},
            // Fed out of the bore, its way off the wall lost.
            {System::A, R"(
G21 G99
T0606
G97 S900 M03
G00 X28.4 Z2.
G01 Z-35. F0.1
X20.
G00 Z10.
X200. Z100.
T0808
G97 S800 M03
G00 X26. Z5.
Z-35.
G01 X31. F0.06
G00 X26.
Z-33.
G01 X31. F0.06
Z-35.
Z5.
;^^ warning: blade_moved_sideways
G53 X0
G53 Z0
M30
)"},
            // Fed out of a bore from its groove.
            {System::C, R"(
G70 G90 G95
T0202
G97 S800 M03
G00 X1.4 Z.1
G01 Z-1. F.008
G00 X1.37
Z.1
X4. Z4.
T0303
G97 S700 M03
G00 X1.35 Z.2
Z-.975
G01 X1.54 F.002
Z.3
;^^ warning: blade_moved_sideways
G00 X4. Z4.
M30
)"},
            // In the face, its way out lost.
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X180. Z-30.
G01 X86. F.2
G00 X176.
X170. Z-28.
G01 Z-57. F.2
X178.
G00 X200. Z50.
T0606
G96 S90 M03
G00 X120. Z5.
Z-28.
M98 P0910
G00 X150.
;   ^^^^^ warning: blade_moved_sideways
M98 P0910
G00 Z5.
G28 U0 W0
M30
O0910
G01 W-6. F.06
G04 U.5
M99
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S500 M03
G00 X5.6 Z0
G01 X1. F.01
G00 X5.4 Z.1
G01 Z-1.5 F.01
X5.6
G00 X8. Z4.
T0505
G97 S400 M03
G00 X3. Z.1
G01 Z-.15 F.003
G00 X3.5
;   ^^^^ warning: blade_moved_sideways
G01 Z-.15
G00 Z.1
X8. Z4.
M30
)"},
            // Drawn out each time, and a bore turned from within.
            {System::C, R"(
G71 G90 G95
T0101
G96 S140 M03
G00 X174. Z0
G01 X40. F.2
G00 X170. Z2.
G01 Z-57. F.2
X178.
G00 X200. Z50.
T0606
G96 S90 M03
G00 X120. Z2.
G01 Z-6. F.06
G00 Z2.
X150.
G01 Z-6.
G00 Z2.
X200. Z50.
T0303
G96 S140 M03
G00 X50. Z2.
G01 Z-40. F.2
X48.
G00 Z2.
X54.
G01 Z-40.
X52.
G00 Z2.
X200. Z50.
M30
)"},
            // Its other corner, with an offset of its own, finishes the groove that the first has opened.
            {System::B, R"(
G21 G90 G95
T0404
G97 S500 M03
G00 X84. Z-40.2
G01 X70. F0.1
G00 X84.
Z-45.
G01 X70. F0.1
G00 X84.
Z-49.8
G01 X70. F0.1
G00 X84.
T0424
G00 X84. Z-35.
G01 X70. F0.1
Z-46. F0.12
G00 X84.
X150. Z100.
M30
)"},
            // What is turned beside the groove, a flank cut upward, and an insert with an angle.
            {System::B, R"(
G20 G90 G95
T0202
G96 S500 M03
G00 X2.3 Z.1
X2.25
G01 Z-.52 F.01
X2.5
G00 X4. Z4.
T0808
G96 S300 M03
G00 X2.7 Z-.5
G01 X1. F.004
G00 X2.6
X6. Z4.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G96 S80 M04
G00 X186. Z-40.
G75 R.5
G75 X150. Z-36. P3000 Q4000 F.12
G00 X182. Z-44.655
G01 X180. F.2
X150. Z-40. F.1
Z-36.
X180. Z-31.345
G00 X186.
X250. Z150.
M30
)"},
            {System::C, R"(
(T7 CBN 35 DEG R0.4)
G71 G90 G95
T0707
G96 S140 M03
G00 X68. Z-85.85
G01 X41. F0.07
G00 X68. Z-84.85
Z-86.
G01 X41. F0.06
G00 X60. Z-84.
X200. Z100.
M30
)"},
            // Drawn out too little at the end of a turn; and far enough.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X58. Z2.
G01 Z-340. F0.2
X64.
G00 X250. Z20.
T0505
G97 S400 M03
G00 X64. Z0.
M98 P30881
G00 X250.
M30
O0881
G00 W-100.
G01 X50. F0.1
G00 X52.
;   ^^^^ warning: blade_moved_sideways
M99
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X58. Z2.
G01 Z-340. F0.2
X64.
G00 X250. Z20.
T0505
G97 S400 M03
G00 X64. Z0.
M98 P30881
G00 X250.
M30
O0881
G00 W-100.
G01 X50. F0.1
G00 X62.
M99
)"},
            // Home along X out of a groove in the face.
            {System::A, R"(
G20 G99
T0202
G97 S900 M03
G00 X5.94 Z.1
G01 Z-.5 F.005
X6.1
G00 X8. Z5.
T0606 (FACE GROOVE .125)
S600 M03
G00 X3.1 Z.5
Z.05
G01 Z-.09 F.003
X3.15
G53 X0
;   ^^ warning: blade_moved_sideways
G53 Z0
M30
)"},
            {System::A, R"(
G20 G99
T0202
G97 S900 M03
G00 X5.94 Z.1
G01 Z-.5 F.005
X6.1
G00 X8. Z5.
T0606 (FACE GROOVE .125)
S600 M03
G00 X3.1 Z.5
Z.05
G01 Z-.09 F.003
X3.15
G00 Z1.
G53 X0
G53 Z0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::blade_moved_sideways
