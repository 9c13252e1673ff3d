// One hole of a row is drilled with the brake of C open, the others with it closed.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

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

void file(const FileContext& context, Report& report) {
    const std::vector<MachineCode> codes = codes_told(context);
    const auto tools = tools_of(context);
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
    });
}

} // namespace

extern const Check check{
    .id = "c_not_clamped",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Hole drilled with C open, unlike the others",
    .documentation = "Of the holes that one tool drills round the part all but one are drilled with the "
                     "brake of C closed, and "
                     "for that one it was opened and not closed again: the part turns away under the drill. "
                     "What the codes mean "
                     "is read from `m_codes` in the shop file (`does = \"C brake on\"`, `\"C brake off\"`), "
                     "else from notes (M61 "
                     "BRAKE ON, M62 BRAKE OFF); without either nothing is said. Where the code that clamps "
                     "stands in the block "
                     "of the cycle, one cycle of a tool without it is told, too.",
    .file = file,
    .examples =
        {
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_not_clamped
