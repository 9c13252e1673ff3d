// A P or Q of a contour cycle whose N number stands twice in a program that numbers every block.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <map>

namespace turnwright::checks::rules::contour_label_twice {

namespace {

struct Numbered {
    const ToolOfSpan* tool;
    const Act* act;
};

void look_at(const FileContext& context, Report& report, std::span<const ToolOfSpan> tools,
             bool all_numbered) {
    std::map<int, const Act*> labels; // With the first cycle that names them
    std::map<int, std::vector<Numbered>> blocks;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.number >= 0) blocks[act.number].push_back({&tool, &act});
            if (act.motion != MotionKind::contour_cycle) continue;
            for (char letter : {'P', 'Q'})
                if (const ActWord* word = tool.work->word(act, letter))
                    labels.emplace(machine::whole_number(word->number), &act);
        }
    for (const auto& [number, cycle] : labels) {
        auto found = blocks.find(number);
        if (found == blocks.end() || found->second.size() < 2) continue;
        const Numbered &first = found->second[0], &second = found->second[1];
        if (!all_numbered) {
            // The same pair again for each contour is a habit; a block that is in none is none of it.
            const bool one_outside =
                found->second.size() == 2 && !first.act->in_contour && second.act->in_contour;
            if (!one_outside) continue;
            report.at_letter(first.tool->place(*first.act), 'N')
                .message(said("N{} stands here and is a block of the contour that {} names: a control that "
                              "searches from the top of the program meets this one, and alarms or cuts "
                              "another shape. Write another number here.",
                              number, code(context.settings(), cycle->meaning)))
                .related(second.tool->place(*second.act), said("the other one"));
            continue;
        }
        report.at_letter(first.tool->place(*first.act), 'N')
            .message(
                said("N{} stands twice and is where {} ends or begins its contour: the search stops at "
                     "the first it meets, so the contour is cut short or begins elsewhere. Every block is "
                     "numbered here; one of the two has the wrong number.",
                     number, code(context.settings(), cycle->meaning)))
            .related(second.tool->place(*second.act), said("the other one"));
    }
}

void file(const FileContext& context, Report& report) {
    if (context.labels_twice().empty()) return;
    const bool all_numbered = context.outline().numbers_every_block;
    const auto tools = tools_of(context);
    for_each_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, report, program, all_numbered); });
}

} // namespace

extern const Check check{
    .id = "contour_label_twice",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Contour label that stands twice",
    .documentation = "The N number that P or Q of a contour cycle names is on two blocks of the program. "
                     "Where every block is numbered that is a slip in one of them, and the control takes the "
                     "one it finds first: the contour ends too early, or the retract that was its last block "
                     "is run as a move of its own. Where only labels are numbered, some use the same pair "
                     "again for each contour, and nothing is said. Told there too where the first of the two "
                     "is a block outside of any contour, such as the head of a sequence.",
    .file = file,
    .examples =
        {
            {System::A, R"(
N5 G21 G99
N10 T0101
N15 G00 X23. Z2.
N20 G71 U1.5 R.5
N25 G71 P30 Q50 U-.5 W.1 F.22
N30 G00 X58.
N35 G01 X52. Z-1. F.12
N40 Z-12.
N50 Z-53.
;^^ warning: contour_label_twice
N50 X23.
N55 G70 P30 Q50
N60 M30
)"},
            {System::C, R"(
N5 G71 G90 G95
N10 T0101
N15 G00 X56. Z2.
N20 G73 P30 Q40 U.5 W.1 F.22
N30 G00 X20.
;^^ warning: contour_label_twice
N30 G01 Z-12. F.1
N40 X56.
N45 M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G00 X56. Z2.
G71 P10 Q20 U.5 W.1 F.22
N10 G00 X20.
G01 Z-12. F.1
N20 X56.
T0303
G00 X16. Z2.
G71 P10 Q20 U-.5 W.1 F.22
N10 G00 X40.
G01 Z-12. F.1
N20 X16.
M30
)"},
            // The number of a sequence is that of a contour's last block.
            {System::C, R"(
G70 G90 G95
N1 (FACE)
T0101
G00 X4.6 Z.02
G01 X1.9 F.012
G00 X10. Z8.
M01
N20 (PROFILE)
;^^ warning: contour_label_twice
T0202
G00 X4.7 Z.3
G73 P10 Q20 U.02 W.005 D1000 F.012
N10 G00 X2.6
G01 Z-.8 F.006
N20 X4.4
G72 P10 Q20
G00 X10. Z8.
M30
)"},
            {System::A, R"(
O0001
N5 G21 G99
N10 T0101
N15 G00 X56. Z2.
N20 G71 P25 Q35 U.5 W.1 F.22
N25 G00 X20.
N30 G01 Z-12. F.1
N35 X56.
N40 M30
O0002
N5 G21 G99
N10 T0101
N15 G00 X56. Z2.
N20 G71 P25 Q35 U.5 W.1 F.22
N25 G00 X20.
N30 G01 Z-12. F.1
N35 X56.
N40 M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::contour_label_twice
