#include "features/two_paths.h"
#include "language/said.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {
namespace {

using checks::FollowedPath;
using machine::BlockPlace;

/// Where a block of the document stands among the waits.
struct WaitAt {
    const TimedPaths* paths;
    std::size_t path;
    std::optional<std::size_t> wait; ///< nullopt: the block begins the program
};

std::optional<WaitAt> wait_at(const std::vector<TimedPaths>& all, BlockPlace place) {
    for (const TimedPaths& timed : all)
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& path = timed.two.paths[p];
            if (!path.program.is_here()) continue;
            if (path.program.first == place) return WaitAt{&timed, p, std::nullopt};
            for (std::size_t i = 0; i < path.waits.size(); ++i)
                if (path.blocks[path.waits[i].block].place == place) return WaitAt{&timed, p, i};
        }
    return std::nullopt;
}

/// The meeting that a wait of a path belongs to; as many as there are: none.
std::size_t meeting_of(const checks::TwoPaths& two, std::size_t path, std::size_t wait) {
    const auto found = std::find_if(two.meetings.begin(), two.meetings.end(), [&](const auto& meeting) {
        return (path == 0 ? meeting.first : meeting.second) == wait;
    });
    return static_cast<std::size_t>(found - two.meetings.begin());
}

/// The speed that the other path has the main spindle at in the whole of a stretch, for one that has not
/// spoken to it; nullopt: not known, or not one speed.
std::optional<double> speed_of_other(const checks::TwoPaths& two, const checks::PathStretch& stretch,
                                     std::size_t path) {
    const auto& own = two.paths[path].blocks;
    const auto& other = two.paths[1 - path].blocks;
    const auto first = static_cast<std::ptrdiff_t>(stretch.blocks[1 - path].first),
               end = static_cast<std::ptrdiff_t>(stretch.blocks[1 - path].second),
               own_end = static_cast<std::ptrdiff_t>(stretch.blocks[path].second);
    const auto starts = [](const checks::PathBlock& block) { return block.starts_spindle; };
    const auto sets = [](const checks::PathBlock& block) { return block.sets_speed || !block.turns; };
    if (first == 0 || std::any_of(own.begin(), own.begin() + own_end, starts) ||
        std::any_of(other.begin() + first, other.begin() + end, sets))
        return std::nullopt;
    const checks::PathBlock& at_wait = other[static_cast<std::size_t>(first) - 1];
    return at_wait.turns && !at_wait.surface_speed ? at_wait.speed : std::nullopt;
}

/// What is missing in the times of a stretch because another path turns the part: `blocks` of moves whose
/// time stays unknown.
struct Lent {
    double seconds = 0;
    std::size_t blocks = 0;
};
Lent lent_by_other(const machine::Analysis& analysis, BlockPlace first, BlockPlace last,
                   std::optional<double> rpm) {
    Lent lent;
    const machine::Reader reader(analysis);
    reader.visit_span(first, last, [&](const machine::BlockView& view) {
        const motion::BlockPath path = motion::path_of(view, reader);
        if (motion::totals_of(path, view).blocks_without_time == 0) return;
        const motion::Feed feed = motion::feed_of(view.after, view.settings);
        const bool by_turn = feed.mode == motion::Feed::Mode::per_rev && feed.mm && *feed.mm > 0;
        if (!rpm || *rpm <= 0 || !by_turn || !path.complete) {
            ++lent.blocks;
            return;
        }
        for (const motion::Segment& segment : path.segments)
            if (segment.kind == motion::SegmentKind::feed)
                lent.seconds += segment.length_mm() / (*feed.mm * *rpm) * 60;
    });
    return lent;
}

std::string waiting_text(const TimedPaths::Stretch& stretch, std::size_t own, const std::string& partner) {
    if (!stretch.is_known()) return said("Who waits is not known: the time of some move is not.");
    const double waits = stretch.waits(own), other_waits = stretch.waits(1 - own);
    const std::string_view about = stretch.about ? said("about ") : "";
    if (waits >= 0.5) return said("This path waits {}{} for {}.", about, path_seconds(waits), partner);
    if (other_waits >= 0.5)
        return said("{} waits {}{} for this path.", partner, about, path_seconds(other_waits));
    return said("Both come here {}at the same time.", about);
}

/// What all stretches of a pair come to.
std::string whole_text(const WaitAt& at, const std::string& partner) {
    double whole = 0;
    std::array<double, 2> waited{};
    bool about = false;
    for (std::size_t k = 0; k < at.paths->stretches.size(); ++k) {
        const TimedPaths::Stretch& stretch = at.paths->stretches[k];
        whole += stretch.longer();
        about = about || stretch.about || !stretch.is_known();
        if (k + 1 < at.paths->stretches.size())
            for (std::size_t p = 0; p < 2; ++p) waited[p] += stretch.is_known() ? stretch.waits(p) : 0;
    }
    return said("Runs at the same time as {}: together {}{}, of which this path waits {} and {} "
                "waits {}, at {} common waits.\n\n",
                partner, about ? said("about ") : "", path_seconds(whole), path_seconds(waited[at.path]),
                partner, path_seconds(waited[1 - at.path]), at.paths->two.meetings.size());
}

} // namespace

