#include "report/inspection.h"
#include "language/said.h"
#include "motion/work.h"

#include "features/speech.h"
#include "motion/geometry.h"
#include "report/lot.h"
#include "report/round_features.h"

#include <algorithm>
#include <cmath>
#include <fmt/ranges.h>
#include <set>
#include <tuple>

namespace turnwright::report {

using motion::cross;
using motion::dot;
using motion::norm;
using motion::Point;

namespace {

constexpr double one_line_mm = 1e-3;        ///< Corners of one line lie no further off it
constexpr double least_length_mm = 0.3;     ///< A shorter cylinder or face is no size to measure
constexpr double blunt_mm = 0.1;            ///< A corner is cut no blunter by a nose
constexpr double least_leg_mm = 0.05;       ///< Of a chamfer
constexpr double largest_chamfer_mm = 5;    ///< A longer slope is a taper
constexpr double shortest_taper_mm = 1;     ///< Of one that hardly rises
constexpr double steepest_chamfer_deg = 80; ///< To the axis; steeper is a wall as a tool's edge leaves it
constexpr double least_radius_mm = 0.05, most_turn_deg = 25, least_sweep_deg = 8;
constexpr double within_arc_mm = 0.008, highest_chord_mm = 0.02; ///< A chord lies no further off its arc
constexpr std::size_t least_chords = 3;
constexpr double outside_mm = 0.02; ///< So far from the surface the metal was taken off with it
constexpr std::size_t most_corners = 5000, most_rows = 60, most_followed_moves = 50'000;

bool is_inside(std::span<const Outline> area, const Point& point) {
    bool inside = false;
    for (const Outline& loop : area)
        for (std::size_t i = 0, before = loop.size() - 1; i < loop.size(); before = i++) {
            const Point &a = loop[i], &b = loop[before];
            if ((a.x_radius_mm > point.x_radius_mm) == (b.x_radius_mm > point.x_radius_mm)) continue;
            const double z = a.z_mm + (b.z_mm - a.z_mm) * (point.x_radius_mm - a.x_radius_mm) /
                                          (b.x_radius_mm - a.x_radius_mm);
            inside ^= point.z_mm < z;
        }
    return inside;
}

/// A stretch of the outline: straight, or an arc that was cut into chords.
struct Stretch {
    Point from, to;
    std::optional<Point> centre; ///< Of an arc
    Point middle, out;           ///< On it; away from the metal there, of length 1
    bool is_cylinder() const { return !centre && std::abs(from.x_radius_mm - to.x_radius_mm) < one_line_mm; }
    bool is_face() const { return !centre && std::abs(from.z_mm - to.z_mm) < one_line_mm; }
    double radius_mm() const { return centre ? norm(from - *centre) : 0; }
    /// Away from the metal toward its own middle: the fillet of an inner corner.
    bool is_hollow() const { return centre && cross(to - from, out) * cross(to - from, *centre - from) > 0; }
};

Outline corners_of(const Outline& loop) {
    Outline corners;
    for (const Point& point : loop)
        if (corners.empty() || norm(point - corners.back()) > one_line_mm) corners.push_back(point);
    while (corners.size() > 1 && norm(corners.front() - corners.back()) <= one_line_mm) corners.pop_back();
    if (corners.size() < 3) return {};
    // From a corner of the raw stock on, so that no arc is begun in its middle.
    std::rotate(corners.begin(),
                std::min_element(corners.begin(), corners.end(),
                                 [](const Point& a, const Point& b) {
                                     return a.z_mm != b.z_mm ? a.z_mm < b.z_mm
                                                             : a.x_radius_mm < b.x_radius_mm;
                                 }),
                corners.end());
    Outline kept;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Point& next = corners[(i + 1) % corners.size()];
        if (!kept.empty()) {
            const Point way = next - kept.back();
            const Point here = corners[i] - kept.back();
            if (std::abs(cross(way, here)) <= one_line_mm * norm(way) && dot(way, here) > 0) continue;
        }
        kept.push_back(corners[i]);
    }
    return kept;
}

std::optional<Point> centre_through(const Point& a, const Point& b, const Point& c) {
    const Point ab = b - a, ac = c - a;
    const double twice = 2 * cross(ab, ac);
    if (std::abs(twice) < 1e-9) return std::nullopt;
    const double bb = dot(ab, ab), cc = dot(ac, ac);
    return a +
           Point{(ab.z_mm * cc - ac.z_mm * bb) / twice, (ac.x_radius_mm * bb - ab.x_radius_mm * cc) / twice};
}

/// The last corner of the arc that begins at corner `first`; `first` where none does.
std::size_t arc_end(const Outline& corners, std::size_t first, Point& centre) {
    const auto turn = [&](std::size_t i) {
        const Point a = corners[i] - corners[i - 1], b = corners[i + 1] - corners[i];
        return std::atan2(cross(a, b), dot(a, b)) * 180 / motion::pi;
    };
    // Chords of an arc are alike, but for a shorter one at either end: a longer one is the line beside it.
    constexpr double alike = 1.2;
    const auto chord_mm = [&](std::size_t i) { return norm(corners[i] - corners[i - 1]); };
    if (first + 2 >= corners.size() || chord_mm(first + 1) > alike * chord_mm(first + 2)) return first;
    double longest_mm = chord_mm(first + 2);
    std::size_t end = first;
    double turned_deg = 0;
    for (std::size_t last = first + 2; last < corners.size(); ++last) {
        if (chord_mm(last) > alike * longest_mm) return end;
        longest_mm = std::max(longest_mm, chord_mm(last));
        const double here = turn(last - 1);
        turned_deg += here;
        if (std::abs(here) > most_turn_deg || here * turned_deg <= 0) return end;
        if (last < first + least_chords) continue;
        const auto middle = centre_through(corners[first], corners[(first + last) / 2], corners[last]);
        if (!middle) return end;
        const double radius = norm(corners[first] - *middle);
        for (std::size_t i = first + 1; i <= last; ++i) {
            const double chord = norm(corners[i] - corners[i - 1]);
            if (std::abs(norm(corners[i] - *middle) - radius) > within_arc_mm ||
                chord * chord > 8 * radius * highest_chord_mm)
                return end;
        }
        if (std::abs(turned_deg) < least_sweep_deg) continue;
        end = last;
        centre = *middle;
    }
    return end;
}

std::vector<Stretch> stretches_of(std::span<const Outline> part, const Outline& loop) {
    Outline corners = corners_of(loop);
    std::vector<Stretch> stretches;
    if (corners.empty() || corners.size() > most_corners) return stretches;
    corners.push_back(corners.front());
    for (std::size_t i = 0; i + 1 < corners.size();) {
        Stretch stretch;
        Point centre;
        const std::size_t arc = arc_end(corners, i, centre);
        const std::size_t end = arc > i ? arc : i + 1;
        stretch.from = corners[i];
        stretch.to = corners[end];
        if (arc > i) stretch.centre = centre;
        const std::size_t half = (i + end) / 2;
        const Point a = corners[half], b = corners[half + 1];
        stretch.middle = (a + b) * 0.5;
        const Point way = (b - a) * (1 / norm(b - a));
        stretch.out = {-way.z_mm, way.x_radius_mm};
        if (is_inside(part, stretch.middle + stretch.out * (outside_mm / 4))) stretch.out = stretch.out * -1;
        stretches.push_back(stretch);
        i = end;
    }
    return stretches;
}

/// A row whose maker is looked for: what lies at `probe` goes with the cut that leaves its surface.
struct Open {
    Inspected row;
    Point probe;
    std::optional<std::size_t> step; ///< In the picture
    std::size_t lay = 0;             ///< How the part lay then
    bool is_whole = false;           ///< The end that was in front on the first side: the whole length
};

class Inspector {
public:
    Inspector(const features::Document& document, const Picture& picture, const DrawnStock& drawn)
        : document_(document), picture_(picture), drawn_(before_threads(document, picture, drawn)),
          parts_(parts_of(document, drawn_)) {
        // Looked at with its front to plus.
        if (!parts_.to_plus) return;
        for (Outline& loop : parts_.after) {
            for (Point& point : loop) point.z_mm = -point.z_mm;
            std::reverse(loop.begin(), loop.end());
        }
    }

