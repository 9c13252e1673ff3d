// A feed by the revolution that the kind of cut does not take.
//
// The bounds: common practice, no source.
#include "checks/rule.h"
#include "checks/unit_evidence.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules {

namespace {

using Kind = NamedTool::Kind;

/// Kinds of cut, each with its own feeds.
enum class Cut : std::uint8_t { none, rough, pass, hole, plunge, line };

/// mm a revolution that a cut of the kind is made with, at most and at least; wide, so that a habit is no
/// mistake (common practice, no source).
struct Bounds {
    double least, most;
    std::string_view title;
};
Bounds bounds_of(Cut cut, std::optional<double> drill_mm) {
    switch (cut) {
    case Cut::rough:
        return {0.03, 1.6, "Roughing"};
    case Cut::pass:
        return {0.01, 1.3, "Turning or facing passes"};
    case Cut::hole:
        return {drill_mm ? 0.0008 * *drill_mm : 0.003,
                drill_mm ? std::min(0.07 * *drill_mm + 0.05, 1.5) : 1.3, "Drilling"};
    case Cut::plunge:
        return {0.003, 0.6, "Grooving and parting"};
    default:
        return {0.003, 3.06, "Turning"}; // Also a way in to the next cut
    }
}

bool stands(const ToolOfSpan& tool) {
    return tool.is(Kind::stop) || tool.own->live || tool.listed->live;
}

/// Straight in, and the next move straight out again.
bool plunges(const Acts& work, std::size_t i) {
    const Act& act = work.acts[i];
    if (act.motion != MotionKind::feed || !act.moves_x || act.to_z != act.from_z || !known(act.from_x))
        return false;
    if (act.to_x >= act.from_x || act.from_z > 0) return false;
    for (++i; i < work.acts.size(); ++i) {
        const Act& next = work.acts[i];
        if (!next.moves() || next.dwells) continue;
        return next.moves_x && !next.moves_z && next.to_x >= act.from_x;
    }
    return false;
}

Cut cut_of(const ToolOfSpan& tool, std::size_t i) {
    const Act& act = tool.work->acts[i];
    if (!act.gives_feed || act.feed <= 0 || !act.per_rev() || act.dwells || act.taps() || act.threads())
        return Cut::none;
    if (act.motion == MotionKind::contour_cycle)
        return act.meaning == Meaning::finish_cycle ? Cut::line : Cut::rough;
    if (act.motion == MotionKind::single_cycle) return Cut::pass;
    if (act.drills()) return tool.is(Kind::ream) ? Cut::none : Cut::hole;
    if (act.motion == MotionKind::peck_cycle) return Cut::plunge;
    if (act.motion != MotionKind::feed && act.motion != MotionKind::arc) return Cut::none;
    if (act.in_contour) return Cut::line;
    if (!known(act.from_x) || !known(act.from_z) || !known(act.to_x) || !known(act.to_z)) return Cut::none;
    // In front of the face, and out of the part: a feed for the way.
    if (act.to_z > 0 && act.moves_z) return Cut::none;
    if (act.from_x == 0 && act.to_x == 0 && act.to_z < act.from_z)
        return tool.is(Kind::drill) ? Cut::hole : Cut::none;
    if (plunges(*tool.work, i)) return Cut::plunge;
    return act.to_z < act.from_z || (act.to_x < act.from_x && act.from_z >= 0) ? Cut::line : Cut::none;
}

struct Feed {
    const ToolOfSpan* tool;
    const Act* act;
    Cut cut;
    double mm;
    std::optional<double> drill_mm;
    double per_unit;
};

std::vector<Feed> feeds_of(const std::vector<ToolOfSpan>& tools) {
    std::vector<Feed> feeds;
    const auto of_file = unit_of_file(tools);
    for (const ToolOfSpan& tool : tools) {
        if (stands(tool)) continue;
        for (std::size_t i = 0; i < tool.work->acts.size(); ++i) {
            const Cut cut = cut_of(tool, i);
            const Act& act = tool.work->acts[i];
            const auto per_unit = mm_of(act, of_file);
            if (cut == Cut::none || !per_unit) continue;
            const NamedTool* drill = tool.that([&](const NamedTool& some) {
                return some.kind == Kind::drill && some.diameter_mm(*per_unit).has_value();
            });
            feeds.push_back({&tool, &act, cut, act.feed * *per_unit,
                             drill ? drill->diameter_mm(*per_unit) : std::nullopt, *per_unit});
        }
    }
    return feeds;
}

/// Ten times all others of its kind, or a tenth: the largest and least of the others, where there are enough.
struct Others {
    double least = 1e9, most = 0;
    int count = 0;
};
Others others_of(const Feed& feed, const std::vector<Feed>& feeds) {
    Others others;
    for (const Feed& other : feeds) {
        if (&other == &feed || other.cut != feed.cut) continue;
        ++others.count;
        others.least = std::min(others.least, other.mm);
        others.most = std::max(others.most, other.mm);
    }
    return others;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    if (feeds_as_inch(tools).say_millimetres()) return;
    const std::vector<Feed> feeds = feeds_of(tools);
    // A whole program below the bound was written in another unit, which is told elsewhere.
    const auto low =
        std::count_if(feeds.begin(), feeds.end(), [](const Feed& feed) { return feed.mm < 0.016; });
    const bool mostly_low = low * 2 > static_cast<std::ptrdiff_t>(feeds.size());
    for (const Feed& feed : feeds) {
        if (feed.mm > 3.06) continue; // feed_too_large_by_revolution
        const Bounds bounds = bounds_of(feed.cut, feed.drill_mm);
        const Others others = others_of(feed, feeds);
        const bool enough = others.count >= 2;
        const bool high = feed.mm > bounds.most || (enough && feed.mm >= 8 * others.most && feed.mm > 0.3);
        const bool tiny = !mostly_low && (feed.mm < bounds.least ||
                                          (enough && feed.mm * 8 <= others.least && feed.mm < 0.03));
        if (!high && !tiny) continue;
        const std::string_view unit = feed.per_unit > 1 ? "in" : "mm";
        const std::string rest =
            others.count > 0
                ? fmt::format(" Other cuts of the kind here: F{}{}.", written(others.least / feed.per_unit),
                              others.most > others.least * 1.01
                                  ? fmt::format(" to F{}", written(others.most / feed.per_unit))
                                  : "")
                : std::string();
        const std::string drill =
            feed.drill_mm ? fmt::format(" of {} mm", spoken(std::round(*feed.drill_mm * 100) / 100))
                          : std::string();
        const double meant = high ? feed.act->feed / 10 : feed.act->feed * 10;
        report.at_letter(feed.tool->place(*feed.act), 'F')
            .message(fmt::format(
                "F{} is {} {} a revolution. {}{} takes {} at the {}: {}.{} F{} is meant, perhaps.",
                written(feed.act->feed), spoken(feed.act->feed), unit, bounds.title, drill,
                spoken(std::round((high ? bounds.most : bounds.least) / feed.per_unit * 1e4) / 1e4),
                high ? "most" : "least",
                high ? "the edge breaks at the first touch" : "the edge rubs and does not cut", rest,
                written(std::round(meant * 1e5) / 1e5)));
    }
}

} // namespace

