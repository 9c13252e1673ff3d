// One hole of a row is drilled with the brake of C open, the others with it closed.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <map>

namespace turnwright::checks::rules::c_not_clamped {

namespace {

using Kind = ClampEvent::Kind;

struct Row {
    const ToolOfSpan* tool = nullptr;
    const MachineCode* code = nullptr; ///< That clamps
    std::size_t clamped = 0, open = 0;
    ClampAct first_open;
};

void tell(const Row& row, Report& report) {
    if (row.clamped < 2 || row.open != 1 || !row.code) return;
    report.at(row.first_open.tool->place(*row.first_open.act))
        .message(said(
            "This hole is drilled with C open, {} others of this tool with {}: the part turns away under the "
            "drill. Write M{:02} before it.",
            row.clamped, with_words(*row.code), row.code->number))
        .related(row.first_open.tool->place(*row.first_open.of(HeldBy::c_brake).act), said("opened here"));
}

/// Of cycles with the code that clamps in their own block one comes without it.
void look_at_cycles(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                    Report& report) {
    struct Cycle {
        const ToolOfSpan* tool;
        const Act* act;
    };
    std::vector<Cycle> clamped;
    std::optional<Cycle> open;
    const MachineCode* clamps = nullptr;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const auto brakes = [&](const ActWord& word) {
                const MachineCode* code = told_code(word, codes);
                return code && code->does == MachineCode::Does::brake_on ? code : nullptr;
            };
            bool beside = false;
            for (const ActWord& word : tool.work->words_of(act)) {
                if (word.letter != 'M') continue;
                beside = true;
                const MachineCode* code = brakes(word);
                if (!code) continue;
                if (!act.drills() && !act.taps()) return; // Clamped by blocks of their own
                clamps = code;
            }
            if (!act.states(Group::drill_cycle) || (!act.drills() && !act.taps())) continue;
            if (beside)
                clamped.push_back({&tool, &act});
            else if (open)
                return;
            else
                open = Cycle{&tool, &act};
        }
    if (!open || !clamps || clamped.size() < 2 || open->act->deleted) return;
    // Other tools may need none, as to spot.
    const auto is_same = [&](const Cycle& cycle) { return cycle.tool == open->tool; };
    if (std::none_of(clamped.begin(), clamped.end(), is_same)) return;
    report.at(open->tool->place(*open->act))
        .message(
            said("This cycle comes without {}, and the {} others of the program have it in their block: the "
                 "part turns away under the drill. Write M{:02} here.",
                 with_words(*clamps), clamped.size(), clamps->number));
}

/// The only code of the builder in a block; -1: none, or several.
int code_beside(const Acts& work, const Act& act) {
    int found = -1;
    for (const ActWord& word : work.words_of(act)) {
        if (!is_of_builder(word)) continue;
        if (found >= 0) return -1;
        found = static_cast<int>(word.number);
    }
    return found;
}

/// From the block that begins a cycle to the one that ends it: one hole comes without the code that all
/// others have beside them, or with another one.
void look_at_row(const ToolOfSpan& tool, std::span<const Act> row, const std::vector<MachineCode>& codes,
                 Report& report) {
    if (row.size() < 2) return;
    std::map<int, std::size_t> counts;
    for (const Act& act : row) {
        if (act.deleted) return;
        ++counts[code_beside(*tool.work, act)];
    }
    if (counts.size() != 2) return;
    const auto ends = std::minmax(*counts.begin(), *counts.rbegin(),
                                  [](const auto& a, const auto& b) { return a.second < b.second; });
    const auto &lone = ends.first, &usual = ends.second;
    const auto does = [&](int number) {
        const MachineCode* code = told_code(ActWord{'M', false, -1, static_cast<double>(number)}, codes);
        return code ? code->does : MachineCode::Does::other;
    };
    const auto is_lone = [&](const Act& act) { return code_beside(*tool.work, act) == lone.first; };
    const auto at = std::find_if(row.begin(), row.end(), is_lone);
    const bool told_open = does(lone.first) == MachineCode::Does::brake_off &&
                           does(usual.first) == MachineCode::Does::brake_on && lone.second == 1;
    // Of two holes the words tell which is right. A code that the first hole alone has holds for all of them.
    const bool in_row = usual.first >= 0 && usual.second >= 2 && lone.second == 1;
    if (!told_open && !in_row) return;
    auto entry = report.at(tool.place(*at));
    if (lone.first < 0)
        entry.message(said("This hole comes without M{:02}, and the {} others of the row have it in their "
                           "block: what it clamps or releases is not as for them. Write M{:02} here.",
                           usual.first, usual.second, usual.first));
    else if (told_open)
        entry.message(said("This hole is drilled with M{:02}, which opens the brake of C, and {} of the row "
                           "with M{:02}, which closes it: the part turns away under the drill. Write M{:02} "
                           "here.",
                           lone.first, usual.second, usual.first, usual.first));
    else
        entry.message(said("This hole has M{:02} in its block, and the {} others of the row M{:02}: what it "
                           "clamps or releases is not as for them. Write M{:02} here.",
                           lone.first, usual.second, usual.first, usual.first));
}

void look_at_rows(const ToolOfSpan& tool, const std::vector<MachineCode>& codes, Report& report) {
    const std::vector<Act>& acts = tool.work->acts;
    for (std::size_t i = 0; i < acts.size(); ++i) {
        const auto drills = [&](const Act& act) {
            return act.motion == machine::MotionKind::drill_cycle && act.turns_part;
        };
        if (!acts[i].states(Group::drill_cycle) || acts[i].motion != machine::MotionKind::drill_cycle)
            continue;
        std::size_t end = i + 1;
        while (end < acts.size() && drills(acts[end]) && !acts[end].states(Group::drill_cycle)) ++end;
        look_at_row(tool, std::span(acts).subspan(i, end - i), codes, report);
        i = end - 1;
    }
}

/// The first cut at each angle of C, of mills and drills that go by their own feed: all but one with the
/// brake closed.
void look_at_cuts(const std::vector<ClampEvent>& events, Report& report) {
    const MachineCode* code = nullptr;
    std::size_t clamped = 0, open = 0;
    const ClampAct* odd = nullptr;
    bool turned = false;
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        if (event.kind == Kind::positions_c && !is_return(at.act->motion)) {
            turned = !at.act->drills() && !at.act->taps();
            continue;
        }
        if (event.kind != Kind::cuts && event.kind != Kind::feeds_stopped) continue;
        const Act& act = *at.act;
        const Held& brake = at.of(HeldBy::c_brake);
        if ((act.drills() || act.taps()) && brake.surely()) ++clamped;
        if (!turned || act.turns_part || act.polar || act.cylinder || act.deleted || act.drills() ||
            act.taps() || !at.of(HeldBy::c_axis).surely())
            continue;
        turned = false;
        if (brake.surely()) {
            code = brake.code;
            ++clamped;
        } else if (!brake.act || brake.code) {
            if (open++ == 0) odd = &at;
        }
    }
    if (clamped < 2 || open != 1 || !code) return;
    report.at(odd->tool->place(*odd->act))
        .message(said(
            "The cut at this angle comes with C open, and those at the {} others of the program with {}: "
            "the part turns away under the cutter. Write M{:02} before it.",
            clamped, with_words(*code), code->number));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) look_at_rows(tool, codes, report);
    for_each_program(tools,
                     [&](std::span<const ToolOfSpan> program) { look_at_cycles(program, codes, report); });
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto&) {
        Row row;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            if (at.tool != row.tool) {
                tell(row, report);
                row = {};
                row.tool = at.tool;
            }
            if (event.kind != Kind::cuts && event.kind != Kind::feeds_stopped) continue;
            if (!at.act->drills() && !at.act->taps()) continue;
            const Held& brake = at.of(HeldBy::c_brake);
            // A code beside the cycle clamps for it.
            const bool beside =
                std::any_of(at.tool->work->words_of(*at.act).begin(), at.tool->work->words_of(*at.act).end(),
                            [](const ActWord& word) { return word.letter == 'M'; });
            if (brake.surely()) {
                row.code = brake.code;
                ++row.clamped;
            } else if (brake.code && !beside) {
                if (row.open++ == 0) row.first_open = at;
            }
        }
        tell(row, report);
        look_at_cuts(events, report);
    });
}

} // namespace