    Inspection look() {
        result_.unit = picture_.unit;
        if (parts_.after.empty()) {
            result_.why_not = parts_.why_not;
        } else {
            for (const Outline& loop : parts_.after)
                for (const Point& point : loop) front_z_mm_ = std::max(front_z_mm_, point.z_mm);
            std::vector<std::vector<Stretch>> loops;
            for (const Outline& loop : parts_.after) loops.push_back(stretches_of(parts_.after, loop));
            take_datum_face(loops);
            for (const std::vector<Stretch>& loop : loops) add_loop(loop);
            find_makers();
            std::erase_if(open_, [](const Open& open) { return !open.step && !open.is_whole; });
            leave_out_unsized();
            for (Open& open : open_) {
                if (open.step) sign(open.row, picture_.steps[*open.step]);
                lie_as_made(open.row, open.is_whole ? lays_.back() : lays_[open.lay]);
                result_.rows.push_back(std::move(open.row));
            }
            end_at_part_off();
            tell_of_cut_off();
        }
        if (lays_.empty()) lays_ = {Lay{}};
        add_threads();
        add_round_work();
        if (result_.rows.empty() && result_.why_not.empty())
            result_.why_not = said("No cut leaves a size on what is drawn.");
        std::stable_sort(result_.rows.begin(), result_.rows.end(), comes_before);
        if (parts_.to_plus) lie_as_drawn();
        add_remarks();
        return std::move(result_);
    }

private:
    /// A thread is measured as one: what it is cut into keeps the size it was turned to.
    static DrawnStock before_threads(const features::Document& document, const Picture& picture,
                                     const DrawnStock& drawn) {
        if (!drawn.course || !drawn.course->setup) return drawn;
        std::set<int> stations;
        for (const PictureStep& step : picture.steps)
            for (std::size_t i = 0; i < step.segment_count && step.station > 0; ++i)
                if (picture.segments[step.first_segment + i].kind == motion::SegmentKind::thread)
                    stations.insert(step.station);
        shop::Shop shop = *drawn.shop;
        bool any = false;
        for (shop::Tool& tool : shop.tools)
            if (stations.contains(tool.station)) tool.kind = shop::ToolKind::live, any = true;
        if (!any) return drawn;
        DrawnStock smooth = followed_with(document, std::move(shop), true, drawn.turned_round);
        smooth.assumed = drawn.assumed;
        smooth.unsized_drills = drawn.unsized_drills;
        return smooth;
    }

