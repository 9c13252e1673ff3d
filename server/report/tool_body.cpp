// Plain sizes of holders by kind: common practice, no source. They are drawn and said to be assumed; no
// warning rests on them.
#include "report/tool_body.h"
#include "language/said.h"

#include "features/speech.h"
#include "motion/geometry.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using motion::operator+;
using motion::operator-;
using motion::operator*;
using motion::Point;
using shop::ToolKind;

namespace {

/// Up to these diameters of the work shanks are so large.
struct PlainSize {
    double work_mm, shank_mm, insert_mm;
};
constexpr PlainSize plain_sizes[] = {{20, 12, 7}, {80, 20, 12}, {250, 25, 12}, {1e9, 32, 19}};
/// How far a holder of a turning tool is drawn.
constexpr double holder_reach_mm = 150;
constexpr double flutes_per_diameter = 5, blade_per_width = 6, bar_per_diameter = 4;
constexpr double plain_approach_deg = 95, plain_back_deg = 5;

class Body {
public:
    Body(const shop::Tool& tool, double stock_radius_mm, double bore_radius_mm, double mm_per_unit)
        : tool_(tool), shape_(stock::shape_of(&tool)), bore_radius_mm_(bore_radius_mm),
          mm_per_unit_(mm_per_unit),
          size_(*std::find_if(std::begin(plain_sizes), std::end(plain_sizes),
                              [&](const PlainSize& size) { return 2 * stock_radius_mm <= size.work_mm; })) {
        if (stock_radius_mm <= 0) size_ = plain_sizes[1];
    }

    ToolBody make() {
        switch (tool_.kind) {
        case ToolKind::turning:
            add_turning();
            break;
        case ToolKind::boring:
        case ToolKind::threading_inside:
            add_bar();
            break;
        case ToolKind::grooving:
        case ToolKind::parting:
        case ToolKind::face_grooving:
            add_blade();
            break;
        case ToolKind::threading:
            add_threading();
            break;
        case ToolKind::drill:
        case ToolKind::centre_drill:
        case ToolKind::tap:
        case ToolKind::reamer:
            add_drill();
            break;
        case ToolKind::knurl:
            add_knurl();
            break;
        default:
            break;
        }
        if (!shape_.holder.empty()) {
            std::erase_if(body_.parts,
                          [](const BodyPart& part) { return part.role == BodyPart::Role::holder; });
            body_.parts.insert(body_.parts.begin(), {BodyPart::Role::holder, false, shape_.holder});
        }
        return std::move(body_);
    }

private:
    std::string length(double mm) const {
        return features::plain(mm / mm_per_unit_, mm_per_unit_ > 1 ? 3 : 2) +
               (mm_per_unit_ > 1 ? " in" : " mm");
    }
    void assume(std::string_view what, double mm) {
        if (!body_.assumed.empty()) body_.assumed += ", ";
        body_.assumed += fmt::format("{} {}", what, length(mm));
    }
    double told_or(std::optional<double> told, double usual, std::string_view what) {
        if (told) return *told;
        assume(what, usual);
        return usual;
    }
    void add(BodyPart::Role role, bool assumed, std::vector<Point> points) {
        body_.parts.push_back({role, assumed, std::move(points)});
    }
    bool has_holder() const { return !shape_.holder.empty(); }
    double shank() {
        return has_holder() ? tool_.shank_mm.value_or(size_.shank_mm)
                            : told_or(tool_.shank_mm, size_.shank_mm, said("shank"));
    }

    /// Which side the body stands on along Z: 1 away from the chuck.
    double toward() const {
        const Point centre = shape_.nose_centre;
        if (centre.z_mm < -1e-9) return -1;
        if (centre.z_mm > 1e-9 || shape_.nose_radius_mm > 0) return 1;
        const int direction = tool_.tip_direction.value_or(3);
        return direction == 4 || direction == 1 ? -1 : 1;
    }

