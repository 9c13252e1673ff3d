// Of catcher and joined spindles one code of the pair is missing.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::code_of_pair_missing {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

struct Pair {
    HeldBy which;
    Does sets, takes_back;
    TableText left_set, never_set; ///< What happens then
};
constexpr Pair pairs[] = {
    {HeldBy::catcher, Does::catcher_out, Does::catcher_back, "the next tool or the jaws meet it",
     "the part falls beside it"},
    {HeldBy::joined_spindles, Does::joined, Does::parted, "the next start turns both",
     "until then each turned by itself"},
};

void look_at(const Pair& pair, const std::vector<ClampEvent>& events, const std::vector<MachineCode>& codes,
             const FileContext& context, Report& report) {
    const MachineCode *sets = code_that(codes, pair.sets), *takes_back = code_that(codes, pair.takes_back);
    if (!sets || !takes_back) return;
    bool comes = false, told_at_chuck = false;
    for (const ClampEvent& event : events) {
        if (event.kind != Kind::code) continue;
        comes = comes || event.at.code->does == pair.sets;
        // A chuck that closes on a turning part has a warning of its own.
        told_at_chuck = told_at_chuck || (pair.which == HeldBy::joined_spindles && event.at.turning &&
                                          event.at.code->does == Does::second_close);
    }
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        if (event.kind == Kind::code && at.code->does == pair.takes_back && !comes && !told_at_chuck &&
            !at.act->deleted) {
            report_at_code(report, context, at)
                .message(said("{} comes and {} never does: {}. Write M{:02} before it.", with_words(*at.code),
                              with_words(*sets), pair.never_set, sets->number));
            return;
        }
        const Held& held = at.of(pair.which);
        if (event.kind != Kind::ends || !held.surely()) continue;
        ClampAct set = at;
        set.tool = held.tool;
        set.act = held.act;
        set.code = held.code;
        report_at_code(report, context, set)
            .message(said(
                "{} is in force to the end of the program and {} does not come behind it: {}. Write M{:02}.",
                with_words(*held.code), with_words(*takes_back), pair.left_set, takes_back->number));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        for (const Pair& pair : pairs) look_at(pair, events, codes, context, report);
    });
}

} // namespace

extern const Check check{
    .id = "code_of_pair_missing",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "One code of a pair never comes",
    .documentation =
        "Codes that come in pairs, and one of them is missing: the catcher goes out and never back, or back "
        "and never came out; the spindles are joined to turn together and never parted, or parted and were "
        "never joined. What the codes mean is read from `m_codes` in the shop file (`does = \"catcher "
        "out\"`, `\"catcher in\"`, `\"spindles together\"`, `\"spindles apart\"`), else from notes (M44 "
        "CATCHER OUT, M45 CATCHER IN); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M64 CATCHER OUT  M65 CATCHER IN)
G21 G99
T0909
G97 S2000 M03
G00 X16. Z-27.
M64
;^^ warning: code_of_pair_missing
G01 X-0.4 F0.04
G00 X16.
M05
M30
)"},
            {System::C, R"(
(M44/M45 CATCHER OUT/IN)
G70 G90 G95
T0909
G97 S2000 M03
G00 X.6 Z-1.
G01 X-.02 F.002
G00 X.6
M45
;^^ warning: code_of_pair_missing
M05
M30
)"},
            {System::B, R"(
(M34 SYNC ON  M35 SYNC OFF)
G21 G90 G95
G97 S900 M03
M34
;^^ warning: code_of_pair_missing
G00 B-100.
M05
M30
)"},
            {System::A, R"(
(M64 CATCHER OUT  M65 CATCHER IN)
G21 G99
T0909
G97 S2000 M03
G00 X16. Z-27.
M64
G01 X-0.4 F0.04
G00 X16.
M65
M05
M30
)"},
            {System::B, R"(
(M64 CATCHER OUT, BACK BY ITSELF)
G21 G90 G95
G97 S2000 M03
M64
G01 X-0.4 F0.04
M05
M30
)"},
            {System::C, R"(
(M34/M35 SYNC ON/OFF)
G71 G90 G95
G97 S900 M03
M34
G00 B-100.
M35
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::code_of_pair_missing
