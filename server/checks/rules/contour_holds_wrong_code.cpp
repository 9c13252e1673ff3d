// A tool call, a call of a program, a cycle or a return home between P and Q.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::contour_holds_wrong_code {

namespace {

/// Where the last block of the contour is not to be found, the cycle that names it tells so, and this block
/// never was in a contour.
bool is_closed(const BlockView& view, const machine::Reader& reader) {
    const machine::BlockPlace here{view.run_index, view.block};
    const std::int32_t last = view.before.contour.last_label;
    for (const machine::Word& word : view.reading.words)
        if (word.letter == 'N' && word.value.number == last) return true;
    const auto found = reader.contour(here, last, last, /*backward=*/false).blocks;
    return found && here < found->first;
}

void block(const BlockView& view, Report& report) {
    if (!view.reading.in_contour) return;
    for (const machine::Word& word : view.reading.words) {
        bool wrong = word.letter == 'T';
        if (word.code) {
            switch (word.code->meaning) {
            case Meaning::subprogram_call:
            case Meaning::macro_call:
            case Meaning::reference_return:
            case Meaning::reference_return_second:
            case Meaning::machine_datum:
            case Meaning::rough_turning:
            case Meaning::rough_facing:
            case Meaning::finish_cycle:
            case Meaning::pattern_repeat:
            case Meaning::thread_cycle:
            case Meaning::optional_stop:
            case Meaning::program_stop:
            case Meaning::program_end:
            case Meaning::program_end_rewind:
                wrong = true;
                break;
            default:
                break;
            }
            Group group = word.code->group();
            if (group == Group::drill_cycle && word.code->meaning != Meaning::drill_cycle_off) wrong = true;
            if (group == Group::units) wrong = true;
        }
        if (!wrong || !is_closed(view, report.reader())) continue;
        report.at(view, *word.item)
            .message(
                said("{} cannot stand in the contour of a cycle: the control alarms. A contour holds moves "
                     "only.",
                     text_of(view, *word.item)));
    }
}

} // namespace

extern const Check check{
    .id = "contour_holds_wrong_code",
    .family = Family::cycles,
    .severity = Severity::error,
    .title = "Block that a contour cannot hold",
    .documentation =
        "Between the first and the last block of a contour only moves, feeds and dwells belong. A "
        "tool call, M98 or G65, a cycle or a return home there alarms, or is left out by the roughing "
        "and done by the finishing.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-10.
M98 P0002
;^^ error: contour_holds_wrong_code
Z-25.
N20 X52.
M30
O0002
G01 U1.
M99
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G73 U.1 R.02
G73 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-.5
T0202
;^^^^ error: contour_holds_wrong_code
N20 X2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 G42 X20. S200
G01 Z-10. F0.1
G04 P100
G02 X26. Z-13. R3. M08
N20 G40 X52.
G70 P10 Q20
T0202
M98 P0002
M30
O0002
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::contour_holds_wrong_code
