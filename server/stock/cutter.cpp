// What a single move takes off and hits.
#include "stock/cutter.h"

#include "motion/geometry.h"

#include <algorithm>
#include <cmath>

namespace turnwright::stock {

using motion::operator+;
using motion::operator-;
using motion::operator*;
using motion::Segment;
using shop::ToolKind;

namespace {

/// A cut thinner than this is a spark-out, and rounding of the grid.
constexpr double least_area_mm2 = 1e-4;
/// Parting this far past the centre, on radius, clears any slanted edge (common practice, no source).
constexpr double usual_past_centre_mm = 1;
/// Room that depth and angle limits are given: what rounding and a wear offset explain.
constexpr double depth_room_mm = 0.05;
constexpr double angle_room_deg = 0.5;
constexpr double bar_room_mm = 0.1;
/// What is met for less of the way than this is no depth of cut.
constexpr double lasting_mm = 1;
/// Room for a reach that was measured by hand.
constexpr double reach_room_mm = 0.5;
/// Chips of a peck no longer than this find room in the flutes (common practice, no source).
constexpr double short_peck_diameters = 1;
/// A holder is at least this much wider than its drill or bar, on radius (common practice, no source).
constexpr double holder_mm = 1;
/// An outline of a holder is measured by hand, and less than this into it is let pass.
constexpr double holder_room_mm = 0.2;
/// How finely the way of tools beside is looked along.
constexpr double neighbour_step_mm = 1;
/// A rapid that shaves off less than this is let pass: what wear, offsets and the finish of a surface
/// explain.
constexpr double shaving_mm = 0.2;
/// Straight out of a cut the flank still lies on the shoulder it made, which leans by the approach angle.
constexpr double shaving_behind_cut_mm = 0.5;

/// Extent of an area along a direction.
struct Span {
    double least = 0, most = 0;
    double length() const { return most - least; }
};
Span extent_along(const Region& area, Point direction) {
    Span span{1e18, -1e18};
    for (const Loop& loop : area.loops)
        for (GridPoint p : loop) {
            double at = motion::dot(
                {static_cast<double>(p.x) / grid_per_mm, static_cast<double>(p.z) / grid_per_mm}, direction);
            span = {std::min(span.least, at), std::max(span.most, at)};
        }
    return area.empty() ? Span{} : span;
}

Point across(Point direction) {
    return {direction.z_mm, -direction.x_radius_mm}; // To the left
}

/// The part of an area beside a straight move, between the square lines through its ends.
Region beside_move(const Region& area, const Segment& segment) {
    Point ahead = motion::direction_at(segment, 0), left = across(ahead);
    const double far = 3 * reach_mm;
    Point corners[] = {segment.from + left * far, segment.from - left * far, segment.to - left * far,
                       segment.to + left * far};
    return intersect(area, hull(corners));
}

bool moves(const Segment& segment) {
    return !motion::same(segment.from, segment.to) || segment.is_arc;
}

Region moved(Region area, Point by) {
    const auto z = static_cast<std::int64_t>(std::llround(by.z_mm * grid_per_mm));
    const auto x = static_cast<std::int64_t>(std::llround(by.x_radius_mm * grid_per_mm));
    for (Loop& loop : area.loops)
        for (GridPoint& p : loop) p = {p.z + z, p.x + x};
    return area;
}

/// Depth of a straight cut, square to its way, where it lasts: at the end of a pass the edge also meets the
/// whole shoulder, with next to no chip, and that is not the depth anybody sets.
double lasting_depth(const Region& removed, const Segment& segment) {
    Region beside = beside_move(removed, segment);
    Point ahead = motion::direction_at(segment, 0);
    double across_way = extent_along(beside, across(ahead)).length();
    double way = extent_along(beside, ahead).length();
    if (way <= 0) return 0;
    double mean = beside.area_mm2() / way;
    if (across_way <= 1.3 * mean) return across_way;
    Region lasting = intersect(beside, moved(beside, ahead * lasting_mm));
    return lasting.empty() ? mean : extent_along(lasting, across(ahead)).length();
}

/// What an area is on the other side of the centreline, where the part is the same.
Region mirrored(Region area) {
    for (Loop& loop : area.loops) {
        for (GridPoint& p : loop) p.x = -p.x;
        std::reverse(loop.begin(), loop.end());
    }
    return area;
}

/// Whether a shape on its way gets deeper into an area than `room`.
bool meets(const ToolShape& shape, const Region& area, const Region& swept, double room) {
    Region hit = intersect(area, swept);
    if (hit.empty()) return false;
    if (!shape.bare_tip) return is_wider(hit, room);
    return !intersect(shrink(area, room), swept).empty();
}

/// The place along a move where something first happens on the way to it.
template <class Happens>
Point first_place(const Segment& segment, Happens happens_on) {
    double free = 0, hit = 1;
    for (int i = 0; i < 14; ++i) {
        double middle = (free + hit) / 2;
        Segment part = segment.is_arc ? motion::part_of(segment, 0, middle) : segment;
        if (!segment.is_arc) part.to = motion::point_at(segment, middle);
        (happens_on(part) ? hit : free) = middle;
    }
    return motion::point_at(segment, hit);
}

/// The place along a move where a shape first meets an area.
Point first_contact(const ToolShape& shape, const Segment& segment, const Region& area) {
    return first_place(segment, [&](const Segment& part) {
        return meets(shape, area, sweep(shape.surely, part), touch_mm);
    });
}

/// What a holder surely keeps within on a straight move, also behind the centreline.
Box box_of_way(const ToolShape& shape, const Segment& segment) {
    Box box{1e18, -1e18, 1e18, -1e18};
    for (Point corner : shape.holder)
        for (Point at : {segment.from, segment.to}) {
            const Point p = corner + at;
            box = {std::min(box.z_min, p.z_mm), std::max(box.z_max, p.z_mm),
                   std::min(box.x_min, p.x_radius_mm), std::max(box.x_max, p.x_radius_mm)};
        }
    if (box.x_min < 0) box.x_max = std::max(box.x_max, -box.x_min);
    return box;
}

double between_mm(const Box& a, const Box& b) {
    return std::hypot(std::max({a.z_min - b.z_max, b.z_min - a.z_max, 0.0}),
                      std::max({a.x_min - b.x_max, b.x_min - a.x_max, 0.0}));
}

/// Everywhere a holder gets to on a move, also as the part sees it behind the centreline.
Region holder_way(const ToolShape& shape, const Segment& segment) {
    Region way = sweep_hollow(shape.holder, segment);
    if (way.box().x_min > -touch_mm) return way;
    Region behind = mirrored(way);
    way.loops.insert(way.loops.end(), behind.loops.begin(), behind.loops.end());
    return way;
}

/// The grooves of a thread's turns in a section: flanks of 60 degrees (ISO 68-1) on a root so narrow that
/// threads of several starts keep their crests, too. nullopt: no turns that could be drawn.
std::optional<Region> turns_of_thread(const Segment& segment, bool inside) {
    constexpr int most_turns = 500;
    const double lead = segment.lead_mm, way = segment.to.z_mm - segment.from.z_mm;
    if (segment.is_arc || lead <= 0 || std::abs(way) < lead || std::abs(way) / lead > most_turns)
        return std::nullopt;
    const double high = 3 * lead, root = lead / 48, top = root + high * std::tan(motion::pi / 6);
    const double side = inside ? -1 : 1;
    const Point groove[] = {{0, -root}, {0, root}, {side * high, top}, {side * high, -top}};
    const int turns = static_cast<int>(std::abs(way) / lead);
    Region all;
    for (int i = 0; i <= turns; ++i) {
        const Point at = motion::point_at(segment, i * lead / std::abs(way));
        std::vector<Point> moved;
        for (const Point corner : groove) moved.push_back(corner + at);
        const Region one = hull(moved);
        all.loops.insert(all.loops.end(), one.loops.begin(), one.loops.end());
    }
    return all; // Loops overlap; all run the same way round, so that clipping takes them as one area
}

bool is_blade(ToolKind kind) {
    return kind == ToolKind::grooving || kind == ToolKind::parting;
}

/// Of a rapid from an unknown place only the end counts.
Segment way_of(const Job& job) {
    Segment segment = job.segment;
    if (job.pose_only) segment.from = segment.to, segment.is_arc = false;
    return segment;
}

bool works_on_centreline(ToolKind kind) {
    return kind == ToolKind::drill || kind == ToolKind::centre_drill || kind == ToolKind::tap ||
           kind == ToolKind::reamer;
}

} // namespace

Cutter::Cutter(const Setup& setup, const shop::Machine& machine, const shop::Shop& shop, Region profile,
               SequenceCourse& course)
    : setup_(setup), machine_(machine), course_(course), profile_(std::move(profile)),
      material_(setup.material.empty() ? nullptr : material(setup.material)), zones_(zones_of(setup)),
      turret_(machine, shop, setup.path) {
    shape_ = shape_of(nullptr);
}

void Cutter::take(const shop::Tool* tool) {
    tool_ = tool;
    shape_ = in_second_ ? shape_in_second(tool, to_plus_) : shape_of(tool);
    told_missing_ = false;
    holder_hit_ = {};
    neighbours_told_.clear();
    fed_since_out_mm_ = 0;
}

void Cutter::tell_missing() {
    if (told_missing_) return;
    told_missing_ = true;
    for (std::string_view key : shape_.missing)
        if (std::find(course_.missing.begin(), course_.missing.end(), key) == course_.missing.end())
            course_.missing.push_back(key);
}

/// One event of a kind a block, with the largest amount; where a tool is in the wrong place altogether, one a
/// sequence.
void Cutter::add_event(Event event) {
    for (Event& known : course_.events) {
        if (known.kind != event.kind || known.body != event.body || known.station != event.station) continue;
        bool once = event.kind == EventKind::jaws || event.kind == EventKind::tailstock ||
                    event.kind == EventKind::steady || event.kind == EventKind::bar_too_wide ||
                    event.kind == EventKind::beyond_reach || event.kind == EventKind::flutes_inside;
        bool same_block = known.block.runs == event.block.runs && known.block.block == event.block.block;
        if (!same_block && once) return;
        if (!same_block) continue;
        known.amount = event.kind == EventKind::bar_too_wide ? std::min(known.amount, event.amount)
                                                             : std::max(known.amount, event.amount);
        known.way += event.way;
        return;
    }
    course_.events.push_back(event);
}

void Cutter::rapid(const Job& job) {
    if (shape_.ignored || stands_) return;
    look_at_zones(job);
    const Segment segment = way_of(job);
    Region swept = sweep(shape_.surely, segment);
    Region hit = intersect(profile_, swept);
    bool out_of_cut = behind_cut_ && motion::same(*behind_cut_, segment.from);
    behind_cut_.reset();
    // A bare tip that was told to have got in also comes out.
    bool comes_out = shape_.bare_tip && got_in_ && motion::same(*got_in_, segment.from);
    got_in_.reset();
    if (comes_out) return;
    if (meets(shape_, profile_, swept, out_of_cut ? shaving_behind_cut_mm : shaving_mm)) {
        Event event{job.pose_only ? EventKind::ends_inside : EventKind::rapid_through,
                    job.block,
                    segment.to,
                    0,
                    0,
                    0,
                    true};
        if (moves(segment)) {
            Point ahead = motion::direction_at(segment, 0);
            event.way = std::min(extent_along(hit, ahead).length(), segment.length_mm());
            event.amount =
                std::min(extent_along(hit, across(ahead)).length(), extent_along(hit, ahead).length());
            event.at = first_contact(shape_, segment, profile_);
        }
        add_event(event);
        // Told once: what was hit does not count again.
        behind_cut_ = got_in_ = segment.to;
        // A mere tip takes nothing away that would show.
        if (!shape_.bare_tip) profile_ = subtract(profile_, swept);
    }
    look_at_bar(job);
    look_at_reach(job);
    look_at_flutes(job);
    look_at_holder(job);
    look_at_neighbours(job);
}

void Cutter::look_at_zones(const Job& job) {
    if (zones_.empty()) return;
    const Segment segment = way_of(job);
    Region swept = sweep(shape_.surely, segment);
    bool rapid = segment.kind == motion::SegmentKind::rapid;
    for (const Zone& zone : zones_) {
        if (!meets(shape_, zone.area, swept, touch_mm)) continue;
        const Box box = intersect(zone.area, swept).box();
        Event event{EventKind::tailstock, job.block, first_contact(shape_, segment, zone.area)};
        event.amount = std::min(box.x_max - box.x_min, box.z_max - box.z_min);
        event.rapid = rapid;
        event.body = zone.body;
        if (zone.body == Body::jaws) {
            event.kind = EventKind::jaws;
            event.amount = *setup_.jaw_z_mm - box.z_min;
        } else if (zone.body == Body::steady) {
            event.kind = EventKind::steady;
        }
        add_event(event);
    }
}

// Behind the tip the bar reaches across the centre: with the tip at x its back is at x less the smallest
// bore, which beyond the centre is seen at that distance from it.
void Cutter::look_at_bar(const Job& job) {
    if (!shape_.smallest_bore_mm || job.segment.is_arc) return;
    double needs = *shape_.smallest_bore_mm;
    std::vector<Point> corners;
    for (Point tip : {job.pose_only ? job.segment.to : job.segment.from, job.segment.to}) {
        double back = needs - tip.x_radius_mm;
        if (back <= bar_room_mm || tip.x_radius_mm < 0) return;
        for (double z : {tip.z_mm, tip.z_mm + reach_mm})
            for (double x : {0.0, back - bar_room_mm}) corners.push_back({x, z});
    }
    Region hit = intersect(profile_, hull(corners));
    if (!is_wider(hit, touch_mm)) return;
    double room = hit.box().x_min + std::max(job.segment.from.x_radius_mm, job.segment.to.x_radius_mm);
    add_event({EventKind::bar_too_wide, job.block, job.segment.to, std::max(0.0, room), needs, 0,
               job.segment.kind == motion::SegmentKind::rapid});
}

// The holder of a drill or bar may not be described, but it is wider than what it holds: metal beside the
// hole that stands further out than the tool reaches is in its way.
void Cutter::look_at_reach(const Job& job) {
    if (!tool_ || !tool_->length_mm || job.segment.is_arc) return;
    bool bar = tool_->kind == ToolKind::boring || tool_->kind == ToolKind::threading_inside;
    if (is_blade(tool_->kind)) return look_at_blade(job);
    if (!bar && !works_on_centreline(tool_->kind)) return;
    if (!bar && !tool_->diameter_mm) return;
    Point deepest = job.segment.to;
    if (!job.pose_only && job.segment.from.z_mm < deepest.z_mm) deepest = job.segment.from;
    double wall = bar ? deepest.x_radius_mm : *tool_->diameter_mm / 2;
    double holder_z = deepest.z_mm + *tool_->length_mm;
    Region in_the_way = intersect(
        profile_, rectangle(holder_z + reach_room_mm, holder_z + 3 * reach_mm, 0, wall + holder_mm));
    if (!is_wider(in_the_way, touch_mm)) return;
    add_event({EventKind::beyond_reach, job.block, deepest, in_the_way.box().z_max - deepest.z_mm,
               *tool_->length_mm, 0, job.segment.kind == motion::SegmentKind::rapid});
}

// A blade's holder is wider than the blade, but may be flush with one side of it: what tells is metal beside
// the groove on both sides. Inside a bore and on a face nothing is told of it.
void Cutter::look_at_blade(const Job& job) {
    if (shape_.body != ToolShape::Way::outward || shape_.cuts.empty()) return;
    const Segment& segment = job.segment;
    const Point deepest =
        !job.pose_only && segment.from.x_radius_mm < segment.to.x_radius_mm ? segment.from : segment.to;
    double from = 0, to = 0;
    for (Point p : shape_.cuts) from = std::min(from, p.z_mm), to = std::max(to, p.z_mm);
    const double holder_x = deepest.x_radius_mm + *tool_->length_mm + reach_room_mm;
    double most = holder_x;
    for (double beside : {deepest.z_mm + from - holder_mm, deepest.z_mm + to}) {
        const Region side =
            intersect(profile_, rectangle(beside, beside + holder_mm, holder_x, holder_x + 3 * reach_mm));
        if (!is_wider(side, touch_mm)) return;
        most = std::max(most, side.box().x_max);
    }
    add_event({EventKind::beyond_reach, job.block, deepest, most - deepest.x_radius_mm, *tool_->length_mm, 0,
               segment.kind == motion::SegmentKind::rapid});
}

/// Metal at the mouth of a drill's hole further out than its flutes reach, with the point at `z_mm`.
Region Cutter::beside_flutes(double z_mm) const {
    const double end_z = z_mm + *tool_->flute_length_mm + reach_room_mm;
    return intersect(profile_,
                     rectangle(end_z, end_z + 3 * reach_mm, 0, *tool_->diameter_mm / 2 + holder_mm));
}

// Chips leave a drill where its flutes stand out of the hole, or when it comes out between short pecks.
void Cutter::look_at_flutes(const Job& job) {
    if (!tool_ || tool_->kind != ToolKind::drill || !tool_->flute_length_mm || !tool_->diameter_mm) return;
    if (job.segment.kind == motion::SegmentKind::rapid) {
        if (!is_wider(beside_flutes(job.segment.to.z_mm), touch_mm)) fed_since_out_mm_ = 0;
        return;
    }
    fed_since_out_mm_ += job.segment.length_mm();
    const Point deepest = job.segment.from.z_mm < job.segment.to.z_mm ? job.segment.from : job.segment.to;
    const Region beside = beside_flutes(deepest.z_mm);
    if (fed_since_out_mm_ <= short_peck_diameters * *tool_->diameter_mm || !is_wider(beside, touch_mm))
        return;
    add_event({EventKind::flutes_inside, job.block, deepest, beside.box().z_max - deepest.z_mm,
               *tool_->flute_length_mm});
}

void Cutter::look_at_holder(const Job& job) {
    if (shape_.holder.empty()) return;
    const Segment segment = way_of(job);
    std::vector<std::pair<Body, const Region*>> areas{{Body::part, &profile_}};
    for (const Zone& zone : zones_) areas.emplace_back(zone.body, &zone.area);
    const Box near = box_of_way(shape_, segment);
    // Most moves are far from everything, and their way need not be made.
    const auto may_tell = [&](Body body, const Region& area) {
        if (segment.is_arc) return true;
        const double least = between_mm(near, area.box());
        if (least == 0) return true;
        const Clearance* known = known_clearance(body);
        return body != Body::part && (!known || least < known->mm);
    };
    std::optional<Region> made;
    for (const auto& [body, around] : areas) {
        const Region& area = *around;
        bool& told = holder_hit_[static_cast<std::size_t>(body)];
        if (area.empty() || told || !may_tell(body, area)) continue;
        if (!made) made = holder_way(shape_, segment);
        const Region& way = *made;
        const Region hit = intersect(area, way);
        told = is_wider(hit, holder_room_mm);
        if (told) {
            const Box box = hit.box();
            Event event{EventKind::holder_hits, job.block, segment.to};
            event.amount = std::min(box.x_max - box.x_min, box.z_max - box.z_min);
            event.rapid = segment.kind == motion::SegmentKind::rapid;
            event.body = body;
            if (moves(segment))
                event.at = first_place(segment, [&, of = &area](const Segment& part) {
                    return is_wider(intersect(*of, holder_way(shape_, part)), holder_room_mm);
                });
            add_event(event);
        } else if (body != Body::part) {
            note_clearance({body, distance_mm(way, area.box()), job.block});
        }
    }
}

void Cutter::look_at_neighbours(const Job& job) {
    if (!turret_.known() || !tool_) return;
    const Segment segment = way_of(job);
    Box everything = profile_.box();
    for (const Zone& zone : zones_) {
        const Box box = zone.area.box();
        everything = {std::min(everything.z_min, box.z_min), std::max(everything.z_max, box.z_max), 0,
                      std::max(everything.x_max, box.x_max)};
    }
    // Most moves are far from everything, and their way need not be looked along.
    if (!turret_.may_meet(*tool_, segment, everything)) return;
    const double length = segment.length_mm();
    const int parts = std::clamp(static_cast<int>(std::ceil(length / neighbour_step_mm)), 1, 400);
    for (int i = job.pose_only ? parts : 0; i <= parts; ++i) {
        const Point tip = i == parts ? segment.to : motion::point_at(segment, static_cast<double>(i) / parts);
        for (const Turret::Standing& standing : turret_.beside(*tool_, tip))
            tell_of(standing, EventKind::neighbour_hits, job, tip);
    }
}

void Cutter::index(const shop::Tool* from, const shop::Tool* to, Point tip, Near block) {
    if (!turret_.known() || !from || !to) return;
    neighbours_told_.clear(); // What was met in the cut says nothing of the swing
    Job job{{}, block, {}};
    job.segment.kind = motion::SegmentKind::rapid;
    turret_.swing(*from, *to, tip, [&](const Turret::Standing& standing) {
        tell_of(standing, EventKind::index_hits, job, tip);
    });
}

void Cutter::tell_of(const Turret::Standing& standing, EventKind kind, const Job& job, Point tip) {
    const auto look = [&](Body body, const Region& area) {
        const std::pair key{standing.station, body};
        if (std::find(neighbours_told_.begin(), neighbours_told_.end(), key) != neighbours_told_.end())
            return;
        const Box box = area.box();
        if (between_mm(standing.box, box) > 0) return;
        const Region hit = intersect(area, polygon(standing.outline));
        if (!is_wider(hit, holder_room_mm)) return;
        neighbours_told_.push_back(key);
        const Box into = hit.box();
        Event event{kind, job.block, tip};
        event.amount = std::min(into.x_max - into.x_min, into.z_max - into.z_min);
        event.rapid = job.segment.kind == motion::SegmentKind::rapid;
        event.body = body;
        event.station = standing.station;
        add_event(event);
    };
    look(Body::part, profile_);
    for (const Zone& zone : zones_) look(zone.body, zone.area);
}

Clearance* Cutter::known_clearance(Body body) {
    const auto known = std::find_if(course_.clearances.begin(), course_.clearances.end(),
                                    [&](const Clearance& held) { return held.body == body; });
    return known == course_.clearances.end() ? nullptr : &*known;
}

void Cutter::note_clearance(Clearance clearance) {
    Clearance* known = known_clearance(clearance.body);
    if (!known)
        course_.clearances.push_back(clearance);
    else if (clearance.mm < known->mm)
        *known = clearance;
}

Stop Cutter::cut(const Job& job) {
    const Segment& segment = job.segment;
    if (stands_) return Stop::none;
    tell_missing();
    if (!shape_.known) return Stop::tool_unknown;
    if (shape_.moves_bar) return Stop::bar_moved;
    if (shape_.ignored) return Stop::none;
    behind_cut_ = segment.to;
    double least_x = std::min(segment.from.x_radius_mm, segment.to.x_radius_mm);
    bool beside = works_on_centreline(tool_->kind) &&
                  std::max(std::abs(segment.from.x_radius_mm), std::abs(segment.to.x_radius_mm)) > 0.05;
    if (beside || least_x < -5) return Stop::off_centre;
    look_at_zones(job);
    if (tool_->kind == ToolKind::parting && segment.to.x_radius_mm < segment.from.x_radius_mm) {
        double usual = usual_past_centre_mm + 2 * shape_.nose_radius_mm;
        if (-segment.to.x_radius_mm > usual)
            add_event(
                {EventKind::past_centre, job.block, segment.to, -segment.to.x_radius_mm, usual, 0, false});
    }
    if (shape_.cuts.empty()) {
        look_at_holder(job);
        look_at_neighbours(job);
        return Stop::none;
    }
    std::optional<Region> turns;
    if (shows_flanks_ && segment.kind == motion::SegmentKind::thread && !works_on_centreline(tool_->kind))
        turns = turns_of_thread(segment, shape_.body == ToolShape::Way::inward);
    Region swept = turns ? std::move(*turns) : sweep(shape_.cuts, segment);
    Region removed = intersect(profile_, swept);
    if (removed.area_mm2() > least_area_mm2) {
        measure(job, removed);
        profile_ = subtract(profile_, swept);
        drop_parted(job);
    } else {
        removed = {};
    }
    if (segment.kind == motion::SegmentKind::feed) add_way(segment, removed);
    if (!shape_.exact || segment.kind == motion::SegmentKind::thread) course_.exact = false;
    look_at_bar(job);
    look_at_reach(job);
    look_at_flutes(job);
    look_at_holder(job);
    look_at_neighbours(job);
    return Stop::none;
}

void Cutter::add_way(const Segment& segment, const Region& removed) {
    double length = segment.length_mm(), share = removed.empty() ? 0 : 1;
    if (!removed.empty() && !segment.is_arc && moves(segment)) {
        Region beside = beside_move(removed, segment);
        share =
            std::clamp(extent_along(beside, motion::direction_at(segment, 0)).length() / length, 0.0, 1.0);
    }
    course_.cut_mm += length * share;
    course_.air_mm += length * (1 - share);
}

void Cutter::measure(const Job& job, const Region& removed) {
    const Segment& segment = job.segment;
    double volume = removed.volume_mm3(), depth = 0;
    bool insert = tool_->kind == ToolKind::turning || tool_->kind == ToolKind::boring;
    if (works_on_centreline(tool_->kind)) {
        depth = removed.box().x_max - removed.box().x_min;
    } else if (segment.is_arc) {
        // Beside an arc the depth changes on the way; between its ends it is measured from the centre.
        double radius = motion::radius_of(segment);
        for (const std::vector<Point>& loop : removed.outlines())
            for (Point p : loop)
                depth = std::max(depth, std::abs(motion::distance(p, segment.centre) - radius));
        if (insert) depth = 0; // Not told: the trailing edge may count in
    } else if (moves(segment)) {
        depth = lasting_depth(removed, segment);
    }
    course_.removed_mm3 += volume;
    bool same_block = !course_.cuts.empty() && course_.cuts.back().block.runs == job.block.runs &&
                      course_.cuts.back().block.block == job.block.block;
    if (!same_block) course_.cuts.push_back({job.block, 0, 0});
    BlockCut& cut = course_.cuts.back();
    cut.removed_mm3 += volume;
    cut.depth_mm = std::max(cut.depth_mm, depth);
    if (segment.kind != motion::SegmentKind::feed || segment.is_arc) return;
    bool has_load = insert || tool_->kind == ToolKind::drill || tool_->kind == ToolKind::grooving ||
                    tool_->kind == ToolKind::parting || tool_->kind == ToolKind::face_grooving;
    // A cut that the wrong edge makes has no load that could be told.
    bool rubs = insert && look_at_back_edge(job, removed);
    if (has_load && !rubs) look_at_load(job, depth);
    if (!insert) return;
    bool along = std::abs(segment.to.z_mm - segment.from.z_mm) >=
                 std::abs(segment.to.x_radius_mm - segment.from.x_radius_mm);
    if (along && tool_->max_depth_mm && depth > *tool_->max_depth_mm + depth_room_mm)
        add_event({EventKind::too_deep, job.block, segment.from, depth, *tool_->max_depth_mm, 0, false});
}

// The way behind the tip stands inside the wedge of the insert: the trailing edge, not the nose, makes the
// surface.
bool Cutter::look_at_back_edge(const Job& job, const Region& removed) {
    if (!shape_.trailing || !shape_.leading || !moves(job.segment)) return false;
    Point ahead = motion::direction_at(job.segment, 0), behind = Point{} - ahead;
    // A straight plunge cuts with both edges: wanted where the insert is made for it.
    if (std::abs(ahead.z_mm) < 0.02) return false;
    double side = motion::cross(*shape_.trailing, *shape_.leading) > 0 ? 1 : -1;
    auto angle = [&](Point from, Point to) {
        return std::atan2(side * motion::cross(from, to), motion::dot(from, to)) * 180 / motion::pi;
    };
    double beyond_trailing = angle(*shape_.trailing, behind), before_leading = angle(behind, *shape_.leading);
    if (beyond_trailing <= angle_room_deg || before_leading <= angle_room_deg) return false;
    Point through = job.segment.from + shape_.nose_centre;
    // part_beyond looks to the left of a direction: the trailing edge lies to the right of `behind` for a
    // wedge that opens to the left.
    Point along = side > 0 ? ahead : behind;
    // Only where an edge surely is.
    Region by_edge = intersect(removed, sweep(shape_.surely, job.segment));
    Region rubbed = part_beyond(by_edge, through, along, shape_.nose_radius_mm + depth_room_mm);
    if (!is_wider(rubbed, touch_mm)) return false;
    Point axis{0, shape_.trailing->z_mm > 0 ? 1.0 : -1.0};
    double edge = std::abs(angle(axis, *shape_.trailing)), contour = std::abs(angle(axis, behind));
    add_event({EventKind::back_edge_rubs, job.block, job.segment.from, contour, edge, 0, false});
    return true;
}

void Cutter::look_at_load(const Job& job, double depth_mm) {
    if (!material_ || (!machine_.max_power_kw && !machine_.max_torque_nm)) return;
    Estimate load = estimate(job.segment, job.spindle, tool_, material_, machine_, depth_mm);
    if (machine_.max_power_kw && load.power_kw) {
        double needed = load.motor_kw.value_or(*load.power_kw);
        if (needed > *machine_.max_power_kw)
            add_event({EventKind::too_much_power, job.block, job.segment.from, needed, *machine_.max_power_kw,
                       depth_mm, false});
    }
    if (machine_.max_torque_nm && load.torque_nm && *load.torque_nm > *machine_.max_torque_nm)
        add_event({EventKind::too_much_torque, job.block, job.segment.from, *load.torque_nm,
                   *machine_.max_torque_nm, depth_mm, false});
}

/// What no longer hangs together with the end in the chuck falls off; with a tailstock it stays between them.
void Cutter::drop_parted(const Job& job) {
    if (profile_.loops.size() < 2) return;
    std::vector<Region> parts = pieces(profile_);
    if (parts.size() < 2) return;
    auto held = std::min_element(parts.begin(), parts.end(), [&](const Region& a, const Region& b) {
        return to_plus_ ? a.box().z_max > b.box().z_max : a.box().z_min < b.box().z_min;
    });
    for (const Region& part : parts) {
        if (&part == &*held || !setup_.tail_z_mm || !is_wider(part, 1)) continue;
        Box box = part.box();
        if (box.x_min < setup_.tail_radius_mm.value_or(least_centre_mm) && tool_->kind == ToolKind::parting)
            add_event({EventKind::parted_with_tailstock, job.block, job.segment.to, box.z_max - box.z_min, 0,
                       0, false});
    }
    const auto keep_fallen = [&] {
        const auto largest =
            std::max_element(parts.begin(), parts.end(), [&](const Region& a, const Region& b) {
                return std::pair(&a != &*held, a.area_mm2()) < std::pair(&b != &*held, b.area_mm2());
            });
        course_.fallen = std::make_shared<const Region>(*largest);
    };
    if (setup_.is_drawn_only && tool_->kind == ToolKind::parting) keep_fallen();
    Region kept = std::move(*held);
    profile_ = std::move(kept);
}

} // namespace turnwright::stock