    void add_turning() {
        const int direction = tool_.tip_direction.value_or(tool_.hand == shop::ToolHand::left ? 4 : 3);
        if (direction == 9) return add_button();
        const double side = toward(), radius = shape_.nose_radius_mm;
        const bool on_face = shape_.body == stock::ToolShape::Way::along_z;
        const double edge = told_or(tool_.edge_length_mm, size_.insert_mm, said("insert edge"));
        const bool angles = tool_.approach_angle_deg && tool_.back_angle_deg;
        const double front = tool_.approach_angle_deg.value_or(plain_approach_deg);
        const double back = tool_.back_angle_deg.value_or(plain_back_deg);
        const double out = shape_.body == stock::ToolShape::Way::inward ? -1 : 1;
        Point leading{std::sin(front * motion::pi / 180) * out, -side * std::cos(front * motion::pi / 180)};
        Point trailing{std::sin(back * motion::pi / 180) * out, side * std::cos(back * motion::pi / 180)};
        if (direction == 8 || direction == 6) { // The tip in the middle: as much edge on both sides
            leading = {out * 0.94, -0.34};
            trailing = {out * 0.94, 0.34};
        }
        if (on_face) leading = {0.94, 0.34}, trailing = {-0.34, 0.94};
        add_holder_behind(leading, trailing, edge, side, out);
        add_insert(leading, trailing, edge, radius, !angles || !tool_.edge_length_mm);
    }

    /// The nose, both edges and what lies between.
    void add_insert(Point leading, Point trailing, double edge, double radius, bool assumed) {
        const Point centre = radius > 0 ? shape_.nose_centre : Point{};
        const double turn = motion::cross(trailing, leading) > 0 ? 1 : -1;
        const auto outward = [&](Point along, double of) {
            return Point{-along.z_mm * of, along.x_radius_mm * of} * radius;
        };
        std::vector<Point> points;
        for (int i = 0; i < 32; ++i) {
            const double angle = 2 * motion::pi * i / 32;
            points.push_back(centre + Point{std::sin(angle), std::cos(angle)} * radius);
        }
        const Point a = centre - outward(leading, turn), b = centre + outward(trailing, turn);
        for (const Point point :
             {a, b, a + leading * edge, b + trailing * edge, centre + (leading + trailing) * edge})
            points.push_back(point);
        const auto outlines = stock::hull(points).outlines();
        if (!outlines.empty()) add(BodyPart::Role::edge, assumed, outlines.front());
    }

    /// A shank square to the spindle with a head that leaves both edges free.
    void add_holder_behind(Point leading, Point trailing, double edge, double side, double out) {
        if (has_holder()) return;
        const double wide = shank();
        const Point on_leading = leading * (0.55 * edge), on_trailing = trailing * (0.75 * edge);
        const Point inside = (leading + trailing) * 0.35 * edge;
        const double flush = on_leading.z_mm + side * 0.6, behind = flush + side * wide;
        const double end = out * (edge + holder_reach_mm), neck = out * std::max(edge * 1.6, wide);
        const double back_x = out * std::max(out * (on_trailing.x_radius_mm) + 1.0, 1.5);
        add(BodyPart::Role::holder, true,
            {{inside.x_radius_mm * 0.6, inside.z_mm * 0.6 + side * 0.4},
             {on_leading.x_radius_mm, flush},
             {end, flush},
             {end, behind},
             {neck, behind},
             {back_x, on_trailing.z_mm}});
    }

    void add_button() {
        std::vector<Point> circle;
        circle.reserve(48);
        for (int i = 0; i < 48; ++i)
            circle.push_back(shape_.nose_centre +
                             Point{std::sin(2 * motion::pi * i / 48), std::cos(2 * motion::pi * i / 48)} *
                                 shape_.nose_radius_mm);
        if (!has_holder()) {
            const double wide = shank(), middle = shape_.nose_centre.z_mm,
                         from = shape_.nose_centre.x_radius_mm;
            add(BodyPart::Role::holder, true,
                {{from, middle - wide / 2},
                 {from + holder_reach_mm, middle - wide / 2},
                 {from + holder_reach_mm, middle + wide / 2},
                 {from, middle + wide / 2}});
        }
        if (shape_.nose_radius_mm > 0) add(BodyPart::Role::edge, false, std::move(circle));
    }