    /// The hole of a drill whose diameter nothing tells is drawn, and is no size.
    void leave_out_unsized() {
        std::set<int> left_out;
        std::erase_if(open_, [&](const Open& open) {
            const int station = open.step ? picture_.steps[*open.step].station : 0;
            const bool unsized = open.row.inside && drawn_.unsized_drills.contains(station);
            if (unsized) left_out.insert(station);
            return unsized;
        });
        for (const int station : left_out)
            result_.remarks.push_back(
                said("The hole of T{:02} is not listed: nothing tells the diameter of the drill.", station));
    }

    /// Of a stock that is assumed, what stands in front of a face at the datum is no more than that: where
    /// the part is cored or cast nothing does.
    void take_datum_face(const std::vector<std::vector<Stretch>>& loops) {
        if (drawn_.assumed_stock.empty() || front_z_mm_ <= one_line_mm) return;
        const auto at_datum = [](const Stretch& of) {
            return of.is_face() && std::abs(of.middle.z_mm) < one_line_mm && of.out.z_mm > 0;
        };
        for (const std::vector<Stretch>& loop : loops)
            has_stub_ = has_stub_ || std::any_of(loop.begin(), loop.end(), at_datum);
        if (!has_stub_) return;
        front_z_mm_ = 0;
        result_.remarks.push_back(
            said("What is drawn in front of the face at Z0 is left of a stock that is assumed: it "
                 "is no size, and lengths are from Z0."));
    }
    bool is_of_stub(const Stretch& of) const {
        return has_stub_ && std::min(of.from.z_mm, of.to.z_mm) > -one_line_mm;
    }

    static bool comes_before(const Inspected& a, const Inspected& b) {
        const bool first_side = a.as_written.on_first_side;
        if (first_side != b.as_written.on_first_side) return first_side;
        if (a.inside != b.inside) return b.inside;
        if (first_side) return std::pair(a.back_z_mm, a.front_z_mm) < std::pair(b.back_z_mm, b.front_z_mm);
        return std::pair(a.front_z_mm, a.back_z_mm) > std::pair(b.front_z_mm, b.back_z_mm);
    }

    void sign(Inspected& row, const PictureStep& step) const {
        row.line = step.line + 1;
        if (step.station > 0) row.tool = fmt::format("T{:02}", step.station);
        if (step.offset > 0) row.offset = std::to_string(step.offset);
    }

    void add(Feature feature, const Stretch& stretch, double size_mm, double second = 0,
             double other_mm = 0) {
        Open open;
        open.row.feature = feature;
        open.row.inside = stretch.out.x_radius_mm < 0 && !stretch.is_face();
        open.row.size_mm = size_mm;
        open.row.second = second;
        open.row.other_mm = other_mm;
        open.row.front_z_mm = std::max(stretch.from.z_mm, stretch.to.z_mm);
        open.row.back_z_mm = std::min(stretch.from.z_mm, stretch.to.z_mm);
        open.row.at = stretch.middle;
        open.probe = stretch.middle + stretch.out * outside_mm;
        open_.push_back(std::move(open));
    }

    /// The next stretch that is no fillet and no blunt corner.
    static const Stretch& beside(const std::vector<Stretch>& loop, std::size_t i, std::size_t step) {
        for (std::size_t k = 1; k < loop.size(); ++k) {
            const Stretch& other = loop[(i + step * k) % loop.size()];
            if (!other.is_hollow() && norm(other.to - other.from) > blunt_mm) return other;
        }
        return loop[i];
    }