extern const Check check{
    .id = "c_not_clamped",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Hole drilled with C open, unlike the others",
    .documentation =
        "Of the holes that one tool drills round the part all but one are drilled with the "
        "brake of C closed, and "
        "for that one it was opened and not closed again: the part turns away under the drill. So it "
        "is told of the first cut of a mill at each angle of C. "
        "What the codes mean "
        "is read from `m_codes` in the shop file (`does = \"C brake on\"`, `\"C brake off\"`), "
        "else from notes (M61 "
        "BRAKE ON, M62 BRAKE OFF); without either nothing is said. Where the code that clamps "
        "stands in the block "
        "of the cycle, one cycle of a tool without it is told, too, and one hole of a row "
        "without the code that the others have, or with another.",
    .file = file,
    .examples =
        {
            // In the block of each hole.
            {System::B, R"(
(M86 C ON, M87 C OFF, M96 C BRAKE, M97 BRAKE OFF)
G21 G90 G94 G97
T0606
M86
S2400 M113 (LIVE ON)
G00 Z-52. C45.
X70.
G87 X34. R66. Q4000 F190. M96
C135. Q4000 M96
C225. Q4000 M97
;^^^^^^^^^^^^^^ warning: c_not_clamped
C315. Q4000 M96
G80 M97
G00 X80.
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T0606
S2400 M113
G00 Z-2. C30.
X2.8
G87 X1.1 R2.6 Q600 F5. M52
C150. Q600
;^^^^^^^^^ warning: c_not_clamped
C270. Q600 M52
G80 M53
G00 X4.
M30
)"},
            // The first alone, and what it says holds for all of them.
            {System::A, R"(
G20 G98 G97
T0606
S2400 M113
G00 Z-2. C30.
X2.8
G87 X1.1 R-.1 Q600 F5. M52
C150.
C270.
G80 M53
G00 X4.
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M61 BRAKE ON  M62 BRAKE OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0808
M51
G28 H0
S2600 M13
G00 X28. Z5. C0.
M61
G83 Z-15. R-3. Q4000 F180.
G80
M62
C120.
G83 Z-15. R-3. Q4000 F180.
;^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: c_not_clamped
G80
C240.
M61
G83 Z-15. R-3. Q4000 F180.
G80
M62
M15
M50
M30
)"},
            {System::C, R"(
(M51 C ON  M50 C OFF  M61 BRAKE ON  M62 BRAKE OFF  M13 LIVE ON  M15 LIVE OFF)
G70 G90 G94 G97
T0808
M51
G28 C0
S2600 M13
G00 X1. Z.2 C0.
M61
G83 Z-.5 R.1 F8.
G80
M62
C90.
M61
G83 Z-.5 R.1 F8.
G80
M62
C180.
G83 Z-.5 R.1 F8.
;^^^^^^^^^^^^^^^ warning: c_not_clamped
G80
M15
M50
M30
)"},
            {System::B, R"(
(M51 C ON  M50 C OFF  M61 BRAKE ON, LET GO BY THE CYCLE  M13 LIVE ON  M15 LIVE OFF)
G20 G90 G94 G97
T0808
M51
G28 C0
S2600 M13
G00 X1. Z.2 C0.
G83 Z-.5 R.1 F8. M61
C120.
G80
G00 X.8 Z.2 C30.
G83 Z-.5 R.1 F8.
;^^^^^^^^^^^^^^^ warning: c_not_clamped
C150.
G80
G00 X.6 Z.2 C60.
G83 Z-.5 R.1 F8. M61
C180.
G80
M15
M50
M30
)"},
            // Spotted by another tool with C free.
            {System::B, R"(
(M51 C ON  M50 C OFF  M61 BRAKE ON, LET GO BY THE CYCLE  M13 LIVE ON  M15 LIVE OFF)
G20 G90 G94 G97
T0707
M51
G28 C0
S2600 M13
G00 X1. Z.2 C0.
G81 Z-.1 R.1 F8.
C120.
G80
T0808
S2600 M13
G00 X1. Z.2 C0.
G83 Z-.5 R.1 F8. M61
C120.
G80
G00 X.6 Z.2 C60.
G83 Z-.5 R.1 F8. M61
C180.
G80
M15
M50
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M61 BRAKE ON  M62 BRAKE OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0808
M51
G28 H0
S2600 M13
G00 X28. Z5. C0.
M61
G83 Z-15. R-3. Q4000 F180.
G80
M62
C120.
M61
G83 Z-15. R-3. Q4000 F180.
G80
M62
M15
M50
M30
)"},
            // Another tool spots with C open.
            {System::B, R"(
(M51 C ON  M50 C OFF  M61 BRAKE ON  M62 BRAKE OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G90 G94 G97
T0707
M51
G28 C0
S2600 M13
G00 X28. Z5. C0.
G81 Z-2. R2. F180.
C120.
C240.
G80
M15
M50
M30
)"},
            {System::B, R"(
(M31/M32 C AXIS IN/OUT  M33/M34 CLAMP/UNCLAMP C  M13/M15 MILLING SPINDLE RUN/STOP)
G21 G90 G94 G97
T0606
M31
S2500 M13
G00 C0
Z-15.
X44.
M33
G01 X36. F40
Z-45. F120
G00 X44.
M34
C120.
M33
G01 X36. F40
Z-45. F120
G00 X44.
M34
C240.
G01 X36. F40
;^^^^^^^^^^^ warning: c_not_clamped
Z-45. F120
G00 X44.
M15
M32
M30
)"},
            // A slot that C feeds round is milled with it open.
            {System::B, R"(
(M31/M32 C AXIS IN/OUT  M33/M34 CLAMP/UNCLAMP C  M13/M15 MILLING SPINDLE RUN/STOP)
G21 G90 G94 G97
T0606
M31
S2500 M13
G00 C0
Z-15.
X44.
M33
G01 X36. F40
Z-45. F120
G00 X44.
M34
C120.
M33
G01 X36. F40
Z-45. F120
G00 X44.
M34
C240.
G01 C300. X36. F40
G00 X44.
M15
M32
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_not_clamped