extern const Check feed_unlike_cut{
    .id = "feed_unlike_cut",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed that this kind of cut does not take",
    .documentation = "The feed by the revolution is beyond what a cut of the kind is made with (roughing "
                     "0.03 to 1.6 mm, passes "
                     "of single cycles to 1.3, grooving and parting to 0.6, a drill to 0.07 of its "
                     "diameter), or eight times as "
                     "large or as small as every other cut of the kind in the program: a point is missing or "
                     "a digit lost. The "
                     "bounds are wide; moves in front of the face and away from "
                     "the part, bar stops "
                     "and live tools are not asked.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S150 M03
G00 X28. Z4.
G94 X-1.6 Z1.5 F2.
;              ^^^ warning: feed_unlike_cut
Z0.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S140 M03
G00 X172. Z5.
G72 W2. R0.5
G72 P41 Q42 U0.4 W0.2 F3.
;                     ^^^ warning: feed_unlike_cut
N41 G00 Z-8.
G01 X84. F0.15
N42 X30.
M30
)"},
            {System::C, R"(
G70 G90 G95
N1 (PART OFF)
T0606
G97 S650 M03
G00 X1.35 Z-2.725
G01 X1. F.03
;       ^^^^ warning: feed_unlike_cut
G00 X1.35
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 (DRILL 8.5)
T0404
G97 S950 M03
G00 X0 Z5.
G83 Z-28. R3. Q6000 F1.5
;                   ^^^^ warning: feed_unlike_cut
G80
M30
)"},
            {System::A, R"(
G21 G99
N1 (DRILL 24)
T0505
G97 S300 M03
G00 X0 Z5.
G74 R1.
G74 Z-60. Q8000 F.2
G00 Z5.
N2 (UNDERCUT)
T0404
G96 S110 M03
G00 X36. Z-28.
G01 X21. F0.08
G04 U0.3
G01 X36. F0.9
M30
)"},
            {System::B, R"(
G20 G90 G95
N2 (SPOT)
T0202
G97 S2500 M03
G00 X0 Z.5
G01 Z.05 F.05
Z-.14 F.004
G00 Z.5
N3 (ROUGH)
T0101
G96 S400 M03
G00 X2. Z.1
G77 X1.8 Z-1. F.02
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules
