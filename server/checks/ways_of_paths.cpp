#include "checks/ways_of_paths.h"
#include "language/said.h"

#include "machine/whole_number.h"
#include "motion/geometry.h"

#include <cmath>
#include <fmt/format.h>
#include <map>

namespace turnwright::checks {

using motion::Point;
using What = stock::SolidPart::What;

namespace {

/// Rapid rates and the first moment behind a wait are never known better.
constexpr double least_slack_s = 0.5, slack_share = 0.02, slack_of_way_home_s = 1.5;
/// Pieces of a move whose speed changes on the way.
constexpr int pieces_of_facing = 16, pieces_of_arc = 8;
/// How finely both ways are looked along, and how often in one stretch.
constexpr double look_mm = 0.5, least_step_s = 0.005;
constexpr int most_looks = 4'000;

PathWay::Leg standing(const machine::State& state, std::optional<std::size_t> block, bool& known) {
    const std::optional<double> mm = motion::mm_per_unit(state);
    known = mm && state.x_radius.known() && state.z.known() && state.tool.known();
    PathWay::Leg leg;
    if (!known) return leg;
    leg.from = leg.to = {state.x_radius.number * *mm, state.z.number * *mm};
    leg.block = block;
    leg.station = machine::whole_number(state.tool.number);
    leg.datum = state.of(codes::Group::datum).possible;
    return leg;
}

/// A segment in pieces along which the tool goes evenly.
void add_pieces(PathWay& way, PathWay::Leg leg, const motion::Segment& segment, double now, double seconds,
                const motion::Spindle& spindle, const shop::Machine& machine) {
    const bool faces = spindle.surface_speed != false && segment.feed.mode == motion::Feed::Mode::per_rev &&
                       segment.from.x_radius_mm != segment.to.x_radius_mm;
    const int pieces = segment.is_arc ? pieces_of_arc : faces ? pieces_of_facing : 1;
    motion::Segment done = segment;
    double from = now;
    for (int i = 1; i <= pieces; ++i) {
        leg.from = motion::point_at(segment, static_cast<double>(i - 1) / pieces);
        leg.to = motion::point_at(segment, static_cast<double>(i) / pieces);
        double to = now + seconds * i / pieces;
        if (faces && !segment.is_arc && i < pieces) {
            done.to = leg.to;
            to = now + motion::seconds_of(done, spindle, machine).value_or(seconds * i / pieces);
        }
        leg.time = {from, to};
        from = to;
        way.legs.push_back(leg);
    }
}

} // namespace

const PathWay::Leg* PathWay::leg_at(double seconds) const {
    const auto behind = std::upper_bound(legs.begin(), legs.end(), seconds,
                                         [](double at, const Leg& leg) { return at < leg.time.from; });
    if (behind == legs.begin()) return nullptr;
    const Leg& leg = *std::prev(behind);
    if (seconds <= leg.time.to) return &leg;
    return behind == legs.end() && is_timed ? &leg : nullptr;
}

Point PathWay::place_in(const Leg& leg, double seconds) {
    using motion::operator+;
    using motion::operator-;
    using motion::operator*;
    const double whole = leg.time.to - leg.time.from;
    const double share = whole > 0 ? std::clamp((seconds - leg.time.from) / whole, 0.0, 1.0) : 1;
    return leg.from + (leg.to - leg.from) * share;
}

PathWay way_of(const TwoPaths& two, const PathStretch& stretch, std::size_t p,
               const machine::Reader& reader) {
    PathWay way;
    const FollowedPath& path = two.paths[p];
    const std::size_t first = stretch.blocks[p].first, end = stretch.blocks[p].second;
    // Blocks of loops and called programs have no place of their own here.
    const bool starts_alone = first < path.blocks.size() &&
                              (first == 0 || path.blocks.place_of(first) != path.blocks.place_of(first - 1));
    bool known = false;
    if (starts_alone) {
        const PathWay::Leg leg = standing(reader.before(path.blocks.place_of(first)), std::nullopt, known);
        if (known) way.legs.push_back(leg);
    }
    const bool moves = path.blocks.find(first, end, [](const PathBlock& block) { return block.moves; }) < end;
    way.stays = known && !moves;
    if (first >= end || way.stays) return way;
    const std::optional<double> rpm = speed_of_other(two, stretch, p);
    std::size_t next = first;
    double now = 0, slack = least_slack_s;
    reader.visit_span(
        path.blocks.place_of(first), path.blocks.place_of(end - 1), [&](const machine::BlockView& view) {
            if (next == end || !way.is_timed || view.reading.words.empty() || !view.reading.is_read) return;
            const BlockPlace place{view.run_index, view.block};
            if (path.blocks.place_of(next) != place ||
                (next + 1 < end && path.blocks.place_of(next + 1) == place)) {
                way.is_timed = false;
                return;
            }
            const motion::BlockPath moved = motion::path_of(view, reader);
            const motion::Totals totals = motion::totals_of(moved, view);
            const std::optional<double> seconds = totals.blocks_without_time == 0
                                                      ? std::optional(totals.seconds())
                                                      : seconds_lent(moved, view, rpm);
            // What comes behind a way home of unknown length is later: it cannot be told when.
            if (!seconds) {
                way.is_timed = moved.is_way_home && next + 1 == end;
                way.legs.push_back({.time = {now, now}, .from = {}, .to = {}, .block = next});
                return;
            }
            PathWay::Leg leg = standing(view.after, next, known);
            if (moved.is_way_home || !moved.complete) slack += slack_of_way_home_s;
            leg.slack_s = slack + slack_share * now;
            const motion::Spindle spindle = motion::spindle_in_time(moved, view);
            if (known && moved.complete && !moved.turned) {
                double at = now;
                const bool by_segments = totals.blocks_without_time == 0;
                double whole = 0;
                for (const motion::Segment& segment : moved.segments) whole += segment.length_mm();
                for (const motion::Segment& segment : moved.segments) {
                    const double takes =
                        by_segments ? motion::seconds_of(segment, spindle, view.settings.rates()).value_or(0)
                                    : (whole > 0 ? *seconds * segment.length_mm() / whole : 0);
                    if (segment.kind == motion::SegmentKind::dwell) {
                        leg.from = leg.to = way.legs.empty() ? segment.to : way.legs.back().to;
                        leg.time = {at, at + takes};
                        way.legs.push_back(leg);
                    } else {
                        add_pieces(way, leg, segment, at, takes, spindle, view.settings.rates());
                    }
                    at += takes;
                }
                // A change of tool, or no move at all: it stands where it is.
                if (at < now + *seconds) {
                    leg = standing(view.after, next, known);
                    leg.slack_s = slack + slack_share * now;
                    leg.time = {at, now + *seconds};
                    way.legs.push_back(leg);
                }
            } else {
                way.legs.push_back({.time = {now, now + *seconds}, .from = {}, .to = {}, .block = next});
            }
            way.moments.push_back({now, now + *seconds});
            now += *seconds;
            ++next;
        });
    return way;
}

bool may_have_bodies(const TwoPaths& two, const PathStretch& stretch, const shop::Shop& shop) {
    if (shop.tools.empty()) return false; // Two drills are held against each other by their points
    for (std::size_t p = 0; p < 2; ++p) {
        const PathBlocks& blocks = two.paths[p].blocks;
        const auto [first, end] = stretch.blocks[p];
        const std::size_t from = first > 0 ? first - 1 : 0;
        const auto held = [&](const PathBlock& block) {
            return block.station > 0 && (shop.tool(block.station, static_cast<int>(p) + 1) ||
                                         two.paths[p].noted_drills.count(block.station) > 0);
        };
        const std::size_t to = std::min(std::max(end, from + 1), blocks.size());
        if (blocks.find(from, to, held) == to) return false;
    }
    return true;
}

namespace {

class Bodies {
public:
    Bodies(const shop::Machine& machine, const shop::Shop& shop, const TwoPaths& two)
        : machine_(machine), shop_(shop), two_(two) {}