    void add_loop(const std::vector<Stretch>& loop) {
        std::vector<bool> of_groove(loop.size(), false);
        const auto index = [&](const Stretch& of) { return static_cast<std::size_t>(&of - loop.data()); };
        for (std::size_t i = 0; i < loop.size(); ++i) {
            const Stretch& here = loop[i];
            const double x = here.from.x_radius_mm, length = std::abs(here.from.z_mm - here.to.z_mm);
            if (!here.is_cylinder() || x < least_leg_mm || length < least_leg_mm || is_of_stub(here))
                continue;
            const Stretch &before = beside(loop, i, loop.size() - 1), &after = beside(loop, i, 1);
            const Stretch& front = before.middle.z_mm > after.middle.z_mm ? before : after;
            const Stretch& back = &front == &before ? after : before;
            const bool outside = here.out.x_radius_mm > 0;
            const auto rises = [&](const Stretch& wall) {
                const double most = std::max(wall.from.x_radius_mm, wall.to.x_radius_mm);
                const double least = std::min(wall.from.x_radius_mm, wall.to.x_radius_mm);
                return wall.is_face() && (outside ? most > x + least_leg_mm : least < x - least_leg_mm);
            };
            // Walls that look at each other over its bottom.
            const bool groove = rises(front) && rises(back) && front.out.z_mm < 0 && back.out.z_mm > 0;
            if (groove) {
                of_groove[index(front)] = of_groove[index(back)] = true;
                add(Feature::groove, here, 2 * x, front.middle.z_mm - back.middle.z_mm);
                open_.back().row.front_z_mm = front.middle.z_mm;
                open_.back().row.back_z_mm = back.middle.z_mm;
            } else if (length >= least_length_mm) {
                add(outside ? Feature::diameter : Feature::bore, here, 2 * x);
                const double a = end_z_mm(here, before, here.from), b = end_z_mm(here, after, here.to);
                open_.back().row.front_z_mm = std::max(a, b);
                open_.back().row.back_z_mm = std::min(a, b);
            }
        }
        for (std::size_t i = 0; i < loop.size(); ++i)
            if (!loop[i].is_cylinder() && !of_groove[i] && !is_of_stub(loop[i])) add_other(loop, i);
    }

    void add_other(const std::vector<Stretch>& loop, std::size_t i) {
        const Stretch& here = loop[i];
        const double x_leg = std::abs(here.from.x_radius_mm - here.to.x_radius_mm);
        if (here.centre) {
            const double radius = here.radius_mm();
            if (radius >= least_radius_mm && !(here.is_hollow() && is_a_nose(radius)))
                add(Feature::radius, here, radius);
        } else if (here.is_face()) {
            if (x_leg >= least_length_mm && here.middle.z_mm < front_z_mm_ - one_line_mm)
                add(Feature::length, here, front_z_mm_ - here.middle.z_mm);
        } else if (norm(here.to - here.from) > blunt_mm) {
            // The cone that a drill's point leaves is no size of its own.
            if (std::min(here.from.x_radius_mm, here.to.x_radius_mm) < least_leg_mm && here.out.z_mm > 0 &&
                here.out.x_radius_mm < 0)
                return;
            add_slope(loop, i);
        }
    }

    void add_slope(const std::vector<Stretch>& loop, std::size_t i) {
        Stretch here = loop[i];
        const Stretch &before = beside(loop, i, loop.size() - 1), &after = beside(loop, i, 1);
        const auto is_square = [](const Stretch& of) { return of.is_cylinder() || of.is_face(); };
        const bool between = is_square(before) && is_square(after);
        const bool at_cone =
            !between && (is_square(before) || is_square(after)) && !before.centre && !after.centre;
        // The nose leaves a corner blunt by a hair: the size is that of the corner.
        here.from = corner(here, before, here.from);
        here.to = corner(here, after, here.to);
        const double x_leg = std::abs(here.from.x_radius_mm - here.to.x_radius_mm);
        const double z_leg = std::abs(here.from.z_mm - here.to.z_mm);
        const double degrees = std::atan2(x_leg, z_leg) * 180 / motion::pi;
        const Point& front = here.from.z_mm > here.to.z_mm ? here.from : here.to;
        const Point& back = here.from.z_mm > here.to.z_mm ? here.to : here.from;
        // Where one side is a cone, a slope of about 45 degrees breaks the corner.
        const bool breaks = between || (at_cone && degrees > 30 && degrees < 60);
        const bool is_small = breaks && std::max(x_leg, z_leg) <= largest_chamfer_mm;
        // The tool's own edge stood there
        if (degrees > steepest_chamfer_deg && (is_small || z_leg < blunt_mm)) return;
        if (is_small)
            add(Feature::chamfer, here, z_leg, degrees);
        else if (x_leg >= least_leg_mm || z_leg >= shortest_taper_mm)
            add(Feature::taper, here, 2 * front.x_radius_mm, degrees, 2 * back.x_radius_mm);
    }

    static double end_z_mm(const Stretch& cylinder, const Stretch& other, const Point& end) {
        if (other.centre) return end.z_mm;
        return (other.is_face() ? corner(cylinder, other, end) : corner(other, cylinder, end)).z_mm;
    }

    /// Where a slope would meet what stands beside it; `end` where that is far off, or no square surface.
    static Point corner(const Stretch& slope, const Stretch& other, const Point& end) {
        const Point way = slope.to - slope.from;
        Point met = end;
        if (other.is_cylinder()) {
            met.x_radius_mm = other.from.x_radius_mm;
            met.z_mm =
                slope.from.z_mm + way.z_mm * (met.x_radius_mm - slope.from.x_radius_mm) / way.x_radius_mm;
        } else if (other.is_face()) {
            met.z_mm = other.from.z_mm;
            met.x_radius_mm =
                slope.from.x_radius_mm + way.x_radius_mm * (met.z_mm - slope.from.z_mm) / way.z_mm;
        }
        return norm(met - end) <= blunt_mm ? met : end;
    }

