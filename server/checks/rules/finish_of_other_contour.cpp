// A finishing cycle whose P or Q is not that of the roughing cycle.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace turnwright::checks::rules::finish_of_other_contour {

namespace {

struct Labels {
    int first, last;
    const ToolOfSpan* tool;
    const Act* act;
};
std::optional<Labels> labels_of(const ToolOfSpan& tool, const Act& act) {
    const ActWord *p = tool.work->word(act, 'P'), *q = tool.work->word(act, 'Q');
    if (act.motion != MotionKind::contour_cycle || !p || !q) return std::nullopt;
    return Labels{machine::whole_number(p->number), machine::whole_number(q->number), &tool, &act};
}

bool is_same(const Labels& one, const Labels& other) {
    return one.first == other.first && one.last == other.last;
}

/// The block behind the cycle has this number.
bool begins_behind(const Labels& rough, int number) {
    const Act* end = rough.tool->work->acts.data() + rough.tool->work->acts.size();
    return rough.act + 1 < end && rough.act[1].number == number;
}

/// Behind the last block of the roughed contour only moves of a contour come, up to this number: no tool, no
/// M code, no way home.
bool goes_on_to(const Labels& rough, int number) {
    constexpr std::size_t most_blocks = 12;
    const auto& acts = rough.tool->work->acts;
    const Act* end = acts.data() + acts.size();
    const Act* act = rough.act + 1;
    while (act < end && act->number != rough.last) ++act;
    std::size_t blocks = 0;
    for (act += act < end; act < end && blocks < most_blocks; ++act, ++blocks) {
        // No block of the contour has been run when they are read: a rapid of before may be in force.
        const bool goes = act->motion == MotionKind::feed || act->motion == MotionKind::arc ||
                          (act->motion == MotionKind::rapid && !act->states(Group::motion));
        if (!goes || !act->moves() || act->words > 0 || act->calls_tool) return false;
        if (act->number == number) return true;
    }
    return false;
}

/// The contour that the tool has roughed just before, and that nothing finishes, where the finish runs one
/// that another tool has roughed; else nullptr.
const Labels* left_unfinished(const Labels& finish, const std::vector<Labels>& roughed,
                              const std::vector<Labels>& finished) {
    const Labels* own = nullptr;
    for (const Labels& rough : roughed) {
        if (rough.tool == finish.tool && rough.act < finish.act) own = &rough;
        if (rough.tool == finish.tool && is_same(rough, finish)) return nullptr;
    }
    const bool is_finished = own && std::any_of(finished.begin(), finished.end(),
                                                [&](const Labels& other) { return is_same(other, *own); });
    return is_finished ? nullptr : own;
}

bool is_before(const Labels& one, const Labels& other) {
    return one.tool != other.tool ? one.tool < other.tool : one.act < other.act;
}

/// Of the last contour roughed before a finish, where that is none of the finish's own, nothing finishes it,
/// and the finish's is finished elsewhere, too: the number is that of another side.
const Labels* passed_by(const Labels& finish, const std::vector<Labels>& roughed,
                        const std::vector<Labels>& finished) {
    const Labels* last = nullptr;
    for (const Labels& rough : roughed)
        if (is_before(rough, finish)) last = &rough;
    if (!last || last->first == finish.first || last->last == finish.last) return nullptr;
    const ActWord *u = last->tool->work->word(*last->act, 'U'), *w = last->tool->work->word(*last->act, 'W');
    if (!(u && u->number != 0) && !(w && w->number != 0)) return nullptr; // Roughed to size
    bool elsewhere = false;
    for (const Labels& other : finished) {
        if (is_same(other, *last)) return nullptr;
        elsewhere = elsewhere || (other.act != finish.act && is_same(other, finish));
    }
    return elsewhere ? last : nullptr;
}

void tell_passed_by(const FileContext& context, const Labels& finish, const Labels& own, Report& report) {
    report.at_letter(finish.tool->place(*finish.act), 'P')
        .message(said(
            "{0} P{1} Q{2} stands in the program twice, and nothing finishes P{3} Q{4}, which was "
            "roughed just above: the tool runs the other contour here, through what stands, and the "
            "allowance of this one stays. Write P{3} Q{4}.",
            code(context.settings(), Meaning::finish_cycle), finish.first, finish.last, own.first, own.last))
        .related(own.tool->place(*own.act), said("roughed here"));
}

/// A contour is roughed twice, and behind the second cycle stands another one, which is finished later and
/// roughed nowhere.
void tell_roughed_twice(const FileContext& context, const std::vector<Labels>& roughed,
                        const std::vector<Labels>& finished, Report& report) {
    for (const Labels& rough : roughed) {
        const bool again = std::any_of(roughed.begin(), roughed.end(), [&](const Labels& other) {
            return is_same(other, rough) && is_before(other, rough);
        });
        if (!again) continue;
        const Act* end = rough.tool->work->acts.data() + rough.tool->work->acts.size();
        const int behind = rough.act + 1 < end ? rough.act[1].number : -1;
        if (behind < 0 || behind == rough.first) continue;
        const auto starts_there = [&](const Labels& other) { return other.first == behind; };
        const auto finish = std::find_if(finished.begin(), finished.end(), starts_there);
        if (finish == finished.end() || std::any_of(roughed.begin(), roughed.end(), starts_there)) continue;
        report.at_letter(rough.tool->place(*rough.act), 'P')
            .message(said(
                "{0} P{1} Q{2} roughs the contour of another place again, and the one that stands "
                "behind it, from N{3}, is finished with its whole metal on: nothing roughs it. Write "
                "P{3} Q{4}.",
                code(context.settings(), rough.act->meaning), rough.first, rough.last, behind, finish->last))
            .related(finish->tool->place(*finish->act), said("finished here"));
    }
}

void tell_left_unfinished(const FileContext& context, const Labels& finish, const Labels& own,
                          Report& report) {
    report.at_letter(finish.tool->place(*finish.act), 'P')
        .message(said("{0} P{1} Q{2} runs a contour that another tool has roughed, and nothing finishes "
                      "P{3} Q{4}, which this tool has roughed just above: the tool goes where its own "
                      "cut is not. Write P{3} Q{4}.",
                      code(context.settings(), Meaning::finish_cycle), finish.first, finish.last, own.first,
                      own.last))
        .related(own.tool->place(*own.act), said("roughed here"));
}

/// The last block of the contour behind its roughing cycle, where it switches nose compensation on, which
/// only the finish uses; nullptr: it does not.
const Act* end_of_compensated(const Labels& rough) {
    const auto& acts = rough.tool->work->acts;
    bool compensated = false;
    for (const Act* act = rough.act + 1; act < acts.data() + acts.size(); ++act) {
        compensated = compensated || (act->in_contour && act->states(Group::nose_compensation));
        if (act->number == rough.last) return compensated ? act : nullptr;
    }
    return nullptr;
}

const Act* end_of(const Labels& rough) {
    const auto& acts = rough.tool->work->acts;
    for (const Act* act = rough.act + 1; act < acts.data() + acts.size(); ++act)
        if (act->number == rough.last) return act;
    return nullptr;
}

/// From the last block that a roughing cycle names its contour goes on cutting, move by move, to the block
/// with this number, and no farther.
bool ends_in_contour(const Labels& rough, int number) {
    const Act* at = end_of(rough);
    if (!at) return false;
    const auto& acts = rough.tool->work->acts;
    const Act* end = acts.data() + acts.size();
    for (++at; at < end; ++at) {
        // Behind a cycle that left it out it runs under what was in force before that.
        const bool draws = at->motion == MotionKind::feed || at->motion == MotionKind::arc ||
                           (at->motion == MotionKind::rapid && !at->states(Group::motion));
        if (!draws || !at->moves()) return false;
        if (at->number != number) continue;
        return at + 1 == end || (at[1].motion != MotionKind::feed && at[1].motion != MotionKind::arc);
    }
    return false;
}

/// A later tool cuts its thread on one of the contour's diameters.
bool is_threaded(std::span<const ToolOfSpan> tools, const Labels& rough) {
    constexpr float near = 0.06F; // Of the diameter: a thread's height and the allowance
    std::vector<float> diameters;
    for (const Act& act : rough.tool->work->acts)
        if (act.in_contour && act.moves_x && known(act.to_x)) diameters.push_back(act.to_x);
    bool behind = false;
    for (const ToolOfSpan& tool : tools) {
        for (const Act& act : tool.work->acts)
            if (behind && act.threads() && known(act.to_x) &&
                std::any_of(diameters.begin(), diameters.end(),
                            [&](float x) { return std::abs(x - act.to_x) < near * act.to_x; }))
                return true;
        behind = behind || tool.work == rough.tool->work;
    }
    return false;
}

/// What the roughing has left is taken by moves of their own.
bool is_cut_otherwise(std::span<const ToolOfSpan> tools, const Labels& rough) {
    std::vector<float> diameters;
    for (const Act& act : rough.tool->work->acts)
        if (act.in_contour && act.moves_x && known(act.to_x)) diameters.push_back(act.to_x);
    bool behind = false;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            behind = behind || &act == rough.act;
            if (!behind || act.in_contour || !act.cuts()) continue;
            if (act.moves_z && act.to_x == act.from_x &&
                std::find(diameters.begin(), diameters.end(), act.to_x) != diameters.end())
                return true;
        }
    return false;
}

/// Roughed with an allowance, and never finished.
void tell_never_finished(const FileContext& context, std::span<const ToolOfSpan> tools,
                         const std::vector<Labels>& roughed, const std::vector<Labels>& finished,
                         Report& report) {
    for (const Labels& rough : roughed) {
        const ActWord *u = rough.tool->work->word(*rough.act, 'U'),
                      *w = rough.tool->work->word(*rough.act, 'W');
        const bool leaves = (u && u->number != 0) || (w && w->number != 0);
        const Act* end = leaves && rough.tool->work->whole ? end_of_compensated(rough) : nullptr;
        const bool compensated = end != nullptr;
        if (!end && leaves && rough.tool->work->whole && is_threaded(tools, rough)) end = end_of(rough);
        if (!end || is_cut_otherwise(tools, rough)) continue;
        const auto shares = [&](const Labels& other) {
            return &other != &rough && (other.first == rough.first || other.last == rough.last);
        };
        if (std::any_of(finished.begin(), finished.end(), shares) ||
            std::any_of(roughed.begin(), roughed.end(), shares))
            continue;
        const bool calls = std::any_of(tools.begin(), tools.end(), [](const ToolOfSpan& tool) {
            return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                               [](const Act& act) { return act.calls_program; });
        });
        if (calls) continue;
        if (!compensated) {
            report.at(rough.tool->place(*end))
                .message(
                    said("{0} has left an allowance on this contour, and a thread is cut on it, but nothing "
                         "finishes it: no {1} P{2} Q{3} stands in the program, the first pass takes the "
                         "allowance, too, and the crests come out of size. Is that block lost?",
                         code(context.settings(), rough.act->meaning),
                         code(context.settings(), Meaning::finish_cycle), rough.first, rough.last))
                .related(rough.tool->place(*rough.act), said("roughed here"));
            continue;
        }
        report.at(rough.tool->place(*end))
            .message(
                said("{0} has left an allowance on this contour, which switches nose compensation on for "
                     "its finish, and nothing finishes it: no {1} P{2} Q{3} stands in the program, and the "
                     "allowance stays on the part. Is that block lost?",
                     code(context.settings(), rough.act->meaning),
                     code(context.settings(), Meaning::finish_cycle), rough.first, rough.last))
            .related(rough.tool->place(*rough.act), said("roughed here"));
    }
}

void look_at(const FileContext& context, Report& report, std::span<const ToolOfSpan> tools) {
    std::vector<Labels> roughed, finished;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if (auto labels = labels_of(tool, act))
                (act.meaning == Meaning::finish_cycle ? finished : roughed).push_back(*labels);
    tell_never_finished(context, tools, roughed, finished, report);
    tell_roughed_twice(context, roughed, finished, report);
    for (const Labels& finish : finished) {
        const Labels* half = nullptr;
        bool whole = false, own_block = false;
        for (const Labels& rough : roughed) {
            whole = whole || is_same(rough, finish);
            if (rough.first == finish.first || rough.last == finish.last) half = &rough;
            if (rough.act->number >= 0 && rough.act->number == finish.first) {
                own_block = true;
                half = &rough;
            }
        }
        // None that names it, but one that stands right above it and names another.
        for (const Labels& rough : roughed)
            if (!whole && !half && begins_behind(rough, finish.first) && !begins_behind(rough, rough.first))
                half = &rough;
        if (whole) {
            if (const Labels* own = left_unfinished(finish, roughed, finished))
                tell_left_unfinished(context, finish, *own, report);
            else if (const Labels* last = passed_by(finish, roughed, finished))
                tell_passed_by(context, finish, *last, report);
        }
        if (whole || !half) continue;
        // A label that stands nowhere is told as that.
        if (context.labels(finish.first).empty() || context.labels(finish.last).empty()) continue;
        const bool wrong_first = half->first != finish.first;
        // Behind the roughing cycle its contour begins: then its own label is the wrong one.
        if (wrong_first && !own_block && begins_behind(*half, finish.first) &&
            !begins_behind(*half, half->first)) {
            report.at_letter(half->tool->place(*half->act), 'P')
                .message(
                    said("The contour begins with N{0} right behind this cycle, and {1} P{0} runs it from "
                         "there: with P{2} the blocks in front of N{2} are never roughed, and the "
                         "finishing tool meets them whole. Write P{0}.",
                         finish.first, code(context.settings(), Meaning::finish_cycle), half->first))
                .related(finish.tool->place(*finish.act), said("finished here"));
            continue;
        }
        if (!wrong_first && goes_on_to(*half, finish.last)) {
            report.at_letter(half->tool->place(*half->act), 'Q')
                .message(said(
                    "The contour goes on behind N{0}, and {1} P{2} Q{3} finishes it up to N{3}: with Q{0} "
                    "the "
                    "last of it is never roughed, and the finishing tool meets the whole metal there. Write "
                    "Q{3}.",
                    half->last, code(context.settings(), Meaning::finish_cycle), finish.first, finish.last))
                .related(finish.tool->place(*finish.act), said("finished here"));
            continue;
        }
        const std::string rough_code = code(context.settings(), half->act->meaning);
        if (!wrong_first && ends_in_contour(*half, finish.last)) {
            report.at_letter(half->tool->place(*half->act), 'Q')
                .message(said(
                    "The contour goes on behind N{0}, and {1} P{2} Q{3} runs it to its end: with Q{0} what "
                    "lies behind is never roughed, and the finishing tool meets it whole. Write Q{3}.",
                    half->last, code(context.settings(), Meaning::finish_cycle), finish.first, finish.last))
                .related(finish.tool->place(*finish.act), said("finished here"));
            continue;
        }
        report.at_letter(finish.tool->place(*finish.act), wrong_first ? 'P' : 'Q')
            .message(said(
                "{} P{} Q{} runs another contour than {} P{} Q{} has roughed{}: the tool goes into what is "
                "not "
                "roughed, or through blocks that are no contour. Write {}{}.",
                code(context.settings(), Meaning::finish_cycle), finish.first, finish.last, rough_code,
                half->first, half->last,
                own_block ? said(", and N{} is the {} itself", finish.first, rough_code) : "",
                wrong_first ? 'P' : 'Q', wrong_first ? half->first : half->last))
            .related(half->tool->place(*half->act), said("roughed here"));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, report, program); });
}

} // namespace

extern const Check check{
    .id = "finish_of_other_contour",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Finishing cycle with another P or Q than its roughing",
    .documentation =
        "The finishing cycle names a contour that shares one of its two labels with a roughing "
        "cycle, and not the "
        "other: it starts in another contour, at the roughing cycle itself, or runs past the "
        "end of the contour "
        "into the way home, the spindle stop and the tool call. Or it names a contour "
        "that another tool has roughed, while the one that its own tool has roughed just above "
        "is never finished: the numbers were left as they stood in a copy. Or a contour is finished twice, "
        "or "
        "roughed twice, and the one of this place never. Or a contour that switches "
        "nose compensation on is roughed with an allowance, and nothing finishes it. "
        "A contour that is roughed with an allowance, carries a thread and is never finished is told, "
        "too."
        " Where the contour goes on behind the last block that roughing names, and the finish runs it to its "
        "end, the roughing cycle is told.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X114. Z2.
G72 W1.5 R0.5
G72 P12 Q16 U0.4 W0.15 F0.28
;       ^^^ warning: finish_of_other_contour
N12 G00 Z-11.
N13 G01 X108. Z-8. F0.12
N15 X90. Z-1.
N16 X88. Z0
N17 X-1.6
G00 X250. Z150.
T0303
G00 X114. Z2.
G70 P12 Q17
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X56. Z2.
G71 P100 Q200 U0.6 W0.1 D2500 F0.35
N100 G00 X25.8
N110 G01 Z-35. F.1
N200 X56.
N210 G00 X250. Z150.
N220 M05
T0303
G00 X56. Z2.
G70 P100 Q220
;        ^^^^ warning: finish_of_other_contour
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G00 X146. Z3.
G72 P30 Q50 U.5 W.1 F.3
N30 G00 Z-12.
G01 X94.
N50 Z3.
T0707
G00 X58. Z2.
G71 P60 Q80 U-.5 W.1 F.25
N60 G00 X76.
G01 Z-22.
N80 X58.
G70 P30 Q80
;   ^^^ warning: finish_of_other_contour
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G00 X47. Z2.
N90 G73 P100 Q200 U.5 W.1 F.3
N100 G00 X19.9
G01 Z-32.
N200 X47.
G72 P90 Q200
;   ^^^ warning: finish_of_other_contour
M30
)"},
            {System::A, R"(
G21 G99
T0101
G00 X56. Z2.
G71 U2. R.5
G71 P100 Q200 U0.6 W0.1 F0.35
N100 G00 X25.8
G01 Z-35. F.1
N200 X56.
G70 P100 Q200
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G00 X56. Z2.
G70 P100 Q200
N100 G00 X25.8
G01 Z-35. F.1
N200 X56.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X6.2 Z.1
G72 W.05 R.03
G72 P100 Q110 U.02 W.005 F.009
N100 G00 Z-.1925
G01 X5.94 Z-.0625 F.005
N110 X1.9 Z0
G70 P100 Q110
G28 U0 W0
T0404
G00 X1.98 Z.1
G71 U.08 R.02
G71 P200 Q210 U-.02 W.004 F.01
N200 G00 X2.37
G01 Z-.375 F.005
N210 X1.98
G70 P100 Q110
;   ^^^^ warning: finish_of_other_contour
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G73 U2. R.5
G73 P10 Q20 U.4 W.1 F.3
N10 G00 X30.
N20 G01 Z-20. F.15
T0404
G00 X20. Z1.
G73 U1. R.5
G73 P30 Q40 U-.4 W.1 F.2
N30 G00 X24.
N40 G01 Z-20. F.1
T0505
G00 X52. Z1.
G72 P10 Q20
T0606
G00 X20. Z1.
G72 P30 Q40
M30
)"},
            // The roughing cycle begins in the middle of the contour.
            {System::B, R"(
G21 G90 G95
T0404
G96 S170 M03
G00 X48. Z2.
G71 U1.5 R0.5
G71 P280 Q320 U-0.4 W0.1 F0.22
;   ^^^^ warning: finish_of_other_contour
N250 G00 X86.
N260 G01 X80. Z-1. F0.12
N270 Z-12.
N280 X62.
N290 X60. Z-13.
N300 Z-36.5
N320 X48.
G70 P250 Q320
G00 Z50.
M30
)"},
            // The finishing cycle is lost; the finish is cut by moves of its own.
            {System::A, R"(
G20 G99
T0404
G97 S900 M03
G00 X1.6 Z.1
G71 U.06 R.03
G71 P100 Q170 U-.02 W.003 F.01
N100 G00 G41 X2.8
N110 G01 X2.5 Z-.05 F.006
N120 Z-.69
N140 X2.06
N160 Z-1.65
N170 G40 X1.6
;^^^^^^^^^^^^^ warning: finish_of_other_contour
G00 Z.5
G28 U0 W0
T0606
G97 S350 M03
G00 X2.3 Z.1
Z-.593
G01 X2.65 F.002
X2.3
G00 Z.5
G28 U0 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S900 M03
G00 X66. Z2.
G73 U2. R1.
G73 P100 Q120 U.4 W.1 F.25
N100 G00 G42 X40.
N110 G01 Z-20. F.1
N120 G40 X66.
G00 X100. Z100.
T0606
G97 S900 M03
G00 X40. Z2.
G01 Z-20. F.1
X66.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
G54
T0101
G96 S180 M03
G00 X56. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.6 W0.1 F0.35
N10 G00 X25.8
G01 Z-35. F.1
N20 X56.
T0303
G00 X56. Z2.
G70 P10 Q20
G55
T0505
G00 X56. Z2.
G71 U2. R0.5
G71 P30 Q40 U0.6 W0.1 F0.35
N30 G00 X30.
G01 Z-8. F.1
N40 X56.
T0707
G00 X56. Z2.
G70 P10 Q20
;   ^^^ warning: finish_of_other_contour
M30
)"},
            {System::C, R"(
G71 G90 G95
G54
T0101
G96 S180 M03
G00 X56. Z2.
G73 U2. R0.5
G73 P10 Q20 U0.6 W0.1 F0.35
N10 G00 X25.8
G01 Z-35. F.1
N20 X56.
T0303
G00 X56. Z2.
G72 P10 Q20
G55
T0505
G00 X56. Z2.
G73 U2. R0.5
G73 P10 Q20 U0.6 W0.1 F0.35
;   ^^^ warning: finish_of_other_contour
N30 G00 X30.
G01 Z-8. F.1
N40 X56.
T0707
G00 X56. Z2.
G72 P30 Q40
M30
)"},
            // The same contour on both sides of the part, one stated and called again.
            {System::A, R"(
G21 G99
G54
T0101
G96 S180 M03
G00 X56. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.6 W0.1 F0.35
N10 G00 X25.8
G01 Z-35. F.1
N20 X56.
T0303
G00 X56. Z2.
G70 P10 Q20
G55
T0101
G00 X56. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.6 W0.1 F0.35
T0303
G00 X56. Z2.
G70 P10 Q20
M30
)"},
            // Under a thread; and finished.
            {System::C, R"(
G71 G90 G95
T0303
G97 S900 M03
G00 X24. Z1.
G73 U1.5 R0.4
G73 P320 Q350 U-0.5 W0.1 F0.2
N320 G00 X45.
N330 G01 X40.4 Z-1.3 F0.1
N340 Z-30.
N350 X24.
;^^^^^^^^ warning: finish_of_other_contour
G00 Z20.
X100.
T0404
G97 S500 M03
G00 X38. Z5.
G21 X40.8 Z-32. F1.5
X41.1
X41.35
G00 Z20.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.6 Z.1
G71 U.08 R.02
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X.65
G01 X.75 Z-.05
Z-1.
N20 X1.6
;^^^^^^ warning: finish_of_other_contour
G00 X4. Z4.
T0606
G97 S600 M03
G00 X.9 Z.2
G92 X.73 Z-.8 F.0625
X.714
X.702
G00 X4. Z4.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.6 Z.1
G71 U.08 R.02
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X.65
G01 X.75 Z-.05
Z-1.
N20 X1.6
G70 P10 Q20
G00 X4. Z4.
T0606
G97 S600 M03
G00 X.9 Z.2
G92 X.73 Z-.8 F.0625
X.714
X.702
G00 X4. Z4.
M30
)"},
            // Roughed by the numbers of the first side; and by its own.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X72. Z2.
