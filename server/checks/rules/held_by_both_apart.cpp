// Both chucks hold one part and the main spindle is started alone.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::held_by_both_apart {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

/// Between the two a code stands that nothing tells: it may join them.
bool may_join_between(const ClampAct& from, const ClampAct& to, const std::vector<MachineCode>& codes) {
    for (const ToolOfSpan* tool = from.tool; tool <= to.tool; ++tool)
        for (const Act& act : tool->work->acts) {
            if (tool == from.tool && &act <= from.act) continue;
            if (tool == to.tool && &act >= to.act) break;
            if (act.calls_program || act.deleted) return true;
            for (const ActWord& word : tool->work->words_of(act))
                if (is_of_builder(word) && !told_code(word, codes)) return true;
        }
    return false;
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode *joins = code_that(codes, Does::joined), *parts = code_that(codes, Does::parted);
        if (!joins && !parts) return;
        bool fed = false, main_open = false;
        const ClampEvent* held = nullptr; // The code from which on both hold it
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            if (event.kind == Kind::moves_slide) {
                fed = comes_to_part(at);
                if (!fed) held = nullptr;
            }
            const Does does = event.kind == Kind::code ? at.code->does : Does::other;
            if (does == Does::clamp_open) main_open = true;
            if (does == Does::clamp_close) main_open = false;
            if (does == Does::second_open || does == Does::clamp_open || does == Does::joined) held = nullptr;
            const bool closes = does == Does::second_close ||
                                (does == Does::clamp_close && at.of(HeldBy::second_chuck_open).code &&
                                 !at.of(HeldBy::second_chuck_open).is_set);
            if (closes && fed && !main_open && !at.of(HeldBy::joined_spindles).may_be() && !at.turning)
                held = &event;
            if (event.kind != Kind::starts_spindle || !held) continue;
            const ClampEvent& both = *std::exchange(held, nullptr);
            if (at.act->spindle != machine::Spindle::main || at.of(HeldBy::joined_spindles).may_be() ||
                at.tool < both.at.tool || may_join_between(both.at, at, codes))
                continue;
            report_at_code(report, context, both.at)
                .message(joins
                             ? said("From here on both chucks hold the part, and the main spindle is started "
                                    "below without {}: the second one stands, and the part is twisted or "
                                    "torn out of its jaws. Write M{:02} here.",
                                    with_words(*joins), joins->number)
                             : said("From here on both chucks hold the part, and the main spindle is started "
                                    "below: nothing has joined the second one to it, while {} comes "
                                    "further down. It stands, and the part is twisted or torn out of its "
                                    "jaws. Write the code that joins them here.",
                                    with_words(*parts)))
                .related(at.tool->place(*at.act), said("started here"));
            return;
        }
    });
}

} // namespace

extern const Check check{
    .id = "held_by_both_apart",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Part held by both chucks, one spindle started",
    .documentation =
        "The second chuck was fed onto the part and closed, the main one holds it, too, and the main spindle "
        "is started without the code that lets both turn together: the second spindle stands, and the part "
        "is twisted or torn out of its jaws. What the codes mean is read from `m_codes` in the shop file "
        "(`does = \"second clamp\"`, `\"spindles together\"`, `\"spindles apart\"`), else from notes; where "
        "neither of the last two is told, or a code that nothing tells stands between, nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G21 G98
M05
M22
G01 B-612. F300
M23
M20
G01 B-540. F800
M21
;^^ warning: held_by_both_apart
G99
T0101
G97 S900 M03
G00 X30. Z-20.
G01 X24. F.1
G00 X40.
M05
M35
M30
)"},
            {System::B, R"(
(SUB COLLET M22 OPEN, M23 SHUT)
G20 G90 G94
M05
M22
G01 B-20. F10.
M23
;^^ warning: held_by_both_apart
G95
T0101
G97 S900 M03
G00 X1.2 Z-1.
G01 X.9 F.004
G00 X2.
M05
M181 (FOLLOW OFF)
M30
)"},
            {System::C, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G71 G90 G94
M05
M22
G01 B-612. F300
M23
M34
G95
T0101
G97 S900 M03
G00 X30. Z-20.
G01 X24. F.1
G00 X40.
M05
M35
M30
)"},
            // Taken out of the main chuck.
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G21 G98
M05
M22
G01 B-612. F300
M23
M20
G00 B0
G99
T0101
G97 S900 M03
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::held_by_both_apart