    /// How thick a bar is drawn: as told, or a good part of the hole it goes into.
    double bar_diameter() {
        if (tool_.shank_mm) return *tool_.shank_mm;
        double thick = size_.shank_mm * 0.8;
        if (tool_.diameter_mm)
            thick = *tool_.diameter_mm * 0.8;
        else if (bore_radius_mm_ > 0.5)
            thick = std::min(thick, 2 * bore_radius_mm_ * 0.7);
        if (!has_holder()) assume(said("bar"), thick);
        return thick;
    }

    void add_bar() {
        const bool threads = tool_.kind == ToolKind::threading_inside;
        const double thick = bar_diameter(), radius = shape_.nose_radius_mm;
        const double insert = std::min(
            told_or(tool_.edge_length_mm, std::min(size_.insert_mm, thick * 0.45), said("insert edge")),
            thick);
        const double gap = std::max(0.08 * thick, 0.3);
        if (!has_holder()) {
            const double reach =
                told_or(tool_.length_mm, std::max(bar_per_diameter * thick, 30.0), said("reach"));
            const double top = -gap, low = -gap - thick, block = std::max(thick * 0.6, 6.0);
            const double side = threads ? 1 : toward(), begins = threads ? -side * insert * 0.6 : side * 0.4;
            add(BodyPart::Role::holder, true,
                {{top, begins},
                 {top, side * reach},
                 {top + block, side * reach},
                 {top + block, side * (reach + 60)},
                 {low - block, side * (reach + 60)},
                 {low - block, side * reach},
                 {low, side * reach},
                 {low, begins}});
        }
        if (threads) return add_point(-1, insert);
        const double front = tool_.approach_angle_deg.value_or(plain_approach_deg) * motion::pi / 180;
        const double back = tool_.back_angle_deg.value_or(plain_back_deg) * motion::pi / 180;
        const double side = toward();
        if (shape_.body != stock::ToolShape::Way::inward) return;
        add_insert({-std::sin(front), -side * std::cos(front)}, {-std::sin(back), side * std::cos(back)},
                   insert, radius,
                   !tool_.approach_angle_deg || !tool_.back_angle_deg || !tool_.edge_length_mm);
    }

    /// A point of 60 degrees, as most threads have.
    void add_point(double out, double insert) {
        const double high = insert, half = high * std::tan(30 * motion::pi / 180);
        add(BodyPart::Role::edge, true, {{0, 0}, {out * high, half}, {out * high, -half}});
    }

    void add_threading() {
        const double insert = told_or(tool_.edge_length_mm, size_.insert_mm, said("insert edge"));
        if (!has_holder()) {
            const double wide = shank(), half = insert * 0.58;
            add(BodyPart::Role::holder, true,
                {{insert * 0.5, -half * 0.5},
                 {insert * 0.9, -half - 1},
                 {insert + holder_reach_mm, -half - 1},
                 {insert + holder_reach_mm, -half - 1 + wide},
                 {insert * 1.3, -half - 1 + wide},
                 {insert * 0.5, half * 0.5}});
        }
        add_point(1, insert);
    }

    void add_blade() {
        if (!shape_.known || shape_.cuts.empty()) return;
        const bool on_face = tool_.kind == ToolKind::face_grooving;
        const bool inside = shape_.body == stock::ToolShape::Way::inward;
        const double width = *tool_.width_mm;
        const double deep =
            told_or(tool_.length_mm, std::clamp(blade_per_width * width, 8.0, 40.0), said("blade"));
        double from = 1e9, to = -1e9;
        for (const Point p : shape_.surely) {
            const double across = on_face ? p.x_radius_mm : p.z_mm;
            from = std::min(from, across), to = std::max(to, across);
        }
        const auto place = [&](double along, double across) {
            return on_face ? Point{across, along} : Point{inside ? -along : along, across};
        };
        if (!has_holder()) {
            const double wide = std::max(inside ? bar_diameter() : shank(), width * 1.2);
            const double end = deep + (on_face || !inside ? holder_reach_mm : 20);
            add(BodyPart::Role::holder, true,
                {place(deep, from), place(end, from), place(end, from + wide), place(deep + 4, from + wide),
                 place(deep, to + 1)});
        }
        // The corners as they are, and the blade as long as it is told.
        std::vector<Point> points = shape_.surely;
        points.push_back(place(deep, from));
        points.push_back(place(deep, to));
        const auto outlines = stock::hull(points).outlines();
        if (!outlines.empty()) add(BodyPart::Role::edge, !tool_.length_mm, outlines.front());
    }

