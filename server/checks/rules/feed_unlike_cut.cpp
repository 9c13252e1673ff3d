// A feed by the revolution that the kind of cut does not take.
//
// The bounds: common practice, no source.
#include "checks/others.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "checks/unit_evidence.h"
#include "language/said.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace turnwright::checks::rules::feed_unlike_cut {

namespace {

using Kind = NamedTool::Kind;

/// Kinds of cut, each with its own feeds. A way may also go through air, to the next cut.
enum class Cut : std::uint8_t { none, rough, pass, face, line, hole, plunge, way };

bool is_turning(Cut cut) {
    return cut == Cut::rough || cut == Cut::pass || cut == Cut::face || cut == Cut::line;
}

constexpr double most_by_revolution_mm = 3.06;

/// mm a revolution that a cut of the kind is made with, at most and at least; wide, so that a habit is no
/// mistake (common practice, no source).
struct Bounds {
    double least, most;
    std::string_view title;
};
Bounds hole_bounds(const ToolOfSpan& tool, std::optional<double> drill_mm) {
    if (tool.is(Kind::ream)) return {0.01, 1.6, said("Reaming takes")};
    if (tool.is(Kind::centre)) return {0.008, 0.5, said("Centring takes")};
    if (!drill_mm) return {0.003, 1.3, said("Drilling takes")};
    return {(*drill_mm < 3 ? 0.0008 : 0.0025) * std::min(*drill_mm, 16.0),
            std::min(0.07 * *drill_mm + 0.05, 1.5), said("A drill")};
}
Bounds bounds_of(const ToolOfSpan& tool, Cut cut, std::optional<double> drill_mm) {
    switch (cut) {
    case Cut::rough:
        return {0.04, 1.6, said("Roughing takes")};
    case Cut::pass:
        return {0.01, 1.3, said("Turning or facing passes take")};
    case Cut::face:
        return {0.004, 1.3, said("Facing takes")};
    case Cut::line:
        return {0.003, 1.3, said("Turning takes")};
    case Cut::hole:
        return hole_bounds(tool, drill_mm);
    case Cut::plunge:
        return {0.0081, 0.45, said("Grooving and parting take")};
    default:
        return {0.003, most_by_revolution_mm, said("Turning takes")};
    }
}

bool stands(const ToolOfSpan& tool) {
    return tool.is(Kind::stop) || ((tool.own->live || tool.listed->live) && !tool.is(Kind::drill));
}
/// A called program that turns the part to angles works with its caller's driven tool.
bool turns_part_as_called(const ToolOfSpan& tool) {
    const std::vector<Act>& acts = tool.work->acts;
    return tool.span->program->is_subprogram && tool.station < 0 &&
           std::any_of(acts.begin(), acts.end(), [](const Act& act) { return act.turns_part; });
}
bool is_live(const ToolOfSpan& tool) {
    return tool.own->live || tool.listed->live || turns_part_as_called(tool);
}

const Act* next_move(const Acts& work, std::size_t i) {
    for (++i; i < work.acts.size(); ++i)
        if (work.acts[i].moves() && !work.acts[i].dwells) return &work.acts[i];
    return nullptr;
}
bool goes_in(const Act& act) {
    return act.motion == MotionKind::feed && act.moves_x && act.to_z == act.from_z && known(act.from_x) &&
           known(act.to_x) && act.to_x < act.from_x && act.from_z <= 0;
}
/// Straight in, further in with another feed, perhaps, and straight out again.
bool plunges(const Acts& work, std::size_t i) {
    const Act& act = work.acts[i];
    if (!goes_in(act) || act.from_z == 0) return false;
    const Act* next = next_move(work, i);
    if (!next || next->moves_z || !next->moves_x) return false;
    return next->to_x >= act.from_x || (next->to_x > act.to_x && next->motion == MotionKind::rapid) ||
           plunges(work, static_cast<std::size_t>(next - work.acts.data()));
}
/// A groove in a bore: outward behind a rapid along Z, and back by the next move.
bool plunges_inside(const Acts& work, std::size_t i) {
    const Act& act = work.acts[i];
    if (act.motion != MotionKind::feed || !act.moves_x || act.to_z != act.from_z || !(act.from_z < 0) ||
        !known(act.from_x) || !known(act.to_x) || act.to_x <= act.from_x || act.from_x <= 0 || i == 0)
        return false;
    const Act *before = &work.acts[i - 1], *next = next_move(work, i);
    return before->motion == MotionKind::rapid && before->moves_z && next && !next->moves_z &&
           next->moves_x && next->to_x <= act.from_x;
}
/// The next move goes on by the same F, or away in a rapid: a feed for the way to a cut has another F behind
/// it.
bool is_cut_itself(const Acts& work, std::size_t i) {
    const Act* next = next_move(work, i);
    return next && !next->gives_feed;
}
/// A blade or a drill that goes on with another feed: it may have come through air so far.
bool goes_further(const Acts& work, std::size_t i) {
    const Act* next = next_move(work, i);
    return next && next->gives_feed && next->motion == MotionKind::feed;
}

/// Faster down to the work, and on in the same plunge by a feed a third as large or less.
bool comes_to_plunge(const Acts& work, std::size_t i) {
    const Act* next = next_move(work, i);
    return next && next->gives_feed && goes_in(*next) && next->feed > 0 &&
           next->feed <= work.acts[i].feed / 3;
}

/// In to the wall, along it out of the part, off it and back: the way back after back turning, or in a bore
/// after boring from the far side, is air.
bool returns_behind_pull(const Acts& work, std::size_t i) {
    if (i < 3) return false;
    const Act &in = work.acts[i - 3], &pull = work.acts[i - 2], &off = work.acts[i - 1], &back = work.acts[i];
    const auto is_known = [](const Act& act) {
        return known(act.from_x) && known(act.to_x) && known(act.from_z) && known(act.to_z);
    };
    return is_known(in) && is_known(pull) && is_known(off) && is_known(back) &&
           pull.motion == MotionKind::feed && pull.to_z > pull.from_z && back.to_z < back.from_z &&
           back.to_x == back.from_x && (in.to_x - in.from_x) * (off.to_x - off.from_x) < 0;
}
/// The same tool has plunged as deep there before: it comes down its own groove.
bool comes_down_groove(std::span<const ToolOfSpan> before, const ToolOfSpan& tool, std::size_t i,
                       double per_unit) {
    constexpr double beside_mm = 0.3;
    const Act& act = tool.work->acts[i];
    const auto opened = [&](const Act& old) {
        return goes_in(old) && std::abs(old.from_z - act.from_z) * per_unit < beside_mm &&
               old.to_x <= act.to_x;
    };
    const auto& own = tool.work->acts;
    if (std::any_of(own.begin(), own.begin() + static_cast<std::ptrdiff_t>(i), opened)) return true;
    return std::any_of(before.begin(), before.end(), [&](const ToolOfSpan& some) {
        return some.station > 0 && some.station == tool.station &&
               std::any_of(some.work->acts.begin(), some.work->acts.end(), opened);
    });
}
/// On along Z by a smaller feed than before, and straight out by Z at rapid: a trepanning tool or a drill
/// that breaks through.
bool breaks_through(const Acts& work, std::size_t i) {
    if (i == 0) return false;
    const Act &before = work.acts[i - 1], &act = work.acts[i];
    const Act* next = next_move(work, i);
    return before.motion == MotionKind::feed && act.motion == MotionKind::feed && !before.moves_x &&
           !act.moves_x && known(act.to_z) && before.to_z == act.from_z && act.to_z < act.from_z &&
           before.to_z < before.from_z && act.feed < before.feed && next &&
           next->motion == MotionKind::rapid && !next->moves_x && next->moves_z;
}

Cut cut_of(const ToolOfSpan& tool, std::size_t i) {
    const Act& act = tool.work->acts[i];
    if (act.feed <= 0 || act.dwells || act.taps() || act.threads()) return Cut::none;
    const bool driven = is_live(tool) || act.spindle == machine::Spindle::live || act.polar || act.cylinder;
    if (driven && !act.per_minute()) return Cut::none;
    if (act.motion == MotionKind::contour_cycle)
        return act.meaning == Meaning::finish_cycle ? Cut::line : Cut::rough;
    if (act.motion == MotionKind::single_cycle) return Cut::pass;
    if (act.drills()) return Cut::hole;
    // The first of two lines stores how far the tool draws back, and cuts nothing.
    if (act.motion == MotionKind::peck_cycle) return act.moves_x || act.moves_z ? Cut::plunge : Cut::none;
    if (act.motion != MotionKind::feed && act.motion != MotionKind::arc) return Cut::none;
    if (act.in_contour) return Cut::line;
    if (act.moves_x && (!known(act.from_x) || !known(act.to_x))) return Cut::none;
    if (act.moves_z && (!known(act.from_z) || !known(act.to_z))) return Cut::none;
    // In front of the face, and out of the part: a feed for the way.
    if (act.to_z > 0 && act.moves_z) return Cut::none;
    if (act.from_x == 0 && !act.moves_x && act.to_z < act.from_z)
        return tool.is(Kind::drill) || tool.is(Kind::centre) || tool.is(Kind::ream) ? Cut::hole : Cut::none;
    if (driven) return goes_in(act) && !act.polar && !act.cylinder ? Cut::hole : Cut::none;
    if (plunges(*tool.work, i)) return comes_to_plunge(*tool.work, i) ? Cut::way : Cut::plunge;
    if (plunges_inside(*tool.work, i)) return Cut::plunge;
    const bool face = act.moves_x && act.to_x < act.from_x && act.from_z >= 0 &&
                      (!act.moves_z || (act.to_x <= 0 && act.to_z >= 0));
    // Beside the face, and on with another feed.
    if (face && act.from_z > 0 && !act.moves_z && act.to_x > 0 && goes_further(*tool.work, i))
        return Cut::none;
    if (face && (act.to_x <= 0 || is_cut_itself(*tool.work, i))) return Cut::face;
    if (returns_behind_pull(*tool.work, i) || breaks_through(*tool.work, i)) return Cut::none;
    if (act.to_z < act.from_z || face) return is_cut_itself(*tool.work, i) ? Cut::line : Cut::way;
    return Cut::none;
}

struct Feed {
    const ToolOfSpan* tool;
    const Act* giver; ///< Its F
    Cut cut;
    double mm; ///< A revolution
    std::optional<double> drill_mm;
    double per_unit;
    double rpm;               ///< 0: the feed is by the revolution
    double diameter_mm;       ///< Where the cut begins; 0: not known
    double length_mm;         ///< Along Z; 0: not known
    bool goes_further;        ///< On with another feed
    bool of_contour;          ///< Of a roughing cycle: a finishing feed
    std::size_t plunge_chain; ///< The same for the feeds of one plunge
};

/// No way out, from which another cut may come back through what is cut.
bool goes_on_in(const Act& act) {
    return known(act.from_x) && known(act.to_x) && known(act.from_z) && known(act.to_z) &&
           act.to_x <= act.from_x && act.to_z <= act.from_z;
}

double per_revolution(const Act& act, std::optional<double> per_unit, const machine::Settings& settings) {
    if (act.per_rev()) return act.feed;
    if (goes_by_minute(act, settings)) return act.rpm() && act.speed > 0 ? act.feed / act.speed : 0;
    if (act.feed_mode == 0 && !goes_by_turn(act, settings)) return 0;
    return per_unit && act.feed * *per_unit <= most_by_revolution_mm ? act.feed : 0;
}

/// Down a hole that is there, and on deeper by a feed a third as large or less.
bool comes_down_hole(const Acts& work, std::size_t i, double drilled_z) {
    const Act* next = next_move(work, i);
    return work.acts[i].to_z >= drilled_z && next && next->gives_feed && next->feed > 0 &&
           next->feed <= work.acts[i].feed / 3;
}

/// What the tools before have turned the outside to at the Z of a plunge; nullopt: nothing.
std::optional<float> turned_to(std::span<const ToolOfSpan> before, float z) {
    std::optional<float> lowest;
    for (const ToolOfSpan& tool : before)
        for (const Act& act : tool.work->acts) {
            const bool turns = (act.motion == MotionKind::feed || act.motion == MotionKind::single_cycle) &&
                               act.moves_z && known(act.from_z) && known(act.to_z) && known(act.to_x) &&
                               act.from_z > z && act.to_z <= z && act.to_x > 0;
            if (turns) lowest = std::min(lowest.value_or(act.to_x), act.to_x);
        }
    return lowest;
}
/// The plunge ends well inside of what is turned there: no way through air, whatever feed comes behind it.
bool ends_in_metal(const Act& act, std::span<const ToolOfSpan> before) {
    constexpr float well_inside = 0.9F;
    const auto turned = turned_to(before, act.to_z);
    return turned && act.to_x >= 0 && act.to_x < well_inside * *turned;
}

/// Along Z within what a bar has bored before, and come off its wall inward: a way through air.
bool goes_in_bore(std::span<const ToolOfSpan> before, const Act& act, double per_unit) {
    constexpr double within_mm = 0.2,
                     beyond_mm = 2; // On radius; behind the hole the bar was as far as it went
    if (act.motion != MotionKind::feed || !known(act.from_x) || act.from_x != act.to_x || !(act.from_x > 0))
        return false;
    return std::any_of(before.begin(), before.end(), [&](const ToolOfSpan& tool) {
        const auto& acts = tool.work->acts;
        for (std::size_t i = 0; i + 1 < acts.size(); ++i) {
            const Act &cut = acts[i], &off = acts[i + 1];
            const bool bores = cut.motion == MotionKind::feed && cut.from_x == cut.to_x &&
                               cut.to_z < cut.from_z && off.moves_x && !off.moves_z && off.to_x < cut.to_x;
            if (bores && (cut.to_x - act.to_x) * per_unit > within_mm &&
                (cut.to_z - act.to_z) * per_unit < beyond_mm)
                return true;
        }
        return false;
    });
}

/// `drilled_z`: how deep the tools before have drilled on the centre.
void add_feeds(std::span<const ToolOfSpan> before, const ToolOfSpan& tool, double drilled_z,
               std::optional<double> of_file, const machine::Settings& settings, std::vector<Feed>& feeds) {
    const Act* giver = nullptr;
    std::size_t chain = feeds.empty() ? 0 : feeds.back().plunge_chain + 1;
    for (std::size_t i = 0; i < tool.work->acts.size(); ++i) {
        const Act& act = tool.work->acts[i];
        if (act.motion == MotionKind::rapid) ++chain;
        if (act.gives_feed && !act.dwells) giver = &act;
        if (!giver || act.feed != giver->feed) continue;
        Cut cut = cut_of(tool, i);
        if (cut == Cut::way && goes_in(act) && comes_to_plunge(*tool.work, i) && ends_in_metal(act, before) &&
            !comes_down_groove(before, tool, i, mm_of(act, of_file).value_or(1)))
            cut = Cut::plunge;
        if (cut == Cut::hole && comes_down_hole(*tool.work, i, drilled_z)) cut = Cut::none;
        const auto per_unit = mm_of(act, of_file);
        const double turn = per_revolution(act, per_unit, settings);
        if (cut != Cut::hole && cut != Cut::plunge && goes_in_bore(before, act, per_unit.value_or(1)))
            cut = Cut::none;
        // The first cut behind an F tells what it is for: on the way there, it is for the cut that follows.
        const bool on_way = act.motion == MotionKind::none || act.motion == MotionKind::rapid ||
                            (cut == Cut::none && act.motion == MotionKind::feed && goes_on_in(act));
        if (cut != Cut::none && per_unit && turn > 0) {
            const NamedTool* drill = tool.that([&](const NamedTool& some) {
                return some.kind == Kind::drill && some.diameter_mm(*per_unit).has_value();
            });
            feeds.push_back({&tool, giver, cut, turn * *per_unit,
                             drill ? drill->diameter_mm(*per_unit) : std::nullopt, *per_unit,
                             goes_by_minute(act, settings) ? act.speed : 0.0,
                             known(act.from_x) ? 2 * std::abs(act.from_x) * *per_unit : 0.0,
                             act.moves_z && known(act.from_z) && known(act.to_z)
                                 ? std::abs(act.to_z - act.from_z) * *per_unit
                                 : 0.0,
                             goes_further(*tool.work, i), act.in_contour, chain});
        }
        if (!on_way) giver = nullptr;
    }
}

/// The other feeds of the program for cuts of the kind, and for all turning cuts.
struct Compared {
    Others same, turning;
};
/// Of each feed, in their order.
std::vector<Compared> compared(const std::vector<Feed>& feeds) {
    using OfKinds = std::array<Others, static_cast<std::size_t>(Cut::way) + 1>;
    struct Sums {
        OfKinds same{};
        Others turning;
        void add(const Feed& feed) {
            of(feed.cut).add(feed.mm);
            if (is_turning(feed.cut)) turning.add(feed.mm);
        }
        Others& of(Cut cut) { return same.at(static_cast<std::size_t>(cut)); }
    };
    std::vector<Compared> out(feeds.size());
    Sums before, behind;
    for (std::size_t i = 0; i < feeds.size(); ++i) {
        out[i] = {before.of(feeds[i].cut), before.turning};
        before.add(feeds[i]);
    }
    // Toward the centre a blade goes slower: what is further in of a plunge does not count.
    Others behind_plunge;
    for (std::size_t i = feeds.size(); i-- > 0;) {
        const Feed& feed = feeds[i];
        const bool ends_plunge = i + 1 == feeds.size() || feeds[i + 1].plunge_chain != feed.plunge_chain;
        if (ends_plunge) behind_plunge = behind.of(Cut::plunge);
        out[i].same.add(feed.cut == Cut::plunge ? behind_plunge : behind.of(feed.cut));
        out[i].turning.add(behind.turning);
        behind.add(feed);
    }
    return out;
}

/// The fewer there are to compare with, the farther off it must be.
double times_at_least(const Feed& feed, int others) {
    if (feed.of_contour || others >= 3) return 3;
    if (others == 2) return feed.mm > 0.9 ? 4 : 5;
    return feed.mm > 0.9 ? 4 : 8;
}

/// Several times all others: which of them a feed is far from, if any.
const Others* far_above(const Feed& feed, const Compared& others) {
    switch (feed.cut) {
    case Cut::plunge:
        return !feed.goes_further && others.same.count >= 1 && feed.mm >= 4 * others.same.most &&
                       feed.mm > 0.12
                   ? &others.same
                   : nullptr;
    case Cut::face:
    case Cut::line:
        if (others.same.count >= 2 && feed.mm >= 4 * others.same.most && feed.mm > 0.45) return &others.same;
        [[fallthrough]];
    case Cut::rough:
    case Cut::pass:
        return others.turning.count >= 1 && feed.mm > 0.6 &&
                       feed.mm >= times_at_least(feed, others.turning.count) * others.turning.most
                   ? &others.turning
                   : nullptr;
    case Cut::hole: // A tap's lead is no feed of a drill
        if (others.same.count >= 1 && feed.mm > 0.7 &&
            feed.mm >= (others.same.count >= 2 ? 4 : 6) * others.same.most)
            return &others.same;
        if (others.turning.count >= 3 && feed.mm > 0.8 && feed.mm >= 4 * others.turning.most)
            return &others.turning;
        [[fallthrough]];
    default:
        return others.same.count >= 2 && feed.mm >= 8 * others.same.most && feed.mm > 0.3 ? &others.same
                                                                                          : nullptr;
    }
}
const Others* far_below(const Feed& feed, const Compared& others) {
    // A pass as long and at as large a diameter takes no feed that the turning around it is far above.
    if (feed.cut == Cut::pass && feed.diameter_mm >= 30 && feed.mm < 0.036 && others.turning.count >= 2 &&
        feed.mm * 5 <= others.turning.most)
        return &others.turning;
    // The only other turning cut is far above a long pass: no roughing is four times finer than the finish.
    if (feed.cut == Cut::line && !feed.of_contour && feed.diameter_mm >= 20 && feed.length_mm >= 20 &&
        feed.mm < 0.036 && others.turning.count == 1 && feed.mm * 4 <= others.turning.least)
        return &others.turning;
    if (is_turning(feed.cut)) {
        // A small diameter takes a small feed with a sharp tool.
        const bool large = feed.diameter_mm >= 12;
        return large && others.turning.count >= 2 && feed.mm * 2.5 <= others.turning.least && feed.mm < 0.036
                   ? &others.turning
                   : nullptr;
    }
    if (feed.cut == Cut::plunge && feed.diameter_mm >= 12 && others.same.count >= 1 && feed.mm < 0.0125)
        return feed.mm * 4 <= others.same.least ? &others.same : nullptr;
    if (feed.cut == Cut::hole && others.same.count == 1 && others.turning.count >= 2 && feed.mm < 0.0095 &&
        feed.mm * 8 <= others.same.least && feed.mm * 8 <= others.turning.least)
        return &others.same;
    return others.same.count >= 2 && feed.mm * 8 <= others.same.least && feed.mm < 0.03 ? &others.same
                                                                                        : nullptr;
}

/// Feeds of one tool on its ways inward, not to the centre.
struct InwardFeed {
    const Act* act;
    double mm;
};
std::vector<InwardFeed> inward_feeds(const ToolOfSpan& tool, std::optional<double> of_file,
                                     const machine::Settings& settings) {
    constexpr double at_centre_mm = 3; // Radius: a blade goes slowly through it
    std::vector<InwardFeed> feeds;
    for (const Act& act : tool.work->acts) {
        const auto per_unit = mm_of(act, of_file);
        if (!act.gives_feed || act.motion != MotionKind::feed || !act.moves_x || !per_unit || is_live(tool))
            continue;
        if (act.stopped() || act.deleted || !known(act.from_x) || !known(act.to_x) || !known(act.to_z))
            continue;
        if (act.to_x >= act.from_x || act.to_z > 0 || act.to_x * *per_unit < at_centre_mm) continue;
        if (const double turn = per_revolution(act, per_unit, settings); turn > 0)
            feeds.push_back({&act, turn * *per_unit});
    }
    return feeds;
}
/// The finest of a tool, which no edge cuts with, and all its others five times as large or more.
void look_at_tool(const ToolOfSpan& tool, std::optional<double> of_file, const machine::Settings& settings,
                  std::span<const Feed> told, Report& report) {
    constexpr double finest_mm = 0.0095, times_others = 5;
    const auto feeds = inward_feeds(tool, of_file, settings);
    for (const InwardFeed& feed : feeds) {
        if (feed.mm >= finest_mm) continue;
        Others others;
        for (const InwardFeed& other : feeds)
            if (&other != &feed) others.add(other.mm);
        if (others.count == 0 || feed.mm * times_others > others.least) continue;
        if (std::any_of(told.begin(), told.end(), [&](const Feed& one) { return one.giver == feed.act; }))
            continue;
        const double unit = *mm_of(*feed.act, of_file);
        auto as_written = [&](double mm) { return written(std::round(mm / unit * 1e5) / 1e5); };
        report.at_letter(tool.place(*feed.act), 'F')
            .message(said("F{} is {} {} a revolution{}. {}: {}. F{} is meant, perhaps.",
                          written(feed.act->feed), spoken(std::round(feed.mm / unit * 1e6) / 1e6),
                          unit > 1 ? "in" : "mm", "",
                          said("The other cuts{} here have {}", "", "F" + as_written(others.least)),
                          said("the edge rubs and does not cut"), as_written(feed.mm * 10)));
    }
}

std::string range_of(const Others& others, const Feed& feed) {
    const double scale = (feed.rpm > 0 ? feed.rpm : 1) / feed.per_unit;
    auto as_f = [&](double mm) { return "F" + written(std::round(mm * scale * 1e5) / 1e5); };
    return others.differ() ? said("{} to {}", as_f(others.least), as_f(others.most)) : as_f(others.least);
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    if (feeds_as_inch(context, tools).say_millimetres()) return;
    std::vector<Feed> feeds;
    const auto of_file = unit_of_file(context, tools);
    double drilled_z = 0;
    for (const ToolOfSpan& tool : tools) {
        if (!stands(tool)) {
            const auto before = std::span(tools).first(static_cast<std::size_t>(&tool - tools.data()));
            add_feeds(before, tool, drilled_z, of_file, context.settings(), feeds);
        }
        for (std::size_t i = 0; i < tool.work->acts.size(); ++i)
            if (const float z = tool.work->acts[i].to_z;
                known(z) && z < drilled_z && cut_of(tool, i) == Cut::hole)
                drilled_z = z;
    }
    // A whole program below the bound was written in another unit, which is told elsewhere.
    const auto low =
        std::count_if(feeds.begin(), feeds.end(), [](const Feed& feed) { return feed.mm < 0.016; });
    const bool mostly_low = low * 2 > static_cast<std::ptrdiff_t>(feeds.size());
    std::vector<Feed> told;
    const std::vector<Compared> all_compared = compared(feeds);
    for (std::size_t i = 0; i < feeds.size(); ++i) {
        const Feed& feed = feeds[i];
        if (feed.mm > most_by_revolution_mm && feed.rpm == 0) continue; // feed_too_large_by_revolution
        const Bounds bounds = bounds_of(*feed.tool, feed.cut, feed.drill_mm);
        const Compared& others = all_compared[i];
        const bool over = feed.mm > bounds.most;
        const bool under = !mostly_low && feed.mm < bounds.least;
        const Others* above = far_above(feed, others);
        const Others* below = mostly_low ? nullptr : far_below(feed, others);
        if (!over && !under && !above && !below) continue;
        if (notes_about(context, tools, *feed.tool)
                .speak_of({"KNURL", "BURNISH", "ROLL", "RANDEL", "RAENDEL", "MOLET", "GODRON", "ZIGRIN"}))
            continue;
        told.push_back(feed);
        const bool high = over || above;
        // A lead under the code of a turning cycle.
        if (high && feed.cut == Cut::pass && feed.tool->is(Kind::thread)) {
            report.at_letter(feed.tool->place(*feed.giver), 'G')
                .message(said(
                    "The notes call T{:02} a threading tool, and this cycle turns: its F{} is no lead in "
                    "step with the spindle but a feed that breaks the edge at the first touch, and no "
                    "thread comes. Write {} for the thread.",
                    feed.tool->station, written(feed.giver->feed),
                    code(context.settings(), Meaning::single_threading)));
            continue;
        }
        const std::string_view unit = feed.per_unit > 1 ? "in" : "mm";
        const std::string drill =
            feed.drill_mm ? said(" of {} mm", spoken(std::round(*feed.drill_mm * 100) / 100)) : std::string();
        const std::string why =
            over || under
                ? said("{} {} at the {}",
                       bounds.title == translated("A drill") ? said("A drill{} takes", drill)
                                                             : std::string(bounds.title),
                       spoken(std::round((high ? bounds.most : bounds.least) / feed.per_unit * 1e4) / 1e4),
                       high ? said("most") : said("least"))
                : said("The other cuts{} here have {}",
                       above == &others.same || below == &others.same ? said(" of the kind") : "",
                       range_of(high ? *above : *below, feed));
        const double f = feed.giver->feed, meant = high ? f / 10 : f * 10;
        report.at_letter(feed.tool->place(*feed.giver), 'F')
            .message(said("F{} is {} {} a revolution{}. {}: {}. F{} is meant, perhaps.", written(f),
                          spoken(std::round(feed.mm / feed.per_unit * 1e6) / 1e6), unit,
                          feed.rpm > 0 ? said(" at S{}", spoken(feed.rpm)) : "", why,
                          high ? said("the edge breaks at the first touch")
                               : said("the edge rubs and does not cut"),
                          written(std::round(meant * 1e5) / 1e5)));
    }
    if (mostly_low) return;
    for (const ToolOfSpan& tool : tools)
        if (!stands(tool)) look_at_tool(tool, of_file, context.settings(), told, report);
}

} // namespace

