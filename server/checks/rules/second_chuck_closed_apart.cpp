// The second chuck closes on a part that turns, and its own spindle does not turn with it.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::second_chuck_closed_apart {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* joins = code_that(codes, Does::joined);
        if (!joins) return;
        std::set<const Act*> told;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            const Held& together = at.of(HeldBy::joined_spindles);
            if (event.kind != Kind::code || at.code->does != Does::second_close || !at.turning ||
                at.from_loop_end || together.may_be() || !told.insert(at.act).second)
                continue;
            report_at_code(report, context, at)
                .message(said("{} closes on a part that turns, and {} {}: the jaws of a standing "
                              "spindle are torn round by it. "
                              "Write M{:02} before the slide comes, or M05.",
                              with_words(*at.code), with_words(*joins),
                              together.code ? said("was taken back") : said("does not stand above"),
                              joins->number));
        }
    });
}

} // namespace

extern const Check check{
    .id = "second_chuck_closed_apart",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second chuck closed on a turning part",
    .documentation =
        "The second chuck closes while the main spindle turns, and the code that lets both turn together was "
        "not given: the jaws of a standing spindle close on a turning part, score it and throw it. What the "
        "codes mean is read from `m_codes` in the shop file (`does = \"second clamp\"`, `\"spindles "
        "together\"`), else from notes (M23 SUB CLOSE, M34 SYNC ON); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G21 G99
M22
G97 S900 M03
G00 B-590.
G98 G01 B-612. F300
M23
;^^ warning: second_chuck_closed_apart
G99
M05
M30
)"},
            {System::C, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
(M36 PHASE SYNC ON  M37 PHASE SYNC OFF)
G70 G90 G95
M22
G97 S900 M03
M36
M37
G94 G01 B-18. F10.
M23
;^^ warning: second_chuck_closed_apart
M05
M30
)"},
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G21 G99
M22
G97 S900 M03
M34
G98 G01 B-612. F300
M23
G99
M35
M05
M30
)"},
            {System::B, R"(
(M22 SUB OPEN  M23 SUB CLOSE  M34 SYNC ON  M35 SYNC OFF)
G21 G90 G94
G97 S900 M03
M05
M22
G01 B-612. F300.
M23
M30
)"},
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
G21 G98
G97 S900 M03
M22
G01 B-612. F300.
M23
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_chuck_closed_apart