    void add_drill() {
        if (!tool_.diameter_mm) return;
        const double d = *tool_.diameter_mm, r = d / 2;
        const bool drill = tool_.kind == ToolKind::drill, centre = tool_.kind == ToolKind::centre_drill;
        const double angle = tool_.point_angle_deg.value_or(drill ? 118 : centre ? 118 : 180);
        const double point = angle >= 180 ? 0 : r / std::tan(angle / 2 * motion::pi / 180);
        const double usual = (centre ? 1.5 : flutes_per_diameter) * d;
        const double reach =
            told_or(tool_.length_mm, tool_.flute_length_mm.value_or(0) + usual, said("stands out"));
        const double flutes = std::min(tool_.flute_length_mm.value_or(reach * 0.85), reach);
        const double shank = tool_.shank_mm.value_or(d) / 2;
        if (!has_holder()) {
            const double sleeve = std::max(d * 0.9, 8.0);
            add(BodyPart::Role::holder, true,
                {{-sleeve, reach},
                 {sleeve, reach},
                 {sleeve, reach + 25},
                 {sleeve * 1.5, reach + 25},
                 {sleeve * 1.5, reach + 70},
                 {-sleeve * 1.5, reach + 70},
                 {-sleeve * 1.5, reach + 25},
                 {-sleeve, reach + 25}});
        }
        add(BodyPart::Role::edge, !tool_.length_mm,
            {{0, 0},
             {r, point},
             {r, flutes},
             {shank, flutes},
             {shank, reach},
             {-shank, reach},
             {-shank, flutes},
             {-r, flutes},
             {-r, point}});
        add_flutes(r, point, flutes);
    }

    /// Helix of a drill, straight lips of a reamer, teeth of a tap: only to tell them apart.
    void add_flutes(double r, double from, double to) {
        using Role = BodyPart::Role;
        if (to - from < r) return;
        if (tool_.kind == ToolKind::reamer) {
            for (const double x : {-0.45 * r, 0.0, 0.45 * r})
                add(Role::lines, true, {{x, from + r}, {x, to}});
            return;
        }
        if (tool_.kind == ToolKind::tap) {
            const double pitch = std::max(r / 4, 0.5);
            for (double z = from + pitch; z + pitch < to && z < from + 60 * pitch; z += pitch)
                add(Role::lines, true, {{-r, z}, {r, z + pitch / 2}});
            return;
        }
        const double turn = 4.5 * r; // A helix of about 30 degrees goes round in some five diameters
        for (const double start : {0.0, 0.5}) {
            std::vector<Point> flute;
            for (double z = from; z <= to; z += turn / 16)
                flute.push_back({r * std::cos((z - from) / turn * motion::pi + start * 2 * motion::pi), z});
            add(Role::lines, true, std::move(flute));
        }
    }

    void add_knurl() {
        const double radius = told_or(tool_.diameter_mm, 20, said("wheel")) / 2,
                     wide = told_or(tool_.width_mm, 8, said("width"));
        add(BodyPart::Role::holder, true,
            {{radius, -wide},
             {radius + holder_reach_mm, -wide},
             {radius + holder_reach_mm, wide},
             {radius, wide}});
        add(BodyPart::Role::edge, true,
            {{0, -wide / 2}, {2 * radius, -wide / 2}, {2 * radius, wide / 2}, {0, wide / 2}});
    }

    const shop::Tool& tool_;
    const stock::ToolShape shape_;
    const double bore_radius_mm_, mm_per_unit_;
    PlainSize size_;
    ToolBody body_;
};

} // namespace

ToolBody tool_body(const shop::Tool* tool, double stock_radius_mm, double bore_radius_mm,
                   double mm_per_unit) {
    if (!tool) return {};
    return Body(*tool, stock_radius_mm, bore_radius_mm, mm_per_unit).make();
}

} // namespace turnwright::report
