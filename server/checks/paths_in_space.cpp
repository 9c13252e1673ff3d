// Both tools of two paths in one space, between two waits.
#include "checks/ways_of_paths.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::checks {

namespace {

/// Longer stretches are not looked at: every block of one is held against every
/// block of the other.
constexpr std::size_t most_blocks_of_stretch = 3000;
/// Rapid rates are often assumed: what overlaps less may be of one moment and
/// the next.
constexpr double least_overlap_s = 0.5;

std::optional<double> clearance_of(const TwoPaths& two, const PathStretch& stretch) {
    std::array<std::optional<PathBlock::Box>, 2> boxes;
    std::array<std::uint16_t, 2> datums{};
    for (std::size_t p = 0; p < 2; ++p)
        for (std::size_t i = stretch.blocks[p].first; i < stretch.blocks[p].second; ++i) {
            const PathBlock& block = two.paths[p].blocks[i];
            if (!block.moves) continue;
            if (!block.tip_known || (boxes[p] && block.datum != datums[p])) return std::nullopt;
            datums[p] = block.datum;
            if (!boxes[p]) boxes[p] = block.tip;
            PathBlock::Box& box = *boxes[p];
            box = {std::min(box.x_from, block.tip.x_from), std::max(box.x_to, block.tip.x_to),
                   std::min(box.z_from, block.tip.z_from), std::max(box.z_to, block.tip.z_to)};
        }
    if (!boxes[0] || !boxes[1] || datums[0] != datums[1]) return std::nullopt;
    const double dx = boxes[0]->x_from + boxes[1]->x_from; // On opposite sides of the centreline
    const double dz = std::max(boxes[0]->z_from - boxes[1]->z_to, boxes[1]->z_from - boxes[0]->z_to);
    return std::hypot(std::max(dx, 0.0), std::max(dz, 0.0));
}

class Meetings {
public:
    Meetings(const TwoPaths& two, PathStretch& stretch, const shop::Shop& shop, const PathReaders& readers,
             std::vector<PathFinding>& findings)
        : two_(two), stretch_(stretch), shop_(shop), readers_(readers), findings_(findings) {}
    void look() {
        const std::size_t sizes[] = {stretch_.blocks[0].second - stretch_.blocks[0].first,
                                     stretch_.blocks[1].second - stretch_.blocks[1].first};
        if (sizes[0] > most_blocks_of_stretch || sizes[1] > most_blocks_of_stretch ||
            !work_on_one_part(two_, stretch_))
            return;
        const std::size_t told = findings_.size();
        if (sizes[0] > 0 && sizes[1] > 0) {
            stretch_.clearance_mm = clearance_of(two_, stretch_);
            for (std::size_t p = 0; p < 2; ++p) look_at(stretch_, p);
            look_at_depths();
        }
        const bool tips_meet = findings_.size() > told;
        if (sizes[0] + sizes[1] > 0) look_at_bodies(tips_meet);
    }

private:
    const PathWay& way(std::size_t p) {
        if (!ways_[p]) ways_[p] = way_of(two_, stretch_, p, readers_[p]);
        return *ways_[p];
    }

    /// Ends on the centreline or beyond it, in or behind the place that the other
    /// tool comes to.
    static bool meets(const PathBlock& centre, const PathBlock& other) {
        return other.moves && other.tip_known && !other.by_cycle && other.datum == centre.datum &&
               other.x_end <= 0 && other.tip.x_to > 0 && other.z_end >= centre.tip.z_from;
    }

    /// A tool on the centreline is held from the side that Z rises to: at the end
    /// of the other's move, is that in it? Of a cycle, which goes in and out,
    /// only what lies behind its start is sure.
    static bool meets_at_end(const PathBlock& centre, const Moment& of_centre, const PathBlock& other,
                             const Moment& of_other) {
        const double now = of_other.to, whole = of_centre.to - of_centre.from;
        if (now < of_centre.from + least_overlap_s || now > of_centre.to) return false;
        const double share = centre.by_cycle ? 0 : (now - of_centre.from - least_overlap_s) / whole;
        return other.z_end >= centre.z_start + share * (centre.z_end - centre.z_start);
    }

    void look_at(const PathStretch& stretch, std::size_t p) {
        for (std::size_t i = stretch.blocks[p].first; i < stretch.blocks[p].second; ++i) {
            const PathBlock& centre = two_.paths[p].blocks[i];
            if (!centre.moves || !centre.tip_known || centre.tip.x_from != 0 || centre.tip.x_to != 0)
                continue;
            for (std::size_t j = stretch.blocks[1 - p].first; j < stretch.blocks[1 - p].second; ++j) {
                const PathBlock& other = two_.paths[1 - p].blocks[j];
                if (!meets(centre, other)) continue;
                const std::array<const std::vector<Moment>*, 2> moments{&way(0).moments, &way(1).moments};
                if (!way(0).is_timed || !way(1).is_timed) return;
                const std::size_t at = i - stretch.blocks[p].first,
                                  at_other = j - stretch.blocks[1 - p].first;
                if (at >= moments[p]->size() || at_other >= moments[1 - p]->size()) continue;
                const Moment &one = (*moments[p])[at], &two = (*moments[1 - p])[at_other];
                if (!meets_at_end(centre, one, other, two)) continue;
                tell(p, i, j, two.to);
                return;
            }
        }
    }