    /// An inner corner is as round as the nose that cut it.
    bool is_a_nose(double radius) const {
        return std::any_of(drawn_.shop->tools.begin(), drawn_.shop->tools.end(), [&](const shop::Tool& tool) {
            return tool.nose_radius_mm && std::abs(*tool.nose_radius_mm - radius) < 2 * within_arc_mm;
        });
    }

    /// How the part lies from a place on, until the next one.
    struct Lay {
        machine::BlockPlace from;
        Inspected::AsWritten z;
        double front_z_mm = 0;            ///< As written; on the first side the face that was in front there
        std::vector<Outline> fallen = {}; ///< The part as it is cut off at the end of it
    };
    /// In order; the last one is how it is drawn. One alone where it is not known how they go together.
    std::vector<Lay> lays_of(const stock::ProgramCourse& course) const {
        using How = stock::Setup::TurnedRound::How;
        const auto& rows = course.setup->turned_round;
        const Lay last{{}, {parts_.to_plus ? -1.0 : 1.0, 0, false}, front_z_mm_};
        const stock::Setup::TurnedRound* lies = lies_last(drawn_);
        std::vector<Lay> lays{last};
        std::size_t turns = 0;
        for (auto row = rows.rbegin(); row != rows.rend(); ++row) {
            if (lies && row->at > lies->at && row->how == How::next_part) lays = {last}, turns = 0;
            if (row->how == How::next_part || !row->is_known) continue;
            if (row->turns() && ++turns > 1) return {last};
            const auto at = std::find_if(course.sequences.begin(), course.sequences.end(),
                                         [&](const auto& sequence) { return sequence.first == row->at; });
            if (at == course.sequences.begin() || at == course.sequences.end() || !at->in) return {last};
            lays.front().from = row->at;
            Lay before{{}, lays.front().z, 0};
            if (row->how == How::pulled) {
                before.z.offset_mm -= row->pull_mm;
                before.front_z_mm = lays.front().front_z_mm - row->pull_mm;
                lays.insert(lays.begin(), before);
                continue;
            }
            const stock::RegionPointer* part = &std::prev(at)->out;
            if (row->cut_off)
                for (auto above = course.sequences.begin(); above != at; ++above)
                    if (above->fallen) part = &above->fallen;
            if (!*part || (*part)->empty() || at->in->empty()) return {last};
            const double front_mm = (*part)->box().z_max;
            before.front_z_mm = front_mm;
            before.z.on_first_side = true;
            if (row->cut_off) before.fallen = (*part)->outlines();
            if (row->to_plus) {
                before.z.offset_mm += front_mm - at->in->box().z_max;
            } else {
                before.z.sign = -before.z.sign;
                before.z.offset_mm = at->in->box().z_min + front_mm - before.z.offset_mm;
            }
            lays.insert(lays.begin(), before);
        }
        return lays;
    }
    std::size_t lay_at(machine::BlockPlace place) const {
        std::size_t lay = 0;
        while (lay + 1 < lays_.size() && lays_[lay + 1].from <= place) ++lay;
        return lay;
    }

    /// Lengths of the first side are from the face that was in front there.
    static void lie_as_made(Inspected& row, const Lay& lay) {
        row.as_written = lay.z;
        if (!lay.z.on_first_side || row.feature != Feature::length) return;
        row.size_mm = lay.front_z_mm - lay.z.z_mm(row.back_z_mm);
    }
    static bool ends_first_side(const Inspected& row, const Lay& lay) {
        return lay.z.on_first_side && row.feature == Feature::length &&
               lay.front_z_mm - lay.z.z_mm(row.back_z_mm) < least_length_mm;
    }

    void lie_as_drawn() {
        for (Inspected& row : result_.rows) {
            for (double* z_mm : {&row.at.z_mm, &row.front_z_mm, &row.back_z_mm}) *z_mm = -*z_mm;
            row.as_written.sign = -row.as_written.sign;
        }
    }

    void find_makers() {
        // What stands at the edge of the raw stock was never cut.
        stock::Region last = stock::raw_stock(*drawn_.course->setup);
        lays_ = lays_of(*drawn_.course);
        const auto as_it_lay = [](Point probe, const Lay& lay) {
            probe.z_mm = lay.z.z_mm(probe.z_mm);
            return probe;
        };
        for (Open& open : open_)
            open.is_whole = std::any_of(lays_.begin(), lays_.end(),
                                        [&](const Lay& lay) { return ends_first_side(open.row, lay); });
        const std::vector<Outline> raw = last.outlines();
        const auto was_cut = [&](const Open& open) {
            return is_inside(raw, as_it_lay(open.probe, lays_.front()));
        };
        std::erase_if(open_, [&](const Open& open) { return !open.is_whole && !was_cut(open); });
        const auto first_whole = std::stable_partition(open_.begin(), open_.end(), was_cut);
        const std::span looked_for(open_.begin(), first_whole);
        std::size_t left = looked_for.size();
        const auto see = [&](const stock::Passed& passed, const stock::Region& now) {
            const auto first = picture_.first_segments.find(passed.block);
            if (left == 0 || first == picture_.first_segments.end() || now == last) return;
            last = now;
            const std::vector<Outline> area = now.outlines();
            const std::size_t lay = lay_at(passed.block.place);
            for (Open& open : looked_for) {
                if (open.step) continue;
                const Point probe = as_it_lay(open.probe, lays_[lay]);
                if (is_inside(area, probe) || is_inside(lays_[lay].fallen, probe)) continue;
                open.step = step_at(first->second + passed.move.value_or(0));
                open.lay = lay;
                --left;
            }
        };
        const stock::PassesEnd end = stock::follow_passes(document_.analysis(), *drawn_.shop, *drawn_.course,
                                                          most_followed_moves, see);
        if (end.stop != stock::Stop::none)
            result_.remarks.push_back(said("The stock is not followed beyond line {}: what is cut "
                                           "below is not listed.",
                                           document_.line_of(end.at) + 1));
    }

