// Both tools of two paths in one space, between two waits.
#include "checks/two_paths.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::checks {

namespace {

/// Longer stretches are not looked at: every block of one is held against every block of the other.
constexpr std::size_t most_blocks_of_stretch = 3000;
/// Rapid rates are often assumed: what overlaps less may be of one moment and the next.
constexpr double least_overlap_s = 0.5;

struct Moment {
    double from = 0, to = 0; ///< s since the wait
};

/// When each block of a stretch runs; empty: the time of some block is not known.
std::vector<Moment> moments_of(const TwoPaths& two, const PathStretch& stretch, std::size_t p) {
    const FollowedPath& path = two.paths[p];
    const std::size_t first = stretch.blocks[p].first, end = stretch.blocks[p].second;
    const std::optional<double> rpm = speed_of_other(two, stretch, p);
    std::vector<Moment> moments;
    std::size_t next = first;
    double now = 0;
    bool known = true;
    const machine::Reader reader(*path.program.analysis);
    reader.visit_span(path.blocks[first].place, path.blocks[end - 1].place,
                      [&](const machine::BlockView& view) {
                          if (next == end || !known || view.reading.words.empty() || !view.reading.is_read)
                              return;
                          const BlockPlace place{view.run_index, view.block};
                          // Blocks of loops and called programs have no place of their own here.
                          if (path.blocks[next].place != place ||
                              (next + 1 < end && path.blocks[next + 1].place == place)) {
                              known = false;
                              return;
                          }
                          const motion::BlockPath way = motion::path_of(view, reader);
                          const motion::Totals totals = motion::totals_of(way, view);
                          const std::optional<double> seconds = totals.blocks_without_time == 0
                                                                    ? std::optional(totals.seconds())
                                                                    : seconds_lent(way, view, rpm);
                          // What comes behind a way home of unknown length is later: it cannot be told when.
                          if (!seconds) {
                              known = way.is_way_home && next + 1 == end;
                              return;
                          }
                          moments.push_back({now, now + *seconds});
                          now += *seconds;
                          ++next;
                      });
    if (!known) moments.clear();
    return moments;
}

/// Of the path whose part the other turns, or of both: they work on one part.
bool work_on_one_part(const TwoPaths& two, const PathStretch& stretch) {
    for (std::size_t p = 0; p < 2; ++p) {
        const auto& blocks = two.paths[p].blocks;
        const auto end = blocks.begin() + static_cast<std::ptrdiff_t>(stretch.blocks[p].second);
        if (std::none_of(blocks.begin(), end, [](const PathBlock& block) { return block.starts_spindle; }) &&
            std::none_of(blocks.begin(), end, [](const PathBlock& block) { return block.of_second; }))
            return true;
    }
    return false;
}

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
    explicit Meetings(TwoPaths& two) : two_(two) {}
    void look() {
        for (PathStretch& stretch : two_.stretches) {
            const std::size_t sizes[] = {stretch.blocks[0].second - stretch.blocks[0].first,
                                         stretch.blocks[1].second - stretch.blocks[1].first};
            if (sizes[0] == 0 || sizes[1] == 0 || sizes[0] > most_blocks_of_stretch ||
                sizes[1] > most_blocks_of_stretch || !work_on_one_part(two_, stretch))
                continue;
            stretch.clearance_mm = clearance_of(two_, stretch);
            for (std::size_t p = 0; p < 2; ++p) look_at(stretch, p);
        }
    }

private:
    /// Ends on the centreline or beyond it, in or behind the place that the other tool comes to.
    static bool meets(const PathBlock& centre, const PathBlock& other) {
        return other.moves && other.tip_known && !other.by_cycle && other.datum == centre.datum &&
               other.x_end <= 0 && other.tip.x_to > 0 && other.z_end >= centre.tip.z_from;
    }