    /// Of a tool that the shop file does not have.
    std::optional<shop::Tool> noted(int station, std::size_t p) const {
        const auto& drills = two_.paths[p].noted_drills;
        const auto drill = drills.find(station);
        if (drill == drills.end() || shop_.tool(station, static_cast<int>(p) + 1)) return std::nullopt;
        shop::Tool tool;
        tool.station = station;
        tool.path = static_cast<int>(p) + 1;
        tool.kind = shop::ToolKind::drill;
        tool.diameter_mm = drill->second;
        return tool;
    }

    const std::vector<stock::SolidPart>& of(int station, std::size_t p, bool mirrored) {
        const std::tuple key{station, p, mirrored};
        if (const auto found = made_.find(key); found != made_.end()) return found->second;
        std::vector<stock::SolidPart> parts;
        if (const shop::Tool* tool = shop_.tool(station, static_cast<int>(p) + 1))
            parts = stock::solid_parts(machine_, shop_, *tool, static_cast<int>(p) + 1);
        else if (const std::optional<shop::Tool> drill = noted(station, p))
            parts = stock::solid_parts(machine_, shop_, *drill, static_cast<int>(p) + 1);
        if (mirrored)
            for (stock::SolidPart& part : parts) {
                for (Point& point : part.outline) point.x_radius_mm = -point.x_radius_mm;
                part.box = {part.box.z_min, part.box.z_max, -part.box.x_max, -part.box.x_min};
            }
        return made_.emplace(key, std::move(parts)).first->second;
    }

private:
    const shop::Machine& machine_;
    const shop::Shop& shop_;
    const TwoPaths& two_;
    std::map<std::tuple<int, std::size_t, bool>, std::vector<stock::SolidPart>> made_;
};

Point across(Point at, bool mirrored) {
    return mirrored ? Point{-at.x_radius_mm, at.z_mm} : at;
}

double boxes_apart(const stock::Box& a, Point a_at, const stock::Box& b, Point b_at) {
    return std::hypot(
        std::max({a.z_min + a_at.z_mm - b.z_max - b_at.z_mm, b.z_min + b_at.z_mm - a.z_max - a_at.z_mm, 0.0}),
        std::max({a.x_min + a_at.x_radius_mm - b.x_max - b_at.x_radius_mm,
                  b.x_min + b_at.x_radius_mm - a.x_max - a_at.x_radius_mm, 0.0}));
}

class Looking {
public:
    Looking(const PathWay& one, const PathWay& other, const TwoPaths& two, const PathStretch& stretch,
            const shop::Shop& shop)
        : ways_{&one, &other}, stretch_(stretch), machine_(two.paths[0].program.analysis->settings().machine),
          bodies_(machine_, shop, two) {
        using Second = shop::SecondTurret;
        if (machine_.second_turret != Second::same_side) sides_.push_back(true);
        if (machine_.second_turret != Second::opposite) sides_.push_back(false);
    }