    std::size_t step_at(std::size_t segment) const {
        const auto behind = std::upper_bound(
            picture_.steps.begin(), picture_.steps.end(), segment,
            [](std::size_t wanted, const PictureStep& step) { return wanted < step.first_segment; });
        return static_cast<std::size_t>(behind - picture_.steps.begin()) - 1;
    }

    void tell_of_corner(const shop::Tool& tool) {
        const std::string name = fmt::format("T{:02}", tool.station);
        for (const std::string& told : drawn_.assumed)
            if (told.starts_with(name + " ") && tool.width_mm &&
                told.find(translated("left corner set")) == std::string::npos &&
                told.find(translated("right corner set")) == std::string::npos)
                result_.remarks.push_back(
                    said("The whole length is told for the left corner of {} at its programmed Z: where its "
                         "right corner is set, the part is {} longer. A note such as (PART OFF 3 WIDE, LEFT "
                         "CORNER SET) or the shop file tells which.",
                         name, length_text(result_.unit, *tool.width_mm)));
    }
    /// The same where a second spindle has taken it over.
    void tell_of_cut_off() {
        if (std::none_of(open_.begin(), open_.end(), [](const Open& open) { return open.is_whole; })) return;
        for (const stock::SequenceCourse& sequence : drawn_.course->sequences)
            if (const shop::Tool* tool = sequence.fallen ? drawn_.shop->tool(sequence.station) : nullptr)
                return tell_of_corner(*tool);
    }

    /// Parted off, the part ends where its tool went.
    void end_at_part_off() {
        if (!parts_.before_parting) return;
        PartOff cut;
        const PictureStep* by = nullptr;
        for (const PictureStep& step : picture_.steps) {
            const shop::Tool* tool = step.station > 0 ? drawn_.shop->tool(step.station) : nullptr;
            if (!tool || tool->kind != shop::ToolKind::parting) continue;
            for (std::size_t i = 0; i < step.segment_count; ++i)
                if (cut.take(step.station, picture_.segments[step.first_segment + i])) by = &step;
        }
        if (!by) return;
        const shop::Tool& tool = *drawn_.shop->tool(cut.station);
        if (!tool.width_mm) return;
        Inspected row;
        row.feature = Feature::length;
        row.back_z_mm = cut.near_side_z_mm(tool);
        row.front_z_mm = row.back_z_mm;
        row.size_mm = front_z_mm_ - row.back_z_mm;
        row.at = {cut.x_radius_mm, row.back_z_mm};
        for (const Outline& loop : parts_.after)
            for (const Point& point : loop)
                if (point.z_mm > row.back_z_mm - 1)
                    row.at.x_radius_mm = std::max(row.at.x_radius_mm, point.x_radius_mm / 2);
        sign(row, *by);
        tell_of_corner(tool);
        // What lies further back stays with the bar.
        std::erase_if(result_.rows,
                      [&](const Inspected& other) { return other.front_z_mm < row.back_z_mm + one_line_mm; });
        for (Inspected& other : result_.rows) other.back_z_mm = std::max(other.back_z_mm, row.back_z_mm);
        result_.rows.push_back(std::move(row));
    }

    /// Where the part's surface is at Z: the outermost of a shaft, the innermost of a bore.
    std::optional<double> surface_x_mm(double z_mm, bool inside) const {
        std::optional<double> x;
        for (const Outline& loop : parts_.after)
            for (std::size_t i = 0, before = loop.size() - 1; i < loop.size(); before = i++) {
                const Point &a = loop[i], &b = loop[before];
                if ((a.z_mm > z_mm) == (b.z_mm > z_mm)) continue;
                const double here =
                    a.x_radius_mm + (b.x_radius_mm - a.x_radius_mm) * (z_mm - a.z_mm) / (b.z_mm - a.z_mm);
                if (!x || (inside ? here < *x : here > *x)) x = here;
            }
        return x;
    }