extern const Check check{
    .id = "feed_unlike_cut",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed that this kind of cut does not take",
    .documentation =
        "The feed by the revolution is beyond what a cut of the kind is made with (roughing "
        "0.04 to 1.6 mm, other turning to 1.3, grooving and parting 0.008 to 0.45, a drill 0.0025 to 0.07 of "
        "its diameter), or four times as large as every other such cut of the program, or two "
        "fifths of the smallest: a point is missing or a digit lost. The "
        "bounds are wide; a feed by the minute is looked at as what it makes "
        "a revolution. Moves in front of the face and away from the part, a feed for the way to "
        "the next cut, bar stops and live tools but drills are not asked.",
    .file = file,
    .examples =
        {
            // Roughing finer than the finish, and a chamfer in front of a cut with ten times its feed.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X40.6 Z2.
G01 Z-184. F0.03
;          ^^^^^ warning: feed_unlike_cut
X43.
G00 Z2.
X36.5
G01 Z-161.8
G28 U0 W0
T0303
G00 X38. Z2.
G01 Z-162. F0.12
G28 U0 W0
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S900 M03
G00 X1.4 Z-1.7
G01 X1.14 Z-1.725 F.0003
;                 ^^^^^^ warning: feed_unlike_cut
X.6 F.003
X0 F.001
G00 X2.
M30
)"},
            // A groove in a bore, and the way out of one outside.
            {System::B, R"(
G21 G90 G95
T0808
G97 S700 M03
G00 X42. Z5.
Z-40.
G01 X47.5 F0.5
;         ^^^^ warning: feed_unlike_cut
G00 X42.
Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0808
G97 S700 M03
G00 X62. Z5.
Z-40.
G01 X50. F0.08
X56. F0.8
X48. F0.08
G00 X62.
M30
)"},
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
            // A cutter that the caller drives.
            {System::A, R"(
O10
G21 G40 G99
T0101
G96 S300 M03
G00 X80. Z0.
G01 X-1.6 F.15
G00 X76. Z1.
G01 Z-9.
X82.
T0707
G97 S2500 M303
G98
G00 X50. Z3. C0
M98 P1010
M30
O1010
G01 Z-5. F60.
H40. F400.
G00 Z3.
H80.
M99
)"},
            // Down the pilot that is there, and then on.
            {System::B, R"(
G21 G90 G95
(PILOT DRILL 8.1)
T0505
G97 S1200 M03
G00 X0 Z4.
G01 Z-22. F0.14
G00 Z50.
(LONG DRILL 8)
T0707
G97 S200 M03
G00 X0 Z5.
G01 Z-18. F1.
G97 S950
G01 Z-60. F0.12
G00 Z50.
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
            {System::A, R"(
G21 G99
N1 T0101
G96 S200 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.5 W0.1 F0.3
N10 G00 X40.
G01 Z0 F1.2
;      ^^^^ warning: feed_unlike_cut
X42. Z-1.
Z-30.
N20 X52.
N2 (UNDERCUT)
T0303
G96 S100 M03
G00 X52. Z-20.
G01 X44. F0.4
X38. F0.06
G04 U0.3
X52. F0.4
N3 (PART OFF)
T0505
G96 S100 M03
G00 X54. Z-40.
G01 X12. F0.08
X0 F0.01
;  ^^^^^ warning: feed_unlike_cut
G00 X54.
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 (FACE AND TURN)
T0101
G97 S1200 M03
G00 X1.6 Z.1
Z0
G01 X-.06 F.0007
;         ^^^^^^ warning: feed_unlike_cut
G00 X1.5 Z.1
G01 Z-1. F.01
G00 X1.6 Z.1
X1.4
G01 Z-.5 F.005
G00 X4. Z4.
M30
)"},
            {System::A, R"(
(T6 LIVE DRILL D6)
G21 G98
N1 T0606
G97 S1500 M63
G00 X50. Z-10.
G01 X20. F1200.
;        ^^^^^^ warning: feed_unlike_cut
G00 X50.
M65
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 (TURN D3)
T0101
G97 S6000 M03
G00 X3.2 Z0.5
G01 X2. F0.2
Z-6. F0.008
X3.2
G00 X20. Z20.
N2 (DRILL D40, START SLOW)
T0202
G97 S320 M03
G00 X0 Z3.
G01 Z-5. F0.08
Z-48. F0.2
G00 Z20.
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G96 S200 M03
G00 X52. Z2.
X36.
G01 Z0.5 F1.2
;        ^^^^ warning: feed_unlike_cut
X40. Z-2.
Z-30.
X54.
G00 Z2.
X36.
G01 Z-20. F0.12
X54.
G00 Z2.
X34.
G01 Z-15. F0.14
X54.
G00 Z2.
X32.
G01 Z0.5 F0.3
Z-10. F0.15
X54.
M30
)"},
            {System::C, R"(
G71 G90
G65 P9015 A1.
T0101
G96 S190 M03
G00 X49. Z2.
G01 X47. Z-1. F1.4
;             ^^^^ warning: feed_unlike_cut
Z-80.
X52.
G00 X100. Z100.
T0505
G00 X49. Z-32.
G01 X24. F.8
;        ^^^ warning: feed_unlike_cut
G00 X49.
M30
)"},
            {System::A, R"(
G21
M98 P9001
T0101
G97 S800 M03
G00 X49. Z2.
G01 X47. Z-1. F120.
Z-80.
X52.
G00 X100. Z100.
T0505
G00 X49. Z-32.
G01 X24. F.08
X30. F0.5
X24.
X20. F.06
G00 X49.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X52. Z0
G01 X-1.6 F0.2
G00 X47. Z2.
G01 Z-64. F0.28
X52.
G00 X100. Z100.
T0303
G00 X0 Z2.
G01 Z0 F1.2
;      ^^^^ warning: feed_unlike_cut
G03 X24. Z-12. R12.
G01 Z-64.
X52.
M30
)"},
            {System::A, R"(
G20 G40 G97 G99
T0404 (GROOVE .100 LEFT CORNER)
S1400 M03
G00 X.85 Z.1
Z-.59
G01 X.66 F.02
X.485 F.003
G00 X.85
M30
)"},
            // A tap with the code of a drill.
            {System::A, R"(
G21 G99
T0404
G97 S2000 M03
G00 X0 Z8.
G83 Z-52. R-5. Q8000 F.15
G80
G00 Z50.
T0606
G97 S1200 M03
G00 X0 Z5.
G83 Z-25. R-3. Q8000 F.14
G80
G00 Z50.
T1010
G97 S350 M03
G00 X0 Z8.
G83 Z-42. R-3. Q8000 F1.25
;                    ^^^^^ warning: feed_unlike_cut
G80
G00 Z50.
M30
)"},
            // Down into the metal, and slower to the centre.
            {System::A, R"(
G21 G99
T0303
G97 S1400 M03
G00 X24. Z1.
G01 X38. Z-1. F.1
Z-35.
X43.
G00 X150. Z100.
T0505
G97 S700 M03
G00 X44. Z-34.
G01 X20. F.8
;        ^^^ warning: feed_unlike_cut
X-.5 F.05
G00 X50.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S1400 M03
G00 X24. Z1.
G01 X38. Z-1. F.1
Z-35.
X43.
G00 X150. Z100.
T0505
G97 S700 M03
G00 X60. Z-34.
G01 X40. F.8
X-.5 F.05
G00 X50.
M30
)"},
            // The code of a turning cycle under a threading tool.
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X22. Z2.
G01 Z-60. F0.25
X26.
G00 X100. Z100.
T0303 (GEWINDESTAHL, STEIGUNG 2.5)
G97 S900
G00 X24. Z8.
G77 X19. Z-45. F2.5
;^^ warning: feed_unlike_cut
X18.4
X17.9
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G96 S400 M03
G00 X1.1 Z.1
G01 Z-2. F.01
X1.3
G00 X4. Z4.
T0303 (THREADING TOOL 12 TPI)
G97 S900
G00 X1.2 Z.3
G90 X.96 Z-1.5 F.0833
;^^ warning: feed_unlike_cut
X.93
X.91
G00 X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X22. Z2.
G01 Z-60. F0.25
X26.
G00 X100. Z100.
T0303 (GEWINDESTAHL, STEIGUNG 2.5)
G97 S900
G00 X24. Z2.
G20 X19.8 Z-2. F0.1
G00 Z8.
G21 X19. Z-45. F2.5
X18.4
X17.9
G00 X100. Z100.
M30
)"},
            {System::A, R"(
(BESIDE THE FACE A FEED FOR THE WAY)
G21 G99
T0101
G97 S900 M03
G00 X124. Z0
G01 X-1.6 F.2
G00 X122. Z1.
G01 X118.4 F2.
Z-14.5 F.3
X122.
G00 Z1.
X114.
G01 Z0 F.2
X118. Z-2. F.15
Z-14.5
X122.
G00 X200. Z150.
M30
)"},
            // Down its own groove; back in a bore behind a pulled cut; slower where it breaks through.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X32. Z2.
G01 Z-90. F0.2
X34.
G28 U0 W0
T0606
G97 S900 M03
G00 X35. Z-84.
G01 X12. F0.05
G00 X35.
G01 X12.4 F0.5
X-0.4 F0.04
G00 X46.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S450 M03
G00 X3.7 Z0
G01 X1.1 F.005
G00 X3.7 Z.1
X3.5
G01 Z-1. F.008
X3.7
G28 X6. Z4.
T0606
G97 S450 M03
G00 X1.13 Z.2
G01 Z-2.7 F.05
X1.35 F.02
Z-2.14 F.004
X1.29 F.02
Z-2.7 F.05
X1.47 F.02
Z-2.14 F.004
X1.41 F.02
Z-2.7 F.05
Z-2.55
X1.75 F.02
Z-2.125 F.003
X1.13
G00 Z.2
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S450 M03
G00 X126. Z0
G01 X-1. F0.2
G00 X124. Z1.
X120.
G01 Z-15. F0.2
X126.
G28 X200. Z100.
T0707
G97 S450 M03
G00 X40. Z2.
G01 Z-12. F0.06
G00 Z1.
Z-11.8
G01 Z-19. F0.06
Z-20.4 F0.02
G04 X0.3
G00 Z10.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // Neither unit nor mode is stated: inches a minute by the feeds over the speeds.
            {System::A, R"(
O1
T0101 (80 DEG TURN)
G97 S1200 M03
G00 X1.2 Z.1
G01 Z-1. F8.4
X1.3
G00 X6. Z4.
T0303 (PART OFF .125)
G97 S800 M03
G00 X1.3 Z-1.
G01 X0 F2.4
G00 X1.3
X6. Z4.
M30
)"},
            // So read it tears the blade off.
            {System::A, R"(
O1
T0101 (80 DEG TURN)
G97 S1200 M03
G00 X1.2 Z.1
G01 Z-1. F8.4
X1.3
G00 X6. Z4.
T0303 (PART OFF .125)
G97 S800 M03
G00 X1.3 Z-1.
G01 X0 F24.
;       ^^^^ warning: feed_unlike_cut
G00 X1.3
X6. Z4.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::feed_unlike_cut
