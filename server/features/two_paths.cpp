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
    const checks::TwoPaths* paths;
    std::size_t path;
    std::optional<std::size_t> wait; ///< nullopt: the block begins the program
};

std::optional<WaitAt> wait_at(const std::vector<checks::TwoPaths>& all, BlockPlace place) {
    for (const checks::TwoPaths& two : all)
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& path = two.paths[p];
            if (!path.program.is_here()) continue;
            if (path.program.first == place) return WaitAt{&two, p, std::nullopt};
            for (std::size_t i = 0; i < path.waits.size(); ++i)
                if (path.blocks.place_of(path.waits[i].block) == place) return WaitAt{&two, p, i};
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
        const std::optional<double> seconds = checks::seconds_lent(path, view, rpm);
        lent.seconds += seconds.value_or(0);
        lent.blocks += !seconds;
    });
    return lent;
}

/// Of the stretches of one pair, each worked out when it is asked for.
class PathTimes {
public:
    PathTimes(const checks::TwoPaths& two, std::span<const Document* const> documents)
        : two_(two), documents_(documents) {}

    TimedPaths::Stretch of(const checks::PathStretch& stretch) const {
        TimedPaths::Stretch row;
        for (std::size_t p = 0; p < 2; ++p) {
            const auto& blocks = two_.paths[p].blocks;
            const auto [from, to] = stretch.blocks[p];
            if (from >= to) continue;
            const BlockPlace first = blocks.place_of(from), last = blocks.place_of(to - 1);
            if (last < first) { // From one turn of a loop to the next
                row.at_least[p] = true;
                continue;
            }
            const checks::PathProgram& program = two_.paths[p].program;
            const motion::Totals totals = times_of(program).between(first, last);
            row.seconds[p] = totals.seconds();
            row.about = row.about || totals.about;
            if (totals.blocks_without_time == 0) continue;
            const Lent lent =
                lent_by_other(*program.analysis, first, last, checks::speed_of_other(two_, stretch, p));
            row.seconds[p] += lent.seconds;
            row.at_least[p] = lent.blocks > 0;
        }
        return row;
    }

private:
    const motion::Times& times_of(const checks::PathProgram& program) const {
        for (const Document* document : documents_)
            if (&document->analysis() == program.analysis) return document->times();
        return program.other->times();
    }

    const checks::TwoPaths& two_;
    std::span<const Document* const> documents_;
};

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
std::string whole_text(const WaitAt& at, const std::string& partner, const PathTimes& times) {
    double whole = 0;
    std::array<double, 2> waited{};
    bool about = false;
    for (std::size_t k = 0; k < at.paths->stretches.size(); ++k) {
        const TimedPaths::Stretch stretch = times.of(at.paths->stretches[k]);
        whole += stretch.longer();
        about = about || stretch.about || !stretch.is_known();
        if (k + 1 < at.paths->stretches.size())
            for (std::size_t p = 0; p < 2; ++p) waited[p] += stretch.is_known() ? stretch.waits(p) : 0;
    }
    return said("Runs at the same time as {}: together {}{}, of which this path waits {} and {} "
                "waits {}, at {} common waits.\n\n",
                partner, about ? said("about ") : "", path_seconds(whole), path_seconds(waited[at.path]),
                partner, path_seconds(waited[1 - at.path]), at.paths->meetings.size());
}

/// "N3 T05 DRILL 8"
std::string tool_name(const machine::Analysis& analysis, const machine::Sequence& sequence) {
    std::string name;
    if (sequence.number >= 0) name = fmt::format("N{}", sequence.number);
    if (sequence.tool >= 0) name += fmt::format("{}T{:02}", name.empty() ? "" : " ", sequence.tool);
    const BlockPlace noted = sequence.note.value_or(sequence.tool_call);
    const syntax::Run& run = *analysis.forest().run(noted.run);
    if (noted.block >= run.blocks.size()) return name;
    for (const syntax::Item& item : run.items_of(run.blocks[noted.block]))
        if (item.kind == syntax::ItemKind::note) {
            name += fmt::format("{}{}", name.empty() ? "" : " ", syntax::note_text(run.text_of(item)));
            break;
        }
    return name;
}

/// As they were followed for the warnings; anew where these have not come so far.
std::shared_ptr<const std::vector<checks::TwoPaths>> pairs_of(const Document& document) {
    if (auto followed = document.results().paths()) return followed;
    checks::OtherPrograms others;
    return std::make_shared<const std::vector<checks::TwoPaths>>(
        checks::pairs_of_file(document.analysis(), document.outline(), document.shop(), others));
}