G71 U2. R0.5
G71 P100 Q110 U0.5 W0.1 F0.28
N100 G00 X62.
G01 X64. Z-1. F0.15
N110 Z-32.
G70 P100 Q110
G00 X100. Z100.
M00
T0101
G00 X72. Z2.
G71 U2. R0.5
G71 P100 Q110 U0.5 W0.1 F0.28
;   ^^^^ warning: finish_of_other_contour
N300 G00 X43.8
G01 X49.8 Z-1. F0.15
Z-22.
N310 X72.
G70 P300 Q310
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X72. Z2.
G71 U2. R0.5
G71 P100 Q110 U0.5 W0.1 F0.28
N100 G00 X62.
G01 X64. Z-1. F0.15
N110 Z-32.
G70 P100 Q110
G00 X100. Z100.
M00
T0101
G00 X72. Z2.
G71 U2. R0.5
G71 P300 Q310 U0.5 W0.1 F0.28
N300 G00 X43.8
G01 X49.8 Z-1. F0.15
Z-22.
N310 X72.
G70 P300 Q310
G00 X100. Z100.
M30
)"},
            // The roughing leaves the end of the contour out.
            {System::C, R"(
N1 G71 G90 G95
N2 T0101
N3 G97 S900 M03
N4 G00 X54. Z2.
N5 G73 U2. R0.5
N6 G73 P7 Q11 U0.5 W0.1 F0.25
;         ^^^ warning: finish_of_other_contour
N7 G00 X28.
N8 G01 Z0 F0.1
N9 X30. Z-1.
N10 Z-30.
N11 X40. Z-45.
N12 Z-60.
N13 M09
N14 G00 X60. Z50.
N15 T0303
N16 G97 S1200 M03
N17 G00 X54. Z2.
N18 G72 P7 Q12
N19 G00 X60. Z50.
N20 M30
)"},
            {System::C, R"(
N1 G71 G90 G95
N2 T0101
N3 G97 S900 M03
N4 G00 X54. Z2.
N5 G73 U2. R0.5
N6 G73 P7 Q12 U0.5 W0.1 F0.25
N7 G00 X28.
N8 G01 Z0 F0.1
N9 X30. Z-1.
N10 Z-30.
N11 X40. Z-45.
N12 Z-60.
N13 M09
N14 G00 X60. Z50.
N15 T0303
N16 G97 S1200 M03
N17 G00 X54. Z2.
N18 G72 P7 Q12
N19 G00 X60. Z50.
N20 M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::finish_of_other_contour
