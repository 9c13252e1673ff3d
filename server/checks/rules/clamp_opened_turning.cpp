// A collet, a chuck or a quill opened while the spindle turns.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::clamp_opened_turning {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto&) {
        std::set<const Act*> told;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            if (event.kind != Kind::code || !at.turning) continue;
            if (at.code->does != Does::clamp_open && at.code->does != Does::quill_back) continue;
            // The part turns on in the second chuck, with its spindle.
            const Held &second = at.of(HeldBy::second_chuck_open), &joined = at.of(HeldBy::joined_spindles);
            if (at.code->does == Does::clamp_open && second.code && !second.is_set && joined.surely())
                continue;
            if (!told.insert(at.stop ? at.stop : at.act).second) continue;
            if (at.stop) {
                report.at(at.stop_tool->place(*at.stop))
                    .message(said("With block delete on this stop is left out, and {} below opens on a "
                                  "turning spindle. Take the / away.",
                                  with_words(*at.code)))
                    .related(at.tool->place(*at.act), said("opened here"));
                continue;
            }
            report_at_code(report, context, at)
                .message(said(
                    "{} comes while the spindle turns{}: the {} lets go. Write M05 and a dwell before it.",
                    with_words(*at.code),
                    at.from_loop_end ? said(" from the end of the loop, where nothing stops it") : "",
                    at.code->does == Does::quill_back ? said("part") : said("bar or part")));
        }
    });
}

} // namespace

extern const Check check{
    .id = "clamp_opened_turning",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Clamp or quill opened with the spindle turning",
    .documentation =
        "The code that the shop file or a note calls the opening of the collet or chuck, or the way back of "
        "the quill, is "
        "reached "
        "with the spindle turning: the part is thrown, a long bar whips. In a bar loop that M99 sends back "
        "to its "
        "top the state at its end counts at the top, too; a stop that block delete leaves out is no stop. "
        "What "
        "the codes mean is read from `m_codes` in the shop file (`does = \"unclamp\"`), else from the notes "
        "(M10 COLLET OPEN); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M10 COLLET OPEN, M11 CLOSED)
G20 G99
N1 T0101
G00 X0 Z.03
M10
;^^ warning: clamp_opened_turning
G04 U1.5
M11
G28 U0 W0
N2 T0505
G97 S1500 M03
G00 X.7 Z-.75
G01 X0 F.003
G28 U0 W0
M99
)"},
            {System::B, R"(
(M78 QUILL OUT, M79 QUILL BACK)
G21 G90 G95
M78
T0101
G97 S700 M03
G00 Z1.
X33.
G01 Z-23. F.3
M79
;^^ warning: clamp_opened_turning
M30
)"},
            {System::C, R"(
(M10 CLAMP, M11 OPEN)
G71 G90 G95
T0909
G97 S2000 M03
G01 X8. F.04
/M05
;^^^ warning: clamp_opened_turning
T1010
G00 X0 Z-15.
M11
G04 X1.
G01 Z5. F200.
M10
M99
)"},
            {System::A, R"(
(M68 COLLET CLOSE, M69 OPEN, M63 LIVE TOOL ON)
G20 G99
N1
M05
T0808
G00 X0 Z.5
M69
G04 U2.
M68
G28 U0 W0
T0101
G96 S500 M03
G01 X-.06 F.006
M99
)"},
            {System::B, R"(
(M25 CATCHER OUT, M26 CATCHER BACK)
G21 G90 G95
T0101
G97 S700 M03
G01 X5. F.3
M25
X0
M26
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S700 M13
G00 X33. Z1.
G01 Z-23. F.3
M69
;^^ warning: clamp_opened_turning
M30
)",
             shop_with_clamps},
            {System::B, R"(
(M69 COLLET CLOSE)
G21 G90 G95
T0101
G97 S700 M13
G00 X33. Z1.
G01 Z-23. F.3
M05
M69
G04 X1.
M68
M30
)",
             shop_with_clamps},
            {System::A, R"(
(M11 CHUCK OPEN  M10 CHUCK CLOSE)
G21 G99
T0101
G97 S50 M03
M19
M11
G04 U1.
M10
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // Both spindles turn in step, and the second one holds the part.
            {System::B, R"(
(M68/M69 MAIN CLOSE/OPEN, M268/M269 SECOND CLOSE/OPEN)
(M51 SYNC, M50 SYNC OFF)
G21 G90 G95
T0404
G97 S1500 M03
M269
M51
G00 B5.
G94 G01 B-20. F800
M268
G04 X1.
M69
G01 B31.5 F2000
M68
G04 X1.
M50
M05
M30
)"},
        },
};

} // namespace turnwright::checks::rules::clamp_opened_turning
