// Passes of a loop written by hand, held to the cut that finishes behind them: one too many or too few,
// another slope, another length.
//
// That the finish takes less than a roughing pass: common practice, no source.
#include "checks/cuts_so_far.h"
#include "checks/loops.h"
#include "checks/noted_words.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

namespace turnwright::checks::rules::loop_unlike_finish {

namespace {

constexpr double least_over_mm = 0.04; ///< On radius
constexpr double least_left_mm = 0.6;  ///< On radius; so much a spring or a hard finish may find
constexpr double more_than_pass = 1.1; ///< Of what a pass takes
constexpr int samples = 16;

/// Every turn of one block.
struct Row {
    const Work* work = nullptr;
    std::vector<const Leg*> turns;
    bool faces = false;
    const Leg& last() const { return *turns.back(); }
    const Leg& before_last() const { return *turns[turns.size() - 2]; }
    BlockPlace place() const { return *last().run_at; }
    /// Between turns, on radius or along Z.
    double step() const {
        return std::abs(faces ? last().to.z_mm - before_last().to.z_mm
                              : last().from.x_radius_mm - before_last().from.x_radius_mm);
    }
};

bool goes_along(const Leg& leg) {
    return cuts_along(leg) && !leg.is_arc && !leg.in_contour && leg.dz() < 0 &&
           std::abs(leg.dx()) <= std::abs(leg.dz());
}
bool faces_in(const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc && !leg.in_contour && leg.dz() == 0 &&
           leg.dx() < 0;
}

/// Turn by turn one way, each deeper than the one before.
bool is_row(const Row& row, bool inside) {
    if (row.turns.size() < 2) return false;
    for (std::size_t i = 1; i < row.turns.size(); ++i) {
        const Leg &one = *row.turns[i - 1], &next = *row.turns[i];
        const double deeper = row.faces ? one.to.z_mm - next.to.z_mm
                              : inside  ? next.from.x_radius_mm - one.from.x_radius_mm
                                        : one.from.x_radius_mm - next.from.x_radius_mm;
        if (deeper < 1e-6) return false;
    }
    return true;
}

std::vector<Row> rows_of(const Work& work) {
    std::map<BlockPlace, Row> along, faces;
    for (const Leg& leg : work.legs) {
        if (!leg.run_at || leg.of_cycle) continue;
        if (goes_along(leg)) along[*leg.run_at].turns.push_back(&leg);
        if (faces_in(leg)) faces[*leg.run_at].turns.push_back(&leg);
    }
    const bool inside = work.where == Work::Where::inside;
    std::vector<Row> rows;
    for (auto* found : {&along, &faces})
        for (auto& [place, row] : *found) {
            row.work = &work;
            row.faces = found == &faces;
            if (is_row(row, inside) && !(row.faces && inside)) rows.push_back(row);
        }
    return rows;
}

std::optional<double> x_at(const Leg& leg, double z) {
    const double low = std::min(leg.from.z_mm, leg.to.z_mm), high = std::max(leg.from.z_mm, leg.to.z_mm);
    if (z < low || z > high || low == high) return std::nullopt;
    constexpr int chords = 32;
    Point from = leg.from;
    for (int i = 1; i <= chords; ++i) {
        const Point to = motion::point_at(leg.segment(), static_cast<double>(i) / chords);
        if ((from.z_mm - z) * (to.z_mm - z) <= 0 && from.z_mm != to.z_mm)
            return from.x_radius_mm +
                   (to.x_radius_mm - from.x_radius_mm) * (z - from.z_mm) / (to.z_mm - from.z_mm);
        from = to;
    }
    return std::nullopt;
}

/// What the same tool and the later ones of that side cut behind the row, in order.
struct Later {
    std::vector<std::pair<const Work*, const Leg*>> cuts;
    bool known = true;
};
Later later_than(const Workpiece& part, const Row& row) {
    Later later;
    bool behind = false;
    for (const Work* work : part.works) {
        if (work == row.work) behind = true;
        if (!behind || work->driven_tool || (is_blade(*work) && work != row.work)) continue;
        if (work != row.work && work->where != row.work->where) continue;
        for (const Leg& leg : work->legs) {
            if (work == row.work && &leg <= &row.last()) continue;
            if (leg.in_contour || (leg.cuts() && !leg.known)) later.known = false;
            if (leg.kind == Leg::Kind::feed && leg.known && leg.run_at != row.last().run_at)
                later.cuts.emplace_back(work, &leg);
        }
    }
    return later;
}

/// Nose compensation comes on along it: to the shape, and none of it.
bool leads_in(const Work& work, const Leg& leg) {
    return leg.side != motion::Side::off &&
           (&leg == work.legs.data() || (&leg - 1)->side == motion::Side::off) && leg.from.z_mm > 0 &&
           leg.to.z_mm >= 0;
}

struct Compared {
    int found = 0, beyond = 0, much = 0;
    double over = 0, least_left = HUGE_VAL, most_left = 0; ///< On radius
    const Work* work = nullptr;
    const Leg* leg = nullptr; ///< The cut that comes next at most places
    bool one_leg = true;
};

Compared compare(const Row& row, const Later& later, bool inside) {
    Compared all;
    const Leg& last = row.last();
    const double mm = row.work->unit_mm, high = std::min(last.from.z_mm, 0.0), low = last.to.z_mm;
    if (high <= low) return all;
    for (int i = 0; i < samples; ++i) {
        const double z = low + (high - low) * (i + 0.5) / samples;
        const auto own = x_at(last, z);
        for (const auto& [work, leg] : later.cuts) {
            if (!cuts_along(*leg) || leads_in(*work, *leg)) continue;
            const auto next = x_at(*leg, z);
            if (!own || !next) continue;
            const double left = inside ? *next - *own : *own - *next;
            ++all.found;
            if (left * mm < -least_over_mm) ++all.beyond;
            if (left > more_than_pass * row.step() && left * mm > least_left_mm) ++all.much;
            all.over = std::max(all.over, -left);
            all.least_left = std::min(all.least_left, left);
            all.most_left = std::max(all.most_left, left);
            all.one_leg = all.one_leg && (!all.leg || all.leg == leg);
            all.work = work;
            all.leg = leg;
            break;
        }
    }
    return all;
}

constexpr int most_of(int count) {
    return count * 6 / 10;
}

/// Its own passes come in a loop, too: no finish.
bool is_in_row(const Later& later, const Leg& leg) {
    return leg.run_at && std::count_if(later.cuts.begin(), later.cuts.end(), [&](const auto& cut) {
                             return cut.second->run_at == leg.run_at &&
                                    (cut.second->to.x_radius_mm != leg.to.x_radius_mm ||
                                     cut.second->to.z_mm != leg.to.z_mm);
                         }) > 0;
}

std::string diameters(double radius) {
    return spoken(std::round(2 * radius * 1000) / 1000);
}
std::string rounded(double length) {
    return spoken(std::round(length * 1000) / 1000);
}

/// Where the loop is told how long to go on: "WHILE[...]" above, else "IF[...]GOTO" below; the row's own
/// block where neither is near.
BlockPlace condition_of(const WorksContext& context, const Row& row) {
    constexpr int most_blocks = 40;
    const BlockPlace own = row.place();
    int looked_at = 0;
    for (auto at = context.reader.neighbour(own, false); at && looked_at < most_blocks;
         at = context.reader.neighbour(*at, false), ++looked_at) {
        const std::string statement = statement_of(context.reader, *at);
        if (statement.starts_with("END")) break;
        if (statement.starts_with("WHILE")) return *at;
    }
    looked_at = 0;
    for (auto at = context.reader.neighbour(own, true); at && looked_at < most_blocks;
         at = context.reader.neighbour(*at, true), ++looked_at) {
        const std::string statement = statement_of(context.reader, *at);
        if (statement.starts_with("IF[") && statement.find("GOTO") != std::string::npos) return *at;
    }
    return own;
}

/// Where its limit is set, if a variable gives it.
BlockPlace limit_of(const WorksContext& context, BlockPlace condition) {
    const auto read = loop_condition(statement_of(context.reader, condition));
    if (!read || !read->limit.starts_with('#')) return condition;
    const auto set = set_above(context.reader, condition, read->limit);
    return set ? set->place : condition;
}

/// Another slope than the finish's is told where it stands, a number of passes where they are counted.
BlockPlace told_at(const WorksContext& context, const Row& row, const Leg* finish) {
    const Leg& last = row.last();
    const bool parallel = !finish || std::abs(last.dx() / last.dz() - finish->dx() / finish->dz()) < 0.005;
    return !row.faces && last.dx() != 0 && !parallel ? row.place()
                                                     : limit_of(context, condition_of(context, row));
}

void look_at_sizes(const WorksContext& context, const Row& row, const Compared& found, Report& report) {
    const Leg& last = row.last();
    if (found.beyond > most_of(found.found) && found.found > samples / 4) {
        report.at(told_at(context, row, found.leg))
            .message(
                said("The last pass that is made here turn by turn stands at {}, and what is finished behind "
                     "it lies up to {} on diameter away, on the side of the metal: that much of the part is "
                     "gone. Is it a pass too many, or a slip in the condition or the formula?",
                     context.x(last.from.x_radius_mm), diameters(found.over)))
            .related(context.place(*found.work, *found.leg), said("the finishing cut"));
        return;
    }
    const bool slopes =
        last.dx() != 0 && found.leg->dx() * last.dx() > 0 && found.one_leg && !found.leg->is_arc;
    const bool all_along = found.much > most_of(samples) && found.least_left > more_than_pass * row.step();
    if (all_along || (slopes && found.much > samples / 3))
        report.at(told_at(context, row, found.leg))
            .message(said("The passes that are made here turn by turn take {} each, on diameter, and behind "
                          "the last one, at {}, the next cut takes up to {} at once. Is it a pass too few, "
                          "or a slip in the condition or the formula?",
                          diameters(row.step()), context.x(last.from.x_radius_mm),
                          diameters(found.most_left)))
            .related(context.place(*found.work, *found.leg), said("the finishing cut"));
}

/// How far the passes go along Z against what follows at nearly the same X.
bool look_at_lengths(const WorksContext& context, const Workpiece& part, const Row& row, const Later& later,
                     bool inside, Report& report) {
    constexpr double long_mm = 2, floor_mm = 0.4;
    const double mm = row.work->unit_mm;
    const Leg* farthest = row.turns.front();
    for (const Leg* leg : row.turns)
        if (leg->to.z_mm < farthest->to.z_mm) farthest = leg;
    // What ends there, too, makes it right.
    const auto goes_there = [&](const Work& work, const Leg& leg) {
        return !work.driven_tool && leg.cuts() && leg.known && leg.run_at != row.last().run_at &&
               leg.to.z_mm * mm < farthest->to.z_mm * mm + long_mm / 2;
    };
    for (const Work* work : part.works)
        if (std::any_of(work->legs.begin(), work->legs.end(),
                        [&](const Leg& leg) { return goes_there(*work, leg); }))
            return false;
    for (const auto& [work, leg] : later.cuts) {
        if (!cuts_along(*leg) || leads_in(*work, *leg) || leg->dz() > 0) continue;
        const bool same_slope = farthest->dx() != 0 && leg->dx() * farthest->dx() > 0 && !leg->is_arc &&
                                std::abs(leg->dx() / leg->dz() - farthest->dx() / farthest->dz()) < 0.01;
        // Behind the finish a floor stands up, and the pass goes into it.
        const Leg* next = next_of(*work, *leg);
        const double rise = next && next->cuts() && next->known && std::abs(next->dz()) < 1e-6
                                ? (inside ? -next->dx() : next->dx())
                                : 0;
        const double beside = inside ? leg->to.x_radius_mm - farthest->to.x_radius_mm
                                     : farthest->to.x_radius_mm - leg->to.x_radius_mm;
        const bool into_floor =
            leg->dx() == 0 && farthest->dx() == 0 && beside >= 0 && rise * mm > 1 && beside < rise - 0.2 / mm;
        const double past = leg->to.z_mm - farthest->to.z_mm;
        if (!(same_slope && past * mm > long_mm) && !(into_floor && past * mm > floor_mm)) continue;
        report.at(row.place())
            .message(said("Passes that are made here turn by turn go on to {}, and what is finished behind "
                          "them ends at {}: {} is cut away that is to stay, or the tool runs into what holds "
                          "the part. Is a number or a comparison wrong?",
                          context.z(std::round(farthest->to.z_mm * 1000) / 1000), context.z(leg->to.z_mm),
                          rounded(past)))
            .related(context.place(*work, *leg), said("the finishing cut"));
        return true;
    }
    return false;
}

/// The finish goes on where none of the passes, and nothing else, has been.
bool look_at_short(const WorksContext& context, const Workpiece& part, const Row& row, const Later& later,
                   bool inside, Report& report) {
    constexpr double least_mm = 3, share = 0.35, passes = 1.5;
    const double mm = row.work->unit_mm;
    double end = 0;
    for (const Leg* leg : row.turns) end = std::min(end, leg->to.z_mm);
    for (const auto& [work, leg] : later.cuts) {
        if (!cuts_along(*leg) || leads_in(*work, *leg) || leg->dz() > 0) continue;
        const auto start = x_at(*leg, std::min(leg->from.z_mm, 0.0));
        const auto last = x_at(row.last(), std::min(leg->from.z_mm, 0.0));
        if (!start || !last || std::abs(*start - *last) > row.step()) continue; // Not over these passes
        const double missing = end - leg->to.z_mm;
        if (missing * mm < least_mm || missing < share * -leg->dz()) return false;
        const double x = x_at(*leg, end).value_or(leg->to.x_radius_mm),
                     deep = inside ? std::max(x, leg->to.x_radius_mm) - row.turns.front()->from.x_radius_mm
                                   : row.turns.front()->from.x_radius_mm - std::min(x, leg->to.x_radius_mm);
        if (deep < passes * row.step()) return false;
        for (const Work* other : part.works)
            for (const Leg& cut : other->legs) {
                if (&cut == leg) break;
                const bool takes = cut.cuts() &&
                                   (!cut.known || cut.in_contour || cut.of_cycle ||
                                    cut.to.z_mm < leg->to.z_mm + missing / 2) &&
                                   cut.run_at != row.last().run_at && other->where == row.work->where;
                if (takes) return false;
            }
        report.at(row.place())
            .message(said("The passes that are made here turn by turn end at {}, and the cut behind them "
                          "goes on to {}, where nothing has been roughed: it takes up to {} on diameter at "
                          "once. Is a number, a formula or a comparison wrong?",
                          context.z(std::round(end * 1000) / 1000), context.z(leg->to.z_mm), diameters(deep)))
            .related(context.place(*work, *leg), said("the finishing cut"));
        return true;
    }
    return false;
}

void look_along(const WorksContext& context, const Workpiece& part, const Row& row, Report& report) {
    const bool inside = row.work->where == Work::Where::inside;
    const Later later = later_than(part, row);
    if (!later.known) return;
    if (look_at_lengths(context, part, row, later, inside, report) ||
        look_at_short(context, part, row, later, inside, report))
        return;
    const Compared found = compare(row, later, inside);
    if (found.leg && !is_in_row(later, *found.leg)) look_at_sizes(context, row, found, report);
}

/// Faces one behind the other, and the face that is cut behind them.
void look_at_faces(const WorksContext& context, const Workpiece& part, const Row& row, Report& report) {
    const Later later = later_than(part, row);
    const Leg& last = row.last();
    const double mm = row.work->unit_mm, way = std::abs(last.dx());
    if (!later.known || row.turns.front()->to.z_mm < last.to.z_mm) return;
    for (const auto& [work, leg] : later.cuts) {
        if (cuts_along(*leg) && leg->from.z_mm < last.to.z_mm && leg->to.z_mm < last.to.z_mm) return;
        if (!faces_in(*leg)) continue;
        const double over = std::min(leg->from.x_radius_mm, last.from.x_radius_mm) -
                            std::max(leg->to.x_radius_mm, last.to.x_radius_mm);
        if (over < 0.7 * way) return;
        if (is_in_row(later, *leg)) return;
        const double left = last.to.z_mm - leg->to.z_mm;
        if (left * mm < -2 * least_over_mm)
            report.at(told_at(context, row, nullptr))
                .message(said(
                    "The last face that is cut here turn by turn stands at {}, and the one behind it at {}: "
                    "{} of the part is gone before. Is it a pass too many, or a slip in the condition?",
                    context.z(std::round(last.to.z_mm * 1000) / 1000), context.z(leg->to.z_mm),
                    rounded(-left)))
                .related(context.place(*work, *leg), said("the finishing cut"));
        else if (left > more_than_pass * row.step() && left * mm > least_left_mm)
            report.at(told_at(context, row, nullptr))
                .message(said(
                    "The faces that are cut here turn by turn take {} each, and behind the last one, at {}, "
                    "the next takes {} at once. Is it a pass too few, or a slip in the condition?",
                    rounded(row.step()), context.z(std::round(last.to.z_mm * 1000) / 1000), rounded(left)))
                .related(context.place(*work, *leg), said("the finishing cut"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || plunges_into_face(*work)) continue;
            if (work->where != Work::Where::inside && work->where != Work::Where::outside) continue;
            for (const Row& row : rows_of(*work)) {
                // Faces in front of the part make no blade of it.
                if (is_blade(*work) && !(row.faces && row.turns.front()->to.z_mm > 0)) continue;
                row.faces ? look_at_faces(context, part, row, report)
                          : look_along(context, part, row, report);
            }
        }
}

} // namespace

extern const Check check{
    .id = "loop_unlike_finish",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Loop whose passes do not lead to the finish",
    .documentation =
        "The passes of a loop, or of a program that is called again and again, are followed turn by turn and "
        "held to "
        "the cut that follows them. The last pass lies deeper than that cut: a pass too many. The cut takes "
        "more at "
        "once than each of the passes: one too few. They slope otherwise, go on past where it ends, or end "
        "long "
        "before: a slip in a formula, a number or a comparison. Faces are compared the same way along Z.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X62. Z2.
#101=57.
WHILE[#101GE45.5]DO1
;^^^^^^^^^^^^^^^^^^^ warning: loop_unlike_finish
G00 X#101
G01 Z-44.8 F0.3
U1.
G00 Z2.
#101=#101-3.
END1
G00 X150. Z100.
T0303
G97 S1200 M03
G00 X36. Z2.
G01 Z0 F0.2
X40. Z-2. F0.12
Z-45.
X62.
G00 X150. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X1.9 Z.1
#1=1.65
N7 G00 X#1
G01 Z-2.245 F.012
X[#1+.05]
G00 Z.1
#1=#1-.125
IF[#1GE.9]GOTO7
;^^^^^^^^^^^^^^ warning: loop_unlike_finish
G00 X8. Z4.
T0303
G97 S1200 M03
G00 X.85 Z.1
G42 G01 Z0. F.01
X1. Z-.075 F.005
Z-2.25
X1.9
G40 G00 X8. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S900 M03
G00 X28. Z2.
#1=33.
WHILE[#1LE51.5]DO1
G00 X#1
G01 Z-39.7 F0.2
;^^^^^^^^^^^^^^ warning: loop_unlike_finish
G00 X[#1-1.]
Z2.
#1=#1+3.
END1
G00 X53.
G01 Z0 F0.2
X52. Z-.5 F0.1
Z-38.
X31.
G00 Z2.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X2.4 Z.1
#1=2.15
WHILE[#1GE1.62]DO1
#2=[2.25-#1]/8.
IF[#2GT3.2]THEN#2=3.2
G00 X#1
G01 Z0. F.012
X[#1+#2/8.] Z-#2
;^^^^^^^^^^^^^^^ warning: loop_unlike_finish
G00 X2.4
Z.1
#1=#1-.1
END1
G00 X8. Z4.
T0303
G97 S900 M03
G00 X1.6 Z.1
G42 G01 Z0. F.006
X2. Z-3.2
X2.4
G40 G00 X8. Z4.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X114. Z7.
#5=4.
N10 G00 Z#5
G01 X30. F0.25
G00 Z[#5+1.]
X114.
#5=#5-1.2
IF[#5GE1.3]GOTO10
;^^^^^^^^^^^^^^^^ warning: loop_unlike_finish
G00 Z0
G01 X30. F0.15
G00 Z5.
M30
)"},
            // One too many in a taper.
            {System::B, R"(
G21 G90 G95
T0202
G97 S900 M03
G00 X31. Z3.
#1=34.
WHILE[#1LE40.6]DO1
;^^^^^^^^^^^^^^^^^ warning: loop_unlike_finish
#2=[#1-32.]*7.5
IF[#2GT46.]THEN#2=46.
G00 X#1
G01 Z0 F0.3
X[#1-#2/7.5] Z-#2 F0.2
G00 X31.
Z3.
#1=#1+1.1
END1
G41 G01 X40.4 Z3. F0.5
X33.867 Z-46. F0.08
G40 G00 X31.
Z3.
M30
)"},
            // To the finish with what it needs, down to another pass, beside a taper, and by a program called
            // again.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X62. Z2.
#101=57.
WHILE[#101GE40.5]DO1
G00 X#101
G01 Z-44.8 F0.3
U1.
G00 Z2.
#101=#101-3.
END1
G00 X40.6
G01 Z-44.8 F0.3
U1.
G00 X150. Z100.
T0303
G97 S1200 M03
G00 X36. Z2.
G01 Z0 F0.2
X40. Z-2. F0.12
Z-45.
X62.
G00 X150. Z100.
M30
)"},
            {System::B, R"(
G21 G90 G95
#100=.8
#101=28.
T0101
G97 S900 M03
G00 X30. Z2.
N10 #101=#101-[2*#100]
IF [#101 LT 24.6] GOTO 20
G00 X#101
G01 Z-81. F0.25
X[#101+2.]
G00 Z2.
GOTO 10
N20 G00 X30. Z2.
X19.
G01 X20.2 Z0 F0.2
X24.3 Z-81.
X30.
G00 X100. Z80.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S900 M03
G00 X28. Z2.
#1=33.
WHILE[#1LE51.5]DO1
G00 X#1
G01 Z-37.9 F0.2
G00 X[#1-1.]
Z2.
#1=#1+3.
END1
G00 X53.
G01 Z0 F0.2
X52. Z-.5 F0.1
Z-38.
X31.
G00 Z2.
M30
)"},
            {System::A, R"(
O0001
G20 G99
T0101
G97 S900 M03
G00 X2. Z.1
M98 P30002
G00 X1.6
G01 Z-1. F.005
X2.
G00 X8. Z4.
M30
O0002
G00 U-.1
G01 Z-.995 F.01
G00 U.1
Z.1
U-.1
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::loop_unlike_finish
