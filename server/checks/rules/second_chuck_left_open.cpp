// The part is let go and the chuck that takes it over is not closed.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::second_chuck_left_open {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* closes = code_that(codes, Does::second_close);
        if (!closes) return;
        const ClampEvent* slide = nullptr; // That has been fed to the part since it opened
        std::set<const Act*> told;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            const Held& second = at.of(HeldBy::second_chuck_open);
            const Does does = event.kind == Kind::code ? at.code->does : Does::other;
            if (does == Does::second_open || does == Does::second_close) slide = nullptr;
            if (event.kind == Kind::moves_slide) slide = comes_to_part(at) ? &event : nullptr;
            const bool lets_go = does == Does::clamp_open;
            // Nothing is cut with open jaws round the part.
            const bool cuts = event.kind == Kind::cuts && (at.act->spindle == machine::Spindle::main ||
                                                           at.of(HeldBy::joined_spindles).surely());
            if (!slide || !second.surely() || !(lets_go || cuts) || !told.insert(second.act).second) continue;
            // Where the slide has come the code is missing.
            auto entry = lets_go ? report_at_code(report, context, at)
                                 : report.at(slide->at.tool->place(*slide->at.act));
            entry
                .message(said("{} and the second chuck is still open since {}: nothing holds the "
                              "part. Write M{:02} before it.",
                              lets_go ? with_words(*at.code) + said(" comes")
                                      : std::string(said("The slide comes to the part, the part is cut")),
                              with_words(*second.code), closes->number))
                .related(second.tool->place(*second.act), said("opened here"));
        }
    });
}

} // namespace

extern const Check check{
    .id = "second_chuck_left_open",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Part let go while the second chuck is still open",
    .documentation =
        "The second chuck was opened and fed onto the part, and before it is closed the main chuck opens or "
        "the part is cut off: nothing holds the part. What the codes mean is read from `m_codes` in the shop "
        "file (`does = \"second unclamp\"`, `\"second clamp\"`, `\"unclamp\"`), else from notes (M22 SUB "
        "OPEN, M23 SUB CLOSE, M20 MAIN OPEN); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M20 MAIN OPEN  M21 MAIN CLOSE  M22 SUB OPEN  M23 SUB CLOSE)
G21 G99
M05
M22
G00 B-500.
G98 G01 B-528. F400
M20
;^^ warning: second_chuck_left_open
M23
G01 B-450. F1500
G00 B0.
M30
)"},
            {System::B, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE)
G20 G90 G95
M22
G97 S900 M03
G00 B-15.
G94 G01 B-18.2 F10.
;^^^^^^^^^^^^^^^^^^ warning: second_chuck_left_open
G95
T0909 (PART OFF .125)
G00 X1.2 Z-1.5
G01 X-.03 F.003
G00 X1.2
M30
)"},
            {System::A, R"(
(M123 M125 SECOND SPINDLE FORWARD, STOP)
(M40 SPINDLES COUPLED, M41 UNCOUPLED)
(M56 M57 SECOND COLLET CLOSE, OPEN)
G20 G99
G97 S1500 M03
M57
S1500 M123
M40
G00 B-14.2
G98 G01 B-14.95 F20.
;^^^^^^^^^^^^^^^^^^^ warning: second_chuck_left_open
G99
T0505 (PART OFF .125)
G00 X1.35 Z-2.135
G01 X-.03 F.003
G00 X1.35
M41
G00 B0
M30
)"},
            {System::A, R"(
(M20 MAIN OPEN  M21 MAIN CLOSE  M22 SUB OPEN  M23 SUB CLOSE)
G21 G98
M05
M22
G00 B-500.
G01 B-528. F400
M23
M20
G01 B-450. F1500
G00 B0.
M30
)"},
            {System::B, R"(
(M20 MAIN OPEN  M21 MAIN CLOSE  M22 SUB OPEN  M23 SUB CLOSE)
G21 G90 G94
M05
M22
G00 B0.
G00 X0 Z1.
M20
G01 Z60. F800.
M21
M30
)"},
            {System::C, R"(
(M10 COLLET OPEN, M11 COLLET CLOSE)
G71 G90 G94
M05
G00 X0 Z1.
M10
G01 Z60. F800.
M11
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_chuck_left_open