    void tell(std::size_t p, std::size_t centre, std::size_t other, double seconds) {
        const PathBlock::Box box = two_.paths[p].blocks[centre].tip,
                             met = two_.paths[1 - p].blocks[other].tip;
        const auto line = [&](std::size_t path, std::size_t block) {
            return two_.paths[path].line_of(block) + 1;
        };
        const auto to = [](float from, float until) {
            return from == until ? fmt::format("Z{:g}", from) : fmt::format("Z{:g} ... Z{:g}", from, until);
        };
        findings_.push_back({p, centre, "tools_of_paths_meet",
                             said("This tool is on the centreline at {} (mm) about {:.0f} s behind "
                                  "the wait, and {} is at "
                                  "work "
                                  "there to a diameter of {:g} at {} (line {}): the tools run into "
                                  "each other. Put a wait "
                                  "between.",
                                  to(box.z_from, box.z_to), seconds, two_.paths[1 - p].program.name,
                                  2 * met.x_from, to(met.z_from, met.z_to), line(1 - p, other))});
        findings_.push_back({1 - p, other, "tools_of_paths_meet",
                             said("This tool goes to a diameter of {:g} at {} (mm) "
                                  "about {:.0f} s behind the wait, and a "
                                  "tool of "
                                  "{} is on the centreline there (line {}): they "
                                  "run into each other. Put a wait between.",
                                  2 * met.x_from, to(met.z_from, met.z_to), seconds,
                                  two_.paths[p].program.name, line(p, centre))});
    }

    /// Both turn one length at one time, and the deeper one is level with the
    /// other or ahead of it: that one cuts nothing.
    void look_at_depths() {
        struct Cut {
            std::size_t block;
            PathBlock::Along along;
            std::uint16_t datum;
        };
        std::array<std::vector<Cut>, 2> cuts;
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& path = two_.paths[p];
            const auto [first, end] = stretch_.blocks[p];
            for (auto at = std::lower_bound(path.alongs.begin(), path.alongs.end(), first);
                 at != path.alongs.end() && *at < end; ++at)
                cuts[p].push_back({*at, *path.blocks[*at].along, path.blocks[*at].datum});
        }
        for (std::size_t p = 0; p < 2; ++p)
            for (const Cut& deep : cuts[p])
                for (const Cut& other : cuts[1 - p])
                    if (other.datum == deep.datum && may_cut_nothing(deep.along, other.along) &&
                        cuts_nothing(p, deep.block, other.block))
                        return tell_depths(p, deep.block, other.block);
    }

    static bool may_cut_nothing(const PathBlock::Along& deep, const PathBlock::Along& other) {
        constexpr double clear_mm = 0.02, level_mm = 0.1;
        const double length = other.z_from - other.z_to,
                     overlap = std::min(deep.z_from, other.z_from) - std::max(deep.z_to, other.z_to);
        // Else the deeper one trails.
        return deep.x_radius <= other.x_radius - clear_mm && overlap >= std::max(1.0, 0.5 * length) &&
               deep.z_from <= other.z_from + level_mm;
    }

    bool cuts_nothing(std::size_t p, std::size_t deep_at, std::size_t other_at) {
        constexpr double same_moment_s = 0.3;
        const PathBlock::Along &deep = *two_.paths[p].blocks[deep_at].along,
                               &other = *two_.paths[1 - p].blocks[other_at].along;
        const double length = other.z_from - other.z_to;
        const std::size_t i = deep_at - stretch_.blocks[p].first, j = other_at - stretch_.blocks[1 - p].first;
        if (i >= way(p).moments.size() || j >= way(1 - p).moments.size()) return false;
        const Moment &one = way(p).moments[i], &two = way(1 - p).moments[j];
        if (one.to <= one.from || two.to <= two.from ||
            std::min(one.to, two.to) - std::max(one.from, two.from) < 1)
            return false;
        // As near to each other as times are known.
        if (std::abs(one.from - two.from) > same_moment_s) return false;
        const double deep_rate = (deep.z_from - deep.z_to) / (one.to - one.from),
                     rate = length / (two.to - two.from);
        return deep_rate > 0.999 * rate;
    }

