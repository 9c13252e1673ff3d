// A rapid through what the program's own cuts show to be metal.
#include "checks/works.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rapid_into_metal {

namespace {

/// Deeper than a shaving that an allowance or a nose explains.
constexpr double least_depth_mm = 0.3;
/// As wide as blades are: what stands beside a plunge is not known so far to either side.
constexpr double widest_blade_mm = 6;
/// Bar behind the last cut is taken to stand as far as a part-off is wide and clear.
constexpr double bar_behind_mm = 8;

/// In front of this nothing is taken to stand: the face is at Z0, or raw.
constexpr double front_mm = -0.5;

struct Hit {
    Point at;
    double surface;
    double depth;
};

/// The part as the cuts above have left it, and where they have not been yet, as the cuts below will leave
/// it.
class Standing {
public:
    explicit Standing(const Workpiece& part)
        : part_(part), outside_(part.z_min, part.z_max), bore_(part.z_min, part.z_max) {
        for (double z = part.z_min; z < part.z_max && !last_; z += part.outside.step())
            last_ = part.outside.at(z);
    }

    void cut(const Work& work, const Leg& leg, bool is_blade) {
        if (work.where == Work::Where::inside) {
            bore_.raise(leg);
        } else {
            is_blade ? outside_.lower(leg) : outside_.face(leg);
            if (is_blade && is_plunge(leg)) plunges_.push_back(leg.to);
        }
    }

    std::optional<double> outside(double z, double unit_mm) const {
        if (auto now = outside_.at(z)) return now;
        if (z < part_.z_min && z > part_.z_min - bar_behind_mm / unit_mm) return last_;
        return part_.outside.at(z);
    }
    std::optional<double> bore(double z) const {
        if (auto now = bore_.at(z)) return now;
        return part_.bore.at(z);
    }
    bool beside_plunge(Point p, double unit_mm) const {
        return std::any_of(plunges_.begin(), plunges_.end(), [&](Point plunge) {
            return std::abs(p.z_mm - plunge.z_mm) * unit_mm < widest_blade_mm &&
                   p.x_radius_mm > plunge.x_radius_mm - least_depth_mm / unit_mm;
        });
    }

private:
    const Workpiece& part_;
    Profile outside_, bore_;
    std::vector<Point> plunges_;
    std::optional<double> last_;
};

void look_along(const Standing& standing, const Work& work, Point from, Point to, std::optional<Hit>& hit) {
    constexpr int samples = 200;
    for (int i = 1; i <= samples; ++i) {
        const Point at = from + (to - from) * (static_cast<double>(i) / samples);
        if (at.z_mm * work.unit_mm > front_mm) continue;
        const bool inside = work.where == Work::Where::inside;
        const auto surface = inside ? standing.bore(at.z_mm) : standing.outside(at.z_mm, work.unit_mm);
        if (!surface) continue;
        const double depth =
            (inside ? at.x_radius_mm - *surface : *surface - std::abs(at.x_radius_mm)) * work.unit_mm;
        if (depth < least_depth_mm || standing.beside_plunge(at, work.unit_mm)) continue;
        if (!hit || depth > hit->depth) hit = {at, *surface, depth};
    }
}

/// Axes at equal rates do not go straight: the shorter way is done first.
std::optional<Hit> hit_by(const Standing& standing, const Work& work, const Leg& leg) {
    std::optional<Hit> hit;
    look_along(standing, work, leg.from, leg.to, hit);
    const double both = std::min(std::abs(leg.dx()), std::abs(leg.dz()));
    if (hit || both == 0) return hit;
    const Point corner = leg.from + Point{std::copysign(both, leg.dx()), std::copysign(both, leg.dz())};
    look_along(standing, work, leg.from, corner, hit);
    look_along(standing, work, corner, leg.to, hit);
    return hit;
}

/// On the second spindle, and cut from in front of the face to plus: the part stands on that side.
bool stands_at_plus(const WorksContext& context, const Workpiece& part) {
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs)
            if (leg.kind == Leg::Kind::feed && leg.known && leg.from.z_mm < 0 && leg.to.z_mm > 0 &&
                leg.dx() != 0 &&
                context.reader.after(context.place(*work, leg)).spoken_to() == machine::Spindle::second)
                return true;
    return false;
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    if (part.outside.empty() || stands_at_plus(context, part)) return;
    Standing standing(part);
    for (const Work* work : part.works) {
        const bool blade = is_blade(*work);
        const bool followed =
            !work->driven_tool && (work->where == Work::Where::inside || work->where == Work::Where::outside);
        bool told = false;
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known) return; // What it has left is not known
            if (!leg.known || leg.kind == Leg::Kind::home) continue;
            if (leg.cuts()) {
                if (!work->driven_tool && work->where != Work::Where::on_centre)
                    standing.cut(*work, leg, blade);
                continue;
            }
            if (!followed || told || leg.of_cycle || leg.in_contour) continue;
            if (blade && standing.beside_plunge(leg.from, work->unit_mm)) continue; // Told by its own rule
            const auto hit = hit_by(standing, *work, leg);
            if (!hit) continue;
            told = true;
            const bool inside = work->where == Work::Where::inside;
            context.at(report, *work, leg, leg.dx() != 0 ? "XU" : "ZW")
                .message(fmt::format(
                    "This rapid goes through {} {}, where the {} stands at {} by the program's own cuts: the "
                    "tool is driven into metal at full rate. Feed there (G01), or go {} first.",
                    context.x(hit->at.x_radius_mm), context.z(std::round(hit->at.z_mm * 1000) / 1000),
                    inside ? "bore" : "part", context.x(hit->surface),
                    inside ? "inward in X, then out in Z" : "round it"));
        }
    }
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // It tells more, and the same
    for (const Workpiece& part : context.parts) look_at(context, part, report);
}

} // namespace