TimedPaths timed(TimedPaths paths, std::span<const Document* const> documents) {
    const PathTimes times(paths.two, documents);
    for (const checks::PathStretch& stretch : paths.two.stretches)
        paths.stretches.push_back(times.of(stretch));
    return paths;
}

} // namespace

std::array<const machine::Outline*, 2> outlines_of(const TimedPaths& timed, const machine::Outline& own) {
    std::array<const machine::Outline*, 2> outlines{};
    for (std::size_t p = 0; p < 2; ++p) {
        const checks::PathProgram& program = timed.two.paths[p].program;
        outlines[p] = program.other ? &program.other->outline : &own;
    }
    return outlines;
}

std::vector<PathsRow> paths_outline(const TimedPaths& timed,
                                    std::array<const machine::Outline*, 2> outlines) {
    std::vector<PathsRow> rows;
    for (const checks::PathStretch& stretch : timed.two.stretches) {
        PathsRow& row = rows.emplace_back();
        row.code = stretch.code;
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& path = timed.two.paths[p];
            const auto [from, to] = stretch.blocks[p];
            if (from >= to) continue;
            PathsRow::Side& side = row.sides[p];
            side.is_empty = false;
            side.first_line = path.line_of(from);
            side.last_line = std::max(side.first_line, path.line_of(to - 1));
            const BlockPlace first = path.blocks.place_of(from), last = path.blocks.place_of(to - 1);
            for (const machine::ProgramPart& program : outlines[p]->programs)
                for (const machine::Sequence& sequence : program.sequences)
                    if (sequence.first <= last && first <= sequence.last)
                        side.tools.push_back(tool_name(*path.program.analysis, sequence));
        }
    }
    return rows;
}

std::string path_seconds(double seconds) {
    const auto whole = static_cast<long long>(std::llround(seconds));
    return whole < 60 ? fmt::format("{} s", whole) : fmt::format("{}:{:02} min", whole / 60, whole % 60);
}

std::string stretch_seconds(const TimedPaths::Stretch& stretch, std::size_t path) {
    return (stretch.at_least[path] ? said("at least ") : "") + path_seconds(stretch.seconds[path]);
}

TimedPaths timed_paths(const checks::PathPair& programs, const shop::Shop& shop,
                       std::span<const Document* const> documents) {
    std::array<const machine::Outline*, 2> outlines{};
    for (std::size_t p = 0; p < 2; ++p) {
        if (programs[p].other) outlines[p] = &programs[p].other->outline;
        for (const Document* document : documents)
            if (&document->analysis() == programs[p].analysis) outlines[p] = &document->outline();
    }
    return timed({checks::follow_paths(programs, shop, checks::setup_of(programs, outlines, shop)), {}},
                 documents);
}

std::vector<TimedPaths> paths_of(const Document& document) {
    std::vector<TimedPaths> all;
    const Document* const own[] = {&document};
    for (const checks::TwoPaths& two : *pairs_of(document)) all.push_back(timed({two, {}}, own));
    return all;
}

std::string partner_text(const Document& document, BlockPlace place) {
    const auto all = pairs_of(document);
    const std::optional<WaitAt> at = wait_at(*all, place);
    if (!at) return {};
    const checks::TwoPaths& two = *at->paths;
    const FollowedPath& partner = two.paths[1 - at->path];
    const Document* const own[] = {&document};
    const PathTimes times(two, own);
    if (!at->wait) return whole_text(*at, partner.program.name, times);
    const std::size_t k = meeting_of(two, at->path, *at->wait);
    if (k == two.meetings.size())
        return said("{} never comes to this wait at the same time: see the warning.\n\n",
                    partner.program.name);
    const std::size_t wait = at->path == 0 ? two.meetings[k].second : two.meetings[k].first;
    const TimedPaths::Stretch stretch = times.of(two.stretches[k]);
    return said("Meets {} at its line {}. {} Since the wait before: this path {}, {} {}.\n\n",
                partner.program.name, partner.line_of(partner.waits[wait].block) + 1,
                waiting_text(stretch, at->path, partner.program.name), stretch_seconds(stretch, at->path),
                partner.program.name, stretch_seconds(stretch, 1 - at->path));
}

std::vector<Location> partner_places(const Document& document, BlockPlace place,
                                     const std::vector<WorkspaceFile>& files) {
    const auto all = pairs_of(document);
    const std::optional<WaitAt> at = wait_at(*all, place);
    if (!at) return {};
    const checks::TwoPaths& two = *at->paths;
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
        there = partner.blocks.place_of(partner.waits[wait].block);
        line = partner.line_of(partner.waits[wait].block);
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
