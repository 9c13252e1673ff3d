// A finishing cycle whose rapid back to its start goes through what it has just finished.
#include "checks/rule.h"
#include "language/said.h"
#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::finish_returns_through_part {

namespace {

/// Deeper than what a nose or an allowance explains.
constexpr double least_depth_mm = 0.3;
/// The same where no unit is stated, as a share of the diameter there: deep in either.
constexpr double least_depth_share = 0.05;
constexpr int samples = 100;

using motion::Point;

/// What is finished, X as radius.
class Contour {
public:
    explicit Contour(const motion::BlockPath& path) {
        for (const motion::Segment& segment : path.segments) {
            if (segment.kind != motion::SegmentKind::feed) continue;
            Point from = segment.from;
            for (int i = 1; i <= samples; ++i) {
                const Point to = motion::point_at(segment, static_cast<double>(i) / samples);
                add(from, to);
                from = to;
            }
        }
        from_behind_ = path.segments.front().from.z_mm <= back_.z_mm;
    }
    bool is_outside() const { return from_behind_ ? grows() : narrows(); }
    bool is_inside() const { return from_behind_ ? narrows() : grows(); }
    /// How deep a point lies in the part, and its surface there.
    double depth(Point at, double& surface) const {
        bool any = false;
        for (const auto& [from, to] : lines_) {
            const double low = std::min(from.z_mm, to.z_mm), high = std::max(from.z_mm, to.z_mm);
            if (at.z_mm < low || at.z_mm > high || low == high) continue;
            const double x = from.x_radius_mm + (to.x_radius_mm - from.x_radius_mm) * (at.z_mm - from.z_mm) /
                                                    (to.z_mm - from.z_mm);
            surface = !any ? x : is_outside() ? std::min(surface, x) : std::max(surface, x);
            any = true;
        }
        if (!any) return 0;
        return is_outside() ? surface - at.x_radius_mm : at.x_radius_mm - surface;
    }

private:
    // From the chuck on.
    bool grows() const { return back_.x_radius_mm < front_.x_radius_mm; }
    bool narrows() const { return back_.x_radius_mm > front_.x_radius_mm; }
    void add(Point from, Point to) {
        if (lines_.empty()) front_ = back_ = from;
        for (const Point& end : {from, to}) {
            if (end.z_mm > front_.z_mm) front_ = end;
            if (end.z_mm < back_.z_mm) back_ = end;
        }
        lines_.emplace_back(from, to);
    }
    std::vector<std::pair<Point, Point>> lines_;
    Point front_, back_;
    bool from_behind_ = false; ///< It begins on the chuck's side of all of it
};

struct Hit {
    Point at;
    double surface = 0, depth = 0;
};
void look_along(const Contour& contour, Point from, Point to, bool unit_known, Hit& hit) {
    for (int i = 1; i <= samples; ++i) {
        const Point at = from + (to - from) * (static_cast<double>(i) / samples);
        double surface = 0;
        const double depth = contour.depth(at, surface);
        const double least =
            unit_known ? least_depth_mm : std::min(least_depth_mm, least_depth_share * 2 * surface);
        if (depth > std::max(hit.depth, least)) hit = {at, surface, depth};
    }
}

void block(const BlockView& view, Report& report) {
    if (view.reading.motion_meaning != Meaning::finish_cycle) return;
    const motion::BlockPath path = path_in_any_unit(view, report.reader());
    if (!path.complete || path.segments.empty()) return;
    const motion::Segment& back = path.segments.back();
    const Point way = back.to - back.from;
    if (back.kind != motion::SegmentKind::rapid || way.x_radius_mm == 0 || way.z_mm == 0) return;
    const Contour contour(path);
    if (!contour.is_outside() && !contour.is_inside()) return;
    Hit hit;
    // Axes at equal rates do not go straight: the shorter way is done first.
    const double both = std::min(std::abs(way.x_radius_mm), std::abs(way.z_mm));
    const Point corner =
        back.from + Point{std::copysign(both, way.x_radius_mm), std::copysign(both, way.z_mm)};
    const bool unit_known = view.after.is(Meaning::inch) || view.after.is(Meaning::millimetre);
    look_along(contour, back.from, back.to, unit_known, hit);
    if (hit.depth == 0) look_along(contour, back.from, corner, unit_known, hit);
    if (hit.depth == 0) look_along(contour, corner, back.to, unit_known, hit);
    if (hit.depth == 0) return;
    const double unit = view.after.is(Meaning::inch) ? motion::mm_per_inch : 1;
    const auto x = [&](double mm) { return spoken_x(mm / unit, view.settings); };
    const auto z = [&](double mm) { return "Z" + written(std::round(mm / unit * 100) / 100); };
    report.at(view, *view.reading.code(Meaning::finish_cycle)->item)
        .message(said("Behind the contour this cycle goes back to its start, {} {}, in one rapid: through {} "
                      "{}, where the part stands at {}. Start it clear of the whole contour, where the "
                      "roughing starts.",
                      x(back.to.x_radius_mm), z(back.to.z_mm), x(hit.at.x_radius_mm), z(hit.at.z_mm),
                      x(hit.surface)));
}

} // namespace

