// The same cut at several angles, and at one of them another place, or a block less.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::angle_cut_unlike_rest {

namespace {

struct Move {
    const Act* act = nullptr;
    /// The same place, whether at rapid or at feed: a retract that is lost takes its G00 along.
    bool operator==(const Move& other) const {
        return act->moves_x == other.act->moves_x && act->moves_z == other.act->moves_z &&
               (!act->moves_x || act->to_x == other.act->to_x) &&
               (!act->moves_z || act->to_z == other.act->to_z);
    }
};
/// From one turn of the part to the next.
struct Group {
    const Act* turned = nullptr;
    double angle = 0;
    std::vector<Move> moves;
};

/// nullopt: what the tool does is no row of cuts at angles.
std::optional<std::vector<Group>> groups_of(const ToolOfSpan& tool) {
    std::vector<Group> groups;
    bool by_letters = false;
    std::size_t turned_at_feed = 0; // A retract that is lost takes its G00 along
    for (const Act& act : tool.work->acts) {
        if (is_return(act.motion) && !groups.empty()) break;
        if (act.polar || act.cylinder || act.calls_program || act.in_contour || act.deleted ||
            act.threads() || act.motion == MotionKind::drill_cycle || tool.work->word(act, 'H') ||
            tool.work->word(act, 'Y') || act.states(codes::Group::distance))
            by_letters = by_letters || !groups.empty();
        if (by_letters) return std::nullopt;
        const ActWord* c = tool.work->word(act, 'C');
        if (c && !is_return(act.motion)) {
            if (act.moves() || (act.cuts() && ++turned_at_feed > 1)) return std::nullopt;
            if (!groups.empty() && groups.back().moves.empty()) groups.pop_back();
            groups.push_back({&act, c->number, {}});
            continue;
        }
        if (groups.empty() || !act.moves()) continue;
        if (act.by_u || act.by_w || act.incremental) return std::nullopt;
        groups.back().moves.push_back({&act});
    }
    return groups;
}

/// The first places of the last one, behind which the way home stands.
bool begins_with(const std::vector<Move>& moves, const std::vector<Move>& row) {
    return moves.size() >= row.size() && std::equal(row.begin(), row.end(), moves.begin());
}

struct Odd {
    std::size_t group = 0;
    const std::vector<Move>* row = nullptr;
    std::size_t alike = 0;
};
std::optional<Odd> odd_of(const std::vector<Group>& groups) {
    for (std::size_t i = 0; i + 1 < groups.size(); ++i) {
        const std::vector<Move>& row = groups[i].moves;
        std::size_t alike = 0, odd = groups.size();
        for (std::size_t k = 0; k < groups.size(); ++k) {
            const bool same =
                k + 1 == groups.size() ? begins_with(groups[k].moves, row) : groups[k].moves == row;
            same ? ++alike : odd = k;
        }
        if (odd < groups.size() && alike + 1 == groups.size()) return Odd{odd, &row, alike};
    }
    return std::nullopt;
}

std::string place_of(const FileContext& context, const Act& act) {
    std::string text;
    if (act.moves_x) text = "X" + written(static_cast<float>(x_as_written(act.to_x, context.settings())));
    if (act.moves_z) text += (text.empty() ? "Z" : " Z") + written(act.to_z);
    return text;
}

void look_at(const FileContext& context, const ToolOfSpan& tool, Report& report) {
    const auto groups = groups_of(tool);
    if (!groups || groups->size() < 3) return;
    const auto found = odd_of(*groups);
    if (!found) return;
    const Group& odd = (*groups)[found->group];
    const std::vector<Move>& row = *found->row;
    const bool cuts = std::any_of(row.begin(), row.end(), [](const Move& move) { return move.act->cuts(); });
    if (!cuts) return;
    const bool last = found->group + 1 == groups->size();
    std::size_t first = 0;
    while (first < row.size() && first < odd.moves.size() && odd.moves[first] == row[first]) ++first;
    if (first == row.size()) return;
    // A block less
    const std::vector<Move> without(row.begin() + static_cast<std::ptrdiff_t>(first) + 1, row.end());
    const std::vector<Move> rest(
        odd.moves.begin() + static_cast<std::ptrdiff_t>(std::min(first, odd.moves.size())), odd.moves.end());
    const bool lost = last ? begins_with(rest, without) && !without.empty() : rest == without;
    if (lost) {
        const Act& at = first < odd.moves.size() ? *odd.moves[first].act : *odd.turned;
        report.at(tool.place(at))
            .message(said(
                "At C{0} a block is missing that stands at the {1} other angles of this tool, the way to "
                "{2}: what follows goes from where the block before has left the tool. Write {2} here.",
                written(odd.angle), found->alike, place_of(context, *row[first].act)))
            .related(tool.place(*row[first].act), said("the block at another angle"));
        return;
    }
    // Another place
    if (first >= odd.moves.size()) return;
    const Act &here = *odd.moves[first].act, &there = *row[first].act;
    if (here.moves_x != there.moves_x || here.moves_z != there.moves_z) return;
    const std::vector<Move> behind(row.begin() + static_cast<std::ptrdiff_t>(first) + 1, row.end());
    const std::vector<Move> own(odd.moves.begin() + static_cast<std::ptrdiff_t>(first) + 1, odd.moves.end());
    if (last ? !begins_with(own, behind) : own != behind) return;
    report.at_letter(tool.place(here), here.moves_x && here.to_x != there.to_x ? 'X' : 'Z')
        .severity(Severity::information)
        .message(
            said("At C{0} this goes to {2}, and at the {1} other angles of this tool the same block goes to "
                 "{3}: what is cut here comes out unlike the others. Is a digit wrong?",
                 written(odd.angle), found->alike, place_of(context, here), place_of(context, there)))
        .related(tool.place(there), said("the block at another angle"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools)
        if (tool.work->whole) look_at(context, tool, report);
}

} // namespace

extern const Check check{
    .id = "angle_cut_unlike_rest",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Cut at one angle unlike those at the others",
    .documentation = "A tool turns the part by C and goes the same way at each angle (three or more), as for "
                     "flats or slots, "
                     "and at one of them a block is missing, or one block goes to another place (told as "
                     "information: one flat "
                     "may be meant otherwise). Ways by H, U, W or G91, in called programs, in cycles, on the "
                     "cylinder and in "
                     "the plane of X and C are not looked at.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0707
M71
S900 M73
G00 X90. Z20.
C0
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C120.
G01 X50. F200.
Z-9. F150.
Z20.
;^^^ warning: angle_cut_unlike_rest
C240.
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
G28 U0
G28 W0
M75
M72
M30
)"},
            {System::C, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G70 G90 G94 G97
T0707
M71
S900 M73
G00 X3. Z.8
C0
G01 X1.5 F20.
Z-.4 F6.
G00 X3.
Z.8
C90.
G01 X1.5 F20.
Z-.4 F6.
G00 X3.
Z.8
C180.
G01 X1.6 F20.
;   ^^^^ information: angle_cut_unlike_rest
Z-.4 F6.
G00 X3.
Z.8
C270.
G01 X1.5 F20.
Z-.4 F6.
G00 X3.
Z.8
M75
M72
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0707
M71
S900 M73
G00 X90. Z20.
C0
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C120.
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C240.
G01 X50. F200.
Z-9. F150.
G00 X90.
G28 U0
G28 W0
M75
M72
M30
)"},
            // Two of one size, two of another.
            {System::B, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G90 G94 G97
T0707
M71
S900 M73
G00 X90. Z20.
C0
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C90.
G01 X54. F200.
Z-9. F150.
G00 X90.
Z20.
C180.
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C270.
G01 X54. F200.
Z-9. F150.
G00 X90.
Z20.
M75
M72
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::angle_cut_unlike_rest