extern const Check check{
    .id = "rapid_into_metal",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid into metal that the program itself shows",
    .documentation =
        "The rapid goes where the program's own cuts leave metal: deeper than what an outside tool has "
        "turned so "
        "far or will turn at all, or into the wall that a boring bar has just cut. A G00 in place of G01, a "
        "retract block left out, or a digit lost. Feed there, or take the tool out in the free direction "
        "first: "
        "outside X up, inside X down and then Z out. Without a stock note nothing else is known: the raw "
        "stock, "
        "the holder and the turret are not looked at.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X0. Z2.
G01 Z-40. F0.1
G00 Z5.
T0606
G00 X18. Z2.
G01 Z-38. F0.15
X17.
G00 Z2.
X19.
G01 Z-38.
X18.
G00 Z2.
X22.
G01 X20. Z-1.
Z-38.
G00 X23.
;   ^^^^ warning: rapid_into_metal
G00 Z2.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.2 Z.1
X1.9
G01 Z-2. F.01
X2.2
G00 Z.1
X1.7
G00 Z-1.5
;   ^^^^^ warning: rapid_into_metal
G01 X2.2
G00 Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-60. F0.2
X52.
G00 Z1.
T0909
G00 X50. Z-58.
G00 X10.
;   ^^^^ warning: rapid_into_metal
G01 X-.5 F0.05
G00 X50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
X46.
G01 Z-40. F0.25
X52.
G00 Z1.
X40.
G01 Z-20.
X52.
G00 Z-30.
G01 X46.
X40. Z-33.
G00 X60.
Z20.
T0505
G00 X50. Z-10.
G01 X34. F0.08
G00 X42.
Z-12.
G01 X34.
G00 X50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X0. Z2.
G01 Z-40. F0.1
G00 Z5.
T0606
G00 X26. Z2.
G01 X20. Z-1. F0.1
Z-38.
G00 X19.
Z2.
T0101
G00 X52. Z0.
G01 X18.
G00 Z2.
M30
)"},
            // A relief in the corner of a bore: outward at feed and back is no way off an outside.
            {System::A, R"(
G21 G99
T0808
G97 S450 M03
G00 X68. Z3.
G90 X72. Z-11.9 F0.12
X74.
X78.
X79.4
G00 X76. Z3.
G00 Z60.
T1010
G97 S350 M03
G00 X74. Z3.
Z-10.
G01 Z-12. F0.2
X81. F0.05
X76. F0.2
G00 Z10.
M30
)"},
            // The second spindle has a datum of its own, whose Z grows into the part.
            {System::A, R"(
G21 G99 G54
T0101
G97 S800 M03
G00 X49. Z0.
G01 X-1.6 F0.2
G00 X38. Z2.
G01 Z-35. F0.2
X46.
G28 U0 W0
G55
T0606
G97 S800 M03
G00 Z-3.
X49.
Z0.
G01 X-1.6 F0.2
G00 Z-2.
X37.
G01 Z0. F0.15
X38. Z0.5
Z15.
X46.
G00 Z-3.
G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_into_metal
