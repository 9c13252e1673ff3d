// The second chuck comes onto the part with its jaws closed.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::second_chuck_not_opened {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

bool is_of_second(const ClampEvent& event) {
    return event.kind == Kind::code &&
           (event.at.code->does == Does::second_open || event.at.code->does == Does::second_close);
}

/// The part is pushed out of a chuck that is surely closed on it.
void look_at_pushing(const std::vector<ClampEvent>& events, const MachineCode& opens, Report& report) {
    for (const ClampEvent& event : events) {
        if (event.kind != Kind::code || event.at.code->does != Does::pushes_out || event.at.act->deleted)
            continue;
        const Held& chuck = event.at.of(HeldBy::second_chuck_open);
        if (!chuck.code || chuck.is_set) continue;
        report.at(event.at.tool->place(*event.at.act))
            .message(
                said("{} pushes the part out here, and {} has closed the second chuck on it: the ejector "
                     "pushes against the jaws, and the part stays in them. Write M{:02} before it.",
                     with_words(*event.at.code), with_words(*chuck.code), opens.number))
            .related(chuck.tool->place(*chuck.act), said("closed here"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* opens = code_that(codes, Does::second_open);
        if (!opens) return;
        look_at_pushing(events, *opens, report);
        const ClampEvent *slide = nullptr, *last = nullptr;
        for (const ClampEvent& event : events)
            if (is_of_second(event)) last = &event;
        // As the program leaves it: so it stands when it begins.
        if (!last || last->at.code->does != Does::second_close) return;
        for (const ClampEvent& event : events) {
            if (event.kind == Kind::moves_slide) slide = comes_to_part(event.at) ? &event : nullptr;
            if (!is_of_second(event)) continue;
            if (event.at.code->does == Does::second_open) {
                slide = nullptr;
                continue;
            }
            if (slide && !event.at.of(HeldBy::second_chuck_open).may_be()) {
                report.at(slide->at.tool->place(*slide->at.act))
                    .message(said(
                        "The second chuck is brought onto the part here and {} has not come since it was "
                        "closed: its jaws run into the part. Write M{:02} before it.",
                        with_words(*opens), opens->number))
                    .related(event.at.tool->place(*event.at.act), said("closed again here"));
                return;
            }
        }
    });
}

} // namespace

extern const Check check{
    .id = "second_chuck_not_opened",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second chuck brought onto the part closed",
    .documentation =
        "The slide of the second spindle is fed onto the part and its chuck is closed there, and nothing has "
        "opened it before: closed jaws run into the part. How the program leaves the chuck is how it stands "
        "when it begins; one that leaves it open needs no code at the top. A code that pushes the part out "
        "of a "
        "chuck that is closed on it is told, too. What the codes mean is read from "
        "`m_codes` in the shop file (`does = \"second unclamp\"`, `\"second clamp\"`), else from notes (M22 "
        "SUB OPEN, M23 SUB CLOSE); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::C, R"(
(M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G71 G90 G95
T0101
G97 S1000 M03
M34
G00 B-550.
G94 G01 B-575. F300
;^^^^^^^^^^^^^^^^^^ warning: second_chuck_not_opened
M23
G04 X1.
G00 B0.
M35
M22
G04 X1.
M23
M30
)"},
            {System::A, R"(
(M72 SUB OPEN)
(M73 SUB CLOSE)
G20 G99
T0101
M05
G98 G01 B-21.4 F15.
;^^^^^^^^^^^^^^^^^^ warning: second_chuck_not_opened
M73
G04 U1.
G00 B0.
M30
)"},
            {System::C, R"(
(M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G71 G90 G95
T0101
G97 S1000 M03
M34
M22
G00 B-550.
G94 G01 B-575. F300
M23
G04 X1.
G00 B0.
M35
M22
G04 X1.
M23
M30
)"},
            {System::A, R"(
(M72 SUB OPEN)
(M73 SUB CLOSE)
G20 G99
T0101
M05
G98 G01 B-21.4 F15.
M73
G04 U1.
G00 B0.
M72
M30
)"},
            {System::B, R"(
(M63 SUB CLOSE)
G21 G90 G94
T0101
M05
G01 B-515. F300
M63
M30
)"},
            // The part is pushed out of closed jaws.
            {System::B, R"(
(M22 SUB OPEN, M23 SUB CLOSE, M67 EJECT PART)
G21 G90 G95
T0101
G97 S1000 M03
M22
G00 B-550.
G94 G01 B-575. F300
M23
G04 X1.
G00 B0.
M67
;^^ warning: second_chuck_not_opened
G04 X1.
M22
M30
)"},
            {System::B, R"(
(M22 SUB OPEN, M23 SUB CLOSE, M67 EJECT PART)
G20 G90 G95
T0101
G97 S1000 M03
M22
G00 B-22.
G94 G01 B-22.5 F10.
M23
G04 X1.
G00 B0.
M22
M67
G04 X1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_chuck_not_opened