    BodiesSeen look() {
        if (one().legs.empty() || other().legs.empty()) return {};
        if (one().stays && other().stays) {
            look_between(one().legs.front(), other().legs.front(), 0, 0);
        } else if (one().stays || other().stays) {
            const PathWay& stands = one().stays ? one() : other();
            const PathWay& goes = one().stays ? other() : one();
            for (const PathWay::Leg& leg : goes.legs)
                one().stays ? look_between(stands.legs.front(), leg, leg.time.from, leg.time.to)
                            : look_between(leg, stands.legs.front(), leg.time.from, leg.time.to);
        } else {
            look_along_both();
        }
        if (seen_.hit)
            seen_.apart->mm = -seen_.hit->depth_mm;
        else if (cut_short_ || sides_.size() > 1)
            seen_.apart.reset();
        return seen_;
    }

private:
    const PathWay& one() const { return *ways_[0]; }
    const PathWay& other() const { return *ways_[1]; }

    void look_along_both() {
        // Who is at the end waits there for the other.
        const double end = std::max(one().legs.back().time.to, other().legs.back().time.to);
        std::vector<double> borders{0};
        for (const PathWay* way : ways_)
            for (const PathWay::Leg& leg : way->legs)
                borders.insert(borders.end(), {leg.time.from, leg.time.to});
        std::sort(borders.begin(), borders.end());
        borders.erase(std::unique(borders.begin(), borders.end()), borders.end());
        for (std::size_t i = 0; i + 1 < borders.size() && borders[i] < end; ++i) {
            const double middle = (borders[i] + borders[i + 1]) / 2;
            const PathWay::Leg *a = one().leg_at(middle), *b = other().leg_at(middle);
            if (a && b) look_between(*a, *b, borders[i], borders[i + 1]);
        }
    }

    static double rate(const PathWay::Leg& leg) {
        const double seconds = leg.time.to - leg.time.from;
        return seconds > 0 ? motion::distance(leg.from, leg.to) / seconds : 0;
    }

    void look_between(const PathWay::Leg& a, const PathWay::Leg& b, double from, double to) {
        if (a.datum != b.datum || cut_short_) return;
        const double rates = rate(a) + rate(b);
        for (double now = from;;) {
            if (++looks_ > most_looks) {
                cut_short_ = true;
                return;
            }
            const Point at_a = PathWay::place_in(a, now), at_b = PathWay::place_in(b, now);
            const double apart = look_at(a, b, at_a, at_b, now);
            if (now >= to || rates == 0) return;
            // As far as nothing nearer can be.
            const double free = std::max(0.0, apart - (seen_.apart ? std::max(seen_.apart->mm, 0.0) : 0));
            now = std::min(to, now + std::max({free / rates, look_mm / rates, least_step_s}));
        }
    }