    void add_threads() {
        const PictureStep* of = nullptr;
        double first_x = 0;
        Inspected row;
        const auto finish = [&] {
            if (!of) return;
            of = nullptr;
            if (row.line > 0) {
                row.as_written = lays_[lay_at(document_.place_of_line(row.line - 1))].z;
                std::tie(row.back_z_mm, row.front_z_mm) = std::minmax(row.as_written.here_mm(row.front_z_mm),
                                                                      row.as_written.here_mm(row.back_z_mm));
            }
            const double root_mm = row.second / 2, middle_z_mm = (row.front_z_mm + row.back_z_mm) / 2;
            const bool on_centre =
                root_mm < one_line_mm && first_x < one_line_mm; // Tapped with a float holder
            row.inside = on_centre || root_mm > first_x;
            if (const auto surface = surface_x_mm(middle_z_mm, row.inside)) row.other_mm = 2 * *surface;
            if (!parts_.after.empty()) row.front_z_mm = std::min(row.front_z_mm, front_z_mm_);
            row.at = {root_mm, (row.front_z_mm + row.back_z_mm) / 2};
            // A root outside of the metal is no thread of this part: which of both is read wrong is not
            // known.
            constexpr double certain_mm = 0.02;
            const bool in_air = !on_centre && row.other_mm > 0 &&
                                (row.inside ? row.second < row.other_mm - certain_mm
                                            : row.second > row.other_mm + certain_mm);
            if (!in_air) return result_.rows.push_back(row);
            result_.remarks.push_back(
                said("The thread that {} cuts in line {} is not listed: its root lies outside of what is "
                     "left of the part there.",
                     row.tool.empty() ? said("a tool") : row.tool, row.line));
        };
        for (const PictureStep& step : picture_.steps)
            for (std::size_t i = 0; i < step.segment_count; ++i) {
                const motion::Segment& cut = picture_.segments[step.first_segment + i];
                if (cut.kind != motion::SegmentKind::thread) continue;
                if (of && (of->span != step.span || std::abs(row.size_mm - cut.lead_mm) > 1e-9)) finish();
                if (!of) {
                    row = {};
                    row.feature = Feature::thread;
                    row.size_mm = cut.lead_mm;
                    row.front_z_mm = row.back_z_mm = cut.from.z_mm;
                    first_x = cut.from.x_radius_mm;
                }
                of = &step;
                row.front_z_mm = std::max({row.front_z_mm, cut.from.z_mm, cut.to.z_mm});
                row.back_z_mm = std::min({row.back_z_mm, cut.from.z_mm, cut.to.z_mm});
                // The deepest pass: a spring pass may follow it.
                if (std::abs(cut.from.x_radius_mm - first_x) >= std::abs(row.second / 2 - first_x) ||
                    row.second == 0)
                    row.second = 2 * cut.from.x_radius_mm;
                sign(row, step);
            }
        finish();
    }

    void add_round_work() {
        for (std::size_t i = 0; i < lays_.size(); ++i) {
            // As it is seen there, with the face in front: on the first side as written.
            const Lay& lay = lays_[i];
            const Inspected::AsWritten seen = i + 1 < lays_.size() ? lay.z : Inspected::AsWritten{};
            RoundView view;
            view.to_plus = seen.sign == lay.z.sign ? false : lay.z.sign < 0;
            view.takes = [&](const PictureStep& step) {
                return lay_at(document_.place_of_line(step.line)) == i;
            };
            view.surface_mm = [&](double z_mm) -> std::optional<double> {
                if (parts_.after.empty()) return std::nullopt;
                return surface_x_mm(seen.here_mm(z_mm), false);
            };
            if (!parts_.after.empty()) view.front_z_mm = i + 1 < lays_.size() ? lay.front_z_mm : front_z_mm_;
            for (Inspected& row : round_features(document_, picture_, view)) {
                row.as_written = lay.z;
                std::tie(row.back_z_mm, row.front_z_mm) =
                    std::minmax(seen.here_mm(row.front_z_mm), seen.here_mm(row.back_z_mm));
                row.at.z_mm = seen.here_mm(row.at.z_mm);
                result_.rows.push_back(std::move(row));
            }
        }
    }

    void add_remarks() {
        if (result_.rows.size() > most_rows) {
            result_.remarks.push_back(said("{} more sizes are not listed.", result_.rows.size() - most_rows));
            result_.rows.resize(most_rows);
        }
        if (result_.rows.empty()) return;
        result_.remarks.emplace_back(
            said("Sizes as the program makes them; what they may be off by stands in the drawing."));
        if (!parts_.after_exact)
            result_.remarks.emplace_back(
                said("The edge of a tool is not known: corners and radii may be otherwise."));
        if (!drawn_.assumed.empty())
            result_.remarks.push_back(said("Assumed: {}.", fmt::join(drawn_.assumed, "; ")));
    }

    const features::Document& document_;
    const Picture& picture_;
    const DrawnStock drawn_;
    PictureParts parts_;
    double front_z_mm_ = -1e9;
    bool has_stub_ = false;
    std::vector<Open> open_;
    std::vector<Lay> lays_;
    Inspection result_;
};

} // namespace

Inspection inspect(const features::Document& document, const Picture& picture, const DrawnStock& drawn) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    return Inspector(document, picture, drawn).look();
}

