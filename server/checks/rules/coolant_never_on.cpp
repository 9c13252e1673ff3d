// The coolant is switched off behind the cuts, and no block switches it on.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::coolant_never_on {

namespace {

constexpr std::size_t enough = 2;     ///< Sequences that cut
constexpr std::size_t enough_off = 2; ///< A single M09 at the end is written by habit

/// A code that is not of the common ones may bring coolant or air.
bool may_bring(const Acts& work, const Act& act) {
    for (const ActWord& word : work.words_of(act)) {
        if (word.letter != 'M') continue;
        const double number = word.number;
        const bool is_common = number <= 5 || number == 9 || number == 19 || number == 29 || number == 30 ||
                               number == 41 || number == 42 || (number >= 96 && number <= 99);
        if (!is_common) return true;
    }
    return false;
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const ToolOfSpan *off_tool = nullptr, *first_tool = nullptr;
    const Act *off = nullptr, *first = nullptr;
    std::size_t cutting = 0, offs = 0;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return;
        bool cuts = false;
        const Act* approach = nullptr;
        for (const Act& act : tool.work->acts) {
            if (may_bring(*tool.work, act)) return;
            if (act.states(Group::coolant) && !Act::only(act.coolant, Meaning::coolant_off)) return;
            if (!approach && act.moves_x && act.turns()) approach = &act;
            cuts = cuts || ((act.cuts() || act.threads() || act.taps()) && act.turns());
            if (cuts && !first && approach) first = approach, first_tool = &tool;
            // Where the spindle turns, to begin with a cut or behind one.
            const bool counts = act.states(Group::coolant) && act.moves() && act.turns();
            offs += counts;
            if (counts && !off) off = &act, off_tool = &tool;
        }
        cutting += cuts;
    }
    if (!off || !first || cutting < enough || offs < enough_off) return;
    const bool in_front = !(first_tool->place(*first) < off_tool->place(*off));
    const ToolOfSpan& tool = in_front ? *off_tool : *first_tool;
    const Act& at = in_front ? *off : *first;
    report.at(tool.place(at))
        .message(
            said("The coolant is switched off with M09, and no block of the program switches it on: every "
                 "tool cuts dry. Is M08 lost, or M09 written for it, where the first of them comes in?"))
        .related(off_tool->place(*off), said("switched off here"));
}

} // namespace

extern const Check check{
    .id = "coolant_never_on",
    .family = Family::coolant,
    .severity = Severity::information,
    .title = "Coolant switched off and never on",
    .documentation = "Tools go away with M09, or come in with it, so the program means to cut with coolant, "
                     "and no block has "
                     "M08 or M07: the code is lost at the first tool, or M09 stands in its place. Told at "
                     "the first tool that "
                     "cuts. A single M09, and one in a block without a move, are written by habit and tell "
                     "nothing; programs "
                     "with codes of the machine's builder, which may bring coolant, are left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X46. Z2.
;^^^^^^^^^^^ information: coolant_never_on
G01 Z-20. F0.15
G00 X150. Z100. M09
T0404
G97 S800 M03
G00 X0 Z3.
G01 Z-42. F0.2
G00 Z100. M09
X150.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S580 M03
G00 X1.6 Z.1 M09
;^^^^^^^^^^^^^^^ information: coolant_never_on
G01 Z-.8 F.006
G00 X5. Z4.
T0404
G97 S800 M03
G00 X0 Z.1
G01 Z-1.4 F.006
G00 Z4. M09
X5.
M30
)"},
            {System::C, R"(
G71 G90 G95 M09
T0101
G96 S180 M03
G00 X46. Z2.
G01 Z-20. F0.15
G00 X150. Z100.
T0404
G97 S800 M03
G00 X0 Z3.
G01 Z-42. F0.2
G00 Z100.
X150.
M09
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::coolant_never_on