    void tell_depths(std::size_t p, std::size_t deep_at, std::size_t other_at) {
        const double deep = 2 * two_.paths[p].blocks[deep_at].along->x_radius,
                     other = 2 * two_.paths[1 - p].blocks[other_at].along->x_radius;
        const auto line = [&](std::size_t path, std::size_t block) {
            return two_.paths[path].line_of(block) + 1;
        };
        findings_.push_back({p, deep_at, "paths_cut_at_two_depths",
                             said("This tool and that of {} (line {}) turn one "
                                  "length at the same time, this one to a "
                                  "diameter "
                                  "of {:.3f} mm and that one to {:.3f} mm, level "
                                  "with it or behind it: this tool takes the "
                                  "whole depth, that one cuts nothing, and the "
                                  "forces do not balance. Write one X in both, or "
                                  "let the deeper tool start behind the other.",
                                  two_.paths[1 - p].program.name, line(1 - p, other_at), deep, other)});
        findings_.push_back({1 - p, other_at, "paths_cut_at_two_depths",
                             said("This tool turns to a diameter of {:.3f} mm, and that of {} "
                                  "(line {}) the same length at "
                                  "the "
                                  "same time to {:.3f} mm, level with it or ahead: this tool cuts "
                                  "nothing, and the other "
                                  "takes "
                                  "the whole depth. Write one X in both, or let the deeper tool "
                                  "start behind the other.",
                                  other, two_.paths[p].program.name, line(p, deep_at), deep)});
    }

    void look_at_bodies(bool tips_meet) {
        if (!may_have_bodies(two_, stretch_, shop_)) return;
        const BodiesSeen seen = look_at_bodies_of(way(0), way(1), two_, stretch_, shop_);
        stretch_.apart = seen.apart;
        if (!seen.hit || tips_meet) return;
        const BodiesSeen::Hit& hit = *seen.hit;
        for (std::size_t p = 0; p < 2; ++p) {
            const auto [first, end] = stretch_.blocks[p];
            // Who stands still all the time is told at the block that brought it, in
            // front of the wait.
            const std::size_t own = hit.block[p] ? *hit.block[p] : first > 0 ? first - 1 : 0;
            if (own >= two_.paths[p].blocks.size()) return;
        }
        for (std::size_t p = 0; p < 2; ++p) {
            const auto block = [&](std::size_t path) {
                const std::size_t first = stretch_.blocks[path].first;
                return hit.block[path] ? *hit.block[path] : first > 0 ? first - 1 : 0;
            };
            const auto title = [&](std::size_t path) {
                return body_title(hit.part[path], hit.station[path], hit.beside[path]) +
                       (hit.by_note[path] ? said(" (a drill by its note)") : "");
            };
            const std::string when = hit.seconds ? said("About {:.0f} s behind the wait ", *hit.seconds)
                                                 : said("Behind the wait ");
            findings_.push_back({p, block(p), "tools_of_paths_meet",
                                 when + said("{} of this path runs into {} of {} (line {}), up to "
                                             "{:.1f} mm deep: where they "
                                             "first meet the points are at "
                                             "X{:.3f} Z{:.3f} and at X{:.3f} Z{:.3f} (mm, X as "
                                             "diameter). Put a wait "
                                             "between, or keep one of them clear.",
                                             title(p), title(1 - p), two_.paths[1 - p].program.name,
                                             two_.paths[1 - p].line_of(block(1 - p)) + 1, hit.depth_mm,
                                             2 * hit.at[p].x_radius_mm, hit.at[p].z_mm,
                                             2 * hit.at[1 - p].x_radius_mm, hit.at[1 - p].z_mm)});
        }
    }

    const TwoPaths& two_;
    PathStretch& stretch_;
    const shop::Shop& shop_;
    const PathReaders& readers_;
    std::vector<PathFinding>& findings_;
    std::array<std::optional<PathWay>, 2> ways_;
};

} // namespace

/// The one starts no spindle, so that it works on what the other turns.
bool work_on_one_part(const TwoPaths& two, const PathStretch& stretch) {
    for (std::size_t p = 0; p < 2; ++p) {
        const std::size_t end = stretch.blocks[p].second;
        if (two.paths[p].first_start >= end && two.paths[p].first_of_second >= end) return true;
    }
    return false;
}

std::optional<double> speed_of_other(const TwoPaths& two, const PathStretch& stretch, std::size_t path) {
    const auto [first, end] = stretch.blocks[1 - path];
    const PathBlocks& other = two.paths[1 - path].blocks;
    const auto sets = [](const PathBlock& block) { return block.sets_speed || !block.turns; };
    if (first == 0 || two.paths[path].first_start < stretch.blocks[path].second ||
        other.find(first, end, sets) < end)
        return std::nullopt;
    const PathBlock& at_wait = other[first - 1];
    return at_wait.turns && !at_wait.surface_speed ? at_wait.speed : std::nullopt;
}

std::optional<double> seconds_lent(const motion::BlockPath& path, const machine::BlockView& view,
                                   std::optional<double> rpm) {
    const motion::Feed feed = motion::feed_of(view.after, view.settings);
    const bool by_turn = feed.mode == motion::Feed::Mode::per_rev && feed.mm && *feed.mm > 0;
    if (!rpm || *rpm <= 0 || !by_turn || !path.complete) return std::nullopt;
    double seconds = 0;
    for (const motion::Segment& segment : path.segments)
        if (segment.kind == motion::SegmentKind::feed)
            seconds += segment.length_mm() / (*feed.mm * *rpm) * 60;
    return seconds;
}

void look_in_space(const TwoPaths& two, PathStretch& stretch, const shop::Shop& shop,
                   const PathReaders& readers, std::vector<PathFinding>& findings) {
    Meetings(two, stretch, shop, readers, findings).look();
}

} // namespace turnwright::checks