    /// A tool on the centreline is held from the side that Z rises to: at the end of the other's move, is
    /// that in it? Of a cycle, which goes in and out, only what lies behind its start is sure.
    static bool meets_at_end(const PathBlock& centre, const Moment& of_centre, const PathBlock& other,
                             const Moment& of_other) {
        const double now = of_other.to, whole = of_centre.to - of_centre.from;
        if (now < of_centre.from + least_overlap_s || now > of_centre.to) return false;
        const double share = centre.by_cycle ? 0 : (now - of_centre.from - least_overlap_s) / whole;
        return other.z_end >= centre.z_start + share * (centre.z_end - centre.z_start);
    }

    void look_at(const PathStretch& stretch, std::size_t p) {
        std::array<std::vector<Moment>, 2> moments;
        for (std::size_t i = stretch.blocks[p].first; i < stretch.blocks[p].second; ++i) {
            const PathBlock& centre = two_.paths[p].blocks[i];
            if (!centre.moves || !centre.tip_known || centre.tip.x_from != 0 || centre.tip.x_to != 0)
                continue;
            for (std::size_t j = stretch.blocks[1 - p].first; j < stretch.blocks[1 - p].second; ++j) {
                const PathBlock& other = two_.paths[1 - p].blocks[j];
                if (!meets(centre, other)) continue;
                if (moments[0].empty())
                    for (const std::size_t path : {0, 1}) moments[path] = moments_of(two_, stretch, path);
                if (moments[0].empty() || moments[1].empty()) return;
                const std::size_t at = i - stretch.blocks[p].first,
                                  at_other = j - stretch.blocks[1 - p].first;
                if (at >= moments[p].size() || at_other >= moments[1 - p].size()) continue;
                const Moment &one = moments[p][at], &two = moments[1 - p][at_other];
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
        two_.findings.push_back(
            {p, centre, "tools_of_paths_meet",
             said("This tool is on the centreline at {} (mm) about {:.0f} s behind the wait, and {} is at "
                  "work "
                  "there to a diameter of {:g} at {} (line {}): the tools run into each other. Put a wait "
                  "between.",
                  to(box.z_from, box.z_to), seconds, two_.paths[1 - p].program.name, 2 * met.x_from,
                  to(met.z_from, met.z_to), line(1 - p, other))});
        two_.findings.push_back(
            {1 - p, other, "tools_of_paths_meet",
             said("This tool goes to a diameter of {:g} at {} (mm) about {:.0f} s behind the wait, and a "
                  "tool of "
                  "{} is on the centreline there (line {}): they run into each other. Put a wait between.",
                  2 * met.x_from, to(met.z_from, met.z_to), seconds, two_.paths[p].program.name,
                  line(p, centre))});
    }

    TwoPaths& two_;
};

} // namespace

/// The speed that the other path has the main spindle at in the whole of a stretch, for one that has not
/// spoken to it; nullopt: not known, or not one speed.
std::optional<double> speed_of_other(const TwoPaths& two, const PathStretch& stretch, std::size_t path) {
    const auto& own = two.paths[path].blocks;
    const auto& other = two.paths[1 - path].blocks;
    const auto first = static_cast<std::ptrdiff_t>(stretch.blocks[1 - path].first),
               end = static_cast<std::ptrdiff_t>(stretch.blocks[1 - path].second),
               own_end = static_cast<std::ptrdiff_t>(stretch.blocks[path].second);
    const auto starts = [](const PathBlock& block) { return block.starts_spindle; };
    const auto sets = [](const PathBlock& block) { return block.sets_speed || !block.turns; };
    if (first == 0 || std::any_of(own.begin(), own.begin() + own_end, starts) ||
        std::any_of(other.begin() + first, other.begin() + end, sets))
        return std::nullopt;
    const PathBlock& at_wait = other[static_cast<std::size_t>(first) - 1];
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

void tell_tools_that_meet(TwoPaths& two) {
    Meetings(two).look();
}

} // namespace turnwright::checks
