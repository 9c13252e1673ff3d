// An N number that stands twice in one program.
//
// A search, a GOTO and the P and Q of a cycle all find the first one.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::sequence_number_twice {

namespace {

const machine::ProgramPart* program_of(const machine::Outline& outline, BlockPlace place) {
    auto at = std::upper_bound(outline.programs.begin(), outline.programs.end(), place,
                               [](BlockPlace p, const machine::ProgramPart& part) { return p < part.first; });
    return at == outline.programs.begin() ? nullptr : &*std::prev(at);
}

void landmarks(const LandmarkContext& context, Report& report) {
    // Numbers on every block come round again in long programs; then only what is searched for matters, and
    // that has a warning of its own.
    if (context.outline().numbers_every_block) return;
    for (std::int32_t number : context.labels_twice()) {
        const machine::ProgramPart* program = nullptr;
        BlockPlace first;
        for (BlockPlace place : context.labels(number)) {
            const machine::ProgramPart* here = program_of(context.outline(), place);
            if (here && here->end && place > *here->end) continue; // Never read
            if (!program || here != program) {
                program = here;
                first = place;
                continue;
            }
            report.at_letter(place, 'N')
                .message(said("N{} stands twice in this program: a search for N{}, a GOTO or a cycle's P "
                              "and Q find the first one, and the machine starts there. Give this block "
                              "a number of its own.",
                              number, number))
                .related(first, said("the first N{}", number));
        }
    }
}

} // namespace

extern const Check check{
    .id = "sequence_number_twice",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Sequence number used twice",
    .documentation =
        "Two blocks of one program carry the same N number. Whoever searches for it to start in the middle "
        "lands "
        "on the first, with another tool and another place than expected; so do GOTO and the P and Q of a "
        "roughing cycle. Give each block a number of its own. Two programs in one file may use the same "
        "numbers. "
        "Where every block is numbered and the numbers come round again, nothing is said.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
N1 (FACE)
G21 T0101
N5 (GROOVE)
T0505
N5 (THREAD)
;^ warning: sequence_number_twice
T0707
M30
)"},
            {System::B, R"(
G20 T0101
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-1.
N20 X2.
M01
T0303
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X.5
;^^ warning: sequence_number_twice
G01 Z-.5
N20 X1.
;^^ warning: sequence_number_twice
M30
)"},
            {System::C, R"(
G71
N010 T0101
N10 T0202
;^^ warning: sequence_number_twice
M30
)"},
            {System::A, R"(
%
O0001
G21
N1 T0101
N2 T0202
M30
O0002
G21
N1 T0101
M30
%
)"},
            {System::B, R"(
G21
N1 T0101
N2 T0202
N10 G00 X1.
N20 G00 X2.
M30
N1 (BEHIND THE END)
)"},
            // Every block numbered, and the numbers come round again.
            {System::C, R"(
N5 G71 G90
N10 T0101
N15 G97 S500 M03
N20 G00 X50.
N5 Z1.
N10 G01 Z-10. F0.2
N15 X52.
N20 M30
)"},
            {System::A, R"(
G21 (N1 IN A NOTE IS NO NUMBER)
N1 (N1)
T0101
M30
)"},
        },
};

} // namespace turnwright::checks::rules::sequence_number_twice