extern const Check check{
    .id = "finish_returns_through_part",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Finishing cycle returns through the part",
    .documentation =
        "Behind the last block of its contour the finishing cycle goes back to where it was started, X and Z "
        "at once in rapid. Started below an outside contour, or above that of a bore, the tool goes through "
        "what it has just finished. Start it where the roughing starts: outside of the largest diameter of "
        "an outside contour, inside of the smallest of a bore, and in front of the face.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X54. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X26.
G01 Z-30. F.15
X36.
Z-60.
N20 X54.
G00 X150. Z150.
T0303
G00 X26. Z2.
G70 P10 Q20
;^^ warning: finish_returns_through_part
G00 X150. Z150.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S800 M03
G00 X.9 Z.1
G71 U.05 R.02
G71 P10 Q20 U-.02 W.004 F.01
N10 G00 X2.
G01 Z-1. F.006
X1.4
Z-2.
N20 X.9
G00 X2. Z.1
G70 P10 Q20
;^^ warning: finish_returns_through_part
G00 Z5.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X54. Z2.
G73 U2. R0.5
G73 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X26.
G01 Z-30. F.15
X36.
Z-60.
N20 X54.
T0303
G00 X54. Z2.
G72 P10 Q20
M30
)"},
            // No unit is stated: deep in either, and no deeper than what a nose explains.
            {System::A, R"(
T0202
G97 S900 M03
G00 X2. Z.1
G71 U.1 R.05
G71 P120 Q130 U.02 W.003 F.015
N120 G00 X1.
G01 Z-.5
X1.8
N130 Z-.8
G00 X6. Z4. M09
M05
T0404 (FINISH)
G97 S1200 M03
M08
G00 X1. Z.1
G70 P120 Q130 F.005
;^^ warning: finish_returns_through_part
G00 X6. Z4.
M30
)"},
            {System::A, R"(
T0202
G97 S900 M03
G00 X2. Z.1
G71 U.1 R.05
G71 P120 Q130 U.02 W.003 F.015
N120 G00 X1.
G01 Z-.5
X1.02
N130 Z-.8
G00 X1. Z.1
G70 P120 Q130 F.005
G00 X6. Z4.
M30
)"},
            // From the side of the chuck, with a left-hand tool.
            {System::B, R"(
G21 G90 G95
T0303
G96 S110 M03
G00 X122. Z-93.
G71 U1.8 R0.5
G71 P30 Q40 U0.6 W-0.1 F0.22
N30 G00 X42.
G01 X50. Z-89. F0.12
Z-63.
G03 X56. Z-60. R3.
G01 X108.
X112. Z-58.
N40 X120.
G70 P30 Q40
G00 X150.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::finish_returns_through_part