std::string path_seconds(double seconds) {
    const auto whole = static_cast<long long>(std::llround(seconds));
    return whole < 60 ? fmt::format("{} s", whole) : fmt::format("{}:{:02} min", whole / 60, whole % 60);
}

std::string stretch_seconds(const TimedPaths::Stretch& stretch, std::size_t path) {
    return (stretch.at_least[path] ? said("at least ") : "") + path_seconds(stretch.seconds[path]);
}

TimedPaths timed_paths(const checks::PathPair& programs, std::span<const Document* const> documents) {
    TimedPaths timed{checks::follow_paths(programs), {}};
    std::array<motion::Times, 2> made;
    std::array<const motion::Times*, 2> times{};
    for (std::size_t p = 0; p < 2; ++p) {
        const machine::Analysis* analysis = programs[p].analysis;
        for (const Document* document : documents)
            if (&document->analysis() == analysis) times[p] = &document->times();
        if (times[p]) continue;
        made[p].rebuild(*analysis);
        times[p] = &made[p];
    }
    for (const checks::PathStretch& stretch : timed.two.stretches) {
        TimedPaths::Stretch& row = timed.stretches.emplace_back();
        for (std::size_t p = 0; p < 2; ++p) {
            const auto& blocks = timed.two.paths[p].blocks;
            const auto [from, to] = stretch.blocks[p];
            if (from >= to) continue;
            const motion::Totals totals = times[p]->between(blocks[from].place, blocks[to - 1].place);
            row.seconds[p] = totals.seconds();
            row.about = row.about || totals.about;
            if (totals.blocks_without_time == 0) continue;
            const Lent lent = lent_by_other(*programs[p].analysis, blocks[from].place, blocks[to - 1].place,
                                            speed_of_other(timed.two, stretch, p));
            row.seconds[p] += lent.seconds;
            row.at_least[p] = lent.blocks > 0;
        }
    }
    return timed;
}

std::vector<TimedPaths> paths_of(const Document& document) {
    std::vector<TimedPaths> all;
    if (!document.settings().machine.has_paths()) return all;
    checks::OtherPrograms others;
    const Document* const own[] = {&document};
    for (const checks::PathPair& pair : checks::path_pairs(document.analysis(), document.outline(), others))
        all.push_back(timed_paths(pair, own));
    return all;
}

std::string partner_text(const Document& document, BlockPlace place) {
    const std::vector<TimedPaths> all = paths_of(document);
    const std::optional<WaitAt> at = wait_at(all, place);
    if (!at) return {};
    const checks::TwoPaths& two = at->paths->two;
    const FollowedPath& partner = two.paths[1 - at->path];
    if (!at->wait) return whole_text(*at, partner.program.name);
    const std::size_t k = meeting_of(two, at->path, *at->wait);
    if (k == two.meetings.size())
        return said("{} never comes to this wait at the same time: see the warning.\n\n",
                    partner.program.name);
    const std::size_t wait = at->path == 0 ? two.meetings[k].second : two.meetings[k].first;
    return said("Meets {} at its line {}. {} Since the wait before: this path {}, {} {}.\n\n",
                partner.program.name, partner.line_of(partner.waits[wait].block) + 1,
                waiting_text(at->paths->stretches[k], at->path, partner.program.name),
                stretch_seconds(at->paths->stretches[k], at->path), partner.program.name,
                stretch_seconds(at->paths->stretches[k], 1 - at->path));
}

std::vector<Location> partner_places(const Document& document, BlockPlace place,
                                     const std::vector<WorkspaceFile>& files) {
    const std::vector<TimedPaths> all = paths_of(document);
    const std::optional<WaitAt> at = wait_at(all, place);
    if (!at) return {};
    const checks::TwoPaths& two = at->paths->two;
    const FollowedPath& partner = two.paths[1 - at->path];
    BlockPlace there = partner.program.first;
    std::size_t line = 0;
    for (std::size_t run = 0; run < there.run; ++run)
        line += partner.program.analysis->forest().run(run)->blocks.size();
    line += there.block;
    if (at->wait) {
        const std::size_t k = meeting_of(two, at->path, *at->wait);
        if (k == two.meetings.size()) return {};
        const std::size_t wait = at->path == 0 ? two.meetings[k].second : two.meetings[k].first;
        const checks::PathBlock& block = partner.blocks[partner.waits[wait].block];
        there = block.place;
        line = block.line;
    }
    Location location;
    const std::uint32_t length =
        partner.program.analysis->forest().run(there.run)->blocks[there.block].length;
    location.range = {{static_cast<std::uint32_t>(line), 0}, {static_cast<std::uint32_t>(line), length}};
    if (partner.program.other) {
        location.path = partner.program.other->file;
        for (const WorkspaceFile& file : files)
            if (file.forest == partner.program.other->forest) location.path = file.path;
        if (location.path.empty()) return {};
    }
    return {std::move(location)};
}

} // namespace turnwright::features