std::string name_text(const Inspected& row) {
    constexpr TableText titles[] = {"Diameter", "Bore",   "Groove", "Length", "Chamfer", "Taper",
                                    "Radius",   "Thread", "Holes",  "Flats",  "Slot"};
    if (row.count == 1 && row.feature == Feature::holes)
        return row.from_side ? said("Hole from the side") : said("Hole");
    if (row.feature == Feature::holes && row.from_side) return said("Holes from the side");
    if (row.count == 1 && row.feature == Feature::flats) return said("Flat");
    if (row.feature == Feature::slot && !row.from_side)
        return row.count > 1 ? said("Slots in the face") : said("Slot in the face");
    if (row.count > 1 && row.feature == Feature::slot) return said("Slots");
    const std::string title(titles[static_cast<std::size_t>(row.feature)]);
    return row.inside && row.feature != Feature::bore ? title + said(" in the bore") : title;
}

namespace {

/// "4 x D6 on D44, depth 12, each 90 degrees".
std::string holes_text(const Inspected& row, LengthUnit unit) {
    std::string text = row.count > 1 ? fmt::format("{} x ", row.count) : std::string();
    if (!row.thread.empty())
        text += row.thread;
    else
        text +=
            (row.size_mm > 0 ? "D" + length_number(unit, row.size_mm) : said("size of the tool not known")) +
            std::string(row.tapped ? said(" tapped") : "");
    if (!row.from_side) text += said(" on D") + length_number(unit, row.second);
    if (row.depth_mm)
        text += said(", depth ") + length_number(unit, *row.depth_mm);
    else if (row.from_side)
        text += said(", down to D") + length_number(unit, row.other_mm);
    if (row.each_deg > 0) text += said(", each {}\u00b0", features::plain(row.each_deg, 2));
    return text;
}

/// "hexagon 24 across flats".
std::string flats_text(const Inspected& row, LengthUnit unit) {
    if (row.count == 1) return length_number(unit, row.size_mm) + said(" from the centre");
    const bool even = row.each_deg > 0;
    std::string text = even && row.count == 4   ? said("square")
                       : even && row.count == 6 ? said("hexagon")
                       : even && row.count == 8 ? said("octagon")
                                                : fmt::format("{},", row.count);
    if (even && row.count % 2 == 0)
        return text + said(" {} across flats", length_number(unit, 2 * row.size_mm));
    return said("{}, each {} from the centre", row.count, length_number(unit, row.size_mm));
}

/// "6 wide, 26 long, depth 3.5".
std::string slot_text(const Inspected& row, LengthUnit unit) {
    std::string text = row.count > 1 ? fmt::format("{} x ", row.count) : std::string();
    text += row.size_mm > 0 ? said("{} wide, {} long over its ends", length_number(unit, row.size_mm),
                                   length_number(unit, row.second))
                            : said("width of the tool not known, {} between the middles of its ends",
                                   length_number(unit, row.second));
    return text + (row.depth_mm ? said(", depth ") + length_number(unit, *row.depth_mm)
                                : said(", bottom at D") + length_number(unit, row.other_mm));
}

} // namespace

std::string size_text(const Inspected& row, LengthUnit unit) {
    std::string size = length_number(unit, row.size_mm);
    switch (row.feature) {
    case Feature::groove:
        return said("{}, width {}", size, length_number(unit, row.second));
    case Feature::radius: // Found among chords: no finer than they are
        return length_number(unit, row.size_mm, 2);
    case Feature::chamfer:
        return fmt::format("{} x {}\u00b0", length_number(unit, row.size_mm, 2),
                           features::plain(row.second, 1));
    case Feature::taper:
        return said("{} to {}, {}\u00b0 to the axis", size, length_number(unit, row.other_mm),
                    features::plain(row.second, 3));
    case Feature::holes:
        return holes_text(row, unit);
    case Feature::flats:
        return flats_text(row, unit);
    case Feature::slot:
        return slot_text(row, unit);
    case Feature::thread: {
        const bool inch = unit == LengthUnit::inch && row.size_mm > 0;
        return said("{}lead {}{}{}", row.other_mm > 0 ? length_number(unit, row.other_mm) + ", " : "", size,
                    inch ? said(" ({} per inch)", features::plain(motion::mm_per_inch / row.size_mm, 2)) : "",
                    row.second < one_line_mm ? said(", tapped")
                                             : said(", root ") + length_number(unit, row.second));
    }
    default:
        return size;
    }
}

std::string line_text(const Inspected& row) {
    return row.line > 0 ? std::to_string(row.line) : std::string();
}

std::string place_text(const Inspected& row, LengthUnit unit) {
    const auto place = [unit](double z_mm) { return "Z" + length_number(unit, z_mm, 2); };
    std::string front = place(row.as_written.z_mm(row.front_z_mm));
    std::string back = place(row.as_written.z_mm(row.back_z_mm));
    if (row.as_written.on_first_side) std::swap(front, back); // It was in front there
    return (front == back ? front : front + said(" to ") + back) +
           (row.as_written.on_first_side ? said(", on the first side") : "");
}

} // namespace turnwright::report