    /// What of both meets deepest on one side; nullopt: nothing. `nearest` is brought down.
    std::optional<BodiesSeen::Hit> hit_on(bool mirrored, const PathWay::Leg& a, const PathWay::Leg& b,
                                          Point at_a, Point at_b, double& nearest) {
        std::optional<BodiesSeen::Hit> deepest;
        const Point placed = across(at_b, mirrored);
        for (const stock::SolidPart& x : bodies_.of(a.station, 0, false))
            for (const stock::SolidPart& y : bodies_.of(b.station, 1, mirrored)) {
                const double boxes = boxes_apart(x.box, at_a, y.box, placed);
                if (boxes > 0 && boxes >= nearest) continue;
                if (nearest > 0) nearest = std::min(nearest, stock::between_mm(x, at_a, y, placed));
                if (nearest > 0) continue;
                const double depth = stock::depth_mm(x, at_a, y, placed);
                if (depth <= (deepest ? deepest->depth_mm : 0)) continue;
                deepest = BodiesSeen::Hit{.depth_mm = depth,
                                          .seconds = {},
                                          .block = {a.block, b.block},
                                          .part = {x.what, y.what},
                                          .station = {a.station, b.station},
                                          .beside = {x.station, y.station},
                                          .at = {at_a, at_b},
                                          .by_note = {bodies_.noted(a.station, 0).has_value(),
                                                      bodies_.noted(b.station, 1).has_value()}};
            }
        return deepest;
    }

    /// Between the nearest of the two; 0 where they meet.
    double look_at(const PathWay::Leg& a, const PathWay::Leg& b, Point at_a, Point at_b, double now) {
        double nearest = 1e9;
        std::optional<BodiesSeen::Hit>
            least; // On either side, where it is not told on which the second works
        bool on_all = true;
        for (const bool mirrored : sides_) {
            const std::optional<BodiesSeen::Hit> hit = hit_on(mirrored, a, b, at_a, at_b, nearest);
            on_all = on_all && hit;
            if (hit && (!least || hit->depth_mm < least->depth_mm)) least = hit;
        }
        if (nearest < 1e9 && !seen_.hit && (!seen_.apart || nearest < seen_.apart->mm))
            seen_.apart = PathsApart{
                nearest, timed(now), {blocks_from(0, a), blocks_from(1, b)}, {a.station, b.station}};
        if (!least || !on_all) return nearest;
        if (seen_.hit)
            seen_.hit->depth_mm = std::max(seen_.hit->depth_mm, least->depth_mm);
        else if (surely(a, b, now)) {
            seen_.hit = least;
            seen_.hit->seconds = timed(now);
            seen_.apart =
                PathsApart{0, timed(now), {blocks_from(0, a), blocks_from(1, b)}, {a.station, b.station}};
        }
        return nearest;
    }

    std::optional<double> timed(double now) const {
        return one().stays || other().stays ? std::nullopt : std::optional(now);
    }
    std::size_t blocks_from(std::size_t p, const PathWay::Leg& leg) const {
        return leg.block ? *leg.block - stretch_.blocks[p].first : 0;
    }

    bool meet(const PathWay::Leg& a, const PathWay::Leg& b, Point at_a, Point at_b) {
        return std::all_of(sides_.begin(), sides_.end(), [&](bool mirrored) {
            for (const stock::SolidPart& x : bodies_.of(a.station, 0, false))
                for (const stock::SolidPart& y : bodies_.of(b.station, 1, mirrored))
                    if (stock::depth_mm(x, at_a, y, across(at_b, mirrored)) > 0) return true;
            return false;
        });
    }

    /// Whether they meet also where one comes a little earlier or later.
    bool surely(const PathWay::Leg& a, const PathWay::Leg& b, double now) {
        if (!timed(now)) return true;
        const double slack = std::max(a.slack_s, b.slack_s);
        for (const double by : {-slack, slack}) {
            const PathWay::Leg* other_leg = other().leg_at(std::max(0.0, now + by));
            if (!other_leg || other_leg->datum != a.datum) return false;
            if (!meet(a, *other_leg, PathWay::place_in(a, now), PathWay::place_in(*other_leg, now + by)))
                return false;
        }
        return true;
    }

    std::array<const PathWay*, 2> ways_;
    const PathStretch& stretch_;
    const shop::Machine& machine_;
    Bodies bodies_;
    std::vector<bool> sides_; ///< Whether the second one is seen across the
                              ///< centreline: those that may be
    BodiesSeen seen_;
    int looks_ = 0;
    bool cut_short_ = false;
};

} // namespace

BodiesSeen look_at_bodies_of(const PathWay& one, const PathWay& other, const TwoPaths& two,
                             const PathStretch& stretch, const shop::Shop& shop) {
    return Looking(one, other, two, stretch, shop).look();
}

std::string body_title(What what, int station, int beside) {
    switch (what) {
    case What::edge:
        return said("T{:02}", station);
    case What::holder:
        return said("the holder of T{:02}", station);
    case What::beside:
        return said("T{:02} beside T{:02}", beside, station);
    case What::turret:
        return said("the turret with T{:02} in work", station);
    }
    return {};
}

} // namespace turnwright::checks
